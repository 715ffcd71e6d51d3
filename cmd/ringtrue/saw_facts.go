package main

import (
	"context"
	"iter"
	"maps"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// factsOfSaw are what stays with a saw, and what was written of it day by day, month after month up to the one asked.
type factsOfSaw struct {
	id     string
	life   store.Topics
	months []store.Topics
	from   civil.Day // a day of the first of these months
}

// How far back upkeep is looked for: company choice. A saw without any for so long has none that counts.
const (
	fewestMonths = 2
	mostMonths   = 15
)

// months gives a day of each month from the one of last back to that of first.
func months(first, last civil.Day) iter.Seq[civil.Day] {
	return func(yield func(civil.Day) bool) {
		for back := 0; ; back++ {
			m := last.AddMonths(-back)
			if store.MonthOf(m) < store.MonthOf(first) || !yield(m) {
				return
			}
		}
	}
}

// before adds an earlier month.
func (f *factsOfSaw) before(m civil.Day, topics store.Topics) {
	f.months, f.from = append([]store.Topics{topics}, f.months...), m
}

// sawFacts reads the facts of one saw: so many months at least, and as many more as its answer needs.
func (a *app) sawFacts(id string, asked training.Asked, least int) (factsOfSaw, error) {
	f := factsOfSaw{id: id}
	var err error
	if f.life, err = a.book.Facts(a.ctx, asked, store.SawSubject(id)); err != nil {
		return f, err
	}
	return f, a.further(&f, asked, least)
}

// further reads earlier months of one saw until there are so many and they are enough.
func (a *app) further(f *factsOfSaw, asked training.Asked, least int) error {
	for n := len(f.months); n < least || (n < mostMonths && !f.enough(asked)); n++ {
		m := asked.Day.AddMonths(-n)
		topics, err := a.book.Facts(a.ctx, asked, store.SawMonthSubject(m, f.id))
		if err != nil {
			return err
		}
		f.before(m, topics)
	}
	return nil
}

// listed reports whether the saw is on the list; one that is not can be tagged all the same, by the id given.
func (f *factsOfSaw) listed(asked training.Asked) bool { return anyBy(f.life[store.KindSaw], asked) }

// allSawFacts reads the facts of all saws side by side, on two connections, and earlier months of those whose answer needs them. Saws
// that were tagged without being on the list come last.
func (a *app) allSawFacts(asked training.Asked) ([]factsOfSaw, error) {
	other, err := a.book.Further(a.ctx)
	if err != nil {
		return nil, err
	}
	type subjects struct {
		topics map[string]store.Topics
		err    error
	}
	second := make(chan subjects, 1)
	go func() {
		topics, err := topicsUnder(a.ctx, other, asked, store.SawSubject(""))
		second <- subjects{topics, err}
	}()
	now, err := topicsUnder(a.ctx, a.book, asked, store.SawMonthSubject(asked.Day, ""))
	life := <-second
	if err = firstError(err, life.err); err != nil {
		return nil, err
	}
	var list, tagged []factsOfSaw
	for _, id := range slices.Sorted(maps.Keys(life.topics)) {
		f := factsOfSaw{id: id, life: life.topics[id]}
		if !f.listed(asked) {
			tagged = append(tagged, f)
			continue
		}
		f.before(asked.Day, now[id])
		list = append(list, f)
	}
	err = a.furtherAll(list, asked)
	return append(list, tagged...), err
}

// manySaws is the number of saws from which it is faster to read a month of all of them.
const manySaws = 10

// furtherAll reads earlier months: of all saws together while many need them, then one by one.
func (a *app) furtherAll(list []factsOfSaw, asked training.Asked) error {
	for n := 1; n < mostMonths; n++ {
		need := 0
		for _, f := range list {
			if n < fewestMonths || !f.enough(asked) {
				need++
			}
		}
		if need < manySaws {
			break
		}
		m := asked.Day.AddMonths(-n)
		earlier, err := topicsUnder(a.ctx, a.book, asked, store.SawMonthSubject(m, ""))
		if err != nil {
			return err
		}
		for i := range list {
			list[i].before(m, earlier[list[i].id])
		}
	}
	for i := range list {
		if err := a.further(&list[i], asked, fewestMonths); err != nil {
			return err
		}
	}
	return nil
}

// added is the day on which the saw came onto the list.
func (f *factsOfSaw) added() civil.Day {
	for _, c := range f.life[store.KindSaw] {
		if !c.Struck {
			return c.Day
		}
	}
	return civil.None
}

// enough reports whether the months hold a whole daily and a whole weekly upkeep, reach back to the last setting of the blade
// that is on, or else its first fitting, and tell of a filing, or reach back to where the first could be.
func (f *factsOfSaw) enough(asked training.Asked) bool {
	var done uint8
	filed := false
	for _, topics := range f.months {
		for _, l := range topics[store.KindUpkeep] {
			if !l.Struck && l.At <= asked.On && l.Code&store.LineLeft == 0 {
				done |= l.Code & (store.LineDaily | store.LineWeekly)
			}
		}
		filed = filed || anyBy(topics[store.KindFiling], asked)
	}
	_, first, on := currentFact(f.life, asked.On)
	since := first.Day
	for _, s := range f.life[store.KindSetting] {
		if !s.Struck && s.At <= asked.On && rootOf(s) == first.Entry {
			since = s.Day
		}
	}
	reaches := func(day civil.Day) bool { return store.MonthOf(f.from) <= store.MonthOf(day) }
	begun := first.Day
	if !on {
		begun, since = f.added(), f.from
	}
	return done == store.LineDaily|store.LineWeekly && reaches(since) && (filed || reaches(begun))
}

// topicsUnder reads every subject that begins with a prefix, by what follows it.
func topicsUnder(ctx context.Context, b *store.Book, asked training.Asked, prefix string) (map[string]store.Topics, error) {
	all := map[string]store.Topics{}
	for subject, t := range b.FactsBetween(ctx, asked, prefix, prefix+"~") {
		if t.Err != nil {
			return nil, t.Err
		}
		all[strings.TrimPrefix(subject, prefix)] = t.Topics
	}
	return all, nil
}
