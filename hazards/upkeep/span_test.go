package upkeep

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestStopSpansEndWhenCleared(t *testing.T) {
	events := []Event{
		{Entry: 1, Kind: Found, At: 100, Stops: true}, {Entry: 2, Kind: Found, At: 110}, {Entry: 3, Kind: Tagged, At: 120},
		{Entry: 4, Kind: Cleared, At: 200, Clears: []int64{1}},
	}
	require.Equal(t, []StopSpan{{1, 100, 200}, {3, 120, StillOpen}}, StopSpans(events, starter(t)))
}

// The finder cleared it in a crew of two, and nobody looked again within the day of the house rule.
func TestStopSpansBeginAgainWithoutASecondLook(t *testing.T) {
	events := []Event{{Entry: 1, Kind: Tagged, At: 0}, {Entry: 2, Kind: Cleared, At: 1000, Again: true, Clears: []int64{1}}}
	require.Equal(t, []StopSpan{{1, 0, 1000}, {1, 1000 + dayLong + 1, StillOpen}}, StopSpans(events, starter(t)))
}

// At every moment a span covers it exactly where Open says that the thing stops the saw.
func TestStopSpansSayWhatOpenSays(t *testing.T) {
	h := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		var events []Event
		for i := range rapid.IntRange(1, 6).Draw(t, "events") {
			e := Event{Entry: int64(i + 1), At: int64(rapid.IntRange(0, 4*dayLong).Draw(t, "at")), Kind: EventKind(rapid.IntRange(0, 3).Draw(t, "kind"))}
			e.Stops = rapid.Bool().Draw(t, "stops")
			e.Again = rapid.Bool().Draw(t, "again")
			e.Clears = rapid.SliceOfN(rapid.Int64Range(1, 6), 0, 2).Draw(t, "clears")
			events = append(events, e)
		}
		spans := StopSpans(events, h)
		at := int64(rapid.IntRange(0, 6*dayLong).Draw(t, "moment"))
		var want, got []int64
		for _, o := range Open(events, h, at) {
			if o.Stops {
				want = append(want, o.Entry)
			}
		}
		for _, s := range spans {
			if s.From <= at && at < s.Until {
				got = append(got, s.Entry)
			}
		}
		require.ElementsMatch(t, want, got)
	})
}
