package training

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training/civil"
)

func TestExperienceOf(t *testing.T) {
	today := civil.Date(2026, 7, 14)
	told := func(n int) *int { return &n }
	run := func(n int, last civil.Day) (days []civil.Day) {
		for i := range n {
			days = append(days, last-civil.Day(i))
		}
		return days
	}
	for _, c := range []struct {
		name   string
		days   []civil.Day
		before *int
		want   Experience
	}{
		{"nobody asked: new, and it says so", nil, nil, Experience{0, 1, false}},
		{"never held one before", nil, told(0), Experience{0, 1, true}},
		{"a veteran on the first day here is not called new", nil, told(11), Experience{20, 12, true}},
		{"one season before is past the first month", run(3, today-1), told(1), Experience{20, 2, true}},
		{"the same day twice is one", append(run(3, today-1), today-1), told(0), Experience{3, 1, true}},
		{"today and what lies ahead do not count", run(5, today+2), told(0), Experience{2, 1, true}},
		{"the book itself knows last year", append(run(25, civil.Date(2025, 8, 30)), run(2, today-1)...), nil, Experience{27, 2, false}},
		{"last year here, and three before", run(25, civil.Date(2025, 8, 30)), told(3), Experience{25, 5, true}},
	} {
		require.Equal(t, c.want, ExperienceOf(c.days, c.before, today, 20), c.name)
	}
}

// Who says that there were more seasons before is never called newer for it, and nobody is newer than who was not asked.
func TestMoreSeasonsAreNeverLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		today := civil.Day(20000)
		var days []civil.Day
		for range rapid.IntRange(0, 30).Draw(t, "days") {
			days = append(days, today-civil.Day(rapid.IntRange(-3, 900).Draw(t, "ago")))
		}
		few := rapid.IntRange(0, 59).Draw(t, "few")
		many := rapid.IntRange(few, 60).Draw(t, "many")
		unasked, less, more := ExperienceOf(days, nil, today, 20), ExperienceOf(days, &few, today, 20), ExperienceOf(days, &many, today, 20)
		for _, pair := range [][2]Experience{{unasked, less}, {less, more}} {
			require.LessOrEqual(t, pair[0].SawDays, pair[1].SawDays)
			require.LessOrEqual(t, pair[0].Seasons, pair[1].Seasons)
		}
	})
}

func TestCheckSeasons(t *testing.T) {
	for _, n := range []int{0, 1, 60} {
		require.NoError(t, CheckSeasons(n))
	}
	for _, n := range []int{-1, 61, 2019} {
		require.ErrorContains(t, CheckSeasons(n), "write 0 to 60")
	}
}
