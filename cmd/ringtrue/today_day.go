package main

import (
	"fmt"
	"slices"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// waitingChecks: people missing at a head count, calls that did not come, checks of today on hold or not joined by all, checks that nobody
// joined, and days on which heads were not counted, each until it is closed, however old.
func (a *app) waitingChecks(_ standards, asked training.Asked) ([]todo, error) {
	cards, err := a.cards(asked)
	if err != nil {
		return nil, err
	}
	marks, err := a.dayMarks(asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, c := range cards {
		days, err := a.blockDays(c.ID, asked)
		if err != nil {
			return nil, err
		}
		for _, d := range days {
			more, err := a.waitingDay(d, marks, asked)
			if err != nil {
				return nil, err
			}
			list = append(list, more...)
		}
	}
	return list, nil
}

// marks are the facts of one check that say what its day came to, without the entries behind them.
type marks struct {
	joined        []training.Fact
	closes, calls []training.Fact
	told          bool // time at the trigger
}

// dayMarks reads them of every check of the book.
func (a *app) dayMarks(asked training.Asked) (map[string]marks, error) {
	all := map[string]marks{}
	for subject, t := range a.book.FactsBetween(a.ctx, asked, store.TailgateSubject(""), store.TailgateSubject("~")) {
		if t.Err != nil {
			return nil, t.Err
		}
		all[subject] = marks{standing(t.Topics[store.KindJoin], asked), standing(t.Topics[store.KindClose], asked), standing(t.Topics[store.KindCheckIn], asked),
			anyBy(t.Topics[store.KindExposure], asked)}
	}
	return all, nil
}

// standing leaves out what was struck or had not happened yet.
func standing(facts []training.Fact, asked training.Asked) []training.Fact {
	return slices.DeleteFunc(slices.Clone(facts), func(f training.Fact) bool { return f.Struck || f.At > asked.On })
}

// blockDay is a day of a block with the checks made on it, in their order.
type blockDay struct {
	block  string
	day    civil.Day
	checks []training.Ref
}

// blockDays lists every day of a block that has a check, up to the one asked.
func (a *app) blockDays(block string, asked training.Asked) ([]blockDay, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return nil, err
	}
	var days []blockDay
	at := map[civil.Day]int{}
	for _, f := range standing(facts, asked) {
		i, known := at[f.Day]
		if !known {
			i = len(days)
			at[f.Day], days = i, append(days, blockDay{block: block, day: f.Day})
		}
		days[i].checks = append(days[i].checks, f.Entry)
	}
	return days, nil
}

// waitingDay is what waits about one day of a block. Entries are read only where facts do not tell.
func (a *app) waitingDay(d blockDay, all map[string]marks, asked training.Asked) ([]todo, error) {
	facts := hazards.DayFacts{Today: d.day == asked.Day}
	read, told := facts.Today, false
	for _, ref := range d.checks {
		m := all[store.TailgateSubject(a.book.Name(ref))]
		facts.Joined += len(m.joined)
		told = told || m.told
		read = read || len(m.calls) > 0 || len(m.closes) > 0
	}
	var day course
	if read || facts.Joined == 0 {
		var err error
		if day, err = a.dayTogether(d, asked); err != nil {
			return nil, err
		}
		_, facts.Closed = day.closed()
		n := len(day.closes)
		facts.Short = n > 0 && !day.closes[n-1].ends()
		facts.Held = a.wordOf(day).Answer == hazards.Hold
		facts.Ended = !facts.Today || a.past(day.Assessment.Ends, asked)
	}
	missed, err := a.missedOf(day, facts, asked)
	if err != nil {
		return nil, err
	}
	facts.Missed = len(missed)
	if facts.Joined == 0 && !facts.Closed {
		ran, err := a.sawRan(day, d.day, asked)
		if err != nil {
			return nil, err
		}
		facts.SawRan = told || ran
	}
	return a.leftOpen(d, day, facts, missed, asked), nil
}

// dayTogether is the last check of a day with what any check of that day has brought of closes and people.
func (a *app) dayTogether(d blockDay, asked training.Asked) (day course, err error) {
	var closes []closeEntry
	for _, ref := range d.checks {
		t, err := a.tailgate(ref)
		if err != nil {
			return day, err
		}
		if day, err = a.course(t, asked); err != nil {
			return day, err
		}
		closes = append(closes, day.closes...)
	}
	slices.SortStableFunc(closes, func(x, y closeEntry) int { return x.happened.Compare(y.happened) })
	day.closes = closes
	return day, nil
}

// missedOf lists the calls that did not come on a day that is open.
func (a *app) missedOf(day course, facts hazards.DayFacts, asked training.Asked) ([]hazards.Missed, error) {
	if facts.Closed || day.Block == "" {
		return nil, nil
	}
	if !facts.Today || facts.Ended { // who works on without calling is asked for at the head count
		return a.missedCalls(day), nil
	}
	return a.overdue(day, time.Unix(min(asked.On, a.now().Unix()), 0))
}

// sawRan reports whether a saw of the sheet was used on its day.
func (a *app) sawRan(day course, on civil.Day, asked training.Asked) (bool, error) {
	for _, saw := range sheetSaws(day.Sheet) {
		uses, err := a.book.Topic(a.ctx, asked, store.SawMonthSubject(on, saw), store.KindSawUse)
		if err != nil {
			return false, err
		}
		if slices.ContainsFunc(standing(uses, asked), func(f training.Fact) bool { return f.Day == on }) {
			return true, nil
		}
	}
	return false, nil
}

// leftOpen says what waits about a day.
func (a *app) leftOpen(d blockDay, day course, facts hazards.DayFacts, missed []hazards.Missed, asked training.Asked) []todo {
	left, show, block := hazards.Left(facts), "ringtrue tailgate show --block "+d.block, "block "+d.block
	on := ""
	if !facts.Today {
		on = " on " + d.day.String()
		show = "ringtrue tailgate show --block " + d.block + " --at " + d.day.String() + "T23:59"
	}
	var list []todo
	if left.Missing {
		list = missingHeads(day.closes[len(day.closes)-1], block+on, show)
	}
	for _, m := range missed {
		list = append(list, todo{Rank: rankStopped, What: "did not call on " + block + on + ", due at " + m.Due + ": call, then go and look", Who: m.Worker, Next: show})
	}
	if facts.Today && !facts.Closed {
		list = append(list, a.waitingNow(day, facts, show)...)
		list = append(list, a.waitingAlone(day, asked)...)
	}
	switch {
	case left.Uncounted:
		list = append(list, todo{Rank: rankOverdue, About: "heads were not counted on " + block + ":", Day: d.day.String(), Who: day.by, Next: closeCommand(d, facts.Today)}.dated())
	case left.NobodyJoined:
		list = append(list, todo{Rank: rankOverdue, About: "nobody joined the check of " + block + ":", Day: d.day.String(), Who: day.by, Next: closeCommand(d, false)}.dated())
	}
	return list
}

// dated writes the day behind what a thing is about.
func (t todo) dated() todo {
	t.What = t.About + " " + t.Day
	return t
}

// waitingNow is what waits about the check of today itself.
func (a *app) waitingNow(day course, facts hazards.DayFacts, show string) []todo {
	people, err := a.crew()
	if err != nil {
		return nil // whoever names people next says what is wrong
	}
	joined := 0
	for _, j := range day.joined {
		if onSheet(day.Sheet, j.Worker) {
			joined++
		}
	}
	word := a.wordOf(day)
	switch n := len(day.Sheet.Crew) - joined; {
	case word.ByDecision():
		return []todo{{Rank: rankStopped, What: "block " + day.place() + ": " + a.wordInBrief(day, people), Who: word.Decided.By, Next: show}}
	case facts.Held:
		return []todo{{Rank: rankStopped, What: "the check of block " + day.Block + " answers hold" + note("; ", a.wordInBrief(day, people)), Who: day.by, Next: show}}
	case n > 0:
		return []todo{{Rank: rankToday, What: fmt.Sprintf("%d of %d have not joined the check of block %s", n, len(day.Sheet.Crew), day.Block), Who: day.by, Next: "ringtrue tailgate join"}}
	}
	return nil
}

// waitingAlone: somebody alone with a saw, how their calls were arranged, and what the place asks about it.
func (a *app) waitingAlone(day course, asked training.Asked) []todo {
	who, alone := day.sheet().AloneWithSaw()
	duties, err := a.dutiesHere(asked)
	people, unread := a.crew()
	if !alone || err != nil || unread != nil { // what cannot be read is named by whoever lists it
		return nil
	}
	return []todo{{Rank: rankToday, What: hazards.AloneWords(day.sheet(), duties), Who: who, Next: "ringtrue tailgate checkin " + people.handle(who)}}
}

// closeCommand closes a day; one that is over is told with its evening, and nobody invents a head count for it.
func closeCommand(d blockDay, today bool) string {
	next := "ringtrue tailgate close --block " + d.block
	if today {
		return next + " --all"
	}
	return next + " --at " + d.day.String() + "THH:MM --here WORKER,...; where nobody counted: --not-counted REASON"
}

// past reports whether a clock time of the day asked has gone by.
func (a *app) past(clock string, asked training.Asked) bool {
	now := a.now().In(a.book.Zone())
	return asked.Day < civil.Of(now, a.book.Zone()) || (asked.Day == civil.Of(now, a.book.Zone()) && now.Format("15:04") > clock)
}

// missingHeads lists who was missing at the last head count of a day.
func missingHeads(last closeEntry, where, next string) []todo {
	var list []todo
	for _, w := range last.Missing {
		list = append(list, todo{Rank: rankStopped, What: "missing at the head count of " + where + ": call, then go and look", Who: w, Next: next})
	}
	for _, v := range last.VisitorsMissing {
		list = append(list, todo{Rank: rankStopped, What: "a visitor is missing at the head count of " + where + ": " + v, Next: next})
	}
	return list
}

// alarmsToday are the days of today on which somebody is hurt, missing, or did not call.
func (a *app) alarmsToday(asked training.Asked) (days []course, sounds []alarm, err error) {
	if asked.Day != civil.Of(a.now(), a.book.Zone()) {
		return nil, nil, nil
	}
	cards, err := a.cards(asked)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range cards {
		t, ok, err := a.lastCheckBy(c.ID, time.Unix(min(asked.On, a.now().Unix()), 0), asked)
		if err != nil {
			return nil, nil, err
		}
		if !ok {
			continue
		}
		day, err := a.course(t, asked)
		if err != nil {
			return nil, nil, err
		}
		if l := day.alarm(a.missedCalls(day)); l.sounds() {
			days, sounds = append(days, day), append(sounds, l)
		}
	}
	return days, sounds, nil
}

// alarmsFirst prints them before anything else.
func (a *app) alarmsFirst(asked training.Asked) error {
	days, sounds, err := a.alarmsToday(asked)
	if err != nil || len(days) == 0 {
		return err
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	for i, day := range days {
		if err := a.alarmText(day, sounds[i], people); err != nil {
			return err
		}
		a.say("")
	}
	return nil
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
			list = append(list, todo{Rank: rankDecide, What: fmt.Sprintf("%s of entry %s has no action: %s", e.Kind, ref, e.What), Who: e.by, Next: "ringtrue event act " + ref})
		case training.CannotClose(e.actions) == nil:
			list = append(list, todo{Rank: rankDecide, What: fmt.Sprintf("%s of entry %s: all actions are done and checked: %s", e.Kind, ref, e.What), Who: e.by, Next: "ringtrue event close " + ref + " --lesson TEXT"})
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
		return []todo{{Rank: rankOverdue, What: "overdue since " + s.Due.String() + ": " + s.What, Who: s.Owner, Next: "ringtrue event act " + ref + " --done --proof TEXT"}}
	case "done":
		return []todo{{Rank: rankDecide, What: "done, not checked by somebody else: " + s.What, Who: s.Owner, Next: "ringtrue event act " + ref + " --checked --as SOMEBODY"}}
	case "open":
		if s.Due <= asked.Day+soonDays {
			return []todo{{Rank: rankSoon, What: "due by " + s.Due.String() + ": " + s.What, Who: s.Owner, Next: "ringtrue event act " + ref + " --done --proof TEXT"}}
		}
	}
	return nil
}
