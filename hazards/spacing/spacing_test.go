package spacing

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/published"
)

func starter(t require.TestingT) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// Published stand-off and thrown-object distances: each row as the one floor. Rows in metres and feet win over
// the starter stand-off only where they are larger; the row in tree lengths counts the stem.
func TestPublishedStandOff(t *testing.T) {
	h := starter(t)
	for _, row := range published.Table(t, "stand_off.csv") {
		f := house.Floor{Key: house.StandOff, Value: row.Text("distance") + row.Text("unit"), Clause: row.Text("source"), Kind: house.Binding}
		tallest, want := 1.0, 20.0 // the starter stand-off
		if row.Text("unit") == "tree lengths" {
			f.Key, f.Value, tallest, want = house.TreeLengths, row.Text("distance"), 15, 30
		}
		metres, ok := f.SI()
		require.True(t, ok, "%s", row)
		n := Needed(tallest, h.Under([]house.Floor{f}))
		require.InDelta(t, max(want, metres), n.Metres, 1e-9, "%s", row)
		require.Equal(t, metres > want, strings.HasPrefix(n.Why, "stand-off, floor of stand-off, at least "+f.Value+" ("+f.Clause), "%s", row)
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
		under := h.Under([]house.Floor{
			{Key: house.StandOff, Value: fmt.Sprintf("%dm", rapid.IntRange(1, 60).Draw(t, "metres")), Kind: house.Binding},
			{Key: house.TreeLengths, Value: fmt.Sprint(rapid.IntRange(1, 4).Draw(t, "lengths")), Kind: house.Binding},
		})
		require.GreaterOrEqual(t, Needed(tallest, under).Metres, Needed(tallest, h).Metres)
		require.GreaterOrEqual(t, Needed(tallest+1, under).Metres, Needed(tallest, under).Metres)
	})
}
