package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// How often each command that writes a file is killed while it does; the long run is -faults 100.
var faults = flag.Int("faults", 3, "how often each command that writes a file is killed")

// program gives a path under which the test binary is the program.
func program(t *testing.T) string {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "ringtrue")
	require.NoError(t, os.Symlink(self, path))
	return path
}

// runsOn gives the environment of a command on a book.
func runsOn(book string) []string {
	return append(os.Environ(), "RINGTRUE_BOOK="+book, "NOW=2026-05-08T07:00", "TZ=UTC")
}

// Killed at any moment while it writes a file, a command leaves the whole file or none, nothing that could be taken for
// it, and the book as it was.
func TestCommandsKilledWhileTheyWriteAFile(t *testing.T) {
	text, err := madeBooks["crew"]()
	require.NoError(t, err)
	exe := program(t)
	for _, c := range []struct {
		name  string
		write []string
		whole func(out string) []string // a command line that ends well if the file is whole
	}{
		{"export", []string{"workbook", "export", "-o"}, func(out string) []string { return []string{"book", "verify", "--against", out} }},
		{"carry", []string{"book", "carry", "-o"}, func(out string) []string { return []string{"book", "take", out} }},
		{"backup", []string{"book", "backup", "-o"}, func(out string) []string { return []string{"book", "verify", "--book", out} }},
		{"seal", []string{"book", "seal", "-o"}, func(out string) []string { return []string{"book", "verify", "--against", out} }},
	} {
		whole := 0
		for n := range *faults {
			dir := t.TempDir()
			book, out := filepath.Join(dir, "book.db"), filepath.Join(dir, "out.xlsx")
			require.NoError(t, os.WriteFile(book, text, 0o600))
			after := time.Duration(rand.IntN(400)) * time.Millisecond
			if n == 0 { // the first runs to its end
				after = time.Minute
			}
			kill(t, exe, book, after, append(c.write, out))
			mustRun(t, exe, book, "book", "verify")
			if _, err := os.Stat(out); err == nil {
				whole++
				mustRun(t, exe, book, c.whole(out)...)
			}
		}
		require.NotZero(t, whole, c.name)
	}
}

// kill runs a command and ends it the hard way after a while.
func kill(t *testing.T, exe, book string, after time.Duration, args []string) {
	t.Helper()
	c := exec.CommandContext(t.Context(), exe, args...)
	c.Env = runsOn(book)
	require.NoError(t, c.Start())
	timer := time.AfterFunc(after, func() { _ = c.Process.Kill() })
	_ = c.Wait() // killed, or done
	timer.Stop()
}

func mustRun(t *testing.T, exe, book string, args ...string) {
	t.Helper()
	c := exec.CommandContext(t.Context(), exe, args...)
	c.Env = runsOn(book)
	said, err := c.CombinedOutput()
	require.NoError(t, err, fmt.Sprint(args, "\n", string(said)))
}
