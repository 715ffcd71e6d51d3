package training_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

const awayDays = 180

func oriented(at, kind string) training.Oriented {
	f := fact(0, at, 0, 0)
	return training.Oriented{At: f.At, Day: f.Day, Kind: kind}
}

func changed(at, why string) training.Changed {
	f := fact(0, at, 0, 0)
	return training.Changed{At: f.At, Day: f.Day, Why: why}
}

func TestOrientationDue(t *testing.T) {
	morning := []training.Oriented{oriented("2026-05-04T07:00", "bog")}
	for _, c := range []struct {
		name    string
		arrival training.Arrival
		kind    string
		at      string
		want    []string
	}{
		{"never", training.Arrival{LastSawUse: civil.None}, "", "2026-05-04", []string{"no orientation yet"}},
		{"not yet", training.Arrival{Orientations: morning, LastSawUse: civil.None}, "", "2026-05-04T06:59", []string{"no orientation yet"}},
		{"oriented", training.Arrival{Orientations: morning, LastSawUse: civil.None}, "bog", "2026-05-04T07:00", nil},
		{"other ground", training.Arrival{Orientations: morning, LastSawUse: civil.None}, "steep", "2026-05-04T07:00", []string{`no orientation for ground of the kind "steep"`}},
		{"hazards changed at noon of the same day", training.Arrival{Orientations: morning, Changes: []training.Changed{changed("2026-05-04T12:00", "washed out")}, LastSawUse: civil.None}, "", "2026-05-04T12:00",
			[]string{"hazards changed on 2026-05-04: washed out"}},
		{"not changed yet", training.Arrival{Orientations: morning, Changes: []training.Changed{changed("2026-05-04T12:00", "washed out")}, LastSawUse: civil.None}, "", "2026-05-04T11:59", nil},
		{"changed at dawn, oriented after it", training.Arrival{Orientations: morning, Changes: []training.Changed{changed("2026-05-04T06:00", "washed out")}, LastSawUse: civil.None}, "", "2026-05-04", nil},
		{"told for the same day, both without a time", training.Arrival{Orientations: []training.Oriented{oriented("2026-05-04", "bog")}, Changes: []training.Changed{changed("2026-05-04", "washed out")}, LastSawUse: civil.None},
			"", "2026-05-04", []string{"hazards changed on 2026-05-04: washed out"}},
		{"180 days away", training.Arrival{Orientations: morning, LastSawUse: civil.None}, "", "2026-10-31", nil},
		{"181 days away", training.Arrival{Orientations: morning, LastSawUse: civil.None}, "", "2026-11-01", []string{"away since 2026-05-04, more than 180 days"}},
		{"181 days after the last saw use", training.Arrival{Orientations: morning, LastSawUse: civil.Date(2026, 10, 1)}, "", "2027-03-31", []string{"away since 2026-10-01, more than 180 days"}},
	} {
		f := fact(0, c.at, 0, 0)
		require.Equal(t, c.want, training.OrientationDue(c.arrival, c.kind, training.Asked{Day: f.Day, On: f.At}, awayDays), c.name)
	}
}

// The latest of orientations and changes decides, by its second and not by its day; the order in which they are told does not.
func TestOrientationByMoments(t *testing.T) {
	due := 0
	rapid.Check(t, func(t *rapid.T) {
		day := civil.Date(2026, 5, 4)
		moment := func(what string) int64 { return int64(day)*86400 + int64(rapid.IntRange(0, 3*24).Draw(t, what))*3600 }
		a := training.Arrival{LastSawUse: civil.None}
		asked := training.Asked{On: moment("asked")}
		asked.Day = dayOf(asked.On)
		last, changed := int64(-1), int64(-1)
		for range rapid.IntRange(1, 4).Draw(t, "orientations") {
			at := moment("oriented")
			a.Orientations = append(a.Orientations, training.Oriented{At: at, Day: dayOf(at)})
			if at <= asked.On {
				last = max(last, at)
			}
		}
		for range rapid.IntRange(0, 3).Draw(t, "changes") {
			at := moment("changed")
			a.Changes = append(a.Changes, training.Changed{At: at, Day: dayOf(at), Why: "x"})
			if at <= asked.On {
				changed = max(changed, at)
			}
		}
		want := last < 0 || changed >= last
		require.Equal(t, want, training.OrientationDue(a, "", asked, awayDays) != nil, "%+v asked %+v", a, asked)
		if want && dayOf(changed) == dayOf(last) {
			due++
		}
	})
	require.Positive(t, due, "no history had a change on the day of the orientation")
}

// Being away counts from saw use: joined with a saw, or observed.
func TestLastSawUse(t *testing.T) {
	a := on(t, "2026-06-01")
	other := fact(9, "2026-05-30", training.FactOther, 0)
	require.Equal(t, civil.None, training.LastSawUse(facts(other, look(1, "2026-05-20", training.Incomplete), struck(met(2, "2026-05-21")), met(3, "2026-06-02")), a))
	require.Equal(t, "2026-05-09", training.LastSawUse(facts(join("2026-05-09"), met(3, "2026-05-08"), other), a).String())
	require.Equal(t, "2026-05-11", training.LastSawUse(facts(join("2026-05-09"), look(3, "2026-05-11", training.CriticalMissed)), a).String())
	a.Known = fact(0, "2026-05-10", 0, 0).At
	require.Equal(t, "2026-05-09", training.LastSawUse(facts(join("2026-05-09"), look(3, "2026-05-11", training.CriticalMissed)), a).String(), "not known then")
}
