package fire

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training/civil"
)

func day(t testing.TB, text string) civil.Day {
	d, err := civil.Parse(text)
	require.NoError(t, err)
	return d
}

// British Columbia Wildfire Regulation, B.C. Reg. 38/2005, as two restatements have it: 1 March to 1 November.
func TestSeasonOfBritishColumbia(t *testing.T) {
	s, ok := PeriodOf("bc")
	require.True(t, ok)
	require.Equal(t, "1 March to 1 November", s.String())
	for text, holds := range map[string]bool{"2026-02-28": false, "2028-02-29": false, "2026-03-01": true, "2026-07-15": true, "2026-11-01": true, "2026-11-02": false, "2026-12-31": false, "2027-01-01": false} {
		require.Equal(t, holds, s.Holds(day(t, text)), text)
	}
	_, ok = PeriodOf("atlantis")
	require.False(t, ok)
}

func TestMonthsRunOverNewYear(t *testing.T) {
	for _, c := range []struct {
		first, last time.Month
		words       string
		in, out     []string
	}{
		{4, 10, "April to October", []string{"2026-04-01", "2026-10-31"}, []string{"2026-03-31", "2026-11-01"}},
		{10, 4, "October to April", []string{"2026-10-01", "2026-12-31", "2027-01-01", "2027-04-30"}, []string{"2026-09-30", "2027-05-01"}},
		{1, 12, "January to December", []string{"2026-01-01", "2026-12-31"}, nil},
		{2, 2, "February to February", []string{"2026-02-01", "2028-02-29"}, []string{"2026-01-31", "2026-03-01"}},
	} {
		s := Months(c.first, c.last)
		require.Equal(t, c.words, s.String())
		for _, in := range c.in {
			require.True(t, s.Holds(day(t, in)), "%s %s", s, in)
		}
		for _, out := range c.out {
			require.False(t, s.Holds(day(t, out)), "%s %s", s, out)
		}
	}
}

// A period and the one of the other months share the year without a gap.
func TestEveryDayLiesInOneOfTwoHalves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := rapid.IntRange(1, 12).Draw(t, "first")
		last := (first+rapid.IntRange(0, 10).Draw(t, "more")-1)%12 + 1
		one, other := Months(time.Month(first), time.Month(last)), Months(time.Month(last%12+1), time.Month((first+10)%12+1))
		d := civil.Day(rapid.IntRange(0, 40000).Draw(t, "day"))
		require.NotEqual(t, one.Holds(d), other.Holds(d), "%s, %s: %s", one, other, d)
	})
}
