package rules

import (
	"slices"
	"strings"

	"example.org/ringtrue/training/spelling"
)

// demands checks what a rule asks records to show.
func (l *linter) demands(at string, r Rule) {
	if r.Scope && len(r.Demands) > 0 {
		l.say("%s: it asks nothing (scope), and yet says what records must show", at)
	}
	for i, d := range r.Demands {
		l.known(at+", demand", "record", d.Of, slices.Concat(Records, CrewRecords))
		l.known(at+", demand", "whom it concerns", d.Whom, Concerned)
		for _, t := range d.Topics {
			if d.Of != "ticket" {
				l.known(at+", demand", "topic", t, CoveringIDs())
			}
		}
		for _, f := range d.Fields {
			l.known(at+", demand", "field", f, fieldIDs())
		}
		if d.Days < 0 {
			l.say("%s, demand: %d days is less than none", at, d.Days)
		}
		for _, other := range r.Demands[:i] {
			if d.Of == other.Of && d.Whom == other.Whom {
				l.say("%s: %s of %s is asked for twice", at, d.Of, d.Whom)
			}
		}
	}
}

func fieldIDs() []string {
	ids := make([]string, len(Fields))
	for i, f := range Fields {
		ids[i] = f.ID
	}
	return ids
}

// known asks that a word is one of a list.
func (l *linter) known(at, what, word string, list []string) {
	if !slices.Contains(list, word) {
		l.say("%s: %s %q is not known; nearest: %s; one of %s", at, what, word, spelling.Closest(word, list), strings.Join(list, ", "))
	}
}
