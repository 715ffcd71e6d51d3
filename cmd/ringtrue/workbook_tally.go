package main

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// tally is what several entries together tell, gathered in the one pass over the book. Struck entries do not count.
type tally struct {
	pieces map[training.Ref]*pieceTally
	checks map[training.Ref]*checkTally
	days   map[dayKey]*dayTally
	left   map[dayKey]bool      // days whose check the filter leaves out: it was made all the same
	done   map[string]civil.Day // action -> day on which it was done
	seen   map[string]bool      // actions that somebody else has checked
	closed map[string]bool      // events
}

// pieceTally is what became of a piece of equipment: the last look, return and condemning.
type pieceTally struct {
	looked, returned, condemned lastTold
	lookDay                     civil.Day
	condition                   string // on its return
	reason                      string // why it was condemned
}

// lastTold is the place of an entry in the order in which facts count.
type lastTold struct {
	at, recorded int64
	ref          training.Ref
}

func (l *lastTold) isLater(ref training.Ref, h ledger.Header) bool {
	now := lastTold{h.Happened.Unix(), h.Recorded.Unix(), ref}
	if l.ref != 0 && cmp.Or(cmp.Compare(now.at, l.at), cmp.Compare(now.recorded, l.recorded), cmp.Compare(now.ref, l.ref)) < 0 {
		return false
	}
	*l = now
	return true
}

// checkTally is what the day of a tailgate check has brought.
type checkTally struct{ joined, changes, calls, missed int }

type dayKey struct {
	day   civil.Day
	block string
}

// dayTally is what was done on a block on a day.
type dayTally struct {
	looks, upkeep, sawTime, checks int
	first                          training.Ref // entry of the first of them
	worked                         bool         // a check that was not on hold, or that somebody joined
	closed                         bool
}

// placeOf is the day and the block of an entry.
func (e *exporter) placeOf(h ledger.Header) dayKey {
	return dayKey{e.dayOf(h.Happened), fieldOf(h, "block")}
}

func newTally() tally {
	return tally{pieces: map[training.Ref]*pieceTally{}, checks: map[training.Ref]*checkTally{}, days: map[dayKey]*dayTally{}, left: map[dayKey]bool{},
		done: map[string]civil.Day{}, seen: map[string]bool{}, closed: map[string]bool{}}
}

// tallyOf gives the tally of a key, a new one where there is none.
func tallyOf[K comparable, T any](m map[K]*T, key K) *T {
	t, ok := m[key]
	if !ok {
		t = new(T)
		m[key] = t
	}
	return t
}

// count takes an entry that is not struck into the tallies.
func (e *exporter) count(ref training.Ref, h ledger.Header) error {
	switch h.Kind {
	case training.KindInspection, training.KindReturn:
		return e.countPiece(ref, h)
	case store.KindTailgate, store.KindJoin, store.KindChange, store.KindCheckIn, store.KindClose:
		return e.countCheck(ref, h)
	case training.KindObservation, store.KindUpkeep, store.KindSawUse, store.KindExposure:
		e.countWork(ref, h)
	case training.KindActionDone:
		e.tally.done[fieldOf(h, "action")] = e.dayOf(h.Happened)
	case training.KindActionChecked:
		e.tally.seen[fieldOf(h, "action")] = true
	case training.KindEventClosed:
		e.tally.closed[fieldOf(h, "event")] = true
	}
	return nil
}

func (e *exporter) countPiece(ref training.Ref, h ledger.Header) error {
	issue, err := e.book.Ref(fieldOf(h, "issue"))
	if err != nil {
		return err
	}
	p := tallyOf(e.tally.pieces, issue)
	condition := fieldOf(h, "condition")
	if h.Kind == training.KindReturn {
		if p.returned.isLater(ref, h) {
			p.condition = condition
		}
	} else if p.looked.isLater(ref, h) {
		p.lookDay = e.dayOf(h.Happened)
	}
	if condition == condemned && p.condemned.isLater(ref, h) {
		p.reason = fieldOf(h, "reason")
	}
	return nil
}

func (e *exporter) countCheck(ref training.Ref, h ledger.Header) error {
	d := tallyOf(e.tally.days, e.placeOf(h))
	if h.Kind == store.KindTailgate {
		d.checks++
		d.begin(ref)
		d.worked = d.worked || ledger.Text(ledger.Lookup(ledger.Lookup(h.Data, "assessment"), "answer")) != "hold"
		return nil
	}
	check, err := e.book.Ref(fieldOf(h, "tailgate"))
	if err != nil {
		return err
	}
	t := tallyOf(e.tally.checks, check)
	switch h.Kind {
	case store.KindJoin:
		t.joined++
		d.worked = true
	case store.KindChange:
		t.changes++
	case store.KindCheckIn:
		t.calls++
		if flagOf(h, "missed") {
			t.missed++
		}
	case store.KindClose:
		d.closed = d.closed || len(listOf(h.Data, "missing"))+len(listOf(h.Data, "visitors_missing")) == 0
	}
	return nil
}

func (d *dayTally) begin(ref training.Ref) {
	if d.first == 0 {
		d.first = ref
	}
}

func (e *exporter) countWork(ref training.Ref, h ledger.Header) {
	d := tallyOf(e.tally.days, e.placeOf(h))
	d.begin(ref)
	switch h.Kind {
	case training.KindObservation:
		d.looks++
	case store.KindUpkeep:
		d.upkeep++
	case store.KindExposure:
		d.sawTime++
		if points, ok := pointsOf(h); ok {
			e.charts.point(h.Worker, e.dayOf(h.Happened), points)
		}
	default:
		d.sawTime++
	}
}

// pointsOf reads the vibration points of a day, recorded as "123points".
func pointsOf(h ledger.Header) (int, bool) {
	n, err := strconv.Atoi(strings.TrimSuffix(fieldOf(h, "points"), "points"))
	return n, err == nil
}

// oddDay is a day on which something is missing.
type oddDay struct {
	dayKey
	dayTally
	what string
}

// oddDays lists the days with a look, upkeep or saw time but no tailgate check, and those whose check was never closed.
// What names no block wants a check on any.
func (t tally) oddDays(asked civil.Day) (list []oddDay) {
	checked := map[civil.Day]bool{}
	for k, d := range t.days {
		checked[k.day] = checked[k.day] || d.checks > 0
	}
	for k := range t.left {
		checked[k.day] = true
	}
	for k, d := range t.days {
		what := ""
		switch {
		case d.checks == 0 && !t.left[k] && d.looks+d.upkeep+d.sawTime > 0 && (k.block != "" || !checked[k.day]):
			what = noTailgate
		case d.checks > 0 && d.worked && !d.closed && k.day == asked:
			what = notClosedYet
		case d.checks > 0 && d.worked && !d.closed:
			what = neverClosed
		}
		if what != "" {
			list = append(list, oddDay{k, *d, what})
		}
	}
	slices.SortFunc(list, func(a, b oddDay) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.block, b.block))
	})
	return list
}

// What can be missing on a day.
const (
	noTailgate   = "no tailgate check"
	neverClosed  = "tailgate never closed"
	notClosedYet = "tailgate not closed yet"
)

// sortedBy gives the keys of a map in order.
func sortedBy[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
