package store

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func drawFact(t *rapid.T) training.Fact {
	f := training.Fact{
		Entry: training.Ref(rapid.Int64().Draw(t, "entry")), Kind: training.FactKind(rapid.Byte().Draw(t, "kind")), Code: rapid.Byte().Draw(t, "code"),
		By: rapid.Uint32().Draw(t, "by"), Day: civil.Day(rapid.Int32().Draw(t, "day")), Until: civil.Day(rapid.Int32().Draw(t, "until")),
		At: rapid.Int64().Draw(t, "at"), Recorded: rapid.Int64().Draw(t, "recorded"),
	}
	for range rapid.IntRange(0, 5).Draw(t, "cites") {
		f.Cites = append(f.Cites, training.Ref(rapid.Int64().Draw(t, "cite")))
	}
	return f
}

func TestPackedFactsComeBackAsTheyWere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOfN(rapid.Custom(drawFact), 1, 10).Draw(t, "facts")
		var row []byte
		for _, f := range want {
			row = pack(row, f)
		}
		got, err := unpack(nil, row)
		require.NoError(t, err)
		require.Equal(t, want, got)
	})
}

// The most cited entries that fit come back; that more are refused shows in append_test.go.
func TestPackTakesTheMostCitesThatFit(t *testing.T) {
	want := training.Fact{Entry: 1, Cites: make([]training.Ref, maxCites)}
	got, err := unpack(nil, pack(nil, want))
	require.NoError(t, err)
	require.Equal(t, []training.Fact{want}, got)
}

func FuzzUnpack(f *testing.F) {
	f.Add([]byte{})
	f.Add(pack(nil, training.Fact{Entry: 7, Kind: training.FactSignOff, Cites: []training.Ref{3, 4}}))
	f.Add(make([]byte, packedFact-1))
	f.Fuzz(func(t *testing.T, row []byte) {
		facts, err := unpack(nil, row)
		if err != nil {
			return
		}
		var again []byte
		for _, fact := range facts {
			again = pack(again, fact)
		}
		require.Equal(t, append([]byte(nil), row...), again)
	})
}
