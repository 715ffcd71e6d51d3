package store

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
)

// readAnyhow gives the numbers of the entries of this device's ledger that can be read, the newest first, and how many of them do not
// agree with their hash.
func readAnyhow(t *testing.T, path string) (seqs []int64, unsound, lost int, bad error) {
	t.Helper()
	b, bad, err := Anyhow(t.Context(), path)
	require.NoError(t, err)
	defer func() { require.NoError(t, b.Close()) }()
	lost, err = b.Backward(t.Context(), b.Origin(), func(h ledger.Header, sound func() bool) bool {
		seqs = append(seqs, h.Seq)
		if !sound() {
			unsound++
		}
		return true
	})
	require.NoError(t, err)
	return seqs, unsound, lost, bad
}

func countdown(n int64) (down []int64) {
	for ; n > 0; n-- {
		down = append(down, n)
	}
	return down
}

func TestAnyhowReadsASoundBookBackward(t *testing.T) {
	path := seasonBook(t)
	b, err := Open(t.Context(), path, ForReading)
	require.NoError(t, err)
	n, err := b.Size(t.Context(), b.Origin())
	require.NoError(t, err)
	require.NoError(t, b.Close())
	seqs, unsound, lost, bad := readAnyhow(t, path)
	require.NoError(t, bad)
	require.Equal(t, countdown(n), seqs)
	require.Zero(t, unsound+lost)

	b, _, err = Anyhow(t.Context(), path)
	require.NoError(t, err)
	var first []int64
	_, err = b.Backward(t.Context(), b.Origin(), func(h ledger.Header, _ func() bool) bool {
		first = append(first, h.Seq)
		return len(first) < 3
	})
	require.NoError(t, err)
	require.Equal(t, []int64{n, n - 1, n - 2}, first, "until it is enough")
	require.NoError(t, b.Close())
}

func TestAnyhowReadsWhatIsLeft(t *testing.T) {
	seqs, unsound, _, _ := readAnyhow(t, fixture(t, "body-changed.db"))
	require.Contains(t, seqs, int64(5))
	require.Equal(t, 1, unsound)
	seqs, _, _, _ = readAnyhow(t, fixture(t, "row-missing.db"))
	require.NotContains(t, seqs, int64(9))
	require.Contains(t, seqs, int64(8))
	whole, _, _, _ := readAnyhow(t, fixture(t, "derived-edited.db"))
	sound, _, _, _ := readAnyhow(t, seasonBook(t))
	require.Equal(t, sound, whole, "derived rows are not asked")
	seqs, unsound, _, bad := readAnyhow(t, fixture(t, "cut.db"))
	require.ErrorContains(t, bad, "cut short")
	require.NotEmpty(t, seqs)
	require.Zero(t, unsound)
	lacking := seasonBook(t)
	db := raw(t, lacking)
	run(t, db, `DROP TABLE fact`, `DROP TABLE struck`, `DROP TABLE origin`, `DELETE FROM device`)
	require.NoError(t, db.Close())
	seqs, _, _, bad = readAnyhow(t, lacking)
	require.Equal(t, sound, seqs)
	require.Error(t, bad)
}

// Whatever page of the file is lost, no other one goes with it that can be reached; the newest entries are found in all but a few cases.
func TestAnyhowWithoutAnyOnePage(t *testing.T) {
	const page = 8192
	text, err := os.ReadFile(filepath.Join(bookFolder, "sound-v2.db"))
	require.NoError(t, err)
	found := 0
	for at := page; at+page <= len(text); at += page {
		broken := bytes.Clone(text)
		copy(broken[at:at+page], bytes.Repeat([]byte{0xff}, page))
		b, bad, err := Anyhow(t.Context(), fileWith(t, broken))
		if err != nil {
			require.Error(t, bad)
			continue
		}
		n := 0
		_, err = b.Backward(t.Context(), b.Origin(), func(ledger.Header, func() bool) bool { n++; return true })
		require.NoError(t, err)
		if n > 0 {
			found++
		}
		require.NoError(t, b.Close())
	}
	require.GreaterOrEqual(t, found, len(text)/page-4)
}

// Another program that lets nobody in does not keep anybody from reading what was written before.
func TestAnyhowWhileTheBookIsLocked(t *testing.T) {
	path := seasonBook(t)
	sound, _, _, _ := readAnyhow(t, path)
	db := raw(t, path)
	run(t, db, `PRAGMA locking_mode = EXCLUSIVE`, `BEGIN EXCLUSIVE`)
	_, err := openWith(t.Context(), path, ForReading, hurries)
	require.Error(t, err, "the lock holds")
	seqs, _, _, bad := readAnyhow(t, path)
	require.Equal(t, sound, seqs)
	require.ErrorContains(t, bad, "in use by another program")
}

func TestAnyhowRefusesWhatIsNoBook(t *testing.T) {
	for _, name := range []string{"not-ours.db", "newer.db"} {
		_, _, err := Anyhow(t.Context(), fixture(t, name))
		require.Error(t, err, name)
	}
	_, _, err := Anyhow(t.Context(), newPath(t))
	require.ErrorContains(t, err, "there is no book")
}
