package units_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/units"
)

// International yard and pound agreement of 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg. US gallon: 231 cubic inches.
// BIPM, The International System of Units, 9th edition, table 8: hour, minute, hectare, litre; nautical mile 1852 m.
// The acre is 4840 square yards. 300 kcal/h are 348.9 W in NIOSH 2016-106, worked example on p. 4 (read in a test source).
// The other values are from memory; the arithmetic from them is ours.
func TestConversionsByDefinition(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  units.Dimension
		si   float64
	}{
		{"3ft", units.Length, 0.9144}, {"36in", units.Length, 0.9144}, {"1mi", units.Length, 1760 * 0.9144}, {"12.5 cm", units.Length, 0.125},
		{"1lb", units.Mass, 0.45359237}, {"350g", units.Mass, 0.35}, {"1gal", units.Volume, 231 * 0.254 * 0.254 * 0.254},
		{"2h", units.Time, 7200}, {"-40F", units.Temperature, -40}, {"212F", units.Temperature, 100}, {"36km/h", units.Speed, 10},
		{"1kn", units.Speed, 1852.0 / 3600}, {"1mph", units.Speed, 1760 * 0.9144 / 3600}, {"9000rpm", units.Rotation, 150}, {"2ha", units.Area, 20000},
		{"1gal/h", units.Burn, 231 * 0.254 * 0.254 * 0.254}, {"1ft2", units.Area, 0.9144 * 0.9144 / 9}, {"1acre", units.Area, 4840 * 0.9144 * 0.9144},
		{"3ft/s2", units.Acceleration, 0.9144}, {"300kcal/h", units.Power, 348.9}, {"1stems/ac", units.Density, 10000 / (4840 * 0.9144 * 0.9144)},
		{"1000stems/acre", units.Density, 1000 * 10000 / (4840 * 0.9144 * 0.9144)}, {"2500stems/ha", units.Density, 2500},
		{"900mL/h", units.Burn, 0.9}, {"45deg", units.Slope, 100}, {"38%", units.Slope, 38}, {"3", units.Count, 3},
	} {
		q, err := units.Parse(c.text, c.dim)
		require.NoError(t, err, c.text)
		require.InEpsilon(t, c.si, q.SI(), 1e-12, c.text)
	}
}

func TestAWrongUnitIsNamed(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  units.Dimension
		says string
	}{
		{"38", units.Slope, "has no unit; write for example 38% or 21deg"}, {"38m", units.Slope, `"m" is not a unit of slope; use %, deg`},
		{"90deg", units.Slope, "degrees lie between -90 and 90"}, {"", units.Length, "is not a number with a unit"},
		{"NaNm", units.Length, "is not a number with a unit"}, {"1-2m", units.Length, "is not a number with a unit"},
		{"3km/h", units.Count, `"km/h" does not stand behind a plain number; write for example 3`}, {"2m2", units.Length, `"m2" is not a unit of length`}, {"1e400m", units.Length, "is not a unit of length"},
	} {
		_, err := units.Parse(c.text, c.dim)
		require.ErrorContains(t, err, c.says, c.text)
	}
	_, err := units.ParseAs("3m", "cubit")
	require.ErrorContains(t, err, `unknown unit "cubit"`)
}

var dimensions = []units.Dimension{units.Slope, units.Angle, units.Length, units.Time, units.Speed, units.Temperature, units.Mass, units.Volume,
	units.Burn, units.Rotation, units.Area, units.Power, units.Level, units.Acceleration, units.Share, units.Count, units.Months, units.Days, units.Points, units.Density}

func TestEveryDimensionHasAnExampleThatReads(t *testing.T) {
	for _, d := range dimensions {
		require.NotEmpty(t, units.Names(d)+units.Example(d), d)
	}
}

// What reads is finite, and written again it reads the same.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"38%", "21 deg", "-5deg", "0.9L/h", "1.5e3m", "12", "+.5km", "9000rpm"} {
		f.Add(s, 2)
	}
	f.Fuzz(func(t *testing.T, text string, i int) {
		d := dimensions[((i%len(dimensions))+len(dimensions))%len(dimensions)]
		q, err := units.Parse(text, d)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		require.False(t, math.IsNaN(q.SI()))
		again, err := units.Parse(q.String(), d)
		require.NoError(t, err)
		require.Equal(t, q, again)
	})
}
