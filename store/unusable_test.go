package store

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// fileWith is a path with these bytes.
func fileWith(t testing.TB, text []byte) string {
	t.Helper()
	path := newPath(t)
	require.NoError(t, os.WriteFile(path, text, 0o600))
	return path
}

// foreign is a SQLite file of another program.
func foreign(t testing.TB, id int) string {
	t.Helper()
	path := newPath(t)
	db := raw(t, path)
	run(t, db, fmt.Sprintf(`PRAGMA application_id = %d`, id), `CREATE TABLE entry (a)`, `INSERT INTO entry VALUES (1)`)
	require.NoError(t, db.Close())
	return path
}

var modes = map[string]Mode{"reading": ForReading, "writing": ForWriting, "verifying": ForVerifying}

func TestUnusableFilesSaySoAndStayAsTheyWere(t *testing.T) {
	newer := seasonBook(t)
	db := raw(t, newer)
	run(t, db, `PRAGMA user_version = 3`)
	require.NoError(t, db.Close())
	pipe := newPath(t)
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	loop := newPath(t)
	require.NoError(t, os.Symlink(loop, loop))
	for _, c := range []struct{ name, path, what, next string }{
		{"missing", newPath(t), "there is no book at", "ringtrue init"},
		{"missing folder", filepath.Join(newPath(t), "x.db"), "there is no book at", "ringtrue init"},
		{"below a file", filepath.Join(fileWith(t, nil), "x.db"), "not a directory", "check who may read"},
		{"folder", t.TempDir(), "is a folder, not a book", "--book"},
		{"empty file", fileWith(t, nil), "is not a ringtrue book", "--book"},
		{"text file", fileWith(t, []byte("Dear crew,\n")), "is not a ringtrue book", "--book"},
		{"long text file", fileWith(t, make([]byte, 50_000)), "is not a ringtrue book", "--book"},
		{"another program's SQLite file", foreign(t, 0x12345678), "is not a ringtrue book", "--book"},
		{"an unmarked SQLite file", foreign(t, 0), "is not a ringtrue book", "--book"},
		{"a pipe", pipe, "is not a ringtrue book", "--book"},
		{"a link to itself", loop, "too many levels of symbolic links", "check who may read"},
		{"a newer book", newer, "written by a newer ringtrue (book version 3; this program knows up to 2)", "install that version"},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := look(t, c.path)
			for name, mode := range modes {
				_, err := Open(bg, c.path, mode)
				bad := requireUnusable(t, err, false, c.what)
				require.Contains(t, bad.Next, c.next, name)
				require.Equal(t, before, look(t, c.path), "%s changed the file or its folder", name)
			}
		})
	}
}

// look lists a path's folder with sizes, and the file's bytes.
func look(t testing.TB, path string) []string {
	t.Helper()
	var seen []string
	files, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return []string{err.Error()}
	}
	for _, f := range files {
		info, err := f.Info()
		require.NoError(t, err)
		seen = append(seen, fmt.Sprint(f.Name(), info.Size(), info.Mode()))
	}
	if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		seen = append(seen, string(text))
	}
	return seen
}

func TestReadOnlyFileIsReadAndNotWritten(t *testing.T) {
	path := seasonBook(t)
	require.NoError(t, os.Chmod(path, 0o400))
	_, err := Open(bg, path, ForWriting)
	requireUnusable(t, err, false, "is read-only; nothing was written")
	requireSound(t, open(t, path, ForReading))
}

// In a folder that takes no files a book without a log beside it is read all the same, on two connections.
func TestReadOnlyFolderIsReadAndNotWritten(t *testing.T) {
	path := seasonBook(t)
	dir := filepath.Dir(path)
	require.NoError(t, os.Chmod(dir, 0o500))
	t.Cleanup(func() { _ = os.Chmod(dir, 0o700) })
	before := look(t, path)
	_, err := Open(bg, path, ForWriting)
	requireUnusable(t, err, false, "takes no files")
	b := open(t, path, ForReading)
	require.Equal(t, unchanging, b.mode)
	requireSound(t, b)
	second, err := b.Further(bg)
	require.NoError(t, err)
	facts, err := second.Facts(bg, always(b), ada)
	require.NoError(t, err)
	require.Len(t, facts[limb], 4)
	require.NoError(t, b.Close())
	require.Equal(t, before, look(t, path))
}

// A log that a killed program left behind holds entries: it must be read, read-only folder or not.
func TestALogBesideTheBookIsRead(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	copied := newPath(t)
	for _, suffix := range []string{"", "-wal"} { // as after a kill: the log has not been copied into the file
		text, err := os.ReadFile(path + suffix)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(copied+suffix, text, 0o600))
	}
	require.NoError(t, os.Chmod(filepath.Dir(copied), 0o500))
	t.Cleanup(func() { _ = os.Chmod(filepath.Dir(copied), 0o700) })
	again := open(t, copied, ForReading)
	require.Equal(t, forReading, again.mode)
	require.EqualValues(t, 12, requireSound(t, again).Entries)
}

// The page count of the header may run ahead of the file while a log is being copied into it.
func TestAShortFileWithALogIsNotCalledCut(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	text, err := os.ReadFile(path + "-wal")
	require.NoError(t, err)
	require.NoError(t, b.Close()) // the whole log is now in the file
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.Truncate(path, int64(len(whole))-8192))
	_, err = Open(bg, path, ForReading)
	requireUnusable(t, err, true, "is cut short")
	require.NoError(t, os.WriteFile(path+"-wal", text, 0o600)) // killed before the last page was copied
	require.EqualValues(t, 12, requireSound(t, open(t, path, ForReading)).Entries)
}

func TestABusyBookSaysSo(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	_, err := b.conn.ExecContext(bg, `PRAGMA busy_timeout = 20`) // as a user would wait 5 s
	require.NoError(t, err)
	holder := raw(t, path)
	run(t, holder, `BEGIN IMMEDIATE`)
	_, err = b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
	requireUnusable(t, err, false, "is in use by another program")
	reader := open(t, path, ForReading) // reading goes on meanwhile
	require.EqualValues(t, 12, requireSound(t, reader).Entries)
	run(t, holder, `ROLLBACK`)
	_, err = b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
	require.NoError(t, err)
	require.EqualValues(t, 13, requireSound(t, b).Entries)
}

func TestAFullDiskSaysSoAndLosesNothing(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	before := state(t, b)
	_, err := b.conn.ExecContext(bg, `PRAGMA max_page_count = 1`) // SQLite takes the present count as the least
	require.NoError(t, err)
	note := make([]byte, 60_000)
	for i := range note {
		note[i] = 'x'
	}
	_, err = b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2"), taught(bo, string(note)), taught(bo, "m3")})
	requireUnusable(t, err, false, "the disk is full; nothing was written")
	require.Equal(t, before, state(t, b))
	_, err = b.conn.ExecContext(bg, `PRAGMA max_page_count = 100000`)
	require.NoError(t, err)
	_, err = b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
	require.NoError(t, err)
	requireSound(t, b)
}

func TestATruncatedBookIsDamagedAtEveryLength(t *testing.T) {
	whole, err := os.ReadFile(seasonBook(t))
	require.NoError(t, err)
	lengths := []int{}
	for n := 16; n < len(whole); n += 1021 {
		lengths = append(lengths, n)
	}
	for n := 8192; n < len(whole); n += 8192 {
		lengths = append(lengths, n-1, n, n+1)
	}
	lengths = append(lengths, 20, 71, 72, 99, 100, 101, len(whole)-1)
	for _, n := range lengths {
		path := fileWith(t, whole[:n])
		for name, mode := range modes {
			_, err := Open(bg, path, mode)
			require.Error(t, err, "%d bytes, for %s", n, name)
			requireUnusable(t, err, true, "cut short")
		}
	}
	for n := range 16 { // no longer to be told from a text
		_, err := Open(bg, fileWith(t, whole[:n]), ForReading)
		requireUnusable(t, err, n > 0, "")
	}
}

// When the header says nothing of the size, SQLite finds the missing pages; the answer is the same.
func TestATruncatedBookWithoutAPageCountIsDamaged(t *testing.T) {
	whole, err := os.ReadFile(seasonBook(t))
	require.NoError(t, err)
	whole[92]++ // the page count holds for another change counter
	for n := 8192; n < len(whole); n += 4096 {
		path := fileWith(t, whole[:n])
		for name, mode := range modes {
			requireDamagedOrNotSound(t, path, mode, fmt.Sprintf("%d bytes, for %s", n, name))
		}
	}
}

// requireDamagedOrNotSound: the file cannot be opened, and is damaged, or verification finds something.
func requireDamagedOrNotSound(t testing.TB, path string, mode Mode, what string) {
	t.Helper()
	b, err := Open(bg, path, mode)
	if err != nil {
		requireUnusable(t, err, true, "")
		return
	}
	defer func() { require.NoError(t, b.Close()) }()
	rep, err := b.Verify(bg)
	require.NoError(t, err, what)
	require.False(t, rep.Sound(), what)
}

func TestABookWithAZeroedPageIsDamaged(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	require.NoError(t, b.Batch(bg, func() error {
		for i := range 300 {
			_, err := b.Append(bg, minute(20+i), []ledger.Entry{looked(ada, limb, training.OutcomeMet), taught(fmt.Sprintf("p%07d", i), "m1")})
			require.NoError(t, err)
		}
		return nil
	}))
	require.NoError(t, b.Close())
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Greater(t, len(whole)/8192, 20)
	for page := 0; page < len(whole)/8192; page++ {
		text := append([]byte(nil), whole...)
		clear(text[max(page*8192, headerSize) : (page+1)*8192])
		for name, mode := range modes {
			requireDamagedOrNotSound(t, fileWith(t, text), mode, fmt.Sprintf("page %d, for %s", page+1, name))
		}
	}
}

// Tables and rows that the book cannot do without.
func TestABookThatLostATableOrRowIsDamaged(t *testing.T) {
	for _, c := range []struct{ statement, what string }{
		{`DROP TABLE entry`, "lacks a table"},
		{`DROP TABLE device`, "lacks a table"},
		{`DROP TABLE origin`, "lacks a table"},
		{`DELETE FROM device`, "has lost the name of its own ledger"},
		{`UPDATE device SET origin = 'south'`, "has no entries of its own ledger, south"},
		{`DELETE FROM entry`, "has no entries of its own ledger, north/truck-1"},
		{`ALTER TABLE entry RENAME COLUMN body TO content`, "lacks a table"},
	} {
		path := seasonBook(t)
		damage(t, path, c.statement)
		for name, mode := range modes {
			b, err := Open(bg, path, mode)
			if mode == ForVerifying && err == nil {
				rep, err := b.Verify(bg)
				require.NoError(t, err, c.statement)
				require.False(t, rep.Sound(), c.statement)
				require.NoError(t, b.Close())
				continue
			}
			require.Error(t, err, "%s, for %s", c.statement, name)
			requireUnusable(t, err, true, c.what)
		}
	}
}

func TestAFirstEntryThatOpensNoBookIsDamage(t *testing.T) {
	for _, e := range []ledger.Entry{taught(ada, "m1"), {Kind: KindBook, Happened: morning, Data: map[string]any{"Zone": "UTC"}}} {
		path := newPath(t)
		b := create(t, path)
		write(t, b, e)
		require.NoError(t, b.Close())
		_, err := Open(bg, path, ForReading)
		requireUnusable(t, err, true, "does not open a book")
		rep, err := open(t, path, ForVerifying).Verify(bg)
		require.NoError(t, err)
		require.Contains(t, lines(rep), "north/truck-1#1 damaged: the entry that opens the book cannot be read, so nothing derived was compared")
	}
}

func TestAnUnknownZoneIsNoDamage(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	e := opening()
	e.Data.(fields)["zone"] = "Nowhere/Ringtrue"
	write(t, b, e)
	require.NoError(t, b.Close())
	_, err := Open(bg, path, ForReading)
	requireUnusable(t, err, false, `does not know the time zone "Nowhere/Ringtrue"`)
}
