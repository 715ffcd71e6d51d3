package main

import (
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// may says at which level the worker might do each task group, and where they stood with each skill.
func (c *chain) may() error {
	perms, err := c.permissions(c.who.ID, c.std, c.asked)
	if err != nil {
		return err
	}
	for _, g := range c.std.Groups {
		c.add(chainRow{step: stepMay, what: "task group", of: g.ID, state: perms[g.ID].Level.String(), words: strings.Join(c.reasons(perms[g.ID].Reasons), "; ")})
	}
	return nil
}

// stepOf says under which step the entries of a kind about a worker stand.
var stepOf = map[string]string{
	training.KindAttendance: stepTraining, training.KindCredit: stepTraining, training.KindOrientation: stepTraining, training.KindNewAgain: stepTraining, training.KindTicket: stepTraining,
	training.KindObservation: stepLooks,
	training.KindSignOff:     stepDecisions, training.KindWithdrawal: stepDecisions, training.KindRestriction: stepDecisions, training.KindLift: stepDecisions,
	training.KindRelease: stepDecisions, training.KindAppointment: stepDecisions, training.KindTold: stepDecisions,
	store.KindFitting: stepSaw, store.KindExposure: stepSaw, store.KindSawUse: stepSaw,
}

// evidence lists the entries about the worker, the standings they give, and the equipment held.
func (c *chain) evidence() error {
	ans, err := c.app.evidence(c.who.ID, c.std, c.asked)
	if err != nil {
		return err
	}
	for _, s := range ans.Standings {
		c.add(chainRow{step: stepMay, what: "skill", of: s.Skill, state: s.Standing, words: strings.Join(s.Reasons, "; ")})
	}
	for _, l := range ans.Entries {
		if err := c.entry(l); err != nil {
			return err
		}
	}
	for _, p := range ans.PPE {
		words := strings.Join(notEmpty(note("size ", p.Size), p.Standard, note("number ", p.Serial), "issued "+p.Issued, note("last look ", p.Looked), note("replace by ", p.ReplaceBy)), "; ")
		c.add(chainRow{step: stepPPE, what: p.Item, of: p.Size, state: p.State, words: words, entry: p.Entry})
	}
	if len(ans.PPE) == 0 {
		c.add(chainRow{step: stepPPE, what: "equipment", state: "none", words: "no equipment was issued, as far as the book knew"})
	}
	return nil
}

// entry adds an entry about the worker under its step. Of saws only that day counts.
func (c *chain) entry(l evidenceLine) error {
	happened, err := time.Parse(time.RFC3339, l.Happened)
	if err != nil {
		return err
	}
	today := civil.Of(happened, c.book.Zone()) == c.asked.Day
	if l.Kind == store.KindJoin && today && l.Struck == nil {
		h, err := c.book.Entry(c.ctx, l.ref, nil)
		if err != nil {
			return err
		}
		check, err := c.book.Ref(fieldOf(h, "tailgate"))
		if err != nil {
			return err
		}
		c.checks = append(c.checks, check)
		if saw := fieldOf(h, "saw"); saw != "" {
			if err := c.saw(saw); err != nil {
				return err
			}
		}
	}
	step := stepOf[l.Kind]
	if step == "" || step == stepSaw && !today {
		return nil
	}
	recorded, err := time.Parse(time.RFC3339, l.Recorded)
	if err != nil {
		return err
	}
	row := chainRow{step: step, what: decisionWord(l.Kind), of: l.Skill, words: l.What, happened: happened, recorded: recorded, by: c.people.name(l.By), entry: l.Entry}
	if l.Struck != nil {
		row.struck = "by entry " + l.Struck.Entry + ": " + l.Struck.Reason
	}
	c.add(row)
	return nil
}

// saw says how the saw of the day stood, what stopped it, its last line and what was due.
func (c *chain) saw(id string) error {
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
		c.add(chainRow{step: stepTailgate, what: "check", of: t.Block, state: string(named.Answer), words: named.Sentence, happened: t.happened, recorded: t.recorded, by: c.people.name(t.by), entry: c.book.Short(t.ref)})
		for _, f := range named.Findings {
			c.add(chainRow{step: stepTailgate, what: "finding", of: f.Topic, state: string(f.Effect), words: findingWords(f), entry: c.book.Short(t.ref)})
		}
		for _, one := range day.changes {
			c.add(chainRow{step: stepTailgate, what: "change: " + one.What, of: t.Block, state: string(one.Assessment.Answer), words: c.people.inText(strings.Join(notEmpty(one.Words, note("decided: ", one.Decision)), "; ")),
				happened: one.happened, recorded: one.recorded, by: c.people.name(one.by), entry: c.book.Short(one.ref)})
		}
		c.emergency(t, c.openOrClosed(day))
	}
	return nil
}

func findingWords(f hazards.Finding) string {
	return strings.Join(notEmpty(f.What, note("level ", f.LevelBefore)+note(", after controls ", f.LevelAfter), note("because ", strings.Join(f.Reasons, ", ")), note("controls: ", strings.Join(f.Controls, ", "))), "; ")
}

// emergency gives the text that was read aloud, and how the day ended.
func (c *chain) emergency(t tailgate, ended string) {
	for _, l := range t.Assessment.Emergency {
		c.add(chainRow{step: stepEmergency, what: "read aloud", of: t.Block, words: c.people.inText(l), happened: t.happened, entry: c.book.Short(t.ref)})
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
