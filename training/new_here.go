package training

import "example.org/ringtrue/training/civil"

// NewHereDays is for how many days from their first one somebody is new to a place of work: company choice; the clauses that were read
// give no number.
const NewHereDays = 30

// NewHere reports whether somebody is new to the place on a day: their first day here lies less than NewHereDays back, or on or after
// since, the day from which the book holds what the place asks for new people. Who came after that stays new until it was done; who was
// there long before is not made new by a list of rules. Nobody is whose first day is not known (civil.None) or lies ahead.
func NewHere(first, since, today civil.Day) bool {
	if first == civil.None || first > today {
		return false
	}
	return today-first < NewHereDays || since != civil.None && first >= since
}
