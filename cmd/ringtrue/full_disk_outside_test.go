//go:build outside && linux

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// A disk of its own, small and full: a tmpfs, which only an administrator may mount. Everything that was acknowledged
// before it was full is there afterwards, what was refused left nothing, and with space again the work goes on.

// smallDisk mounts so many MiB of memory as a disk for the length of the test.
func smallDisk(t *testing.T, size int) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, syscall.Mount("tmpfs", dir, "tmpfs", 0, fmt.Sprintf("size=%dm", size)), "this test mounts a tmpfs and so needs an administrator's rights")
	t.Cleanup(func() { require.NoError(t, syscall.Unmount(dir, 0)) })
	return dir
}

// stuff writes a file until the disk takes no more, then gives back the last so many KiB.
func stuff(t *testing.T, dir string, spare int64) (ballast string) {
	t.Helper()
	ballast = filepath.Join(dir, "ballast")
	f, err := os.Create(ballast)
	require.NoError(t, err)
	defer f.Close()
	var size int64
	for err == nil {
		var n int
		n, err = f.Write(make([]byte, 4096))
		size += int64(n)
	}
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NoError(t, f.Truncate(size-spare<<10))
	return ballast
}

// attempt runs a command line on a book and gives what it said and how it ended.
func attempt(t *testing.T, exe, book string, args ...string) (said string, code int) {
	t.Helper()
	c := exec.CommandContext(t.Context(), exe, args...)
	c.Env = runsOn(book)
	out, _ := c.CombinedOutput() // the exit code tells
	return string(out), c.ProcessState.ExitCode()
}

func TestAFullDisk(t *testing.T) {
	text, err := madeBooks["crew"]()
	require.NoError(t, err)
	exe, disk := program(t), smallDisk(t, 12)
	book := filepath.Join(disk, "book.db")
	require.NoError(t, os.WriteFile(book, text, 0o600))
	mustRun(t, exe, book, "book", "verify")
	ballast := stuff(t, disk, 80)

	added := addUntilFull(t, exe, book)
	require.Greater(t, added, 0, "the disk was full before anything was written")
	requireAdded(t, exe, book, added)
	requireNoCopies(t, exe, book, disk)

	require.NoError(t, os.Remove(ballast))
	mustRun(t, exe, book, "worker", "add", "Nell Afterward")
	requireAdded(t, exe, book, added)
}

// addUntilFull adds workers until one is refused, and says how many were acknowledged.
func addUntilFull(t *testing.T, exe, book string) (added int) {
	t.Helper()
	for added < 1000 {
		said, code := attempt(t, exe, book, "worker", "add", fmt.Sprintf("Rowan Number%d", added))
		if code != exitDone {
			require.Contains(t, said, "the disk is full; nothing was written")
			require.Contains(t, said, "free some space")
			return added
		}
		added++
	}
	require.Fail(t, "the disk never was full")
	return added
}

func requireAdded(t *testing.T, exe, book string, added int) {
	t.Helper()
	mustRun(t, exe, book, "book", "verify")
	said, code := attempt(t, exe, book, "worker", "list")
	require.Equal(t, exitDone, code, said)
	require.Equal(t, added, strings.Count(said, "Rowan Number"))
}

// requireNoCopies has every command that writes a file try it on the full disk: each refuses and leaves none.
func requireNoCopies(t *testing.T, exe, book, disk string) {
	t.Helper()
	before := filesIn(t, disk)
	for _, args := range [][]string{{"workbook", "export", "-o", "out.xlsx"}, {"book", "backup", "-o", "out.db"}, {"book", "carry", "-o", "out.carry"}, {"skill", "sheet", "1.1", "-o", "out.html"}} {
		args[len(args)-1] = filepath.Join(disk, args[len(args)-1])
		said, code := attempt(t, exe, book, args...)
		require.NotEqual(t, exitDone, code, "%v: %s", args, said)
		require.Contains(t, said, "disk is full", "%v", args)
	}
	require.Equal(t, before, filesIn(t, disk))
}

func filesIn(t *testing.T, dir string) (list []string) {
	t.Helper()
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, f := range files {
		list = append(list, f.Name())
	}
	return list
}
