package hazards

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

// Vibration: 8 h at 2.5 m/s² is the action value, 8 h at 5 m/s² the limit (2002/44/EC Art. 3), so t = 8 h (daily/a)²; the starter house
// adds 40 % to a declared figure. Noise in British Columbia: 85 dBA over eight hours, 3 dB halve (OHSR 7.2); in the USA 90 dBA and 5 dB, with
// 85 dBA the action value (29 CFR 1910.95).
func TestTimesOfOneSaw(t *testing.T) {
	starter, err := house.Starter()
	require.NoError(t, err)
	saws := []KnownSaw{{ID: "S11", Vibration: "4m/s2", Noise: "100dBA"}, {ID: "S12", Vibration: "1m/s2", Noise: "70dBA"}}
	adds := 1 + starter.SI(house.VibrationAdds)/100

	bc := TimesOf(Input{House: starter, KnownSaws: saws, Places: []string{"bc"}}, "S11")
	require.InDelta(t, 8*math.Pow(2.5/(4*adds), 2), bc.Action, 1e-9)
	require.InDelta(t, 8*math.Pow(5/(4*adds), 2), bc.Limit, 1e-9)
	require.InDelta(t, 8.0/32, bc.NoiseAction, 1e-9, "15 dB above 85 halve five times")

	us := TimesOf(Input{House: starter, KnownSaws: saws, Places: []string{"us"}}, "S11")
	require.InDelta(t, 1, us.NoiseAction, 1e-9, "15 dB above 85 halve three times at 5 dB")
	require.InDelta(t, 2, us.NoiseLimit, 1e-9, "10 dB above 90 halve twice")
	require.NotEqual(t, us.Criterion, bc.Criterion)

	quiet := TimesOf(Input{House: starter, KnownSaws: saws, Places: []string{"bc"}}, "S12")
	require.True(t, math.IsInf(quiet.NoiseAction, 1))
}
