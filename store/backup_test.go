package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
)

// backedUp gives the path of a backup of a book.
func backedUp(t testing.TB, b *Book) string {
	t.Helper()
	path := newPath(t)
	rep, err := b.Backup(bg, path)
	require.NoError(t, err)
	require.True(t, rep.Sound())
	return path
}

func TestABackupIsTheWholeBookAndChecked(t *testing.T) {
	b := firstDevice(t)
	path := backedUp(t, b)
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	c := open(t, path, ForReading)
	require.Equal(t, heads(t, b), heads(t, c))
	require.Equal(t, b.Origin(), c.Origin())
	_, verifier, ok, err := c.DeviceKey(bg)
	require.NoError(t, err)
	require.True(t, ok)
	require.NotEmpty(t, verifier)
	requireSound(t, c)

	// A reader can make one too, and goes on reading.
	reader := open(t, b.Path(), ForReading)
	_ = backedUp(t, reader)
	require.Equal(t, heads(t, b), heads(t, reader))
	files, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	for _, f := range files {
		require.NotContains(t, f.Name(), ".ringtrue-", "nothing half made stays behind")
	}
}

func TestBackupsThatAreRefused(t *testing.T) {
	b := firstDevice(t)
	path := backedUp(t, b)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	_, err = b.Backup(bg, path)
	requireUnusable(t, err, false, "exists already")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, before, after)
	_, err = b.Backup(bg, filepath.Join(path, "in-a-file"))
	require.ErrorContains(t, err, "write the copy")
	require.NoError(t, b.Close())

	damage(t, b.Path(), `UPDATE entry SET leaf = zeroblob(32) WHERE seq = 7`)
	_, err = open(t, b.Path(), ForReading).Backup(bg, path+".2")
	requireUnusable(t, err, true, "the book is damaged, and so would be its copy")
	require.NoFileExists(t, path+".2")
}

func TestARestoredBookGoesOnUnderANameOfItsOwn(t *testing.T) {
	b := firstDevice(t)
	then := heads(t, b)[own]
	backup := backedUp(t, b)
	add(t, b, 30, looked(ada, fell, training.OutcomeMet)) // lost with the laptop
	path := newPath(t)
	r, err := Restore(bg, backup, path, "", minute(40), luck(9))
	require.NoError(t, err)
	require.Equal(t, then, r.From)
	require.Regexp(t, `^`+own+`\.2-[0-9a-v]{4}$`, r.Origin)
	n := open(t, path, ForWriting)
	require.Equal(t, r.Origin, n.Origin())
	_, rec, err := n.Opening(bg)
	require.NoError(t, err)
	require.Equal(t, []any{own, then.Size, fmt.Sprintf("%x", then.Root)}, []any{rec.From, rec.FromSize, rec.FromRoot})
	require.Equal(t, "Invented Thinning", rec.Company)
	_, _, ok, err := n.DeviceKey(bg)
	require.NoError(t, err)
	require.False(t, ok, "the key of the old ledger is gone")
	require.NoError(t, n.EnsureDeviceKey(bg, minute(41), luck(3)))
	requireSound(t, n)
	require.Equal(t, then, heads(t, n)[own])
	facts, err := n.Facts(bg, always(n), ada)
	require.NoError(t, err)
	require.Equal(t, []int64{5, 6, 7, 8}, refsOf(facts[limb]))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	// What the old laptop wrote after the backup is taken from a device that met it.
	two := further(t, b, "truck-2", 42)
	out := mustTake(t, n, carryOut(t, two, 43), 44)
	require.Equal(t, int64(1), out.Met[1].New)
	requireSound(t, n)
	mustTake(t, two, carryOut(t, n, 45), 46)
	requireSound(t, two)
	require.Equal(t, workRows(t, two), workRows(t, n))

	// Of the restored one, the next.
	r, err = Restore(bg, backedUp(t, n), newPath(t), "", minute(50), luck(9))
	require.NoError(t, err)
	require.Regexp(t, `^`+own+`\.3-[0-9a-v]{4}$`, r.Origin)
	r, err = Restore(bg, backup, newPath(t), "office", minute(50), luck(9))
	require.NoError(t, err)
	require.Equal(t, "north/office", r.Origin)
}

func TestABackupOfVersion1IsRestored(t *testing.T) {
	path := newPath(t)
	_, err := Restore(bg, fixture(t, "sound-v1.db"), path, "", minute(40), luck(9))
	require.NoError(t, err)
	b := open(t, path, ForWriting)
	require.NoError(t, b.EnsureDeviceKey(bg, minute(41), luck(3)))
	requireSound(t, b)
	// Its old ledger never had a key; the sealed one that goes on from it vouches for it.
	two := further(t, b, "truck-2", 42)
	requireSound(t, two)
	require.Equal(t, heads(t, b)[own], heads(t, two)[own])
}

func TestRestoresThatAreRefused(t *testing.T) {
	b := firstDevice(t)
	backup := backedUp(t, b)
	_, err := Restore(bg, backup, b.Path(), "", minute(40), luck(9))
	requireUnusable(t, err, false, "exists already")
	_, err = Restore(bg, backup, newPath(t), "truck-1", minute(40), luck(9))
	requireUnusable(t, err, false, "holds a ledger north/truck-1 already")
	_, err = Restore(bg, newPath(t), newPath(t), "", minute(40), luck(9))
	requireUnusable(t, err, false, "there is no book at")
	for _, name := range []string{"body-changed.db", "row-missing.db", "derived-edited.db", "cut.db"} {
		path := newPath(t)
		_, err = Restore(bg, fixture(t, name), path, "", minute(40), luck(9))
		requireUnusable(t, err, true, "")
		require.NoFileExists(t, path)
	}
}
