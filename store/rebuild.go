package store

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"example.org/ringtrue/store/ledger"
)

// Rebuild makes the derived tables anew and fills them from the entries, in one transaction, and puts the triggers
// back as they should be. It refuses a book with a damaged entry, because the rows could not be filled whole. It
// returns the number of entries read. Refs given out before are void, because the numbers of origins are new.
func (b *Book) Rebuild(ctx context.Context) (entries int64, err error) {
	err = b.Batch(ctx, func() error {
		if entries, err = b.refill(ctx); err != nil {
			return err
		}
		return b.restoreGuards(ctx)
	})
	return entries, err
}

// refill makes the derived tables anew. It goes through the ledgers by name, so that every book with the same entries
// gets the same rows, and facts that nothing else puts in order are in the same order in all of them.
func (b *Book) refill(ctx context.Context) (entries int64, err error) {
	origins, err := b.Origins(ctx)
	if err != nil {
		return 0, err
	}
	slices.Sort(origins)
	if err := b.emptyDerived(ctx, origins); err != nil {
		return 0, err
	}
	for _, o := range origins {
		n, err := b.rebuildOrigin(ctx, o)
		if err != nil {
			return entries, err
		}
		entries += n
	}
	return entries, nil
}

func (b *Book) emptyDerived(ctx context.Context, origins []string) error {
	drop := dropDerived
	var view string
	err := b.each(ctx, []any{&view}, func() error {
		drop = strings.Replace(drop, "DROP TABLE IF EXISTS "+view+";", "DROP VIEW "+view+";", 1)
		return nil
	}, `SELECT name FROM sqlite_schema WHERE type = 'view' AND name IN ('origin', 'fact', 'struck')`) // put in the place of a table
	if err == nil {
		err = b.script(ctx, drop+derivedTables)
	}
	if err != nil {
		return err
	}
	b.refs, b.strikes = newRefs(nil), nil
	clear(b.parts)
	for _, o := range origins {
		b.refs.number(o)
	}
	return nil
}

// numberable reports whether a ledger that has no number, or one that is not settled, can have the next one: it comes
// after all others by name.
func (b *Book) numberable(origin string) bool {
	if _, known := b.refs.byName[origin]; known {
		return true
	}
	return len(b.refs.names) == 0 || origin > slices.Max(b.refs.names)
}

// settle derives everything anew where it must: where entries wait for it, or where the numbers of the ledgers are not
// in the order of their names.
func (b *Book) settle(ctx context.Context, must bool) error {
	origins, err := b.Origins(ctx)
	if err != nil {
		return err
	}
	slices.SortFunc(origins, func(x, y string) int { return cmp.Compare(b.refs.byName[x], b.refs.byName[y]) })
	if !must && slices.IsSorted(origins) {
		return nil
	}
	_, err = b.refill(ctx)
	return err
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
