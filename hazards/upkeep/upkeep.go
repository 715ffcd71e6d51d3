// Package upkeep says what a saw and its blade need by when, which defects take the saw out of use, and who may put
// it back.
//
// Intervals. Every number is a house rule. Daily upkeep falls due again a day of use after it was done, weekly upkeep
// after seven days or the maker's hours, whichever comes first; the blade is filed about every second refuelling and
// after each hit on rock, and its teeth are set about three times in its life, the first time at fitting. A new blade
// is sharpened before use. What is due and was not done before the saw was used again is overdue. A saw that lies in
// the store is due before it runs, but never overdue.
//
// What is recorded. One line a day for each saw, with counts; nobody ticks a list at each refuelling. An item that a
// line does not leave out was done. A defect is recorded when it is found.
//
// Defects. Some stop the saw at once; so does a tag, which anybody may hang on it. A saw is out of use until every
// stop is cleared by name: by somebody named to clear saws who did not find the defect. In a crew of two the finder may
// clear after a part was replaced, and a second person looks at the saw within a day, or it counts as tagged again.
// That is the starter house rule; a company may be stricter or looser.
//
// A cracked or bent blade is scrapped, never put back: its defect is not cleared before the blade is scrapped.
//
// Quantities of records are strings with their unit; functions take days, counts and the house edition in force.
// Nothing here says that a saw is safe.
package upkeep

import "strings"

// Item is one thing that upkeep looks at. Rank orders what is overdue, what stops work first.
type Item struct {
	ID     string
	Words  string
	Weekly bool
	Rank   int
	Source string
}

const practice = "common practice, no source"

var items = []Item{
	{ID: "blade", Words: "look at the blade and tap it: a clear ring is sound", Rank: 1, Source: "Säker Skog leaflet, Finnish and German guidance (all read)"},
	{ID: "nut", Words: "blade nut, by wrench at the start and at mid-day, by hand at each refuelling", Rank: 1, Source: "BC forest safety alert of 31 Oct 2008 (read)"},
	{ID: "stop", Words: "throttle springs back, stop control kills the engine, blade still at idle", Rank: 1, Source: "Säker Skog leaflet and Finnish seedling-stand guidance (both read)"},
	{ID: "guard", Words: "guard fitted and whole", Rank: 1, Source: "Säker Skog leaflet (read)"},
	{ID: "leaks", Words: "no leak of fuel or oil", Rank: 2, Source: practice},
	{ID: "screws", Words: "screws tight", Rank: 2, Source: practice},
	{ID: "air-filter", Words: "air filter clean", Rank: 3, Source: practice},
	{ID: "grease", Words: "gear head felt and looked at: heat, leak, play; greased by the maker's hours, weekly at most, never full", Rank: 3, Source: "makers' manuals for gear heads of two other hand tools: not full, one names 25 h (read)"},
	{ID: "fuel-filter", Words: "fuel filter clean", Weekly: true, Rank: 4, Source: practice},
	{ID: "mounts", Words: "anti-vibration mounts whole", Weekly: true, Rank: 4, Source: practice},
	{ID: "harness", Words: "harness, hook and hip pad whole", Weekly: true, Rank: 4, Source: practice},
	{ID: "muffler-screen", Words: "muffler and spark screen clean and whole", Weekly: true, Rank: 4, Source: practice},
	{ID: "starter-cord", Words: "starter cord sound", Weekly: true, Rank: 4, Source: practice},
	{ID: "plug", Words: "spark plug: electrode light brown", Weekly: true, Rank: 5, Source: practice},
	{ID: "fins", Words: "cooling fins clean", Weekly: true, Rank: 5, Source: practice},
}

// ItemByID finds an item; ok is false for an unknown id.
func ItemByID(id string) (i Item, ok bool) {
	for _, i := range items {
		if i.ID == id {
			return i, true
		}
	}
	return Item{}, false
}

// ItemIDs lists the ids of the daily or the weekly items.
func ItemIDs(weekly bool) []string {
	var ids []string
	for _, i := range items {
		if i.Weekly == weekly {
			ids = append(ids, i.ID)
		}
	}
	return ids
}

// rankOf is the lowest rank among items: what stops work first.
func rankOf(ids []string) int {
	best := 99
	for _, id := range ids {
		if i, ok := ItemByID(id); ok {
			best = min(best, i.Rank)
		}
	}
	return best
}

func list(ids []string) string { return strings.Join(ids, ", ") }
