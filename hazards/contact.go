package hazards

import (
	"sort"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

// Contact is one call of somebody who works out of sight, or a call that was waited for in vain.
type Contact struct {
	Worker string
	At     string // HH:MM
	Missed bool
}

// Overdue lists the calls that have not come by a clock time, in the order in which they were due: a call recorded as missed and not
// made good by a later one, and a call whose time is past by more than the house figure. Those out of sight are the lines of the sheet
// planned so; each one's time runs from start, a clock time, or from the last call. Without a check-in interval or a house figure
// only recorded ones are listed.
func Overdue(s Sheet, contacts []Contact, start, now string, h house.House) []Missed {
	every := 0
	if v, err := units.Parse(s.Said(CheckIn).Value, units.Time); err == nil && h.Has(house.CheckInGrace) {
		every = int(v.SI() / 60)
	}
	return missedBy(s, contacts, start, now, every, int(h.SI(house.CheckInGrace)/60))
}

// MissedCalls lists only the calls recorded as missed and not made good by a later one.
func MissedCalls(s Sheet, contacts []Contact, start, now string) []Missed {
	return missedBy(s, contacts, start, now, 0, 0)
}

// missedBy looks at each one's calls; an interval of 0 minutes asks for none.
func missedBy(s Sheet, contacts []Contact, start, now string, every, grace int) []Missed {
	out := []Missed{}
	for _, c := range s.Crew {
		last, missed := lastContact(contacts, c.Worker, start, now)
		due := clockOf(minuteOf(last) + every)
		switch {
		case missed != "":
			out = append(out, Missed{c.Worker, missed})
		case c.OutOfSight() && every > 0 && minuteOf(now) > minuteOf(last)+every+grace:
			out = append(out, Missed{c.Worker, due})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Due < out[j].Due })
	return out
}

// lastContact is the last call that came by now, and the first that was missed since.
func lastContact(contacts []Contact, worker, start, now string) (last, missed string) {
	last = start
	for _, c := range contacts {
		if c.Worker == worker && !c.Missed && c.At <= now && c.At >= last {
			last = c.At
		}
	}
	for _, c := range contacts {
		if c.Worker == worker && c.Missed && c.At <= now && c.At >= last && (missed == "" || c.At < missed) {
			missed = c.At
		}
	}
	return last, missed
}
