package kickback

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Weights as set for what can be known at 06:30 (company choice on the strengths of the sources).
func TestWeights(t *testing.T) {
	want := map[string]int{HiddenBase: 3, LargestStem: 2, BentStems: 2, CloseRight: 1, TiredHurried: 2, DullBlade: 2, FixedThrottle: 2, MissedLook: 2}
	got := map[string]int{}
	for _, f := range Factors() {
		got[f.ID] = f.Weight
		require.NotEmpty(t, f.Source, f.ID)
		require.NotEmpty(t, f.Away+f.Technical+f.Organised, "something can be done about %s", f.ID)
	}
	require.Equal(t, want, got)
}

func TestFactorsAreACopy(t *testing.T) {
	Factors()[0].Weight = 0
	require.Equal(t, 3, Factors()[0].Weight)
}
