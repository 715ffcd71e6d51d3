package training_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// seasons makes up five years of one worker and one skill: 50 facts (looks and a yearly sign-off) and 1,000 joins.
func seasons(first civil.Day) training.History {
	h := training.History{Teaching: taught()}
	day := first
	for i := range 50 {
		f := training.Fact{Entry: training.Ref(2000 + i), Kind: training.FactObservation, Code: uint8(training.OutcomeMet), By: uint32(i % 3), Day: day, Until: civil.None}
		if i%10 == 9 {
			f.Kind, f.Code, f.Until = training.FactSignOff, 0, day.AddMonths(12)
			f.Cites = []training.Ref{f.Entry - 3, f.Entry - 2, f.Entry - 1}
		}
		f.At = int64(day)*86400 + 43200
		f.Recorded = f.At
		h.Facts = append(h.Facts, f)
		day += 36
	}
	for year := range civil.Day(5) {
		for i := range civil.Day(200) {
			day := first + year*365 + i
			at := int64(day)*86400 + 25200
			h.Uses = append(h.Uses, training.Fact{Entry: training.Ref(len(h.Uses)), Kind: training.FactUse, Day: day, Until: civil.None, At: at, Recorded: at})
		}
	}
	return h
}

// BenchmarkStanding asks about today, and about a day three years back with all that is known now.
func BenchmarkStanding(b *testing.B) {
	first := civil.Date(2021, 5, 1)
	h, r := seasons(first), starterRules()
	require.Len(b, h.Facts, 50)
	require.Len(b, h.Uses, 1000)
	for name, day := range map[string]civil.Day{"today": civil.Date(2026, 4, 20), "past": civil.Date(2023, 4, 20)} {
		b.Run(name, func(b *testing.B) {
			a := endOfDay(day, civil.Date(2026, 4, 20))
			require.True(b, training.StandingOf(training.Judged(critical, h, r), a).Held())
			b.ReportAllocs()
			for b.Loop() {
				training.StandingOf(training.Judged(critical, h, r), a)
			}
		})
	}
}

// BenchmarkMatrix answers for 500 workers and 43 skills.
func BenchmarkMatrix(b *testing.B) {
	const workers, skills = 500, 43
	r := starterRules()
	var histories []training.History
	for w := range workers {
		histories = append(histories, seasons(civil.Date(2021, 5, 1)+civil.Day(w%20)))
	}
	a := endOfDay(civil.Date(2026, 4, 20), civil.Date(2026, 4, 20))
	list := make([]training.Skill, skills)
	for i := range list {
		list[i] = training.Skill{ID: fmt.Sprint(i), Critical: i < 29, Emergency: i >= 40}
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, h := range histories {
			for _, s := range list {
				training.StandingOf(training.Judged(s, h, r), a)
			}
		}
	}
}
