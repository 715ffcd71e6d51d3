package main

import (
	"strings"

	"example.org/ringtrue/hazards"
)

// decisions are what was decided during the day, in the order in which it happened. What a decision says of the saws is what was entered,
// else what its words plainly say.
func (c course) decisions(a *app) []hazards.Decision {
	var list []hazards.Decision
	for _, one := range c.changes {
		list = append(list, one.decision(one.happened.In(a.book.Zone()).Format("15:04")))
	}
	return list
}

func (e changeEntry) decision(clock string) hazards.Decision {
	return hazards.Decision{At: clock, By: e.DecidedBy, What: e.What, Words: e.Decision, Saws: e.saws()}
}

// saws is what a change says of the saws; work that resumes starts them unless its words take that back.
func (r changeRecord) saws() string {
	said := hazards.SawsOf(r.Decision)
	switch {
	case r.Saws != "":
		return r.Saws
	case said == "" && r.What == changeResumed && !hazards.TakesBack(r.Decision):
		return hazards.SawsOn
	}
	return said
}

// word is the word of a day: the stricter of what was decided and what was computed.
func (a *app) wordOf(day course) hazards.Word {
	return hazards.WordOf(day.answer(), day.decisions(a))
}

// wordLines say the word of a day, led by what was decided, by whom and when; nil where nothing was decided since the check.
func (a *app) wordLines(day course, people *people) []string {
	w := a.wordOf(day)
	if !w.Changed() {
		return nil
	}
	d := w.Decided
	out := []string{
		a.said("show.word-now", a.word("verdict", string(w.Answer)), a.said("page.block", day.place())),
		a.said("show.decided", d.At, people.handle(d.By), d.Words),
	}
	if w.ByDecision() {
		out = append(out, a.said("show.saws-off"))
	}
	return append(out, a.said("show.computed-apart", a.word("verdict", string(w.Computed)), w.At))
}

// wordInBrief is the same on one line, for lists; "" where nothing was decided.
func (a *app) wordInBrief(day course, people *people) string {
	w := a.wordOf(day)
	if !w.Changed() {
		return ""
	}
	return strings.ToUpper(string(w.Answer)) + ", decided at " + w.Decided.At + " by " + people.handle(w.Decided.By) + ": " + w.Decided.Words
}

// decided is the decision that stands, nil where nothing was decided since the check.
func (c course) decided(a *app) *hazards.Decision {
	w := a.wordOf(c)
	if !w.Changed() {
		return nil
	}
	return &w.Decided
}

// wordBefore is the word of the day of a check on a line before what was recorded on it; "" where nothing was decided since.
func (a *app) wordBefore(t tailgate) (string, error) {
	people, err := a.crew()
	if err != nil {
		return "", err
	}
	day, err := a.course(t, a.knownNow(1<<20))
	if word := a.wordInBrief(day, people); word != "" {
		return word + "\n", err
	}
	return "", err
}
