package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/against"
)

// On a season of the demo exactly what was planted is found: the list is the demo's own, written down where each use was made, and each is of
// another kind.
func TestDemoHoldsWhatItPlantsAndNoMore(t *testing.T) {
	tried := 0
	for _, size := range [][]string{
		{"--workers", "6", "--seed", "2"}, // here a look typed late once let somebody who was restricted saw
		{"--workers", "14"},
		{"--workers", "5", "--seasons", "2", "--seed", "4"},
	} {
		path := filepath.Join(t.TempDir(), "demo.db")
		getenv := func(name string) string {
			return map[string]string{"NOW": "2026-12-01T08:00", "RINGTRUE_BOOK": path}[name]
		}
		var made struct{ Planted []plantedUse }
		objectOf(t, &made, getenv, append([]string{"demo", "--json"}, size...)...)
		require.Len(t, made.Planted, 6, size)

		var found againstAnswer
		objectOf(t, &found, getenv, "evidence", "against", "--json")
		kinds := map[against.Code]bool{}
		byEntry := map[string]against.Code{}
		for _, p := range made.Planted {
			kinds[p.Kind], byEntry[p.Entry] = true, p.Kind
		}
		require.Len(t, kinds, 6, "six different kinds")
		require.Equal(t, 6, found.Clash, size)
		require.Greater(t, found.Uses, 100, size)
		for _, l := range found.Rows[:found.Clash] {
			require.Equal(t, byEntry[l.Entry], l.Now[0].Code, "entry %s, %v", l.Entry, size)
			require.Equal(t, l.Then, l.Now, "entry %s, %v", l.Entry, size)
		}
		tried++
	}
	require.Equal(t, 3, tried)
}

// objectOf runs a command line that prints one object.
func objectOf(t *testing.T, v any, getenv func(string) string, args ...string) {
	t.Helper()
	code, out := inside(getenv, args...)
	require.Equal(t, exitDone, code, out)
	require.NoError(t, json.Unmarshal([]byte(out), v), out)
}
