package store

import (
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

const firstVersion = "sound-v1.db"

// A book of version 1 is read as it is; the first entry written to it, and nothing less, makes it one of version 2.
func TestAnOlderBookGainsTablesWhenItIsWritten(t *testing.T) {
	path := fixture(t, firstVersion)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, mode := range []Mode{ForReading, ForVerifying, ForWriting} {
		b := open(t, path, mode)
		requireSound(t, b)
		_, ok, err := b.Sealed(bg, "p1111111/1")
		require.NoError(t, err)
		require.False(t, ok)
		require.NoError(t, b.Close())
	}
	b := open(t, path, ForWriting)
	stop := errors.New("the lead changed her mind")
	require.ErrorIs(t, b.Batch(bg, func() error {
		require.NoError(t, b.KeepSealed(bg, "p1111111/1", "text")) // the table is there within the batch
		return stop
	}), stop)
	require.Equal(t, "1", pragma(t, b.conn, "user_version"))
	require.NoError(t, b.Close())
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, before, after, "nothing was written after all")

	b = open(t, path, ForWriting)
	reader := open(t, path, ForReading) // opened before the tables were there
	write(t, b, taught(ada, "m7"))
	require.Equal(t, "2", pragma(t, b.conn, "user_version"))
	require.NoError(t, b.Batch(bg, func() error { return b.KeepSealed(bg, "p1111111/1", "text") }))
	text, ok, err := b.Sealed(bg, "p1111111/1")
	require.NoError(t, err)
	require.Equal(t, []any{"text", true}, []any{text, ok})
	require.EqualValues(t, 13, requireSound(t, b).Entries)
	requireSound(t, reader)
}

// Two programs may find the same older book; the second finds the work done.
func TestTwoProgramsUpgradeOneBook(t *testing.T) {
	path := fixture(t, firstVersion)
	one, two := open(t, path, ForWriting), open(t, path, ForWriting)
	write(t, one, taught(ada, "m7"))
	write(t, two, taught(ada, "m8"))
	require.EqualValues(t, 14, requireSound(t, two).Entries)
}

// Every version adds to the one before, and a new book has what the older ones gain.
func TestEveryVersionSaysWhatItAdds(t *testing.T) {
	for v := 2; v <= version; v++ {
		require.Contains(t, schema(), added[v])
		require.NotEmpty(t, added[v])
	}
	require.Len(t, added, version-1)
}

func TestASealedKeyIsKeptOnce(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	require.NoError(t, b.Batch(bg, func() error { return b.KeepSealed(bg, "p1111111/1", "text") }))
	require.Error(t, b.Batch(bg, func() error { return b.KeepSealed(bg, "p1111111/1", "other text") }))
	text, ok, err := b.Sealed(bg, "p1111111/1")
	require.NoError(t, err)
	require.Equal(t, []any{"text", true}, []any{text, ok})
	_, ok, err = b.Sealed(bg, "p1111111/2")
	require.NoError(t, err)
	require.False(t, ok)
}
