package store

import (
	"context"
	"strings"

	"example.org/ringtrue/store/ledger"
)

// Rebuild empties the derived tables and fills them again from the entries, in one transaction, and puts back
// triggers that are gone. It refuses a book with a damaged entry, because the rows could not be filled whole. It
// returns the number of entries read.
func (b *Book) Rebuild(ctx context.Context) (entries int64, err error) {
	err = b.Batch(ctx, func() error {
		for _, empty := range []string{`DELETE FROM fact`, `DELETE FROM struck`} {
			if err := b.exec(ctx, empty); err != nil {
				return err
			}
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
		return b.restoreTriggers(ctx)
	})
	return entries, err
}

// rebuildOrigin reads on a connection of its own, because the writing one is busy with the transaction.
func (b *Book) rebuildOrigin(ctx context.Context, origin string) (n int64, err error) {
	reader, err := b.Further(ctx)
	if err != nil {
		return 0, err
	}
	for row, err := range reader.Rows(ctx, origin, 1, 0) {
		if err != nil {
			return n, err
		}
		if ledger.Leaf(row.Body) != row.Leaf {
			return n, b.damagedEntry(b.refs.of(origin, row.Seq))
		}
		if err := b.keepFacts(ctx, row.Body); err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

// restoreTriggers takes the trigger statements out of the schema and runs those whose trigger is gone.
func (b *Book) restoreTriggers(ctx context.Context) error {
	for part := range strings.SplitSeq(schema, "CREATE TRIGGER ") {
		text, ok := strings.CutPrefix(part, "entry_")
		if !ok {
			continue
		}
		text = text[:strings.Index(text, "END;")+len("END;")]
		if err := b.exec(ctx, "CREATE TRIGGER IF NOT EXISTS entry_"+text); err != nil {
			return err
		}
	}
	return nil
}
