package main

import (
	"fmt"
	"math"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/stand"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
)

var calcSpacing = calculation{
	name:  "spacing",
	short: "Stems per hectare of a spacing, and the other way round",
	long: `spacing_m is the side of the square that one stem has, 100/√(stems per hectare); triangular_m is the distance between
neighbours when the same density stands in equal triangles.`,
	example: "ringtrue calc spacing --spacing 2m\nringtrue calc spacing --density 1300\nringtrue calc spacing --density 500stems/ac",
	define: func(in *calcInputs) calcFunc {
		apart := in.quantity("spacing", units.Length, "2m", "side of the square that one stem has", meantApart)
		density := in.density("density", "2500", "stems per hectare, or with the unit stems/ac", meantDensity)
		in.oneOf("spacing", "density")
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{stand.SpacingSource}}
			n, s := *density, apart.SI()
			if in.given("spacing") {
				n = stand.Density(s)
			} else {
				s = stand.Spacing(n)
			}
			a.add("spacing_m", s, "m", 2)
			a.add("stems_per_ha", n, "stems/ha", 0)
			a.add("triangular_m", stand.Triangular(n), "m", 2)
			return a, nil
		}
	},
}

// plotLayout declares what calc plot takes about how plots are laid out, and adds it to the answer.
func plotLayout(in *calcInputs, area *units.Quantity) func(*calcAnswer) {
	slope := in.quantity("slope", units.Slope, "30%", "slope of the ground, for the radius to be laid out", meantPlotSlope)
	places := in.word("places", []string{stand.Beforehand, stand.OnTheSpot}, "when the places of the plots were chosen")
	in.optional("slope", "places")
	return func(a *calcAnswer) {
		if in.given("slope") {
			a.add("radius_m", stand.Radius(area.SI()), "m", 2)
			a.add("slope_radius_m", stand.SlopeRadius(area.SI(), slope.SI()), "m", 2)
			a.source = append(a.source, stand.RadiusSource)
		}
		switch {
		case in.given("places") && *places == stand.Beforehand:
			a.note("the places of the plots were chosen beforehand")
		case in.given("places"):
			a.note("the places of the plots were chosen on the spot: the interval does not hold for the ground")
		}
	}
}

var calcHarness = calculation{
	name:  "harness",
	short: "Hook, blade height, level, elbow and wrist of one operator against the ranges",
	long: `Measure with a full tank, the operator standing upright. --hook is how far the hook hangs below the hip bone, --height the blade
above the ground at rest, --tilt the blade from level. --elbow and --wrist may be left out. The ranges are those of the starter
curriculum, skills 3.2 and 3.3, and of the starter house rules; sources disagree, and the starter range is the most cautious read.
ringtrue saw harness records a fitting by the book's own ranges.`,
	example: "ringtrue calc harness --hook 12cm --height 35cm --tilt 2deg --tank full\nringtrue calc harness --hook 12cm --height 35cm --tilt 2deg --elbow 125deg --wrist 5deg --tank full",
	define: func(in *calcInputs) calcFunc {
		hook := in.quantity("hook", units.Length, "12cm", "hook below the hip bone", calcBetween(-1, 1))
		height := in.quantity("height", units.Length, "35cm", "blade above the ground at rest", calcBetween(0, 2))
		tilt := in.quantity("tilt", units.Angle, "2deg", "blade from level", calcBetween(-90, 90))
		elbow := in.quantity("elbow", units.Angle, "125deg", "elbow at work", calcBetween(0, 180))
		wrist := in.quantity("wrist", units.Angle, "5deg", "bend of the wrist", calcBetween(-90, 90))
		tank := in.word("tank", []string{"full", "half", "empty"}, "how full the tank is")
		in.optional("elbow", "wrist")
		return func() (calcAnswer, error) {
			sheet := harnessSheet{hook: *hook, height: *height, tilt: *tilt}
			if in.given("elbow") {
				sheet.elbow = elbow
			}
			if in.given("wrist") {
				sheet.wrist = wrist
			}
			return sheet.compare(*tank)
		}
	},
}

// harnessSheet is what was measured of one operator. Elbow and wrist may be nil.
type harnessSheet struct {
	hook, height, tilt units.Quantity
	elbow, wrist       *units.Quantity
}

// compare holds each measure against its range.
func (s harnessSheet) compare(tank string) (calcAnswer, error) {
	a := calcAnswer{source: []string{}}
	if tank != "full" {
		return a, fmt.Errorf("hook and balance are set with a full tank; it is %s", tank)
	}
	std, err := catalogue.Starter()
	if err != nil {
		return a, err
	}
	h, err := house.Starter()
	if err != nil {
		return a, err
	}
	outside := 0
	say := func(name, word, source string) {
		if word != harnessFits {
			outside++
		}
		a.add(name, word, "", 0)
		a.source = append(a.source, name+": "+source)
	}
	for _, m := range []struct {
		skill, criterion, name string
		value                  *units.Quantity
	}{{skillBalance, "hook", "hook", &s.hook}, {skillBalance, "height", "height", &s.height}, {skillHandles, "elbow", "elbow", s.elbow}} {
		if m.value == nil {
			continue
		}
		word, c, err := measured(std, m.skill, m.criterion, *m.value)
		if err != nil {
			return a, err
		}
		say(m.name, word, c.Wanted()+"; "+c.Source)
	}
	say("tilt", mostAngle(s.tilt, h, house.BladeTilt), h.Cite(house.BladeTilt))
	if s.wrist != nil {
		say("wrist", mostAngle(*s.wrist, h, house.WristBend), h.Cite(house.WristBend))
	}
	a.add("outside", outside, "measures", 0)
	a.note("one operator, one saw, a full tank; measure again after another saw, harness or boots")
	return a, nil
}

// Words for a measure and its range.
const (
	harnessFits = "in range"
	tooLow      = "too low"
	tooHigh     = "too high"
)

// measured compares a measure with the range of a criterion.
func measured(c training.Curriculum, skill, criterion string, q units.Quantity) (string, training.Criterion, error) {
	s, _, _ := c.Skill(skill)
	crit, ok := s.Criterion(criterion)
	if !ok || crit.Min == "" || crit.Max == "" {
		return "", crit, fmt.Errorf("the curriculum gives no range for %s of skill %s", criterion, skill)
	}
	low, err := units.Parse(crit.Min, crit.Of)
	if err != nil {
		return "", crit, err
	}
	high, err := units.Parse(crit.Max, crit.Of)
	if err != nil {
		return "", crit, err
	}
	const hair = 1e-9
	switch {
	case q.SI() < low.SI()-hair:
		return tooLow, crit, nil
	case q.SI() > high.SI()+hair:
		return tooHigh, crit, nil
	}
	return harnessFits, crit, nil
}

func mostAngle(q units.Quantity, h house.House, key string) string {
	if math.Abs(q.SI()) > h.SI(key)+1e-9 {
		return tooHigh
	}
	return harnessFits
}
