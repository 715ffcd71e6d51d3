package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/ledger/sealed"
)

// desk is somebody at a terminal: what they answer to each question for a passphrase, and what they saw.
type desk struct {
	t       *testing.T
	path    string
	now     time.Time
	answers []string // for what is asked without echo, in order
	asked   []string
	seen    string
}

// newDesk sits down before a copy of a book of the scripts.
func newDesk(t *testing.T, part string) *desk {
	t.Helper()
	text, err := madeBooks[part]()
	require.NoError(t, err)
	d := &desk{t: t, path: filepath.Join(t.TempDir(), "book.db"), now: time.Date(2026, 5, 6, 17, 0, 0, 0, time.UTC)}
	require.NoError(t, os.WriteFile(d.path, text, 0o600))
	return d
}

var errAway = errors.New("nobody answers")

func (d *desk) secret(_ context.Context, prompt string) (string, error) {
	d.asked = append(d.asked, prompt)
	if len(d.answers) == 0 {
		return "", errAway
	}
	next := d.answers[0]
	d.answers = d.answers[1:]
	if next == "" { // whoever presses enter has read the words that were offered
		return "", nil
	}
	return next, nil
}

// do runs a command line at the desk.
func (d *desk) do(line string, answers ...string) (code int) {
	d.t.Helper()
	var out bytes.Buffer
	d.answers, d.asked = answers, nil
	e := env{in: strings.NewReader(""), out: &out, err: &out, getenv: func(string) string { return "" }, now: func() time.Time { return d.now },
		secret: func(ctx context.Context, prompt string) (string, error) {
			out.WriteString(prompt + "\n")
			d.seen = out.String()
			return d.secret(ctx, prompt)
		}}
	code = run(d.t.Context(), e, append(wordsOf(line, '\''), "--book", d.path))
	d.seen = out.String()
	for _, a := range answers {
		if a != "" {
			require.NotContains(d.t, d.seen, a, "a passphrase was printed")
		}
	}
	return code
}

func TestKeyMakeAtATerminalOffersWords(t *testing.T) {
	d := newDesk(t, "seen")
	require.Equal(t, exitRefused, d.do("key make", "", "not the words"))
	require.Contains(t, d.seen, "the two passphrases are not the same")
	words := regexp.MustCompile(`five words drawn at random: (([a-z]+ ){4}[a-z]+)\n`).FindStringSubmatch(d.seen)
	require.NotNil(t, words, d.seen)
	require.Equal(t, exitRefused, d.do("key make", "short"))
	require.Contains(t, d.seen, "has 5 characters, fewer than 15")
	require.NotContains(t, d.seen, words[1], "other words each time")

	require.Equal(t, exitDone, d.do("key make", scriptPhrase, scriptPhrase), d.seen)
	require.Contains(t, d.seen, "take them by pressing enter, or type a passphrase of your own: ")
	require.Contains(t, d.seen, "known by the book owner's word")
	require.Equal(t, exitRefused, d.do("key make", scriptPhrase, scriptPhrase))
	require.Empty(t, d.asked, "a second key is refused before anything is asked")
}

// The words that are offered close the key if enter is pressed: type them again, and when signing.
func TestKeyMakeTakesTheWordsOffered(t *testing.T) {
	d := newDesk(t, "seen")
	var words string
	take := func(line string) int {
		var out bytes.Buffer
		e := env{in: strings.NewReader(""), out: &out, err: &out, getenv: func(string) string { return "" }, now: func() time.Time { return d.now }}
		e.secret = func(_ context.Context, prompt string) (string, error) {
			if strings.HasPrefix(prompt, "take them") {
				words = regexp.MustCompile(`at random: ([a-z ]+)\n`).FindStringSubmatch(out.String())[1]
				return "", nil
			}
			return words, nil
		}
		return run(t.Context(), e, append(wordsOf(line, '\''), "--book", d.path))
	}
	require.Equal(t, exitDone, take("key make"))
	require.Len(t, strings.Fields(words), 5)
	require.Equal(t, exitDone, take("skill sign ana 3.3"))
	require.Equal(t, exitDone, d.do("book verify"), d.seen)
}

func TestSigningAtATerminal(t *testing.T) {
	d := newDesk(t, "key")
	require.Equal(t, exitDone, d.do("skill sign ana 3.3", "three old saws under the oak", "another slip of the hand", scriptPhrase), d.seen)
	require.Len(t, d.asked, 3)
	require.Regexp(t, `^passphrase of key p[0-9a-v]{7}/[0-9a-f]{8}: $`, d.asked[0])
	shown := strings.Index(d.seen, "sign-off of Ana Ruiz (ana) for 3.3")
	require.True(t, shown >= 0 && shown < strings.Index(d.seen, "passphrase of key"), "what is to be signed is shown before the passphrase is asked for\n%s", d.seen)
	require.Contains(t, d.seen, "signed by M. Okafor, key ")

	require.Equal(t, exitRefused, d.do("module attend ana M4 --language en --understood 'told it back'", "one wrong phrase", "two wrong phrases", "three wrong phrases", scriptPhrase))
	require.Len(t, d.asked, 3, "three tries")
	require.Contains(t, d.seen, "the passphrase does not open the key")
	require.Equal(t, exitRefused, d.do("module attend ana M4 --language en --understood 'told it back'"), "nobody answers")
	require.Equal(t, exitDone, d.do("book head"))
	require.Contains(t, d.seen, "\t17\t", "one entry was signed, the others not written")
}

// Leaving the terminal while a passphrase is asked for writes nothing.
func TestSigningInterrupted(t *testing.T) {
	d := newDesk(t, "key")
	ctx, cancel := context.WithCancel(t.Context())
	var out bytes.Buffer
	e := env{in: strings.NewReader(""), out: io.Discard, err: &out, getenv: func(string) string { return "" }, now: func() time.Time { return d.now },
		secret: func(ctx context.Context, _ string) (string, error) {
			cancel()
			return "", ctx.Err()
		}}
	require.Equal(t, exitInterrupted, run(ctx, e, []string{"skill", "sign", "ana", "3.3", "--book", d.path}))
	require.Contains(t, out.String(), "interrupted; nothing was written")
}

// strange gives okafor another key than that of the book "seen", in the way another program could: announced properly,
// and with armoured, unless empty, in the place of its private half.
func (d *desk) strange(armoured func(secret string) string) {
	d.t.Helper()
	ctx := d.t.Context()
	b, err := store.Open(ctx, d.path, store.ForWriting)
	require.NoError(d.t, err)
	defer func() { require.NoError(d.t, b.Close()) }()
	okafor, ok, err := b.PersonByHandle(ctx, "okafor")
	require.NoError(d.t, err)
	require.True(d.t, ok)
	secret, verifier, err := ledger.NewPersonalKey(okafor.ID, bytes.Repeat([]byte{5}, 32))
	require.NoError(d.t, err)
	signer, err := ledger.OpenKey(secret, verifier)
	require.NoError(d.t, err)
	require.NoError(d.t, b.Batch(ctx, func() error {
		if armoured != nil {
			require.NoError(d.t, b.KeepSealed(ctx, signer.Name(), armoured(secret)))
		}
		_, err := b.Append(ctx, d.now, []ledger.Entry{{Kind: ledger.KindKey, Happened: d.now, By: okafor.ID, Worker: okafor.ID, Data: ledger.Key{Verifier: verifier}, Signer: signer}})
		return err
	}))
}

// A key made on another device is not in this book: its owner must not look as if they had none.
func TestAKeyThatIsElsewhere(t *testing.T) {
	d := newDesk(t, "seen")
	d.strange(nil)
	require.Equal(t, exitRefused, d.do("skill sign ana 3.3", scriptPhrase))
	require.Contains(t, d.seen, "is not in this book; it was made on another device\nmake one for this book too: ringtrue key make")
	require.Empty(t, d.asked)
	require.Equal(t, exitDone, d.do("skill restrict ana 3.3 --reason 'foot on the turning blade'"), d.seen)
	require.Equal(t, exitDone, d.do("key make", scriptPhrase, scriptPhrase), d.seen)
	require.Equal(t, exitDone, d.do("module attend ana M4 --language en --understood 'told it back'", scriptPhrase), d.seen)
	require.Contains(t, d.seen, "signed by M. Okafor")
	require.Equal(t, exitDone, d.do("key list"))
	require.Equal(t, 1, strings.Count(d.seen, "\tno\n"))
	require.Equal(t, 1, strings.Count(d.seen, "\tyes\n"))
	require.Equal(t, exitRefused, d.do("key end okafor --reason 'the other laptop was stolen'"))
	require.Contains(t, d.seen, "okafor has 2 keys in force")
	require.Equal(t, exitDone, d.do("book verify"), d.seen)
}

// What stands in the place of a sealed key may be another one's, or nothing of the kind: it signs nothing.
func TestASealedKeyInTheWrongPlace(t *testing.T) {
	for what, c := range map[string]struct{ armoured func(string) string }{
		"the private key is not the one of p": {func(string) string {
			other, _, err := ledger.NewPersonalKey("pother", bytes.Repeat([]byte{6}, 32))
			require.NoError(t, err)
			text, err := sealed.Seal(other, scriptPhrase, 4)
			require.NoError(t, err)
			return text
		}},
		"read a private key: malformed": {func(string) string {
			text, err := sealed.Seal("nonsense", scriptPhrase, 4)
			require.NoError(t, err)
			return text
		}},
		"damaged, or none": {func(secret string) string { return secret }},
	} {
		d := newDesk(t, "seen")
		d.strange(c.armoured)
		require.Equal(t, exitRefused, d.do("skill sign ana 3.3", scriptPhrase))
		require.Contains(t, d.seen, what)
		require.NotContains(t, d.seen, "PRIVATE")
		require.Equal(t, exitDone, d.do("key end okafor --reason 'the file was changed'"), d.seen)
		require.Equal(t, exitDone, d.do("skill sign ana 3.3"), d.seen)
	}
}

// A signature that was changed in the file shows wherever the entry is shown, and the checks of the whole book name it.
func TestAChangedSignatureIsNotShownAsSigned(t *testing.T) {
	d := newDesk(t, "key")
	require.Equal(t, exitDone, d.do("skill sign ana 3.3", scriptPhrase), d.seen)
	require.Equal(t, exitDone, d.do("book dump"))
	sig := regexp.MustCompile(`"seq":17,.*"sig":"— \S+ (\S{20})`).FindStringSubmatch(d.seen)
	require.NotNil(t, sig)
	text, err := os.ReadFile(d.path)
	require.NoError(t, err)
	at := bytes.Index(text, []byte(sig[1]))
	require.Positive(t, at)
	other := map[bool]byte{true: 'B', false: 'A'}[text[at+10] == 'A']
	text[at+10] = other // within the signature, behind the four bytes of the key id
	require.NoError(t, os.WriteFile(d.path, text, 0o600))
	require.Equal(t, exitDone, d.do("evidence show ana"), d.seen)
	require.Contains(t, d.seen, "by okafor, and its signature cannot be trusted: signed with key ")
	require.Equal(t, exitDone, d.do("standing ana --module M3"), d.seen)
	require.Regexp(t, `(?m)^3\.3   to decide `, d.seen, "what is not trusted permits nothing")
	require.Contains(t, d.seen, "the sign-off of 2026-05-06 no longer counts: its signature is not trusted (entry 17)")
	require.NotEqual(t, exitDone, d.do("evidence copy ana -o '"+filepath.Join(t.TempDir(), "ana.json")+"' --as okafor", scriptPhrase))
	require.Contains(t, d.seen, "no sign-off")
	require.Equal(t, exitDone, d.do("skill restrict ana 3.3 --reason 'foot on the turning blade'"), "a stop still stops")
	require.Equal(t, exitDamaged, d.do("book verify"))
	require.Regexp(t, `(?m)^NOT TRUSTED: 18 entries read`, d.seen)
	require.Regexp(t, `(?m)^not trusted: entry birch-creek-thinning/laptop-1#17: signed with key p[0-9a-v]{7}/[0-9a-f]{8}, but its signature does not fit its bytes$`, d.seen)
}
