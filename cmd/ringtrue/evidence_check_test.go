package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger/credential"
)

// broughtAlong makes a book, signs Ana off at a time and gives the file that she takes along; each has a key of its own.
func broughtAlong(t *testing.T, now string) credential.Carried {
	t.Helper()
	file, _ := broughtFrom(t, now)
	return file
}

// broughtFrom gives the book, too.
func broughtFrom(t *testing.T, now string) (file credential.Carried, book string) {
	t.Helper()
	text, err := madeBooks["seen"]()
	require.NoError(t, err)
	dir := t.TempDir()
	book = filepath.Join(dir, "book.db")
	out := filepath.Join(dir, "ana.json")
	require.NoError(t, os.WriteFile(book, text, 0o600))
	getenv := func(name string) string { return map[string]string{"NOW": now, "RINGTRUE_BOOK": book}[name] }
	for _, args := range [][]string{{"skill", "sign", "ana", "3.3"}, {"evidence", "copy", "ana", "-o", out}} {
		code, said := inside(getenv, args...)
		require.Equal(t, exitDone, code, said)
	}
	text, err = os.ReadFile(out)
	require.NoError(t, err)
	file, err = credential.ReadCarried(text)
	require.NoError(t, err)
	return file, book
}

// checkedAlone checks a file where no book is.
func checkedAlone(t *testing.T, file credential.Carried) (code int, said string) {
	t.Helper()
	text, err := file.Write()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "brought.json")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	return inside(func(name string) string {
		return map[string]string{"NOW": "2026-05-07T08:00", "RINGTRUE_BOOK": path + ".none"}[name]
	}, "evidence", "check", path)
}

// Parts that are sound each by itself are refused where they do not belong together.
func TestPartsOfTwoFilesDoNotMix(t *testing.T) {
	one, other := broughtAlong(t, "2026-05-06T10:00"), broughtAlong(t, "2026-05-06T11:00")
	for name, c := range map[string]struct {
		mix func(f *credential.Carried)
		why string
	}{
		"nothing":     {func(*credential.Carried) {}, ""},
		"credential":  {func(f *credential.Carried) { f.Credentials = other.Credentials }, "the roster does not say whose key signed it"},
		"roster":      {func(f *credential.Carried) { f.Roster = other.Roster }, "the head: "},
		"head":        {func(f *credential.Carried) { f.Head = other.Head }, "the head: "},
		"proof":       {func(f *credential.Carried) { f.Proofs = other.Proofs }, "is not signed by the key"},
		"no proof":    {func(f *credential.Carried) { f.Proofs = []string{""} }, "read the proof: "},
		"no sign-off": {func(f *credential.Carried) { f.Credentials = []json.RawMessage{f.Roster} }, "no sign-off of a skill"},
		"no roster":   {func(f *credential.Carried) { f.Roster = f.Credentials[0] }, "another kind of credential"},
		"worker":      {func(f *credential.Carried) { f.Worker.Name = "Ben Holm" }, `it is of "Ana Ruiz", and the file of "Ben Holm"`},
		"text":        {func(f *credential.Carried) { f.Text = "released" }, "the text of the file was changed"},
	} {
		file := one
		c.mix(&file)
		text, err := file.Write()
		require.NoError(t, err)
		path := filepath.Join(t.TempDir(), "mixed.json")
		require.NoError(t, os.WriteFile(path, text, 0o600))
		code, said := inside(func(name string) string {
			return map[string]string{"NOW": "2026-05-07T08:00", "RINGTRUE_BOOK": path + ".none"}[name]
		}, "evidence", "check", path)
		if c.why == "" {
			require.Equal(t, exitDone, code, said)
			continue
		}
		require.Equal(t, exitNo, code, name)
		require.Contains(t, said, "REFUSED: ", name)
		require.Contains(t, said, c.why, name)
	}
}

// What the company vouches a key for, and when, bounds what it may sign.
func TestTheCompanyVouchesForDaysAndDuties(t *testing.T) {
	key := carriedKey{From: "2026-05-06", Until: "2026-06-01", Duties: []string{"teach", "sign"}}
	require.NoError(t, vouchedFor(carriedKey{}, "2026-05-05", "sign"), "nobody vouched, and the basis says so")
	require.NoError(t, vouchedFor(key, "2026-05-06", "sign"))
	require.NoError(t, vouchedFor(key, "2026-05-31", "sign"))
	require.ErrorContains(t, vouchedFor(key, "2026-05-05", "sign"), "from 2026-05-06 until 2026-06-01")
	require.ErrorContains(t, vouchedFor(key, "2026-06-01", "sign"), "signed on 2026-06-01")
	key.Until, key.Duties = "", []string{"teach"}
	require.ErrorContains(t, vouchedFor(key, "2026-05-05", "sign"), "until further notice")
	require.ErrorContains(t, vouchedFor(key, "2026-05-06", "sign"), "for teach, not for sign")
}

// A name must not move the cursor of who checks it.
func TestPlainText(t *testing.T) {
	require.True(t, plainText(map[string]any{"a": []any{"Zoë Ñandú", true}}))
	for _, bad := range []any{"Ana\x1b[2J", []any{"x\ny"}, map[string]any{"a": map[string]any{"b": "\u202e"}}, map[string]any{"\x07": "x"}} {
		require.False(t, plainText(bad), bad)
	}
}

// The same sign-off twice is one.
func TestASignOffStandsOnceInAFile(t *testing.T) {
	file := broughtAlong(t, "2026-05-06T10:00")
	file.Credentials, file.Proofs = append(file.Credentials, file.Credentials[0]), append(file.Proofs, file.Proofs[0])
	text, err := file.Write()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "twice.json")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	code, said := inside(func(name string) string {
		return map[string]string{"NOW": "2026-05-07T08:00", "RINGTRUE_BOOK": path + ".none"}[name]
	}, "evidence", "check", path)
	require.Equal(t, exitNo, code, said)
	require.Contains(t, said, "REFUSED: it stands in the file already")
}
