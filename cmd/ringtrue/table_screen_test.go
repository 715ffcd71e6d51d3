package main

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTableOnScreen(t *testing.T) {
	rows := [][]string{{"RULE", "VALUE", "NOTE", "SOURCE"}, {"looks", "3", "", "company choice, no source; nothing was found"}, {"days", "2", "", ""}}
	require.Equal(t, aligned(rows, 0), onScreen(rows, 80), "what fits stays as it is, empty columns too")
	require.Equal(t, aligned(rows, 0), onScreen(rows, 0))
	require.Equal(t, []string{
		"RULE   VALUE",
		"    SOURCE",
		"looks  3",
		"    company choice, no source; nothing was",
		"      found",
		"days   2",
		"nothing in: NOTE",
	}, folding(t, rows, 44))
	rows = [][]string{{"ENTRY", "WHAT", "DUE"}, {"1768", "a bent stem sprang back past the guard", "2026-06-08 (170 days ago)"}}
	require.Equal(t, []string{
		"ENTRY",
		"1768",
		"    what: a bent stem sprang",
		"      back past the guard",
		"    due: 2026-06-08 (170 days",
		"      ago)",
	}, folded(rows, 31))
}

// folding is what is shown where the table is folded, whatever takes fewer lines.
func folding(t *testing.T, rows [][]string, wide int) []string {
	t.Helper()
	kept, empty := withoutEmpty(rows)
	require.Equal(t, []string{"NOTE"}, empty)
	return append(folded(kept, wide), "nothing in: "+strings.Join(empty, ", "))
}

// Nothing is lost, and nothing is wider than the screen where words let it.
func TestTableOnScreenKeepsEveryWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide := rapid.IntRange(40, 120).Draw(t, "columns")
		cell := rapid.Map(rapid.SliceOfN(rapid.StringMatching(`[a-zé]{1,12}`), 0, 20), func(words []string) string { return strings.Join(words, " ") })
		n := rapid.IntRange(1, 6).Draw(t, "cells")
		rows := rapid.SliceOfN(rapid.SliceOfN(cell, n, n), 1, 5).Draw(t, "rows")
		for i := range n {
			rows[0][i] = "HEAD"
		}
		for _, r := range rows {
			r[0] = "id" // the first column always stands beside the others
		}
		has := " " + strings.Join(strings.Fields(strings.Join(onScreen(rows, wide), " ")), " ") + " "
		for _, r := range rows[1:] {
			for _, w := range strings.Fields(strings.Join(r, " ")) {
				require.Contains(t, strings.ReplaceAll(has, ";", " "), " "+w+" ")
			}
		}
		for _, line := range onScreen(rows, wide) {
			require.LessOrEqual(t, utf8.RuneCountInString(line), wide)
		}
	})
}

func TestReasonsOfSkillsSaidOnce(t *testing.T) {
	require.Equal(t, []string{
		"gate skills 1.3, 2.1: the latest look is not met, or there is none", "skills 1.1, 2.2: lapsed", "skill 8.3 is restricted; only as instruction (entry 13)",
		"skills 9.1, 9.2: credited, not yet seen here", "released for light-brush (entry 9)",
	}, sameOnce([]string{
		"gate skill 1.3: the latest look is not met, or there is none", "gate skill 2.1: the latest look is not met, or there is none (entry 4)",
		"skill 1.1 is lapsed (entry 7)", "skill 8.3 is restricted; only as instruction (entry 13)", "skill 2.2 is lapsed (entry 8)",
		"skill 9.1: credited, not yet seen here", "skill 9.2: credited, not yet seen here", "released for light-brush (entry 9)",
	}))
}

func TestTodayTogether(t *testing.T) {
	p := matrixExample(t, 3).people
	list := together([]todo{
		{Rank: rankStopped, What: "saw S1 is out of use", Who: "", Next: "ringtrue saw clear S1"},
		{Rank: rankOverdue, What: "ran out: 1.1", Who: "p00", Next: "ringtrue standing worker0"},
		{Rank: rankOverdue, What: "ran out: 1.2", Who: "p01", Next: "ringtrue standing worker1"},
		{Rank: rankOverdue, What: "ran out: 1.1", Who: "p02", Next: "ringtrue standing worker2"},
		{Rank: rankOverdue, What: "heads were not counted on block B7: 2026-05-06", Who: "p00", Next: "close the 6th", About: "heads were not counted on block B7:", Day: "2026-05-06"},
		{Rank: rankOverdue, What: "heads were not counted on block B7: 2026-05-08", Who: "p01", Next: "close the 8th", About: "heads were not counted on block B7:", Day: "2026-05-08"},
	}, p)
	require.Len(t, list, 4)
	require.Equal(t, []string{"2026-05-06", "2026-05-08"}, list[3].days, "one line for all days of a block")
	require.Equal(t, "close the 8th", list[3].Next)
	require.Equal(t, []string{"p00", "p02"}, list[1].who)
	require.Equal(t, "ringtrue standing WORKER", list[1].Next)
	require.Equal(t, "ringtrue standing worker1", list[2].Next)
	require.Equal(t, "ran out: 1.1, 1.2, 1.3, 1.4 and 3 more", fewer("ran out: 1.1, 1.2, 1.3, 1.4, 2.1, 2.2, 2.3"))
	require.Equal(t, "close-call: a stem sprang back, nobody near", fewer("close-call: a stem sprang back, nobody near"))
}

func TestStandingsAlikeSaidOnce(t *testing.T) {
	until := "2027-01-01"
	rows := []standingRow{
		{Skill: "1.1", Standing: "under training", Reasons: []string{"not seen"}}, {Skill: "1.2", Standing: "under training", Reasons: []string{"not seen"}},
		{Skill: "1.3", Standing: "under training", Reasons: []string{"seen once"}}, {Skill: "2.1", Standing: "under training", Reasons: []string{"not seen"}},
		{Skill: "2.2", Standing: "signed off", Until: &until},
	}
	apart, alike := apartAndAlike(rows)
	require.Equal(t, []standingRow{rows[2], rows[4]}, apart)
	require.Equal(t, [][]standingRow{{rows[0], rows[1], rows[3]}}, alike)
}

func TestHelpFlowsToTheScreen(t *testing.T) {
	const help = "Usage:\n  ringtrue x [flags]\n\nThis line is running text and goes on for more than sixty columns, so that\nit is joined with the next.\nShort.\nFlags:\n" +
		"      --appoint stringArray   first appointment, with all of its duties behind the name"
	require.Equal(t, help, flowing(help, 0))
	require.Equal(t, "Usage:\n  ringtrue x [flags]\n\nThis line is running text and goes on for more than sixty\ncolumns, so that it is joined with the next.\nShort.\nFlags:\n"+
		"      --appoint stringArray   first appointment, with all of\n                              its duties behind the name", flowing(help, 60))
}
