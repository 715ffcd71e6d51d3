package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// state is everything a refused append must leave as it was.
func state(t testing.TB, b *Book) []string {
	t.Helper()
	db := raw(t, b.path)
	rows := derivedRows(t, db)
	for _, table := range []string{"entry", "person", "origin", "fact", "struck"} {
		var n int
		require.NoError(t, db.QueryRow(`SELECT count(*) FROM `+table).Scan(&n))
		rows = append(rows, fmt.Sprint(table, " ", n))
	}
	require.NoError(t, db.Close())
	return rows
}

// tooMany names more entries than a packed fact holds.
func tooMany() ledger.Entry {
	refs := make([]string, maxCites+1)
	for i := range refs {
		refs[i] = ledger.Ref(own, 5)
	}
	return signed(ada, limb, refs...)
}

func TestNothingIsWrittenWhenOneOfSeveralEntriesIsRefused(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	before := state(t, b)
	stranger := ledger.Entry{Kind: training.KindObservation, Happened: morning, Worker: ada, Skill: limb, Data: map[string]any{"outcome": "splendid"}}
	float := taught(ada, "m1")
	float.Data = map[string]any{"module": 1.5}
	big := taught(ada, strings.Repeat("m", ledger.MaxEntry))
	far := taught(ada, "m1")
	far.Happened = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC)
	for what, bad := range map[string]ledger.Entry{
		"splendid":                            stranger,
		"not an integer":                      float,
		"more than the 65536 allowed":         big,
		"it names 256 entries; at most 255":   tooMany(),
		`"nowhere" is not a reference`:        struckOut("nowhere"),
		"no ledger is so long":                struckOut(own + "#1099511627782"), // 2^40+6 would pass for 6
		"not an entry":                        {Kind: "", Happened: morning, Data: map[string]any{}},
		"parsing time":                        far,
		`"south#0" is not a reference`:        signed(ada, limb, "south#1", "south#0"),
		"encode attendance entry: json: unsu": {Kind: training.KindAttendance, Worker: ada, Happened: morning, Data: make(chan int)},
	} {
		refs, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2"), bad, taught(bo, "m3")}, person("p3333333", "Cy Example", "cy"))
		require.ErrorContains(t, err, what)
		require.Nil(t, refs)
		require.Equal(t, before, state(t, b), what)
	}
	refs, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
	require.NoError(t, err)
	require.Equal(t, []string{"13"}, []string{b.Short(refs[0])})
	requireSound(t, b)
}

func TestNothingIsWrittenWhenANameIsTaken(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	before := state(t, b)
	_, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")}, person("p3333333", "Cy Example", "cy"), person("p4444444", "Bo Other", "bo"))
	require.ErrorContains(t, err, "person.handle")
	require.Equal(t, before, state(t, b))
	requireSound(t, b)
}

func TestBatchKeepsAllOrNothing(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	before := state(t, b)
	stop := errors.New("the lead changed her mind")
	require.ErrorIs(t, b.Batch(bg, func() error {
		for i := range 5 {
			_, err := b.Append(bg, minute(20+i), []ledger.Entry{taught(bo, "m2")})
			require.NoError(t, err)
		}
		return stop
	}), stop)
	require.Equal(t, before, state(t, b))

	require.NoError(t, b.Batch(bg, func() error {
		_, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2"), struckOut(own + "#12")})
		require.NoError(t, err)
		_, err = b.Append(bg, minute(21), []ledger.Entry{tooMany()}) // refused before anything is written: the batch may go on
		require.Error(t, err)
		_, err = b.Append(bg, minute(22), []ledger.Entry{taught(bo, "m3")})
		return err
	}))
	require.EqualValues(t, 15, requireSound(t, b).Entries)
}

// A caller that goes on after an append that failed half way must not get the first half kept.
func TestABatchInWhichAnAppendBrokeOffIsNotKept(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	before := state(t, b)
	err := b.Batch(bg, func() error {
		_, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")}, person("p3333333", "Cy Example", "cy"), person("p4444444", "Bo Other", "bo"))
		require.Error(t, err)
		_, err = b.Append(bg, minute(21), []ledger.Entry{taught(bo, "m3")})
		require.ErrorIs(t, err, errSpoiled)
		return nil
	})
	require.ErrorIs(t, err, errSpoiled)
	require.Equal(t, before, state(t, b))
	err = b.Batch(bg, func() error {
		_ = b.Batch(bg, func() error {
			_, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
			require.NoError(t, err)
			return errors.New("refused after all")
		})
		return nil
	})
	require.ErrorIs(t, err, errSpoiled)
	require.Equal(t, before, state(t, b))
	requireSound(t, b)
}

func TestACancelledAppendWritesNothingAndTheBookGoesOn(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	before := state(t, b)
	ctx, cancel := context.WithCancel(bg)
	err := b.Batch(ctx, func() error {
		_, err := b.Append(ctx, minute(20), []ledger.Entry{taught(bo, "m2")})
		require.NoError(t, err)
		cancel()
		_, err = b.Append(ctx, minute(20), []ledger.Entry{taught(bo, "m3")})
		return err
	})
	require.ErrorIs(t, err, context.Canceled)
	_, err = b.Append(ctx, minute(20), []ledger.Entry{taught(bo, "m2")})
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, before, state(t, b))
	_, err = b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
	require.NoError(t, err)
	requireSound(t, b)
}

func TestRecordedNeverDecreasesWhenTheClockIsSetBack(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...) // to minute 11
	recorded := func(text string) time.Time {
		ref, ok, err := b.Find(bg, text)
		require.NoError(t, err)
		require.True(t, ok)
		h, err := b.Entry(bg, ref, nil)
		require.NoError(t, err)
		return h.Recorded.UTC()
	}
	back := morning.AddDate(-1, 0, 0)
	_, err := b.Append(bg, back, []ledger.Entry{taught(bo, "m2"), taught(bo, "m3")})
	require.NoError(t, err)
	require.Equal(t, minute(11), recorded("13"))
	require.Equal(t, minute(11), recorded("14"))
	require.NoError(t, b.Batch(bg, func() error {
		for _, now := range []time.Time{minute(30), back, minute(29).Add(999 * time.Millisecond), minute(31).Add(999 * time.Millisecond)} {
			_, err := b.Append(bg, now, []ledger.Entry{taught(bo, "m4")})
			require.NoError(t, err)
		}
		return nil
	}))
	require.Equal(t, []time.Time{minute(30), minute(30), minute(30), minute(31)}, []time.Time{recorded("15"), recorded("16"), recorded("17"), recorded("18")})
	require.NoError(t, b.Close())

	b = open(t, path, ForWriting)
	_, err = b.Append(bg, back, []ledger.Entry{taught(bo, "m5")})
	require.NoError(t, err)
	require.Equal(t, minute(31), recorded("19"))
	requireSound(t, b)
}

func TestAppendRefusesABookWhoseLastEntryIsDamaged(t *testing.T) {
	path := seasonBook(t)
	db := raw(t, path)
	run(t, db, `DROP TRIGGER entry_unchanged`, `UPDATE entry SET body = CAST(replace(body, 'told it back', 'told me back') AS BLOB) WHERE seq = 12`)
	require.NoError(t, db.Close())
	b := open(t, path, ForWriting)
	before := state(t, b)
	_, err := b.Append(bg, minute(20), []ledger.Entry{taught(bo, "m2")})
	requireUnusable(t, err, true, "the last entry of the book, 12, is damaged")
	require.Equal(t, before, state(t, b))
}

// Origins get their numbers in the file; what one program met must not confuse another that has the book open too.
func TestOriginNumbersAgreeBetweenPrograms(t *testing.T) {
	path := seasonBook(t)
	first, second := open(t, path, ForWriting), open(t, path, ForWriting)
	citing := func(b *Book, origin string) {
		t.Helper()
		_, err := b.Append(bg, minute(20), []ledger.Entry{signed(ada, fell, ledger.Ref(origin, 3))})
		require.NoError(t, err)
	}
	_, err := first.Append(bg, minute(20), []ledger.Entry{signed(ada, fell, "lost#1"), tooMany()})
	require.Error(t, err)
	_, err = first.Ref("mistyped#1")
	require.Error(t, err)
	citing(first, "east")
	citing(second, "west")
	citing(first, "south")
	citing(second, "east")
	require.NoError(t, second.Close())

	b := open(t, path, ForReading)
	list, err := b.Topic(bg, always(b), ada, fell)
	require.NoError(t, err)
	var cited []string
	for _, f := range list {
		cited = append(cited, b.Name(f.Cites[0]))
	}
	require.Equal(t, []string{"east#3", "west#3", "south#3", "east#3"}, cited)
	requireSound(t, b)
	require.Equal(t, []string{own, "east", "west", "south"}, b.refs.names)
}

func TestTriggersRefuseEverySlip(t *testing.T) {
	path := seasonBook(t)
	db := raw(t, path)
	leaf := `zeroblob(32)`
	for statement, what := range map[string]string{
		`UPDATE entry SET body = x'00' WHERE seq = 3`:                                         "an entry is never changed",
		`UPDATE OR IGNORE entry SET sig = x'00' WHERE seq = 3`:                                "an entry is never changed",
		`UPDATE entry SET seq = 99 WHERE seq = 12`:                                            "an entry is never changed",
		`DELETE FROM entry WHERE seq = 12`:                                                    "an entry is never removed",
		`DELETE FROM entry`:                                                                   "an entry is never removed",
		`INSERT OR REPLACE INTO entry VALUES ('north/truck-1', 3, x'00', ` + leaf + `, NULL)`: "only to the end of its ledger",
		`REPLACE INTO entry VALUES ('north/truck-1', 12, x'00', ` + leaf + `, NULL)`:          "only to the end of its ledger",
		`INSERT INTO entry VALUES ('north/truck-1', 14, x'00', ` + leaf + `, NULL)`:           "only to the end of its ledger",
		`INSERT OR IGNORE INTO entry VALUES ('north/truck-1', 1, x'00', ` + leaf + `, NULL)`:  "only to the end of its ledger",
		`INSERT INTO entry VALUES ('elsewhere', 2, x'00', ` + leaf + `, NULL)`:                "only to the end of its ledger",
		`INSERT INTO entry VALUES ('elsewhere', 0, x'00', ` + leaf + `, NULL)`:                "only to the end of its ledger",
		`INSERT INTO entry SELECT origin, seq, x'00', leaf, sig FROM entry WHERE seq = 5`:     "only to the end of its ledger",
		`INSERT INTO entry VALUES ('north/truck-1', 13, x'00', x'00', NULL)`:                  "CHECK constraint failed: length(leaf) = 32",
		`INSERT INTO entry VALUES ('north/truck-1', 13, 'text', ` + leaf + `, NULL)`:          "cannot store TEXT value in BLOB column",
		`INSERT INTO entry VALUES ('north/truck-1', 13, NULL, ` + leaf + `, NULL)`:            "NOT NULL constraint failed",
		`INSERT INTO entry VALUES ('north/truck-1', 3, x'00', ` + leaf + `, NULL)
			ON CONFLICT DO UPDATE SET body = x'00'`: "only to the end of its ledger",
	} {
		_, err := db.Exec(statement)
		require.ErrorContains(t, err, what, statement)
	}
	require.NoError(t, db.Close())
	requireSound(t, open(t, path, ForReading))
}

// A DELETE that a REPLACE does by the way fires no DELETE trigger unless recursive_triggers is on, which it is not.
func TestTriggersHoldWithoutRecursiveTriggers(t *testing.T) {
	db := raw(t, seasonBook(t))
	var on int
	require.NoError(t, db.QueryRow(`PRAGMA recursive_triggers`).Scan(&on))
	require.Zero(t, on)
	_, err := db.Exec(`UPDATE OR REPLACE entry SET seq = 4 WHERE seq = 5`)
	require.ErrorContains(t, err, "an entry is never changed")
}

func pragma(t testing.TB, q interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}, name string) (value string) {
	t.Helper()
	require.NoError(t, q.QueryRowContext(bg, `PRAGMA `+name).Scan(&value), name)
	return value
}

func TestPragmasAreInForceOnEveryConnection(t *testing.T) {
	path := newPath(t)
	made := create(t, path)
	write(t, made, season(t)...)
	writing, reading, verifying := open(t, path, ForWriting), open(t, path, ForReading), open(t, path, ForVerifying)
	further, err := writing.Further(bg)
	require.NoError(t, err)
	for name, b := range map[string]*Book{"made": made, "writing": writing, "reading": reading, "verifying": verifying, "further": further} {
		for p, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "busy_timeout": "5000", "secure_delete": "1", "page_size": "8192"} {
			require.Equal(t, want, pragma(t, b.conn, p), "%s %s", name, p)
		}
	}
	another, err := writing.db.Conn(bg) // should the pool ever open one more
	require.NoError(t, err)
	require.Equal(t, "2", pragma(t, another, "synchronous"))
	require.Equal(t, "5000", pragma(t, another, "busy_timeout"))
	require.NoError(t, another.Close())
	for _, b := range []*Book{reading, verifying, further} {
		_, err := b.conn.ExecContext(bg, `DELETE FROM fact`)
		require.ErrorContains(t, err, "readonly", "reading never changes the book")
	}
}

func TestFileSaysWhatItIs(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	head, err := os.ReadFile(path) // while the book is still open: a crash now must not leave a file nobody knows
	require.NoError(t, err)
	require.Equal(t, "Ring", string(head[68:72]))
	require.Equal(t, []byte{0, 0, 0, 2}, head[60:64])
	write(t, b, season(t)...)
	for _, name := range []string{path, path + "-wal", path + "-shm"} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o600), info.Mode().Perm(), name)
	}
	require.Equal(t, "1382641255", pragma(t, b.conn, "application_id"))
	require.Equal(t, "2", pragma(t, b.conn, "user_version"))

	rows, err := raw(t, path).Query(`SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name`)
	require.NoError(t, err)
	var tables []string
	for rows.Next() {
		var name string
		var strict int
		require.NoError(t, rows.Scan(&name, &strict))
		require.Equal(t, 1, strict, name)
		tables = append(tables, name)
	}
	require.NoError(t, rows.Err())
	require.Equal(t, []string{"device", "device_key", "entry", "fact", "origin", "person", "sealed", "struck"}, tables)
}

// The bytes of a path mean nothing to SQLite's way of naming files.
func TestAnyPathServes(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	for _, path := range []string{"plain.db", "a b.db", "what?mode=memory.db", "half#way.db", "100%41.db", "a&b=c.db", "c:d.db", filepath.Join("sub", "folder", "å.db"), filepath.Join(dir, "absolute.db")} {
		b := create(t, path)
		write(t, b, opening())
		require.NoError(t, b.Close())
		_, err := os.Stat(path)
		require.NoError(t, err, path)
		require.NoError(t, open(t, path, ForReading).Close(), path)
		require.NoError(t, open(t, path, ForWriting).Close(), path)
	}
	_, err := os.Stat(filepath.Join(dir, "sub", "folder"))
	require.NoError(t, err)
}

func TestCreateRefusesWhatExists(t *testing.T) {
	path := seasonBook(t)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	_, err = Create(bg, path, own, zone(t))
	requireUnusable(t, err, false, "exists already")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, before, after)
	log := newPath(t)
	require.NoError(t, os.WriteFile(log+"-wal", []byte("left by a removed book"), 0o600))
	_, err = Create(bg, log, own, zone(t))
	requireUnusable(t, err, false, "book.db-wal exists already")
	link := newPath(t)
	require.NoError(t, os.Symlink("nowhere", link))
	_, err = Create(bg, link, own, zone(t))
	requireUnusable(t, err, false, "exists already")
	_, err = Create(bg, filepath.Join(path, "below", "book.db"), own, zone(t))
	require.ErrorContains(t, err, "create the book's folder")
}
