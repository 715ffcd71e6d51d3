package weather

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/published"
)

// 30 s from flash to thunder are 10.3 km (Canadian form, read) or 6 miles (5 s a mile, read).
func TestStormKm(t *testing.T) {
	require.InDelta(t, 10.3, StormKm(30), 0.05)
	require.InDelta(t, 6*1.609344, StormKm(30), 0.7)
	require.Zero(t, StormKm(0))
}

func TestForceOfIsTheTable(t *testing.T) {
	for _, row := range published.Table(t, "beaufort.csv") {
		f, ok := ForceOf(row.Int("force"))
		require.True(t, ok, row)
		require.Equal(t, row.Text("sign_near_trees"), f.Trees, row)
	}
	for _, none := range []int{-1, 13} {
		_, ok := ForceOf(none)
		require.False(t, ok)
	}
}
