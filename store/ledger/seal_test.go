package ledger

import (
	"bytes"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

const truck = "north/truck-1"

// seedOf is a fixed key for tests.
func seedOf(n byte) []byte { return bytes.Repeat([]byte{n}, 32) }

func verifierOf(t testing.TB, n byte) string {
	t.Helper()
	v, err := VerifierOf(truck, seedOf(n))
	require.NoError(t, err)
	return v
}

// grown gives the leaves of n entries, and their bytes.
func grown(t testing.TB, n int64) (l Leaves, bodies [][]byte) {
	t.Helper()
	for seq := int64(1); seq <= n; seq++ {
		r := encode(t, sample(seq))
		l, bodies = append(l, r.Leaf), append(bodies, r.Body)
	}
	return l, bodies
}

func sealed(t testing.TB, l Leaves) Seal {
	t.Helper()
	s, err := Sign(Head{truck, int64(len(l)), l.Root()}, seedOf(1))
	require.NoError(t, err)
	return s
}

// The published notes open with their keys, and with no other.
func TestPublishedSignedNotes(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/signed-note.json")
	require.NoError(t, err)
	var v struct {
		Vectors []struct{ VKey, SKey, Note string }
	}
	require.NoError(t, json.Unmarshal(text, &v))
	require.Len(t, v.Vectors, 2)
	for _, one := range v.Vectors {
		known, err := note.NewVerifier(one.VKey)
		require.NoError(t, err)
		n, err := note.Open([]byte(one.Note), note.VerifierList(known))
		require.NoError(t, err)
		require.Len(t, n.Sigs, 1)
		if one.SKey == "" {
			continue
		}
		// Our way of writing a verifier key from a seed gives the published one.
		parts := strings.SplitN(one.SKey, "+", 5) // base64 may hold a plus
		secret, err := base64.StdEncoding.DecodeString(parts[4])
		require.NoError(t, err)
		got, err := VerifierOf(parts[2], secret[1:])
		require.NoError(t, err)
		require.Equal(t, one.VKey, got)
	}
}

func TestASealIsACheckpointSignedByTheDevice(t *testing.T) {
	l, _ := grown(t, 7)
	s := sealed(t, l)
	root := l.Root()
	require.Equal(t, truck+"\n7\n"+base64.StdEncoding.EncodeToString(root[:])+"\n\n"+s.Line()+"\n", string(s.Text))
	require.True(t, strings.HasPrefix(s.Line(), "— "+truck+" "))

	read, err := ReadSeal(s.Text, verifierOf(t, 1))
	require.NoError(t, err)
	require.Equal(t, s, read)
	read, err = ReadSeal(JoinSeal(s.Head, s.Line()), verifierOf(t, 2), verifierOf(t, 1), verifierOf(t, 1))
	require.NoError(t, err)
	require.Equal(t, verifierOf(t, 1), read.Verifier)
	read, err = ReadSeal(s.Text, verifierOf(t, 2))
	require.NoError(t, err)
	require.Empty(t, read.Verifier, "signed by a key that is not known")
	require.Equal(t, s.Head, read.Head)
}

func TestAKeyIsDrawnAndNamesItsLedger(t *testing.T) {
	seed, verifier, err := NewKey(truck, bytes.NewReader(seedOf(1)))
	require.NoError(t, err)
	require.Equal(t, seedOf(1), seed)
	require.Equal(t, verifierOf(t, 1), verifier)
	require.Len(t, Fingerprint(verifier), 19)
	require.NotEqual(t, Fingerprint(verifier), Fingerprint(verifierOf(t, 2)))
	_, _, err = NewKey(truck, bytes.NewReader(seed[:31]))
	require.ErrorContains(t, err, "draw a key")
	for _, name := range []string{"", "north truck", "north+truck", "a\u00a0b"} {
		_, _, err = NewKey(name, bytes.NewReader(seedOf(1)))
		require.ErrorContains(t, err, "cannot be sealed", name)
	}
	_, err = VerifierOf(truck, seedOf(1)[:5])
	require.ErrorContains(t, err, "5 bytes")
}

// Every change of one byte of a seal is refused, or leaves it unsigned.
func TestEveryChangedByteOfASealIsFound(t *testing.T) {
	l, _ := grown(t, 7)
	s := sealed(t, l)
	for i := range s.Text {
		for _, to := range []byte{s.Text[i] ^ 1, s.Text[i] ^ 0x20, '\n'} {
			if to == s.Text[i] {
				continue
			}
			text := bytes.Clone(s.Text)
			text[i] = to
			read, err := ReadSeal(text, verifierOf(t, 1))
			require.True(t, err != nil || read.Verifier == "", "byte %d", i)
		}
	}
	for n := range s.Text {
		read, err := ReadSeal(s.Text[:n], verifierOf(t, 1))
		require.True(t, err != nil || read.Verifier == "", "cut at %d", n)
	}
}

func TestSealsThatAreNone(t *testing.T) {
	l, _ := grown(t, 7)
	s := sealed(t, l)
	resigned := func(text string) []byte {
		signer, err := note.NewSigner("PRIVATE+KEY+" + truck + "+" + strings.Split(verifierOf(t, 1), "+")[1] + "+" + base64.StdEncoding.EncodeToString(append([]byte{1}, seedOf(1)...)))
		require.NoError(t, err)
		out, err := note.Sign(&note.Note{Text: text}, signer)
		require.NoError(t, err)
		return out
	}
	root := strings.Split(string(s.Text), "\n")[2]
	for name, text := range map[string][]byte{
		"empty":               nil,
		"no signature":        []byte(truck + "\n7\n" + root + "\n"),
		"two lines":           resigned(truck + "\n7\n"),
		"leading zero":        resigned(truck + "\n07\n" + root + "\n"),
		"plus sign":           resigned(truck + "\n+7\n" + root + "\n"),
		"negative":            resigned(truck + "\n-7\n" + root + "\n"),
		"short root":          resigned(truck + "\n7\nAAAA\n"),
		"loose base64":        resigned(truck + "\n7\n" + root[:42] + "R=\n"),
		"no origin":           resigned("\n7\n" + root + "\n"),
		"carriage returns":    bytes.ReplaceAll(s.Text, []byte("\n"), []byte("\r\n")),
		"hyphen for the dash": bytes.Replace(s.Text, []byte("—"), []byte("-"), 1),
		"too long":            append(bytes.Clone(s.Text), bytes.Repeat([]byte("x"), MaxSeal)...),
	} {
		_, err := ReadSeal(text, verifierOf(t, 1))
		require.ErrorContains(t, err, "read the seal", name)
	}
	_, err := ReadSeal(s.Text, "x+y")
	require.ErrorContains(t, err, "not a verifier key")
	// A known key of another ledger signs nothing here.
	other, err := VerifierOf("north/truck-2", seedOf(1))
	require.NoError(t, err)
	read, err := ReadSeal(s.Text, other)
	require.NoError(t, err)
	require.Empty(t, read.Verifier)
	// Extension lines are allowed, and not asked for.
	read, err = ReadSeal(resigned(truck+"\n7\n"+root+"\nmore\n"), verifierOf(t, 1))
	require.NoError(t, err)
	require.Equal(t, s.Head, read.Head)
	require.NotEmpty(t, read.Verifier)
}

// Inclusion and consistency over the published leaves lead to the published roots (RFC 9162 §2.1.3, §2.1.4).
func TestProofsOverThePublishedTrees(t *testing.T) {
	text, err := os.ReadFile("../../testdata/vectors/merkle-rfc6962.json")
	require.NoError(t, err)
	var v struct{ Leaves, Roots []string }
	require.NoError(t, json.Unmarshal(text, &v))
	var l Leaves
	var roots [][32]byte
	for i, want := range v.Roots {
		root, err := ParseRoot(want)
		require.NoError(t, err)
		roots = append(roots, root)
		require.Equal(t, root, l.Root())
		if i < len(v.Leaves) {
			b, err := hex.DecodeString(v.Leaves[i])
			require.NoError(t, err)
			l = append(l, Leaf(b))
		}
	}
	pairs := 0
	for size := int64(1); size <= int64(len(l)); size++ {
		for n := range size {
			p, err := tlog.ProveRecord(size, n, l[:size])
			require.NoError(t, err)
			require.NoError(t, tlog.CheckRecord(p, size, roots[size], n, l[n]))
			require.Error(t, tlog.CheckRecord(p, size, roots[size-1], n, l[n]))
		}
		for old := int64(1); old <= size; old++ {
			p, err := tlog.ProveTree(size, old, l[:size])
			require.NoError(t, err)
			require.NoError(t, tlog.CheckTree(p, size, roots[size], old, roots[old]))
			require.Error(t, tlog.CheckTree(p, size, roots[size], old, roots[old-1]))
			pairs++
		}
	}
	require.Equal(t, 36, pairs)
}

func FuzzReadSeal(f *testing.F) {
	l, _ := grown(f, 3)
	f.Add([]byte("")) // a seal is the other seed
	f.Add(sealed(f, l).Text)
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := ReadSeal(text, verifierOf(t, 1))
		if err != nil || s.Verifier == "" {
			return
		}
		again, err := ReadSeal(JoinSeal(s.Head, s.Line()), verifierOf(t, 1))
		if err == nil && again.Head != s.Head {
			t.Fatalf("read %v, then %v", s.Head, again.Head)
		}
	})
}
