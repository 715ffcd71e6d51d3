package training

import (
	"fmt"

	"example.org/ringtrue/training/civil"
)

// Oriented is one orientation as the book holds it.
type Oriented struct {
	At   int64 // Unix seconds
	Day  civil.Day
	Kind string // kind of the block it was for
}

// Changed says that hazards changed for a worker: a supervisor's entry, with its reason.
type Changed struct {
	At  int64 // Unix seconds
	Day civil.Day
	Why string
}

// Arrival is what bears on whether a worker needs orientation: orientations, changes of hazards, and the last day of saw
// use (see LastSawUse), civil.None without one. The order of the lists does not matter.
type Arrival struct {
	Orientations []Oriented
	Changes      []Changed
	LastSawUse   civil.Day
}

// OrientationDue says why a worker needs orientation before working on a block of a kind ("" = any kind) at the moment
// asked, or nil. awayDays is the house rule for a season away. New are those who never had one, come back after a season
// away, meet changed hazards, or go to ground of another kind. Who was oriented in the morning is new again when hazards
// change at noon; at the very second of a change it counts as made before it.
func OrientationDue(a Arrival, kind string, asked Asked, awayDays int) []string {
	last, same := Oriented{Day: civil.None}, false
	for _, o := range a.Orientations {
		if o.At > asked.On {
			continue
		}
		if last.Day == civil.None || o.At > last.At {
			last = o
		}
		same = same || kind == "" || o.Kind == kind
	}
	if last.Day == civil.None {
		return []string{"no orientation yet"}
	}
	var why []string
	if !same {
		why = append(why, fmt.Sprintf("no orientation for ground of the kind %q", kind))
	}
	for _, c := range a.Changes {
		if c.At <= asked.On && c.At >= last.At {
			why = append(why, "hazards changed on "+c.Day.String()+": "+c.Why)
		}
	}
	if seen := max(last.Day, a.LastSawUse); asked.Day-seen > civil.Day(awayDays) {
		why = append(why, fmt.Sprintf("away since %s, more than %d days", seen, awayDays))
	}
	return why
}

// SawUse reports whether a fact shows its worker using a saw: joined a check with one, or was observed, struck entries and
// incomplete looks aside.
func (f Fact) SawUse() bool {
	return !f.Struck && (f.Kind == FactUse || f.Kind == FactObservation && f.Outcome() != Incomplete)
}

// LastSawUse is the last day by the moment asked on which facts show saw use, civil.None without one.
func LastSawUse(facts []Fact, a Asked) civil.Day {
	last := civil.None
	for _, f := range facts {
		if f.SawUse() && f.At <= a.On && f.Recorded <= a.Known {
			last = max(last, f.Day)
		}
	}
	return last
}
