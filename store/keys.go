package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// Keys gathers every key that the book's ledgers announce and where they ended.
func (b *Book) Keys(ctx context.Context) (*ledger.Keys, error) {
	keys := ledger.NewKeys()
	for _, kind := range []string{ledger.KindKey, ledger.KindKeyEnd} {
		facts, err := b.Topic(ctx, everKnown, Everything, kind)
		if err != nil {
			return nil, err
		}
		for _, f := range facts {
			h, err := b.Entry(ctx, f.Entry, nil)
			if err != nil {
				return nil, err
			}
			if err := keys.Take(h); err != nil {
				return nil, b.unreadable(f.Entry, err)
			}
		}
	}
	return keys, nil
}

// everKnown asks for all that the book knows.
var everKnown = training.Asked{On: 1<<62 - 1, Known: 1<<62 - 1}

// Rostered is what the company said of a key.
type Rostered struct {
	Entry training.Ref
	ledger.Roster
}

// Roster lists what the company said of keys, in order.
func (b *Book) Roster(ctx context.Context) (list []Rostered, err error) {
	facts, err := b.Topic(ctx, everKnown, Everything, ledger.KindRoster)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		one := Rostered{Entry: f.Entry}
		if _, err := b.Entry(ctx, f.Entry, &one.Roster); err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// CheckSignature says why the signature of an entry cannot be trusted, or nil; for an entry that is not signed and need
// not be, too.
func (b *Book) CheckSignature(ctx context.Context, keys *ledger.Keys, ref training.Ref) error {
	row, err := b.row(ctx, ref)
	if err != nil {
		return err
	}
	h, err := ledger.ReadHeader(row.Body)
	if err != nil {
		return b.damagedEntry(ref)
	}
	return keys.Check(h, row.Body, row.Sig)
}

// KeepSealed keeps a person's private key, sealed, under the key's name. It belongs into one batch with the entry
// that announces the key.
func (b *Book) KeepSealed(ctx context.Context, key, armoured string) error {
	return b.exec(ctx, `INSERT INTO sealed VALUES (?, ?)`, key, armoured)
}

// Sealed gives a sealed private key by its name; ok is false where this book does not hold it: it was made on another
// device, or the book is of a version that held none.
func (b *Book) Sealed(ctx context.Context, key string) (armoured string, ok bool, err error) {
	if b.version < 2 {
		return "", false, nil
	}
	err = b.one(ctx, []any{&armoured}, `SELECT armoured FROM sealed WHERE key = ?`, key)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	if err != nil {
		return "", false, fmt.Errorf("read the sealed key %s: %w", key, err)
	}
	return armoured, true, nil
}
