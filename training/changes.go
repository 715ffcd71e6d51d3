package training

// Change is a standing reached at a moment.
type Change struct {
	At   int64 // Unix seconds
	Word Word
}

// ChangesOn lists the changes of standing that happened within the day asked, up to the moment asked, in order. A
// word that only ran out overnight is not a change within the day.
func ChangesOn(s Skill, h History, r Rules, a Asked) []Change {
	var changes []Change
	var last int64
	for _, f := range h.Facts {
		if f.Day != a.Day || f.At > a.On || f.At == last {
			continue
		}
		last = f.At
		before := StandingOf(s, h, r, Asked{Day: a.Day, On: f.At - 1, Known: a.Known}).Word
		after := StandingOf(s, h, r, Asked{Day: a.Day, On: f.At, Known: a.Known}).Word
		if before != after {
			changes = append(changes, Change{f.At, after})
		}
	}
	return changes
}
