package store

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"sort"

	"example.org/ringtrue/store/ledger"
)

// verifySeen compares the ledgers with the heads that devices saw of them, as entries of the book say: a ledger that was
// rewritten, or this device's own if its newest entries were cut off, no longer fits what others saw.
func (b *Book) verifySeen(ctx context.Context, _ *sums, rep *Report) error {
	if b.zone == nil {
		return nil
	}
	list, err := b.sightings(ctx, "")
	if err == nil {
		var from []Sighting
		from, err = b.goneOnFrom(ctx)
		list = append(list, from...)
	}
	if bad, ok := errors.AsType[*UnusableError](err); ok && bad.Damaged && !rep.Sound() {
		return nil // what leads to these entries is damaged, and has been named
	}
	if err != nil {
		return err
	}
	byOrigin := map[string][]Sighting{}
	for _, s := range list {
		byOrigin[s.Origin] = append(byOrigin[s.Origin], s)
	}
	for _, origin := range slices.Sorted(maps.Keys(byOrigin)) {
		leaves, err := b.Leaves(ctx, origin, 0)
		if bad, ok := errors.AsType[*UnusableError](err); ok && bad.Damaged {
			continue // it is damaged, and has been named
		}
		if err != nil {
			return err
		}
		keys, err := b.Verifiers(ctx, origin)
		if err != nil {
			return err
		}
		rep.seen(b.origin, leaves, byOrigin[origin], append(keys, "")[0])
	}
	for _, h := range rep.Heads {
		rep.unseen(b.origin, h, byOrigin[h.Origin])
	}
	return nil
}

// unseen names the entries of another device's ledger that stand under no head that any device says it saw: a take writes down
// what it brings, and a restored book goes on from the whole of the old one.
func (r *Report) unseen(own string, have ledger.Head, list []Sighting) {
	var seen int64
	for _, s := range list {
		seen = max(seen, s.Size)
	}
	damaged := slices.ContainsFunc(r.Findings, func(f ledger.Finding) bool { return f.Origin == have.Origin }) // and named
	if have.Origin != own && have.Size > seen && !damaged {
		r.Findings = append(r.Findings, ledger.Finding{Origin: have.Origin, Seq: seen + 1, Class: ledger.NotTrusted,
			What: fmt.Sprintf("no device says that it saw entries %d to %d of this ledger: no file that was taken brought them", seen+1, have.Size), Next: unseenNext})
	}
}

const unseenNext = "ask the people of that device whether they recorded them; if not, go on from a backup: ringtrue book restore BACKUP"

// cutOff: a device writes that it saw a head only when it has taken what the head covers, and whoever takes its entries
// takes all that it had. So a book that holds a sighting holds what was seen.
func (r *Report) cutOff(s Sighting, own string, have int, find func(class ledger.Class, what, next string)) {
	if s.Origin == own {
		find(ledger.Damaged, fmt.Sprintf("it says that this device's ledger had %d entries; the book has only %d: the newest were cut off", s.Size, have), seenNext)
		return
	}
	find(ledger.Damaged, fmt.Sprintf("it says that the ledger %s had %d entries; the book has only %d: the newest were cut off", s.Origin, s.Size, have), lostRowsNext)
}

const lostRowsNext = "have them brought back from another device: ringtrue book take FILE; without one, go on from a backup: ringtrue book restore BACKUP"

const seenNext = "compare with the other devices' books, and go on with the copy that fits them: ringtrue book restore BACKUP"

// seen adds a finding for every head that the leaves of its ledger contradict, and for every seal that is not by the key
// that the ledger itself names first ("" = it names none).
func (r *Report) seen(own string, leaves ledger.Leaves, list []Sighting, key string) {
	sort.SliceStable(list, func(a, b int) bool { return list[a].Size < list[b].Size })
	var roots ledger.Roots
	for _, s := range list {
		find := func(class ledger.Class, what, next string) {
			r.Findings = append(r.Findings, ledger.Finding{Origin: s.In.Origin, Seq: s.In.Seq, Class: class, What: what, Next: next})
		}
		if seal, err := s.seal(); s.said && (err != nil || seal.Verifier == "" || key != "" && seal.Verifier != key) {
			find(ledger.NotTrusted, fmt.Sprintf("it gives a seal of %s that is not good", s.Origin), seenNext)
		}
		if s.Size > int64(len(leaves)) {
			r.cutOff(s, own, len(leaves), find)
			continue
		}
		for roots.Size() < s.Size {
			roots.Add(leaves[roots.Size()])
		}
		if roots.Root() != s.Root {
			find(ledger.Damaged, fmt.Sprintf("it says that the first %d entries of %s were others than those in the book", s.Size, s.Origin), seenNext)
		}
	}
}
