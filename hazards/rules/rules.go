// Package rules holds the local rules: references to regulations and official guidance, place by place.
//
// A rule names an instrument and clause, states the duty in our own words, says where to read it and how far it was
// read by whoever compiled the list. It quotes no law and judges nobody. Three marks say how far it was read:
//
//	verified   the source text was read, or an official page that quotes or explains it
//	secondary  only a restatement was read; the reference names it
//	memory     no source text was seen
//
// What was seen carries the day on which it was; a text read long ago may have changed since. A rule of which only the title or heading was seen carries heading_only as well: that the clause exists is known,
// what it asks is not. A rule that is history carries the day on which it ended; it stays, so that its id is never
// given to anything else.
//
// Places form lines: the rules of Washington State are followed by the federal ones that it names as its parent.
// An edition is recorded whole in the book as one JSON object of strings, booleans and lists, at most 1 MiB.
package rules

import (
	"slices"
	"strings"
)

// Closing ends every list and every sheet that cites rules.
const Closing = "Who decides is the authority named for the place, and the competent person its rules call for; not this list. " +
	"Duties are told in our own words and the text may have changed since: read it before relying on it. " +
	"Nothing here says that anybody complies, or that work is safe."

// How far a rule was read.
const (
	Verified  = "verified"
	Secondary = "secondary"
	Memory    = "memory"
)

// Marks lists what Rule.Read may be.
var Marks = []string{Verified, Secondary, Memory}

// Topics lists what a rule may be about, in the order in which lists name them.
var Topics = []string{
	"kickback", "fuel", "slope", "spacing", "first-aid", "ppe", "training", "noise", "vibration", "fire", "emergency",
	"records", "weather", "crew", "alone",
}

// Whether a place's forestry rules, as far as they were read, reach thinning that harvests nothing.
const (
	Covered   = "covered"   // its text names silviculture, thinning or brush cutting
	Harvest   = "harvest"   // its text is tied to harvest or logging; the general rules for work still hold
	General   = "general"   // no rules for forestry alone were found; the general rules for work hold
	Unsettled = "unsettled" // the text read leaves it open
)

// Coverages lists what Jurisdiction.Thinning may be; "" where an edition came before the question.
var Coverages = []string{Covered, Harvest, General, Unsettled}

// Edition is one dated state of the local rules. Compiled is the day (YYYY-MM-DD) up to which texts were looked at.
type Edition struct {
	Edition       string         `json:"edition" yaml:"edition"`
	Compiled      string         `json:"compiled" yaml:"compiled"`
	Jurisdictions []Jurisdiction `json:"jurisdictions" yaml:"jurisdictions"`
	Reason        string         `json:"reason,omitempty" yaml:"-"` // why a company adopted it, where something binds less than before
}

// Jurisdiction is a province, state, country or body with rules of its own. Code is what a user types; Parent is the
// code of the place whose rules follow, or "". Authority says in general words who decides there.
type Jurisdiction struct {
	Code      string   `json:"code" yaml:"code"`
	Aliases   []string `json:"aliases" yaml:"aliases"`
	Title     string   `json:"title" yaml:"title"`
	Floors    []Floor  `json:"floors,omitempty" yaml:"floors"` // numbers that bear on house rules
	Parent    string   `json:"parent" yaml:"parent"`
	Authority string   `json:"authority" yaml:"authority"`
	Note      string   `json:"note" yaml:"note"` // what a reader must not assume about this place, or ""

	Thinning    string   `json:"thinning" yaml:"thinning"`         // one of Coverages
	ThinningWhy string   `json:"thinning_why" yaml:"thinning_why"` // what was read that says so
	Sought      []string `json:"sought" yaml:"sought"`             // topics looked for in the texts to be had, and not found
	SoughtOn    string   `json:"sought_on" yaml:"sought_on"`       // the day of that search, YYYY-MM-DD, or ""

	Rules []Rule `json:"rules" yaml:"rules"` // last, so that a file of a place grows at its end
}

// Rule is one reference. ID is stable and begins with the code of its jurisdiction. Clause is "" where the instrument
// is cited as a whole. Topic is what the duty is about; Also names further topics under which it is found.
type Rule struct {
	ID          string   `json:"id" yaml:"id"`
	Instrument  string   `json:"instrument" yaml:"instrument"`
	Clause      string   `json:"clause" yaml:"clause"`
	Topic       string   `json:"topic" yaml:"topic"`
	Also        []string `json:"also" yaml:"also"`
	Duty        string   `json:"duty" yaml:"duty"`           // in our own words
	Reference   string   `json:"reference" yaml:"reference"` // where to read it, or where it was read
	Read        string   `json:"read" yaml:"read"`           // one of Marks
	ReadOn      string   `json:"read_on" yaml:"read_on"`     // the day it was read, YYYY-MM-DD; "" from memory or in old editions
	Version     string   `json:"version" yaml:"version"`     // the state of the text that was read, as it names it, or ""
	HeadingOnly bool     `json:"heading_only" yaml:"heading_only"`
	Scope       bool     `json:"scope" yaml:"scope"` // says what is covered or what a word means, and asks nothing of anybody
	Ended       string   `json:"ended" yaml:"ended"` // first day no longer in force, YYYY-MM-DD, or ""
	Note        string   `json:"note" yaml:"note"`
	Kept        []string `json:"kept" yaml:"kept"` // records of a book that bear on the duty, of Records; none: a book cannot tell

	Demands []Demand  `json:"demands,omitempty" yaml:"demands,omitempty"` // what those records must show; none: they are only counted
	Adopted *Adoption `json:"adopted,omitempty" yaml:"-"`                 // set where the row is the company's own, not the program's
}

// Adoption says who put a row in place of what the program offered, and since when it counts.
type Adoption struct {
	By string `json:"by"` // person id
	On string `json:"on"` // YYYY-MM-DD
}

// Records lists what Rule.Kept may name: was taught, earlier training accepted, taught in a language with
// understanding tested, orientation, a look, a sign-off, a ticket, named for a duty, the morning check, an event, and anything of the
// first, second and fourth together.
var Records = []string{"attendance", "credit", "understood", "orientation", "observation", "sign-off", "ticket", "appointment", "tailgate", "event", "taught"}

// TextRead reports whether the duty itself was read in its source, or on an official page that quotes or explains it.
func (r Rule) TextRead() bool { return r.Read == Verified && !r.HeadingOnly }

// How says in words how far the rule was read. Only a rule with TextRead is not described as unread.
func (r Rule) How() string {
	switch {
	case r.TextRead():
		return "read in the source, or on an official page that quotes or explains it"
	case r.HeadingOnly && r.Read == Verified:
		return "not read in its text: only its title or heading was seen"
	case r.HeadingOnly:
		return "not read in its text: only its title or heading was seen, in a restatement"
	case r.Read == Secondary:
		return "not read in its text: read only in a restatement"
	default:
		return "not read in its text: from memory"
	}
}

// About reports whether the rule is found under the topic; every rule is found under "".
func (r Rule) About(topic string) bool {
	return topic == "" || r.Topic == topic || slices.Contains(r.Also, topic)
}

// Normal writes a typed code, alias or topic as the lists write it: lower case, hyphens for spaces.
func Normal(typed string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(typed), func(c rune) bool { return c == ' ' || c == '_' }), "-")
}

// Find returns the jurisdiction with this code or alias, however it is capitalised; ok is false for unknown ones.
func (e Edition) Find(codeOrAlias string) (j Jurisdiction, ok bool) {
	want := Normal(codeOrAlias)
	if want == "" {
		return Jurisdiction{}, false
	}
	for _, j := range e.Jurisdictions {
		if j.Code == want || slices.Contains(j.Aliases, want) {
			return j, true
		}
	}
	return Jurisdiction{}, false
}

// Line returns the jurisdiction, its parent, that one's parent and so on; nil for an unknown code. A circle of
// parents, which Lint reports, is walked once.
func (e Edition) Line(codeOrAlias string) []Jurisdiction {
	var line []Jurisdiction
	seen := map[string]bool{}
	for j, ok := e.Find(codeOrAlias); ok && !seen[j.Code]; j, ok = e.Find(j.Parent) {
		seen[j.Code] = true
		line = append(line, j)
	}
	return line
}

// For returns the rules about a topic ("" for all) that a place points to: its own first, then those along its line.
func (e Edition) For(codeOrAlias, topic string) []Rule {
	var found []Rule
	for _, j := range e.Line(codeOrAlias) {
		found = append(found, j.About(topic)...)
	}
	return found
}

// About returns the jurisdiction's own rules about a topic ("" for all), in file order.
func (j Jurisdiction) About(topic string) []Rule {
	var found []Rule
	for _, r := range j.Rules {
		if r.About(topic) {
			found = append(found, r)
		}
	}
	return found
}

// Rule finds a rule by its id, and the jurisdiction in which it stands.
func (e Edition) Rule(id string) (r Rule, j Jurisdiction, ok bool) {
	for _, j := range e.Jurisdictions {
		for _, r := range j.Rules {
			if r.ID == id {
				return r, j, true
			}
		}
	}
	return Rule{}, Jurisdiction{}, false
}
