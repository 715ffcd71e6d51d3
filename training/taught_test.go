package training_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
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
		require.Equal(t, want, training.CannotLift(critical, h, starterRules(), on(t, "2026-07-17"), look), "look %d", look)
	}
	h := training.History{Facts: facts(met(1, "2026-07-01")), Teaching: taught()}
	require.Equal(t, "the skill is not restricted", training.CannotLift(critical, h, starterRules(), on(t, "2026-07-17"), 1))
}

// What CannotLift lets pass lifts, and what it refuses would not have.
func TestCannotLiftAgreesWithStanding(t *testing.T) {
	lifted, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		var hist training.History
		for _, f := range h.asked(a.Known).Facts {
			if f.Recorded <= a.Known {
				hist.Facts = append(hist.Facts, f)
			}
		}
		if training.StandingOf(h.skill, hist, h.rules, a).Word != training.Restricted {
			return
		}
		look := rapid.SampledFrom(hist.Facts).Draw(t, "look")
		no := training.CannotLift(h.skill, hist, h.rules, a, look.Entry)
		l := training.Fact{Entry: 5000, Kind: training.FactLift, Day: a.Day, At: a.On, Recorded: a.Known, Cites: []training.Ref{look.Entry}, Void: look.Struck}
		with := training.History{Facts: append(slices.Clone(hist.Facts), l)}
		word := training.StandingOf(h.skill, with, h.rules, a).Word
		require.Equal(t, no != "", word == training.Restricted, "%q for entry %d, %s, asked %+v\n%s", no, look.Entry, word, a, h)
		if no == "" {
			lifted++
		} else {
			refused++
		}
	})
	require.Positive(t, lifted)
	require.Positive(t, refused)
}

func TestChangesOn(t *testing.T) {
	h := training.History{Teaching: taught(), Facts: signed(look(5, "2026-07-14T14:02", training.CriticalMissed), met(6, "2026-07-14T14:30"), lift(7, "2026-07-14T15:00", 6), restrict(8, "2026-07-15T09:00"))}
	clock := func(at string) int64 { return fact(0, at, 0, 0).At }
	require.Equal(t, []training.Change{{At: clock("2026-07-14T14:02"), Word: training.Restricted}, {At: clock("2026-07-14T15:00"), Word: training.UnderTraining}},
		training.ChangesOn(critical, h, starterRules(), on(t, "2026-07-14")))
	require.Empty(t, training.ChangesOn(critical, h, starterRules(), on(t, "2026-07-13")))
	require.Empty(t, training.ChangesOn(critical, h, starterRules(), on(t, "2026-08-08")), "what ran out overnight is not a change within the day")
	day := on(t, "2026-07-14")
	day.On = clock("2026-07-14T14:59")
	require.Len(t, training.ChangesOn(critical, h, starterRules(), day), 1)
}
