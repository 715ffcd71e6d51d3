package store

import (
	"context"
	"fmt"
)

// upgrade adds to an older book the tables that it lacks, in the transaction that is the first to write to it: a book
// that is only read stays as it is, and so does one in which nothing was written after all.
func (b *Book) upgrade(ctx context.Context) error {
	if b.version == version {
		return nil
	}
	// Another program may have done it since the book was opened.
	if err := b.one(ctx, []any{&b.version}, `PRAGMA user_version`); err != nil {
		return err
	}
	for ; b.version < version; b.version++ {
		next := b.version + 1
		if err := b.script(ctx, added[next]+fmt.Sprintf(`PRAGMA user_version = %d`, next)); err != nil {
			return err
		}
	}
	return nil
}
