package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
)

// saw says how the saw of the day stood, what stopped it, its last line and what was due.
func (c *chain) saw(id string) error {
	c.sawing = true
	list, err := c.saws(c.asked)
	if err != nil {
		return err
	}
	card, err := pickSaw(list, id)
	if err != nil { // joined with a saw that has no card
		c.add(chainRow{step: stepSaw, what: "saw", of: id, state: "none", words: "the book holds no card of it"})
		return nil
	}
	s, err := c.standOf(card, c.asked)
	if err != nil {
		return err
	}
	why, err := c.whyDown(s, c.people.handle)
	if err != nil {
		return err
	}
	c.add(chainRow{step: stepSaw, what: "saw", of: id, state: s.word(), words: strings.Join(why, "; ")})
	days, err := c.sawDayLines(s, c.asked, 1)
	if err != nil {
		return err
	}
	for _, d := range days {
		c.add(chainRow{step: stepSaw, what: "last upkeep line", of: id, words: d.Day + ": " + lineWords(d.Line), by: c.people.name(d.By), entry: d.Entry})
	}
	return nil
}

// tailgates tells of the checks joined on that day: the answer, the findings, changes, and the emergency text of the block.
func (c *chain) tailgates() error {
	if !c.sawing {
		c.add(chainRow{step: stepSaw, what: "saw", words: "no check was joined with a saw on that day, as far as the book knew"})
	}
	if len(c.checks) == 0 {
		c.add(chainRow{step: stepTailgate, what: "check", state: "none", words: "no check was joined on that day, as far as the book knew"})
	}
	for _, ref := range c.checks {
		t, err := c.tailgate(ref)
		if err != nil {
			return err
		}
		day, err := c.course(t, c.asked)
		if err != nil {
			return err
		}
		named := t.Assessment.Named(c.people.handle)
		c.add(chainRow{step: stepTailgate, what: "check", of: t.Block, state: string(named.Answer), words: named.Sentence, happened: t.happened, by: c.people.name(t.by), entry: c.book.Short(t.ref)})
		c.findings(named.Findings, c.book.Short(t.ref))
		for _, one := range day.changes {
			c.add(chainRow{step: stepTailgate, what: "change: " + one.What, of: t.Block, state: string(one.Assessment.Answer), words: c.people.inText(strings.Join(notEmpty(one.Words, note("decided: ", one.Decision)), "; ")),
				happened: one.happened, by: c.people.name(one.by), entry: c.book.Short(one.ref)})
		}
		c.emergency(t, c.openOrClosed(day))
	}
	return nil
}

// findings lists what the check found: what stops or needs controls a row each, what is only watched in one.
func (c *chain) findings(list []hazards.Finding, entry string) {
	var topics, watched []string
	for _, f := range list {
		if f.Effect == hazards.Watch {
			topics, watched = append(topics, f.Topic), append(watched, f.What)
			continue
		}
		c.add(chainRow{step: stepTailgate, what: "finding", of: f.Topic, state: string(f.Effect), words: findingWords(f), entry: entry})
	}
	if len(watched) > 0 {
		slices.Sort(topics)
		c.add(chainRow{step: stepTailgate, what: "findings", of: strings.Join(slices.Compact(topics), ", "), state: string(hazards.Watch), words: strings.Join(watched, "\n"), entry: entry})
	}
}

func findingWords(f hazards.Finding) string {
	return strings.Join(notEmpty(f.What, note("level ", f.LevelBefore)+note(", after controls ", f.LevelAfter), note("because ", strings.Join(f.Reasons, ", ")), note("controls: ", strings.Join(f.Controls, ", "))), "; ")
}

// emergency gives the text that was read aloud, and how the day ended.
func (c *chain) emergency(t tailgate, ended string) {
	if text := c.people.inText(strings.Join(t.Assessment.Emergency, "\n")); text != "" {
		c.add(chainRow{step: stepEmergency, what: "read aloud", of: t.Block, words: text, happened: t.happened, entry: c.book.Short(t.ref)})
	}
	c.add(chainRow{step: stepTailgate, what: "day", of: t.Block, words: strings.TrimPrefix(ended, ", "), entry: c.book.Short(t.ref)})
}

// open lists events that were open with their actions.
func (c *chain) open() error {
	events, err := c.events(c.asked)
	if err != nil {
		return err
	}
	for _, e := range events {
		if e.closed {
			continue
		}
		c.add(chainRow{step: stepOpen, what: e.Kind, of: e.Block, state: "open", words: e.What, happened: e.happened, by: c.people.name(e.by), entry: c.book.Short(e.ref)})
		for _, s := range e.actions {
			c.add(chainRow{step: stepOpen, what: "action", of: c.people.handle(s.Owner), state: actionState(s, c.asked.Day), words: s.What + ", by " + s.Due.String(), entry: c.shorts([]string{s.Ref})[0]})
		}
	}
	if len(events) == 0 {
		c.add(chainRow{step: stepOpen, what: "events", words: "none was recorded, as far as the book knew"})
	}
	return nil
}
