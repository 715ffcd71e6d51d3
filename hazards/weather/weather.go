// Package weather tells what cold, heat and wind do to people at work.
//
// Wind chill (Canada and USA 2001) and the time to frostbite, humidex (Canada), the heat index (USA) and the WBGT
// limits of NIOSH each stand for a table that was published; outside the range of that table they refuse to answer.
// Heat index and humidex are for shade and for people at rest or on a walk: never compare either with a WBGT limit.
// The Beaufort table names what wind does to trees. No official wind speed for stopping hand work was found, so a
// force is a word to talk with and the competent person decides.
//
// Temperatures are in the unit a function names, relative humidity in percent, and results are not rounded.
package weather

import (
	"fmt"
	"strconv"
)

// rounding lets a value stand at the end of a range after conversion from another unit.
const rounding = 1e-9

// within refuses a value outside the published range low to high; NaN is outside every range.
func within(what string, v, low, high float64, unit string) error {
	if v >= low-rounding && v <= high+rounding {
		return nil
	}
	return fmt.Errorf("%s of %s%s lies outside the published range, %s to %s%s", what, trim(v), unit, trim(low), trim(high), unit)
}

func trim(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
