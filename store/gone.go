package store

import (
	"context"
	"time"

	"example.org/ringtrue/training"
)

// KindGone says that nothing more is expected of another device: lost, broken, given away. What it recorded stays and
// counts, and what turns up of it later is taken.
const KindGone = "device-gone"

// GoneRecord names the ledger of the device.
type GoneRecord struct {
	Origin string `json:"origin"`
	Reason string `json:"reason"`
}

// State is what the book knows of one ledger.
type State struct {
	Own    bool
	Met    time.Time // when its device last stated its head, by its own clock; zero = never
	GoesOn []string  // ledgers restored in its place
	Gone   time.Time // since when nothing more is expected of it; zero = it is
	Reason string
	Entry  training.Ref // that says so
}

// Waits reports whether the device is expected to be met again.
func (s State) Waits() bool {
	return !s.Own && len(s.GoesOn) == 0 && (s.Gone.IsZero() || s.Met.After(s.Gone))
}

// States gives what is known of the ledgers in the book, by name.
func (b *Book) States(ctx context.Context) (map[string]State, error) {
	origins, err := b.Origins(ctx)
	if err != nil {
		return nil, err
	}
	replaced, err := b.replaced(ctx)
	if err != nil {
		return nil, err
	}
	selves := b.selves(replaced)
	seen, err := b.sightings(ctx, "")
	if err != nil {
		return nil, err
	}
	out := map[string]State{}
	for _, o := range origins {
		s := State{Own: o == b.origin}
		for _, next := range origins {
			if replaced[next] == o {
				s.GoesOn = append(s.GoesOn, next)
			}
		}
		for _, one := range seen {
			if one.Origin == o && selves[one.In.Origin] && one.At.After(s.Met) {
				s.Met = one.At
			}
		}
		out[o] = s
	}
	return out, b.gone(ctx, out)
}

// gone adds what entries say of devices of which nothing more is expected; the last one counts.
func (b *Book) gone(ctx context.Context, into map[string]State) error {
	facts, err := b.Topic(ctx, everKnown, Everything, KindGone)
	if err != nil {
		return err
	}
	for _, f := range facts {
		var rec GoneRecord
		h, err := b.Entry(ctx, f.Entry, &rec)
		if err != nil {
			return err
		}
		if s, ok := into[rec.Origin]; ok && !f.Struck {
			s.Gone, s.Reason, s.Entry = h.Happened, rec.Reason, f.Entry
			into[rec.Origin] = s
		}
	}
	return nil
}

// selves are this device's ledger and those in whose place it goes on.
func (b *Book) selves(replaced map[string]string) map[string]bool {
	selves := map[string]bool{b.origin: true}
	for old := replaced[b.origin]; old != "" && !selves[old]; old = replaced[old] {
		selves[old] = true
	}
	return selves
}
