package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/cmd/ringtrue/internal/glance"
	"example.org/ringtrue/hazards"
)

// changeAnswer is a change for --json.
type changeAnswer struct {
	Format     string             `json:"format"`
	Entry      string             `json:"entry"`
	Tailgate   string             `json:"tailgate"`
	What       string             `json:"what"`
	Words      string             `json:"words"`
	Happened   string             `json:"happened"`
	Recorded   string             `json:"recorded"`
	Decision   string             `json:"decision"`
	Saws       string             `json:"saws"` // what the decision says of the saws: on, off or ""
	DecidedBy  string             `json:"decided_by"`
	Told       []string           `json:"told"`
	NotTold    []string           `json:"not_told"`
	Changed    []string           `json:"changed"`
	Word       hazards.Verdict    `json:"word"`  // of the day since then: the stricter of what was decided and what was computed
	Place      string             `json:"place"` // block where the crew is
	Assessment hazards.Assessment `json:"assessment"`
	People     map[string]string  `json:"people"`
}

// notTold lists those here who were not told.
func (c course) notTold(told []string, by string) []string {
	list := []string{}
	for _, w := range c.crew() {
		if w != by && !slices.Contains(told, w) {
			list = append(list, w)
		}
	}
	return list
}

func (a *app) changeAnswer(day course, one changeEntry, people *people) changeAnswer {
	ans := changeAnswer{Format: "ringtrue/tailgate-change/1", Entry: a.book.Name(one.ref), Tailgate: one.Tailgate, What: one.What, Words: one.Words,
		Happened: one.happened.Format(time.RFC3339), Recorded: one.recorded.Format(time.RFC3339), Decision: one.Decision, Saws: one.saws(), DecidedBy: one.DecidedBy, Told: one.Told, Word: a.wordOf(day.until(one)).Answer, Place: day.until(one).place(),
		NotTold: day.notTold(one.Told, one.DecidedBy), Changed: eachOf(one.Changed, people.inText), Assessment: one.Assessment.TextsNamed(people.handle), People: map[string]string{}}
	for _, w := range append(day.crew(), one.DecidedBy) {
		ans.People[w] = people.name(w)
	}
	return ans
}

// until is the day as it was right after one of its changes, in the order in which they happened.
func (c course) until(one changeEntry) course {
	for i, e := range c.changes {
		if e.ref == one.ref {
			c.changes = c.changes[:i+1]
			return c
		}
	}
	return c
}

// printIncident prints the emergency text of where the crew is, who is hurt, who is there, and one line of what was recorded.
func (a *app) printIncident(day course, one changeEntry) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	if err := a.alarmText(day, alarm{incident: &one}, people); err != nil {
		return err
	}
	a.recordedLine(a.book.Short(one.ref), a.said("hurt.decided", one.Decision, people.handle(one.DecidedBy)))
	return nil
}

// printChange prints one screen of the day with the change in it, its reasons, or all of it.
func (a *app) printChange(day course, one changeEntry, o depth) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(a.changeAnswer(day, one, people))
	}
	switch {
	case o.full:
		a.changeAndAnswer(day, one, people)
		return nil
	case o.why != "":
		return a.printWhy(day, one.Assessment, o.why)
	}
	m := glance.Morning{}
	if one.What == changeIncident || one.What == changeCloseCall {
		m.Notes = append(m.Notes, a.said("glance.event", eventCommand(one)))
	}
	return a.glance(day, one.Assessment, &one, m, a.showCommand(day.tailgate))
}

func eventCommand(one changeEntry) string {
	return fmt.Sprintf("ringtrue event add --kind %s --block %s", one.What, one.Block)
}

// changeAndAnswer prints the decision first, then what the program computed, and when.
func (a *app) changeAndAnswer(day course, one changeEntry, people *people) {
	a.mark()
	for _, l := range a.wordLines(day, people) {
		a.say("%s", l)
	}
	a.changeText(one, people)
	if one.Saws == "" && one.saws() != "" {
		a.say("%s", a.said("show.saws-read", one.saws()))
	}
	if left := day.notTold(one.Told, one.DecidedBy); len(left) > 0 {
		a.say("not told yet: %s", strings.Join(eachOf(left, people.handle), ", "))
	}
	if one.What == changeIncident || one.What == changeCloseCall {
		a.say("keep it as an event too, so that what follows is seen to: %s", eventCommand(one))
	}
	named := one.Assessment.Named(people.handle)
	a.say("")
	a.say("computed at %s, apart from that decision: %s", a.local(one.recorded), strings.ToUpper(string(named.Answer)))
	a.say("%s", named.Sentence)
	a.findings(named)
	a.mayDo(named)
	a.readAloud(named)
	a.closing(tailgate{tailgateRecord: tailgateRecord{Knows: one.Knows}}, named, people)
	a.say("entry %s, %s%s", a.book.Short(one.ref), a.signedText(one.ref, people.handle(one.by)), a.apart(one.happened, one.recorded))
}

// changeText says what happened and what was decided then.
func (a *app) changeText(one changeEntry, people *people) {
	a.say("%s  %s%s%s", one.happened.In(a.book.Zone()).Format("15:04"), one.What, note(" to ", one.MovedTo), note(": ", one.Words))
	a.say("  decided then by %s: %s", people.handle(one.DecidedBy), one.Decision)
	a.say("  told: %s", orNobody(eachOf(one.Told, people.handle)))
	for _, c := range one.Changed {
		a.say("  changed: %s", people.inText(c))
	}
}

func eachOf[A, B any](list []A, to func(A) B) []B {
	out := make([]B, len(list))
	for i := range list {
		out[i] = to(list[i])
	}
	return out
}

func orNobody(list []string) string {
	if len(list) == 0 {
		return "nobody"
	}
	return strings.Join(list, ", ")
}
