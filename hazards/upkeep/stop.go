package upkeep

import (
	"slices"

	"example.org/ringtrue/hazards/house"
)

// EventKind says what an event of a saw is.
type EventKind uint8

// Kinds of events.
const (
	Found     EventKind = iota // a defect was found
	Tagged                     // somebody tagged the saw out
	Cleared                    // somebody cleared what Clears names
	SeenAgain                  // a second person looked at the saw after the clearing that Clears names
)

// Event is one entry about what is wrong with a saw. Entry stands for the ledger entry; the caller gives it out.
// Stops is set for a defect that stops the saw; Again for a clearing that a second person has to follow.
type Event struct {
	Entry  int64
	Kind   EventKind
	At     int64 // Unix seconds
	Stops  bool
	Again  bool
	Clears []int64
}

// OpenItem is what is open on a saw. Stops says that it keeps the saw out of use. SeenBy is set while a clearing by
// the finder waits for a second person, to the last second for it; Late when that time has run out, so that the stop
// counts again.
type OpenItem struct {
	Event
	SeenBy int64
	Late   bool
}

// Open says what was open on a saw at a moment, by the house rules of that time; events after it are passed over.
// The order of events does not matter: a clearing names what it clears, and what was found later stays open. Of several
// clearings of the same thing one that needs no second look, or has had it, is enough; else the last one's time counts.
func Open(events []Event, h house.House, at int64) []OpenItem {
	within := int64(h.SI(house.SecondLook))
	seen := seenAgain(events, at)
	cleared := map[int64]clearing{}
	for _, e := range events {
		if e.At > at || e.Kind != Cleared {
			continue
		}
		for _, c := range e.Clears {
			so := cleared[c]
			so.done = so.done || !e.Again || seen[e.Entry]
			so.seenBy = max(so.seenBy, e.At+within)
			cleared[c] = so
		}
	}
	var open []OpenItem
	for _, e := range events {
		if e.At > at || (e.Kind != Found && e.Kind != Tagged) {
			continue
		}
		item := OpenItem{Event: e}
		item.Stops = e.Stops || e.Kind == Tagged
		if by, ok := cleared[e.Entry]; ok {
			if by.done {
				continue
			}
			item.SeenBy, item.Late = by.seenBy, at > by.seenBy
			item.Stops = item.Stops && item.Late
		}
		open = append(open, item)
	}
	slices.SortStableFunc(open, func(a, b OpenItem) int { return order(a) - order(b) })
	return open
}

// clearing is what the clearings of one thing come to.
type clearing struct {
	done   bool
	seenBy int64
}

// seenAgain gathers the clearings that a second person has looked at.
func seenAgain(events []Event, at int64) map[int64]bool {
	seen := map[int64]bool{}
	for _, e := range events {
		if e.Kind == SeenAgain && e.At <= at {
			for _, c := range e.Clears {
				seen[c] = true
			}
		}
	}
	return seen
}

func order(o OpenItem) int {
	if o.Stops {
		return 0
	}
	return 1
}

// Stopped reports whether anything open keeps the saw out of use.
func Stopped(open []OpenItem) bool {
	return slices.ContainsFunc(open, func(o OpenItem) bool { return o.Stops })
}
