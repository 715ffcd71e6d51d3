package stand

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Plots of the trade: 50 m² have a radius of 3.99 m (π·3.99² = 50.0), 100 m² one of 5.64 m; one stem on them is 200 and 100 stems/ha.
func TestPlotGeometry(t *testing.T) {
	require.InDelta(t, 3.99, Radius(50), 0.005)
	require.InDelta(t, 50.0, math.Pi*3.99*3.99, 0.05)
	require.InDelta(t, 5.64, Radius(100), 0.005)
	for area, perStem := range map[float64]float64{50: 200, 100: 100} {
		e, err := Stems([]int{1}, area)
		require.NoError(t, err)
		require.InDelta(t, perStem, e.PerHectare, 1e-9)
	}
}

// 2 500 stems/ha are 2.0 m apart, 1 300 are 2.8 m (Swedish stem table).
func TestSpacingAsPrinted(t *testing.T) {
	require.InDelta(t, 2.0, Spacing(2500), 0.05)
	require.InDelta(t, 2.8, Spacing(1300), 0.05)
	require.InDelta(t, 2500, Density(2), 1e-9)
	require.InDelta(t, 2.149, Triangular(2500), 0.0005) // by hand: √(2/√3 · 4)
}

// By hand: at 100 % the slope is 45 degrees, cos 45° = 0.70711, and 3.9894 m become 3.9894/√0.70711 = 4.7443 m.
func TestRadiusOnASlope(t *testing.T) {
	require.InDelta(t, 3.9894, SlopeRadius(50, 0), 0.00005)
	require.InDelta(t, 4.7443, SlopeRadius(50, 100), 0.0001)
	rapid.Check(t, func(t *rapid.T) {
		area := rapid.Float64Range(5, 500).Draw(t, "area")
		percent := rapid.Float64Range(0, 200).Draw(t, "slope")
		r := SlopeRadius(area, percent)
		require.InDelta(t, area, math.Pi*r*r*math.Cos(math.Atan(percent/100)), 1e-6*area, "on the map the plot keeps its area")
		require.InDelta(t, area, Density(Spacing(area)), 1e-6*area)
	})
}
