package main

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"example.org/ringtrue/hazards"
)

// What is said when somebody is hurt, missing, or does not call stands before everything else: who to call, what to say, where to meet;
// then names; then one line of what was recorded.

// emergencyCard is the card of the block where the crew of a check is, as known now.
func (a *app) emergencyCard(day course) (hazards.Block, error) {
	card, _, err := a.card(day.place(), a.knownNow(1<<20))
	return card, err
}

// labelled prints a line behind a short word in capitals.
func (a *app) labelled(id, text string) {
	label := a.said(id)
	a.say("%s%s%s", label, strings.Repeat(" ", max(2, labelWide-utf8.RuneCountInString(label))), text)
}

// labelWide is the column in which lines behind a label begin, from 0.
const labelWide = 12

// cardText prints who to call, what to say and where to meet.
func (a *app) cardText(card hazards.Block) {
	a.labelled("hurt.call", a.said("hurt.call-on", card.Call, card.Channel))
	a.labelled("hurt.say", a.said("hurt.place", card.Name, card.ID, card.Road, card.Lat, card.Lon))
	a.labelled("hurt.meet", a.said("hurt.help", card.Meeting, card.Ambulance, card.Walk))
	a.labelled("hurt.else", a.said("hurt.no-helicopter", card.PlanB))
	for _, line := range card.Further() {
		a.say("%s%s", strings.Repeat(" ", labelWide), a.inWords(line))
	}
}

// emergency prints the text for where the crew is, before anything else.
func (a *app) emergency(day course) error {
	a.mark()
	card, err := a.emergencyCard(day)
	if err != nil {
		return err
	}
	if card.ID == "" { // the card is gone; what the check recorded is better than nothing
		for _, line := range day.answer().Emergency {
			a.say("%s", a.inWords(line))
		}
		return nil
	}
	a.cardText(card)
	return nil
}

// hereText names who is there, without those told otherwise, the first aider marked.
func (a *app) hereText(day course, people *people, but ...string) {
	var names []string
	for _, w := range day.crew() {
		if slices.Contains(but, w) {
			continue
		}
		names = append(names, people.called(w)+firstAidMark(a, day.sheet(), w))
	}
	for _, v := range day.visitors() {
		if !slices.Contains(but, v) {
			names = append(names, v)
		}
	}
	a.labelled("hurt.here", orWord(strings.Join(names, ", "), a.said("hurt.nobody")))
}

// called is a person's whole name; without one the id.
func (p *people) called(id string) string {
	if one, ok := p.byID[id]; ok {
		return one.Name
	}
	return id
}

func firstAidMark(a *app, s hazards.Sheet, worker string) string {
	if said := s.Said(hazards.FirstAider); said.Is == hazards.Told && said.Value == worker {
		return " (" + a.said("hurt.first-aid") + ")"
	}
	return ""
}

// recordedLine is the one line of what was recorded.
func (a *app) recordedLine(entry, what string) {
	a.say("%s", fmt.Sprintf("%s (%s).", a.said("hurt.recorded", what), a.said("hurt.entry", entry)))
}

// alarm is what is wrong on a day for people: an incident that nobody has let work resume after, calls that did not come, and who was
// missing at the last head count. A day that has ended has none.
type alarm struct {
	incident *changeEntry
	missed   []hazards.Missed
	short    *closeEntry
}

func (l alarm) sounds() bool { return l.incident != nil || len(l.missed) > 0 || l.short != nil }

func (c course) alarm(missed []hazards.Missed) (l alarm) {
	if _, closed := c.closed(); closed {
		return alarm{}
	}
	for i, one := range c.changes {
		switch one.What {
		case changeIncident:
			l.incident = &c.changes[i]
		case changeResumed:
			l.incident = nil
		}
	}
	if n := len(c.closes); n > 0 {
		l.short = &c.closes[n-1]
	}
	l.missed = missed
	return l
}

// alarmText prints the emergency text of where the crew is, and the names that belong to an alarm.
func (a *app) alarmText(day course, l alarm, people *people) error {
	if err := a.emergency(day); err != nil {
		return err
	}
	var but []string
	if one := l.incident; one != nil {
		what := strings.Join(notEmpty(strings.Join(eachOf(one.Delta.Unwell, people.called), ", "), one.Words), ": ")
		a.labelled("hurt.hurt", strings.Join(notEmpty(what, one.happened.In(a.book.Zone()).Format("15:04")), ", "))
		but = append(but, one.Delta.Unwell...)
	}
	for _, m := range l.missed {
		a.labelled("hurt.no-call", a.said("hurt.due", people.called(m.Worker), m.Due))
		but = append(but, m.Worker)
	}
	if one := l.short; one != nil {
		a.labelled("hurt.missing", strings.Join(append(eachOf(one.Missing, people.called), one.VisitorsMissing...), ", "))
		but = append(append(but, one.Missing...), one.VisitorsMissing...)
	}
	a.hereText(day, people, but...)
	return nil
}

// leads prints what goes before a check that is shown: an alarm of that very day, else the word of the day where something was decided.
func (a *app) leads(day course, at time.Time, people *people) error {
	if err := a.alarmFirst(day, at, people); err != nil {
		return err
	}
	a.mark()
	for _, l := range a.wordLines(day, people) {
		a.say("%s", l)
	}
	return nil
}

// alarmFirst prints the emergency text before anything else, where somebody is hurt or missing on the day asked about.
func (a *app) alarmFirst(day course, at time.Time, people *people) error {
	l := day.alarm(a.missedCalls(day))
	if !l.sounds() || at.In(a.book.Zone()).Format(time.DateOnly) != day.Sheet.Day {
		return nil
	}
	if err := a.alarmText(day, l, people); err != nil {
		return err
	}
	a.say("")
	return nil
}
