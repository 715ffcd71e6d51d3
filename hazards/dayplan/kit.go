package dayplan

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/spelling"
)

// What the number of a part in the kit is counted by.
const (
	PerCrew   = "crew"
	PerSaw    = "saw"
	PerPerson = "person"
	PerFour   = "4 saws" // common practice: a spare saw for four to six; the most cautious
)

// Part is one thing of the spare kit. Need is how many are carried in each tier of the walk out. StopsWork parts already
// stand one tier earlier than common practice lists the others of their kind.
type Part struct {
	ID        string
	Words     string
	Per       string
	Need      [tiers]int
	StopsWork bool
	Source    string
}

// tiers of the walk out: below the first limit, to the second, to the third, beyond it or without a road.
const tiers = 4

const (
	tierList = "common practice, no source"
	personal = "UK forestry accord note of March 2022 on personal kits (read in a restatement)"
	baseKit  = "base kit read on a Swedish own-work equipment page; the tier is common practice, no source"
)

// every tier has one: what is needed where the road is near as well.
var every = [tiers]int{1, 1, 1, 1}

var parts = []Part{
	{ID: "blade", Words: "spare blade, sharpened and set", Per: PerSaw, Need: [tiers]int{1, 2, 2, 2}, Source: tierList},
	{ID: "file", Words: "round file with holder", Per: PerSaw, Need: [tiers]int{1, 1, 1, 1}, Source: baseKit},
	{ID: "dressing", Words: "trauma dressing, on the person", Per: PerPerson, Need: every, Source: personal},
	{ID: "tourniquet", Words: "tourniquet, on the person", Per: PerSaw, Need: every, StopsWork: true, Source: personal},
	{ID: "gauze", Words: "haemostatic gauze, on the person", Per: PerSaw, Need: every, Source: personal},
	{ID: "aid-gloves", Words: "pair of first-aid gloves, on the person", Per: PerSaw, Need: every, Source: personal},
	{ID: "card", Words: "today's written emergency card, on the person", Per: PerPerson, Need: every, Source: "WAC 296-54-513, written plan (read); that it is on the body is common practice, no source"},
	{ID: "whistle", Words: "whistle, on the person", Per: PerPerson, Need: every, Source: "BC general safe work procedure (read)"},
	{ID: "light", Words: "light, on the person", Per: PerPerson, Need: every, Source: tierList},
	{ID: "first-aid-kit", Words: "first-aid kit", Per: PerCrew, Need: every, StopsWork: true, Source: tierList},
	{ID: "stretcher", Words: "stretcher", Per: PerCrew, Need: every, Source: tierList},
	{ID: "eye-wash", Words: "eye wash", Per: PerCrew, Need: every, Source: tierList},
	{ID: "extinguisher", Words: "fire extinguisher", Per: PerCrew, Need: every, Source: tierList},
	{ID: "fire-tool", Words: "hand tool for fire", Per: PerCrew, Need: every, Source: "BC Wildfire Regulation s. 5, heading read; in fire months"},
	{ID: "fire-water", Words: "water pack for fire", Per: PerCrew, Need: every, Source: "BC Wildfire Regulation s. 5, heading read; in fire months"},
	{ID: "spill-mat", Words: "spill mat", Per: PerCrew, Need: every, Source: tierList},
	{ID: "ribbon", Words: "roll of marking ribbon", Per: PerCrew, Need: every, Source: tierList},
	{ID: "plug", Words: "spark plug", Per: PerCrew, Need: [tiers]int{1, 1, 1, 1}, Source: baseKit},
	{ID: "nut", Words: "blade nut and cup", Per: PerCrew, Need: [tiers]int{1, 1, 1, 1}, StopsWork: true, Source: tierList},
	{ID: "guard-screw", Words: "screw of the guard", Per: PerCrew, Need: [tiers]int{1, 1, 1, 1}, StopsWork: true, Source: tierList},
	{ID: "cord", Words: "starter cord", Per: PerCrew, Need: [tiers]int{0, 1, 1, 1}, Source: baseKit},
	{ID: "can", Words: "fuel can", Per: PerCrew, Need: [tiers]int{0, 1, 2, 2}, Source: baseKit},
	{ID: "transport-guard", Words: "blade guard for carrying and transport", Per: PerSaw, Need: every, StopsWork: true, Source: "a maker's manual and Finnish tips (both read)"},
	{ID: "wrench", Words: "wrench of the blade nut", Per: PerSaw, Need: every, StopsWork: true, Source: "a maker's manual and Finnish tips (both read)"},
	{ID: "pin", Words: "locking pin of the gear head", Per: PerSaw, Need: every, StopsWork: true, Source: "a maker's manual and Finnish tips (both read)"},
	{ID: "filter", Words: "air filter", Per: PerCrew, Need: [tiers]int{0, 1, 2, 2}, Source: baseKit},
	{ID: "spring", Words: "starter spring", Per: PerCrew, Need: [tiers]int{0, 1, 2, 2}, Source: baseKit},
	{ID: "tools", Words: "tools for adjustments", Per: PerCrew, Need: [tiers]int{0, 1, 1, 1}, Source: baseKit},
	{ID: "set-tool", Words: "setting iron with gauge", Per: PerCrew, Need: [tiers]int{0, 1, 1, 1}, Source: baseKit},
	{ID: "grease", Words: "gear-head grease", Per: PerCrew, Need: [tiers]int{0, 1, 1, 1}, Source: baseKit},
	{ID: "cap", Words: "tank cap", Per: PerCrew, Need: [tiers]int{0, 1, 1, 1}, Source: baseKit},
	{ID: "hook", Words: "harness hook", Per: PerCrew, Need: [tiers]int{0, 1, 1, 1}, StopsWork: true, Source: tierList},
	{ID: "throttle-cable", Words: "throttle cable", Per: PerCrew, Need: [tiers]int{0, 0, 1, 1}, Source: tierList},
	{ID: "spare-saw", Words: "spare saw", Per: PerFour, Need: [tiers]int{0, 0, 0, 1}, Source: tierList},
	{ID: "satellite", Words: "satellite device, or another that was tested from the block", Per: PerCrew, Need: every, StopsWork: true, Source: "common practice, no source; whatever the walk"},
	{ID: "shelter", Words: "bivvy bag or foil", Per: PerPerson, Need: every, Source: tierList},
	{ID: "water", Words: "drinking water for the day", Per: PerPerson, Need: every, Source: "NIOSH, a cup every 15 to 20 minutes in heat (read in a restatement)"},
	{ID: "food-water", Words: "extra food, one day", Per: PerPerson, Need: [tiers]int{0, 0, 0, 1}, Source: tierList},
}

// PartIDs lists the ids of the parts.
func PartIDs() []string {
	ids := make([]string, len(parts))
	for i, p := range parts {
		ids[i] = p.ID
	}
	return ids
}

// Out is where the kit is needed: minutes of walking out to the vehicle, and who works there.
type Out struct {
	Minutes float64
	NoRoad  bool // by air or boat
	Saws    int
	People  int
}

// Tier says which tier of the kit a walk out needs, 0 to 3. A walk of exactly a limit belongs to the longer tier, but for
// the last one, which begins beyond it.
func (o Out) Tier(h house.House) int {
	const minute = 60
	switch seconds := o.Minutes * minute; {
	case o.NoRoad || seconds > h.SI(house.KitWalk3):
		return 3
	case seconds >= h.SI(house.KitWalk2):
		return 2
	case seconds >= h.SI(house.KitWalk1):
		return 1
	}
	return 0
}

func (p Part) needed(o Out, tier int) int {
	switch p.Per {
	case PerSaw:
		return p.Need[tier] * o.Saws
	case PerPerson:
		return p.Need[tier] * o.People
	case PerFour:
		return p.Need[tier] * ((o.Saws + 3) / 4)
	}
	return p.Need[tier]
}

// Stock is what one kit holds of a part, and how many were used in the house's days before.
type Stock struct {
	Have int
	Used int
}

// States of a part in the kit.
const (
	Short  = "short"  // fewer than needed
	Low    = "low"    // fewer than needed once as many are used as lately
	Enough = "enough" //
)

// KitLine is one part: what is needed and what is there.
type KitLine struct {
	Part
	Wanted int
	Stock
	State string
}

// CompareKit lists what is to be carried, and what else is in the kit, against the stock: short first, then low, parts that
// stop work before others. Parts that nobody needs and nobody has are left out.
func CompareKit(o Out, stock map[string]Stock, h house.House) []KitLine {
	tier := o.Tier(h)
	var lines []KitLine
	for _, p := range parts {
		l := KitLine{Part: p, Wanted: p.needed(o, tier), Stock: stock[p.ID], State: Enough}
		switch {
		case l.Wanted == 0 && l.Have <= 0:
			continue
		case l.Have < l.Wanted:
			l.State = Short
		case l.Have-l.Used < l.Wanted:
			l.State = Low
		}
		lines = append(lines, l)
	}
	slices.SortStableFunc(lines, func(a, b KitLine) int {
		return cmp.Or(cmp.Compare(pressing[a.State], pressing[b.State]), cmp.Compare(late(a), late(b)))
	})
	return lines
}

var pressing = map[string]int{Short: 0, Low: 1, Enough: 2}

func late(l KitLine) int {
	if l.StopsWork {
		return 0
	}
	return 1
}

// mostOfAPart catches slips of the finger (company choice).
const mostOfAPart = 1000

// ParseAmounts reads "file=2,plug=1". Zero is allowed where zero is. Every problem is named: an unknown part with the nearest one, a
// part named twice, a number that is none.
func ParseAmounts(text string, zero bool) ([]KitAmount, error) {
	var list []KitAmount
	var problems []error
	seen := map[string]bool{}
	for _, one := range strings.Split(text, ",") {
		a, err := parseAmount(strings.TrimSpace(one), zero)
		if err == nil && seen[a.Part] {
			err = fmt.Errorf("%s is named twice", a.Part)
		}
		seen[a.Part] = true
		list, problems = append(list, a), append(problems, err)
	}
	if err := errors.Join(problems...); err != nil {
		return nil, err
	}
	return list, nil
}

func parseAmount(text string, zero bool) (KitAmount, error) {
	part, number, ok := strings.Cut(text, "=")
	part, number = strings.TrimSpace(part), strings.TrimSpace(number)
	if !ok {
		return KitAmount{}, fmt.Errorf("%q is not PART=NUMBER; write for example file=2", text)
	}
	if !slices.Contains(PartIDs(), part) {
		return KitAmount{}, fmt.Errorf("%q is no part of the kit%s; parts are %s", part, nearest(part), strings.Join(PartIDs(), ", "))
	}
	n, err := strconv.Atoi(number)
	if err != nil || n < 0 || n > mostOfAPart || (n == 0 && !zero) {
		return KitAmount{}, fmt.Errorf("%s: %q is no number of parts", part, number)
	}
	return KitAmount{part, n}, nil
}

func nearest(part string) string {
	if near := spelling.Nearest(part, PartIDs()); near != "" {
		return " (nearest: " + near + ")"
	}
	return ""
}
