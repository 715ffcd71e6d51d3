package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// answersFor finds the uses of a saw that an event is to answer for, as the ledger names them. Any use may be named: what stands against one
// may become known only later.
func (a *app) answersFor(texts []string) ([]string, error) {
	var p problems
	var names []string
	for _, text := range texts {
		ref, ok, err := a.book.Find(a.ctx, strings.TrimSpace(text))
		p.add(err)
		if err != nil {
			continue
		}
		if !ok {
			p.addf("see the uses of saws: ringtrue evidence against", "--answers %s: there is no such entry in this book", text)
			continue
		}
		h, err := a.book.Entry(a.ctx, ref, nil)
		p.add(err)
		name := a.book.Name(ref)
		switch {
		case err != nil:
		case !isUse(h):
			p.addf("see the uses of saws: ringtrue evidence against", "--answers %s: that entry tells of no use of a saw (%s)", text, kindWord(h))
		case slices.Contains(names, name):
			p.add(usage("name each entry once", "--answers names entry %s twice", text))
		default:
			names = append(names, name)
		}
	}
	return names, p.err()
}

// kindWord is the kind of an entry as people read it.
func kindWord(h ledger.Header) string {
	if word, ok := sawKinds[h.Kind]; ok {
		return word
	}
	return h.Kind
}

// usesAnsweredBy lists for each use that events answer for those events, by their entries.
func (a *app) usesAnsweredBy(asked training.Asked) (map[training.Ref][]string, error) {
	by := map[training.Ref][]string{}
	err := a.eachListed(asked, training.KindEvent, func(event training.Ref) error {
		var rec training.Event
		if _, err := a.book.Entry(a.ctx, event, &rec); err != nil {
			return err
		}
		for _, name := range rec.Answers {
			ref, err := a.book.Ref(name)
			if err != nil {
				continue // of a device that this book has not met
			}
			by[ref] = append(by[ref], a.book.Short(event))
		}
		return nil
	})
	return by, err
}

// usesAnswered says of what somebody answers for with an event that nothing stands against it, where that is so.
func (a *app) usesAnswered(names []string) (notes []string, err error) {
	for _, name := range names {
		ref, err := a.book.Ref(name)
		if err != nil {
			return nil, err
		}
		cases, err := a.casesOf([]training.Ref{ref}, anyUse, a.knownNow(1<<20))
		if err != nil {
			return nil, err
		}
		for _, c := range cases {
			if !c.Against() {
				notes = append(notes, "nothing stands against entry "+a.book.Short(ref)+", as far as this book knows")
			}
		}
	}
	if len(names) > 0 {
		notes = append(notes, "answers for "+strings.Join(a.shorts(names), ", ")+": it no longer waits under: ringtrue today")
	}
	return notes, nil
}
