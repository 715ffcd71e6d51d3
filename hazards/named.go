package hazards

import "regexp"

var personMark = regexp.MustCompile(`\{([^{}]+)\}`)

// Named returns a copy in which every person stands by the name that name gives for an id. Where name gives "", the
// id stays.
func (a Assessment) Named(name func(id string) string) Assessment {
	one := func(id string) string {
		if n := name(id); n != "" {
			return n
		}
		return id
	}
	text := func(s string) string {
		return personMark.ReplaceAllStringFunc(s, func(m string) string { return one(m[1 : len(m)-1]) })
	}
	texts := func(list []string) []string {
		out := append([]string(nil), list...)
		for i := range out {
			out[i] = text(out[i])
		}
		return out
	}
	a.Sentence, a.By, a.AcceptedBy = text(a.Sentence), one(a.By), one(a.AcceptedBy)
	a.Findings = append([]Finding(nil), a.Findings...)
	for i := range a.Findings {
		f := &a.Findings[i]
		f.What, f.Reasons, f.Lower, f.Controls, f.Ends = text(f.What), texts(f.Reasons), texts(f.Lower), texts(f.Controls), text(f.Ends)
		if f.Of == OfPerson {
			f.Subject = one(f.Subject)
		}
	}
	a.May = append([]May(nil), a.May...)
	for i := range a.May {
		m := &a.May[i]
		m.Worker, m.With, m.Instead = one(m.Worker), one(m.With), text(m.Instead)
		m.RestsOn, m.Stopped = texts(m.RestsOn), texts(m.Stopped)
	}
	a.Open = append([]Open(nil), a.Open...)
	for i := range a.Open {
		a.Open[i].Who = one(a.Open[i].Who)
	}
	a.NotLookedAt = texts(a.NotLookedAt)
	return a
}
