package training_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func TestSignOffEnd(t *testing.T) {
	for _, c := range []struct {
		day     string
		months  int
		month   time.Month // of the fixed yearly end, 0: none
		end     int
		want    string
		because string
	}{
		{"2026-05-20", 12, 0, 0, "2027-05-20", "12 months"},
		{"2024-02-29", 12, 0, 0, "2025-02-28", "clamped to the end of the month"},
		{"2027-02-28", 12, 0, 0, "2028-02-28", "not moved to the 29th"},
		{"2026-08-31", 6, 0, 0, "2027-02-28", "clamped to the end of the month"},
		{"2026-10-31", 1, 0, 0, "2026-11-30", "clamped to the end of the month"},
		{"2026-05-20", 12, 4, 30, "2027-04-30", "the yearly end comes first"},
		{"2026-05-20", 12, 5, 20, "2027-05-20", "signed on the yearly end itself: it ends a year later, not at once"},
		{"2026-05-20", 12, 5, 21, "2026-05-21", "signed the day before"},
		{"2026-05-20", 6, 5, 1, "2026-11-20", "the yearly end never lengthens"},
		{"2027-03-10", 12, 2, 29, "2028-02-29", "29 February in a leap year"},
		{"2026-03-10", 12, 2, 29, "2027-02-28", "29 February in a common year"},
	} {
		r := training.Rules{SignOffMonths: c.months, YearlyMonth: c.month, YearlyDay: c.end}
		require.Equal(t, c.want, r.SignOffEnd(day(t, c.day)).String(), "%s: %s", c.day, c.because)
	}
}

func TestYearlyEndOnlyShortens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := civil.Date(2024, 1, 1) + civil.Day(rapid.IntRange(0, 3000).Draw(t, "day"))
		r := training.Rules{SignOffMonths: rapid.IntRange(1, 36).Draw(t, "months")}
		free := r.SignOffEnd(d)
		r.YearlyMonth, r.YearlyDay = time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 31).Draw(t, "end")
		end := r.SignOffEnd(d)
		require.LessOrEqual(t, end, free)
		require.Greater(t, end, d)
		require.LessOrEqual(t, int(end-d), 366, "a yearly end comes within a year")
	})
}

func TestRulesOfStarter(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	r, err := training.RulesOf(h)
	require.NoError(t, err)
	want := starterRules()
	want.Edition, want.Coverage = h.Edition, true
	require.Equal(t, want, r)
	require.Equal(t, training.Evidence{Looks: 3, Days: 2, Unannounced: 1}, r.For(critical))
	require.Equal(t, training.Evidence{Looks: 1, Days: 1}, r.For(simple))
}

// An edition recorded before the rule came judges as it did.
func TestRulesOfCoverage(t *testing.T) {
	for value, want := range map[string]bool{"all": true, "none": false, "": false} {
		h, err := house.Starter()
		require.NoError(t, err)
		h.Numbers = slices.DeleteFunc(h.Numbers, func(n house.Number) bool { return n.Key == house.Coverage && value == "" })
		for i := range h.Numbers {
			if h.Numbers[i].Key == house.Coverage {
				h.Numbers[i].Value = value
			}
		}
		h, err = h.Ready()
		require.NoError(t, err)
		r, err := training.RulesOf(h)
		require.NoError(t, err)
		require.Equal(t, want, r.Coverage, "%q", value)
	}
	h, err := house.Starter()
	require.NoError(t, err)
	for i := range h.Numbers {
		if h.Numbers[i].Key == house.Coverage {
			h.Numbers[i].Value = "most"
		}
	}
	_, err = training.RulesOf(h)
	require.ErrorContains(t, err, `house rule coverage: "most" is neither all nor none`)
}

func TestRulesOfYearlyEnd(t *testing.T) {
	for value, ok := range map[string]bool{"none": true, "04-30": true, "02-29": true, "02-30": false, "4-30": false, "30.4.": false, "": false} {
		h, err := house.Starter()
		require.NoError(t, err)
		for i := range h.Numbers {
			if h.Numbers[i].Key == house.YearlyEnd {
				h.Numbers[i].Value = value
			}
		}
		_, err = training.RulesOf(h)
		if ok {
			require.NoError(t, err, value)
			continue
		}
		require.ErrorContains(t, err, "house rule yearly-end: \""+value+"\" is neither MM-DD nor none")
	}
}
