package training

import "slices"

// What crossing out an entry takes away decides who may do it.
type Weight uint8

// Weights of an entry, the lightest first.
const (
	OfFact   Weight = iota // it neither stops nor permits: anybody may cross it out
	OfPermit               // it lets somebody work, or counts as evidence for that
	OfStop                 // it keeps somebody, or something, from work
)

// Crossing is a strike that somebody asks for: what the entry does, whose decision that is, and who asks.
type Crossing struct {
	Weight   Weight
	Concerns []string // persons whom the entry concerns
	By       string   // person who asks
	Owner    bool     // By is the owner of the book
	Named    bool     // By is named, that day, for the decision behind the entry
	Reason   bool     // a reason is given
	Second   string   // second person, by person id or by any words; "" = none
}

// Refusal says why a strike is refused.
type Refusal uint8

// Refusals of a strike.
const (
	NotNamed   Refusal = iota + 1 // neither the owner nor named for that decision
	OwnEntry                      // the entry concerns who asks
	NoReason                      // a strike needs its reason
	NoSecond                      // what stops needs a second named person
	SecondSame                    // the second person is who asks
	SecondOwn                     // the second person is whom the entry concerns
)

// Refusals lists everything that stands against a strike, nil where nothing does. What stops, and what permits, is crossed out
// by the owner or by somebody named for that decision, never by a person whom it concerns; what stops needs a second named person
// besides, who is neither. Everything needs a reason.
func (c Crossing) Refusals() []Refusal {
	var out []Refusal
	if !c.Reason {
		out = append(out, NoReason)
	}
	if c.Weight == OfFact {
		return out
	}
	if !c.Owner && !c.Named {
		out = append(out, NotNamed)
	}
	if slices.Contains(c.Concerns, c.By) {
		out = append(out, OwnEntry)
	}
	if c.Weight != OfStop {
		return out
	}
	switch {
	case c.Second == "":
		out = append(out, NoSecond)
	case c.Second == c.By:
		out = append(out, SecondSame)
	case slices.Contains(c.Concerns, c.Second):
		out = append(out, SecondOwn)
	}
	return out
}
