package main

import (
	"errors"
	"fmt"
	"slices"

	"example.org/ringtrue/hazards/exposure"
)

var calcNoise = calculation{
	name:  "noise",
	short: "Noise dose of a day, and how long a level may last",
	long: `osha is 90 dBA for 8 hours and 5 dB for half the time, law in the USA; niosh is 85 dBA and 3 dB, a recommendation.
Levels below 80 dBA add no dose. Published up to 130 dBA (osha) and 140 dBA (niosh). With several exposures
reference_hours is a list. twa_dba is none at dose 0.`,
	example: "ringtrue calc noise --criterion osha --exposure 95dBA:2h\nringtrue calc noise --criterion niosh --exposure 100dBA:20min --exposure 90dBA:3h",
	define: func(in *calcInputs) calcFunc {
		criterion := in.word("criterion", criteriaNames(), "osha or niosh")
		list := calcFlags(in, "exposure", "95dBA:2h", "level and time", calcEcho(withinDays(exposure.ParseNoise)))
		return func() (calcAnswer, error) { return noiseDay(criterionNamed(*criterion), *list) }
	},
}

// withinDays refuses an exposure that lasts longer than the longest the tables of both criteria know (32 h) could mean.
func withinDays(parse func(string) (exposure.Exposure, error)) func(string) (exposure.Exposure, error) {
	return func(text string) (exposure.Exposure, error) {
		e, err := parse(text)
		if err != nil {
			return e, err
		}
		if err := meantExposure(e.For.SI(), e.For); err != nil {
			return e, fmt.Errorf("%q: %s %w; write for example 95dBA:2h", text, e.For, err)
		}
		return e, nil
	}
}

// calcEcho turns a parser of exposures into one that echoes them.
func calcEcho(parse func(string) (exposure.Exposure, error)) func(string) (exposure.Exposure, string, error) {
	return func(text string) (exposure.Exposure, string, error) {
		e, err := parse(text)
		return e, e.String(), err
	}
}

func criteriaNames() (names []string) {
	for _, c := range exposure.Criteria() {
		names = append(names, c.Name)
	}
	return names
}

func criterionNamed(name string) exposure.Criterion {
	all := exposure.Criteria()
	return all[max(0, slices.IndexFunc(all, func(c exposure.Criterion) bool { return c.Name == name }))]
}

func noiseDay(c exposure.Criterion, list []exposure.Exposure) (calcAnswer, error) {
	a := calcAnswer{source: []string{c.Source}}
	dose, err := c.Dose(list)
	if err != nil {
		return a, err
	}
	a.add("dose_percent", dose, "%", 1)
	if twa, ok := c.TWA(dose); ok {
		a.add("twa_dba", twa, "dBA", 1)
	} else {
		a.add("twa_dba", nil, "dBA", 1)
		a.note("a dose of 0 has no eight-hour level")
	}
	hours, err := referenceHours(c, list)
	if err != nil {
		return a, err
	}
	a.add("reference_hours", hours, "h", 2)
	if slices.ContainsFunc(list, quiet) {
		a.note("levels below %g dBA add no dose and have no reference time", exposure.Threshold)
	}
	if total := totalHours(list); total > 24 {
		a.note("the exposures last %g hours, more than a day", total)
	}
	return a, nil
}

func quiet(e exposure.Exposure) bool { return !exposure.Counts(e.Of.Value) }

func totalHours(list []exposure.Exposure) (sum float64) {
	for _, e := range list {
		sum += e.Hours()
	}
	return sum
}

// referenceHours is a number for one exposure and a list for several; nil stands for a level that adds no dose.
func referenceHours(c exposure.Criterion, list []exposure.Exposure) (any, error) {
	hours := make([]any, len(list))
	for i, e := range list {
		if quiet(e) {
			continue
		}
		h, err := c.ReferenceHours(e.Of.Value)
		if err != nil {
			return nil, err
		}
		hours[i] = h
	}
	if len(hours) == 1 {
		return hours[0], nil
	}
	return hours, nil
}

var calcProtector = calculation{
	name:  "protector",
	short: "Noise at the ear under a hearing protector, by a named method",
	long: `Methods differ by ten decibels and more. snr and osha_c want --level-c and --rating; hml wants --level-a, --level-c,
--high, --medium and --low; all others want --level-a and --rating, an NRR. osha_field is field practice, not
part of the rule. The aim is 70 to 80 dB at the ear.`,
	example: "ringtrue calc protector --method snr --level-c 97 --rating 28\nringtrue calc protector --method hml --level-a 96 --level-c 99 --high 30 --medium 24 --low 22",
	define: func(in *calcInputs) calcFunc {
		name := in.word("method", methodNames(), "method")
		levelA := in.number(exposure.NeedLevelA, "dBA", "96", "A-weighted level in dBA", meantLevel)
		levelC := in.number(exposure.NeedLevelC, "dBC", "99", "C-weighted level in dBC", meantLevel)
		rating := in.number(exposure.NeedRating, "dB", "28", "SNR or NRR in dB", meantRating)
		high := in.number(exposure.NeedHigh, "dB", "30", "H in dB", meantRating)
		medium := in.number(exposure.NeedMedium, "dB", "24", "M in dB", meantRating)
		low := in.number(exposure.NeedLow, "dB", "22", "L in dB", meantRating)
		in.optional(protectorFlags...)
		in.check(func() error { return methodNeeds(in, *name) })
		in.check(func() error {
			if !in.understood("method", exposure.NeedHigh, exposure.NeedMedium, exposure.NeedLow) || *name != "hml" {
				return nil
			}
			return exposure.Protector{High: *high, Medium: *medium, Low: *low}.Falling()
		})
		return func() (calcAnswer, error) {
			p := exposure.Protector{LevelA: *levelA, LevelC: *levelC, Rating: *rating, High: *high, Medium: *medium, Low: *low}
			return atEar(in, methodNamed(*name), p), nil
		}
	},
}

// protectorFlags are the flags of which each method needs some.
var protectorFlags = []string{
	exposure.NeedLevelA, exposure.NeedLevelC, exposure.NeedRating, exposure.NeedHigh, exposure.NeedMedium, exposure.NeedLow,
}

func methodNames() (names []string) {
	for _, m := range exposure.Methods() {
		names = append(names, m.Name)
	}
	return names
}

func methodNamed(name string) exposure.Method {
	all := exposure.Methods()
	return all[max(0, slices.IndexFunc(all, func(m exposure.Method) bool { return m.Name == name }))]
}

// methodNeeds names every flag that the method wants and that is not there.
func methodNeeds(in *calcInputs, name string) error {
	if !in.understood("method") {
		return nil
	}
	var missing []error
	for _, need := range methodNamed(name).Needs {
		if !in.given(need) {
			missing = append(missing, fmt.Errorf("method %s: %w", name, in.field(need).missing()))
		}
	}
	return errors.Join(missing...)
}

func atEar(in *calcInputs, m exposure.Method, p exposure.Protector) calcAnswer {
	a := calcAnswer{source: []string{m.Source}}
	level := m.AtEar(p)
	a.add("level_at_ear", level, "dBA", 1)
	if m.AddsRealWorld() {
		a.note("the UK HSE adds %g dB for how protectors are worn: %s dBA", exposure.RealWorld, calcText(level+exposure.RealWorld, 1))
	}
	switch {
	case level < exposure.AimLow:
		a.note("below %g dBA: over-protection, calls and machines may not be heard", exposure.AimLow)
	case level > exposure.AimHigh:
		a.note("above %g dBA: the aim is %g to %g at the ear", exposure.AimHigh, exposure.AimLow, exposure.AimHigh)
	}
	for _, flag := range protectorFlags {
		if in.given(flag) && !slices.Contains(m.Needs, flag) {
			a.note("--%s is not used by %s", flag, m.Name)
		}
	}
	return a
}

var calcVibration = calculation{
	name:  "vibration",
	short: "Hand-arm vibration of a day: A(8), points, hours to the action value and the limit",
	long: `Accelerations are total values of three axes. hours_to_action and hours_to_limit count from zero and are given for
one exposure only. The action value comes first; the limit is never to be gone beyond. Published up to 40m/s2 and
10h for an exposure. Declared values of a machine are uncertain by 40 % and more.`,
	example: "ringtrue calc vibration --exposure 5m/s2:3h\nringtrue calc vibration --exposure 5m/s2:2h --exposure 4m/s2:90min",
	define: func(in *calcInputs) calcFunc {
		list := calcFlags(in, "exposure", "5m/s2:3h", "acceleration and time", calcEcho(exposure.ParseVibration))
		return func() (calcAnswer, error) { return vibrationDay(*list) }
	},
}

func vibrationDay(list []exposure.Exposure) (calcAnswer, error) {
	a := calcAnswer{source: []string{exposure.VibrationSource}}
	var outside []error
	for _, e := range list {
		if !exposure.WithinTable(e) {
			outside = append(outside, fmt.Errorf("%s lies outside the published table, up to %g m/s2 and %g h", e, exposure.MostVibration, exposure.MostHours))
		}
	}
	if len(outside) > 0 {
		return a, errors.Join(outside...)
	}
	points := exposure.Points(list)
	a.add("a8", exposure.A8(list), "m/s2", 2)
	a.add("points", points, "points", 0)
	var action, limit any
	switch {
	case len(list) > 1:
		a.note("hours to action and limit are for one exposure only")
	case list[0].Of.SI() == 0:
		a.note("no vibration: neither value is ever reached")
	default:
		action, limit = exposure.HoursTo(exposure.Action, list[0].Of.SI()), exposure.HoursTo(exposure.Limit, list[0].Of.SI())
	}
	a.add("hours_to_action", action, "h", 2)
	a.add("hours_to_limit", limit, "h", 2)
	a.note("zone %s; action value %g, never beyond %g m/s2 A(8)", exposure.Zone(points), exposure.Action, exposure.Limit)
	return a, nil
}
