package rules

import (
	"slices"
	"strings"
)

// Demand is what a duty asks a record of a book to show, so that a book can be held against it. A duty may have several: each is asked
// for by itself. A rule without demands, as in editions from before they came, is counted by Rule.Kept alone.
type Demand struct {
	Of     string   `json:"of" yaml:"of"`                             // kind of record, one of Records, or one of the crew's own (CrewRecords)
	Whom   string   `json:"whom" yaml:"whom"`                         // one of Concerned
	Topics []string `json:"topics,omitempty" yaml:"topics,omitempty"` // what it must have covered: of an orientation, of Covering; of a ticket, its names
	Fields []string `json:"fields,omitempty" yaml:"fields,omitempty"` // what it must say, of Fields
	Days   int      `json:"days,omitempty" yaml:"days,omitempty"`     // the newest is at most so many days old; 0 = of any age
}

// Whom a demand concerns. New is who is new to the place or new again there, young who counts as young under its rules.
const (
	Everybody   = "everybody"
	NewOnes     = "new"
	YoungOnes   = "young"
	NewAndYoung = "new and young"
	Alone       = "alone"    // who works alone
	Somebody    = "somebody" // one of those on the crew list is enough
)

// Concerned lists what Demand.Whom may be.
var Concerned = []string{Everybody, NewOnes, YoungOnes, NewAndYoung, Alone, Somebody}

// Records of the whole crew, beside those of each person: the block's emergency text, how calls of somebody alone were
// arranged on a morning, and what came of the calls.
const (
	EmergencyText = "emergency-text"
	CallsArranged = "calls-arranged"
	CallsKept     = "calls-kept"
)

// CrewRecords lists them.
var CrewRecords = []string{EmergencyText, CallsArranged, CallsKept}

// What a record may say of itself.
const (
	ByWhom     = "by"           // who did it
	When       = "when"         // the day
	Language   = "language"     // the language used
	Understood = "understood"   // how understanding was tested
	Until      = "until"        // until when it holds
	Document   = "document"     // the paper that shows it
	Signed     = "signed"       // a personal signature
	Interval   = "interval"     // how often calls come
	Contact    = "contact"      // who is called, by name
	MissedCall = "missed-call"  // what happens when a call does not come, rescue included
	TestedCall = "tested"       // the call was tried out
	EndOfShift = "end-of-shift" // a last one when work ends
	CallHelp   = "call"         // how help is called
	WayIn      = "way-in"       // how it finds the place
	WayOut     = "way-out"      // how the hurt are brought out, or where people meet
)

// Fields lists what Demand.Fields may name, each with its words for crews.
var Fields = []Worded{
	{ByWhom, "who did it"}, {When, "the day"}, {Language, "the language used"}, {Understood, "how understanding was tested"}, {Until, "until when it holds"},
	{Document, "the document"}, {Signed, "a personal signature"}, {Interval, "how often calls come"}, {Contact, "who is called"}, {MissedCall, "what happens at a missed call"},
	{TestedCall, "a test call that was answered"}, {EndOfShift, "a head count when work ended"}, {CallHelp, "how help is called"},
	{WayIn, "how help finds the place"}, {WayOut, "where people meet and how the hurt are brought out"},
}

// Worded is an id with its words for crews.
type Worded struct{ ID, Words string }

// words gives the words of an id in a list, the id itself where there are none.
func wordsOf(list []Worded, id string) string {
	if i := slices.IndexFunc(list, func(w Worded) bool { return w.ID == id }); i >= 0 {
		return list[i].Words
	}
	return id
}

// Covering lists what an orientation may be asked to have covered, each with its words for crews and the phrases by which it is known
// among the topics that somebody wrote down. A topic counts when one of its phrases stands in it, word by word; what is not known counts
// as not covered: "meeting point" is no emergency procedure, and "wires" are not the hazards of the place.
var Covering = []Coverable{
	{"supervisor", "the supervisor and how to reach them", []string{"supervisor", "foreman", "crew boss"}},
	{"rights", "rights and duties, reporting what is unsafe, refusing", []string{"rights", "right to refuse", "refusal", "refusing"}},
	{"rules", "the rules of the workplace", []string{"rules", "site rules"}},
	{"hazards", "the hazards there", []string{"hazards", "hazard", "dangers", "kickback"}},
	{"alone", "working alone or apart", []string{"alone", "isolation"}},
	{"violence", "violence, threats and harassment", []string{"violence", "harassment", "threats"}},
	{"ppe", "protective equipment", []string{"ppe", "protective equipment"}},
	{"first-aid", "first aid: where, how to call it, reporting hurts", []string{"first-aid", "first aid"}},
	{"emergency", "what to do in an emergency", []string{"emergency", "emergencies", "evacuation"}},
	{"task", "the task, shown and tried", []string{"task", "tasks", "demonstration", "technique"}},
	{"programme", "the safety programme", []string{"programme", "program"}},
	{"products", "hazardous products", []string{"products", "whmis"}},
	{"committee", "how to reach the committee or the workers' representative", []string{"committee", "representative"}},
	{"standard", "what the regulation itself asks", []string{"standard", "regulation", "regulations"}},
	{"tools", "safe use and upkeep of tools, and the maker's instructions", []string{"tools", "tool", "saw", "saws"}},
	{"industry", "the other hazards of the trade", []string{"industry", "trade"}},
}

// Coverable is one thing that an orientation may cover.
type Coverable struct {
	ID, Words string
	Phrases   []string
}

// CoveringIDs lists the ids of Covering.
func CoveringIDs() []string {
	ids := make([]string, len(Covering))
	for i, c := range Covering {
		ids[i] = c.ID
	}
	return ids
}

// CoveringWords gives the words for one of Covering, the id itself where it is not one.
func CoveringWords(id string) string {
	for _, c := range Covering {
		if c.ID == id {
			return c.Words
		}
	}
	return id
}

// Covers says which of Covering the topics that somebody wrote down stand for, in the order of Covering.
func Covers(written []string) []string {
	var found []string
	for _, c := range Covering {
		if slices.ContainsFunc(written, c.in) {
			found = append(found, c.ID)
		}
	}
	return found
}

// in reports whether one of the phrases stands in a written topic, word by word.
func (c Coverable) in(written string) bool {
	padded := " " + spaced(written) + " "
	return slices.ContainsFunc(c.Phrases, func(p string) bool { return strings.Contains(padded, " "+spaced(p)+" ") })
}

// spaced writes words in small letters with one space between, whatever stood there.
func spaced(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !('a' <= r && r <= 'z' || '0' <= r && r <= '9' || r > 127)
	}), " ")
}

// Concerns reports whether a demand asks something about a person who is new there, young there, or works alone.
func (d Demand) Concerns(isNew, young, alone bool) bool {
	switch d.Whom {
	case NewOnes:
		return isNew
	case YoungOnes:
		return young
	case NewAndYoung:
		return isNew || young
	case Alone:
		return alone
	}
	return true
}

// Duty is a demand with the rule that makes it.
type Duty struct {
	Demand
	Rule   string // id
	Cite   string // instrument and clause
	Status string // how far it was read, as Rule.Status
	Seen   bool   // its words were read, in the text or in a restatement
}

// Duties lists the demands that a place and those whose rules follow make, its own first. What has ended asks nothing.
func (e Edition) Duties(codeOrAlias string) []Duty {
	var out []Duty
	for _, r := range e.For(codeOrAlias, "") {
		if !r.Asks() {
			continue
		}
		for _, d := range r.Demands {
			out = append(out, Duty{d, r.ID, strings.TrimSpace(r.Instrument + " " + r.Clause), r.Status(), r.Read != Memory && !r.HeadingOnly})
		}
	}
	return out
}
