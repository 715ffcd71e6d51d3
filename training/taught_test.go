package training_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func TestTaughtBy(t *testing.T) {
	attended := fact(1, "2026-05-04", training.FactAttendance, 0)
	credited := fact(2, "2026-05-06", training.FactCredit, 0)
	for _, c := range []struct {
		name  string
		facts []training.Fact
		on    string
		want  training.Ref
	}{
		{"nothing", nil, "2026-05-04", 0},
		{"attended", facts(attended), "2026-05-04", 1},
		{"attended later", facts(attended), "2026-05-03", 0},
		{"credited", facts(credited), "2030-05-06", 2}, // attendance and credit do not run out
		{"the first stands", facts(attended, credited), "2026-05-06", 1},
		{"a struck one does not", facts(struck(attended), credited), "2026-05-06", 2},
		{"other entries are none", facts(fact(3, "2026-05-04", training.FactOther, 0)), "2026-05-06", 0},
	} {
		f, ok := training.TaughtBy(c.facts, on(t, c.on))
		require.Equal(t, c.want, f.Entry, c.name)
		require.Equal(t, c.want != 0, ok, c.name)
	}
}

func TestCannotLift(t *testing.T) {
	restricted := facts(met(1, "2026-07-01"), restrict(2, "2026-07-14"), met(3, "2026-07-15"), look(4, "2026-07-16", training.NotMet),
		look(5, "2026-07-16", training.Incomplete), struck(met(6, "2026-07-16")), met(7, "2026-07-18"))
	for look, want := range map[training.Ref]string{
		3: "", 1: "that observation came before the restriction of 2026-07-14", 4: "that observation was not met, it was not met",
		5: "that observation was not met, it was incomplete", 6: "that observation is struck", 7: "that observation came after the lift",
		2: "it is not an observation of this worker and skill", 99: "it is not an observation of this worker and skill",
	} {
		h := training.History{Facts: restricted, Teaching: taught()}
		require.Equal(t, want, training.CannotLift(training.Judged(critical, h, starterRules()), on(t, "2026-07-17"), look), "look %d", look)
	}
	h := training.History{Facts: facts(met(1, "2026-07-01")), Teaching: taught()}
	require.Equal(t, "the skill is not restricted", training.CannotLift(training.Judged(critical, h, starterRules()), on(t, "2026-07-17"), 1))
}

// What CannotLift lets pass lifts, and what it refuses would not have.
func TestCannotLiftAgreesWithStanding(t *testing.T) {
	lifted, refused, late := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		h.later = nil
		a := h.drawAsked(t)
		c := h.asked(a.Known)
		hist := &c.Readings[0].History
		hist.Facts = slices.DeleteFunc(hist.Facts, func(f training.Fact) bool { return f.Recorded > a.Known })
		toldLate := rapid.Bool().Draw(t, "another stop told late")
		if toldLate {
			back := civil.Day(rapid.IntRange(1, 100).Draw(t, "days late"))
			hist.Facts = append(hist.Facts, training.Fact{Entry: 4000, Kind: training.FactRestriction, Day: a.Day - back, At: a.On - int64(back)*86400, Recorded: a.Known, Until: civil.None})
		}
		if training.StandingOf(c, a).Word != training.Restricted {
			return
		}
		look := rapid.SampledFrom(hist.Facts).Draw(t, "look")
		no := training.CannotLift(c, a, look.Entry)
		l := training.Fact{Entry: 5000, Kind: training.FactLift, Day: a.Day, At: a.On, Recorded: a.Known, Cites: []training.Ref{look.Entry}, Void: look.Struck}
		hist.Facts = append(slices.Clone(hist.Facts), l)
		word := training.StandingOf(c, a).Word
		require.Equal(t, no != "", word == training.Restricted, "%q for entry %d, %s, asked %+v\n%s", no, look.Entry, word, a, h)
		if no != "" {
			refused++
			return
		}
		lifted++
		if toldLate {
			late++
		}
	})
	require.Positive(t, lifted)
	require.Positive(t, refused)
	require.Positive(t, late, "none of those lifted had been told late")
}

// The changes of a day stand with their clock times: those that were entered, at 00:00 those that only time made, and those
// that an edition makes.
func TestDayOf(t *testing.T) {
	c := training.Judged(critical, training.History{Teaching: taught(), Facts: signed(look(5, "2026-07-14T14:02", training.CriticalMissed), met(6, "2026-07-14T14:30"), lift(7, "2026-07-14T15:00", 6), restrict(8, "2026-07-15T00:00"))}, starterRules())
	clock := func(at string) int64 { return fact(0, at, 0, 0).At }
	changes := func(c training.Case, a training.Asked) []training.Change {
		_, list := training.DayOf(c, a)
		return list
	}
	require.Equal(t, []training.Change{{At: clock("2026-07-14T14:02"), Word: training.Restricted}, {At: clock("2026-07-14T15:00"), Word: training.UnderTraining}},
		changes(c, on(t, "2026-07-14")))
	require.Empty(t, changes(c, on(t, "2026-07-13")))
	require.Equal(t, []training.Change{{At: clock("2026-07-15T00:00"), Word: training.Restricted}}, changes(c, on(t, "2026-07-15")))
	day := on(t, "2026-07-14")
	day.On = clock("2026-07-14T14:59")
	require.Len(t, changes(c, day), 1)

	plain := training.Judged(critical, training.History{Teaching: taught(), Facts: signed()}, starterRules())
	require.Equal(t, []training.Change{{At: clock("2026-08-08T00:00"), Word: training.Lapsed}}, changes(plain, on(t, "2026-08-08")), "what runs out does so at 00:00")

	stricter := starterRules()
	stricter.CurrencyDays = 30
	plain.Readings = append(plain.Readings, training.Reading{From: clock("2026-07-01T08:00"), Skill: critical, Rules: stricter, History: plain.Readings[0].History})
	require.Equal(t, []training.Change{{At: clock("2026-07-01T08:00"), Word: training.Lapsed}}, changes(plain, on(t, "2026-07-01")), "at the moment of the edition")
	require.Equal(t, "2026-07-01", training.StandingOf(plain, on(t, "2026-06-01")).Until.String(), "an edition that is known already counts for until")
	steps := training.StepsBetween(plain, on(t, "2026-05-01"), on(t, "2026-12-31"))
	var at []int64
	for _, s := range steps {
		at = append(at, s.At)
	}
	require.Equal(t, []int64{clock("2026-05-10T09:00"), clock("2026-05-10"), clock("2026-07-01T08:00")}, at[len(at)-3:])
}

// A change that is taken back within the day is one.
func TestUntilOfAChangeTakenBack(t *testing.T) {
	c := training.Judged(critical, training.History{Teaching: taught(), Facts: facts(met(1, "2026-07-01"), restrict(2, "2026-07-14T10:00"), met(3, "2026-07-14T11:00"), lift(4, "2026-07-14T12:00", 3))}, starterRules())
	require.Equal(t, "2026-07-14", training.StandingOf(c, on(t, "2026-07-02")).Until.String())
}

// Days begin where the book's zone has midnight.
func TestChangesBeginWithTheDayOfTheZone(t *testing.T) {
	zone, err := time.LoadLocation("America/Vancouver")
	require.NoError(t, err)
	c := training.Judged(critical, training.History{Teaching: taught(), Facts: signed()}, starterRules())
	c.Zone = zone
	day := day(t, "2026-08-08")
	_, changes := training.DayOf(c, training.Asked{Day: day, On: day.End(zone).Unix() - 1, Known: 1 << 40})
	require.Equal(t, []training.Change{{At: day.Start(zone).Unix(), Word: training.Lapsed}}, changes)
}
