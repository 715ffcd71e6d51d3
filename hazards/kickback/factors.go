// Package kickback deals with blade thrust: the saw head thrown aside or back when the turning blade meets something
// that it does not cut at once.
//
// Scored in the morning is only what can be known then: the ground, the stems, the saw and whether people are tired
// or hurried. Behaviour - sweeping, reaching, cutting with the front right of the blade - is never asked; it is what
// observations are for. Slope is left out on purpose: in the one study read, falls rose with slope and kickback
// hardly did (J. Japan Forest Engineering Society 25(2), abstract, read).
package kickback

import "example.org/ringtrue/hazards/risk"

// StartSeverity is the harm a kickback starts at, 1 to 4 of MIL-STD-882E Table I: permanent partial disability
// (company choice). One worse where help is late.
const StartSeverity = 2

// LargestOfSaw is the thickest stem of a clearing saw in metres where the house rules have no figure yet: that of the starter edition
// (Finnish seedling-stand guidance, two cuts to 13 cm, read).
const LargestOfSaw = 0.13

// Factors that are asked or known from the book. Controls name them by these ids.
const (
	HiddenBase    = "hidden-base"
	LargestStem   = "largest-stem"
	BentStems     = "bent-stems"
	CloseRight    = "close-right"
	TiredHurried  = "tired-hurried"
	DullBlade     = "dull-blade"     // per saw, from its check line
	FixedThrottle = "fixed-throttle" // per saw, from the book
	MissedLook    = "missed-look"    // per person, from the book
)

// Words for less than all of it, which weighs as Less says.
const (
	Patches = "patches" // of HiddenBase: some, and flagged
	Few     = "few"     // of BentStems
)

// Less is a factor of which there is only some: what is ordinary in thinning weighs 1 (company choice).
func Less(f risk.Factor) risk.Factor {
	f.Words, f.Weight = map[string]string{
		HiddenBase: "patches in which the base of the stem is not seen", BentStems: "a few bent stems or clumps",
	}[f.ID], risk.Weak
	return f
}

// What raises the chance of kickback.
var factors = []risk.Factor{
	{
		ID: HiddenBase, Words: "brush or snow hides the base of the stem, rock or wire nearly everywhere", Weight: risk.Strong,
		Source: "lost-time study (J. Japan Forest Engineering Society 25(2), abstract), Japanese case study 21 and the US blade-thrust " +
			"guideline (CPSC appendix 89, 2004), all read",
		Away:      "flag out the patches with hidden rock, stumps and wire, or thin when the leaves are off and the snow is gone",
		Organised: "part the brush and see the base before the blade goes in",
	},
	{
		ID: LargestStem, Words: "stems too thick for one cut", Weight: risk.Moderate,
		Source:    "Swedish class limits, Finnish guidance and a Japanese safety page, read; they disagree, 6 to 10 cm",
		Away:      "leave the thick stems for a qualified chain-saw hand",
		Organised: "two cuts on every stem over the limit",
	},
	{
		ID: BentStems, Words: "bent stems, stems under tension, or clumps", Weight: risk.Moderate,
		Source:    "Japanese safety page and Swedish class content, read",
		Away:      "flag out the bent and clumped stems",
		Organised: "nobody else within two lengths, stand opposite the spring, small cuts on the pressed side before the pulled side; clumps from the outside in",
	},
	{
		// Belongs to every thinning, so the sheet no longer asks; sheets recorded before may name it.
		ID: CloseRight, Words: "a crop tree or an obstacle close on the right", Weight: risk.Weak,
		Source:    "course outline from eastern Canada (2002), read; common practice",
		Organised: "come to it from the other side",
	},
	{
		ID: TiredHurried, Words: "tired, or behind and hurrying", Weight: risk.Moderate,
		Source:    "contractor survey (Safety 2018;4(4):43) and Japanese pause advice (2011), read",
		Away:      "cut the day's strip short, so that nobody hurries or saws tired",
		Organised: "a short pause every half hour, and stop early",
	},
	{
		ID: DullBlade, Words: "a dull or badly set blade", Weight: risk.Moderate,
		Source: "course outline from eastern Canada (2002), read; common practice",
		Away:   "file it or fit a sharp one before the start, then answer again",
	},
	{
		ID: FixedThrottle, Words: "a saw with a fixed throttle lever", Weight: risk.Moderate,
		Source: "lost-time study (J. Japan Forest Engineering Society 25(2), abstract), read",
		Away:   "take a saw with a trigger throttle",
	},
	{
		ID: MissedLook, Words: "a point missed in the last look at cutting or kickback", Weight: risk.Moderate,
		Source:    "company choice, no source",
		Organised: "a named person watches the first strip",
	},
}

// Factors returns every factor of this topic, in the order of the day sheet. The slice is the caller's.
func Factors() []risk.Factor { return append([]risk.Factor(nil), factors...) }
