package main

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/dayplan"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/hazards/units"
)

var calcTransport = calculation{
	name:  "transport",
	short: "Petrol on one vehicle against the limits of the road there",
	long: `--jurisdiction is a province, state or country of ringtrue rules list; its own limits and those it stands under count. Each figure of
the load stands beside its limit; over counts the figures above theirs. Limits were read for the USA, Canada and places under
ADR. Petrol only (UN 1203), in full cans; other dangerous goods on the vehicle count towards the same limits. A can weighs what
the starter house rules say unless --can-mass is given, and is as large as they say unless --can is given.`,
	example: "ringtrue calc transport --jurisdiction bc --fuel 40L\nringtrue calc transport --jurisdiction us-wa --fuel 40L --can 20L --can-mass 3kg",
	define: func(in *calcInputs) calcFunc {
		place := calcFlag(in, "jurisdiction", "bc", "where the road is", transportPlace)
		load := in.quantity("fuel", units.Volume, "40L", "petrol on the vehicle", meantPetrol)
		can := in.quantity("can", units.Volume, "20L", "size of each can", meantCan)
		mass := in.quantity("can-mass", units.Mass, "3kg", "weight of an empty can", meantCanMass)
		in.optional("can", "can-mass")
		return func() (calcAnswer, error) {
			l := dayplan.Load{Litres: load.SI(), CanSize: can.SI(), CanMass: mass.SI()}
			return transport(*place, l, in.given("can"), in.given("can-mass"))
		}
	},
}

// transportPlace reads a place of the local rules.
func transportPlace(text string) (place, echo string, err error) {
	edition, err := rules.Starter()
	if err != nil {
		return "", "", err
	}
	j, ok := edition.Find(text)
	if !ok {
		return "", "", fmt.Errorf("%q is not a place in the list; nearest: %s; all: ringtrue rules list", text, edition.NearestCode(text))
	}
	return j.Code, j.Code, nil
}

// transport compares a load with the limits of a place. What was not given comes from the starter house rules.
func transport(place string, l dayplan.Load, canGiven, massGiven bool) (calcAnswer, error) {
	a := calcAnswer{source: []string{}}
	edition, err := rules.Starter()
	if err != nil {
		return a, err
	}
	h, err := house.Starter()
	if err != nil {
		return a, err
	}
	if !canGiven {
		l.CanSize = h.SI(house.PlanCan)
		a.note("cans of %s: %s", h.Value(house.PlanCan), h.Cite(house.PlanCan))
	}
	if !massGiven {
		l.CanMass = h.SI(house.CanMass)
		a.note("an empty can of %s: %s", h.Value(house.CanMass), h.Cite(house.CanMass))
	}
	l.Cans = dayplan.CansFor(l.Litres, l.CanSize)
	regime := dayplan.Regime(codesOf(edition.Line(place)))
	if regime == "" {
		a.notes = nil
		return a, fmt.Errorf("outside the published limits: none for carrying petrol was read for %s; ask the road authority there", place)
	}
	a.transportLimits(regime, l)
	return a, nil
}

func codesOf(line []rules.Jurisdiction) []string {
	codes := make([]string, len(line))
	for i, j := range line {
		codes[i] = j.Code
	}
	return codes
}

// transportLimits adds each figure of the load with its limit, the sources, and how many figures are over.
func (c *calcAnswer) transportLimits(regime string, l dayplan.Load) {
	c.add("regime", regime, "", 0)
	c.add("cans", l.Cans, "cans", 0)
	over := 0
	for _, limit := range dayplan.Vehicle(regime, l) {
		c.add(limit.Figure, limit.Value, limit.Unit, 1)
		c.add(limit.Figure+"_limit", limit.TransportLimit.Value, limit.Unit, 1)
		c.source = append(c.source, fmt.Sprintf("%s_limit: %s, %s (%s)", limit.Figure, limit.Item, limit.Citation, limit.Status))
		if limit.Over {
			over++
			what, _, _ := strings.Cut(limit.Figure, "_")
			c.note("OVER: %s %s %s, the limit is %s %s", what, calcText(limit.Value, 1), limit.Unit, calcText(limit.TransportLimit.Value, 1), limit.Unit)
		}
	}
	c.add("over", over, "limits", 0)
	c.note("petrol only; other dangerous goods on the vehicle count towards the same limits; the text of the rules and the road authority decide")
}
