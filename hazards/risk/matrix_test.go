package risk

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

// MIL-STD-882E (11 May 2012), Table III, all 24 cells.
func TestMatrixTable(t *testing.T) {
	rows := published.Table(t, "milstd882e_matrix.csv")
	for _, row := range rows {
		l, err := Of(row.Int("severity_category"), row.Text("probability_level")[0])
		require.NoError(t, err, row)
		require.Equal(t, row.Text("risk_level"), l.String(), row)
	}
	require.Len(t, rows, 24)
}

func TestMatrixNeverEasesWithChanceOrHarm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.IntRange(1, 3).Draw(t, "severity")
		p := rapid.ByteRange('A', 'E').Draw(t, "probability")
		l, err := Of(s, p)
		require.NoError(t, err)
		milder, err := Of(s+1, p)
		require.NoError(t, err)
		rarer, err := Of(s, p+1)
		require.NoError(t, err)
		require.True(t, milder <= l && rarer <= l)
	})
}

func TestMatrixRefusesWhatItDoesNotHold(t *testing.T) {
	for _, bad := range []struct {
		severity    int
		probability byte
	}{{0, 'A'}, {5, 'A'}, {1, 'G'}, {1, 'a'}, {-1, 0}} {
		_, err := Of(bad.severity, bad.probability)
		require.Error(t, err, bad)
	}
	require.Equal(t, "level 9", Level(9).String())
}
