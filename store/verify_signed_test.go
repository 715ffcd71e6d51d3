package store

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// adasKey is a key of Ada's, and the entry that announces it.
func adasKey(t testing.TB, seed byte) (ledger.Signer, ledger.Entry) {
	t.Helper()
	secret, verifier, err := ledger.NewPersonalKey(ada, bytes.Repeat([]byte{seed}, 32))
	require.NoError(t, err)
	s, err := ledger.OpenKey(secret, verifier)
	require.NoError(t, err)
	return s, ledger.Entry{Kind: ledger.KindKey, By: ada, Worker: ada, Data: ledger.Key{Verifier: verifier}, Signer: s}
}

func by(s ledger.Signer, e ledger.Entry) ledger.Entry {
	e.Signer = s
	return e
}

// signedBook: the season, Ada's key (13), a signed sign-off (14), an unsigned one by Bo, who has no key (15).
func signedBook(t testing.TB) (path string, key ledger.Signer) {
	t.Helper()
	path = seasonBook(t)
	b := open(t, path, ForWriting)
	s, announced := adasKey(t, 1)
	unsigned := signed(ada, limb, own+"#7")
	unsigned.By = bo
	write(t, b, announced, by(s, signed(ada, limb, own+"#5")), unsigned)
	require.EqualValues(t, 15, requireSound(t, b).Entries)
	require.NoError(t, b.Close())
	return path, s
}

// tamper is damage that puts the triggers back, so that nothing but what was done to entries is found.
func tamper(t testing.TB, path, statement string) {
	t.Helper()
	db := raw(t, path)
	for _, g := range guards {
		run(t, db, `DROP TRIGGER `+g.name)
	}
	run(t, db, statement)
	for _, g := range guards {
		run(t, db, g.text)
	}
	require.NoError(t, db.Close())
}

func TestSignaturesAreStoredBesideTheirEntries(t *testing.T) {
	path, s := signedBook(t)
	b := open(t, path, ForReading)
	keys, err := b.Keys(bg)
	require.NoError(t, err)
	require.Len(t, keys.All(), 1)
	for seq, want := range map[int64]string{13: s.Name(), 14: s.Name(), 15: ""} {
		ref, err := b.Ref(fmt.Sprint(own, "#", seq))
		require.NoError(t, err)
		require.NoError(t, b.CheckSignature(bg, keys, ref))
		row, err := b.row(bg, ref)
		require.NoError(t, err)
		h, err := ledger.ReadHeader(row.Body)
		require.NoError(t, err)
		require.Equal(t, want, h.Key)
		require.Equal(t, want == "", row.Sig == nil)
	}
}

// Whoever has the file can change what stands beside an entry without its leaf showing it.
func TestWhatIsDoneToSignaturesIsNamed(t *testing.T) {
	_, s := signedBook(t)
	for _, c := range []struct {
		what, statement string
		expect          []string
	}{
		{"taken away", `UPDATE entry SET sig = NULL WHERE seq = 14`, []string{"14 signed with key NAME, but the signature is missing"}},
		{"emptied", `UPDATE entry SET sig = x'' WHERE seq = 14`, []string{"14 signed with key NAME, but the signature is missing"}},
		{"of another entry", `UPDATE entry SET sig = (SELECT sig FROM entry WHERE seq = 13) WHERE seq = 14`, []string{"14 signed with key NAME, but its signature does not fit its bytes"}},
		{"with a line behind", `UPDATE entry SET sig = CAST(sig || char(10) AS BLOB) WHERE seq = 14`, []string{"14 signed with key NAME, but what stands in place of its signature is none"}},
		{"put beside an unsigned one", `UPDATE entry SET sig = (SELECT sig FROM entry WHERE seq = 14) WHERE seq = 15`, []string{"15 a signature stands beside it, but it names no key"}},
		{"all taken away", `UPDATE entry SET sig = NULL`, []string{"13 signed with key NAME, but the signature is missing", "14 signed with key NAME, but the signature is missing"}},
	} {
		path, _ := signedBook(t)
		tamper(t, path, c.statement)
		rep, err := open(t, path, ForVerifying).Verify(bg)
		require.NoError(t, err, c.what)
		requireUntrusted(t, rep, s.Name(), c.expect)
		require.False(t, rep.Sound(), c.what)
	}
}

// requireUntrusted compares the findings, in which NAME stands for a key's name; all are of signatures: a missing one is damage,
// because the entry's bytes say that it was there.
func requireUntrusted(t testing.TB, rep Report, name string, expect []string) {
	t.Helper()
	var got []string
	for _, f := range rep.Findings {
		class := ledger.NotTrusted
		if strings.HasSuffix(f.What, "the signature is missing") {
			class = ledger.Damaged
		}
		require.Equal(t, class, f.Class, f.What)
		require.Equal(t, own, f.Origin)
		require.NotEmpty(t, f.Next)
		got = append(got, string(bytes.ReplaceAll(fmt.Append(nil, f.Seq, " ", f.What), []byte(name), []byte("NAME"))))
	}
	require.Equal(t, expect, got)
}

// Who takes a signature away with the key's name in the entry, or records a decision in the name of somebody who signs, is named; and what
// stands there permits nothing.
func TestADecisionWithoutTheSignatureOfWhoSignsIsNamed(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	s, announced := adasKey(t, 1)
	write(t, b, signed(ada, limb, own+"#5"), announced, signed(ada, limb, own+"#7"), stopped(ada, limb),
		ledger.Entry{Kind: ledger.KindKeyEnd, Happened: morning, By: ada, Worker: ada, Data: ledger.KeyEnd{Key: s.Name(), Reason: "lost"}, Signer: s}, signed(ada, limb, own+"#7"))
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	const why = "it is not signed, though who recorded it had the key NAME in force; somebody may have taken the signature away, or recorded it in another's name"
	requireUntrusted(t, rep, s.Name(), []string{"15 " + why})
	for seq, counts := range map[int64]bool{13: true, 15: false, 16: true, 18: true} { // before the key, with it, a stop, after its end
		ref, err := b.Ref(fmt.Sprint(own, "#", seq))
		require.NoError(t, err)
		said, err := b.Distrusted(bg, ref)
		require.NoError(t, err)
		require.Equal(t, counts, said == "", "%d: %s", seq, said)
	}
}

// An entry forged whole, with its leaf and derived rows, still lacks the signature of its bytes.
func TestAForgedSignedEntryIsNotTrusted(t *testing.T) {
	path, s := signedBook(t)
	e := signed(bo, fell, own+"#5")
	e.Key, e.Origin, e.Seq, e.Recorded = s.Name(), own, 14, minute(11) // when the entries around it were recorded
	r, err := ledger.Encode(e)
	require.NoError(t, err)
	tamper(t, path, fmt.Sprintf(`UPDATE entry SET body = x'%x', leaf = x'%x' WHERE seq = 14`, r.Body, r.Leaf))
	b := open(t, path, ForWriting)
	_, err = b.Rebuild(bg)
	require.NoError(t, err)
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	requireUntrusted(t, rep, s.Name(), []string{"14 signed with key NAME, but its signature does not fit its bytes"})
}

// What the program itself would refuse, but a file can hold.
func TestSignaturesByTheWrongKeyAreNamed(t *testing.T) {
	s, announced := adasKey(t, 1)
	stray, _ := adasKey(t, 2)
	ended := ledger.Entry{Kind: ledger.KindKeyEnd, By: bo, Worker: ada, Data: ledger.KeyEnd{Key: s.Name(), From: "2026-05-04", Reason: "lost"}}
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	write(t, b, by(s, signed(ada, limb, own+"#5")), announced, by(s, stopped(ada, limb)), by(stray, signed(ada, limb, own+"#7")), by(s, taught(bo, "m2")), ended, by(s, taught(bo, "m3")))
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	requireUntrusted(t, rep, s.Name(), []string{
		"13 signed with key NAME before entry " + own + "#14 announced that key",
		"15 recorded by " + bo + ", but signed with key NAME of " + ada,
		"16 signed with key " + stray.Name() + ", which no entry announces",
		"19 signed with key NAME after entry " + own + "#18 ended that key",
	})
}

// A damaged announcement takes the word of every signature with it.
func TestWithoutItsAnnouncementNoKeyIsTrusted(t *testing.T) {
	path, s := signedBook(t)
	tamper(t, path, `UPDATE entry SET leaf = zeroblob(32) WHERE seq = 13`)
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{entryLine(13, notItsLeaf), entryLine(14, " not trusted: signed with key "+s.Name()+", which no entry announces"), rowsOf("the book"), rowsOf(ada)}, lines(rep))
}

func TestEveryChangedByteOfAStoredSignatureIsNamed(t *testing.T) {
	path, s := signedBook(t)
	b := open(t, path, ForReading)
	ref, err := b.Ref(own + "#14")
	require.NoError(t, err)
	row, err := b.row(bg, ref)
	require.NoError(t, err)
	require.NoError(t, b.Close())
	require.Greater(t, len(row.Sig), 90)
	for i := range row.Sig {
		changed := bytes.Clone(row.Sig)
		changed[i] ^= 1
		tamper(t, path, fmt.Sprintf(`UPDATE entry SET sig = x'%x' WHERE seq = 14`, changed))
		rep, err := open(t, path, ForVerifying).Verify(bg)
		require.NoError(t, err)
		require.Len(t, rep.Findings, 1, "byte %d", i)
		require.Equal(t, ledger.NotTrusted, rep.Findings[0].Class)
		require.Contains(t, rep.Findings[0].What, s.Name())
	}
}

// Many signatures are checked on two connections; what they find comes in order.
func TestManySignaturesAreCheckedSideBySide(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	s, announced := adasKey(t, 1)
	es := []ledger.Entry{announced}
	for range 99 {
		es = append(es, by(s, ledger.Entry{Kind: training.KindAttendance, Happened: morning, By: ada, Worker: bo, Data: fields{"module": "m1"}}))
	}
	write(t, b, es...)
	require.EqualValues(t, 112, requireSound(t, b).Entries)
	require.NoError(t, b.Close())
	tamper(t, path, `UPDATE entry SET sig = (SELECT sig FROM entry WHERE seq = 13) WHERE seq IN (20, 60, 100)`)
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	const wrong = " signed with key NAME, but its signature does not fit its bytes"
	requireUntrusted(t, rep, s.Name(), []string{"20" + wrong, "60" + wrong, "100" + wrong})
}
