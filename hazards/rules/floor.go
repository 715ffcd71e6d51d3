package rules

import (
	"strings"

	"example.org/ringtrue/hazards/house"
)

// What a clause with a number is written for.
const (
	ForClearingSaws = "clearing saws"
	ForAllWork      = "all work"
	ForFelling      = "felling"
	ForChainSaws    = "chain saws"
)

// WrittenFor lists what Floor.For may be.
var WrittenFor = []string{ForClearingSaws, ForAllWork, ForFelling, ForChainSaws}

// Floor is a number in a clause of the place that bears on a house rule. One of Least and Most holds it, with its unit. Clause,
// reference and how far it was read are those of the rule it names. A chain-saw rule binds only where the place applies it to clearing
// saws, and Applied says where; else it is advice. So is what was repealed, only remembered, or seen as a heading.
type Floor struct {
	Key     string `json:"key" yaml:"key"` // of a house rule (hazards/house)
	Least   string `json:"least,omitempty" yaml:"least"`
	Most    string `json:"most,omitempty" yaml:"most"`
	Rule    string `json:"rule" yaml:"rule"` // id of a rule of the same place
	Kind    string `json:"kind" yaml:"kind"` // house.Binding or house.Advice
	For     string `json:"for" yaml:"for"`   // one of WrittenFor
	Applied string `json:"applied,omitempty" yaml:"applied"`
	Note    string `json:"note,omitempty" yaml:"note"`
}

// Floors returns the numbers that a place and those whose rules follow set against house rules, its own first. A row whose rule the
// edition does not have is left out; Lint names it.
func (e Edition) Floors(codeOrAlias string) []house.Floor {
	var out []house.Floor
	for _, j := range e.Line(codeOrAlias) {
		for _, f := range j.Floors {
			if r, of, ok := e.Rule(f.Rule); ok && of.Code == j.Code {
				out = append(out, f.under(r, j.Code))
			}
		}
	}
	return out
}

// HasFloors reports whether the edition knows floors at all; those recorded before they came do not.
func (e Edition) HasFloors() bool {
	for _, j := range e.Jurisdictions {
		if len(j.Floors) > 0 {
			return true
		}
	}
	return false
}

// under is the floor with what its rule says about itself.
func (f Floor) under(r Rule, place string) house.Floor {
	out := house.Floor{Key: f.Key, Value: f.Least + f.Most, Place: place, Clause: strings.TrimSpace(r.Instrument + " " + r.Clause),
		Status: r.Status(), Read: r.Reference, Kind: f.Kind, Note: f.Note}
	if f.unbinding(r) != "" {
		out.Kind = house.Advice
	}
	return out
}

// unbinding says why the number can be no more than advice; "" where it may bind.
func (f Floor) unbinding(r Rule) string {
	switch {
	case r.Clause == "":
		return "the rule names no clause"
	case r.Ended != "":
		return "the text was repealed"
	case r.HeadingOnly:
		return "only a heading was seen"
	case r.Read == Memory:
		return "it is from memory"
	case f.For == ForChainSaws && strings.TrimSpace(f.Applied) == "":
		return "it is a chain-saw rule, and nothing says where the place applies it to clearing saws"
	}
	return ""
}

// Status says in a few words how far a rule was read, and where it is not the program's list that says so.
func (r Rule) Status() string {
	if r.Adopted != nil {
		return r.status() + ", by the company"
	}
	return r.status()
}

func (r Rule) status() string {
	switch {
	case r.Ended != "":
		return "repealed"
	case r.TextRead():
		return "read in the text"
	case r.HeadingOnly:
		return "only its heading was seen"
	case r.Read == Secondary:
		return "read in a restatement"
	}
	return "from memory"
}
