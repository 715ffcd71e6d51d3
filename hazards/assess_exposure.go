package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/exposure"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

// figures are the vibration and noise of one saw as they count today.
type figures struct {
	vibration float64 // m/s², uncertainty added
	noiseA    float64 // dBA at the ear, nothing worn
	noiseC    float64 // dBC, 0 = not told
	words     string  // what was told
	noise     string  // what was told
	told      bool    // of vibration
	toldNoise bool
}

// exposures compares the planned trigger time of each person with the daily values, the action value first. Whose time is not planned
// is not looked at.
func (d *day) exposures() {
	var unplanned []string
	for _, c := range d.in.Sheet.Crew {
		if !c.Saws() {
			continue
		}
		q, err := units.Parse(c.Trigger, units.Time)
		if err != nil {
			unplanned = append(unplanned, d.name(c.Worker))
			continue
		}
		if d.ruled("noise and vibration", house.VibrationAction, house.VibrationLimit, house.VibrationAdds, house.NoiseCriterion) {
			d.vibration(c, q.SI()/3600)
			d.noise(c, q.SI()/3600)
		}
	}
	if len(unplanned) > 0 {
		d.unseen("noise and vibration of %s", strings.Join(unplanned, ", "))
	}
}

// figuresOf takes what the sheet tells of a saw, else what the book knows, else the planning figures of the house rules.
func (d *day) figuresOf(saw string) figures {
	line, known := SawLine{}, d.known(saw)
	for _, s := range d.in.Sheet.Saws {
		if s.ID == saw {
			line = s
		}
	}
	var f figures
	vibration := firstOf(line.Vibration, known.Vibration)
	if v, err := units.Parse(vibration, units.Acceleration); err == nil {
		adds := d.in.House.SI(house.VibrationAdds)
		f.vibration, f.told = v.SI()*(1+adds/100), true
		f.words = fmt.Sprintf("%s told, %sm/s2 with %s for uncertainty", vibration, number(f.vibration, 1), d.in.House.Value(house.VibrationAdds))
	} else {
		f.vibration, f.words = d.in.House.SI(house.PlanVibration), d.in.House.Value(house.PlanVibration)+", the planning figure, because none is told for this saw"
	}
	noise := firstOf(line.Noise, known.Noise)
	if v, err := units.Parse(noise, units.Level); err == nil {
		f.noiseA, f.noise, f.toldNoise = v.SI(), noise+" told", true
	} else {
		f.noiseA, f.noise = d.in.House.SI(house.PlanNoise), d.in.House.Value(house.PlanNoise)+", the planning figure, because none is told for this saw"
	}
	if v, err := units.Parse(line.NoiseC, units.Level); err == nil {
		f.noiseC = v.SI()
	}
	return f
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

// vibrationLimits are the two daily values.
func (d *day) vibrationLimits() (action, limit float64) {
	return d.in.House.SI(house.VibrationAction), d.in.House.SI(house.VibrationLimit)
}

// vibration says how long the trigger may be held until the action value, and that the limit is never gone beyond. A plan beyond it, on
// a figure that was told, stops the person until less is planned.
func (d *day) vibration(c CrewLine, hours float64) {
	f, t := d.figuresOf(c.Saw), d.times(c.Saw)
	if f.vibration <= 0 || hours <= t.Action {
		return
	}
	day := []exposure.Exposure{span8(f.vibration, hours)}
	found := limited{topic: TopicVibration, id: "vibration", effect: Watch, worker: c.Worker, other: exposure.VibrationSource,
		rules: []string{house.VibrationAction, house.VibrationLimit, house.VibrationAdds, house.PlanVibration},
		what: fmt.Sprintf("Time to the action value %s; never beyond %s. Planned is %s, A(8) %sm/s2, %s points (%s).", span(60*t.Action),
			span(60*t.Limit), c.Trigger, number(exposure.A8(day), 1), number(exposure.Points(day), 0), f.words),
		line: "vibration: action value after " + span(60*t.Action) + ", never beyond " + span(60*t.Limit),
		do:   "plan less time at the trigger", ends: "less time at the trigger is planned, or a saw that shakes less"}
	if f.told && hours > t.Limit {
		found.effect = StopPerson
	}
	d.limit(found)
}

func span8(value, hours float64) exposure.Exposure {
	return exposure.Exposure{Of: units.Quantity{Value: value, Unit: "m/s2", Dim: units.Acceleration}, For: units.Quantity{Value: hours, Unit: "h", Dim: units.Time}}
}

// noiseRule is that of the place, or the stricter recommendation where the house rules choose it.
func (d *day) noiseRule() exposure.Rule {
	if d.in.House.Value(house.NoiseCriterion) == "niosh" {
		return exposure.Recommended()
	}
	return exposure.RuleOf(d.in.Places)
}

// noise counts the action value as if nothing were worn and the limit behind the protector. Where no protector is told with its
// method, nothing is taken off and the finding says so.
func (d *day) noise(c CrewLine, hours float64) {
	f, r := d.figuresOf(c.Saw), d.noiseRule()
	action := d.times(c.Saw).NoiseAction
	if hours <= action {
		return
	}
	ear, method, why := f.atEar(c.Ears)
	limit, loud := r.HoursToLevel(ear, r.Limit)
	found := limited{topic: TopicNoise, id: "noise", effect: Watch, worker: c.Worker, rules: []string{house.NoiseCriterion, house.PlanNoise},
		other: r.Source, ends: "less time at the trigger is planned, or better protection with its method is named"}
	never := "; the limit is not reached behind the protector"
	switch {
	case loud && method == "":
		never = "; without protection never beyond " + span(60*limit)
	case loud:
		never = "; behind the protector never beyond " + span(60*limit)
	}
	found.line, found.do = "noise: action value, nothing worn, after "+span(60*action), "plan less time at the trigger, or name better protection"
	found.what = fmt.Sprintf("Time to the action value, nothing worn, %s%s. Planned is %s (%s; %s).", span(60*action), never, c.Trigger, f.noise, why)
	if method != "" {
		found.other += "; " + method
	}
	if loud && f.toldNoise && c.Ears != "" && method != "" && hours > limit {
		found.effect = StopPerson
	}
	d.limit(found)
}

// atEar is the level at the ear behind the protector told as "METHOD RATING", with the source of the method, and in words.
func (f figures) atEar(ears string) (dBA float64, source, words string) {
	m, rating, err := parseEars(ears)
	if ears == "" || err != nil {
		return f.noiseA, "", "hearing protection is worn but not counted: no method and rating are told"
	}
	p := exposure.Protector{LevelA: f.noiseA, LevelC: f.noiseC, Rating: rating}
	for _, need := range m.Needs {
		if need == exposure.NeedLevelC && f.noiseC == 0 {
			return f.noiseA, "", "hearing protection is worn but not counted: " + m.Name + " needs the noise in dBC"
		}
	}
	level := m.AtEar(p)
	if m.AddsRealWorld() {
		level += exposure.RealWorld
	}
	return level, m.Source, fmt.Sprintf("at the ear %s dBA by %s", number(level, 1), ears)
}

// parseEars reads "METHOD RATING", as "csa_muff 25".
func parseEars(text string) (exposure.Method, float64, error) {
	words := strings.Fields(text)
	if len(words) != 2 {
		return exposure.Method{}, 0, fmt.Errorf("%q is no method with a rating; write for example csa_muff 25 (methods: %s)", text, strings.Join(earMethods, ", "))
	}
	m, ok := exposure.MethodOf(words[0])
	if !ok || !contains(earMethods, m.Name) {
		return exposure.Method{}, 0, fmt.Errorf("%q is not a method; use %s", words[0], strings.Join(earMethods, ", "))
	}
	v, err := units.Parse(strings.TrimSuffix(words[1], "dB")+"dB", units.Level)
	if err != nil || v.Value < 0 || v.Value > mostRating {
		return exposure.Method{}, 0, fmt.Errorf("%q is not a rating in dB; write for example csa_muff 25", words[1])
	}
	return m, v.Value, nil
}

// mostRating is the highest rating of a protector that can be meant (company choice).
const mostRating = 50 // dB

// earMethods are those that want one rating.
var earMethods = func() []string {
	var names []string
	for _, m := range exposure.Methods() {
		if contains(m.Needs, exposure.NeedRating) {
			names = append(names, m.Name)
		}
	}
	return names
}()
