package training

import "slices"

// Change is a standing reached at a moment.
type Change struct {
	At   int64 // Unix seconds
	Word Word
}

// ChangesOn lists the changes of standing that happened within the day asked, up to the moment asked, in order. A
// word that only ran out overnight is not a change within the day.
func ChangesOn(s Skill, h History, r Rules, a Asked) []Change {
	var changes []Change
	for _, at := range momentsOf(h, a) {
		before := StandingOf(s, h, r, Asked{Day: a.Day, On: at - 1, Known: a.Known}).Word
		after := StandingOf(s, h, r, Asked{Day: a.Day, On: at, Known: a.Known}).Word
		if before != after {
			changes = append(changes, Change{at, after})
		}
	}
	return changes
}

// momentsOf lists when something happened within the day asked, up to the moment asked, each once.
func momentsOf(h History, a Asked) (moments []int64) {
	for _, list := range [][]Fact{h.Facts, h.Teaching} {
		for _, f := range list {
			if f.Day == a.Day && f.At <= a.On {
				moments = append(moments, f.At)
			}
		}
	}
	slices.Sort(moments)
	return slices.Compact(moments)
}
