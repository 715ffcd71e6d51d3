package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/exposure"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

// Minutes is what one person's day at the trigger came to. Numbers are strings with their unit; the record holds no floats.
type Minutes struct {
	Worker    string `json:"worker"`
	Saw       string `json:"saw"`
	Trigger   string `json:"trigger"`   // as told, "150min"
	Vibration string `json:"vibration"` // what was counted, uncertainty added
	A8        string `json:"a8"`
	Points    string `json:"points"`
	Noise     string `json:"noise"` // what was counted, nothing worn
	Dose      string `json:"dose"`  // percent of the criterion, nothing worn
	Criterion string `json:"criterion"`
	Over      string `json:"over"` // "", "action" or "limit": what the vibration went beyond
	Loud      bool   `json:"loud"` // the noise, nothing worn, went beyond the action value

	Worn     string `json:"worn,omitempty"`      // hearing protection, as told on the sheet or held by the book; "" = nobody said
	WornDose string `json:"worn_dose,omitempty"` // percent behind it; "" = no method and rating are known
	WornBy   string `json:"worn_by,omitempty"`   // source of the method
}

// ExposureOf works out one person's day on one saw. In needs the sheet, house rules, places and known saws only. It refuses a time that
// cannot be meant.
func ExposureOf(in Input, worker, saw, trigger string) (Minutes, error) {
	si, err := inRange(trigger, triggerQuestion)
	if err != nil {
		return Minutes{}, fmt.Errorf("time at the trigger: %w", err)
	}
	d := newDay(in)
	hours, f, r := si/3600, d.figuresOf(saw), d.noiseRule()
	action, limit := d.vibrationLimits()
	points := exposure.Points([]exposure.Exposure{span8(f.vibration, hours)})
	a8 := exposure.A8([]exposure.Exposure{span8(f.vibration, hours)})
	m := Minutes{Worker: worker, Saw: saw, Trigger: trigger, Vibration: f.words, Noise: f.noise, Criterion: r.Source,
		A8: number(a8, 2) + "m/s2", Points: number(points, 0) + "points", Dose: "0%"}
	switch {
	case a8 > limit:
		m.Over = "limit"
	case a8 > action:
		m.Over = "action"
	}
	if full, counts := r.HoursToLevel(f.noiseA, r.Level); counts {
		m.Dose = number(100*hours/full, 0) + "%"
		longest, _ := r.HoursToLevel(f.noiseA, r.Action)
		m.Loud = hours > longest
	}
	d.worn(&m, f, r, hours)
	return m, nil
}

// Tomorrow lists what the day says about the next one: answers still open, calls that were missed, people above a daily value, noon
// readings to enter, what was not looked at. Names stand as {id}.
func Tomorrow(in Input, a Assessment, minutes []Minutes, missed []Missed) []string {
	d := newDay(in)
	var out []string
	for _, o := range a.Open {
		out = append(out, fmt.Sprintf("still open: %s; %s was to find out by %s", o.Question, d.name(o.Who), o.By))
	}
	for _, m := range missed {
		out = append(out, fmt.Sprintf("the call of %s due at %s did not come: talk it over, and shorten the interval or change the device", d.name(m.Worker), m.Due))
	}
	out = append(out, d.overDay(minutes)...)
	if said(in.Sheet.Readings, FireClass).Is == Told || len(in.FireDays) > 0 {
		out = append(out, "enter the noon readings of "+in.Sheet.Day+" for "+in.Sheet.FireStation()+" on the sheet under fire-days, and the agency's new class")
	}
	return out
}

// overDay says who was above a daily value: a line for each of limit and action value for vibration, and one for noise.
func (d *day) overDay(minutes []Minutes) []string {
	over := map[string][]string{}
	for _, m := range minutes {
		if m.Over != "" {
			over[m.Over] = append(over[m.Over], fmt.Sprintf("%s (A(8) %s, %s)", d.name(m.Worker), m.A8, m.Trigger))
		}
		if m.Loud {
			key, dose := "noise", m.Dose
			if m.WornDose != "" {
				key, dose = "behind", m.Dose+"; "+m.WornDose+" behind what was worn"
			}
			over[key] = append(over[key], fmt.Sprintf("%s (dose %s)", d.name(m.Worker), dose))
		}
	}
	var out []string
	for _, value := range []struct{ word, key string }{{"limit", house.VibrationLimit}, {"action", house.VibrationAction}} {
		if who := over[value.word]; len(who) > 0 {
			out = append(out, fmt.Sprintf("beyond the %s value for vibration: %s; plan less time at the trigger (%s)", value.word, strings.Join(who, ", "), d.in.House.Cite(value.key)))
		}
	}
	if who := over["noise"]; len(who) > 0 {
		out = append(out, fmt.Sprintf("beyond the action value for noise, nothing worn: %s; wear protection whose method and rating are told (%s)", strings.Join(who, ", "), minutes[0].Criterion))
	}
	if who := over["behind"]; len(who) > 0 {
		out = append(out, fmt.Sprintf("beyond the action value for noise, nothing worn: %s; the limit counts behind what was worn (%s)", strings.Join(who, ", "), minutes[0].Criterion))
	}
	return out
}

// ParseMinutes reads a time at the trigger, "2.5h" or "150min", and refuses one that cannot be meant.
func ParseMinutes(text string) (units.Quantity, error) {
	if _, err := inRange(text, triggerQuestion); err != nil {
		return units.Quantity{}, err
	}
	return units.Parse(text, units.Time)
}
