package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// todo is one thing that waits. Rank orders them: what stops work comes first.
type todo struct {
	Rank int    `json:"rank"`
	What string `json:"what"`
	Who  string `json:"who"` // person id, "" = nobody in particular
	Next string `json:"next"`
}

// Ranks, the most urgent first.
const (
	rankStopped = iota + 1
	rankToday
	rankOverdue
	rankDecide
	rankSoon
)

// soonDays is how far ahead "soon" looks (company choice).
const soonDays = 30

func newTodayCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:   "today",
		Short: "What needs doing, the most urgent first",
		Long: `List what waits: restrictions, checks not joined, actions overdue, decisions to make, what runs out within 30 days.
It is as far as this book knows.`,
		Example: "  ringtrue today\n  ringtrue today --on 2026-07-14",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			list, err := a.waiting(std, asked)
			if err != nil {
				return err
			}
			return a.printToday(list)
		},
	}
	questionFlags(c, &q)
	return c
}

func (a *app) printToday(list []todo) error {
	knows, err := a.knows()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/today/1", "rows": list, "knows": knows})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	if len(list) == 0 {
		a.say("nothing waits, as far as this book knows")
	}
	words := map[int]string{rankStopped: "STOPPED", rankToday: "TODAY", rankOverdue: "OVERDUE", rankDecide: "DECIDE", rankSoon: "SOON"}
	var rows [][]string
	for _, t := range list {
		who := ""
		if t.Who != "" {
			who = people.handle(t.Who)
		}
		rows = append(rows, []string{words[t.Rank], who, t.What, t.Next})
	}
	if len(rows) > 0 {
		a.table([]string{"URGENT", "WHO", "WHAT", "NEXT"}, rows)
	}
	if terminal(a.out) {
		a.say("%s", knows)
	}
	return nil
}

// waiting gathers everything that waits on a day.
func (a *app) waiting(std standards, asked training.Asked) ([]todo, error) {
	list := []todo{}
	for _, gather := range []func(standards, training.Asked) ([]todo, error){a.waitingChecks, a.waitingActions, a.waitingPeople, a.waitingSaws} {
		more, err := gather(std, asked)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
	}
	slices.SortStableFunc(list, func(a, b todo) int { return a.Rank - b.Rank })
	return list, nil
}

// waitingChecks: a check of today on hold, or with people who have not joined.
func (a *app) waitingChecks(_ standards, asked training.Asked) ([]todo, error) {
	cards, err := a.cards(asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, c := range cards {
		t, ok, err := a.lastTailgate(c.ID)
		if err != nil {
			return nil, err
		}
		if !ok || t.Sheet.Day != asked.Day.String() {
			continue
		}
		if t.Assessment.Answer == hazards.Hold {
			list = append(list, todo{rankStopped, "the check of block " + c.ID + " answers hold", t.by, "ringtrue tailgate show --block " + c.ID})
			continue
		}
		joined, err := a.joins(t.ref)
		if err != nil {
			return nil, err
		}
		if n := len(t.Sheet.Crew) - len(joined); n > 0 {
			list = append(list, todo{rankToday, fmt.Sprintf("%d of %d have not joined the check of block %s", n, len(t.Sheet.Crew), c.ID), t.by, "ringtrue tailgate join"})
		}
	}
	return list, nil
}

// waitingActions: actions of events that are overdue, or done and not checked; open events without an action.
func (a *app) waitingActions(_ standards, asked training.Asked) ([]todo, error) {
	events, err := a.events(asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, e := range events {
		if e.closed {
			continue
		}
		if len(e.actions) == 0 {
			list = append(list, todo{rankDecide, fmt.Sprintf("%s of entry %s has no action: %s", e.Kind, a.book.Short(e.ref), e.What), e.by, "ringtrue event act " + a.book.Short(e.ref)})
		}
		for _, s := range e.actions {
			ref := a.shorts([]string{s.Ref})[0]
			switch actionState(s, asked.Day) {
			case "overdue":
				list = append(list, todo{rankOverdue, "overdue since " + s.Due.String() + ": " + s.What, s.Owner, "ringtrue event act " + ref + " --done --proof TEXT"})
			case "done":
				list = append(list, todo{rankDecide, "done, not checked by somebody else: " + s.What, s.Owner, "ringtrue event act " + ref + " --checked --as SOMEBODY"})
			}
		}
	}
	return list, nil
}

// waitingPeople: restrictions, orientation, decisions to make, what runs out soon, decisions told by phone.
func (a *app) waitingPeople(std standards, asked training.Asked) ([]todo, error) {
	crew, err := a.crewList(asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, w := range crew {
		if w.Left != "" {
			continue
		}
		topics, err := a.book.Facts(a.ctx, asked, w.Worker)
		if err != nil {
			return nil, err
		}
		list = append(list, a.waitingSkills(w, topics, std, asked)...)
		more, err := a.waitingPapers(w, topics, std, asked)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
	}
	return list, nil
}

func (a *app) waitingSkills(w onList, topics store.Topics, std standards, asked training.Asked) []todo {
	by := map[training.Word][]string{}
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			st := training.StandingOf(s, historyOf(topics, s, m, std.Curriculum), std.Rules, asked)
			by[st.Word] = append(by[st.Word], s.ID)
		}
	}
	var list []todo
	for _, k := range []struct {
		word training.Word
		rank int
		what string
	}{{training.Restricted, rankStopped, "restricted"}, {training.Lapsed, rankOverdue, "ran out"}, {training.ToDecide, rankDecide, "to decide"}, {training.Due, rankSoon, "renew soon"}} {
		if ids := by[k.word]; len(ids) > 0 {
			list = append(list, todo{k.rank, k.what + ": " + strings.Join(ids, ", "), w.Worker, "ringtrue standing " + w.Short})
		}
	}
	return list
}

func (a *app) waitingPapers(w onList, topics store.Topics, std standards, asked training.Asked) ([]todo, error) {
	var list []todo
	due, err := a.orientationDue(topics, "", std.House, asked)
	if err != nil {
		return nil, err
	}
	if due != nil {
		list = append(list, todo{rankToday, "orientation before work: " + strings.Join(due, "; "), w.Worker, "ringtrue worker orient " + w.Short})
	}
	papers, err := a.planPapers(w.Worker, topics, asked)
	if err != nil {
		return nil, err
	}
	var equipment []string
	for _, p := range papers {
		if p.What == "equipment" {
			equipment = append(equipment, p.Of)
			continue
		}
		list = append(list, todo{rankOverdue, p.What + " " + p.Of + ": " + strings.Join(p.Why, "; "), w.Worker, "ringtrue plan training --worker " + w.Short})
	}
	if equipment != nil {
		list = append(list, todo{rankOverdue, "equipment to look at or replace: " + strings.Join(equipment, ", "), w.Worker, "ringtrue ppe list " + w.Short})
	}
	tickets, err := a.tickets(topics, asked)
	if err != nil {
		return nil, err
	}
	for _, t := range tickets {
		if end, err := civil.Parse(t.Until); err == nil && t.Valid && end <= asked.Day+soonDays {
			list = append(list, todo{rankSoon, "ticket " + t.What + " runs out on " + t.Until, w.Worker, "ringtrue worker ticket " + w.Short + " " + t.What})
		}
	}
	for _, f := range topics[training.KindTold] {
		if !f.Struck && f.At <= asked.On && asked.Day-f.Day < 30 {
			list = append(list, todo{rankDecide, "a decision told by phone awaits its decider (entry " + a.book.Short(f.Entry) + ")", w.Worker, "ringtrue evidence show " + w.Short})
		}
	}
	return list, nil
}
