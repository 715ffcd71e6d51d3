package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"example.org/ringtrue/store/ledger"
)

// Kinds of entries about devices and their ledgers.
const (
	KindDevice   = "device"   // the key with which the device of this ledger signs seals
	KindSighting = "sighting" // another device's head, as this device saw it
)

// DeviceRecord names the verifier key of the ledger that it stands in.
type DeviceRecord struct {
	Verifier string `json:"verifier"`
}

// DeviceKey gives this device's key, its seed and its verifier key; ok is false where it has none yet.
func (b *Book) DeviceKey(ctx context.Context) (seed []byte, verifier string, ok bool, err error) {
	if b.version < keyVersion {
		return nil, "", false, nil
	}
	err = b.one(ctx, []any{&seed, &verifier}, `SELECT seed, verifier FROM device_key`)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, "", false, nil
	}
	if err != nil {
		return nil, "", false, err
	}
	if own, kerr := ledger.VerifierOf(b.origin, seed); kerr != nil || own != verifier {
		return nil, "", false, &UnusableError{Damaged: true, What: "the key of this device is damaged", Next: restoreNext}
	}
	return seed, verifier, true, nil
}

// keyVersion of the tables brought private keys.
const keyVersion = 2

// EnsureDeviceKey makes the key of this device and records its verifier key, unless there is one. The seed stays
// beside the ledger.
func (b *Book) EnsureDeviceKey(ctx context.Context, now time.Time, random io.Reader) error {
	return b.Batch(ctx, func() error {
		if _, _, ok, err := b.DeviceKey(ctx); ok || err != nil {
			return err
		}
		named, err := b.Verifiers(ctx, b.origin)
		if err != nil {
			return err
		}
		if len(named) > 0 {
			return &UnusableError{What: keyLost, Next: keyLostNext}
		}
		seed, verifier, err := ledger.NewKey(b.origin, random)
		if err != nil {
			return err
		}
		if err := b.exec(ctx, `INSERT INTO device_key VALUES (1, ?, ?)`, seed, verifier); err != nil {
			return err
		}
		_, err = b.Append(ctx, now, []ledger.Entry{{Kind: KindDevice, Happened: now.In(b.zone).Truncate(time.Second), Data: DeviceRecord{verifier}}})
		return err
	})
}

// Verifiers gives the verifier keys that a ledger's own entries name, in order.
func (b *Book) Verifiers(ctx context.Context, origin string) (keys []string, err error) {
	facts, err := b.Topic(ctx, everKnown, Everything, KindDevice)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		var rec DeviceRecord
		h, err := b.Entry(ctx, f.Entry, &rec)
		if err != nil {
			return nil, err
		}
		if h.Origin == origin && !slices.Contains(keys, rec.Verifier) {
			keys = append(keys, rec.Verifier)
		}
	}
	return keys, nil
}

// Leaves gives the leaf hashes of entries 1 to last of a ledger (0: all), from the bytes of its entries. It refuses a
// ledger that is damaged up to there.
func (b *Book) Leaves(ctx context.Context, origin string, last int64) (ledger.Leaves, error) {
	var leaves ledger.Leaves
	for row, err := range b.Rows(ctx, origin, 1, last) {
		if err != nil {
			return nil, err
		}
		leaf := ledger.Leaf(row.Body)
		if leaf != row.Leaf || row.Seq != int64(len(leaves))+1 {
			return nil, &UnusableError{Damaged: true, What: fmt.Sprintf("entry %s of the book is damaged or missing", ledger.Ref(origin, int64(len(leaves))+1)), Next: verifyNext}
		}
		leaves = append(leaves, leaf)
	}
	return leaves, nil
}

// Seal signs the head of this device's ledger as it is now. The device must have its key.
func (b *Book) Seal(ctx context.Context) (ledger.Seal, ledger.Leaves, error) {
	var s ledger.Seal
	seed, _, ok, err := b.DeviceKey(ctx)
	if err == nil && !ok {
		err = errors.New("this device has no key yet")
	}
	if err != nil {
		return s, nil, err
	}
	leaves, err := b.Leaves(ctx, b.origin, 0)
	if err != nil {
		return s, nil, err
	}
	s, err = ledger.Sign(ledger.Head{Origin: b.origin, Size: int64(len(leaves)), Root: leaves.Root()}, seed)
	return s, leaves, err
}

// SealOf gives the seal of a head as this book can: signed now for this device's own ledger, as some device saw it for
// another one. The seal is empty where there is none. It writes nothing.
func (b *Book) SealOf(ctx context.Context, h ledger.Head) (ledger.Seal, error) {
	if h.Origin != b.origin {
		return b.seenSeal(ctx, h)
	}
	seed, _, ok, err := b.DeviceKey(ctx)
	if err != nil || !ok {
		return ledger.Seal{}, err
	}
	return ledger.Sign(h, seed)
}

// seenSeal finds the seal of a head of another ledger among what the devices of the book have seen.
func (b *Book) seenSeal(ctx context.Context, h ledger.Head) (ledger.Seal, error) {
	list, err := b.sightings(ctx, "")
	for _, s := range list {
		if s.Head == h && s.Line != "" {
			return s.seal()
		}
	}
	return ledger.Seal{}, err
}
