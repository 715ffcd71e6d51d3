package main

import (
	"cmp"
	"slices"
	"time"

	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// usePick narrows the uses that are asked about. The zero value asks about all of them.
type usePick struct {
	worker, block string
	from, last    civil.Day // both counted; None = no bound
}

// anyUse asks about every use.
var anyUse = usePick{from: civil.None, last: civil.None}

// toldUse is one use as its entry tells it, with when the book learned of it.
type toldUse struct {
	against.Use
	day      civil.Day
	recorded int64
}

// casesFor lists what the book says of the uses asked about, those first that something stands against.
func (a *app) casesFor(pick usePick, asked training.Asked) ([]against.Case, error) {
	refs, err := a.useRefs(pick, asked)
	if err != nil {
		return nil, err
	}
	return a.casesOf(refs, pick, asked)
}

// casesOf says of entries what stood against the uses that they tell of; entries of other kinds are passed over.
func (a *app) casesOf(refs []training.Ref, pick usePick, asked training.Asked) ([]against.Case, error) {
	r, err := a.newUseReader(asked)
	if err != nil {
		return nil, err
	}
	var told []toldUse
	for _, ref := range refs {
		u, ok, err := r.use(ref)
		if err != nil {
			return nil, err
		}
		if ok && pick.takes(u) && u.From <= asked.On {
			told = append(told, u)
		}
	}
	slices.SortFunc(told, func(x, y toldUse) int { return cmp.Or(cmp.Compare(x.day, y.day), cmp.Compare(x.Entry, y.Entry)) })
	uses := make([]against.Told, 0, len(told))
	for _, u := range told {
		one := against.Told{Use: u.Use}
		if one.Then, err = r.facts(u, min(u.recorded, asked.Known), nil); err != nil {
			return nil, err
		}
		same, err := r.settled(u, u.recorded)
		if err != nil {
			return nil, err
		}
		var spells []against.Spell
		if same {
			spells = one.Then.Person
		}
		if one.Now, err = r.facts(u, asked.Known, spells); err != nil {
			return nil, err
		}
		uses = append(uses, one)
	}
	return against.Find(uses), nil
}

func (p usePick) takes(u toldUse) bool {
	return (p.worker == "" || u.Worker == p.worker) && (p.block == "" || u.Block == p.block) &&
		(p.from == civil.None || u.day >= p.from) && (p.last == civil.None || u.day <= p.last)
}

// useRefs finds the entries that tell of uses, as known at the moment asked: of people, and of saws where nobody is named.
func (a *app) useRefs(pick usePick, asked training.Asked) ([]training.Ref, error) {
	found := map[training.Ref]bool{}
	take := func(facts []training.Fact, is func(training.Fact) bool) {
		for _, f := range facts {
			if !f.Struck && f.At <= asked.On && is(f) && (pick.from == civil.None || f.Day >= pick.from) && (pick.last == civil.None || f.Day <= pick.last) {
				found[f.Entry] = true
			}
		}
	}
	always := func(training.Fact) bool { return true }
	first, last := firstPerson, lastPerson
	if pick.worker != "" {
		first, last = pick.worker, pick.worker
	}
	for _, t := range a.book.FactsBetween(a.ctx, asked, first, last) {
		if t.Err != nil {
			return nil, t.Err
		}
		take(t.Topics[store.KindExposure], always)
		take(t.Topics[store.KindSawUse], always)
	}
	if pick.worker == "" {
		months, err := topicsUnder(a.ctx, a.book, asked, store.SawMonthSubject(civil.None, "")[:len("saw-month/")])
		if err != nil {
			return nil, err
		}
		for _, topics := range months {
			take(topics[store.KindUpkeep], func(f training.Fact) bool { return f.Code&store.LineUsed != 0 })
			for _, kind := range []string{store.KindRock, store.KindRefuel, store.KindFiling} {
				take(topics[kind], always)
			}
		}
	}
	refs := make([]training.Ref, 0, len(found))
	for ref := range found {
		refs = append(refs, ref)
	}
	slices.Sort(refs)
	return refs, nil
}

// use reads one entry as a use; ok is false for one that tells of none.
func (r *useReader) use(ref training.Ref) (u toldUse, ok bool, err error) {
	h, err := r.book.Entry(r.ctx, ref, nil)
	if err != nil || !isUse(h) {
		return u, false, err
	}
	at := h.Happened.Unix()
	u = toldUse{against.Use{Entry: ref, Worker: h.Worker, From: at, Until: at}, civil.Of(h.Happened, r.book.Zone()), h.Recorded.Unix()}
	switch h.Kind {
	case store.KindSawUse:
		var rec upkeep.Use
		err = ledger.Decode(h.Data, &rec)
		u.Kind, u.Saw, u.Block, u.Ran = against.Had, rec.Saw, rec.Block, seconds(rec.Hours)
		if rec.Day {
			u.ofDay(r.book.Zone(), min(u.day.End(r.book.Zone()).Unix()-1, u.recorded))
		}
	case store.KindExposure:
		var rec exposureRecord
		err = ledger.Decode(h.Data, &rec)
		u.Kind, u.Saw, u.Block, u.Ran = against.Trigger, rec.Saw, rec.Block, seconds(rec.Trigger)
		u.ofDay(r.book.Zone(), at)
	case store.KindUpkeep:
		var rec upkeep.Line
		err = ledger.Decode(h.Data, &rec)
		u.Kind, u.Saw, u.Ran = against.Line, rec.Saw, seconds(rec.Hours)
		u.ofDay(r.book.Zone(), at)
	case store.KindRefuel:
		var rec upkeep.Refuel
		err = ledger.Decode(h.Data, &rec)
		u.Kind, u.Saw = against.Refuelled, rec.Saw
		if rec.Count > 1 {
			u.ofDay(r.book.Zone(), at)
		}
	case store.KindFiling:
		var rec upkeep.Filing
		err = ledger.Decode(h.Data, &rec)
		u.Kind, u.Saw = against.HitRock, rec.Saw
	}
	if err == nil {
		err = r.afterClose(&u)
	}
	return u, true, err
}

// isUse reports whether an entry tells that a saw ran.
func isUse(h ledger.Header) bool {
	switch h.Kind {
	case store.KindSawUse, store.KindExposure, store.KindRefuel:
		return true
	case store.KindUpkeep:
		var rec upkeep.Line
		return ledger.Decode(h.Data, &rec) == nil && (rec.Refuels > 0 || rec.Rock > 0 || rec.Hours != "" || rec.Litres != "")
	case store.KindFiling:
		return fieldOf(h, "after") == afterRock
	}
	return false
}

// ofDay makes a use one of its day, up to a moment.
func (u *toldUse) ofDay(zone *time.Location, until int64) {
	u.From, u.Until = u.day.Start(zone).Unix(), until
}

// afterClose makes of a use that was told as of now, when the day was closed already, one of that day.
func (r *useReader) afterClose(u *toldUse) error {
	if u.From != u.Until || u.From != u.recorded {
		return nil
	}
	checks, err := r.day(u.day)
	if err != nil {
		return err
	}
	last := int64(0)
	for _, c := range checks {
		for _, f := range c.facts[store.KindClose] {
			if (u.Block == "" || u.Block == c.Block) && f.At < u.From && r.counts(f, u.recorded) {
				last = max(last, f.At)
			}
		}
	}
	if last > 0 {
		u.ofDay(r.book.Zone(), last)
	}
	return nil
}

// seconds reads a time as told, 0 where there is none.
func seconds(text string) int64 {
	q, err := units.Parse(text, units.Time)
	if err != nil {
		return 0
	}
	return int64(q.SI())
}
