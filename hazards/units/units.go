// Package units reads numbers that carry their unit, once, at the edge of the program; inside, everything is SI.
//
// A number without a unit, or with a unit of another quantity, is refused: "38" may be percent or degrees, and the
// mix-up has been printed in official papers (15 % given as 26.8 degrees). Conversion factors are exact by
// definition (international yard and pound 1959, US gallon = 231 cubic inches, acre = 43 560 square feet) unless a line says
// otherwise.
package units

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
)

// Quantity is a value with the unit it was given in; SI returns the value in the base unit of its dimension.
type Quantity struct {
	Value float64 // as written
	Unit  string  // as written, one of the units of its dimension
	Dim   Dimension
}

// Dimension names what is measured and fixes the base unit that SI returns.
type Dimension string

// The dimensions the program reads. The comment gives the base unit.
const (
	Slope        Dimension = "slope"        // percent (100 × rise / run)
	Angle        Dimension = "angle"        // degree
	Length       Dimension = "length"       // metre
	Time         Dimension = "time"         // second
	Speed        Dimension = "speed"        // metre per second
	Temperature  Dimension = "temperature"  // degree Celsius
	Mass         Dimension = "mass"         // kilogram
	Volume       Dimension = "volume"       // litre
	Burn         Dimension = "burn rate"    // litre per hour
	Rotation     Dimension = "rotation"     // revolution per second
	Area         Dimension = "area"         // square metre
	Power        Dimension = "power"        // watt
	Level        Dimension = "sound level"  // dB(A) or dB(C), as written
	Acceleration Dimension = "acceleration" // metre per second squared
	Share        Dimension = "share"        // percent of a whole
	Count        Dimension = "count"        // pieces; the one dimension written without a unit
	Months       Dimension = "months"       // calendar months
	Days         Dimension = "days"         // calendar days
	Points       Dimension = "points"       // points of a scale
	Density      Dimension = "density"      // stems per hectare
)

type unit struct {
	factor  float64 // base = value × factor
	convert func(float64) float64
}

func linear(f float64) unit { return unit{factor: f} }

var table = map[Dimension]map[string]unit{
	Slope:        {"%": linear(1), "deg": {convert: PercentOfDegrees}},
	Angle:        {"deg": linear(1)},
	Length:       {"m": linear(1), "cm": linear(0.01), "mm": linear(0.001), "km": linear(1000), "ft": linear(0.3048), "in": linear(0.0254), "mi": linear(1609.344)},
	Time:         {"s": linear(1), "min": linear(60), "h": linear(3600)},
	Speed:        {"m/s": linear(1), "km/h": linear(1 / 3.6), "mph": linear(0.44704), "kn": linear(1852.0 / 3600)},
	Temperature:  {"C": linear(1), "F": {convert: func(f float64) float64 { return (f - 32) / 1.8 }}},
	Mass:         {"kg": linear(1), "g": linear(0.001), "lb": linear(0.45359237)},
	Volume:       {"L": linear(1), "mL": linear(0.001), "gal": linear(3.785411784)},
	Burn:         {"L/h": linear(1), "mL/h": linear(0.001), "gal/h": linear(3.785411784)},
	Rotation:     {"rpm": linear(1.0 / 60), "Hz": linear(1)},
	Area:         {"m2": linear(1), "ha": linear(10000), "ft2": linear(squareFoot), "acre": linear(acre)},
	Power:        {"W": linear(1), "kW": linear(1000), "kcal/h": linear(kilocalorie / 3600)},
	Level:        {"dBA": linear(1), "dBC": linear(1), "dB": linear(1)},
	Acceleration: {"m/s2": linear(1), "ft/s2": linear(0.3048)},
	Share:        {"%": linear(1)},
	Count:        {"": linear(1)},
	Months:       {"months": linear(1), "month": linear(1)},
	Days:         {"days": linear(1), "day": linear(1)},
	Points:       {"points": linear(1), "point": linear(1)},
	Density:      {"stems/ha": linear(1), "stems/ac": linear(10000 / acre), "stems/acre": linear(10000 / acre)},
}

const (
	squareFoot  = 0.3048 * 0.3048    // m²
	acre        = 43560 * squareFoot // m², international; the US survey acre is 4 parts in a million larger
	kilocalorie = 4186.8             // J, International Table calorie (1956), from memory; 1.163 W for 1 kcal/h, as the NIOSH rates are converted
)

// PercentOfDegrees converts a slope angle in degrees to percent: 100 tan(deg).
func PercentOfDegrees(deg float64) float64 { return 100 * math.Tan(deg*math.Pi/180) }

// DegreesOfPercent converts a slope in percent to degrees: atan(percent / 100).
func DegreesOfPercent(pct float64) float64 { return math.Atan(pct/100) * 180 / math.Pi }

// SI returns the value in the base unit of its dimension.
func (q Quantity) SI() float64 {
	u := table[q.Dim][q.Unit]
	if u.convert != nil {
		return u.convert(q.Value)
	}
	return q.Value * u.factor
}

// String writes the quantity as it was given, without a space: "125deg", "0.9L".
func (q Quantity) String() string {
	return strconv.FormatFloat(q.Value, 'f', -1, 64) + q.Unit
}

// Parse reads a number and its unit, with or without a space between them, as a quantity of dimension d.
// Errors name what is wrong: no number, no unit, a unit of another quantity, or a value that is not finite.
func Parse(s string, d Dimension) (Quantity, error) {
	text := strings.TrimSpace(s)
	n := numberLen(text)
	num, name := text[:n], strings.TrimSpace(text[n:])
	v, err := strconv.ParseFloat(num, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return Quantity{}, fmt.Errorf("%q is not a number with a unit; write for example %s", s, Example(d))
	}
	if _, ok := table[d][name]; !ok {
		if name == "" {
			return Quantity{}, fmt.Errorf("%q has no unit; write for example %s (%s)", s, Example(d), Names(d))
		}
		return Quantity{}, wrongUnit(name, d)
	}
	if d == Slope && name == "deg" && math.Abs(v) >= 90 {
		return Quantity{}, fmt.Errorf("%q is not a slope; degrees lie between -90 and 90", s)
	}
	return Quantity{Value: v, Unit: name, Dim: d}, nil
}

func numberLen(s string) int {
	for i := 0; i < len(s); i++ {
		if c := s[i]; (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' {
			return i
		}
	}
	return len(s)
}

// ParseAs reads a quantity whose dimension is known only by one of its units, as criteria and house numbers are
// written: it takes the dimension of unit, so ParseAs("12.5cm", "m") is a length.
func ParseAs(s, unitName string) (Quantity, error) {
	d, err := DimensionOf(unitName)
	if err != nil {
		return Quantity{}, err
	}
	return Parse(s, d)
}

// DimensionOf returns the quantity a unit measures. "%" is taken as a share; slopes are parsed with Slope itself.
func DimensionOf(name string) (Dimension, error) {
	if name == "%" {
		return Share, nil
	}
	if name == "deg" {
		return Angle, nil
	}
	for d, us := range table {
		if _, ok := us[name]; ok {
			return d, nil
		}
	}
	return "", fmt.Errorf("unknown unit %q", name)
}

// List returns the units of a dimension, sorted.
func List(d Dimension) []string {
	names := make([]string, 0, len(table[d]))
	for n := range table[d] {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// Names lists the units of a dimension, sorted, for messages.
func Names(d Dimension) string { return strings.Join(List(d), ", ") }

var examples = map[Dimension]string{
	Slope: "38% or 21deg", Angle: "125deg", Length: "15m or 50ft", Time: "35min", Speed: "25km/h", Temperature: "17C or 63F",
	Mass: "350g", Volume: "0.9L", Burn: "0.9L/h", Rotation: "9000rpm", Area: "50m2", Power: "300W", Level: "95dBA",
	Acceleration: "5m/s2", Share: "2%", Count: "3", Months: "12months", Days: "90days", Points: "100points",
	Density: "2500stems/ha or 1000stems/ac",
}

// Example gives one well-formed quantity of the dimension, for messages.
func Example(d Dimension) string { return examples[d] }
