package stand

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Two-sided 95 % points of Student's t as every printed table has them (from memory, three decimals).
func TestStudentQuantilesAsPrinted(t *testing.T) {
	for freedom, want := range map[int]float64{
		1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 6: 2.447, 7: 2.365, 8: 2.306, 9: 2.262, 10: 2.228,
		11: 2.201, 12: 2.179, 15: 2.131, 20: 2.086, 24: 2.064, 29: 2.045, 30: 2.042, 40: 2.021, 60: 2.000, 120: 1.980,
	} {
		require.InDelta(t, want, T95(freedom), 0.0005, freedom)
	}
	require.InDelta(t, 1.95996, T95(100001), 0.0001) // the normal distribution, in the end
}

// Small degrees of freedom have closed forms: tan(0.475 π) for one, and 1.9/√(2(1-0.95²)) for two.
func TestStudentQuantilesInClosedForm(t *testing.T) {
	require.InDelta(t, math.Tan(0.475*math.Pi), T95(1), 1e-9)
	require.InDelta(t, 0.95*math.Sqrt(2/(1-0.95*0.95)), T95(2), 1e-9)
}

// 12, 9 and 14 stems on 50 m²: mean 35/3, variance 19/3; by hand with t = 4.302653 for two degrees of freedom.
func TestStemsByHand(t *testing.T) {
	e, err := Stems([]int{12, 9, 14}, 50)
	require.NoError(t, err)
	half := 4.302653 * math.Sqrt(19.0/9) * 200
	require.InDelta(t, 7000.0/3, e.PerHectare, 1e-9)
	require.InDelta(t, 7000.0/3-half, e.Low, 0.01)
	require.InDelta(t, 7000.0/3+half, e.High, 0.01)
}

func TestOnePlotHasNoSpread(t *testing.T) {
	e, err := Stems([]int{12}, 50)
	require.NoError(t, err)
	require.Equal(t, Estimate{PerHectare: 2400}, e)
}

func TestStemsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.IntRange(0, 200), 2, 30).Draw(t, "counts")
		area := rapid.Float64Range(5, 500).Draw(t, "area")
		e, err := Stems(counts, area)
		require.NoError(t, err)
		require.InDelta(t, 2*e.PerHectare, e.Low+e.High, 1e-6*(1+e.PerHectare))
		twice, err := Stems(append(counts, counts...), area)
		require.NoError(t, err)
		require.LessOrEqual(t, twice.High-twice.Low, e.High-e.Low+1e-9, "more plots, narrower")
	})
}

func TestStemsRefusals(t *testing.T) {
	_, err := Stems(nil, 0)
	require.ErrorContains(t, err, "no plots")
	require.ErrorContains(t, err, "a plot of 0 m²")
	_, err = Stems([]int{3, -1}, 50)
	require.ErrorContains(t, err, "plot 2 has -1 stems")
}
