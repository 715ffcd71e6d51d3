package main

import (
	"slices"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// course is a tailgate check with what its day has brought, as known at a moment.
type course struct {
	tailgate
	changes []changeEntry // in the order in which they happened
	calls   []callEntry
	closes  []closeEntry
	joined  []joinLine
}

// event is what the entries of a day have in common.
type event struct {
	ref      training.Ref
	by       string
	worker   string
	happened time.Time
	recorded time.Time
}

// course reads the day of a check: what happened by asked.On, as far as known by asked.Known.
func (a *app) course(t tailgate, asked training.Asked) (course, error) {
	c := course{tailgate: t}
	topics, err := a.book.Facts(a.ctx, asked, store.TailgateSubject(a.book.Name(t.ref)))
	if err != nil {
		return c, err
	}
	if c.changes, err = happenings(a, topics[store.KindChange], asked, func(e event, r changeRecord) changeEntry { return changeEntry{e, r} }); err != nil {
		return c, err
	}
	if c.calls, err = happenings(a, topics[store.KindCheckIn], asked, func(e event, r store.CheckIn) callEntry { return callEntry{e, r} }); err != nil {
		return c, err
	}
	if c.closes, err = happenings(a, topics[store.KindClose], asked, func(e event, r closeRecord) closeEntry { return closeEntry{e, r} }); err != nil {
		return c, err
	}
	c.joined, err = a.joinLines(topics[store.KindJoin], asked)
	return c, err
}

// happenings reads the entries behind facts, in the order in which they count.
func happenings[R, E any](a *app, facts []training.Fact, asked training.Asked, make func(event, R) E) ([]E, error) {
	var list []E
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		var r R
		h, err := a.book.Entry(a.ctx, f.Entry, &r)
		if err != nil {
			return nil, err
		}
		list = append(list, make(event{f.Entry, h.By, h.Worker, h.Happened, h.Recorded}, r))
	}
	return list, nil
}

// sheet is the sheet as the changes have left it. A change that no longer fits, because the one before it was struck, say, changes what
// it can.
func (c course) sheet() hazards.Sheet {
	s := c.Sheet
	for _, one := range c.changes {
		s, _ = s.After(one.Delta)
	}
	s.Block = c.place()
	return s
}

// place is the block on which the crew of the check is: its own, or the one they moved to last.
func (c course) place() string {
	at := c.Block
	for _, one := range c.changes {
		if one.What == changeMoved {
			at = one.MovedTo
		}
	}
	return at
}

// during is what the changes and calls say that no sheet says.
func (c course) during(zone *time.Location) hazards.During {
	var d hazards.During
	for _, one := range c.changes {
		clock := one.happened.In(zone).Format("15:04")
		switch one.What {
		case changeIncident:
			d.Incident = clock
		case changeResumed:
			d.Incident = ""
		}
	}
	if at := c.place(); at != c.Block {
		d.MovedTo = at
	}
	s := c.sheet()
	d.Missed = hazards.MissedCalls(s, c.contacts(zone), c.Sheet.At, s.At)
	return d
}

func (c course) contacts(zone *time.Location) []hazards.Contact {
	var list []hazards.Contact
	for _, one := range c.calls {
		list = append(list, hazards.Contact{Worker: one.worker, At: one.happened.In(zone).Format("15:04"), Missed: one.Missed})
	}
	return list
}

// answer is the newest assessment: that of the change recorded last, else that of the check.
func (c course) answer() hazards.Assessment {
	if one := c.newest(); one != nil {
		return one.Assessment
	}
	return c.Assessment
}

// newest is the change recorded last, nil where there is none.
func (c course) newest() *changeEntry {
	var newest *changeEntry
	for i := range c.changes {
		if newest == nil || !c.changes[i].recorded.Before(newest.recorded) {
			newest = &c.changes[i]
		}
	}
	return newest
}

// closed is the close that ends the day, with a full head count or the reason why there was none; ok is false while the day is open.
func (c course) closed() (closeEntry, bool) {
	for _, one := range c.closes {
		if one.ends() {
			return one, true
		}
	}
	return closeEntry{}, false
}

// crew lists everybody on the sheet now and who came late, without those who have left.
func (c course) crew() []string {
	var who []string
	s := c.sheet()
	for _, l := range s.Crew {
		who = append(who, l.Worker)
	}
	for _, j := range c.joined {
		gone := slices.ContainsFunc(c.changes, func(e changeEntry) bool { return slices.Contains(e.Delta.Left, j.Worker) })
		if j.Worker != "" && !gone && !slices.Contains(who, j.Worker) {
			who = append(who, j.Worker)
		}
	}
	return who
}

// visitors lists the visitors of the sheet and those joined later, by what they are.
func (c course) visitors() []string {
	var who []string
	for _, v := range c.Sheet.Visitors {
		who = append(who, v.Name)
	}
	for _, j := range c.joined {
		if j.Visitor != "" && !slices.Contains(who, j.Visitor) {
			who = append(who, j.Visitor)
		}
	}
	return who
}

// dayOptions name a check of a day: by its entry, or as the last one of a block by then.
type dayOptions struct{ block, entry, at string }

// checkInForce finds the check that is in force at a moment: the one named, or the last of that day's by then on the block, or on the only
// block with one.
func (a *app) checkInForce(o dayOptions, at time.Time, asked training.Asked) (tailgate, error) {
	if o.entry != "" {
		return a.findTailgate([]string{o.entry}, "")
	}
	if err := a.knownBlock(o.block); err != nil {
		return tailgate{}, err
	}
	cards, err := a.cards(asked)
	if err != nil {
		return tailgate{}, err
	}
	var found []tailgate
	for _, card := range cards {
		if o.block != "" && card.ID != o.block {
			continue
		}
		t, ok, err := a.lastCheckBy(card.ID, at, asked)
		if err != nil {
			return tailgate{}, err
		}
		if ok {
			found = append(found, t)
		}
	}
	if len(found) == 0 && o.block != "" {
		if found, err = a.movedThere(cards, o.block, at, asked); err != nil {
			return tailgate{}, err
		}
	}
	day := civil.Of(at, a.book.Zone())
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return tailgate{}, refuse("check a sheet first: ringtrue tailgate check --from day.yaml", "no check%s was made on %s by %s, as far as the book knew", note(" of block ", o.block), day, at.In(a.book.Zone()).Format("15:04"))
	}
	return tailgate{}, refuse("name the block: --block", "%d blocks have a check on %s", len(found), day)
}

// movedThere lists the checks of the day of a moment whose crews had moved to a block by then.
func (a *app) movedThere(cards []hazards.Block, block string, at time.Time, asked training.Asked) ([]tailgate, error) {
	var found []tailgate
	for _, card := range cards {
		t, ok, err := a.lastCheckBy(card.ID, at, asked)
		if err != nil {
			return nil, err
		}
		if !ok {
			continue
		}
		day, err := a.course(t, asked)
		if err != nil {
			return nil, err
		}
		if day.place() == block {
			found = append(found, t)
		}
	}
	return found, nil
}

// lastAt is the newest check whose crew is on a block: one made there, or one whose crew moved there on a later day than that.
func (a *app) lastAt(block string) (tailgate, bool, error) {
	t, ok, err := a.lastTailgate(block)
	if err != nil {
		return t, ok, err
	}
	cards, err := a.cards(a.knownNow(1 << 20))
	if err != nil {
		return t, ok, err
	}
	for _, card := range cards {
		other, made, err := a.lastTailgate(card.ID)
		if err != nil {
			return t, ok, err
		}
		if !made || card.ID == block || ok && other.Sheet.Day <= t.Sheet.Day {
			continue
		}
		day, err := a.course(other, a.knownNow(1<<20))
		if err != nil {
			return t, ok, err
		}
		if day.place() == block {
			t, ok = other, true
		}
	}
	return t, ok, nil
}

// lastCheckBy is the last check of a block on the day of a moment that happened by then.
func (a *app) lastCheckBy(block string, at time.Time, asked training.Asked) (t tailgate, ok bool, err error) {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return t, false, err
	}
	day := civil.Of(at, a.book.Zone())
	for i := len(facts) - 1; i >= 0; i-- {
		if f := facts[i]; !f.Struck && f.Day == day && f.At <= at.Unix() {
			t, err = a.tailgate(f.Entry)
			return t, err == nil, err
		}
	}
	return t, false, nil
}

// knownBy asks what had happened by a moment, with all that the book knows now.
func (a *app) knownBy(at time.Time) training.Asked {
	asked := a.knownNow(civil.Of(at, a.book.Zone()))
	asked.On = at.Unix()
	return asked
}
