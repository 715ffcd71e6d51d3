package store

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
)

// A trigger or a view that is not ours may change what is written or read later.
func TestVerifyNamesWhatOthersPutIntoTheFile(t *testing.T) {
	for _, c := range []struct {
		what string
		sql  []string
	}{
		{"a trigger evil", []string{`CREATE TRIGGER evil AFTER INSERT ON fact BEGIN DELETE FROM fact WHERE topic = 'limbing'; END`}},
		{"an index evil", []string{`CREATE INDEX evil ON struck (entry, recorded) WHERE entry < 0`, `PRAGMA writable_schema = ON`, // an index that lies
			`UPDATE sqlite_schema SET sql = replace(sql, ' WHERE entry < 0', '') WHERE name = 'evil'`}},
		{"a view struck", []string{`ALTER TABLE struck RENAME TO other`, `CREATE VIEW struck AS SELECT * FROM other`}},
		{"a view entry", []string{`ALTER TABLE entry RENAME TO other`, `CREATE VIEW entry AS SELECT * FROM other`}},
	} {
		path := seasonBook(t)
		damage(t, path, c.sql...)
		rep, err := open(t, path, ForVerifying).Verify(bg)
		require.NoError(t, err)
		require.False(t, rep.Sound(), c.what)
		require.Contains(t, lines(rep), "the book not trusted: the file holds "+c.what+" that ringtrue did not make")
		require.False(t, rep.Copyable())
	}
}

// What is not in the place of an entry, rebuild makes anew.
func TestRebuildPutsATableInThePlaceOfAView(t *testing.T) {
	path := seasonBook(t)
	damage(t, path, `ALTER TABLE struck RENAME TO other`, `CREATE VIEW struck AS SELECT * FROM other WHERE 0`)
	b := open(t, path, ForWriting)
	_, err := b.Rebuild(bg)
	require.NoError(t, err)
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.True(t, rep.Sound())
	require.Equal(t, []string{"the book harmless: the file holds a table other that ringtrue did not make, and does not read"}, lines(rep))
	_, err = b.conn.ExecContext(bg, `ALTER TABLE person ADD COLUMN x TEXT`)
	require.NoError(t, err)
	requireUnusable(t, b.Batch(bg, func() error { return b.addPerson(bg, Person{ID: "p9", Handle: "eve", Salt: []byte{1}}) }), true, "are not as ringtrue makes them")
}

func TestVerifyLooksAtTheKeyOfTheDevice(t *testing.T) {
	b := firstDevice(t)
	_, other, err := ledger.NewKey(own, luck(8))
	require.NoError(t, err)
	seed, _, err := ledger.NewKey(own, luck(8))
	require.NoError(t, err)
	path := b.Path()
	require.NoError(t, b.Close())
	damage(t, path, fmt.Sprintf(`UPDATE device_key SET seed = x'%x', verifier = '%s'`, seed, other))
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{"the book not trusted: no entry of this device's ledger names the key with which it seals, fingerprint " + ledger.Fingerprint(other)}, lines(rep))

	// Gone, it is not made a second time: others would refuse what it seals. A restored book has one of its own.
	db := raw(t, path)
	run(t, db, `DELETE FROM device_key`)
	require.NoError(t, db.Close())
	b = open(t, path, ForWriting)
	rep, err = b.Verify(bg)
	require.NoError(t, err)
	require.True(t, rep.Sound())
	require.Equal(t, keyLost, rep.Findings[0].What)
	requireUnusable(t, b.EnsureDeviceKey(bg, minute(41), luck(3)), false, "trust no second one")
	r, err := Restore(bg, path, newPath(t), "", minute(42), luck(4))
	require.NoError(t, err)
	require.NotEqual(t, own, r.Origin)
}

// What this book says that it saw it also took: where it is gone, the book was cut.
func TestVerifyMissesWhatTheBookSaysItSaw(t *testing.T) {
	b := firstDevice(t)
	two := further(t, b, "truck-2", 30)
	mustTake(t, b, carryOut(t, two, 31), 32)
	size, err := b.Size(bg, two.Origin())
	require.NoError(t, err)
	path := b.Path()
	require.NoError(t, b.Close())
	damage(t, path, fmt.Sprintf(`DELETE FROM entry WHERE origin = '%s' AND seq = %d`, two.Origin(), size))
	b = open(t, path, ForWriting)
	_, err = b.Rebuild(bg)
	require.NoError(t, err)
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.Len(t, rep.Findings, 1)
	require.Equal(t, fmt.Sprintf("it says that the ledger %s had %d entries; the book has only %d: the newest were cut off", two.Origin(), size, size-1), rep.Findings[0].What)
	mustTake(t, b, carryOut(t, two, 33), 34)
	requireSound(t, b)
}

// Each of these entries agrees with its leaf: whoever rewrites a book can make that so.
func TestVerifyNamesEntriesThatRingtrueWouldNotWrite(t *testing.T) {
	for what, c := range map[string]struct{ from, to string }{
		` damaged: its bytes are not as ringtrue writes them: name "note" is empty or stands twice`:            {`"note":`, `"note":"x","note":`},
		` damaged: its bytes are not as ringtrue writes them: not in the canonical form of RFC 8785`:           {`"note":`, `"note": `},
		` damaged: its bytes are not as ringtrue writes them: it holds null`:                                   {`"note":`, `"none":null,"note":`},
		` not trusted: it is of the kind "hindsight", which this version does not know, so no answer heeds it`: {`"kind":"observation"`, `"kind":"hindsight"`},
	} {
		path := seasonBook(t)
		b := open(t, path, ForWriting)
		var body []byte
		require.NoError(t, b.one(bg, []any{&body}, `SELECT body FROM entry WHERE seq = 9`))
		require.Contains(t, string(body), c.from)
		body = []byte(strings.Replace(string(body), c.from, c.to, 1))
		require.NoError(t, b.Close())
		leaf := ledger.Leaf(body)
		damage(t, path, fmt.Sprintf(`UPDATE entry SET body = x'%x', leaf = x'%x' WHERE seq = 9`, body, leaf[:]))
		b = open(t, path, ForWriting)
		_, err := b.Rebuild(bg)
		require.NoError(t, err)
		rep, err := b.Verify(bg)
		require.NoError(t, err)
		require.Equal(t, []string{entryLine(9, what)}, lines(rep))
		require.NoError(t, b.Close())
	}
}

// An entry put behind what another device wrote, and a sighting of it without that device's seal, which only it can make.
func TestVerifyNamesEntriesThatNoTakeBrought(t *testing.T) {
	b := firstDevice(t)
	two := further(t, b, "truck-2", 30)
	mustTake(t, b, carryOut(t, two, 31), 32)
	size, err := b.Size(bg, two.Origin())
	require.NoError(t, err)
	e := taught(ada, "m1")
	e.Origin, e.Seq, e.Recorded, e.Happened = two.Origin(), size+1, minute(33), minute(33)
	require.NoError(t, b.Batch(bg, func() error {
		l, err := b.line(e)
		require.NoError(t, err)
		return b.write(bg, l)
	}))
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{fmt.Sprintf("%s#%d not trusted: no device says that it saw entries %d to %d of this ledger: no file that was taken brought them", two.Origin(), size+1, size+1, size+1)}, lines(rep))
	leaves, err := b.Leaves(bg, two.Origin(), 0)
	require.NoError(t, err)
	seed, verifier, err := ledger.NewKey(two.Origin(), luck(9))
	require.NoError(t, err)
	head := ledger.Head{Origin: two.Origin(), Size: size + 1, Root: leaves.Root()}
	seal, err := ledger.Sign(head, seed)
	require.NoError(t, err)
	for _, s := range []Sighting{{Head: head}, {Head: head, Line: seal.Line(), Verifier: verifier}} {
		write(t, b, ledger.Entry{Kind: KindSighting, Happened: minute(34), Data: s.record()})
		rep, err = b.Verify(bg)
		require.NoError(t, err)
		require.False(t, rep.Sound())
		last, err := b.Size(bg, own)
		require.NoError(t, err)
		require.Contains(t, lines(rep), fmt.Sprintf("%s#%d not trusted: it gives a seal of %s that is not good", own, last, two.Origin()))
	}
}

// A book whose derived rows lead to other entries than they should is read to its end all the same.
func TestVerifyGoesOnWhereLedgersHaveEachOthersNumbers(t *testing.T) {
	b := firstDevice(t)
	mustTake(t, b, carryOut(t, further(t, b, "truck-2", 30), 31), 32)
	path := b.Path()
	require.NoError(t, b.Close())
	damage(t, path, `UPDATE origin SET id = 9 WHERE id = 1`, `UPDATE origin SET id = 1 WHERE id = 2`, `UPDATE origin SET id = 2 WHERE id = 9`)
	b = open(t, path, ForWriting)
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.False(t, rep.Copyable())
	require.Equal(t, rebuildNext, rep.Findings[0].Next)
	_, err = b.Rebuild(bg)
	require.NoError(t, err)
	require.NoError(t, b.Close())
	rep, err = open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Empty(t, lines(rep))
}
