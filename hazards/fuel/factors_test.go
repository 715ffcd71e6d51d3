package fuel

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/published"
	"example.org/ringtrue/hazards/units"
)

func starter(t *testing.T) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// with returns the starter edition with one number changed.
func with(t *testing.T, key, value string) house.House {
	h := starter(t)
	for i := range h.Numbers {
		if h.Numbers[i].Key == key {
			h.Numbers[i].Value = value
		}
	}
	h, err := h.Ready()
	require.NoError(t, err)
	return h
}

func metres(t *testing.T, s string) float64 {
	q, err := units.Parse(s, units.Length)
	require.NoError(t, err)
	return q.SI()
}

// keyOf says which house rule a row of the table is about.
func keyOf(rule string) string {
	switch {
	case strings.HasPrefix(rule, "no smoking"):
		return house.FuelSmoking
	case strings.HasPrefix(rule, "fuel at least"):
		return house.FuelIgnition
	}
	return house.FuelStart
}

// Fuelling and restart separation for hand-held saws: the printed distance is enough, ten centimetres less is not.
func TestPublishedDistances(t *testing.T) {
	for _, row := range published.Table(t, "fuelling_distances.csv") {
		key, said := keyOf(row.Text("rule")), row.Text("value")+row.Text("unit")
		h := with(t, key, said)
		require.False(t, Near(metres(t, said), h, key), "%s", row)
		require.True(t, Near(metres(t, said)-0.1, h, key), "%s", row)
		require.False(t, starter(t).SI(key) < metres(t, said)-1e-9, "the starter rule is not looser than %s", row)
	}
}

func TestTenFeetAreMoreThanThreeMetres(t *testing.T) {
	h := starter(t)
	for said, near := range map[string]bool{"3m": true, "3.047m": true, "3.048m": false, "10ft": false, "120in": false, "3.05m": false} {
		require.Equal(t, near, Near(metres(t, said), h, house.FuelStart), said)
	}
	for said, near := range map[string]bool{"6m": true, "19.9ft": true, "20ft": false, "6.096m": false} {
		require.Equal(t, near, Near(metres(t, said), h, house.FuelIgnition), said)
	}
	for said, near := range map[string]bool{"15m": true, "49ft": true, "50ft": false, "15.24m": false} {
		require.Equal(t, near, Near(metres(t, said), h, house.FuelSmoking), said)
	}
}

func TestContainerOfFiveGallons(t *testing.T) {
	h := starter(t)
	for litres, big := range map[float64]bool{18.9: false, 18.927: false, 5 * 3.785411784: false, 18.93: true, 20: true} {
		require.Equal(t, big, TooBig(litres, h), litres)
	}
}

func TestEveryFactorDrivesOneOfFour(t *testing.T) {
	drives := map[string]int{}
	for _, f := range Factors() {
		drives[f.Drives]++
		require.NotEmpty(t, f.Source, f.ID)
		require.NotEmpty(t, f.Away+f.Technical+f.Organised, f.ID)
	}
	require.Equal(t, map[string]int{Ignition: 3, Vapour: 5, FireSpread: 1, Spill: 2}, drives)
}
