package main

import (
	"cmp"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// sawHistory turns the facts of a saw into what package upkeep asks for. Its card is read only for maker's hours.
func (a *app) sawHistory(facts factsOfSaw, h house.House, asked training.Asked) (upkeep.History, error) {
	s := upkeep.History{LineDay: civil.None}
	s.Saw.ID = facts.id
	counts := func(f training.Fact) bool { return !f.Struck && f.At <= asked.On }
	if err := a.takeCard(&s, facts, counts); err != nil {
		return s, err
	}
	var people, lines []upkeep.Ran
	for _, topics := range facts.months {
		for _, f := range topics[store.KindSawUse] {
			if counts(f) {
				people = ran(people, f.Day, float64(f.Code)/10)
			}
		}
		s.Fuel = append(s.Fuel, fuellings(topics, counts)...)
		for _, f := range topics[store.KindUpkeep] {
			if !counts(f) {
				continue
			}
			hours, err := a.takeLine(&s, f)
			if err != nil {
				return s, err
			}
			if f.Code&store.LineUsed != 0 {
				lines = ran(lines, f.Day, hours)
			}
		}
	}
	s.Used = either(people, lines)
	var err error
	s.Blade, err = a.bladeHistory(facts, h, asked)
	return s, err
}

func (a *app) takeCard(s *upkeep.History, facts factsOfSaw, counts func(training.Fact) bool) error {
	var newest training.Fact
	for _, f := range facts.life[store.KindSaw] {
		if !counts(f) {
			continue
		}
		if newest.Entry == 0 {
			s.Added = f.Day
		}
		newest = f
	}
	if newest.Code != store.CardService {
		return nil
	}
	_, err := a.book.Entry(a.ctx, newest.Entry, &s.Saw)
	return err
}

// ran adds hours to the last day of a list, or a new day to its end.
func ran(list []upkeep.Ran, day civil.Day, hours float64) []upkeep.Ran {
	if n := len(list); n > 0 && list[n-1].Day == day {
		list[n-1].Hours += hours
		return list
	}
	return append(list, upkeep.Ran{Day: day, Hours: hours})
}

// either joins the days of two lists. A day's line tells of the whole day, so its hours are not added to those of the people
// who had the saw; the larger of both counts.
func either(a, b []upkeep.Ran) []upkeep.Ran {
	out := make([]upkeep.Ran, 0, len(a)+len(b))
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0].Day < b[0].Day:
			out, a = append(out, a[0]), a[1:]
		case len(a) == 0 || b[0].Day < a[0].Day:
			out, b = append(out, b[0]), b[1:]
		default:
			out = append(out, upkeep.Ran{Day: a[0].Day, Hours: max(a[0].Hours, b[0].Hours)})
			a, b = a[1:], b[1:]
		}
	}
	return out
}

// takeLine takes one day's line into the history of a saw, and gives its engine hours where the saw is serviced by them. Only
// such lines, and those that leave something out, are read whole.
func (a *app) takeLine(s *upkeep.History, f training.Fact) (hours float64, err error) {
	if f.Day != s.LineDay {
		s.LineDay, s.Checks = f.Day, 0
	}
	s.Checks += store.NutChecks(f.Code)
	done := upkeep.Done{Day: f.Day}
	if f.Code&store.LineLeft != 0 || s.Saw.Service != "" {
		var l upkeep.Line
		h, err := a.book.Entry(a.ctx, f.Entry, &l)
		if err != nil {
			return 0, err
		}
		done.Left, hours = l.Left, figureIn(h, "hours", units.Time)/anHour
	}
	if f.Code&store.LineDaily != 0 {
		s.Daily = append(s.Daily, done)
	}
	if f.Code&store.LineWeekly != 0 {
		s.Weekly = append(s.Weekly, done)
	}
	return hours, nil
}

// fuellings gathers refuels, filings and hits on rock, those of one entry together, in the order in which they happened.
func fuellings(topics store.Topics, counts func(training.Fact) bool) []upkeep.Fuelling {
	rest := [][]training.Fact{topics[store.KindRefuel], topics[store.KindFiling], topics[store.KindRock]}
	list := make([]upkeep.Fuelling, 0, len(rest[0])+len(rest[1]))
	for {
		next := -1
		for i, facts := range rest {
			if len(facts) > 0 && (next < 0 || earlier(facts[0], rest[next][0])) {
				next = i
			}
		}
		if next < 0 {
			return list
		}
		f := rest[next][0]
		one := upkeep.Fuelling{At: f.At}
		for i, into := range []*int{&one.Refuels, &one.Filings, &one.Rock} {
			if len(rest[i]) > 0 && rest[i][0].Entry == f.Entry {
				*into = int(rest[i][0].Code)
				rest[i] = rest[i][1:]
			}
		}
		if counts(f) {
			list = append(list, one)
		}
	}
}

// earlier orders facts by happening, then by place in the ledger.
func earlier(a, b training.Fact) bool {
	return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Recorded, b.Recorded), cmp.Compare(a.Entry, b.Entry)) < 0
}

// bladeHistory is the blade on a saw with its settings and filings. Filings of the months read count.
func (a *app) bladeHistory(facts factsOfSaw, h house.House, asked training.Asked) (upkeep.Blade, error) {
	last, first, ok := currentFact(facts.life, asked.On)
	if !ok {
		return upkeep.Blade{}, nil
	}
	b := upkeep.Blade{On: true, Fitted: first.Day, LastSetting: civil.None}
	var setAt int64
	for _, f := range facts.life[store.KindSetting] {
		if !f.Struck && f.At <= asked.On && rootOf(f) == first.Entry {
			b.Settings, b.LastSetting, setAt = b.Settings+1, f.Day, f.At
		}
	}
	for _, topics := range facts.months {
		for _, f := range topics[store.KindFiling] {
			if f.Struck || f.At > asked.On || rootOf(f) != first.Entry {
				continue
			}
			b.Filings += int(f.Code)
			since, err := a.filedSince(f, setAt)
			if err != nil {
				return b, err
			}
			if since {
				b.SinceSet += int(f.Code)
			}
		}
	}
	if !b.Wants(h) {
		return b, nil // nobody asks for its id
	}
	var rec upkeep.BladeFitted
	_, err := a.book.Entry(a.ctx, last.Entry, &rec)
	b.ID = rec.Blade
	return b, err
}

// filedSince reports whether a filing followed a setting. Clock times go by the minute: in the same one the blade was filed and then set,
// as the work goes, unless the filing says that it followed.
func (a *app) filedSince(f training.Fact, setAt int64) (bool, error) {
	const minute = 60
	if f.At/minute != setAt/minute {
		return f.At > setAt, nil
	}
	h, err := a.book.Entry(a.ctx, f.Entry, nil)
	return ledger.Text(ledger.Lookup(h.Data, "after")) == afterSetting, err
}
