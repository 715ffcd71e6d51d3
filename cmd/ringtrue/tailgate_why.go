package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training/spelling"
)

// printWhy prints what an answer rests on: findings with reasons, house rules and clauses, what each may do and on what evidence, and the
// entries. Of names one person or finding, or everyReason.
func (a *app) printWhy(day course, ans hazards.Assessment, of string) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	named := ans.Named(people.handle)
	about := named
	if of != everyReason {
		if about, err = a.narrowed(named, of, people); err != nil {
			return err
		}
	}
	a.mark()
	a.say("%s  (%s, %s)", a.word("verdict", string(named.Answer)), a.said("page.block", named.Block), a.local(day.happened))
	a.findings(about)
	if len(about.May)+len(about.Saws) > 0 {
		a.mayDo(about)
	}
	a.say("")
	a.say("%s", a.inWords(named.Caution))
	a.say("%s", a.inWords(day.Knows))
	a.say("%s", a.said("show.entry", a.book.Short(day.ref), a.inWords(a.signedText(day.ref, people.handle(day.by)))))
	for _, c := range day.changes {
		a.say("%s", a.said("show.entry", a.book.Short(c.ref), a.inWords(a.signedText(c.ref, people.handle(c.by)))))
	}
	return nil
}

// narrowed leaves of an answer what is about one person, saw or finding.
func (a *app) narrowed(named hazards.Assessment, of string, people *people) (hazards.Assessment, error) {
	out := named
	out.Findings, out.May, out.Saws, out.Open = nil, nil, nil, nil
	who, err := a.person(of)
	if err != nil {
		who.Handle = ""
	}
	for _, f := range named.Findings {
		if a.isAbout(f, of, who.Handle) {
			out.Findings = append(out.Findings, f)
		}
	}
	for _, m := range named.May {
		if m.Worker == who.Handle || strings.EqualFold(m.Saw, of) {
			out.May = append(out.May, m)
		}
	}
	for _, s := range named.Saws {
		if strings.EqualFold(s.ID, of) {
			out.Saws = append(out.Saws, s)
		}
	}
	if len(out.Findings)+len(out.May)+len(out.Saws) == 0 {
		return out, a.nothingAbout(named, of)
	}
	return out, nil
}

// isAbout reports whether a finding is about somebody by handle, or is meant by a word: its topic, its saw, or words of its sentences.
func (a *app) isAbout(f hazards.Finding, of, handle string) bool {
	subjects := append(slices.Clone(f.Subjects), f.Subject)
	if handle != "" {
		return slices.Contains(subjects, handle)
	}
	words := append(subjects, f.Topic, a.word("topic", f.Topic), f.ID)
	return slices.ContainsFunc(words, func(w string) bool { return strings.EqualFold(w, of) }) ||
		strings.Contains(plain(f.Line+" "+f.What+" "+a.inWords(f.What)), plain(of))
}

// nothingAbout refuses a word by which nothing of the check is meant, and lists what there is.
func (a *app) nothingAbout(named hazards.Assessment, of string) error {
	var words []string
	for _, m := range named.May {
		words = append(words, m.Worker)
	}
	for _, f := range named.Findings {
		if w := a.word("topic", f.Topic); !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	next := "one of: " + strings.Join(words, ", ")
	if near := spelling.Nearest(of, words); near != "" {
		next = fmt.Sprintf("nearest: %s; %s", near, next)
	}
	return usage(next, "the check says nothing about %q", of)
}
