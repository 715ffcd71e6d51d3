package exposure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

// The time to the level of the criterion is the reference duration of the published tables (OSHA G-16a; NIOSH Table 1-1).
func TestHoursToLevelAreTheReferenceDurations(t *testing.T) {
	us, other := RuleOf([]string{"us-wa", "us"}), RuleOf([]string{"atlantis"})
	require.Equal(t, "osha", us.Name)
	require.Equal(t, "niosh", other.Name)
	for _, row := range published.Table(t, "osha_g16.csv") {
		h, ok := us.HoursToLevel(row.Float("level_dBA"), us.Level)
		require.True(t, ok, row)
		require.InDelta(t, row.Float("formula_h"), h, 5.01e-5, row)
	}
	for level, hours := range map[float64]float64{85: 8, 88: 4, 91: 2, 94: 1, 97: 0.5, 100: 0.25} { // NIOSH page
		h, ok := other.HoursToLevel(level, other.Limit)
		require.True(t, ok)
		require.InDelta(t, hours, h, 1e-9)
	}
	_, ok := us.HoursToLevel(79, 90)
	require.False(t, ok)
}

// Half an OSHA dose is 85 dBA over eight hours: the action level of 29 CFR 1910.95(c)(1).
func TestActionLevels(t *testing.T) {
	for places, want := range map[string][2]float64{"us": {85, 90}, "bc": {85, 85}, "uk": {80, 87}, "eu": {80, 87}, "nowhere": {85, 85}} {
		r := RuleOf([]string{places})
		require.Equal(t, want, [2]float64{r.Action, r.Limit}, places)
		require.NotEmpty(t, r.Source)
	}
	h, _ := RuleOf([]string{"us"}).HoursToLevel(95, 85)
	require.InDelta(t, 2, h, 1e-9, "half of the 4 h of 95 dBA")
	require.Equal(t, recommended, Recommended())
}

// The eight-hour level of a level over some hours is level + exchange × log2(hours/8); at the hours given it is the one asked for.
func TestHoursToLevelGiveThatEightHourLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := RuleOf([]string{rapid.SampledFrom([]string{"us", "bc", "uk"}).Draw(t, "place")})
		level := rapid.Float64Range(80, 120).Draw(t, "level")
		want := rapid.Float64Range(80, 90).Draw(t, "eight hours")
		h, ok := r.HoursToLevel(level, want)
		require.True(t, ok)
		require.InDelta(t, want, level+r.Exchange*math.Log2(h/8), 1e-9)
	})
	_, ok := NIOSH.TWA(0)
	require.False(t, ok)
}

func TestMethodOf(t *testing.T) {
	require.NotEmpty(t, Methods())
	for _, m := range Methods() {
		got, ok := MethodOf(m.Name)
		require.True(t, ok)
		require.Equal(t, m.Source, got.Source)
	}
	_, ok := MethodOf("felt")
	require.False(t, ok)
}
