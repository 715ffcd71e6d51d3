package store

import (
	"context"
	"slices"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// trust remembers whose signatures were found good or not, with the keys they were held against. Entries never change; keys do
// with what is appended and taken, so it is forgotten with every batch.
type trust struct {
	keys *ledger.Keys
	why  map[training.Ref]string
}

// permitting are the facts by which somebody is let to work, or counts as taught. What stops is never looked at here: a stop stops,
// whatever its signature is worth.
var permitting = []training.FactKind{training.FactSignOff, training.FactLift, training.FactRelease, training.FactCredit, training.FactAttendance}

// permittingTopics are those of facts without a kind of their own.
var permittingTopics = []string{training.KindAppointment, training.KindOrientation}

// weigh marks what permits and carries a signature that is not trusted. A decision counts like one whose evidence is struck, so that
// answers can say why; anything else counts as struck. In a book that knows no keys nothing is signed, and nothing is looked at.
func (b *Book) weigh(ctx context.Context, topics Topics) error {
	for topic, list := range topics {
		for i := range list {
			f := &list[i]
			if f.Struck || !slices.Contains(permitting, f.Kind) && !slices.Contains(permittingTopics, topic) {
				continue
			}
			why, err := b.Distrusted(ctx, f.Entry)
			if err != nil {
				return err
			}
			f.Untrusted = why != ""
			f.Void = f.Void || f.Untrusted
			f.Struck = f.Untrusted && f.Kind != training.FactSignOff && f.Kind != training.FactLift && f.Kind != training.FactRelease
		}
	}
	return nil
}

// Distrusted says why the signature of an entry cannot be trusted, "" where it can, or where nothing is signed.
func (b *Book) Distrusted(ctx context.Context, ref training.Ref) (string, error) {
	if why, known := b.trust.why[ref]; known {
		return why, nil
	}
	if b.trust.keys == nil {
		keys, err := b.Keys(ctx)
		if err != nil {
			return "", err
		}
		b.trust = trust{keys, map[training.Ref]string{}}
	}
	if len(b.trust.keys.All()) == 0 {
		return "", nil
	}
	row, err := b.row(ctx, ref)
	if err != nil {
		return "", err
	}
	h, err := ledger.ReadHeader(row.Body)
	if err != nil {
		return "", b.damagedEntry(ref)
	}
	why := ""
	if err := b.trust.keys.Check(h, row.Body, row.Sig); err != nil {
		why = err.Error()
	}
	b.trust.why[ref] = why
	return why, nil
}
