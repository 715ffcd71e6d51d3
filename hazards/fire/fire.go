// Package fire computes the Canadian Forest Fire Weather Index System: how dry the litter, the duff and the deep layer
// are, and how a fire would spread, from the weather at noon.
//
// Three moisture codes are carried from day to day - FFMC for fine litter (0 to 101), DMC for loose duff, DC for deep
// compact layers (both from 0, open) - and three indices follow from them: ISI (spread), BUI (fuel), FWI. A season
// starts from the codes of StartUp, and no day may be left out: a gap is filled with the best weather known, never by
// starting again. Codes are carried unrounded; only what is shown is rounded.
//
// Weather is that of noon local standard time (not summer time): temperature in °C, relative humidity in percent, wind
// in km/h at 10 m in the open, rain of the past 24 h in mm. A wind felt at eye level under trees is much lower and
// must not be put in as it is.
//
// The equations are those of Van Wagner and Pickett 1985 (Forestry Technical Report 33) and Van Wagner 1987 (FTR 35).
// Neither report was opened; the equations were read one by one in restatements and in the listing that made the
// published sample run. Where the printed DMC equation and that listing differ, the listing is followed.
//
// The index ranks days. Whether work stops is for the fire agency, whose own class wins when it is stricter.
package fire

import (
	"errors"
	"fmt"
	"math"
	"time"

	"example.org/ringtrue/training/civil"
)

// Source names where the system was published, for printing beside a result.
const Source = "Van Wagner and Pickett 1985, FTR 33, and Van Wagner 1987, FTR 35 (equations read in restatements, reports not opened)"

// Weather is what the system needs of one day at noon local standard time.
type Weather struct {
	Month time.Month
	Temp  float64 // °C
	RH    float64 // percent, 0 to 100
	Wind  float64 // km/h at 10 m in the open
	Rain  float64 // mm in the past 24 h
}

// Codes are the three moisture codes that one day hands to the next.
type Codes struct {
	FFMC float64 // fine fuel moisture code, 0 to 101
	DMC  float64 // duff moisture code, from 0
	DC   float64 // drought code, from 0
}

// StartUp are the codes a season starts from (FTR 33).
var StartUp = Codes{FFMC: 85, DMC: 6, DC: 15}

// DefaultLatitude stands where no latitude is told: the standard day lengths are those of 46° north (FTR 35).
const DefaultLatitude = 46

// Indices are the codes of a day and what follows from them.
type Indices struct {
	Codes
	ISI float64 // initial spread index
	BUI float64 // build-up index
	FWI float64 // fire weather index
}

// Step computes one day from its weather, the codes of the day before, and the latitude in degrees, north positive.
// The error joins every input that is out of range.
func Step(w Weather, yesterday Codes, latitude float64) (Indices, error) {
	if err := errors.Join(w.check(), yesterday.check(), inRange("latitude", latitude, -90, 90)); err != nil {
		return Indices{}, err
	}
	var today Indices
	today.FFMC = FFMC(w, yesterday.FFMC, Reports)
	today.DMC = DMC(w, yesterday.DMC, latitude)
	today.DC = DC(w, yesterday.DC, latitude)
	today.ISI = ISI(today.FFMC, w.Wind, Reports)
	today.BUI = BUI(today.DMC, today.DC)
	today.FWI = FWI(today.ISI, today.BUI)
	return today, nil
}

// Noon is the weather of one calendar day; the month of the weather is taken from the day.
type Noon struct {
	Day civil.Day
	Weather
}

// Season computes a run of days in order from the codes before the first of them. It refuses a day that does not
// follow the one before, naming the gap, and weather that is out of range.
func Season(days []Noon, start Codes, latitude float64) ([]Indices, error) {
	list := make([]Indices, 0, len(days))
	codes := start
	for i, d := range days {
		if i > 0 && d.Day != days[i-1].Day+1 {
			return nil, fmt.Errorf("fire season: %s does not follow %s; fill the days between, the codes are carried from day to day", d.Day, days[i-1].Day)
		}
		d.Month = d.Day.Noon(time.UTC).Month()
		today, err := Step(d.Weather, codes, latitude)
		if err != nil {
			return nil, fmt.Errorf("fire season: %s: %w", d.Day, err)
		}
		list = append(list, today)
		codes = today.Codes
	}
	return list, nil
}

func (w Weather) check() error {
	return errors.Join(
		inRange("month", float64(w.Month), 1, 12),
		inRange("temperature", w.Temp, -273.15, math.MaxFloat64),
		inRange("relative humidity", w.RH, 0, 100),
		inRange("wind", w.Wind, 0, math.MaxFloat64),
		inRange("rain", w.Rain, 0, math.MaxFloat64),
	)
}

func (c Codes) check() error {
	return errors.Join(
		inRange("FFMC", c.FFMC, 0, 101),
		inRange("DMC", c.DMC, 0, math.MaxFloat64),
		inRange("DC", c.DC, 0, math.MaxFloat64),
	)
}

// inRange refuses a value outside low to high; NaN is outside every range.
func inRange(what string, v, low, high float64) error {
	switch {
	case v >= low && v <= high:
		return nil
	case high == math.MaxFloat64:
		return fmt.Errorf("%s is %g; it starts at %g", what, v, low)
	}
	return fmt.Errorf("%s is %g; it goes from %g to %g", what, v, low, high)
}
