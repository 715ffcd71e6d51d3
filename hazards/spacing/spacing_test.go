package spacing

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/published"
	"example.org/ringtrue/hazards/units"
)

func starter(t require.TestingT) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// Published stand-off and thrown-object distances: each row as the one local limit. Rows in metres and feet win over
// the starter stand-off only where they are larger; the row in tree lengths counts the stem.
func TestPublishedStandOff(t *testing.T) {
	h := starter(t)
	for _, row := range published.Table(t, "stand_off.csv") {
		l := Limit{Source: row.Text("source")}
		want := 20.0 // starter stand-off
		if row.Text("unit") == "tree lengths" {
			l.TreeLengths, want = row.Float("distance"), 30 // of a 15 m stem
		} else {
			q, err := units.Parse(row.Text("distance")+row.Text("unit"), units.Length)
			require.NoError(t, err)
			l.Metres = q.SI()
		}
		tallest := map[bool]float64{true: 15, false: 1}[l.TreeLengths > 0]
		n := Needed(tallest, h, l)
		require.InDelta(t, max(want, l.Metres), n.Metres, 1e-9, "%s", row)
		require.Equal(t, l.Metres > want, n.Why == "stand-off, "+l.Source, "%s", row)
	}
}

func TestTheLargestWinsAndSaysWhy(t *testing.T) {
	h := starter(t)
	for _, c := range []struct {
		tallest float64
		metres  float64
		why     string
	}{
		{4, 20, "stand-off, house rule stand-off 20m"},
		{10, 20, "stand-off, house rule stand-off 20m"},
		{12.5, 25, "2 lengths of a 12.5 m stem, house rule tree-lengths 2"},
	} {
		n := Needed(c.tallest, h)
		require.InDelta(t, c.metres, n.Metres, 1e-9)
		require.Contains(t, n.Why, c.why)
		require.True(t, n.Measured)
		require.False(t, n.Short(c.metres))
		require.True(t, n.Short(c.metres-0.01))
	}
}

func TestUnknownTreeLengthIsSaid(t *testing.T) {
	n := Needed(0, starter(t))
	require.False(t, n.Measured)
	require.Contains(t, n.Why, "tree length not measured today")
	require.InDelta(t, 20, n.Metres, 0)
}

func TestMoreLimitsNeverBringPeopleNearer(t *testing.T) {
	h := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		tallest := rapid.Float64Range(0, 40).Draw(t, "tallest")
		l := Limit{Metres: rapid.Float64Range(0, 60).Draw(t, "metres"), TreeLengths: rapid.Float64Range(0, 4).Draw(t, "lengths")}
		require.GreaterOrEqual(t, Needed(tallest, h, l).Metres, Needed(tallest, h).Metres)
		require.GreaterOrEqual(t, Needed(tallest+1, h, l).Metres, Needed(tallest, h, l).Metres)
	})
}
