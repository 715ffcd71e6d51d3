package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestWhatADayLeavesOpen(t *testing.T) {
	for _, c := range []struct {
		name string
		day  DayFacts
		want LeftOpen
	}{
		{"joined, at work", DayFacts{Today: true, Joined: 3}, LeftOpen{}},
		{"joined, in the evening", DayFacts{Today: true, Ended: true, Joined: 3}, LeftOpen{Uncounted: true}},
		{"joined, never counted", DayFacts{Joined: 3}, LeftOpen{Uncounted: true}},
		{"short", DayFacts{Joined: 3, Short: true}, LeftOpen{Missing: true, Uncounted: true}},
		{"short, then closed", DayFacts{Joined: 3, Short: true, Missed: 1, Closed: true}, LeftOpen{}},
		{"a call missed", DayFacts{Today: true, Joined: 3, Missed: 1}, LeftOpen{Missed: true}},
		{"nobody joined, this morning", DayFacts{Today: true}, LeftOpen{}},
		{"nobody joined a go", DayFacts{}, LeftOpen{NobodyJoined: true}},
		{"nobody joined a hold", DayFacts{Held: true}, LeftOpen{}},
		{"a saw ran under a hold that nobody joined", DayFacts{Held: true, SawRan: true}, LeftOpen{NobodyJoined: true, Uncounted: true}},
		{"joined, then held", DayFacts{Held: true, Joined: 2}, LeftOpen{Uncounted: true}},
	} {
		require.Equal(t, c.want, Left(c.day), c.name)
	}
}

// Nothing but a close ends a day on which somebody was there, was missing, or did not call.
func TestOnlyACloseEndsADayWithPeople(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := DayFacts{Joined: rapid.IntRange(0, 3).Draw(t, "joined"), Held: rapid.Bool().Draw(t, "held"), SawRan: rapid.Bool().Draw(t, "ran"),
			Short: rapid.Bool().Draw(t, "short"), Missed: rapid.IntRange(0, 2).Draw(t, "missed"), Ended: true}
		there := f.Joined > 0 || f.SawRan || f.Short || f.Missed > 0
		if there || !f.Held {
			require.NotEqual(t, LeftOpen{}, Left(f))
		}
		f.Closed = true
		require.Equal(t, LeftOpen{}, Left(f))
	})
}
