package slope

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

// Tobler's published speed on the flat, 5.04 km/h: a kilometre on a level path takes 11.9 minutes, whatever the ground beside it.
func TestPathMinutes(t *testing.T) {
	for _, row := range published.Table(t, "tobler.csv") {
		if row.Float("slope_deg") == 0 {
			require.InEpsilon(t, 60/row.Float("speed_kmh"), PathMinutes(1000), 0.006, row)
			require.InEpsilon(t, 30/row.Float("speed_kmh"), PathMinutes(500), 0.006, row)
		}
	}
	require.Zero(t, PathMinutes(0))
}

// Naismith 1892: 5 km and 600 m of climb take two hours, more than Tobler's 98 minutes on that slope.
func TestWalkMinutesTakesTheLonger(t *testing.T) {
	require.InDelta(t, 120, WalkMinutes(5000, 600), 1e-9)
	require.InDelta(t, 60000/5000.0, WalkMinutes(1000, 0), 1e-9, "5 km/h on the flat, a little slower than Tobler's 5.04")
	require.Zero(t, WalkMinutes(0, 0))
	rapid.Check(t, func(t *rapid.T) {
		m, c := rapid.Float64Range(100, 5000).Draw(t, "metres"), rapid.Float64Range(0, 500).Draw(t, "climb")
		require.GreaterOrEqual(t, WalkMinutes(m, c), NaismithMinutes(m, c))
		require.GreaterOrEqual(t, WalkMinutes(m, c+10), WalkMinutes(m, c))
	})
}

func TestCarryMinutes(t *testing.T) {
	require.InDelta(t, 60, CarryMinutes(600, 0.6), 1e-9)
	require.InDelta(t, 5040/60.0*30, MetresOf(30), 5, "5.04 km/h on the flat (Tobler, published)")
}
