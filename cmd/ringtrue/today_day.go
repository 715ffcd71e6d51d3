package main

import (
	"fmt"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// waitingChecks: people missing at a head count, checks of today on hold or not joined by all, days not closed.
func (a *app) waitingChecks(_ standards, asked training.Asked) ([]todo, error) {
	cards, err := a.cards(asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, c := range cards {
		checks, err := a.lastOfEachDay(c.ID, asked)
		if err != nil {
			return nil, err
		}
		for _, t := range checks {
			day, err := a.course(t, asked)
			if err != nil {
				return nil, err
			}
			list = append(list, a.waitingDay(day, asked)...)
		}
	}
	return list, nil
}

// lastOfEachDay reads the last check of a block of each of the 30 days up to the one asked; an older one that nobody closed is history.
func (a *app) lastOfEachDay(block string, asked training.Asked) ([]tailgate, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return nil, err
	}
	var list []tailgate
	read := map[civil.Day]bool{}
	for i := len(facts) - 1; i >= 0; i-- {
		f := facts[i]
		if f.Struck || f.At > asked.On || f.Day <= asked.Day-soonDays || read[f.Day] {
			continue
		}
		t, err := a.tailgate(f.Entry)
		if err != nil {
			return nil, err
		}
		read[f.Day], list = true, append(list, t)
	}
	return list, nil
}

// waitingDay is what waits about the day of one check.
func (a *app) waitingDay(day course, asked training.Asked) []todo {
	show := "ringtrue tailgate show --block " + day.Block
	hold := day.answer().Answer == hazards.Hold
	_, closed := day.closed()
	if closed {
		return nil
	}
	var list []todo
	if n := len(day.closes); n > 0 {
		list = missingHeads(day.closes[n-1], day.Block, show)
	}
	today := day.Sheet.Day == asked.Day.String()
	joined := 0
	for _, j := range day.joined {
		if onSheet(day.Sheet, j.Worker) {
			joined++
		}
	}
	if today && hold {
		list = append(list, todo{rankStopped, "the check of block " + day.Block + " answers hold", day.by, show})
	}
	if n := len(day.Sheet.Crew) - joined; today && !hold && n > 0 {
		list = append(list, todo{rankToday, fmt.Sprintf("%d of %d have not joined the check of block %s", n, len(day.Sheet.Crew), day.Block), day.by, "ringtrue tailgate join"})
	}
	if len(day.joined) > 0 && (!today || a.past(day.Assessment.Ends, asked)) {
		list = append(list, todo{rankOverdue, "the day of block " + day.Block + ", " + day.Sheet.Day + ", is not closed: no head count", day.by, closeCommand(day, today)})
	}
	return list
}

// closeCommand closes a day; one that is over is told with its evening.
func closeCommand(day course, today bool) string {
	next := "ringtrue tailgate close --block " + day.Block + " --all"
	if !today {
		next += " --at " + day.Sheet.Day + "THH:MM"
	}
	return next
}

// past reports whether a clock time of the day asked has gone by.
func (a *app) past(clock string, asked training.Asked) bool {
	now := a.now().In(a.book.Zone())
	return asked.Day < civil.Of(now, a.book.Zone()) || (asked.Day == civil.Of(now, a.book.Zone()) && now.Format("15:04") > clock)
}

// missingHeads lists who was missing at the last head count of a day.
func missingHeads(last closeEntry, block, next string) []todo {
	var list []todo
	for _, w := range last.Missing {
		list = append(list, todo{rankStopped, "missing at the head count of block " + block + ": call, then go and look", w, next})
	}
	for _, v := range last.VisitorsMissing {
		list = append(list, todo{rankStopped, "a visitor is missing at the head count of block " + block + ": " + v, "", next})
	}
	return list
}

// waitingActions: actions of events that are overdue, or done and not checked; open events without an action, or with nothing left to do.
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
		ref := a.book.Short(e.ref)
		switch {
		case len(e.actions) == 0:
			list = append(list, todo{rankDecide, fmt.Sprintf("%s of entry %s has no action: %s", e.Kind, ref, e.What), e.by, "ringtrue event act " + ref})
		case training.CannotClose(e.actions) == nil:
			list = append(list, todo{rankDecide, fmt.Sprintf("%s of entry %s: all actions are done and checked: %s", e.Kind, ref, e.What), e.by, "ringtrue event close " + ref + " --lesson TEXT"})
		}
		for _, s := range e.actions {
			list = append(list, a.waitingAction(s, asked)...)
		}
	}
	return list, nil
}

func (a *app) waitingAction(s training.ActionState, asked training.Asked) []todo {
	ref := a.shorts([]string{s.Ref})[0]
	switch actionState(s, asked.Day) {
	case "overdue":
		return []todo{{rankOverdue, "overdue since " + s.Due.String() + ": " + s.What, s.Owner, "ringtrue event act " + ref + " --done --proof TEXT"}}
	case "done":
		return []todo{{rankDecide, "done, not checked by somebody else: " + s.What, s.Owner, "ringtrue event act " + ref + " --checked --as SOMEBODY"}}
	case "open":
		if s.Due <= asked.Day+soonDays {
			return []todo{{rankSoon, "due by " + s.Due.String() + ": " + s.What, s.Owner, "ringtrue event act " + ref + " --done --proof TEXT"}}
		}
	}
	return nil
}
