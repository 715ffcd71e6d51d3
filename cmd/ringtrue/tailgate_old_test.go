package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards"
)

// A check recorded when dead trees, heavy rain and wind could stay blank is shown, and its day can change, as before: what it left out
// is named as not looked at.
func TestCheckOfAnEarlierFormat(t *testing.T) {
	path, sheet := bookFile(t, "crew"), filepath.Join(t.TempDir(), "day.yaml")
	run := func(now string, args ...string) (int, string) {
		set := map[string]string{"RINGTRUE_BOOK": path, "NOW": now}
		return inside(func(name string) string { return set[name] }, args...)
	}
	_, said := run("2026-05-06T06:40", "tailgate", "sheet", "--block", "B7", "-o", sheet)
	require.Contains(t, said, "wrote ")
	text, err := os.ReadFile(sheet)
	require.NoError(t, err)
	recordOld(t, path, fill(string(text), map[string]string{}, map[string]string{"crew": plainCrew, "saws": plainSaws}))

	code, said := run("2026-05-06T07:00", "tailgate", "show", "--block", "B7", "--answers")
	require.Equal(t, exitDone, code)
	require.Regexp(t, `(?m)^Walk the ground\tAre there standing dead or leaning trees [^\t]*\t\t\t\t\t$`, said)
	code, said = run("2026-05-06T08:10", "tailgate", "change", "rain", "--at", "08:00", "--decision", "saws off until the rock has dried", "--json")
	require.Contains(t, []int{exitDone, exitNo}, code, said)
	for _, blank := range []string{"wind force", "heavy rain", "standing dead and leaning trees"} {
		require.Contains(t, said, `"`+blank+`"`)
	}
	code, said = run("2026-05-06T08:20", "tailgate", "change", "ground", "--at", "08:15", "--answer", "dead-trees=no", "--decision", "looked at them", "--json")
	require.Contains(t, []int{exitDone, exitNo}, code, said)
	require.NotContains(t, said, `"standing dead and leaning trees"`)
}

// recordOld records a sheet without what format 1 let stay blank.
func recordOld(t *testing.T, path, text string) {
	t.Helper()
	at := time.Date(2026, 5, 6, 6, 45, 0, 0, time.UTC)
	e := stdEnv()
	e.getenv, e.now = func(string) string { return "" }, func() time.Time { return at }
	a := &app{env: e, ctx: t.Context(), path: path, as: "okafor"}
	defer a.close()
	require.NoError(t, a.write())
	s, err := hazards.ParseSheet("day.yaml", []byte(text))
	require.NoError(t, err)
	s.Answers = slices.DeleteFunc(s.Answers, func(one hazards.Answer) bool {
		return strings.Contains(" dead-trees heavy-rain wind-force ", " "+one.Question+" ")
	})
	require.Len(t, s.Blanks(), 3)
	_, err = a.checkSheet(s)
	require.NoError(t, err)
}
