package wires

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The three rows of B.C. Reg. 296/97 Table 19-1A: 3 m to 75 kV, 4.5 m to 250 kV, 6 m to 550 kV. At a limit the row that ends there holds.
func TestReview07LimitsOfTable191A(t *testing.T) {
	for _, row := range []struct{ kilovolts, metres float64 }{
		{0.12, 3}, {0.75, 3}, {14.4, 3}, {75, 3}, {75.001, 4.5}, {138, 4.5}, {250, 4.5}, {287, 6}, {500, 6}, {550, 6}, {735, 6},
	} {
		require.InDelta(t, row.metres, LimitOf(row.kilovolts*1000, true), 0, "%v kV", row.kilovolts)
	}
	require.InDelta(t, 6, LimitOf(0, false), 0, "unknown counts as the largest")
	for i, l := range Limits()[1:] {
		require.InDelta(t, Limits()[i].UpTo, l.Over, 0, "no gap")
	}
}

// Two lengths and the limit: a stem of 4 m beside a line of 25 kV needs 11 m, beside one that nobody knows 14 m.
func TestReview07TwoLengthsAndTheLimit(t *testing.T) {
	require.InDelta(t, 11, Needed(4, LimitOf(25e3, true)), 1e-9)
	require.InDelta(t, 14, Needed(4, LimitOf(0, false)), 1e-9)
}
