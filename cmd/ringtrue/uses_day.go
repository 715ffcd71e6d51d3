package main

import (
	"cmp"
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// useReader reads the facts of uses, as known at any moment. What it has read it keeps: one day's checks serve everybody of that day.
type useReader struct {
	*app
	struck map[training.Ref]int64 // when the book learned that an entry was struck
	days   map[civil.Day][]dayCheck
	onDay  map[civil.Day][]training.Fact // checks
	people map[string]store.Topics       // with everything known by the moment asked
	saws   map[string]store.Topics
	kinds  map[string]string // of blocks
	asked  training.Asked

	adopted []training.Fact // editions of house rules and curriculum
}

func (a *app) newUseReader(asked training.Asked) (*useReader, error) {
	struck, err := a.book.StruckWhen(a.ctx)
	if err != nil {
		return nil, err
	}
	r := &useReader{app: a, struck: struck, days: map[civil.Day][]dayCheck{}, people: map[string]store.Topics{}, saws: map[string]store.Topics{}, kinds: map[string]string{}, asked: asked}
	for _, kind := range []string{store.KindHouse, store.KindCurriculum} {
		editions, err := a.listed(asked, kind)
		if err != nil {
			return nil, err
		}
		r.adopted = append(r.adopted, editions...)
	}
	return r, nil
}

// counts reports whether the book knew a fact at a moment, and had not learned that it was struck.
func (r *useReader) counts(f training.Fact, known int64) bool {
	return f.Recorded <= known && !r.struckBy(f.Entry, known)
}

func (r *useReader) struckBy(ref training.Ref, known int64) bool {
	when, struck := r.struck[ref]
	return struck && when <= known
}

// facts gathers what the book knew at a moment of the day of a use; spells are what it knew of the worker, where that is known already.
func (r *useReader) facts(u toldUse, known int64, spells []against.Spell) (f against.Facts, err error) {
	checks, err := r.day(u.day)
	if err != nil {
		return f, err
	}
	for _, c := range checks {
		if !r.counts(c.fact, known) {
			continue
		}
		f.Checks = append(f.Checks, r.check(c, known))
		f.Joins = append(f.Joins, r.joinsOf(c, u.Worker, known)...)
	}
	slices.SortStableFunc(f.Joins, func(x, y against.Join) int { return cmp.Compare(x.At, y.At) })
	if f.Person = spells; u.Worker != "" && spells == nil {
		if f.Person, err = r.person(u, f, known); err != nil {
			return f, err
		}
	}
	f.Downs, err = r.downs(u, known)
	return f, err
}

// dayCheck is a check with all that was recorded of its day, whether or not it was struck later.
type dayCheck struct {
	tailgate
	fact    training.Fact
	facts   store.Topics
	changes map[training.Ref]changeRecord
	joins   map[training.Ref]joinedBy
}

// joinedBy is a join with who joined.
type joinedBy struct {
	worker string
	store.Join
}

// day reads the checks of a day on all blocks.
func (r *useReader) day(day civil.Day) ([]dayCheck, error) {
	if list, read := r.days[day]; read {
		return list, nil
	}
	if r.onDay == nil {
		r.onDay = map[civil.Day][]training.Fact{}
		blocks, err := topicsUnder(r.ctx, r.book, r.asked, store.BlockSubject(""))
		if err != nil {
			return nil, err
		}
		for _, topics := range blocks {
			for _, f := range topics[store.KindTailgate] {
				r.onDay[f.Day] = append(r.onDay[f.Day], f)
			}
		}
	}
	facts := r.onDay[day]
	training.Sort(facts)
	var list []dayCheck
	for _, f := range facts {
		c, err := r.readCheck(f)
		if err != nil {
			return nil, err
		}
		list = append(list, c)
	}
	r.days[day] = list
	return list, nil
}

func (r *useReader) readCheck(f training.Fact) (c dayCheck, err error) {
	c = dayCheck{fact: f, changes: map[training.Ref]changeRecord{}, joins: map[training.Ref]joinedBy{}}
	if c.tailgate, err = r.tailgate(f.Entry); err != nil {
		return c, err
	}
	if c.facts, err = r.book.Facts(r.ctx, r.asked, store.TailgateSubject(r.book.Name(f.Entry))); err != nil {
		return c, err
	}
	for _, one := range c.facts[store.KindChange] {
		var rec changeRecord
		if _, err := r.book.Entry(r.ctx, one.Entry, &rec); err != nil {
			return c, err
		}
		c.changes[one.Entry] = rec
	}
	for _, one := range c.facts[store.KindJoin] {
		var rec store.Join
		h, err := r.book.Entry(r.ctx, one.Entry, &rec)
		if err != nil {
			return c, err
		}
		c.joins[one.Entry] = joinedBy{h.Worker, rec}
	}
	return c, nil
}

// check is a check with the answers of its day as known at a moment.
func (r *useReader) check(c dayCheck, known int64) against.Check {
	sheet := c.Sheet
	out := against.Check{Entry: c.ref, Block: c.Block, Answers: []against.Answer{answerOf(c.ref, c.fact.At, sheet, c.Assessment, "")}}
	moved := ""
	for _, f := range c.facts[store.KindChange] {
		if !r.counts(f, known) {
			continue
		}
		rec := c.changes[f.Entry]
		sheet, _ = sheet.After(rec.Delta) // what no longer fits, because a change before it was struck, changes what it can
		moved = cmp.Or(rec.MovedTo, moved)
		out.Answers = append(out.Answers, answerOf(f.Entry, f.At, sheet, rec.Assessment, moved))
	}
	return out
}

func answerOf(ref training.Ref, at int64, sheet hazards.Sheet, said hazards.Assessment, moved string) against.Answer {
	return against.Answer{Entry: ref, From: at, Hold: said.Answer == hazards.Hold, Word: said.Answer, MovedTo: moved, Crew: sheet.Crew, Saws: said.Saws, Stops: against.StopsOf(said)}
}

func (r *useReader) joinsOf(c dayCheck, worker string, known int64) (list []against.Join) {
	for _, f := range c.facts[store.KindJoin] {
		if j := c.joins[f.Entry]; worker != "" && j.worker == worker && r.counts(f, known) {
			list = append(list, against.Join{Entry: f.Entry, Block: c.Block, At: f.At, Saw: j.Saw})
		}
	}
	return list
}
