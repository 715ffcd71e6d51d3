package store

import (
	"time"

	"example.org/ringtrue/store/ledger"
)

// taking writes what an inspected file brings.
type taking struct {
	*inspection
	out   Taken
	later bool // what follows from some entries is derived in the end, when all ledgers are numbered
}

func (t *taking) entry(r ledger.Row, h ledger.Header) error {
	l := t.ledgers[r.Origin]
	if r.Seq > int64(len(l.leaves)) || l.leaves[r.Seq-1] != r.Leaf {
		return refused("do it again", "the file changed while it was read")
	}
	if r.Seq <= int64(len(l.known)) {
		return nil
	}
	var sig any
	if len(r.Sig) > 0 {
		sig = r.Sig
	}
	if err := t.b.exec(t.ctx, `INSERT INTO entry (origin, seq, body, leaf, sig) VALUES (?, ?, ?, ?, ?)`, r.Origin, r.Seq, r.Body, r.Leaf[:], sig); err != nil {
		return err
	}
	if t.later = t.later || !t.b.numberable(r.Origin); t.later {
		return nil
	}
	derived, err := deriver{t.b.zone, t.b.refs}.derive(h)
	if err != nil {
		return refused(askAgain, "entry %s cannot be read: %v", ledger.Ref(r.Origin, r.Seq), err)
	}
	return t.b.keep(t.ctx, derived)
}

func (t *taking) person(p ledger.CarriedPerson) error {
	gone, err := t.b.IsForgotten(t.ctx, p.ID)
	if err != nil || gone || t.forgotten[p.ID] {
		return err
	}
	added, err := t.b.addTaken(t.ctx, Person{p.ID, p.Name, p.Handle, p.Contact, p.Salt}, t.origins[p.ID])
	if added {
		t.out.Persons++
	}
	return err
}

// finish derives what follows from ledgers that are new to the book, erases who was forgotten elsewhere, and records
// what was seen.
func (t *taking) finish(now time.Time) (Taken, error) {
	t.out.Carrier = t.carry.Ledgers[0].Origin
	for _, l := range t.carry.Ledgers {
		known := int64(len(t.ledgers[l.Origin].known))
		t.out.Met = append(t.out.Met, Met{l.Origin, l.Size, max(l.Size-known, 0), known == 0, l.Verifier, l.Stated})
	}
	if err := t.b.settle(t.ctx, t.later); err != nil {
		return t.out, asUnderivable(err)
	}
	for id := range t.forgotten {
		erased, err := t.b.erase(t.ctx, id)
		if err != nil {
			return t.out, err
		}
		if erased {
			t.out.Forgotten++
		}
	}
	return t.out, t.sight(now)
}

// asUnderivable says that an entry of the file, sound by its hash, says something that this version cannot read.
func asUnderivable(err error) error {
	if _, book := err.(*UnusableError); book {
		return err
	}
	return refused(askAgain, "an entry of the file cannot be read: %v", err)
}

// sight records the heads of other devices: where they have grown since this device saw them last, or, for the device
// that carried the file, where it states its head on a later day.
func (t *taking) sight(now time.Time) error {
	var es []ledger.Entry
	for n, l := range t.carry.Ledgers {
		if l.Origin == t.b.origin || l.Line == "" {
			continue
		}
		last, ok, err := t.b.LastSighting(t.ctx, l.Origin)
		if err != nil {
			return err
		}
		stated := earlier(l.Stated, now).In(t.b.zone)
		later := n == 0 && l.Size == last.Size && stated.Format(time.DateOnly) > last.At.In(t.b.zone).Format(time.DateOnly)
		if ok && l.Size <= last.Size && !later {
			continue
		}
		s := Sighting{Head: l.Head, Line: l.Line, Verifier: l.Verifier}
		es = append(es, ledger.Entry{Kind: KindSighting, Happened: stated.Truncate(time.Second), Data: s.record()})
	}
	if len(es) == 0 {
		return nil
	}
	_, err := t.b.Append(t.ctx, now, es)
	return err
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}
