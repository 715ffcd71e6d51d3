package agree

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

// Cohen's kappa: two teaching pages and the prevalence example, at their printed decimals.
func TestKappaTable(t *testing.T) {
	for _, row := range published.Table(t, "kappa.csv") {
		a, err := Cohen(Table{row.Int("a_yy"), row.Int("a_yn"), row.Int("a_ny"), row.Int("a_nn")})
		require.NoError(t, err, row)
		half := 0.5*math.Pow(10, -row.Float("decimals")) + 1e-9
		require.True(t, a.Defined)
		require.InDelta(t, row.Float("po"), a.Observed, 0.005+1e-9, row)
		require.InDelta(t, row.Float("pe"), a.Expected, 0.005+1e-9, row)
		require.InDelta(t, row.Float("kappa"), a.Kappa, half, row)
	}
}

// Newcombe 1998, Statistics in Medicine 17:857-872, Table I, to four decimals.
func TestWilsonTable(t *testing.T) {
	for _, row := range published.Table(t, "wilson.csv") {
		low, high, err := Wilson(row.Int("x"), row.Int("n"))
		require.NoError(t, err, row)
		require.InDelta(t, row.Float("lower"), low, 5.01e-5, row)
		require.InDelta(t, row.Float("upper"), high, 5.01e-5, row)
	}
}

func TestKappaIsNotDefinedWhereChanceAlwaysAgrees(t *testing.T) {
	for _, table := range []Table{{YesYes: 7}, {NoNo: 7}} {
		a, err := Cohen(table)
		require.NoError(t, err)
		require.Equal(t, Agreement{Observed: 1, Expected: 1}, a)
	}
	a, err := Cohen(Table{YesNo: 5})
	require.NoError(t, err)
	require.Equal(t, Agreement{Defined: true}, a)
}

func TestKappaRefusals(t *testing.T) {
	_, err := Cohen(Table{YesYes: -1, NoNo: -2})
	require.ErrorContains(t, err, "yes-yes is -1")
	require.ErrorContains(t, err, "no-no is -2")
	_, err = Cohen(Table{})
	require.ErrorContains(t, err, "no case")
}

// Kappa never exceeds 1, is 1 for full agreement, and does not change when the observers or the words swap places.
func TestKappaProperties(t *testing.T) {
	count := rapid.IntRange(0, 1000)
	rapid.Check(t, func(t *rapid.T) {
		table := Table{count.Draw(t, "yy") + 1, count.Draw(t, "yn"), count.Draw(t, "ny"), count.Draw(t, "nn") + 1}
		a, err := Cohen(table)
		require.NoError(t, err)
		require.True(t, a.Defined && a.Kappa <= 1 && a.Kappa >= -1)
		for _, same := range []Table{{table.YesYes, table.NoYes, table.YesNo, table.NoNo}, {table.NoNo, table.NoYes, table.YesNo, table.YesYes}} {
			b, err := Cohen(same)
			require.NoError(t, err)
			require.InDelta(t, a.Kappa, b.Kappa, 1e-9)
		}
		whole, err := Cohen(Table{YesYes: table.YesYes, NoNo: table.NoNo})
		require.NoError(t, err)
		require.InDelta(t, 1, whole.Kappa, 1e-9)
	})
}

// The interval lies in 0 to 1 around the share, and that of the failures is its mirror image.
func TestWilsonProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 5000).Draw(t, "trials")
		x := rapid.IntRange(0, n).Draw(t, "successes")
		low, high, err := Wilson(x, n)
		require.NoError(t, err)
		p := float64(x) / float64(n)
		require.True(t, low >= 0 && high <= 1 && low <= p && p <= high)
		other, mirror, err := Wilson(n-x, n)
		require.NoError(t, err)
		require.InDelta(t, low, 1-mirror, 1e-9)
		require.InDelta(t, high, 1-other, 1e-9)
	})
	for _, bad := range [][2]int{{1, 0}, {-1, 5}, {6, 5}} {
		_, _, err := Wilson(bad[0], bad[1])
		require.Error(t, err)
	}
}
