package training

import (
	"fmt"

	"example.org/ringtrue/training/civil"
)

// Oriented is one orientation as the book holds it.
type Oriented struct {
	Day  civil.Day
	Kind string // kind of the block it was for
}

// Arrival is what bears on whether a worker needs orientation: orientations in order, days on which hazards changed
// for them (a supervisor's entry) with the reasons, and the last day they worked with a saw or were observed.
type Arrival struct {
	Orientations []Oriented
	NewAgain     []civil.Day
	Why          []string // beside NewAgain
	LastWorked   civil.Day
}

// OrientationDue says why a worker needs orientation before working on a block of a kind ("" = any kind), or nil.
// awayDays is the house rule for a season away. New are those who never had one, come back after a season away,
// meet changed hazards, or go to ground of another kind.
func OrientationDue(a Arrival, kind string, day civil.Day, awayDays int) []string {
	var last, same civil.Day = civil.None, civil.None
	for _, o := range a.Orientations {
		if o.Day > day {
			continue
		}
		last = o.Day
		if kind == "" || o.Kind == kind {
			same = o.Day
		}
	}
	var why []string
	switch {
	case last == civil.None:
		return []string{"no orientation yet"}
	case same == civil.None:
		why = append(why, fmt.Sprintf("no orientation for ground of the kind %q", kind))
	}
	for i, d := range a.NewAgain {
		if d <= day && d > last {
			why = append(why, "hazards changed on "+d.String()+": "+a.Why[i])
		}
	}
	if seen := max(last, a.LastWorked); day-seen > civil.Day(awayDays) {
		why = append(why, fmt.Sprintf("away since %s, more than %d days", seen, awayDays))
	}
	return why
}
