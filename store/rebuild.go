package store

import (
	"context"

	"example.org/ringtrue/store/ledger"
)

// Rebuild makes the derived tables anew and fills them from the entries, in one transaction, and puts the triggers
// back as they should be. It refuses a book with a damaged entry, because the rows could not be filled whole. It
// returns the number of entries read. Refs given out before are void, because the numbers of origins are new.
func (b *Book) Rebuild(ctx context.Context) (entries int64, err error) {
	err = b.Batch(ctx, func() error {
		if err := b.emptyDerived(ctx); err != nil {
			return err
		}
		origins, err := b.Origins(ctx)
		if err != nil {
			return err
		}
		for _, o := range origins {
			n, err := b.rebuildOrigin(ctx, o)
			if err != nil {
				return err
			}
			entries += n
		}
		return b.restoreGuards(ctx)
	})
	return entries, err
}

func (b *Book) emptyDerived(ctx context.Context) error {
	if err := b.script(ctx, dropDerived+derivedTables); err != nil {
		return err
	}
	b.refs, b.strikes = newRefs(nil), nil
	clear(b.parts)
	b.refs.number(b.origin)
	return nil
}

func (b *Book) rebuildOrigin(ctx context.Context, origin string) (n int64, err error) {
	chain := ledger.NewChain(origin, 1)
	for row, err := range b.Rows(ctx, origin, 1, 0) {
		if err != nil {
			return n, err
		}
		h, _ := chain.Add(row)
		if len(chain.Findings) > 0 {
			return n, b.damagedEntry(b.refs.of(origin, chain.Findings[0].Seq))
		}
		derived, err := deriver{b.zone, b.refs}.derive(h)
		if err == nil {
			err = b.keep(ctx, derived)
		}
		if err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

func (b *Book) restoreGuards(ctx context.Context) error {
	for _, g := range guards {
		if err := b.script(ctx, "DROP TRIGGER IF EXISTS "+g.name+"; "+g.text); err != nil {
			return err
		}
	}
	return nil
}
