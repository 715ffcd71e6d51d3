package store

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
)

func forgetBo(t testing.TB, b *Book, n int) {
	t.Helper()
	_, err := b.Forget(bg, minute(n), ledger.Entry{Kind: KindForgotten, Happened: minute(n), By: ada, Worker: bo, Data: ForgottenRecord{Reason: "asked for it", House: own + "#1"}})
	require.NoError(t, err)
}

// traces counts what of a person's name, contact and salt stands in the files of a book.
func traces(t testing.TB, path string) (n int) {
	t.Helper()
	p := person(bo, "Bo Example", "bo")
	for _, suffix := range suffixes {
		text, err := os.ReadFile(path + suffix)
		if os.IsNotExist(err) {
			continue
		}
		require.NoError(t, err)
		for _, piece := range [][]byte{[]byte(p.Name), []byte(p.Contact), p.Salt} {
			n += bytes.Count(text, piece)
		}
	}
	return n
}

func handlesOf(t testing.TB, b *Book) (list []string) {
	t.Helper()
	people, err := b.People(bg)
	require.NoError(t, err)
	for _, p := range people {
		list = append(list, p.Handle)
	}
	return list
}

func TestForgettingErasesTheNameAndLeavesEveryProof(t *testing.T) {
	b := firstDevice(t)
	require.NotZero(t, traces(t, b.Path()))
	sealed, leaves, err := b.Seal(bg)
	require.NoError(t, err)
	forgetBo(t, b, 30)
	require.Zero(t, traces(t, b.Path()), "nothing is left in the file or beside it")
	require.Equal(t, []string{"ada"}, handlesOf(t, b))
	diff, err := b.Compare(bg, sealed.Head, leaves)
	require.NoError(t, err)
	require.Nil(t, diff)
	requireSound(t, b)
	_, err = b.Rebuild(bg)
	require.NoError(t, err)
	requireSound(t, b)
	require.NoError(t, b.Close())
	requireSound(t, open(t, b.Path(), ForReading))
	require.Zero(t, traces(t, b.Path()))
}

// No file that still holds the name brings it back, and the other devices erase theirs.
func TestAForgottenNameDoesNotComeBack(t *testing.T) {
	one := firstDevice(t)
	before := carryOut(t, one, 29)
	two := further(t, one, "truck-2", 30)
	forgetBo(t, one, 31)
	mustTake(t, one, before, 32)
	mustTake(t, one, carryOut(t, two, 33), 34)
	require.Equal(t, []string{"ada"}, handlesOf(t, one))

	require.NotZero(t, traces(t, two.Path()))
	out := mustTake(t, two, carryOut(t, one, 35), 36)
	require.Equal(t, 1, out.Forgotten)
	require.Equal(t, []string{"ada"}, handlesOf(t, two))
	require.Zero(t, traces(t, two.Path()))
	mustTake(t, two, before, 37)
	require.Equal(t, []string{"ada"}, handlesOf(t, two))
	require.Zero(t, traces(t, two.Path()))
	require.Equal(t, []string{"ada"}, handlesOf(t, further(t, two, "truck-3", 38)))
	requireSound(t, two)

	// A backup made before is restored: the next file erases the name there too.
	r := newPath(t)
	old := further(t, one, "truck-4", 40)
	_, err := Restore(bg, backedUp(t, old), r, "", minute(41), luck(9))
	require.NoError(t, err)
	require.Equal(t, []string{"ada"}, handlesOf(t, open(t, r, ForReading)))
}

func TestARestoredOldBackupForgetsWithTheNextFile(t *testing.T) {
	one := firstDevice(t)
	backup := backedUp(t, one)
	two := further(t, one, "truck-2", 30)
	forgetBo(t, two, 31)
	path := newPath(t)
	_, err := Restore(bg, backup, path, "", minute(32), luck(9))
	require.NoError(t, err)
	b := open(t, path, ForWriting)
	require.Equal(t, []string{"ada", "bo"}, handlesOf(t, b))
	require.Equal(t, 1, mustTake(t, b, carryOut(t, two, 33), 34).Forgotten)
	require.Equal(t, []string{"ada"}, handlesOf(t, b))
	require.Zero(t, traces(t, path))
}

func TestANameThatCameBackIsFoundAndErasedAgain(t *testing.T) {
	b := firstDevice(t)
	forgetBo(t, b, 30)
	require.NoError(t, b.addPerson(bg, person(bo, "Bo Example", "bo")))
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{"the book not trusted: the name of the person p2222222 was forgotten and is there again"}, lines(rep))
	require.NoError(t, b.Erase(bg, bo))
	requireSound(t, b)
	require.Zero(t, traces(t, b.Path()))
}

// While another program reads the book, the log cannot be emptied: that is said, and doing it again ends it.
func TestForgettingWhileAnotherProgramReads(t *testing.T) {
	b := firstDevice(t)
	db := raw(t, b.Path())
	run(t, db, `BEGIN`)
	var n int
	require.NoError(t, db.QueryRow(`SELECT count(*) FROM person`).Scan(&n))
	_, err := b.conn.ExecContext(bg, `PRAGMA busy_timeout = 50`)
	require.NoError(t, err)
	_, err = b.Forget(bg, minute(30), ledger.Entry{Kind: KindForgotten, Happened: minute(30), By: ada, Worker: bo, Data: ForgottenRecord{Reason: "x", House: own + "#1"}})
	requireUnusable(t, err, false, "another program reads the book")
	run(t, db, `ROLLBACK`)
	require.NoError(t, b.Erase(bg, bo))
	require.Zero(t, traces(t, b.Path()))
	requireSound(t, b)
}
