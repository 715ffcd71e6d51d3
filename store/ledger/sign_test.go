package ledger

import (
	"bytes"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/mod/sumdb/note"
	"pgregory.net/rapid"
)

// published reads the vectors of a file of testdata/published.
func published[T any](t testing.TB, file string) []T {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + file)
	require.NoError(t, err)
	var v struct{ Vectors []T }
	require.NoError(t, json.Unmarshal(text, &v))
	require.NotEmpty(t, v.Vectors)
	return v.Vectors
}

// RFC 8032 §7.1: what our keys sign with, put together from a seed as the RFC's secret keys are.
func TestSignaturesOfRFC8032(t *testing.T) {
	vectors := published[struct{ Name, Secret, Public, Message, Signature string }](t, "ed25519-rfc8032.json")
	require.Len(t, vectors, 5)
	for _, v := range vectors {
		raw := func(s string) []byte {
			b, err := hex.DecodeString(s)
			require.NoError(t, err)
			return b
		}
		secret, verifier, err := NewPersonalKey("p1111111", raw(v.Secret))
		require.NoError(t, err)
		signer, err := OpenKey(secret, verifier)
		require.NoError(t, err)
		sig, err := signer.Sign(raw(v.Message))
		require.NoError(t, err)
		require.Equal(t, v.Signature, hex.EncodeToString(sig), v.Name)
		by, err := note.NewVerifier(verifier)
		require.NoError(t, err)
		require.True(t, by.Verify(raw(v.Message), raw(v.Signature)), v.Name)
		require.True(t, ed25519.Verify(raw(v.Public), raw(v.Message), sig), v.Name)
	}
}

// The published notes: their text less its last newline stands for an entry's bytes.
func TestSignatureLinesOfPublishedNotes(t *testing.T) {
	vectors := published[struct{ Vkey, Skey, Note string }](t, "signed-note.json")
	require.Len(t, vectors, 2)
	signed := 0
	for _, v := range vectors {
		text, line, ok := strings.Cut(v.Note, "\n\n")
		require.True(t, ok)
		by, err := note.NewVerifier(v.Vkey)
		require.NoError(t, err)
		require.NoError(t, CheckSignature([]byte(text), []byte(line), by))
		if v.Skey == "" {
			continue
		}
		signed++
		s, err := OpenKey(v.Skey, v.Vkey)
		require.NoError(t, err)
		got, err := SignEntry([]byte(text), s)
		require.NoError(t, err)
		require.Equal(t, line, string(got))
	}
	require.Equal(t, 1, signed)
}

// testKey makes the key of an owner whose seed is one byte over and over.
func testKey(t testing.TB, owner string, seed byte) (Signer, string) {
	t.Helper()
	secret, verifier, err := NewPersonalKey(owner, bytes.Repeat([]byte{seed}, 32))
	require.NoError(t, err)
	s, err := OpenKey(secret, verifier)
	require.NoError(t, err)
	return s, verifier
}

// signed is a signed row and the verifier of its key.
func signedRow(t testing.TB, e Entry, s Signer) Row {
	t.Helper()
	e.Signer = s
	return encode(t, e)
}

func TestASignedEntryNamesItsKeyInItsBytes(t *testing.T) {
	s, verifier := testKey(t, "p1", 7)
	r := signedRow(t, sample(3), s)
	h, err := ReadHeader(r.Body)
	require.NoError(t, err)
	require.Equal(t, s.Name(), h.Key)
	require.Regexp(t, `^p1/[0-9a-f]{8}$`, h.Key)
	by, err := note.NewVerifier(verifier)
	require.NoError(t, err)
	require.NoError(t, CheckSignature(r.Body, r.Sig, by))
	require.Nil(t, encode(t, sample(3)).Sig)
}

// Every change of one byte, every truncation and every addition is found, in the signature as in the bytes.
func TestEveryChangedByteOfASignatureIsFound(t *testing.T) {
	s, verifier := testKey(t, "p1", 7)
	r := signedRow(t, sample(3), s)
	by, err := note.NewVerifier(verifier)
	require.NoError(t, err)
	for i := range r.Sig {
		for bit := range 8 {
			changed := bytes.Clone(r.Sig)
			changed[i] ^= 1 << bit
			require.Error(t, CheckSignature(r.Body, changed, by), "byte %d, bit %d", i, bit)
		}
		require.Error(t, CheckSignature(r.Body, r.Sig[:i], by), "cut to %d", i)
	}
	for i := range r.Body {
		changed := bytes.Clone(r.Body)
		changed[i] ^= 1
		require.Error(t, CheckSignature(changed, r.Sig, by), "byte %d of the entry", i)
	}
	for _, more := range []string{"\n", "x", string(r.Sig), "— other AAAAAAAA\n"} {
		require.Error(t, CheckSignature(r.Body, append(bytes.Clone(r.Sig), more...), by), more)
		require.Error(t, CheckSignature(r.Body, append([]byte(more), r.Sig...), by), more)
	}
}

func TestKeysThatAreNone(t *testing.T) {
	for _, owner := range []string{"", "ana ruiz", "a+b"} {
		_, _, err := NewPersonalKey(owner, make([]byte, 32))
		if owner != "" { // an empty owner still gives a name: "/" and the digits
			require.Error(t, err, owner)
		}
	}
	_, _, err := NewPersonalKey("p1", make([]byte, 31))
	require.ErrorContains(t, err, "31 random bytes, want 32")
	secret, verifier, err := NewPersonalKey("p1", make([]byte, 32))
	require.NoError(t, err)
	_, another, err := NewPersonalKey("p1", bytes.Repeat([]byte{1}, 32))
	require.NoError(t, err)
	_, err = OpenKey(secret, another)
	require.ErrorContains(t, err, "is not the one of p1/")
	_, err = OpenKey("nonsense", verifier)
	require.ErrorContains(t, err, "read a private key")
	_, err = OpenKey(secret, "nonsense")
	require.ErrorContains(t, err, "verifier key")
}

// Whatever key signs whatever entry: the signature is good for that key and that entry, and for no other.
func TestSignaturesHoldForOneKeyAndOneEntry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		make := func(name string) (Signer, note.Verifier) {
			seed := rapid.SliceOfN(rapid.Byte(), 32, 32).Draw(t, name)
			secret, verifier, err := NewPersonalKey("p1", seed)
			require.NoError(t, err)
			s, err := OpenKey(secret, verifier)
			require.NoError(t, err)
			v, err := note.NewVerifier(verifier)
			require.NoError(t, err)
			return s, v
		}
		s, v := make("key")
		_, other := make("other key")
		body := []byte(rapid.StringMatching(`\{"note":"[^\x00-\x1f"\\]*"\}`).Draw(t, "body"))
		sig, err := SignEntry(body, s)
		require.NoError(t, err)
		require.NoError(t, CheckSignature(body, sig, v))
		require.Error(t, CheckSignature(append(body, ' '), sig, v))
		if other.Name() != v.Name() {
			require.ErrorIs(t, CheckSignature(body, sig, other), errSigOther)
		}
	})
}

// FuzzCheckSignature: whatever is taken for a signature is, byte for byte, the one that the key makes.
func FuzzCheckSignature(f *testing.F) {
	s, verifier := testKey(f, "p1", 7)
	by, err := note.NewVerifier(verifier)
	require.NoError(f, err)
	body := encode(f, sample(3)).Body
	good, err := SignEntry(body, s)
	require.NoError(f, err)
	f.Add(good)
	f.Add([]byte("— p1 AAAA\n"))
	f.Add([]byte("\n\n— "))
	f.Fuzz(func(t *testing.T, sig []byte) {
		if CheckSignature(body, sig, by) == nil && !bytes.Equal(sig, good) {
			t.Fatalf("taken for a signature: %q", sig)
		}
	})
}
