package store

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/ringtrue/store/ledger"
)

const (
	askNameNext  = "ask who wrote that name; no entry depends on it"
	lostNameNext = "have the name brought back from another device: ringtrue book take FILE; without one, go on from a backup: ringtrue book restore BACKUP"
)

// verifyNames checks every name against the commitment in its worker entry, and that none is missing. A forgotten name
// is no finding. Contacts are checked where their worker entry commits to one; entries of earlier versions do not.
func (b *Book) verifyNames(ctx context.Context, want *sums, rep *Report) error {
	if b.zone == nil {
		return nil
	}
	people, err := b.People(ctx)
	if err != nil {
		return err
	}
	there := map[string]bool{}
	for _, p := range people {
		there[p.ID] = true
		if err := b.verifyName(ctx, p, want, rep); err != nil {
			return err
		}
	}
	for _, id := range slices.Sorted(maps.Keys(want.commitments)) {
		if there[id] {
			continue
		}
		gone, err := b.IsForgotten(ctx, id)
		if err != nil {
			return err
		}
		if c := want.commitments[id]; !gone {
			rep.Findings = append(rep.Findings, ledger.Finding{Origin: c.origin, Seq: c.seq, Class: ledger.Damaged, What: fmt.Sprintf("the name of the person %s is not in the book, though no entry says that it was erased", id), Next: lostNameNext})
		}
	}
	return nil
}

func (b *Book) verifyName(ctx context.Context, p Person, want *sums, rep *Report) error {
	c, ok := want.commitments[p.ID]
	if !ok {
		rep.find(b.origin, ledger.NotTrusted, fmt.Sprintf("no sound entry names the person %s (%s)", p.Handle, p.ID), askNameNext)
		return nil
	}
	gone, err := b.IsForgotten(ctx, p.ID)
	if err != nil {
		return err
	}
	if gone {
		rep.find(b.origin, ledger.NotTrusted, fmt.Sprintf("the name of the person %s was forgotten and is there again", p.ID), "erase it again: ringtrue worker forget "+p.ID)
	}
	if !p.recorded(c) {
		b.damagedName(c, rep, fmt.Sprintf("the name kept for person %s (%s) is not the one that was recorded", p.Handle, p.ID))
	}
	if !p.contactRecorded(c) {
		b.damagedName(c, rep, fmt.Sprintf("the contact kept for person %s (%s) is not the one that was recorded", p.Handle, p.ID))
	}
	// A device stands only behind the short ids of people whom another one recorded: whoever put one behind an own id gave that id away.
	if c.origin == b.origin && strings.Contains(p.Handle, alien) {
		b.damagedName(c, rep, fmt.Sprintf("the short id %s of person %s was changed: people recorded on this device have theirs without a device behind it", p.Handle, p.ID))
	}
	return nil
}

func (b *Book) damagedName(c commitment, rep *Report, what string) {
	rep.Findings = append(rep.Findings, ledger.Finding{Origin: c.origin, Seq: c.seq, Class: ledger.Damaged, What: what, Next: restoreNext})
}

// contactRecorded reports whether a contact is the one that the worker entry commits to; an older entry commits to none.
func (p Person) contactRecorded(c commitment) bool {
	hash, err := p.ContactCommitment()
	return c.contact == "" || err == nil && hash == c.contact
}
