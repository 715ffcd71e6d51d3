package hazards

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

// FireDay is what a book keeps of one day's fire danger for one station: noon readings, the agency's class, or both. Quantities are
// strings with unit, codes strings unrounded; the record holds no floats. The codes are those computed when it was written;
// an assessment computes them again from the readings, so that a day filled in later heals the run.
type FireDay struct {
	Station string `json:"station"`
	Day     string `json:"day"` // YYYY-MM-DD
	Temp    string `json:"temp,omitempty"`
	RH      string `json:"rh,omitempty"`
	Wind    string `json:"wind,omitempty"`
	Rain    string `json:"rain,omitempty"`
	Start   bool   `json:"start"`           // the season starts on this day, with the start-up codes
	Codes   string `json:"codes,omitempty"` // the agency's codes of the day before, "FFMC DMC DC"
	Source  string `json:"source,omitempty"`

	Class   string `json:"class,omitempty"` // the agency's
	ClassAt string `json:"class_at,omitempty"`
	ClassBy string `json:"class_source,omitempty"`

	FFMC string `json:"ffmc,omitempty"`
	DMC  string `json:"dmc,omitempty"`
	DC   string `json:"dc,omitempty"`
	ISI  string `json:"isi,omitempty"`
	BUI  string `json:"bui,omitempty"`
	FWI  string `json:"fwi,omitempty"`
}

// HasReadings reports whether the day carries noon readings.
func (f FireDay) HasReadings() bool { return f.Temp != "" }

// same reports whether two records say the same of a day.
func (f FireDay) same(o FireDay) bool {
	f.FFMC, f.DMC, f.DC, f.ISI, f.BUI, f.FWI = o.FFMC, o.DMC, o.DC, o.ISI, o.BUI, o.FWI
	return f == o
}

// Questions that bound the readings of a fire line (company choice: what can be meant).
var fireQuestions = []Question{
	{ID: "temp", Of: units.Temperature, Such: "24C", Min: coldestAir, Max: hottestAir},
	{ID: "rh", Of: units.Share, Such: "35%", Max: 100},
	{ID: "wind", Of: units.Speed, Such: "12km/h", Max: mostWind},
	{ID: "rain", Of: units.Length, Such: "0mm", Max: 0.5},
}

// reading turns the strings into numbers. Every problem is in the error.
func (f FireDay) reading() (fire.Reading, error) {
	var problems []error
	day, err := civil.Parse(f.Day)
	if err != nil {
		problems = append(problems, err)
	}
	var si [4]float64 // as fireQuestions
	for i, said := range [4]string{f.Temp, f.RH, f.Wind, f.Rain} {
		if si[i], err = inRange(said, fireQuestions[i]); err != nil {
			problems = append(problems, fmt.Errorf("%s: %w", fireQuestions[i].ID, err))
		}
	}
	r := fire.Reading{Start: f.Start, Noon: fire.Noon{Day: day, Weather: fire.Weather{Temp: si[0], RH: si[1], Wind: si[2] * kmh, Rain: si[3] * 1000}}}
	if f.Codes != "" {
		c, err := fire.ParseCodes(f.Codes)
		if err != nil {
			err = fmt.Errorf("codes: %w", err)
		}
		problems, r.Before = append(problems, err), &c
	}
	return r, errors.Join(problems...)
}

// carried computes the season of a station up to a day from what the book keeps.
func carried(days []FireDay, through civil.Day, latitude float64) (fire.Carried, error) {
	list := make([]fire.Reading, 0, len(days))
	for _, f := range days {
		if !f.HasReadings() {
			continue
		}
		r, err := f.reading()
		if err != nil {
			return fire.Carried{}, fmt.Errorf("fire day %s: %w", f.Day, err)
		}
		list = append(list, r)
	}
	return fire.Carry(list, through, latitude)
}

// FireStation is the station whose readings count for a sheet: the one named, else the block.
func (s Sheet) FireStation() string {
	if a := said(s.Readings, FireStation); a.Is == Told {
		return a.Value
	}
	return s.Block
}

// NewFireDays returns what a sheet adds to the fire days that the book keeps of its station, with the codes as far as they can be
// carried. Lines that the book has already are left out. It refuses days that have not come, a day that stands in the book with
// other readings, and a season that would start again in its middle; every problem is named.
func NewFireDays(s Sheet, known []FireDay, latitude float64, h house.House) ([]FireDay, error) {
	today, err := civil.Parse(s.Day)
	if err != nil {
		return nil, err
	}
	var problems []error
	var fresh []FireDay
	for _, line := range s.FireDays {
		line.Station = s.FireStation()
		old, there := onDay(known, line.Day)
		switch {
		case there && old.same(line):
			continue
		case there:
			problems = append(problems, fmt.Errorf("fire-days: %s stands in the book with other readings (%s); strike that entry first", line.Day, old.words()))
		case line.Day > s.Day, line.Day == s.Day && s.At < noon:
			problems = append(problems, fmt.Errorf("fire-days: noon of %s has not come; the sheet is for %s at %s", line.Day, s.Day, s.At))
		default:
			problems = append(problems, restart(line, append(known[:len(known):len(known)], fresh...), h))
		}
		fresh = append(fresh, line)
	}
	if err := errors.Join(problems...); err != nil {
		return nil, err
	}
	fresh = withCodes(fresh, known, today, latitude)
	return append(fresh, s.classDay(known)...), nil
}

// noon is when readings can be there at the earliest; noon standard time is an hour later by a clock on summer time.
const noon = "12:00"

func onDay(days []FireDay, day string) (FireDay, bool) {
	for _, f := range days {
		if f.Day == day && f.HasReadings() {
			return f, true
		}
	}
	return FireDay{}, false
}

func (f FireDay) words() string {
	return strings.Join([]string{f.Temp, f.RH, f.Wind, f.Rain}, ", ")
}

// restart refuses a line that would start the season again in its middle: the start-up codes, typed or meant, within fire-break days
// after another reading, or the agency's codes where the day before is there to carry on from.
func restart(line FireDay, known []FireDay, h house.House) error {
	r, err := line.reading()
	if err != nil || (!r.Start && r.Before == nil) {
		return err
	}
	last := lastBefore(known, line.Day)
	if last == "" {
		return nil
	}
	before, err := civil.Parse(last)
	if err != nil {
		return err
	}
	again := r.Start || *r.Before == fire.StartUp
	switch gap := int(r.Day - before); {
	case again && h.Has(house.FireBreak) && gap <= h.Int(house.FireBreak):
		return fmt.Errorf("fire-days: %s would start the season again in its middle; the last readings are of %s (%s). Fill the days between, or take the agency's codes",
			line.Day, last, h.Cite(house.FireBreak))
	case !again && gap == 1:
		return fmt.Errorf("fire-days: %s follows %s, whose codes are carried; the agency's codes are for a run with a gap", line.Day, last)
	}
	return nil
}

// lastBefore is the last day with readings before a day, "" without one.
func lastBefore(days []FireDay, day string) string {
	last := ""
	for _, f := range days {
		if f.HasReadings() && f.Day < day && f.Day > last {
			last = f.Day
		}
	}
	return last
}

// withCodes writes the codes into the new days as far as they can be carried.
func withCodes(fresh, known []FireDay, today civil.Day, latitude float64) []FireDay {
	c, err := carried(append(known[:len(known):len(known)], fresh...), today, latitude)
	if err != nil {
		return fresh
	}
	for i := range fresh {
		for _, r := range c.Days {
			if f := &fresh[i]; f.Day == r.Day.String() {
				f.FFMC, f.DMC, f.DC = exact(r.FFMC), exact(r.DMC), exact(r.DC)
				f.ISI, f.BUI, f.FWI = exact(r.ISI), exact(r.BUI), exact(r.FWI)
			}
		}
	}
	return fresh
}

// classDay is the agency's class told on the sheet, unless the book has just that.
func (s Sheet) classDay(known []FireDay) []FireDay {
	class := said(s.Readings, FireClass)
	if class.Is != Told {
		return nil
	}
	f := FireDay{Station: s.FireStation(), Day: s.Day, Class: class.Value, ClassAt: said(s.Readings, FireClassAt).Value, ClassBy: said(s.Readings, FireClassBy).Value}
	for _, k := range known {
		if k.same(f) {
			return nil
		}
	}
	return []FireDay{f}
}
