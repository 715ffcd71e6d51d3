package sealed

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"filippo.io/age"
	"filippo.io/age/armor"
	"github.com/stretchr/testify/require"
)

const (
	phrase = "three old saws under the pine"
	secret = "PRIVATE+KEY+PeterNeumann+c74f20a3+AYEKFALVFGyNhPJEMzD1QIDr+Y7hfZx09iUvxdXHKDFz" // published for demonstration; testdata/published/signed-note.json
	light  = 4                                                                                // work factor of tests that are not about work
)

func seal(t testing.TB, text, phrase string, work int) string {
	t.Helper()
	armoured, err := Seal(text, phrase, work)
	require.NoError(t, err)
	return armoured
}

func TestASealedKeyOpensWithItsPassphraseOnly(t *testing.T) {
	armoured := seal(t, secret, phrase, light)
	require.True(t, strings.HasPrefix(armoured, "-----BEGIN AGE ENCRYPTED FILE-----\n"))
	require.Less(t, len(armoured), maxSealed)
	got, err := Open(armoured, phrase)
	require.NoError(t, err)
	require.Equal(t, secret, got)
	for _, wrong := range []string{"", " ", phrase + " ", strings.ToUpper(phrase), phrase[1:], "something else entirely"} {
		_, err := Open(armoured, wrong)
		require.ErrorIs(t, err, ErrPassphrase, "%q", wrong)
	}
	require.NotEqual(t, armoured, seal(t, secret, phrase, light), "the salt is drawn anew")
	require.NotContains(t, armoured, phrase)
}

// The work factor with which keys are closed, read by the library itself.
func TestSealWorksHard(t *testing.T) {
	armoured := seal(t, secret, phrase, Work)
	var head bytes.Buffer
	_, err := head.ReadFrom(armor.NewReader(strings.NewReader(armoured)))
	require.NoError(t, err)
	require.Regexp(t, `\Aage-encryption\.org/v1\n-> scrypt \S{22} 17\n`, head.String())
}

// A file that asks for more work than 2^20 is refused before any is done. Its text is one of light work with the factor
// rewritten: with 2^20 the work is done and ends at the tag, beyond nothing is tried.
func TestOpenRefusesTooMuchWork(t *testing.T) {
	var plain bytes.Buffer
	_, err := plain.ReadFrom(armor.NewReader(strings.NewReader(seal(t, secret, phrase, light))))
	require.NoError(t, err)
	for _, factor := range []string{"21", "22", "30", "63"} {
		_, err := Open(rearmoured(t, bytes.Replace(plain.Bytes(), []byte(" 4\n"), []byte(" "+factor+"\n"), 1)), phrase)
		require.ErrorIs(t, err, ErrWork, factor)
	}
	_, err = Seal(secret, phrase, MaxWork+1)
	require.ErrorContains(t, err, "work factor 21, want 1 to 20")
	_, err = Seal(secret, phrase, 0)
	require.ErrorContains(t, err, "work factor 0")
}

func rearmoured(t testing.TB, text []byte) string {
	t.Helper()
	var out strings.Builder
	w := armor.NewWriter(&out)
	_, err := w.Write(text)
	require.NoError(t, errors.Join(err, w.Close()))
	return out.String()
}

func TestEveryChangedByteOfASealedKeyIsFound(t *testing.T) {
	armoured := seal(t, secret, phrase, light)
	for i := range armoured {
		changed := []byte(armoured)
		changed[i] ^= 1
		got, err := Open(string(changed), phrase)
		require.Error(t, err, "byte %d", i)
		require.Empty(t, got)
	}
	for i := range len(armoured) - 1 { // the last line break may be missing
		_, err := Open(armoured[:i], phrase)
		require.Error(t, err, "cut to %d", i)
	}
}

func TestWhatIsInsideMustBeOneLine(t *testing.T) {
	for _, text := range []string{"two\nlines", "with a return\r", strings.Repeat("x", maxInside)} {
		_, err := Open(seal(t, text, phrase, light), phrase)
		require.ErrorIs(t, err, ErrForm)
	}
	_, err := Open(strings.Repeat("x", maxSealed+1), phrase)
	require.ErrorIs(t, err, ErrForm)
}

// A file closed for a key instead of a passphrase is none of ours, whatever the passphrase.
func TestAFileForAnotherKindOfKey(t *testing.T) {
	id, err := age.GenerateX25519Identity()
	require.NoError(t, err)
	var text bytes.Buffer
	w, err := age.Encrypt(&text, id.Recipient())
	require.NoError(t, err)
	require.NoError(t, w.Close())
	_, err = Open(rearmoured(t, text.Bytes()), phrase)
	require.ErrorIs(t, err, ErrForm)
}

// What an error says of a file must not give away what somebody put there.
func TestErrorsQuoteNothing(t *testing.T) {
	for _, text := range []string{secret, "age-encryption.org/v1\n-> " + secret + "\n", armor.Header + "\n" + secret + "\n" + armor.Footer + "\n", seal(t, secret+"\nmore", phrase, light)} {
		_, err := Open(text, phrase)
		require.ErrorIs(t, err, ErrForm)
		require.NotContains(t, err.Error(), "PRIVATE")
	}
}

// FuzzOpen: whatever text stands in the book in place of a sealed key, opening it ends, with an error or with what was
// sealed with that passphrase.
func FuzzOpen(f *testing.F) {
	good := seal(f, secret, phrase, light)
	f.Add(good)
	f.Add("-----BEGIN AGE ENCRYPTED FILE-----\n-----END AGE ENCRYPTED FILE-----\n")
	f.Add("age-encryption.org/v1\n-> scrypt AAAAAAAAAAAAAAAAAAAAAA 21\n")
	f.Fuzz(func(t *testing.T, armoured string) {
		if strings.Contains(armoured, "scrypt") && armoured != good {
			return // plain text is refused by its missing frame; a great factor would only take time
		}
		got, err := Open(armoured, phrase)
		if err == nil && got != secret {
			t.Fatalf("opened %q", got)
		}
	})
}

// BenchmarkOpen: opening a key must take less than 0.6 s on a laptop of two cores.
func BenchmarkOpen(b *testing.B) {
	armoured := seal(b, secret, phrase, Work)
	for b.Loop() {
		_, err := Open(armoured, phrase)
		require.NoError(b, err)
	}
}
