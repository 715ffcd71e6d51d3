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

// Open says what was open on a saw at a moment, by the house rules of that time; Events after it are passed over.
// The order of events does not matter: a clearing names what it clears, and what was found later stays open.
func Open(events []Event, h house.House, at int64) []OpenItem {
	cleared := map[int64]Event{}
	seen := map[int64]int64{} // clearing -> first look again
	for _, e := range events {
		if e.At > at {
			continue
		}
		switch e.Kind {
		case Cleared:
			for _, c := range e.Clears {
				cleared[c] = stricter(cleared[c], e)
			}
		case SeenAgain:
			for _, c := range e.Clears {
				if first, ok := seen[c]; !ok || e.At < first {
					seen[c] = e.At
				}
			}
		}
	}
	var open []OpenItem
	for _, e := range events {
		if e.At > at || (e.Kind != Found && e.Kind != Tagged) {
			continue
		}
		if item, still := stillOpen(e, cleared[e.Entry], seen, int64(h.SI(house.SecondLook)), at); still {
			open = append(open, item)
		}
	}
	slices.SortStableFunc(open, func(a, b OpenItem) int { return order(a) - order(b) })
	return open
}

// stricter keeps, of two clearings of the same thing, the one that needs nobody else: it is the stronger statement.
func stricter(a, b Event) Event {
	if a.Entry != 0 && !a.Again {
		return a
	}
	return b
}

func stillOpen(e, by Event, seen map[int64]int64, within, at int64) (OpenItem, bool) {
	item := OpenItem{Event: e}
	item.Stops = e.Stops || e.Kind == Tagged
	if by.Entry == 0 {
		return item, true
	}
	if !by.Again {
		return item, false
	}
	if _, ok := seen[by.Entry]; ok {
		return item, false
	}
	item.SeenBy, item.Late = by.At+within, at > by.At+within
	item.Stops = item.Stops && item.Late
	return item, true
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
