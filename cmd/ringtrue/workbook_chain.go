package main

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// may says at which level the worker might do each task group.
func (c *chain) may() error {
	perms, err := c.permissions(c.who.ID, c.std, c.asked)
	if err != nil {
		return err
	}
	for _, g := range c.std.Groups {
		words := strings.Replace(strings.Join(c.reasons(perms[g.ID].Reasons), "; "), " for "+g.ID, "", 1)
		c.add(chainRow{step: stepMay, what: "task group", of: g.ID, state: perms[g.ID].Level.String(), words: words})
	}
	return nil
}

// evidence lists the entries about the worker, the standings they give, and the equipment held.
func (c *chain) evidence() error {
	ans, err := c.app.evidence(c.who.ID, c.std, c.asked)
	if err != nil {
		return err
	}
	for _, l := range ans.Entries {
		if err := c.entry(l); err != nil {
			return err
		}
	}
	c.skills(ans.Standings)
	c.pieces(ans.PPE)
	return nil
}

// pieces lists the equipment, a row for each state and last look.
func (c *chain) pieces(list []pieceLine) {
	if len(list) == 0 {
		c.add(chainRow{step: stepPPE, what: "equipment", state: "none", words: "no equipment was issued, as far as the book knew"})
	}
	type group struct{ state, looked string }
	var order []group
	items, entries := map[group][]string{}, map[group][]string{}
	for _, p := range list {
		g := group{p.State, note("last look ", p.Looked)}
		if items[g] == nil {
			order = append(order, g)
		}
		more := strings.Join(notEmpty(p.Standard, note("size ", p.Size), note("number ", p.Serial), note("replace by ", p.ReplaceBy)), ", ")
		if more != "" {
			more = " (" + more + ")"
		}
		items[g], entries[g] = append(items[g], p.Item+more), append(entries[g], p.Entry)
	}
	for _, g := range order {
		c.add(chainRow{step: stepPPE, what: "equipment", of: fmt.Sprintf("%d of %d", len(items[g]), len(list)), state: g.state,
			words: strings.Join(notEmpty(g.looked, strings.Join(items[g], ", ")), ": "), entry: strings.Join(entries[g], ", ")})
	}
}

// entry adds an entry about the worker under its step: what a skill rests on behind that skill, what concerns no day
// under training or decisions, and of saws only what is of that day.
func (c *chain) entry(l evidenceLine) error {
	happened, err := time.Parse(time.RFC3339, l.Happened)
	if err != nil {
		return err
	}
	today := civil.Of(happened, c.book.Zone()) == c.asked.Day
	if l.Kind == store.KindJoin && today && l.Struck == nil {
		if err := c.joined(l); err != nil {
			return err
		}
	}
	row := chainRow{what: decisionWord(l.Kind), words: l.What, happened: happened, by: c.people.name(l.By), entry: l.Entry}
	field := func(name string) string { return ledger.Text(ledger.Lookup(l.Data, name)) }
	switch l.Kind {
	case training.KindAttendance:
		row.step, row.what, row.of = stepTraining, "was taught", field("module")
		row.words = strings.Join(notEmpty(note("in ", field("language")), note("understood: ", field("understood"))), "; ")
	case training.KindCredit:
		row.step, row.of, row.words = stepTraining, field("module"), field("reason")+note(" (", field("document"))+")"
	case training.KindOrientation, training.KindNewAgain, training.KindTicket:
		row.step = stepTraining
	case training.KindRelease, training.KindReleaseEnd, training.KindAppointment, training.KindAppointmentEnd, training.KindTold, training.KindRestriction, training.KindLift, training.KindWithdrawal:
		row.step, row.of = stepDecisions, l.Skill
	case store.KindFitting, store.KindExposure, store.KindSawUse:
		if today {
			row.step = stepSaw
		}
	}
	extra := c.worth(l, happened)
	if l.Skill != "" {
		c.behind[l.Skill] = append(c.behind[l.Skill], c.lineOf(l, happened)+extra)
	}
	if row.step == "" {
		return nil
	}
	if l.Struck != nil {
		row.state = "struck"
	}
	row.words += extra
	c.add(row)
	return nil
}

// worth says of an entry when it was recorded, where that was more than a day later, whether it is signed, and who
// struck it.
func (c *chain) worth(l evidenceLine, happened time.Time) (words string) {
	if at, err := time.Parse(time.RFC3339, l.Recorded); err == nil && at.Sub(happened) > 24*time.Hour {
		words += "; recorded only " + at.In(c.book.Zone()).Format(time.DateOnly)
	}
	if l.Key != "" {
		words += "; signature " + l.Signature
	}
	words += note("; AGAINST: ", l.Against)
	if l.Struck != nil {
		words += "; STRUCK by entry " + l.Struck.Entry + ": " + l.Struck.Reason
	}
	return words
}

// joined adds what was joined on that day: the check, and the saw.
func (c *chain) joined(l evidenceLine) error {
	check, err := c.book.Ref(ledger.Text(ledger.Lookup(l.Data, "tailgate")))
	if err != nil {
		return err
	}
	c.checks = append(c.checks, check)
	if saw := ledger.Text(ledger.Lookup(l.Data, "saw")); saw != "" {
		return c.saw(saw)
	}
	return nil
}
