package units_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/units"
)

func TestASpanIsSaidInTheUnitTyped(t *testing.T) {
	for _, c := range []struct {
		text      string
		dim       units.Dimension
		low, high float64
		says      string
	}{
		{"120%", units.Share, 0, 100, "0 to 100 %"}, {"30h", units.Time, 0, 43200, "0 to 12 h"}, {"900min", units.Time, 0, 43200, "0 to 720 min"},
		{"400m", units.Length, 0.1, 60, "0.1 to 60 m"}, {"1000ft", units.Length, 0, 60, "0 to 197 ft"}, {"900F", units.Temperature, -60, 55, "-76 to 131 F"},
		{"800%", units.Slope, 0, 300, "0 to 300 %"}, {"80deg", units.Slope, 0, 300, "0 to 71.6 deg"}, {"13", units.Count, 0, 12, "0 to 12"},
		{"225cm", units.Length, 0.1, 0.5, "10 to 50 cm"},
	} {
		q, err := units.Parse(c.text, c.dim)
		require.NoError(t, err)
		require.Equal(t, c.says, units.Span(c.low, c.high, q), c.text)
	}
}

// Of is the way back from SI, for every unit of every dimension.
func TestOfUndoesSI(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(dimensions).Draw(t, "dimension")
		unit := rapid.SampledFrom(units.List(d)).Draw(t, "unit")
		v := rapid.Float64Range(-80, 80).Draw(t, "value")
		back := units.Of(units.Quantity{Value: v, Unit: unit, Dim: d}.SI(), d, unit)
		require.InDelta(t, v, back.Value, 1e-6)
		require.Equal(t, unit, back.Unit)
	})
}

func TestAWrongUnitIsSaidInPlainWords(t *testing.T) {
	for text, c := range map[string]struct {
		dim  units.Dimension
		says string
	}{
		"55C": {units.Share, `"C" does not stand behind a percentage; write for example 2%`}, "25km/h": {units.Count, `"km/h" does not stand behind a plain number; write for example 3`},
		"0.9m": {units.Burn, `"m" is not a unit of fuel burnt in an hour; use L/h, gal/h, mL/h`}, "5m/s": {units.Acceleration, `"m/s" is not a unit of vibration; use ft/s2, m/s2`},
		"350m": {units.Mass, `"m" is not a unit of weight`}, "9000m": {units.Rotation, `"m" is not a unit of turning speed`},
	} {
		_, err := units.Parse(text, c.dim)
		require.ErrorContains(t, err, c.says)
	}
}
