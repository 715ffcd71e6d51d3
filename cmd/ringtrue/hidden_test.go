package main

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/visible"
)

// oddWords are put in place of words of another truck's book, as long in bytes as these: what our program would never have recorded
// there. A control character stands in JSON as its escape; the others stand as they are (RFC 8785 section 3.2.2.2).
var oddWords = map[string]string{
	"Upper Larch":      `\u001b[2Jxy`,
	"red gate":         `\u0007!!`,
	"radio 5":          `\u0002!`,
	"carry to the":     "\u202eeht ot yr",
	"content compared": "\u2066derapmoc tnen",
	"showed the":       `\u001b[A!!`,
	"the saw jumped":   "\u009b31mm saw jum",
	"Ruiz":             "\u202ez",
}

// spoil replaces the words in the entries of a book and in its people, so that hashes, commitments and all are as a program without our
// care had made them.
func spoil(t *testing.T, path string) {
	t.Helper()
	changed := spoiledPeople(t, path)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	for was, is := range changed {
		text = bytes.ReplaceAll(text, []byte(was), []byte(is))
	}
	code, dump := inside(getBook(path, "2026-05-07T18:00"), "book", "dump")
	require.Equal(t, exitDone, code)
	for line := range strings.Lines(dump) {
		var row struct {
			Leaf  string          `json:"leaf"`
			Entry json.RawMessage `json:"entry"`
		}
		require.NoError(t, json.Unmarshal([]byte(line), &row))
		now := string(row.Entry)
		for was, is := range changed {
			now = strings.ReplaceAll(now, was, is)
		}
		if now == string(row.Entry) {
			continue
		}
		before, after := sha256.Sum256(append([]byte{0}, row.Entry...)), sha256.Sum256(append([]byte{0}, now...))
		require.Equal(t, row.Leaf, fmt.Sprintf("%x", before))
		require.Contains(t, string(text), string(before[:]))
		text = bytes.ReplaceAll(text, before[:], after[:])
	}
	require.NoError(t, os.WriteFile(path, text, 0o600))
}

// spoiledPeople are the replacements, with the commitments to the changed names.
func spoiledPeople(t *testing.T, path string) map[string]string {
	t.Helper()
	book, err := store.Open(t.Context(), path, store.ForReading)
	require.NoError(t, err)
	defer book.Close()
	people, err := book.People(t.Context())
	require.NoError(t, err)
	changed := map[string]string{}
	for was, is := range oddWords {
		require.Len(t, is, len(was), "%s", was)
		changed[was] = is
		for _, p := range people {
			before, err := p.Commitment()
			require.NoError(t, err)
			p.Name = strings.ReplaceAll(p.Name, was, is)
			after, err := p.Commitment()
			require.NoError(t, err)
			if before != after {
				changed[before] = after
			}
		}
	}
	return changed
}

func getBook(path, now string) func(string) string {
	return func(name string) string { return map[string]string{"RINGTRUE_BOOK": path, "NOW": now}[name] }
}

var entryNamed = regexp.MustCompile(`(?m)^entry (\d+)`)

// Another truck's book brings characters that move the cursor, ring, clear the screen and turn the direction of writing. Every command that
// shows what the book holds shows them as what they are, and no page and no cell lets them through.
func TestTextFromElsewhereIsPrintable(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	theirs, ours := bookFile(t, "crew"), at("ours.db")
	must := func(path, now string, args ...string) string {
		code, said := inside(getBook(path, now), args...)
		require.Contains(t, []int{exitDone, exitNo}, code, "%v\n%s", args, said)
		return said
	}
	must(theirs, "2026-05-06T06:40", "tailgate", "sheet", "--block", "B7", "-o", at("day.yaml"))
	text, err := os.ReadFile(at("day.yaml"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(at("day.yaml"), []byte(fill(string(text), map[string]string{}, map[string]string{"crew": plainCrew, "saws": plainSaws})), 0o600))
	must(theirs, "2026-05-06T06:45", "tailgate", "check", "--from", at("day.yaml"))
	must(theirs, "2026-05-06T09:00", "event", "add", "--kind", "close call", "--what", "the saw jumped", "--block", "B7", "--as", "luis")
	said := must(theirs, "2026-05-06T09:30", "skill", "restrict", "ana", "3.3", "--reason", "showed the wrong side", "--as", "luis")
	must(theirs, "2026-05-06T09:40", "worker", "says", entryNamed.FindStringSubmatch(said)[1], "content compared", "--as", "ana")
	spoil(t, theirs)
	must(theirs, "2026-05-07T18:00", "book", "carry", "-o", at("theirs.carry"))
	must(ours, "2026-05-01T07:00", "init", "--company", "Birch Creek Thinning", "--owner", "C. Sol", "--jurisdiction", "bc", "--zone", "UTC", "--device", "truck-2")
	must(ours, "2026-05-07T19:00", "book", "take", at("theirs.carry"))

	showed := 0
	for _, line := range []string{
		"today", "standing", "standing ana", "standing ben --changes", "worker list", "worker show ana", "worker show ben", "block list", "block show B7",
		"block show B7 --json", "evidence show ana", "evidence show ben", "evidence show ben --json", "evidence against", "tailgate show --block B7", "tailgate show --block B7 --full",
		"tailgate show --block B7 --why", "tailgate show --block B7 --lang fr", "tailgate show --block B7 --json",
		"tailgate sheet --block B7", "hurt", "hurt --lang es", "event list", "event list --json", "plan training", "plan training --all", "plan kit --block B7 --saws 4 --people 5",
		"ppe list", "module show M3", "skill show 3.3", "house show", "rules list", "book head", "book verify", "saw list", "saw due", "key list",
		"worker show aan", "block show B8", "standing anaa", "skill observe ana 99", "tailgate show --block Upper",
		"book strike 10 --reason x --try", "worker forget ana --try",
	} {
		_, said := inside(getBook(ours, "2026-05-07T20:00"), wordsOf(line, '\'')...)
		requirePrintable(t, line, said)
		if strings.Contains(said, `\u`) {
			showed++
		}
	}
	require.Greater(t, showed, 12, "the odd words are hardly shown by anything")

	must(ours, "2026-05-07T20:00", "tailgate", "print", "--block", "B7", "-o", at("crew.html"))
	must(ours, "2026-05-07T20:00", "tailgate", "sheet", "--block", "B7", "-o", at("next.yaml"))
	must(ours, "2026-05-07T20:00", "evidence", "print", "ben", "-o", at("ben.html"))
	must(ours, "2026-05-07T20:00", "workbook", "export", "--csv", at("audit"))
	must(ours, "2026-05-07T20:00", "workbook", "export", "-o", at("audit.xlsx"))
	for _, name := range []string{"crew.html", "ben.html", "next.yaml"} {
		text, err := os.ReadFile(at(name))
		require.NoError(t, err)
		requirePrintable(t, name, string(text))
	}
	page, err := os.ReadFile(at("crew.html"))
	require.NoError(t, err)
	require.Contains(t, string(page), `\u001b[2Jxy`)
	sheets := contents(t, os.DirFS(at("audit")))
	require.Contains(t, sheets, `Ana \u202ez`)
	requirePrintable(t, "CSV files", strings.NewReplacer("\ufeff", "", "\r\n", "\n").Replace(sheets))
	cells, err := zip.OpenReader(at("audit.xlsx"))
	require.NoError(t, err)
	defer cells.Close()
	sheets = contents(t, cells)
	require.Contains(t, sheets, `Ana \u202ez`)
	requirePrintable(t, "cells", strings.ReplaceAll(sheets, "\r\n", "\n"))
	require.NotRegexp(t, `_x00(0[0-8BCE-F]|1[0-9A-F])_`, sheets, "a control character in the way of the format")
}

// contents are all files of a folder in one text.
func contents(t *testing.T, files fs.FS) string {
	t.Helper()
	var all strings.Builder
	require.NoError(t, fs.WalkDir(files, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		f, err := files.Open(path)
		if err != nil {
			return err
		}
		defer f.Close()
		_, err = io.Copy(&all, f)
		return err
	}))
	return all.String()
}

func requirePrintable(t *testing.T, what, text string) {
	t.Helper()
	require.True(t, utf8.ValidString(text), what)
	at := strings.IndexFunc(text, visible.Hidden)
	if at >= 0 {
		require.Fail(t, "a hidden character is let through", "%s: %q", what, text[max(0, at-60):min(len(text), at+20)])
	}
}

// What the dump gives to a pipe stays byte for byte, because whoever reads it checks the hashes.
func TestTheDumpStaysAsItIsStored(t *testing.T) {
	path := bookFile(t, "")
	var out bytes.Buffer
	e := scriptEnv(getBook(path, "2026-05-07T18:00"), nil)
	e.in, e.out, e.err = strings.NewReader(""), &out, io.Discard
	require.Equal(t, exitDone, run(context.Background(), e, []string{"book", "dump"}))
	before := out.Len()
	spoil(t, path)
	out.Reset()
	require.Equal(t, exitDone, run(context.Background(), e, []string{"book", "dump"}))
	require.Equal(t, before, out.Len())
	require.Contains(t, out.String(), "\u202eeht ot yr")
}
