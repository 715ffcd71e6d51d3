package rules

import "slices"

// What a book holds towards a duty.
const (
	Holds      = "record held"
	HoldsPart  = "part held"
	HoldsNone  = "none held"
	NoneThere  = "nobody it concerns"
	CannotTell = "cannot be judged here"
)

// Person is somebody of whom a place's duties may ask something, with the records that a book holds about them.
type Person struct {
	ID    string
	New   bool // to the place, or new again there
	Young bool
	Alone bool // has worked alone
	Held  []Held
}

// Held is one record that a book holds: about a person, or of the crew as a whole.
type Held struct {
	Of     string   // as Demand.Of
	Entry  string   // short, for reading it up
	Age    int      // days since it was made
	Topics []string // what it covers, as written; of a ticket, its name
	Fields []string // what it says, of Fields
	Ended  bool     // it has run out
}

// Cover is one duty held against a book.
type Cover struct {
	Rule    Rule
	Holds   string
	Missing []Missing // what is missing, and of whom
	Entries []string  // what is held
}

// Missing is one thing that a duty asks for and the book does not hold. Who is empty where it is the crew's as a whole. Kind tells
// whether it is a whole record, a topic of one, or a field of one.
type Missing struct {
	Of   string   // as Demand.Of
	Kind string   // one of Whole, Topic, Field, Old
	What string   // id of the topic or field, "" for a whole record
	Who  []string // person ids
}

// Kinds of what is missing.
const (
	Whole = "record"
	Topic = "topic"
	Field = "field"
	Old   = "age"
)

// CoverBy holds one rule against a book: people on the crew list with their records, and the records of the crew as a whole. It counts
// records and reads what they say of themselves; whether they are true, or enough, it does not say.
func CoverBy(r Rule, people []Person, crew []Held) Cover {
	c := Cover{Rule: r, Holds: CannotTell}
	asked, lacking, any := 0, 0, false
	for _, d := range r.Asked() {
		for _, one := range d.of(people, crew) {
			asked++
			missing, entries := d.missing(one.held)
			any = any || len(entries) > 0
			if len(missing) > 0 {
				lacking++
			}
			c.add(one.id, missing, entries)
		}
	}
	switch {
	case len(r.Asked()) == 0:
	case asked == 0:
		c.Holds = NoneThere
	case lacking == 0:
		c.Holds = Holds
	case any:
		c.Holds = HoldsPart
	default:
		c.Holds = HoldsNone
	}
	return c
}

// Asked lists the demands of a rule; where it has none, each record of Kept is asked of everybody.
func (r Rule) Asked() []Demand {
	if len(r.Demands) > 0 {
		return r.Demands
	}
	var out []Demand
	for _, k := range r.Kept {
		out = append(out, Demand{Of: k, Whom: Everybody})
	}
	return out
}

// holder is one of whom a demand asks: a person, or "" for the crew.
type holder struct {
	id   string
	held []Held
}

// of lists those of whom a demand asks, with their records of its kind. Calls of those alone concern nobody where nobody was.
func (d Demand) of(people []Person, crew []Held) []holder {
	var out []holder
	kind := func(list []Held) []Held {
		return slices.DeleteFunc(slices.Clone(list), func(h Held) bool { return h.Of != d.Of })
	}
	if slices.Contains(CrewRecords, d.Of) {
		concerned := slices.ContainsFunc(people, func(p Person) bool { return d.Concerns(p.New, p.Young, p.Alone) })
		if concerned {
			out = append(out, holder{held: kind(crew)})
		}
		return out
	}
	if d.Whom == Somebody {
		var all []Held
		for _, p := range people {
			all = append(all, p.Held...)
		}
		return []holder{{held: kind(slices.Concat(all, crew))}}
	}
	for _, p := range people {
		if d.Concerns(p.New, p.Young, p.Alone) {
			out = append(out, holder{p.ID, kind(slices.Concat(p.Held, crew))})
		}
	}
	return out
}

// missing says what the records of one holder lack of a demand, and which of them count towards it. What one record covers and another
// does not adds up, but each field must stand in every record that counts, and for calls in each morning.
func (d Demand) missing(held []Held) (missing []Missing, entries []string) {
	held = slices.DeleteFunc(slices.Clone(held), func(h Held) bool { return h.Ended })
	switch {
	case len(held) == 0 && len(d.Topics) > 0:
		return d.lacks(Topic, d.Topics), nil
	case len(held) == 0:
		return []Missing{{Of: d.Of, Kind: Whole}}, nil
	}
	if d.Days > 0 && !slices.ContainsFunc(held, func(h Held) bool { return h.Age <= d.Days }) {
		missing = append(missing, Missing{Of: d.Of, Kind: Old})
	}
	var without []string
	for _, t := range d.Topics {
		if !slices.ContainsFunc(held, func(h Held) bool { return h.covers(t) }) {
			without = append(without, t)
		}
	}
	missing = append(missing, d.lacks(Topic, without)...)
	counts := slices.DeleteFunc(held, func(h Held) bool { return !d.counts(h) })
	for _, h := range counts {
		entries = append(entries, h.Entry)
	}
	var unsaid []string
	for _, f := range d.Fields {
		if slices.ContainsFunc(counts, func(h Held) bool { return !slices.Contains(h.Fields, f) }) {
			unsaid = append(unsaid, f)
		}
	}
	return append(missing, d.lacks(Field, unsaid)...), entries
}

// counts reports whether a record has anything of what a demand asks to be covered.
func (d Demand) counts(h Held) bool {
	return len(d.Topics) == 0 || slices.ContainsFunc(d.Topics, h.covers)
}

// covers reports whether a record covers a topic: a ticket by its name, else by what was written.
func (h Held) covers(topic string) bool {
	if h.Of == "ticket" {
		return slices.Contains(h.Topics, topic)
	}
	return slices.Contains(Covers(h.Topics), topic)
}

func (d Demand) lacks(kind string, what []string) []Missing {
	var out []Missing
	for _, w := range what {
		out = append(out, Missing{Of: d.Of, Kind: kind, What: w})
	}
	return out
}

// add takes up what is missing of one holder, together with others who lack the same.
func (c *Cover) add(who string, missing []Missing, entries []string) {
	for _, m := range missing {
		i := slices.IndexFunc(c.Missing, func(o Missing) bool { return o.Of == m.Of && o.Kind == m.Kind && o.What == m.What })
		if i < 0 {
			i, c.Missing = len(c.Missing), append(c.Missing, m)
		}
		if who != "" && !slices.Contains(c.Missing[i].Who, who) {
			c.Missing[i].Who = append(c.Missing[i].Who, who)
		}
	}
	for _, e := range entries {
		if !slices.Contains(c.Entries, e) {
			c.Entries = append(c.Entries, e)
		}
	}
}

// Words says for crews what is missing, without whom.
func (m Missing) Words() string {
	what := wordsOf(recordWords, m.Of)
	switch m.Kind {
	case Topic:
		if m.Of == "ticket" {
			return "a ticket: " + m.What
		}
		return CoveringWords(m.What)
	case Field:
		return what + ": " + wordsOf(Fields, m.What)
	case Old:
		return what + ": none is new enough"
	}
	return "no " + what + " on record"
}

// recordWords says for crews what kinds of records are.
var recordWords = []Worded{
	{"attendance", "training"}, {"taught", "training"}, {"credit", "earlier training"}, {"understood", "training with a test of understanding"}, {"observation", "look"},
	{"tailgate", "morning check"}, {EmergencyText, "emergency text"}, {CallsArranged, "arrangement of calls"}, {CallsKept, "result of the calls"},
}

// Lacks lists what a person's orientations leave out of a demand on them, as ids of Covering; nil where nothing is, or the demand is
// about something else. written are the topics of all their orientations together.
func (d Demand) Lacks(written []string) []string {
	if d.Of != "orientation" {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(d.Topics), func(t string) bool { return slices.Contains(Covers(written), t) })
}
