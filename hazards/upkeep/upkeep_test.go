package upkeep

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

func starter(t require.TestingT) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// with returns the starter edition with one rule changed.
func with(t *testing.T, key, value string) house.House {
	h := starter(t)
	for i := range h.Numbers {
		if h.Numbers[i].Key == key {
			h.Numbers[i].Value = value
		}
	}
	h, err := h.Ready()
	require.NoError(t, err)
	return h
}

func day(t require.TestingT, s string) civil.Day {
	d, err := civil.Parse(s)
	require.NoError(t, err)
	return d
}

func ran(t require.TestingT, days ...string) []Ran {
	var list []Ran
	for _, d := range days {
		list = append(list, Ran{Day: day(t, d), Hours: 6})
	}
	return list
}

// cared is a saw that was looked after on Monday 4 May, with a blade that is sharp and set.
func cared(t require.TestingT) History {
	monday := day(t, "2026-05-04")
	return History{
		Saw: Saw{ID: "S11"}, Added: monday, Used: ran(t, "2026-05-04"), Daily: []Done{{Day: monday}}, Weekly: []Done{{Day: monday}},
		Checks: 2, LineDay: monday,
		Blade: Blade{On: true, ID: "B31", Fitted: monday, Filings: 1, Settings: 1, LastSetting: monday},
	}
}

// find gives the one line about something.
func find(lines []Due, what string) (found Due, n int) {
	for _, l := range lines {
		for _, w := range l.What {
			if w == what {
				found, n = l, n+1
			}
		}
	}
	return found, n
}

func TestEveryItemAndDefectHasASource(t *testing.T) {
	daily, weekly := ItemIDs(false), ItemIDs(true)
	require.Equal(t, []string{"blade", "nut", "stop", "guard", "leaks", "screws", "air-filter", "grease"}, daily)
	require.Equal(t, []string{"fuel-filter", "mounts", "harness", "muffler-screen", "starter-cord", "plug", "fins"}, weekly)
	for _, i := range items {
		require.NotEmpty(t, i.Source, i.ID)
		require.NotEmpty(t, i.Words, i.ID)
		require.Positive(t, i.Rank, i.ID)
	}
	for _, d := range DefectKinds() {
		require.NotEmpty(t, d.Source, d.ID)
		require.True(t, d.Stops || !d.Scrap, "%s: a blade to be scrapped stops the saw", d.ID)
	}
	require.Len(t, DefectIDs(), len(defects))
}

// The tag-out list of the trade: what stops the saw at once.
func TestWhatStopsASawAtOnce(t *testing.T) {
	for id, words := range map[string]string{
		"ring": "no clear ring", "crack": "crack", "guard": "guard", "idle": "turns at idle", "stop": "stop switch dead",
		"release": "harness release stiff", "nut": "loose or worn", "fuel-leak": "fuel leak",
	} {
		d, ok := DefectByID(id)
		require.True(t, ok, id)
		require.True(t, d.Stops, id)
		require.Contains(t, d.Words, words)
	}
	for _, id := range []string{"dull", "pad", "screws", "muffler-screen", Other} {
		d, ok := DefectByID(id)
		require.True(t, ok && !d.Stops, id)
	}
	_, ok := DefectByID("gard")
	require.False(t, ok)
}

// What fails between one look and the next without a word: throttle, hook, handles, gear head; and rock, until the blade is looked at.
func TestReview16DefectsThatStop(t *testing.T) {
	for _, id := range []string{"handles", "hook", "guard-screw", "rock", "tooth", "gear-head", "wrong-guard", "lock-out", "throttle"} {
		d, ok := DefectByID(id)
		require.True(t, ok && d.Stops, id)
	}
	d, _ := DefectByID("tooth")
	require.True(t, d.Scrap, "a broken or blued tooth is scrap")
	d, _ = DefectByID("muffler-screen")
	require.True(t, d.InFire, "a stop in fire months")
}

// Gear heads: felt daily, greased by the maker's hours; and what was missing beside.
func TestReview42GearHeadFuelFilterMountsHarness(t *testing.T) {
	grease, _ := ItemByID("grease")
	require.Contains(t, grease.Words, "greased by the maker's hours, weekly at most, never full")
	require.Subset(t, ItemIDs(true), []string{"fuel-filter", "mounts", "harness"})
}

func TestDailyUpkeepFallsDueADayLater(t *testing.T) {
	h, s := starter(t), cared(t)
	require.Empty(t, DueOn(s, h, day(t, "2026-05-04")), "done today")
	lines := DueOn(s, h, day(t, "2026-05-05"))
	require.Len(t, lines, 1)
	require.Equal(t, DueNow, lines[0].State)
	require.Equal(t, []string{"blade", "guard", "nut", "stop", "leaks", "screws", "air-filter", "grease"}, lines[0].What)
	require.Contains(t, lines[0].Why, "last on 2026-05-04; house rule upkeep-daily 1day")

	require.Equal(t, DueNow, DueOn(s, h, day(t, "2026-05-08"))[0].State, "in the store it is never overdue")
	s.Used = ran(t, "2026-05-04", "2026-05-05")
	require.Equal(t, DueNow, DueOn(s, h, day(t, "2026-05-05"))[0].State, "the day is not over")
	late := DueOn(s, h, day(t, "2026-05-06"))[0]
	require.Equal(t, Overdue, late.State)
	require.Equal(t, "2026-05-05", late.Since.String())
	require.True(t, strings.HasPrefix(late.Why, "used on 2026-05-05 without it; "))
}

func TestItemsLeftOutStayDue(t *testing.T) {
	h, s := starter(t), cared(t)
	s.Used = ran(t, "2026-05-04", "2026-05-05")
	s.Daily = append(s.Daily, Done{Day: day(t, "2026-05-05"), Left: []string{"grease"}})
	s.LineDay = day(t, "2026-05-05")
	lines := DueOn(s, h, day(t, "2026-05-06"))
	require.Len(t, lines, 2)
	require.Equal(t, []string{"grease"}, lines[0].What)
	require.Equal(t, Overdue, lines[0].State)
	require.Equal(t, DueNow, lines[1].State)
	require.Len(t, lines[1].What, 7)
}

func TestNeverDoneIsDueFromTheFirstDay(t *testing.T) {
	h := starter(t)
	s := History{Saw: Saw{ID: "S12"}, Added: day(t, "2026-05-04"), LineDay: civil.None}
	lines := DueOn(s, h, day(t, "2026-05-04"))
	require.Len(t, lines, 3, "daily, weekly, and no blade is recorded")
	for _, l := range lines {
		require.Equal(t, DueNow, l.State)
	}
	s.Used = ran(t, "2026-05-04")
	l, n := find(DueOn(s, h, day(t, "2026-05-05")), "plug")
	require.Equal(t, 1, n)
	require.Equal(t, Overdue, l.State)
	require.Contains(t, l.Why, "never recorded here")
}

func TestUseBeforeTheCardWasEnteredCounts(t *testing.T) {
	s := History{Saw: Saw{ID: "S12"}, Added: day(t, "2026-05-06"), Used: ran(t, "2026-05-04", "2026-05-05"), LineDay: civil.None}
	l, n := find(DueOn(s, starter(t), day(t, "2026-05-06")), "nut")
	require.Equal(t, 1, n)
	require.Equal(t, Overdue, l.State)
	require.Equal(t, "2026-05-04", l.Since.String())
}

func TestWeeklyUpkeepByDaysOrMakersHours(t *testing.T) {
	h, s := starter(t), cared(t)
	_, n := find(DueOn(s, h, day(t, "2026-05-10")), "plug")
	require.Zero(t, n)
	l, n := find(DueOn(s, h, day(t, "2026-05-11")), "plug")
	require.Equal(t, 1, n)
	require.Equal(t, DueNow, l.State)
	s.Used = ran(t, "2026-05-04", "2026-05-11")
	l, _ = find(DueOn(s, h, day(t, "2026-05-12")), "plug")
	require.Equal(t, Overdue, l.State)

	s.Saw.Service = "12h"
	s.Used = ran(t, "2026-05-04", "2026-05-05", "2026-05-06", "2026-05-07") // 6 h each
	l, n = find(DueOn(s, h, day(t, "2026-05-06")), "plug")
	require.Equal(t, 1, n)
	require.Equal(t, "2026-05-06", l.Since.String(), "twelve hours had run by then")
	require.Contains(t, l.Why, "the maker's 12h")
}

func TestWrenchChecksOfTheNut(t *testing.T) {
	h, s := starter(t), cared(t)
	s.Checks = 1
	l, n := find(DueOn(s, h, day(t, "2026-05-05")), "nut-checks")
	require.Equal(t, 1, n)
	require.Contains(t, l.Why, "1 of 2 wrench checks of the nut recorded on 2026-05-04; house rule nut-checks 2")
	_, n = find(DueOn(s, h, day(t, "2026-05-04")), "nut-checks")
	require.Zero(t, n, "the day is not over")
	s.Used = nil
	_, n = find(DueOn(s, h, day(t, "2026-05-05")), "nut-checks")
	require.Zero(t, n, "not used that day")
}

func TestNewBladeIsSharpenedAndSetBeforeUse(t *testing.T) {
	h, s := starter(t), cared(t)
	s.Blade = Blade{On: true, ID: "B32", Fitted: day(t, "2026-05-04"), LastSetting: civil.None}
	for _, what := range []string{"file", "set"} {
		l, n := find(DueOn(s, h, day(t, "2026-05-04")), what)
		require.Equal(t, 1, n, what)
		require.Equal(t, DueNow, l.State, what)
		l, _ = find(DueOn(s, h, day(t, "2026-05-05")), what)
		require.Equal(t, Overdue, l.State, what)
	}
}

func TestTeethAreSetAgainAndCounted(t *testing.T) {
	h, s := starter(t), cared(t)
	require.False(t, s.Blade.Wants(h))
	s.Blade.SinceSet = 9
	_, n := find(DueOn(s, h, day(t, "2026-05-04")), "set")
	require.Zero(t, n)
	s.Blade.SinceSet = 10
	require.True(t, s.Blade.Wants(h))
	l, n := find(DueOn(s, h, day(t, "2026-05-04")), "set")
	require.Equal(t, 1, n)
	require.NotContains(t, l.Why, "measure")
	s.Blade.Settings = 3
	l, _ = find(DueOn(s, h, day(t, "2026-05-04")), "set")
	require.Contains(t, l.Why, "set 3 times already: measure its teeth")
}

// Every second refuelling and after each hit on rock.
func TestUnfiled(t *testing.T) {
	for _, c := range []struct {
		name string
		list []Fuelling
		want int
	}{
		{"nothing", nil, 0},
		{"one refuel", []Fuelling{{Refuels: 1}}, 1},
		{"two refuels", []Fuelling{{Refuels: 1}, {Refuels: 1}}, 2},
		{"filed after two", []Fuelling{{Refuels: 2}, {Filings: 1}}, 0},
		{"the worked day: 5 refuels, 2 filings", []Fuelling{{Refuels: 5, Filings: 2}}, 1},
		{"5 refuels, filed in the evening as well", []Fuelling{{Refuels: 5, Filings: 3}}, 0},
		{"rock", []Fuelling{{Filings: 1}, {Rock: 1}}, 2},
		{"rock, then filed", []Fuelling{{Rock: 1}, {Filings: 1}}, 0},
		{"two hits, one filing", []Fuelling{{Rock: 2, Filings: 1}}, 2},
		{"a filing makes up for all that came before", []Fuelling{{Refuels: 9}, {Refuels: 3, Filings: 1}}, 1},
		{"many filings do not count ahead", []Fuelling{{Filings: 9}, {Refuels: 2}}, 2},
	} {
		require.Equal(t, c.want, Unfiled(c.list, 2), c.name)
	}
}

func TestFilingIsDueThenOverdue(t *testing.T) {
	h, s := starter(t), cared(t)
	for refuels, state := range map[int]State{1: "", 2: DueNow, 3: DueNow, 4: Overdue} {
		s.Fuel = []Fuelling{{Refuels: refuels}}
		l, n := find(DueOn(s, h, day(t, "2026-05-04")), "file")
		require.Equal(t, state != "", n == 1, refuels)
		require.Equal(t, state, l.State, refuels)
	}
}

func TestSortPutsFirstWhatStopsWorkFirst(t *testing.T) {
	lines := []Due{
		{Saw: "S3", State: DueNow, Rank: 1}, {Saw: "S2", State: Overdue, Rank: 5}, {Saw: "S1", State: Overdue, Rank: 1, Since: 9},
		{Saw: "S5", State: Overdue, Rank: 1, Since: 8}, {Saw: "S4", State: StopsNow},
	}
	Sort(lines)
	var saws []string
	for _, l := range lines {
		saws = append(saws, l.Saw)
	}
	require.Equal(t, []string{"S4", "S5", "S1", "S2", "S3"}, saws)
}

func TestTooManyFilingsAsks(t *testing.T) {
	h := starter(t)
	require.Empty(t, TooManyFilings(5, 2, 0, h))
	require.Empty(t, TooManyFilings(5, 3, 0, h))
	require.Empty(t, TooManyFilings(0, 1, 0, h))
	require.Empty(t, TooManyFilings(2, 4, 2, h))
	require.Contains(t, TooManyFilings(2, 6, 0, h), "6 filings with 2 refuels and 0 hits on rock: about 2 would be usual; is that right?")
}

// Whatever the history, no line is of a later day, what presses most comes first, nothing stands twice, and upkeep done today leaves no
// daily or weekly item due.
func TestDueProperties(t *testing.T) {
	h := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		start := day(t, "2026-05-04")
		s := History{Saw: Saw{ID: "S1"}, Added: start, LineDay: civil.None}
		for d := start; d < start+20; d++ {
			if rapid.Bool().Draw(t, "used") {
				s.Used = append(s.Used, Ran{Day: d, Hours: 5})
			}
			if rapid.Bool().Draw(t, "daily") {
				s.Daily = append(s.Daily, Done{Day: d, Left: rapid.SampledFrom([][]string{nil, {"grease"}, {"nut", "stop"}}).Draw(t, "left")})
			}
		}
		asked := start + civil.Day(rapid.IntRange(0, 30).Draw(t, "asked"))
		lines := DueOn(s, h, asked)
		Sort(lines)
		seen := map[string]bool{}
		for i, l := range lines {
			require.LessOrEqual(t, l.Since, asked)
			require.True(t, i == 0 || pressing[lines[i-1].State] <= pressing[l.State])
			for _, w := range l.What {
				require.False(t, seen[w], "%s stands in two lines", w)
				seen[w] = true
			}
		}
		s.Daily, s.Weekly = append(s.Daily, Done{Day: asked}), []Done{{Day: asked}}
		for _, l := range DueOn(s, h, asked) {
			for _, w := range l.What {
				_, item := ItemByID(w)
				require.False(t, item, w)
			}
		}
	})
}
