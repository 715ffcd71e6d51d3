package ledger

import (
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/gowebpki/jcs"
	"github.com/stretchr/testify/require"
)

func at(s string) time.Time {
	t, err := time.Parse(time.RFC3339, s)
	if err != nil {
		panic(err)
	}
	return t
}

func sample(seq int64) Entry {
	return Entry{
		Origin: "north/truck-1", Seq: seq, Kind: "observation", By: "p1", Worker: "p2", Skill: "3.3",
		Happened: at("2026-05-05T10:20:00-07:00"), Recorded: at("2026-05-05T17:30:00Z"),
		Data: map[string]any{"note": "rock \"3\", brush \\ }]{ \u2028é", "outcome": "met", "minutes": 20, "marks": []any{"a", map[string]any{"x": true}}},
	}
}

func encode(t testing.TB, e Entry) Row {
	t.Helper()
	r, err := Encode(e)
	require.NoError(t, err)
	return r
}

// Roots of RFC 6962 / RFC 9162 trees of size 0 to 8, from the reference vectors in testdata/vectors.
func TestRootsOfRFC6962Vectors(t *testing.T) {
	text, err := os.ReadFile("../../testdata/vectors/merkle-rfc6962.json")
	require.NoError(t, err)
	var v struct{ Leaves, Roots []string }
	require.NoError(t, json.Unmarshal(text, &v))
	require.Len(t, v.Roots, 9)
	var tree Roots
	for i, want := range v.Roots {
		root := tree.Root()
		require.Equal(t, want, hex.EncodeToString(root[:]), "size %d", i)
		if i < len(v.Leaves) {
			leaf, err := hex.DecodeString(v.Leaves[i])
			require.NoError(t, err)
			tree.Add(Leaf(leaf))
		}
	}
}

// The six input/output pairs of the RFC 8785 reference project: the library in use makes these bytes.
func TestCanonicalFormOfPublishedPairs(t *testing.T) {
	for _, n := range []string{"arrays", "french", "structures", "unicode", "values", "weird"} {
		in, err := os.ReadFile("../../testdata/vectors/jcs/" + n + ".input.json")
		require.NoError(t, err)
		want, err := os.ReadFile("../../testdata/vectors/jcs/" + n + ".output.json")
		require.NoError(t, err)
		got, err := jcs.Transform(in)
		require.NoError(t, err)
		require.Equal(t, strings.TrimSpace(string(want)), string(got), n)
	}
}

func TestEncodeGivesCanonicalBytesAndHeaderReadsThem(t *testing.T) {
	r := encode(t, sample(7))
	again, err := jcs.Transform(r.Body)
	require.NoError(t, err)
	require.Equal(t, string(again), string(r.Body))

	h, err := ReadHeader(r.Body)
	require.NoError(t, err)
	require.Equal(t, "observation p1 p2 3.3 north/truck-1 7", strings.Join([]string{h.Kind, h.By, h.Worker, h.Skill, h.Origin, fmt.Sprint(h.Seq)}, " "))
	require.Equal(t, "2026-05-05T10:20:00-07:00", h.Happened.Format(time.RFC3339))
	require.Equal(t, "met", Text(Lookup(h.Data, "outcome")))
	require.Equal(t, "rock \"3\", brush \\ }]{ \u2028é", Text(Lookup(h.Data, "note")))
	require.Nil(t, Lookup(h.Data, "nothing"))
}

func TestEncodeRefusesWhatTheLedgerDoesNotHold(t *testing.T) {
	for name, data := range map[string]any{
		"1.5 is not an integer":              map[string]any{"x": 1.5},
		"9007199254740992 is not an integer": map[string]any{"x": int64(9007199254740992)},
		"bytes, more than the 65536 allowed": map[string]any{"x": strings.Repeat("a", MaxEntry)},
	} {
		e := sample(1)
		e.Data = data
		_, err := Encode(e)
		require.ErrorContains(t, err, name)
	}
}

func TestEncodeWritesNilListsAsEmpty(t *testing.T) {
	e := sample(1)
	e.Data = map[string]any{"marks": []string(nil), "note": "null, and \"null"}
	h, err := ReadHeader(encode(t, e).Body)
	require.NoError(t, err)
	require.Equal(t, "[]", string(Lookup(h.Data, "marks")))
	require.Equal(t, "null, and \"null", Text(Lookup(h.Data, "note")))
}

func TestDecodeRefusesUnknownAndCaseVariantNames(t *testing.T) {
	var v struct {
		Result string `json:"result"`
	}
	require.NoError(t, Decode([]byte(`{"result":"not yet"}`), &v))
	require.ErrorContains(t, Decode([]byte(`{"Result":"met","result":"not yet"}`), &v), `unknown name "Result"`)
	require.Error(t, Decode([]byte(`{"other":"x"}`), &v))
}

// Every single-byte change of an entry's bytes is found, because the leaf no longer fits.
func TestEverySingleByteChangeIsFound(t *testing.T) {
	good := encode(t, sample(1))
	for i := range good.Body {
		r := good
		r.Body = append([]byte(nil), good.Body...)
		r.Body[i] ^= 1
		_, findings, err := Verify(r.Origin, one(r))
		require.NoError(t, err)
		require.NotEmpty(t, findings, "byte %d", i)
	}
}

func one(rows ...Row) func(func(Row, error) bool) {
	return func(yield func(Row, error) bool) {
		for _, r := range rows {
			if !yield(r, nil) {
				return
			}
		}
	}
}

func TestVerifyNamesEachDamagedEntryAndGoesOn(t *testing.T) {
	var rows []Row
	for i := int64(1); i <= 8; i++ {
		rows = append(rows, encode(t, sample(i)))
	}
	rows[1].Leaf[0] ^= 1           // leaf changed
	rows[3] = encode(t, sample(9)) // another entry in its place
	rows[3].Seq = 4                //
	early := sample(6)             // time runs back
	early.Recorded = at("2025-01-01T00:00:00Z")
	rows[5] = encode(t, early)
	signed := sample(7) // signed, signature gone
	signed.Key = "okafor"
	rows[6] = encode(t, signed)
	rows = append(rows[:4], rows[5:]...) // seq 5 removed

	_, findings, err := Verify("north/truck-1", one(rows...))
	require.NoError(t, err)
	var got []string
	for _, f := range findings {
		got = append(got, fmt.Sprintf("%d %s: %s", f.Seq, f.Class, f.What))
	}
	require.Equal(t, []string{
		"2 damaged: its bytes do not give the leaf hash stored beside them",
		"4 damaged: its bytes say it is north/truck-1#9",
		"5 damaged: the entry is missing",
		"6 damaged: recorded at 2025-01-01T00:00:00Z, before the entry ahead of it",
		"7 damaged: signed with key okafor, but the signature is missing",
	}, got)
}

func TestRefs(t *testing.T) {
	o, n, err := ParseRef(Ref("a/b", 12))
	require.NoError(t, err)
	require.Equal(t, "a/b#12", Ref(o, n))
	for _, s := range []string{"", "12", "a#", "a#0", "a#-1", "a#1x", "a#01"} {
		_, _, err := ParseRef(s)
		require.Error(t, err, s)
	}
}

func FuzzReadHeader(f *testing.F) {
	f.Add(encode(f, sample(3)).Body)
	f.Add([]byte(`{"by":"","data":{},"happened":"2026-05-05T10:20:00Z","kind":"x","origin":"o","recorded":"2026-05-05T10:20:00Z","seq":1}`))
	f.Add([]byte(`{"a":"\\"}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		h, err := ReadHeader(body)
		if err != nil {
			return
		}
		if h.Seq < 1 || h.Kind == "" {
			t.Fatalf("accepted %q", body)
		}
	})
}

func BenchmarkEncode(b *testing.B) {
	e := sample(1)
	for b.Loop() {
		if _, err := Encode(e); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkVerifyEntry(b *testing.B) {
	r := encode(b, sample(1))
	c := NewChain(r.Origin, 1)
	for b.Loop() {
		c.expect = 1
		c.Add(r)
	}
}

// Nothing that is recorded moves the cursor of who reads it. What a telephone pastes along unseen is left out, and never refused: the
// text may be the reason of a stop.
func TestNewEntriesHoldNoControlCharacters(t *testing.T) {
	for text, want := range map[string]string{
		"two lines\nand a tab\t": "two lines\nand a tab\t", `a backslash \u001b that somebody typed`: `a backslash \u001b that somebody typed`,
		"Zoë’s — note": "Zoë’s — note", `\`: `\`, `C:\new\bin "x"`: `C:\new\bin "x"`, "🌲 أحمد": "🌲 أحمد",
		"\x1b[2J": "[2J", "\x07": "", "\x7f": "", "\u009b2J": "2J", "\u202e": "", `\` + "\x1b": `\`, "he said \u202ano\u202c": "he said no", "أحمد\u200f": "أحمد",
		"from mail\r\nof today": "from mail\nof today", "one\rtwo": "one\ntwo", "ab\b\bno\f": "abno",
	} {
		r, err := Encode(Entry{Kind: "worker", Origin: "north/truck-1", Seq: 1, Happened: time.Unix(0, 0), Recorded: time.Unix(0, 0), Data: map[string]string{"reason": text}})
		require.NoError(t, err, "%q", text)
		require.NoError(t, Canonical(r.Body), "%q", text)
		require.Equal(t, Leaf(r.Body), r.Leaf)
		h, err := ReadHeader(r.Body)
		require.NoError(t, err)
		require.Equal(t, want, Text(Lookup(h.Data, "reason")), "%q", text)
	}
	_, err := Encode(Entry{Kind: "worker", Origin: "north/truck-1", Seq: 1, Data: map[string]string{"a": "x", "a\x07": "y"}})
	require.ErrorContains(t, err, `name "a" is empty or stands twice`)
}
