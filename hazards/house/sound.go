package house

import (
	"errors"
	"fmt"
	"math"

	"example.org/ringtrue/hazards/units"
)

// counted are the numbers of which less than one makes no sense.
var counted = []string{LooksCritical, LookDaysCritical, LooksOther, LookDaysOther, SignOffMonths, EvidenceMonths, CurrencyDays, OpeningDays,
	InSightWorkers, FirstMonthDays, AwayDays, InspectionDays, SlopeLimit, OneCut, StandOff, FuelContainer, PlanRatio, PlanTank, PlanBurn, PlanArea, PlanCan}

// ordered are pairs of which the first is never above the second.
var ordered = [][2]string{
	{LookDaysCritical, LooksCritical}, {UnannouncedCritical, LooksCritical}, {LookDaysOther, LooksOther}, {UnannouncedOther, LooksOther},
	{SlopeStep1, SlopeStep2}, {SlopeStep2, SlopeStep3}, {KitWalk1, KitWalk2}, {KitWalk2, KitWalk3}, {WindCaution, WindStop},
	{ChillStop, ChillCaution}, {HumidexCaution, HumidexStop}, {HeatIndexCaution, HeatIndexStop},
}

// Sound reports numbers by which nobody can work, all at once: negative ones, parts of a day, month or piece, fewer
// than one of what is needed, a caution beyond its stop, months that are none. Editions are checked when they are adopted; one that the
// book holds already judges as it is.
func (h House) Sound() error {
	var problems []error
	for _, n := range h.Numbers {
		v := h.SI(n.Key)
		if v < 0 && n.Of != units.Temperature {
			problems = append(problems, fmt.Errorf("house rule %s: %s is negative", n.Key, n.Value))
		}
		if whole := n.Of == units.Count || n.Of == units.Days || n.Of == units.Months; whole && v != math.Trunc(v) {
			problems = append(problems, fmt.Errorf("house rule %s: %s is not a whole number", n.Key, n.Value))
		}
	}
	for _, key := range counted {
		if n, ok := h.find(key); ok && tooSmall(n, h.SI(key)) {
			problems = append(problems, fmt.Errorf("house rule %s: %s is too little to work by", key, n.Value))
		}
	}
	for _, pair := range ordered {
		if h.Has(pair[0]) && h.Has(pair[1]) && h.SI(pair[0]) > h.SI(pair[1]) {
			problems = append(problems, fmt.Errorf("house rule %s: %s is beyond %s %s", pair[0], h.Value(pair[0]), pair[1], h.Value(pair[1])))
		}
	}
	return errors.Join(append(problems, h.monthsSound()...)...)
}

// AsDefined reports numbers of which an edition says otherwise than this program what they measure or which way is stricter, all at
// once. A file is checked when it is adopted.
func (h House) AsDefined() error {
	var problems []error
	for _, n := range h.Numbers {
		def, known := Definition(n.Key)
		if !known {
			continue
		}
		if n.Of != def.Of {
			problems = append(problems, fmt.Errorf("house rule %s: it measures %s, not %s", n.Key, def.Of, n.Of))
		}
		if n.Strict != def.Strict {
			problems = append(problems, fmt.Errorf("house rule %s: strict is %q, not %q", n.Key, def.Strict, n.Strict))
		}
	}
	return errors.Join(problems...)
}

// tooSmall: pieces, days and months are at least one, other numbers above nothing. Negative ones are named already.
func tooSmall(n Number, v float64) bool {
	switch n.Of {
	case units.Count, units.Days, units.Months:
		return v >= 0 && v < 1
	}
	return v == 0
}
