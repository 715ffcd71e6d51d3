package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
)

// shownAt runs a command line at a real terminal and gives its exit code and all that the terminal shows.
func shownAt(t *testing.T, size pty.Winsize, set map[string]string, args ...string) (int, string) {
	t.Helper()
	keys, tty, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(tty, &size))
	at := time.Date(2026, time.May, 6, 10, 20, 0, 0, time.UTC)
	e := env{in: tty, out: tty, err: tty, getenv: func(name string) string { return set[name] }, now: func() time.Time { return at }}
	shown := make(chan string)
	go func() {
		text, _ := io.ReadAll(keys) // ends with the terminal
		shown <- string(text)
	}()
	code := run(t.Context(), e, args)
	require.NoError(t, tty.Close())
	text := strings.ReplaceAll(<-shown, "\r\n", "\n")
	require.NoError(t, keys.Close())
	return code, text
}

func TestPages(t *testing.T) {
	text, err := madeBooks["crew"]()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "book.db")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	small, large := pty.Winsize{Rows: 10, Cols: 80}, pty.Winsize{Rows: 2000, Cols: 80}
	list, word := []string{"house", "show"}, []string{"worker", "list"}
	for _, c := range []struct {
		name  string
		size  pty.Winsize
		set   map[string]string
		args  []string
		paged bool
	}{
		{"longer than the screen", small, map[string]string{"PAGER": "sed s/^/page_of_/"}, list, true},
		{"our own variable first", small, map[string]string{"PAGER": "false", "RINGTRUE_PAGER": "sed s/^/page_of_/"}, list, true},
		{"help", small, map[string]string{"PAGER": "sed s/^/page_of_/"}, []string{"help", "dates"}, true},
		{"help of a command", small, map[string]string{"PAGER": "sed s/^/page_of_/"}, []string{"skill", "observe", "--help"}, true},
		{"fits on the screen", small, map[string]string{"PAGER": "sed s/^/page_of_/"}, word, false},
		{"fits on a large screen", large, map[string]string{"PAGER": "sed s/^/page_of_/"}, list, false},
		{"turned off", small, map[string]string{"PAGER": "cat"}, list, false},
		{"JSON", small, map[string]string{"PAGER": "sed s/^/page_of_/"}, append(list, "--json"), false},
		{"plain", small, map[string]string{"PAGER": "sed s/^/page_of_/"}, append(list, "--plain"), false},
		{"dumb", small, map[string]string{"PAGER": "sed s/^/page_of_/", "TERM": "dumb"}, list, false},
		{"not installed", small, map[string]string{"PAGER": "no-such-pager-here"}, list, false},
		{"broken", small, map[string]string{"PAGER": "false"}, list, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.set["RINGTRUE_BOOK"] = path
			code, shown := shownAt(t, c.size, c.set, c.args...)
			require.Equal(t, exitDone, code, shown)
			whole := c.set
			whole["PAGER"], whole["RINGTRUE_PAGER"] = "cat", ""
			_, plain := shownAt(t, c.size, whole, c.args...)
			require.NotContains(t, plain, "page_of_")
			if c.paged {
				plain = "page_of_" + strings.ReplaceAll(strings.TrimSuffix(plain, "\n"), "\n", "\npage_of_") + "\n"
			}
			require.Equal(t, plain, shown)
		})
	}
}

// A pager that the reader ends before the last line is no error, and what the command answers stays its exit code.
func TestPagesEndedEarly(t *testing.T) {
	text, err := madeBooks["crew"]()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "book.db")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	set := map[string]string{"RINGTRUE_BOOK": path, "PAGER": "head -n 1"}
	code, shown := shownAt(t, pty.Winsize{Rows: 10, Cols: 80}, set, "standing", "ana", "--check")
	require.Equal(t, exitNo, code)
	require.Equal(t, 1, strings.Count(shown, "\n"), shown)
}

// What a command that writes says is never paged: it may ask.
func TestPagesNotWhereItWrites(t *testing.T) {
	text, err := madeBooks["crew"]()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "book.db")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	set := map[string]string{"RINGTRUE_BOOK": path, "PAGER": "sed s/^/page_of_/"}
	code, shown := shownAt(t, pty.Winsize{Rows: 2, Cols: 80}, set, "skill", "restrict", "ana", "3.3", "--reason", "seen")
	require.Equal(t, exitDone, code)
	require.Contains(t, shown, "restricted Ana Ruiz")
	require.NotContains(t, shown, "page_of_")
}

func TestScreenRows(t *testing.T) {
	for text, rows := range map[string]int{"": 0, "a\n": 1, "a": 1, "\n\n": 2, strings.Repeat("ü", 80) + "\n": 1, strings.Repeat("ü", 81) + "\nb\n": 3} {
		require.Equal(t, rows, screenRows(text, 80), text)
	}
}

// The answer of a check is one screen, without a pager, once it is recorded; all of it is paged from its first line.
func TestPagesOfATailgateCheck(t *testing.T) {
	made, err := madeBooks["crew"]()
	require.NoError(t, err)
	path, sheet := filepath.Join(t.TempDir(), "book.db"), filepath.Join(t.TempDir(), "day.yaml")
	require.NoError(t, os.WriteFile(path, made, 0o600))
	set := map[string]string{"RINGTRUE_BOOK": path, "NOW": "2026-05-06T06:30", "PAGER": "head -n 1"}
	_, said := inside(func(name string) string { return set[name] }, "tailgate", "sheet", "--block", "B7", "-o", sheet)
	text, err := os.ReadFile(sheet)
	require.NoError(t, err, said)
	require.NoError(t, os.WriteFile(sheet, []byte(fill(string(text), map[string]string{}, map[string]string{"crew": plainCrew, "saws": plainSaws})), 0o600))
	code, shown := shownAt(t, pty.Winsize{Rows: 24, Cols: 80}, set, "tailgate", "check", "--from", sheet)
	require.Equal(t, exitDone, code, shown)
	lines := strings.Split(strings.TrimSpace(shown), "\n")
	require.Greater(t, len(lines), 10, "a pager would end behind the first line")
	require.Less(t, len(lines), 24, shown)
	require.Contains(t, lines[0], "GO   B7 Upper Larch")
	require.NotContains(t, shown, "entry ")
	_, shown = shownAt(t, pty.Winsize{Rows: 24, Cols: 80}, set, "tailgate", "show", "--block", "B7", "--full")
	require.Len(t, strings.Split(strings.TrimSpace(shown), "\n"), 1, shown)
	require.Contains(t, shown, "GO  (block B7, ")
	_, said = inside(func(name string) string { return set[name] }, "book", "dump")
	require.Contains(t, said, `"kind":"tailgate"`)
	set["PAGER"] = "sed s/^/page_of_/"
	code, shown = shownAt(t, pty.Winsize{Rows: 4, Cols: 80}, set, "tailgate", "change", "thunder", "--decision", "to the truck", "--told", "all")
	require.Equal(t, exitNo, code, shown)
	require.Contains(t, shown, "page_of_")
}
