package fire

import (
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training/civil"
)

func TestRanksOrderEveryClassOfTheSchemes(t *testing.T) {
	for _, s := range Schemes() {
		last := -1
		for _, c := range s.Classes {
			rank, known := Rank(c.Name)
			require.True(t, known, c.Name)
			require.Greater(t, rank, last, c.Name)
			last = rank
		}
	}
	require.Equal(t, "extreme", Worse("extreme", "high"))
	require.Equal(t, "high", Worse("", "high"))
	require.Equal(t, "high", Worse("high", ""))
	require.Len(t, ClassNames(), len(ranks))
}

// British Columbia as read in restatements: 1 h after three days of moderate, 2 h from high, 13:00 after three days of high or on extreme,
// all day after three days of extreme.
func TestLadderOfBritishColumbia(t *testing.T) {
	l, ok := LadderOf("bc")
	require.True(t, ok)
	_, ok = LadderOf("atlantis")
	require.False(t, ok)
	const today = civil.Day(20000)
	for _, c := range []struct {
		classes []string // oldest first, the last one today's
		stop    string
		watch   int
	}{
		{[]string{"low"}, "", 0},
		{[]string{"moderate", "moderate"}, "", 0},
		{[]string{"moderate", "moderate", "moderate"}, "", 60},
		{[]string{"high"}, "", 120},
		{[]string{"high", "high"}, "", 120},
		{[]string{"high", "high", "high"}, "13:00", 120},
		{[]string{"high", "low", "high"}, "", 120},
		{[]string{"extreme"}, "13:00", 120},
		{[]string{"extreme", "extreme", "extreme"}, AllDay, 120},
		{[]string{"extreme", "", "extreme"}, AllDay, 120},
		{[]string{"", "", "extreme"}, "13:00", 120},
		{[]string{"extreme", "extreme", ""}, "", 0}, // nothing is known of today
	} {
		var days []ClassDay
		for i, class := range c.classes {
			days = append(days, ClassDay{today - civil.Day(len(c.classes)-1-i), class})
		}
		r := l.Today(today, days)
		require.Equal(t, c.stop, r.Stop, c.classes)
		require.Equal(t, c.watch, r.Watch, c.classes)
	}
}

// A more severe day, anywhere in the run, never makes a restriction milder.
func TestWorseDaysNeverLoosenTheLadder(t *testing.T) {
	l, _ := LadderOf("bc")
	rank := func(stop string) int { return map[string]int{"": 0, "13:00": 1, AllDay: 2}[stop] }
	rapid.Check(t, func(t *rapid.T) {
		var days []ClassDay
		for i := range rapid.IntRange(1, 8).Draw(t, "days") {
			days = append(days, ClassDay{civil.Day(20000 - i), rapid.SampledFrom(append([]string{""}, ClassNames()...)).Draw(t, "class")})
		}
		if days[0].Class == "" {
			days[0].Class = "low"
		}
		before := l.Today(20000, days)
		i := rapid.IntRange(0, len(days)-1).Draw(t, "which")
		if days[i].Class == "" {
			return // a day of which something becomes known may end a run
		}
		days[i].Class = "extreme"
		after := l.Today(20000, days)
		require.GreaterOrEqual(t, rank(after.Stop), rank(before.Stop))
		require.GreaterOrEqual(t, after.Watch, before.Watch)
	})
}

func TestCarryNamesWhatIsMissing(t *testing.T) {
	days, _ := sample(t)
	var readings []Reading
	for i, d := range days {
		readings = append(readings, Reading{Noon: d, Start: i == 0})
	}
	last := days[len(days)-1].Day
	whole, err := Carry(readings, last, DefaultLatitude)
	require.NoError(t, err)
	season, err := Season(days, StartUp, DefaultLatitude)
	require.NoError(t, err)
	require.Len(t, whole.Days, len(season))
	for i := range season {
		require.Equal(t, season[i], whole.Days[i].Indices)
	}
	require.Empty(t, whole.Missing)

	gap := append(append([]Reading{}, readings[:10]...), readings[12:]...)
	c, err := Carry(gap, last, DefaultLatitude)
	require.NoError(t, err)
	require.Len(t, c.Days, 10)
	require.Equal(t, []civil.Day{days[10].Day, days[11].Day}, c.Missing)

	codes := season[11].Codes
	gap[10].Before = &codes // the agency's codes of the day before take the run up again
	c, err = Carry(gap, last, DefaultLatitude)
	require.NoError(t, err)
	require.Equal(t, season[len(season)-1], c.Days[len(c.Days)-1].Indices)
	require.Empty(t, c.Missing)

	c, err = Carry(readings[1:], last, DefaultLatitude)
	require.NoError(t, err)
	require.False(t, c.Begun, "readings without a start make no season")
	c, err = Carry(readings, days[4].Day, DefaultLatitude)
	require.NoError(t, err)
	require.Len(t, c.Days, 5, "later readings do not count")
	_, err = Carry([]Reading{{Noon: Noon{days[0].Day, Weather{RH: 101}}, Start: true}}, last, DefaultLatitude)
	require.ErrorContains(t, err, "relative humidity is 101")
	require.Error(t, Weather{Month: time.May, RH: math.NaN()}.Check())
}

func FuzzParseCodes(f *testing.F) {
	f.Add("88.1 45.2 310")
	corpus, err := os.ReadDir("testdata/fuzz/FuzzParseCodes")
	require.NoError(f, err)
	require.NotEmpty(f, corpus)
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCodes(text)
		if err != nil {
			return
		}
		require.True(t, c.FFMC >= 0 && c.FFMC <= 101 && c.DMC >= 0 && c.DC >= 0 && !math.IsInf(c.DMC, 0) && !math.IsInf(c.DC, 0))
	})
}
