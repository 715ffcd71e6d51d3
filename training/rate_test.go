package training

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// By hand: 3 close calls and 12 drills in 2,400 hours.
func TestEventRates(t *testing.T) {
	told := []string{"close-call", "drill", "close-call", "close-call"}
	for range 11 {
		told = append(told, "drill")
	}
	require.Equal(t, []EventRate{
		{Kind: "close-call", Events: 3, PerThousand: 1.25, Defined: true, Few: true}, {Kind: "refusal", Defined: true, Few: true},
		{Kind: "drill", Events: 12, PerThousand: 5, Defined: true}, {Kind: "incident", Defined: true, Few: true},
	}, EventRates(append(told, "mishap"), 2400))
}

func TestEventRatesWithoutHoursAreNotDefined(t *testing.T) {
	rates := EventRates([]string{"incident"}, 0)
	require.Len(t, rates, 4)
	for _, r := range rates {
		require.False(t, r.Defined)
		require.Zero(t, r.PerThousand)
	}
}

func TestMoreHoursNeverRaiseARate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		told := rapid.SliceOfN(rapid.SampledFrom(EventKinds), 0, 40).Draw(t, "told")
		hours := rapid.Float64Range(0.1, 1e5).Draw(t, "hours")
		less, more := EventRates(told, hours), EventRates(told, hours+rapid.Float64Range(0, 1e5).Draw(t, "more"))
		sum := 0
		for i := range less {
			require.LessOrEqual(t, more[i].PerThousand, less[i].PerThousand)
			sum += less[i].Events
		}
		require.Equal(t, len(told), sum)
	})
}
