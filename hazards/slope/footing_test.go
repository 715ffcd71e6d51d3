package slope

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

// Steps of the starter house rules (company choice): below 15 % 0, from 15 % 1, from 25 % 2, from 35 % 3.
func TestStepsOfTheHouseRules(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	for said, want := range map[string]int{"0%": 0, "14.9%": 0, "15%": 1, "24.9%": 1, "25%": 2, "34.9%": 2, "35%": 3, "45.1%": 3, "19deg": 2, "20deg": 3, "-46%": 3} {
		q, err := units.Parse(said, units.Slope)
		require.NoError(t, err)
		require.Equal(t, want, Step(q.SI(), h), said)
		f, counts := SteepFactor(q.SI(), h)
		require.Equal(t, want > 0, counts, said)
		require.Equal(t, want, f.Weight, said)
	}
}

func TestFootingFactors(t *testing.T) {
	want := map[string]int{WetOrIcy: 3, RoughGround: 2, OneAbove: 3, LoadInHand: 1}
	got := map[string]int{}
	for _, f := range Factors() {
		got[f.ID] = f.Weight
		require.NotEmpty(t, f.Source, f.ID)
	}
	require.Equal(t, want, got)
	for _, f := range Factors() {
		if less := Less(f); f.ID == WetOrIcy || f.ID == RoughGround {
			require.Equal(t, 1, less.Weight, f.ID)
			require.NotEmpty(t, less.Words, f.ID)
		}
	}
}
