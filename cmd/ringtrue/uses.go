package main

import (
	"cmp"
	"slices"
	"time"

	"example.org/ringtrue/hazards"
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

// told is one use as its entry tells it, with when the book learned of it.
type toldUse struct {
	against.Use
	day      civil.Day
	recorded int64
}

// usesOf lists what the book says of the uses asked about, those first that something stands against.
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
		if one.Then, err = r.facts(u, min(u.recorded, asked.Known)); err != nil {
			return nil, err
		}
		if one.Now, err = r.facts(u, asked.Known); err != nil {
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

// useReader reads the facts of uses, as known at any moment. What it has read it keeps: one day's checks serve everybody of that day.
type useReader struct {
	*app
	struck map[training.Ref]int64 // when the book learned that an entry was struck
	days   map[civil.Day][]dayCheck
	onDay  map[civil.Day][]training.Fact // checks
	people map[string]store.Topics       // with everything known by the moment asked
	saws   map[string]store.Topics
	asked  training.Asked
}

func (a *app) newUseReader(asked training.Asked) (*useReader, error) {
	struck, err := a.book.StruckWhen(a.ctx)
	return &useReader{app: a, struck: struck, days: map[civil.Day][]dayCheck{}, people: map[string]store.Topics{}, saws: map[string]store.Topics{}, asked: asked}, err
}

// counts reports whether the book knew a fact at a moment, and had not learned that it was struck.
func (r *useReader) counts(f training.Fact, known int64) bool {
	return f.Recorded <= known && !r.struckBy(f.Entry, known)
}

func (r *useReader) struckBy(ref training.Ref, known int64) bool {
	when, struck := r.struck[ref]
	return struck && when <= known
}

// facts gathers what the book knew at a moment of the day of a use.
func (r *useReader) facts(u toldUse, known int64) (f against.Facts, err error) {
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
	if u.Worker != "" {
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
