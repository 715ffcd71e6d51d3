package rules

import (
	"slices"
	"time"
)

// Reached says how far the texts about one topic were read at one place, best first.
type Reached string

// What may be known of a topic at a place. NothingFound means that texts were searched; NotLooked that none were.
const (
	InText        Reached = "read in the text"
	InRestatement Reached = "read in a restatement"
	HeadingSeen   Reached = "heading only"
	FromMemory    Reached = "from memory"
	NothingFound  Reached = "nothing found, ask the authority"
	NotLooked     Reached = "not looked for, ask the authority"
)

// order is from the best to the least that a rule can give.
var order = []Reached{InText, InRestatement, HeadingSeen, FromMemory}

// Reach is one cell of the matrix of places and topics: how far the place's own rules about the topic were read, which
// of them gave the best answer (none where nothing was found) and the newest day on which they were read, or that of
// the search, or "".
type Reach struct {
	Topic string
	How   Reached
	Rules []string // ids
	On    string   // YYYY-MM-DD
}

// Reach tells, topic by topic in the order of Topics, how far this place's own rules were read. A rule that has ended
// or only says what is covered asks nothing and does not count; nor do the rules of the places it stands under.
func (j Jurisdiction) Reach() []Reach {
	matrix := make([]Reach, 0, len(Topics))
	for _, topic := range Topics {
		matrix = append(matrix, j.reach(topic))
	}
	return matrix
}

func (j Jurisdiction) reach(topic string) Reach {
	best := Reach{Topic: topic, How: NotLooked}
	if slices.Contains(j.Sought, topic) {
		best.How, best.On = NothingFound, j.SoughtOn
	}
	for _, how := range order {
		for _, r := range j.About(topic) {
			if r.Asks() && r.reached() == how {
				best.How, best.Rules, best.On = how, append(best.Rules, r.ID), max(best.On, r.ReadOn)
			}
		}
		if len(best.Rules) > 0 {
			return best
		}
	}
	return best
}

// Asks reports whether the rule asks anything of anybody today.
func (r Rule) Asks() bool { return r.Ended == "" && !r.Scope }

// reached is how far one rule was read.
func (r Rule) reached() Reached {
	switch {
	case r.TextRead():
		return InText
	case r.HeadingOnly:
		return HeadingSeen
	case r.Read == Secondary:
		return InRestatement
	default:
		return FromMemory
	}
}

// longAgo is after how many years a reading shows as long ago: company choice.
const longAgo = 2

// ReadLongAgo reports whether the text was read more than two years before today (YYYY-MM-DD), so that it may well have
// changed. Where no day of reading is known, as in editions from before it was kept, it cannot tell and says no.
func (r Rule) ReadLongAgo(today string) bool {
	read, err := time.Parse(time.DateOnly, r.ReadOn)
	return err == nil && read.AddDate(longAgo, 0, 0).Format(time.DateOnly) < today
}
