package kickback

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A 225 mm blade of 350 g at 9000 rpm: 106.0 m/s, 382 km/h, 984 J, worked out by hand in the sources kept with the
// formulas; a hundred times what a lawn tool may store.
func TestBladeAsWorkedByHand(t *testing.T) {
	v := EdgeSpeed(0.225, 150)
	require.InDelta(t, 106.0, v, 0.05)
	require.InDelta(t, 382, 3.6*v, 0.5)
	e := StoredEnergy(0.35, v)
	require.InDelta(t, 984, e, 0.5)
	require.InDelta(t, 100, e/LawnCeiling, 2)
	i, omega := 0.5*0.35*0.1125*0.1125, 2*math.Pi*150 // the same from the moment of inertia
	require.InDelta(t, 0.5*i*omega*omega, e, 1e-9)
}

func TestRatedStopsOnSlowAndUnknown(t *testing.T) {
	require.NoError(t, Rated(150, 150))
	require.ErrorContains(t, Rated(140, 150), "marked for 8400 rpm and the spindle turns at up to 9000 rpm")
	require.ErrorContains(t, Rated(0, 150), "highest speed of the blade is not known")
	require.ErrorContains(t, Rated(150, math.NaN()), "highest speed of the spindle is not known")
	err := Rated(0, 0)
	require.ErrorContains(t, err, "blade is not known")
	require.ErrorContains(t, err, "spindle is not known")
}
