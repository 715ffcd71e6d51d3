package store

import (
	"context"
	"time"
)

// Reached is a run of entries of another ledger that this book took in one go.
type Reached struct {
	Origin      string
	First, Last int64
	On          time.Time // when this book took them
}

// ReachedLater gives the entries that other devices had recorded by a moment, but that reached this book only after it:
// an answer as known then has them, though nobody could have asked this book.
func (b *Book) ReachedLater(ctx context.Context, known int64) (list []Reached, err error) {
	seen, err := b.sightings(ctx, b.origin)
	if err != nil {
		return nil, err
	}
	had := map[string]int64{}
	for _, s := range seen { // in the order in which heads were stated, and so of their sizes
		if s.Size <= had[s.Origin] {
			continue
		}
		r := Reached{s.Origin, had[s.Origin] + 1, 0, s.In.Recorded}
		had[s.Origin] = s.Size
		if s.In.Recorded.Unix() <= known {
			continue
		}
		if r.Last, err = b.lastRecorded(ctx, s.Origin, r.First, s.Size, known); err != nil {
			return nil, err
		}
		if r.Last >= r.First {
			list = append(list, r)
		}
	}
	return list, nil
}

// lastRecorded finds the last entry from first to last that was recorded by a moment: recorded never runs back.
func (b *Book) lastRecorded(ctx context.Context, origin string, first, last, known int64) (int64, error) {
	for first <= last {
		middle := (first + last) / 2
		h, err := b.Entry(ctx, b.refs.of(origin, middle), nil)
		if err != nil {
			return 0, err
		}
		if h.Recorded.Unix() <= known {
			first = middle + 1
		} else {
			last = middle - 1
		}
	}
	return last, nil
}
