package main

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// hurtBook is what is read of a book when somebody is hurt: the newest entries from the ledgers themselves, whatever else is damaged.
type hurtBook struct {
	courses []course // the last check of each block of the newest day with one, the newest first
	cards   map[string]hazards.Block
	today   string // YYYY-MM-DD
	problem error  // what is wrong with the book, as far as it was met
	doubt   map[string]bool
}

// looseEntry is an entry as read, sound or not.
type looseEntry struct {
	ledger.Header
	name string // "origin#seq"
}

// hurtKinds are the entries that say where people are.
var hurtKinds = []string{store.KindTailgate, store.KindJoin, store.KindChange, store.KindCheckIn, store.KindClose, store.KindStrike, store.KindBlock}

// readHurt opens the book to read what can be read, and gathers the newest day with a check.
func (a *app) readHurt() (*hurtBook, error) {
	path, err := a.bookPath()
	if err != nil {
		return nil, err
	}
	b, bad, err := store.Anyhow(a.ctx, path)
	if err != nil {
		return nil, err
	}
	a.use(b, store.BookRecord{}, time.Time{}, false)
	if _, rec, err := b.Opening(a.ctx); err == nil {
		a.opening = rec
	}
	h := &hurtBook{cards: map[string]hazards.Block{}, doubt: map[string]bool{}, problem: bad, today: a.now().In(b.Zone()).Format(time.DateOnly)}
	names, err := b.Origins(a.ctx)
	if err != nil {
		names = []string{b.Origin()}
		h.note(err)
	}
	var all []looseEntry
	for _, origin := range names {
		all = append(all, h.newest(a, origin)...)
	}
	h.gather(a, all)
	return h, nil
}

// note keeps the first thing that was found to be wrong with the book.
func (h *hurtBook) note(err error) {
	if h.problem == nil {
		h.problem = err
	}
}

// newest reads a ledger backward through today, or through the newest day that has a check on it.
func (h *hurtBook) newest(a *app, origin string) []looseEntry {
	var list []looseEntry
	day, found := h.today, false
	lost, err := a.book.Backward(a.ctx, origin, func(e ledger.Header, sound func() bool) bool {
		recorded := e.Recorded.In(a.book.Zone()).Format(time.DateOnly)
		if recorded < day && found {
			return false
		}
		if !slices.Contains(hurtKinds, e.Kind) {
			return true
		}
		if e.Kind == store.KindTailgate && !found {
			found, day = true, min(day, recorded)
		}
		one := looseEntry{e, ledger.Ref(e.Origin, e.Seq)}
		one.Data = slices.Clone(e.Data)
		if !sound() {
			h.doubt[one.name] = true
			h.note(&store.UnusableError{Damaged: true, What: fmt.Sprintf("entry %s of the book is damaged", one.name), Next: "see the whole extent: ringtrue book verify"})
		}
		list = append(list, one)
		return true
	})
	if err != nil {
		h.note(err)
	}
	if lost > 0 {
		h.note(&store.UnusableError{Damaged: true, What: fmt.Sprintf("%d entries of the book cannot be read", lost), Next: "see the whole extent: ringtrue book verify"})
	}
	return list
}

// gather puts the entries together to checks with their days.
func (h *hurtBook) gather(a *app, all []looseEntry) {
	struck := map[string]bool{}
	for _, e := range all {
		var s store.Strike
		if e.Kind == store.KindStrike && ledger.Decode(e.Data, &s) == nil {
			struck[s.Entry] = true
		}
	}
	all = slices.DeleteFunc(all, func(e looseEntry) bool { return struck[e.name] })
	slices.SortStableFunc(all, func(x, y looseEntry) int {
		return cmp.Or(x.Happened.Compare(y.Happened), x.Recorded.Compare(y.Recorded), cmp.Compare(x.Origin, y.Origin), cmp.Compare(x.Seq, y.Seq))
	})
	checks := map[string]*course{}
	last := map[string]*course{} // by block
	newest := ""
	for _, e := range all {
		if e.Kind == store.KindTailgate {
			if c := looseCheck(a, e); c != nil {
				checks[e.name], newest = c, max(newest, c.Sheet.Day)
			}
		}
		if e.Kind == store.KindBlock {
			var card hazards.Block
			if ledger.Decode(e.Data, &card) == nil {
				h.keepCard(card)
			}
		}
	}
	for _, e := range all {
		if c := checks[ledger.Text(ledger.Lookup(e.Data, "tailgate"))]; c != nil {
			c.takes(e)
		}
		if c := checks[e.name]; c != nil && c.Sheet.Day == newest {
			last[c.Block] = c
		}
	}
	for _, c := range last {
		h.courses = append(h.courses, *c)
	}
	slices.SortFunc(h.courses, func(x, y course) int { return cmp.Or(y.happened.Compare(x.happened), cmp.Compare(x.Block, y.Block)) })
	h.oncePerPlace()
}

// oncePerPlace drops a check whose crew has gone where another check was made since.
func (h *hurtBook) oncePerPlace() {
	own := map[string]bool{}
	for _, c := range h.courses {
		own[c.Block] = own[c.Block] || c.place() == c.Block
	}
	h.courses = slices.DeleteFunc(h.courses, func(c course) bool {
		return c.place() != c.Block && own[c.place()] && h.checkAt(c.place()).happened.After(c.movedAt())
	})
}

func (h *hurtBook) checkAt(block string) course {
	for _, c := range h.courses {
		if c.Block == block {
			return c
		}
	}
	return course{}
}

// movedAt is when the crew came to where it is now, zero where it never moved.
func (c course) movedAt() (at time.Time) {
	for _, one := range c.changes {
		if one.What == changeMoved {
			at = one.happened
		}
	}
	return at
}

func looseCheck(a *app, e looseEntry) *course {
	c := &course{tailgate: tailgate{by: e.By, happened: e.Happened, recorded: e.Recorded}}
	if ref, err := a.book.Ref(e.name); err == nil {
		c.ref = ref
	}
	if ledger.Decode(e.Data, &c.tailgateRecord) != nil {
		return nil
	}
	return c
}

// takes adds an entry of a day to it. What cannot be read is left out.
func (c *course) takes(e looseEntry) {
	at := event{by: e.By, worker: e.Worker, happened: e.Happened, recorded: e.Recorded}
	switch e.Kind {
	case store.KindChange:
		one := changeEntry{event: at}
		if ledger.Decode(e.Data, &one.changeRecord) == nil {
			c.changes = append(c.changes, one)
		}
	case store.KindCheckIn:
		one := callEntry{event: at}
		if ledger.Decode(e.Data, &one.CheckIn) == nil {
			c.calls = append(c.calls, one)
		}
	case store.KindClose:
		one := closeEntry{event: at}
		if ledger.Decode(e.Data, &one.closeRecord) == nil {
			c.closes = append(c.closes, one)
		}
	case store.KindJoin:
		var j store.Join
		if ledger.Decode(e.Data, &j) == nil {
			c.joined = append(c.joined, joinLine{Worker: e.Worker, Visitor: j.Visitor, Late: j.Late})
		}
	}
}

// keepCard keeps the newest edition of a card.
func (h *hurtBook) keepCard(card hazards.Block) {
	if old, known := h.cards[card.ID]; !known || card.Edition >= old.Edition {
		h.cards[card.ID] = card
	}
}

// card is the newest edition of a block's card: by the derived rows where they can be read, else from the ledgers.
func (h *hurtBook) card(a *app, id string) (hazards.Block, bool) {
	card, known, err := a.card(id, training.Asked{On: math.MaxInt64, Known: math.MaxInt64})
	switch {
	case err == nil && known:
		h.keepCard(card)
	default:
		h.note(err)
		h.allCards(a)
	}
	card, known = h.cards[id]
	return card, known
}

// allCards reads every card from the ledgers, all of them backward.
func (h *hurtBook) allCards(a *app) {
	names, err := a.book.Origins(a.ctx)
	if err != nil {
		names = []string{a.book.Origin()}
	}
	for _, origin := range names {
		_, err := a.book.Backward(a.ctx, origin, func(e ledger.Header, sound func() bool) bool {
			var card hazards.Block
			if e.Kind == store.KindBlock && ledger.Decode(e.Data, &card) == nil {
				if !sound() {
					h.doubt["block/"+card.ID] = true
				}
				h.keepCard(card)
			}
			return true
		})
		h.note(err)
	}
}

// listCards gives the newest card of every block, by id.
func (h *hurtBook) listCards(a *app) []hazards.Block {
	list, err := a.cards(training.Asked{On: math.MaxInt64, Known: math.MaxInt64})
	for _, card := range list {
		h.keepCard(card)
	}
	if err != nil || len(h.cards) == 0 {
		h.note(err)
		h.allCards(a)
	}
	var out []hazards.Block
	for _, card := range h.cards {
		out = append(out, card)
	}
	slices.SortFunc(out, func(x, y hazards.Block) int { return cmp.Compare(x.ID, y.ID) })
	return out
}

// damaged is the failure with which a command ends that printed what could be read; nil where nothing was wrong with the book.
func (h *hurtBook) damaged() error {
	bad, ok := errors.AsType[*store.UnusableError](h.problem)
	switch {
	case h.problem == nil || ok && !bad.Damaged: // in use by another program: it was read all the same
		return nil
	case ok:
		return bad
	}
	return &store.UnusableError{Damaged: true, What: h.problem.Error(), Next: "see the whole extent: ringtrue book verify"}
}
