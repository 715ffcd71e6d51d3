package store

import (
	"context"
	"fmt"
	"io"
	"time"

	"example.org/ringtrue/store/ledger"
)

// MaxCarry bounds a carried file that is read, in bytes: about two million entries (company choice).
const MaxCarry = 2 << 30

// Carried counts what went into a carried file.
type Carried struct {
	Ledgers []ledger.CarriedLedger
	Entries int64
	Persons int64
}

// Carry writes everything that other devices need of this book: all its ledgers with their seals, and the names of
// people who were not forgotten. Private keys stay here. The device must have its key.
func (b *Book) Carry(ctx context.Context, w io.Writer, tool string, now time.Time) (out Carried, err error) {
	err = b.snapshot(ctx, func() error {
		_, rec, err := b.Opening(ctx)
		if err != nil {
			return err
		}
		made := now.UTC().Truncate(time.Second)
		if out.Ledgers, err = b.carriedLedgers(ctx, made); err != nil {
			return err
		}
		c, err := ledger.NewCarryWriter(w, ledger.CarryHeader{Company: rec.Company, Made: made, Tool: tool, Ledgers: out.Ledgers})
		if err != nil {
			return err
		}
		if err := b.carryEntries(ctx, c, &out); err != nil {
			return err
		}
		return c.Close()
	})
	return out, err
}

func (b *Book) carryEntries(ctx context.Context, c *ledger.CarryWriter, out *Carried) error {
	for _, l := range out.Ledgers {
		for row, err := range b.Rows(ctx, l.Origin, 1, l.Size) {
			if err == nil {
				err = c.Entry(row)
			}
			if err != nil {
				return err
			}
			out.Entries++
		}
	}
	people, err := b.People(ctx)
	if err != nil {
		return err
	}
	for _, p := range people {
		if err := c.Person(ledger.CarriedPerson{ID: p.ID, Name: p.Name, Handle: p.committed(), Contact: p.Contact, Salt: p.Salt}); err != nil {
			return err
		}
		out.Persons++
	}
	return nil
}

// carriedLedgers gives the heads of all ledgers with their seals, this device's own first.
func (b *Book) carriedLedgers(ctx context.Context, made time.Time) (list []ledger.CarriedLedger, err error) {
	heads, err := b.Heads(ctx)
	if err != nil {
		return nil, err
	}
	seen, err := b.sightings(ctx, "")
	if err != nil {
		return nil, err
	}
	for _, h := range heads {
		l := ledger.CarriedLedger{Head: h, Stated: made}
		if h.Origin != b.origin {
			l.Stated = statedAt(h, seen, made)
		}
		s, err := b.SealOf(ctx, h)
		if err != nil {
			return nil, err
		}
		if s.Verifier != "" {
			l.Line, l.Verifier = s.Line(), s.Verifier
		}
		if h.Origin == b.origin && l.Line == "" {
			return nil, fmt.Errorf("this device has no key yet")
		}
		list = append(list, l)
	}
	return list, nil
}

// statedAt is when the device of another ledger last stated that head.
func statedAt(h ledger.Head, seen []Sighting, otherwise time.Time) time.Time {
	at := time.Time{}
	for _, s := range seen {
		if s.Head == h && s.At.After(at) {
			at = s.At
		}
	}
	if at.IsZero() {
		return otherwise
	}
	return at.UTC()
}
