package store

import (
	"context"
	"encoding/hex"
	"maps"
	"slices"
	"time"

	"example.org/ringtrue/store/ledger"
)

// SightingRecord says which head of another ledger this device has seen and checked, with the seal over it.
type SightingRecord struct {
	Origin   string `json:"origin"`
	Size     int64  `json:"size"`
	Root     string `json:"root"`     // hex
	Line     string `json:"line"`     // signature line of the seal
	Verifier string `json:"verifier"` // key the line was checked by
}

// Sighting is one of them as read. At is when the other device stated its head, by its own clock.
type Sighting struct {
	ledger.Head
	In             ledger.Place // of the entry that says so
	At             time.Time
	Line, Verifier string
	said           bool // by a sighting entry, which has a seal; an opening names a head without one
}

func (s Sighting) seal() (ledger.Seal, error) {
	return ledger.ReadSeal(ledger.JoinSeal(s.Head, s.Line), s.Verifier)
}

func (s Sighting) record() SightingRecord {
	return SightingRecord{s.Origin, s.Size, hex.EncodeToString(s.Root[:]), s.Line, s.Verifier}
}

// sightings gives the sightings recorded in one ledger of the book, or in all of them ("").
func (b *Book) sightings(ctx context.Context, in string) (list []Sighting, err error) {
	facts, err := b.Topic(ctx, everKnown, Everything, KindSighting)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		var rec SightingRecord
		h, err := b.Entry(ctx, f.Entry, &rec)
		if err != nil {
			return nil, err
		}
		if in != "" && h.Origin != in {
			continue
		}
		s := Sighting{Head: ledger.Head{Origin: rec.Origin, Size: rec.Size}, In: ledger.PlaceOf(h), At: h.Happened, Line: rec.Line, Verifier: rec.Verifier, said: true}
		if s.Root, err = ledger.ParseRoot(rec.Root); err != nil {
			return nil, b.unreadable(f.Entry, err)
		}
		list = append(list, s)
	}
	return list, nil
}

// LastSighting gives the longest head of another ledger that this device has seen; of equally long ones the latest.
func (b *Book) LastSighting(ctx context.Context, origin string) (last Sighting, ok bool, err error) {
	list, err := b.sightings(ctx, b.origin)
	for _, s := range list {
		if s.Origin == origin && (!ok || s.Size > last.Size || s.Size == last.Size && !s.At.Before(last.At)) {
			last, ok = s, true
		}
	}
	return last, ok, err
}

// goneOnFrom gives the heads of other ledgers that openings in the book name, as if they had been seen.
func (b *Book) goneOnFrom(ctx context.Context) (list []Sighting, err error) {
	facts, err := b.Topic(ctx, everKnown, Everything, KindBook)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		var rec BookRecord
		h, err := b.Entry(ctx, f.Entry, &rec)
		if err != nil {
			return nil, err
		}
		if root, err := ledger.ParseRoot(rec.FromRoot); err == nil {
			list = append(list, Sighting{Head: ledger.Head{Origin: rec.From, Size: rec.FromSize, Root: root}, In: ledger.PlaceOf(h), At: h.Happened})
		}
	}
	return list, nil
}

// Devices gives for each other device the last time it was met, by name. A ledger in whose place a restored one goes on
// is no other device, and what it had met counts as met; nor is one that is gone.
func (b *Book) Devices(ctx context.Context) (list []Sighting, err error) {
	states, err := b.States(ctx)
	for _, o := range slices.Sorted(maps.Keys(states)) {
		if s := states[o]; s.Waits() && !s.Met.IsZero() {
			list = append(list, Sighting{Head: ledger.Head{Origin: o}, At: s.Met})
		}
	}
	return list, err
}

// replaced gives by ledger the one in whose place it goes on.
func (b *Book) replaced(ctx context.Context) (map[string]string, error) {
	facts, err := b.Topic(ctx, everKnown, Everything, KindBook)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, f := range facts {
		var rec BookRecord
		h, err := b.Entry(ctx, f.Entry, &rec)
		if err != nil {
			return nil, err
		}
		if rec.Restored {
			out[h.Origin] = rec.From
		}
	}
	return out, nil
}
