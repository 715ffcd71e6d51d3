package slope

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

// Steps of the starter house rules (company choice): below 15 % 0, 15-30 % 1, 30-45 % 2, above 45 % 3.
func TestStepsOfTheHouseRules(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	for said, want := range map[string]int{"0%": 0, "14.9%": 0, "15%": 1, "29.9%": 1, "30%": 2, "45%": 2, "45.1%": 3, "24deg": 2, "25deg": 3, "-46%": 3} {
		q, err := units.Parse(said, units.Slope)
		require.NoError(t, err)
		require.Equal(t, want, Step(q.SI(), h), said)
		f, counts := SteepFactor(q.SI(), h)
		require.Equal(t, want > 0, counts, said)
		require.Equal(t, want, f.Weight, said)
		require.Equal(t, want == 3, AboveLimit(q.SI(), h), "the starter limit is the third step: %s", said)
	}
}

func TestFootingFactors(t *testing.T) {
	want := map[string]int{WetOrIcy: 3, RoughGround: 2, OneAbove: 3}
	got := map[string]int{}
	for _, f := range Factors() {
		got[f.ID] = f.Weight
		require.NotEmpty(t, f.Source, f.ID)
	}
	require.Equal(t, want, got)
}
