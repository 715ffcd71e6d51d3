package training_test

import (
	"encoding"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
)

// The words stand in ledgers: they read back as what they were written from.
func TestWordsReadBack(t *testing.T) {
	var o, readO training.Outcome
	for o = training.CriticalMissed; o <= training.OutcomeMet; o++ {
		requireReadsBack(t, o, &readO)
		require.Equal(t, o, readO)
	}
	var l, readL training.Level
	for l = training.NoSaw; l <= training.Unsupervised; l++ {
		requireReadsBack(t, l, &readL)
		require.Equal(t, l, readL)
	}
	require.ErrorContains(t, readO.UnmarshalText([]byte("Met")), `"Met" is not`)
	require.ErrorContains(t, readL.UnmarshalText([]byte("")), `"" is not a level`)
}

func requireReadsBack(t *testing.T, v encoding.TextMarshaler, to encoding.TextUnmarshaler) {
	t.Helper()
	b, err := v.MarshalText()
	require.NoError(t, err)
	require.NotEmpty(t, b)
	require.Equal(t, fmt.Sprint(v), string(b))
	require.NoError(t, to.UnmarshalText(b))
}

func TestFactCodeKeepsOutcomeBesideAnnounced(t *testing.T) {
	f := announced(look(1, "2026-05-05", training.NotMet))
	require.Equal(t, training.NotMet, f.Outcome())
	require.True(t, f.Announced())
	require.False(t, look(1, "2026-05-05", training.NotMet).Announced())
}
