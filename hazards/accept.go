package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/risk"
)

// acting are the controls whose owner is here, or fills in or accepts the sheet. Nobody else can see to one.
func (d *day) acting() []risk.Control {
	var out []risk.Control
	for _, c := range d.in.Sheet.Controls {
		if d.sees(c.Owner) {
			out = append(out, risk.Control{Factor: c.For, Kind: c.Kind})
		}
	}
	return out
}

func (d *day) sees(owner string) bool {
	_, here := d.lineOf(owner)
	return owner != "" && (here || d.id(owner) == d.id(d.in.Sheet.By) || d.id(owner) == d.id(d.in.Sheet.AcceptedBy))
}

// accept holds until every finding that needs it has a control that takes away, fits or organises something, with an owner who is here,
// and somebody known has accepted by name. Such a hold is none that stops: something is not yet named.
func (d *day) accept() {
	for _, c := range d.in.Sheet.Controls {
		if !d.sees(c.Owner) {
			d.limit(limited{topic: TopicAcceptance, id: "owner-absent", effect: StopSite, means: NotYet, line: d.name(c.Owner) + " is to see to " + c.For + " but is not here", do: "name somebody who is here",
				what: fmt.Sprintf("%s is to see to %s but is not here. That control does not count.", d.name(c.Owner), c.For)})
		}
	}
	if len(d.pending) == 0 {
		return
	}
	for _, p := range d.pending {
		f := &d.out.Findings[p.finding]
		f.Controls = d.controlWords(p.factors)
		if len(p.factors) > 0 && !d.controlled(p.factors) {
			d.notYet(f, p)
		}
	}
	f := limited{topic: TopicAcceptance, id: "not-accepted", effect: StopSite, means: NotYet, line: "nobody has accepted by name what is left", do: "who decides accepts it by name"}
	if by := d.in.Sheet.AcceptedBy; by == "" {
		f.what = "Nobody has accepted by name what is left after controls."
		d.limit(f)
	} else if _, known := d.people[by]; !known {
		f.line, f.what = by+" cannot accept: not on the crew list", by+" is not on the crew list and cannot accept."
		d.limit(f)
	}
}

// controlled reports whether somebody who is here sees to a control on one of these factors. Telling and wearing control nothing.
func (d *day) controlled(factors []string) bool {
	for _, c := range d.in.Sheet.controlsFor(factors...) {
		if d.sees(c.Owner) && !c.Kind.Talk() {
			return true
		}
	}
	return false
}

// notYet turns a finding that nobody sees to into a hold that says what is missing. It never says that nobody is named where a name
// stands beside it.
func (d *day) notYet(f *Finding, p pending) {
	f.Effect, f.Means, f.Line, f.Do = StopSite, NotYet, "nobody is named for "+p.words, "say what is done and who sees to it"
	missing := "Nobody is named for " + p.words + "; say what is done and who sees to it."
	list := d.in.Sheet.controlsFor(p.factors...)
	switch {
	case len(list) > 0 && d.sees(list[0].Owner):
		f.Line, f.Do = p.words+": telling and wearing control nothing", "say what is taken away, fitted or done otherwise"
		missing = "Telling and wearing control nothing; say what is taken away, fitted or done otherwise, and who sees to it."
	case len(list) > 0:
		f.Line, f.Do = p.words+": who is to see to it is not here", "name somebody who is here"
		missing = "Who is to see to it is not here; name somebody who is."
	case d.answers[p.factors[0]].Is == DontKnow:
		f.Line = p.words + ": not known yet, and nothing is done about it"
		missing = "Say what is done about it until then, and who sees to it."
	}
	f.What += " " + missing
}

// controlWords says which controls are named for these factors, and who sees to them.
func (d *day) controlWords(factors []string) []string {
	var out []string
	for _, c := range d.in.Sheet.controlsFor(factors...) {
		out = append(out, fmt.Sprintf("%s: %s (%s), %s sees to it", c.For, c.What, c.Kind, d.name(c.Owner)))
	}
	return out
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }
func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
