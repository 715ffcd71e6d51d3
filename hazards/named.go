package hazards

import (
	"regexp"

	"example.org/ringtrue/hazards/house"
)

var personMark = regexp.MustCompile(`\{([^{}]+)\}`)

// Named returns a copy in which every person stands by the name that name gives for an id. Where name gives "", the
// id stays.
func (a Assessment) Named(name func(id string) string) Assessment {
	one := func(id string) string { return nameOr(name, id) }
	return a.naming(one, one)
}

// TextsNamed is Named for the texts alone: where a person stands as a field of its own, the id stays, for programs that read it.
func (a Assessment) TextsNamed(name func(id string) string) Assessment {
	return a.naming(func(id string) string { return id }, func(id string) string { return nameOr(name, id) })
}

func nameOr(name func(id string) string, id string) string {
	if n := name(id); n != "" {
		return n
	}
	return id
}

// naming puts one for every person who stands as a field, and named for every person in a text.
func (a Assessment) naming(one, named func(id string) string) Assessment {
	text := func(s string) string {
		return personMark.ReplaceAllStringFunc(s, func(m string) string { return named(m[1 : len(m)-1]) })
	}
	texts := func(list []string) []string {
		return append([]string{}, each(list, text)...)
	}
	a.Sentence, a.By, a.AcceptedBy = text(a.Sentence), one(a.By), one(a.AcceptedBy)
	a.Findings = append([]Finding{}, a.Findings...)
	for i := range a.Findings {
		f := &a.Findings[i]
		f.What, f.Reasons, f.Lower, f.Controls, f.Ends = text(f.What), texts(f.Reasons), texts(f.Lower), texts(f.Controls), text(f.Ends)
		f.Line, f.Do = text(f.Line), text(f.Do)
		f.House, f.Looser = text(f.House), chosenBy(f.Looser, one)
		if f.Of == OfPerson {
			f.Subject, f.Subjects = one(f.Subject), each(f.Subjects, one)
		}
	}
	a.May = append([]May{}, a.May...)
	for i := range a.May {
		m := &a.May[i]
		m.Worker, m.With, m.Instead = one(m.Worker), one(m.With), text(m.Instead)
		m.RestsOn, m.Stopped = texts(m.RestsOn), texts(m.Stopped)
	}
	a.Saws = append([]SawUse{}, a.Saws...)
	for i := range a.Saws {
		a.Saws[i].WhyNot = texts(a.Saws[i].WhyNot)
	}
	a.Open = append([]Open{}, a.Open...)
	for i := range a.Open {
		a.Open[i].Who = one(a.Open[i].Who)
	}
	a.NotYet, a.NotLookedAt, a.WatchFor = each(a.NotYet, text), texts(a.NotLookedAt), texts(a.WatchFor)
	return a
}

// each returns the list with every word put through to; nil stays nil.
func each(list []string, to func(string) string) []string {
	out := append([]string(nil), list...)
	for i := range out {
		out[i] = to(out[i])
	}
	return out
}

// chosenBy names who loosened each house rule.
func chosenBy(list []house.Loosening, one func(id string) string) []house.Loosening {
	out := append([]house.Loosening(nil), list...)
	for i := range out {
		out[i].By = one(out[i].By)
	}
	return out
}
