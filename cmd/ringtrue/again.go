package main

import (
	"time"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

const anotherHelp = "it is another one, though the book has one of the same moment"

// twin is a record that may be in the book already: the same kind, about the same worker, at the same moment, by the same person.
type twin struct {
	kind, worker, topic string
	by                  string
	happened            time.Time
	same                func(data []byte) bool // nil = any
	words               string                 // what it is, for the refusal
}

// notTwice refuses what the book holds already, unless it is said to be another one; where something else is wrong, that is said
// first. What stops is never asked.
func (a *app) notTwice(p *problems, another bool, t twin) {
	if another || t.worker == "" || len(p.found) > 0 {
		return
	}
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), t.worker, t.topic)
	p.add(err)
	for _, f := range facts {
		if f.Struck || f.At != t.happened.Unix() {
			continue
		}
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		p.add(err)
		if err == nil && h.Kind == t.kind && h.By == t.by && (t.same == nil || t.same(h.Data)) {
			p.addf("if it truly was another one, say so: --another; else nothing is to do", "%s at %s is in the book already, entry %s", t.words, a.local(t.happened), a.book.Short(f.Entry))
			return
		}
	}
}

// dataSays reports whether members of a record have these texts.
func dataSays(pairs ...string) func(data []byte) bool {
	return func(data []byte) bool {
		for i := 0; i < len(pairs); i += 2 {
			if ledger.Text(ledger.Lookup(data, pairs[i])) != pairs[i+1] {
				return false
			}
		}
		return true
	}
}

// lookTwin is the look at one skill that may have been typed before.
func lookTwin(l look, s training.Skill) twin {
	return twin{kind: training.KindObservation, worker: l.who.ID, topic: s.ID, by: l.by.ID, happened: l.happened,
		words: "the look of " + l.by.Name + " at " + l.who.Name + ", " + s.ID + ","}
}
