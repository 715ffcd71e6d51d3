package store

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// childWork is what the test binary does as another program, beside appending.
var childWork = map[string]func(book, file string) error{
	"take": func(book, file string) error {
		return ofCopies(book, func(b *Book) error {
			_, err := b.Take(bg, file, minute(90))
			return err
		})
	},
	"forget": func(book, _ string) error {
		e := ledger.Entry{Kind: KindForgotten, Happened: minute(30), By: ada, Worker: bo, Data: ForgottenRecord{Reason: "x", House: own + "#1"}}
		return ofCopies(book, func(b *Book) error {
			_, err := b.Forget(bg, minute(30), e)
			return err
		})
	},
	"backup": func(book, folder string) error {
		for n := 0; ; n++ {
			b, err := Open(bg, book, ForReading)
			if err != nil {
				return err
			}
			if _, err := b.Backup(bg, filepath.Join(folder, fmt.Sprintf("%d.db", n))); err != nil {
				return err
			}
			fmt.Println(n)
			if err := b.Close(); err != nil {
				return err
			}
		}
	},
	"small disk": func(book, folder string) error { // no file may grow beyond 64 KiB
		signal.Ignore(syscall.SIGXFSZ)
		limit := syscall.Rlimit{Cur: 64 << 10, Max: 64 << 10}
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
			return err
		}
		b, err := Open(bg, book, ForReading)
		if err != nil {
			return err
		}
		if _, err := b.Backup(bg, filepath.Join(folder, "copy.db")); err == nil {
			return errors.New("the backup was made")
		}
		if _, err := Restore(bg, book, filepath.Join(folder, "restored.db"), "", minute(50), luck(9)); err == nil {
			return errors.New("the book was restored")
		}
		return nil
	},
}

// ofCopies does work on a fresh copy of a book again and again, so that there is something to do whenever it is killed. The
// copies stand in folders of their own beside the book.
func ofCopies(book string, work func(*Book) error) error {
	text, err := os.ReadFile(book)
	if err != nil {
		return err
	}
	for n := 0; ; n++ {
		path := filepath.Join(copiesOf(book), fmt.Sprint(n), "book.db")
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path+".new", text, 0o600), os.Rename(path+".new", path)); err != nil {
			return err
		}
		b, err := Open(bg, path, ForWriting)
		if err != nil {
			return err
		}
		if err := errors.Join(work(b), b.Close()); err != nil {
			return err
		}
		fmt.Println(n)
	}
}

func copiesOf(book string) string { return book + ".copies" }

// eachCopy calls f for the books that a killed child left, and removes them. It returns their number.
func eachCopy(t testing.TB, book string, f func(*Book)) int {
	t.Helper()
	books, err := filepath.Glob(filepath.Join(copiesOf(book), "*", "book.db"))
	require.NoError(t, err)
	for _, path := range books {
		b := open(t, path, ForWriting)
		requireSound(t, b)
		f(b)
		require.NoError(t, b.Close())
	}
	require.NoError(t, os.RemoveAll(copiesOf(book)))
	return len(books)
}

// closedWith gives the path of a closed book without a log beside it, after change.
func closedWith(t testing.TB, b *Book) string {
	t.Helper()
	require.NoError(t, b.Close())
	return b.Path()
}

// longFile is a second device's file with so many looks that taking them takes a while.
func longFile(t testing.TB, one *Book, n int) string {
	t.Helper()
	two := further(t, one, "truck-2", 30)
	require.NoError(t, two.Batch(bg, func() error {
		for i := range n {
			if _, err := two.Append(bg, minute(31+i), []ledger.Entry{worth(i)}); err != nil {
				return err
			}
		}
		return nil
	}))
	return carryOut(t, two, 31+n)
}

// moment is when to kill: the first time after something was done, however slow the machine is, then at random.
func moment(n, upTo int) time.Duration {
	if n == 0 {
		return 0
	}
	return time.Duration(10+rand.IntN(upTo)) * time.Millisecond
}

// Killed while it takes a file, a program leaves all of it in the book, or nothing; what it said is done is done.
func TestKilledWhileItTakes(t *testing.T) {
	one := firstDevice(t)
	file := longFile(t, one, 1000)
	path := closedWith(t, one)
	for n := range *crashes {
		done := killed(t, "take", path, moment(n, 300), file)
		whole := 0
		left := eachCopy(t, path, func(b *Book) {
			size, err := b.Size(bg, other)
			require.NoError(t, err)
			require.Contains(t, []int64{0, 1003}, size, "all or nothing")
			if size > 0 {
				whole++
			}
			mustTake(t, b, file, 91)
			require.EqualValues(t, 1003, heads(t, b)[other].Size)
		})
		require.GreaterOrEqual(t, whole, len(done))
		require.GreaterOrEqual(t, left, whole)
	}
}

// Killed while it makes backups, a program leaves only whole ones, and the book as it was.
func TestKilledWhileItBacksUp(t *testing.T) {
	b := firstDevice(t)
	want := heads(t, b)
	path := closedWith(t, b)
	folder, made := t.TempDir(), 0
	for n := range *crashes {
		to := filepath.Join(folder, fmt.Sprint(n))
		require.NoError(t, os.Mkdir(to, 0o700))
		done := killed(t, "backup", path, moment(n, 200), to)
		copies, err := filepath.Glob(filepath.Join(to, "*.db"))
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(copies), len(done))
		made += len(copies)
		for _, c := range copies {
			require.Equal(t, want, heads(t, open(t, c, ForReading)))
		}
	}
	require.NotZero(t, made)
	requireSound(t, open(t, path, ForReading))
}

// Killed while it forgets somebody, a program leaves the name and no entry, or the entry and no name in the table; doing
// it again erases what is left beside it.
func TestKilledWhileItForgets(t *testing.T) {
	path := closedWith(t, firstDevice(t))
	copies := 0
	for n := range *crashes {
		done := killed(t, "forget", path, moment(n, 120))
		forgotten := 0
		copies += eachCopy(t, path, func(b *Book) {
			gone, err := b.IsForgotten(bg, bo)
			require.NoError(t, err)
			require.Equal(t, gone, len(handlesOf(t, b)) == 1)
			if gone {
				forgotten++
				require.NoError(t, b.Erase(bg, bo))
				require.Zero(t, traces(t, b.Path()))
			}
		})
		require.GreaterOrEqual(t, forgotten, len(done))
	}
	require.NotZero(t, copies)
}

// Where the disk takes no more, a take says so and writes nothing.
func TestATakeOnAFullDiskWritesNothing(t *testing.T) {
	one := firstDevice(t)
	file := longFile(t, one, 300)
	before := heads(t, one)
	var pages int
	require.NoError(t, one.one(bg, []any{&pages}, `PRAGMA page_count`))
	_, err := one.conn.ExecContext(bg, fmt.Sprintf(`PRAGMA max_page_count = %d`, pages+3))
	require.NoError(t, err)
	_, err = one.Take(bg, file, minute(90))
	requireUnusable(t, err, false, "the disk is full; nothing was written")
	require.Equal(t, before, heads(t, one))
	requireSound(t, one)
	_, err = one.conn.ExecContext(bg, `PRAGMA max_page_count = 1000000`)
	require.NoError(t, err)
	mustTake(t, one, file, 91)
	requireSound(t, one)
}

// Where no file can grow, no copy appears, and nothing half made stays behind.
func TestCopiesOnASmallDiskLeaveNothing(t *testing.T) {
	b := firstDevice(t)
	long(t, b, 300)
	path := closedWith(t, b)
	folder := t.TempDir()
	c, _ := start(t, "small disk", path, folder)
	require.NoError(t, c.Wait())
	files, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Empty(t, files)
	requireSound(t, open(t, path, ForReading))
}

func TestCopiesToAFolderThatTakesNone(t *testing.T) {
	b := firstDevice(t)
	for _, to := range []string{"/proc/none/copy.db", filepath.Join(t.TempDir(), "none", "copy.db")} {
		_, err := b.Backup(bg, to)
		require.ErrorContains(t, err, "write the copy")
	}
	_, err := Restore(bg, backedUp(t, b), "/proc/none/book.db", "", minute(50), luck(9))
	require.ErrorContains(t, err, "create the book's folder")
}

// The clock of a device that takes runs behind: what it records itself never runs back, and what it takes stays as it
// was recorded.
func TestATakeWithAClockSetBack(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	add(t, two, 40, looked(bo, fell, training.OutcomeMet))
	mustTake(t, one, carryOut(t, two, 41), -5000)
	rep := requireSound(t, one)
	require.Len(t, rep.Heads, 2)
	seen, ok, err := one.LastSighting(bg, other)
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, minute(-5000), seen.At.UTC(), "not later than this device's own clock")
	require.Equal(t, minute(20), seen.In.Recorded.UTC(), "never before the entry ahead")
}

// A book against what was sealed: everything that a seal can show, and the first entry that differs.
func TestCompareNamesTheFirstDifference(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForReading)
	leaves, err := b.Leaves(bg, own, 0)
	require.NoError(t, err)
	head := ledger.Head{Origin: own, Size: int64(len(leaves)), Root: leaves.Root()}
	require.NoError(t, b.Close())
	for name, c := range map[string]struct {
		sql  string
		seq  int64
		bare int64 // without the leaf hashes
	}{
		"nothing":         {`SELECT 1`, 0, 0},
		"the last cut":    {`DELETE FROM entry WHERE seq > 10`, 11, 11},
		"one removed":     {`DELETE FROM entry WHERE seq = 4`, 4, 4},
		"another entry":   {forged(t, 9, looked(bo, limb, training.OutcomeMet)), 9, 0},
		"a byte":          {`UPDATE entry SET body = CAST(replace(body, 'B7', 'B8') AS BLOB) WHERE seq = 6`, 6, 0},
		"two swapped":     {`UPDATE entry SET body = (SELECT x.body FROM entry x WHERE x.seq = 13 - entry.seq) WHERE seq IN (6, 7)`, 6, 0},
		"only the leaf":   {`UPDATE entry SET leaf = zeroblob(32) WHERE seq = 7`, 0, 0}, // the bytes are those that were sealed
		"everything gone": {`DELETE FROM entry`, 1, 1},
	} {
		path := seasonBook(t)
		damage(t, path, c.sql)
		b := open(t, path, ForVerifying)
		for _, with := range []ledger.Leaves{leaves, nil} {
			want := c.seq
			if with == nil {
				want = c.bare
			}
			diff, err := b.Compare(bg, head, with)
			require.NoError(t, err, name)
			if name == "nothing" || name == "only the leaf" {
				require.Nil(t, diff, name)
				continue
			}
			require.NotNil(t, diff, name)
			require.Equal(t, want, diff.Seq, name)
			require.NotEmpty(t, diff.What)
		}
		require.NoError(t, b.Close())
	}
}
