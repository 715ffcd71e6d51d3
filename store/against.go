package store

import (
	"context"
	"fmt"

	"example.org/ringtrue/store/ledger"
)

// Difference is where a ledger of the book stops being what was sealed. Seq is the first entry that is known to
// differ, 0 where the seal alone, without the leaf hashes sealed then, cannot tell which one it is.
type Difference struct {
	Seq  int64
	What string
}

// Compare looks whether the book still holds everything that a head covers, from the bytes of the entries, and names
// the first difference. It returns nil where everything is there. sealed are the leaf hashes of that time, nil where
// nobody kept them. What came later makes no difference.
func (b *Book) Compare(ctx context.Context, h ledger.Head, sealed ledger.Leaves) (*Difference, error) {
	var roots ledger.Roots
	last := h.Size
	if last == 0 {
		return nil, nil
	}
	for row, err := range b.Rows(ctx, h.Origin, 1, last) {
		if err != nil {
			return nil, err
		}
		seq := roots.Size() + 1
		if row.Seq != seq {
			return &Difference{seq, "the entry is missing"}, nil
		}
		leaf := ledger.Leaf(row.Body)
		if seq <= int64(len(sealed)) && sealed[seq-1] != leaf {
			return &Difference{seq, "the entry is not the one that was sealed"}, nil
		}
		roots.Add(leaf)
	}
	switch {
	case roots.Size() < last && roots.Size() == 0:
		return &Difference{1, fmt.Sprintf("the book holds nothing of the ledger %s, of which %d entries were sealed", h.Origin, last)}, nil
	case roots.Size() < last:
		return &Difference{roots.Size() + 1, fmt.Sprintf("the entry is missing: the ledger ends before it, and %d entries were sealed", last)}, nil
	case roots.Root() != h.Root:
		return &Difference{0, fmt.Sprintf("the first %d entries are not those that were sealed; only the sheet of leaf hashes of a workbook tells which one differs", last)}, nil
	}
	return nil, nil
}
