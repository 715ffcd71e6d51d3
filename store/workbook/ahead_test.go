package workbook

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
)

// count yields n rows in one slice, then an error if there is one, and says in ended that it was left.
func count(n int, last error, ended *bool) func(func([]any, error) bool) {
	return func(yield func([]any, error) bool) {
		defer func() { *ended = true }()
		row := make([]any, 1)
		for i := range n {
			row[0] = i
			if !yield(row, nil) {
				return
			}
		}
		if last != nil {
			yield(nil, last)
		}
	}
}

func TestRowsMadeAheadAreTheSameRows(t *testing.T) {
	wrong := errors.New("the last one is damaged")
	for _, n := range []int{0, 1, batchRows - 1, batchRows, batchRows + 1, 10 * batchRows} {
		ended, next := false, 0
		var failed error
		for cells, err := range ahead(count(n, wrong, &ended)) {
			if failed = err; err == nil {
				require.Equal(t, []any{next}, cells)
				next++
			}
		}
		require.Equal(t, n, next)
		require.Equal(t, wrong, failed)
		require.True(t, ended)
	}
}

func TestNoRowIsMadeAfterEnough(t *testing.T) {
	for _, want := range []int{1, batchRows, 3*batchRows + 5} {
		ended, got := false, 0
		for range ahead(count(1<<30, nil, &ended)) {
			if got++; got == want {
				break
			}
		}
		require.True(t, ended, "the maker has ended when the loop is left")
	}
}
