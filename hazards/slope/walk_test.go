package slope

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
	"example.org/ringtrue/hazards/units"
)

// Percent and degrees; 15 and 30 degrees stand in a Canadian municipal steep-slope procedure (units swapped there).
func TestSlopeConversionTable(t *testing.T) {
	for _, row := range published.Table(t, "slope_conversion.csv") {
		require.InDelta(t, row.Float("percent"), units.PercentOfDegrees(row.Float("degrees")), 0.051, row)
		require.InDelta(t, row.Float("degrees"), units.DegreesOfPercent(row.Float("percent")), 0.051, row)
	}
}

// Tobler 1993, NCGIA TR 93-1, sample values of the hiking function.
func TestToblerTable(t *testing.T) {
	for _, row := range published.Table(t, "tobler.csv") {
		speed := Tobler(units.PercentOfDegrees(row.Float("slope_deg")))
		require.InDelta(t, row.Float("speed_kmh"), speed, 0.005, row)
		require.InDelta(t, row.Float("pace_s_per_m"), Pace(speed), 0.005, row)
	}
}

// Naismith 1892. The rows scarf_8to1 use another rule (climb counted as eight times its length) and are not reached
// by 5 km plus 600 m: they and only they differ.
func TestNaismithTable(t *testing.T) {
	reached := 0
	for _, row := range published.Table(t, "naismith.csv") {
		hours := NaismithMinutes(1000*row.Float("distance_km"), row.Float("ascent_m")) / 60
		if row.Text("rule") == "scarf_8to1" {
			require.Greater(t, hours, row.Float("hours")+0.05, row)
			continue
		}
		require.InDelta(t, row.Float("hours"), hours, 5e-5, row)
		reached++
	}
	require.Equal(t, 2, reached)
}

// Tobler's text: 5.04 km/h on the flat and 6 km/h, the fastest, at 5 % downhill.
func TestToblerIsFastestAFewPercentDown(t *testing.T) {
	require.InDelta(t, 5.04, Tobler(0), 0.005)
	require.InDelta(t, 6, Tobler(-5), 1e-12)
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(-300, 300).Draw(t, "percent")
		v := Tobler(p)
		require.True(t, v > 0 && v <= 6)
		require.InDelta(t, v, Tobler(-10-p), 1e-9, "the function is symmetric about 5 %% down")
	})
}

func TestWalkingTimesAddUp(t *testing.T) {
	require.InDelta(t, 60, ToblerMinutes(6000, -5), 1e-9)
	require.InDelta(t, 0, NaismithMinutes(0, 0), 0)
	require.InDelta(t, 12, NaismithMinutes(0, 120), 1e-9) // 120 m of climb alone
}
