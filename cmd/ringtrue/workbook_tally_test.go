package main

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func TestOddDays(t *testing.T) {
	const today = civil.Day(20600)
	all := newTally()
	for key, d := range map[dayKey]dayTally{
		{today - 5, "B7"}: {checks: 1, worked: true, closed: true, looks: 2}, // nothing odd
		{today - 5, "B8"}: {looks: 1},                                        // the check was on another block
		{today - 5, ""}:   {upkeep: 1},                                       // some block had a check
		{today - 4, ""}:   {upkeep: 1},
		{today - 3, "B7"}: {checks: 2, worked: true},
		{today - 2, "B7"}: {checks: 1}, // on hold, and nobody started
		{today, "B7"}:     {checks: 1, worked: true, sawTime: 1},
	} {
		*tallyOf(all.days, key) = d
	}
	var got []string
	for _, d := range all.oddDays(today) {
		got = append(got, (d.day-today+5).String()+" "+d.block+" "+d.what)
	}
	day := func(n civil.Day) string { return n.String() }
	require.Equal(t, []string{day(0) + " B8 " + noTailgate, day(1) + "  " + noTailgate, day(2) + " B7 " + neverClosed, day(5) + " B7 " + notClosedYet}, got)
}

func TestSpoolGivesBackWhatWasPutAside(t *testing.T) {
	s, err := newSpool(t.TempDir(), "one")
	require.NoError(t, err)
	defer func() { require.NoError(t, s.file.Close()) }()
	body := func(seq string) []byte {
		return []byte(`{"by":"p1","data":{"block":"B7"},"happened":"2026-05-05T08:00:00Z","kind":"join","origin":"o/d","recorded":"2026-05-05T08:00:00Z","seq":` + seq + `}`)
	}
	require.NoError(t, s.add(7, signedOwn, body("7")))
	require.NoError(t, s.add(8, notSigned, body("8")))
	var refs []training.Ref
	for one, err := range s.all() {
		require.NoError(t, err)
		require.Equal(t, "B7", fieldOf(one.Header, "block"))
		require.Equal(t, int64(one.ref), one.Seq)
		require.Equal(t, one.ref == 7, one.signed == signedOwn)
		refs = append(refs, one.ref)
	}
	require.Equal(t, []training.Ref{7, 8}, refs)
}

// A filter leaves out what names another day, worker or block; what names none stays.
func TestFilterKeepsWhatNamesNothing(t *testing.T) {
	f := filter{workers: map[string]bool{"p1": true}, block: "B7", end: 1 << 62, words: []string{"narrow"}, events: map[string]bool{}, checks: map[string]bool{}}
	for _, c := range []struct {
		kind, worker, data string
		kept               bool
	}{
		{"sign-off", "p1", `{}`, true}, {"sign-off", "p2", `{}`, false}, {"observation", "p1", `{"block":"B8"}`, false}, {"observation", "p1", `{"block":""}`, true},
		{"upkeep", "", `{"saw":"S1"}`, true}, {"tailgate", "", `{"block":"B7","sheet":{"crew":[{"worker":"p2"}]}}`, false},
		{"close", "", `{"block":"B7","tailgate":"o#6"}`, false}, {"tailgate", "", `{"block":"B7","sheet":{"crew":[{"worker":"p2"},{"worker":"p1"}]}}`, true},
		{"event", "", `{"told_by":"p2"}`, false}, {"action", "", `{"event":"o#9"}`, false}, {"action-done", "", `{"action":"o#10"}`, false}, {"event", "", `{"told_by":""}`, true},
	} {
		h := ledger.Header{Kind: c.kind, Worker: c.worker, Origin: "o", Data: []byte(c.data), Seq: 1, Happened: time.Unix(100, 0)}
		switch {
		case c.kind == "tailgate" && !c.kept:
			h.Seq = 6
		case c.kind == "event" && !c.kept:
			h.Seq = 9
		case c.kind == "action":
			h.Seq = 10
		}
		require.Equal(t, c.kept, f.keeps(h), "%s %s", c.kind, c.data)
	}
}

// Names and reasons are of any length: their cells take several lines, as what hangs over is cut by the next cell.
func TestNamesTakeSeveralLines(t *testing.T) {
	seen := 0
	for _, c := range slices.Concat(common, last) {
		if c.Title == "Worker" || c.Title == "Recorded by" || c.Title == "Struck" {
			require.True(t, c.Wrap, c.Title)
			seen++
		}
	}
	require.Equal(t, 3, seen)
}
