package slope

import (
	"math"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/risk"
)

// Harm of a fall with a saw, 1 to 4 of MIL-STD-882E Table I (company choice). One worse where help is late.
const (
	StartSeverity = 3 // lost working days
	SteepSeverity = 2 // above the house slope limit: permanent partial disability
)

// OneAboveFrom is the slope in percent from which nobody starts while one works straight above another, where the house rules have no
// figure yet: that of the starter edition (company choice).
const OneAboveFrom = 15.0

// Factors of a fall that are asked in the morning. Controls name them by these ids.
const (
	Steepest    = "steepest-slope"
	WetOrIcy    = "wet-icy"
	RoughGround = "rough-ground"
	OneAbove    = "one-above"
	LoadInHand  = "fuel-far"
)

// Words for less than all of it, which weighs as Less says.
const (
	Wet  = "wet"  // of WetOrIcy: wet ground, no ice, rock or peeled wood
	Some = "some" // of RoughGround: as usual on that block
)

// Less is a factor of which there is only some: what is ordinary in thinning weighs 1 (company choice).
func Less(f risk.Factor) risk.Factor {
	f.Words, f.Weight = map[string]string{WetOrIcy: "wet ground underfoot", RoughGround: "slash and stumps as usual there"}[f.ID], risk.Weak
	return f
}

// What raises the chance of a fall beside the slope itself.
var factors = []risk.Factor{
	{
		ID: WetOrIcy, Words: "ice, snow, wet rock or wet peeled wood underfoot", Weight: risk.Strong,
		Source:    "injury report of 7 Jun 2007 (wet rock, more than ten years in the trade), read; ice and snow common practice",
		Away:      "work the dry ground first",
		Organised: "wait until it has dried or thawed, short steps, saw off to move",
	},
	{
		ID: RoughGround, Words: "holes, ditches or heavy slash underfoot", Weight: risk.Moderate,
		Source:    "Quebec accident sheet (28 % of accidents are falls on the level), a spacing-hole alert and a forestry paper, read",
		Away:      "flag out the worst of it",
		Organised: "choose the way before the step, feet first and then the saw",
	},
	{
		ID: OneAbove, Words: "somebody works straight above somebody else", Weight: risk.Strong,
		Source:    "a contractor's brush-cutter procedure (Japan), read; common practice",
		Away:      "set people side by side, never one above another",
		Organised: "one of them waits outside while the other saws",
	},
	{
		ID: LoadInHand, Words: "one can far away: carried over the slash, then hurry", Weight: risk.Weak,
		Source: "Finnish seedling-stand guidance and a course outline from eastern Canada, read",
		Away:   "put the can in the middle, or one at each end of the strip",
	},
}

// Factors returns the yes-no factors of this topic, in the order of the day sheet. The slice is the caller's.
func Factors() []risk.Factor { return append([]risk.Factor(nil), factors...) }

// Step gives the weight of a slope in percent in the steps of the house rules: 0 below the first, weak and moderate
// from the first and second on, strong from the third on.
func Step(percent float64, h house.House) int {
	p := math.Abs(percent)
	switch {
	case p >= h.SI(house.SlopeStep3):
		return risk.Strong
	case p >= h.SI(house.SlopeStep2):
		return risk.Moderate
	case p >= h.SI(house.SlopeStep1):
		return risk.Weak
	}
	return 0
}

// SteepFactor is the factor of a slope of so many percent; ok is false where the slope counts nothing.
func SteepFactor(percent float64, h house.House) (f risk.Factor, ok bool) {
	w := Step(percent, h)
	return risk.Factor{
		ID: Steepest, Words: "the slope itself", Weight: w,
		Source:    "falls rise with slope (J. Japan Forest Engineering Society 25(2), abstract, read); the steps are company choice",
		Organised: "strips along the contour, from the bottom up",
	}, w > 0
}

// AboveLimit reports whether a slope of so many percent is steeper than the house rules allow.
func AboveLimit(percent float64, h house.House) bool {
	return math.Abs(percent) > h.SI(house.SlopeLimit)
}

// Severity is the harm a fall starts at on a slope of so many percent.
func Severity(percent float64, h house.House) int {
	if AboveLimit(percent, h) {
		return SteepSeverity
	}
	return StartSeverity
}
