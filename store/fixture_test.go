package store

import (
	"encoding/hex"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the books of testdata/books anew")

const bookFolder = "../testdata/books"

// fixtures makes every book of testdata/books from what this version writes: the same bytes each time. A sound book
// of an earlier version is not made again; it stays as that version wrote it.
func fixtures(t testing.TB) map[string][]byte {
	t.Helper()
	sound := packed(t, seasonBook(t))
	return map[string][]byte{
		fmt.Sprintf("sound-v%d.db", version): sound,
		"body-changed.db":                    packed(t, fileWith(t, sound), `UPDATE entry SET body = CAST(replace(body, 'B7', 'B8') AS BLOB) WHERE seq = 5`),
		"row-missing.db":                     packed(t, fileWith(t, sound), `DELETE FROM entry WHERE seq = 9`),
		"derived-edited.db":                  packed(t, fileWith(t, sound), edited),
		"newer.db":                           packed(t, fileWith(t, sound), fmt.Sprintf(`PRAGMA user_version = %d`, version+1)),
		"not-ours.db":                        packed(t, foreign(t, 0x12345678)),
		"cut.db":                             sound[:5*8192+100],
	}
}

// packed changes a book, closes it without a log, and gives its bytes.
func packed(t testing.TB, path string, statements ...string) []byte {
	t.Helper()
	db := raw(t, path)
	if len(statements) > 0 {
		for _, g := range guards {
			run(t, db, `DROP TRIGGER `+g.name)
		}
		run(t, db, statements...)
		for _, g := range guards {
			run(t, db, g.text)
		}
	}
	run(t, db, `VACUUM`)
	require.NoError(t, db.Close())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return text
}

// fixture copies a book of testdata/books, because opening one puts files beside it.
func fixture(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(bookFolder, name))
	require.NoError(t, err)
	require.Less(t, len(text), 100_000, name)
	return fileWith(t, text)
}

func TestUpdateFixtures(t *testing.T) {
	made := fixtures(t)
	require.Equal(t, made, fixtures(t), "the same books must come out each time")
	if !*update {
		return
	}
	for name, text := range made {
		require.NoError(t, os.WriteFile(filepath.Join(bookFolder, name), text, 0o644))
	}
}

// Every sound book that any version wrote, with the number of its entries and its root. The root was computed apart
// from this program: a few lines of Python over the bodies in order, hashlib and RFC 9162 §2.1.1. A version adds a
// line; none goes away.
var soundBooks = []struct {
	name    string
	entries int64
	root    string
}{
	{"sound-v1.db", 12, "ad483819d3f7dc242259b905b5ea82775b2b67767fae7f20d8755ea26b7fa97e"},
	{"sound-v2.db", 12, "ad483819d3f7dc242259b905b5ea82775b2b67767fae7f20d8755ea26b7fa97e"}, // the same entries
}

func TestSoundBooksOfEveryVersionStaySound(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(bookFolder, "sound-v*.db"))
	require.NoError(t, err)
	require.Len(t, soundBooks, len(files))
	require.True(t, slices.ContainsFunc(files, func(f string) bool { return filepath.Base(f) == fmt.Sprintf("sound-v%d.db", version) }))
	for _, want := range soundBooks {
		b := open(t, fixture(t, want.name), ForWriting)
		rep := requireSound(t, b)
		require.Equal(t, want.entries, rep.Entries)
		require.Equal(t, want.root, hex.EncodeToString(rep.Heads[0].Root[:]))
		facts, err := b.Facts(bg, always(b), ada)
		require.NoError(t, err)
		require.Equal(t, []int64{5, 6, 7, 8}, refsOf(facts[limb]))
		write(t, b, taught(ada, "m7"))
		require.Equal(t, want.entries+1, requireSound(t, b).Entries)
	}
}

func TestDamagedBooksAreFoundDamaged(t *testing.T) {
	for name, expect := range map[string][]string{
		"body-changed.db":   {entryLine(5, notItsLeaf), rowsOf(ada)},
		"row-missing.db":    {entryLine(9, isMissing), rowsOf(bo)},
		"derived-edited.db": {rowsOf(ada)},
	} {
		path := fixture(t, name)
		rep, err := open(t, path, ForVerifying).Verify(bg)
		require.NoError(t, err, name)
		require.Equal(t, expect, lines(rep), name)
		require.Len(t, rep.Findings, len(expect), "nothing else is wrong with %s", name)
		require.False(t, rep.Sound(), name)
	}
}

func TestUnusableBooksAreRefused(t *testing.T) {
	for name, want := range map[string]struct {
		what    string
		damaged bool
	}{
		"newer.db":    {"written by a newer ringtrue", false},
		"not-ours.db": {"is not a ringtrue book", false},
		"cut.db":      {"is cut short: 41060 of ", true},
	} {
		for _, mode := range modes {
			path := fixture(t, name)
			_, err := Open(bg, path, mode)
			requireUnusable(t, err, want.damaged, want.what)
		}
	}
}
