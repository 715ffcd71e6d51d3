package workbook

import (
	"iter"
	"slices"
)

// Rows are made some way ahead of the one that is being written, on another core: so many batches of so many rows.
const (
	batchRows = 128
	batches   = 4
)

// made is a row with the cells it had when it was made; whoever makes rows may use one slice for all of them.
type made struct {
	cells []any
	err   error
}

// ahead gives the same rows, made in a goroutine of their own. It has ended when the last row was taken, or when no
// more are wanted.
func ahead(rows iter.Seq2[[]any, error]) iter.Seq2[[]any, error] {
	return func(yield func([]any, error) bool) {
		ready, enough := make(chan []made, batches), make(chan struct{})
		go makeRows(rows, ready, enough)
		for batch := range ready {
			for _, row := range batch {
				if !yield(row.cells, row.err) {
					close(enough)
					for range ready { // until it has ended
					}
					return
				}
			}
		}
	}
}

func makeRows(rows iter.Seq2[[]any, error], ready chan<- []made, enough <-chan struct{}) {
	defer close(ready)
	var batch []made
	hand := func() bool {
		select {
		case ready <- batch:
			batch = make([]made, 0, batchRows)
			return true
		case <-enough:
			return false
		}
	}
	for cells, err := range rows {
		batch = append(batch, made{slices.Clone(cells), err})
		if len(batch) == batchRows && !hand() {
			return
		}
	}
	if len(batch) > 0 {
		hand()
	}
}
