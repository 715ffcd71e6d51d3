package store

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// damage changes a closed book as somebody with the file at hand could: no trigger, no check stands in the way.
func damage(t testing.TB, path string, statements ...string) {
	t.Helper()
	db := raw(t, path)
	run(t, db, `DROP TRIGGER entry_kept`, `DROP TRIGGER entry_unchanged`, `DROP TRIGGER entry_next`, `PRAGMA ignore_check_constraints = ON`)
	run(t, db, statements...)
	require.NoError(t, db.Close())
}

// lines writes findings short, without the three about the triggers that damage dropped.
func lines(rep Report) (out []string) {
	for _, f := range rep.Findings {
		if strings.HasPrefix(f.What, "the trigger ") {
			continue
		}
		where := "the book"
		if f.Seq != 0 {
			where = ledger.Ref(f.Origin, f.Seq)
		}
		out = append(out, fmt.Sprintf("%s %s: %s", where, f.Class, f.What))
	}
	return out
}

// forged gives SQL that puts another entry in the place of one: its bytes and its leaf agree.
func forged(t testing.TB, at int64, e ledger.Entry) string {
	t.Helper()
	e.Origin, e.Seq = own, at
	e.Recorded, e.Happened = minute(int(at-1)), minute(int(at-1))
	r, err := ledger.Encode(e)
	require.NoError(t, err)
	return fmt.Sprintf(`UPDATE entry SET body = x'%x', leaf = x'%x' WHERE seq = %d`, r.Body, r.Leaf, at)
}

const (
	notItsLeaf = " damaged: its bytes do not give the leaf hash stored beside them"
	askNext    = askNameNext
	isMissing  = " damaged: the entry is missing"
)

const notNumbered = "the book damaged: the derived rows are not numbered as ringtrue numbers them"

func entryLine(seq int, rest string) string { return fmt.Sprint(own, "#", seq, rest) }

func rowsOf(subject string) string {
	return "the book damaged: the derived rows about " + subject + " are not what the entries give"
}

// endsBefore12 is the finding where entry 12 is cut off and its derived rows are not.
var endsBefore12 = entryLine(12, " damaged: rows derived from entry 12 are there, but the ledger ends before this one: the newest entries were cut off, or those rows edited")

// edited changes one byte of the facts of ada's limbing: the code of the first look.
const edited = `UPDATE fact SET facts = CAST(substr(facts, 1, 1) || x'13' || substr(facts, 3) AS BLOB) WHERE subject = 'p1111111' AND topic = 'limbing'`

func TestVerifyNamesEveryKindOfDamage(t *testing.T) {
	for _, c := range []struct {
		name   string
		sql    []string
		next   string // of the last finding
		expect []string
	}{
		{"a byte of a body", []string{`UPDATE entry SET body = CAST(replace(body, 'B7', 'B8') AS BLOB) WHERE seq = 5`}, restoreNext,
			[]string{entryLine(5, notItsLeaf), rowsOf(ada)}},
		{"a byte of two bodies and of the last one", []string{`UPDATE entry SET body = CAST(replace(body, '"by"', '"bi"') AS BLOB) WHERE seq IN (4, 9, 12)`}, restoreNext,
			[]string{entryLine(4, notItsLeaf), entryLine(9, notItsLeaf), entryLine(12, notItsLeaf), rowsOf(ada), rowsOf(bo)}},
		{"a body emptied", []string{`UPDATE entry SET body = x'' WHERE seq = 12`}, restoreNext, []string{entryLine(12, notItsLeaf), rowsOf(bo)}},
		{"a leaf", []string{`UPDATE entry SET leaf = zeroblob(32) WHERE seq = 7`}, restoreNext, []string{entryLine(7, notItsLeaf), rowsOf(ada)}},
		{"a leaf with more after it", []string{`UPDATE entry SET leaf = CAST(leaf || x'00' AS BLOB) WHERE seq = 7`}, restoreNext, []string{entryLine(7, notItsLeaf), rowsOf(ada)}},
		{"a row in the middle removed", []string{`DELETE FROM entry WHERE seq = 4`}, restoreNext, []string{entryLine(4, isMissing), rowsOf(ada)}},
		{"the first row removed", []string{`DELETE FROM entry WHERE seq = 1`}, restoreNext,
			[]string{entryLine(1, isMissing), entryLine(1, " damaged: the entry that opens the book cannot be read, so nothing derived was compared")}},
		{"every row removed", []string{`DELETE FROM entry`}, restoreNext,
			[]string{entryLine(1, " damaged: the entry that opens the book cannot be read, so nothing derived was compared")}},
		{"the last row removed, its facts kept", []string{`DELETE FROM entry WHERE seq = 12`}, restoreNext,
			[]string{endsBefore12, rowsOf(bo)}},
		{"two rows swapped", []string{`UPDATE entry SET seq = 99 WHERE seq = 5`, `UPDATE entry SET seq = 5 WHERE seq = 6`, `UPDATE entry SET seq = 6 WHERE seq = 99`}, restoreNext,
			[]string{entryLine(5, " damaged: its bytes say it is north/truck-1#6"), entryLine(6, " damaged: its bytes say it is north/truck-1#5"), rowsOf(ada)}},
		{"a row twice, at the end", []string{`INSERT INTO entry SELECT origin, 13, body, leaf, sig FROM entry WHERE seq = 5`}, restoreNext,
			[]string{entryLine(13, " damaged: its bytes say it is north/truck-1#5")}},
		{"a row twice, under another origin", []string{`INSERT INTO entry SELECT 'south', 1, body, leaf, sig FROM entry WHERE seq = 5`}, restoreNext,
			[]string{"south#1 damaged: its bytes say it is north/truck-1#5"}},
		{"an origin changed", []string{`UPDATE entry SET origin = 'south' WHERE seq = 2`}, askNext,
			[]string{entryLine(2, isMissing), "south#1" + isMissing, "south#2 damaged: its bytes say it is north/truck-1#2",
				rowsOf("the book"), rowsOf(ada), "the book not trusted: no sound entry names the person ada (p1111111)"}},
		{"a seq changed", []string{`UPDATE entry SET seq = 14 WHERE seq = 12`}, restoreNext,
			[]string{entryLine(12, isMissing), entryLine(13, isMissing), entryLine(14, " damaged: its bytes say it is north/truck-1#12"), rowsOf(bo)}},
		{"a seq below the first", []string{`UPDATE entry SET seq = -3 WHERE seq = 12`}, restoreNext,
			[]string{entryLine(-3, " damaged: its bytes say it is north/truck-1#12"), endsBefore12, rowsOf(bo)}},
		{"a fact edited", []string{edited}, rebuildNext, []string{rowsOf(ada)}},
		{"a fact moved to another skill", []string{`UPDATE fact SET topic = 'felling' WHERE subject = 'p1111111' AND topic = 'limbing'`}, rebuildNext, []string{rowsOf(ada)}},
		{"a fact moved to another worker", []string{`UPDATE fact SET subject = 'p2222222', part = 9 WHERE subject = 'p1111111' AND topic = 'm1'`}, rebuildNext,
			[]string{rowsOf(ada), rowsOf(bo), notNumbered}},
		{"facts removed", []string{`DELETE FROM fact WHERE subject = '' AND topic = 'worker'`}, rebuildNext, []string{rowsOf("the book")}},
		{"a fact added", []string{`INSERT INTO fact SELECT 'p9999999', topic, part, facts FROM fact WHERE subject = 'p1111111' AND topic = 'limbing'`}, rebuildNext, []string{rowsOf("p9999999")}},
		{"a fact twice", []string{`INSERT INTO fact SELECT subject, topic, 7, facts FROM fact WHERE subject = 'p2222222' AND topic = 'm1'`}, rebuildNext, []string{rowsOf(bo), notNumbered}},
		{"facts numbered from 100", []string{`UPDATE fact SET part = part + 99 WHERE topic = 'limbing'`}, rebuildNext, []string{notNumbered}},
		{"facts numbered by the largest number", []string{`UPDATE fact SET part = 9223372036854775807 WHERE topic = 'limbing'`}, rebuildNext, []string{notNumbered}},
		{"a derived row of nothing", []string{`INSERT INTO fact VALUES ('p9', 'limbing', 1, x'')`}, rebuildNext, []string{notNumbered}},
		{"the ledgers numbered otherwise", []string{`UPDATE origin SET id = 7`}, rebuildNext, []string{"the book damaged: the numbers of the ledgers in the table origin were changed"}},
		{"a person's column added", []string{`ALTER TABLE person ADD COLUMN x TEXT`}, restoreNext, []string{"the book damaged: the table person is not as ringtrue makes it"}},
		{"a derived column added", []string{`ALTER TABLE fact ADD COLUMN x TEXT AS (subject) VIRTUAL`}, rebuildNext, []string{"the book damaged: the table fact is not as ringtrue makes it"}},
		{"names of any case taken for the same", []string{`PRAGMA writable_schema = ON`,
			`UPDATE sqlite_schema SET sql = replace(sql, 'subject TEXT', 'subject TEXT COLLATE NOCASE') WHERE name = 'fact'`}, rebuildNext, []string{"the book damaged: the table fact is not as ringtrue makes it"}},
		{"facts cut short", []string{`UPDATE fact SET facts = substr(facts, 1, 39) WHERE topic = 'limbing'`}, rebuildNext,
			[]string{"the book damaged: rows derived from the ledger are damaged: a derived row is cut short or overwritten"}},
		{"a strike removed", []string{`DELETE FROM struck`}, rebuildNext, []string{"the book damaged: the derived row of strikes of north/truck-1#6 is not what the entries give"}},
		{"a strike on another entry", []string{`UPDATE struck SET entry = entry + 1`}, rebuildNext,
			[]string{"the book damaged: the derived row of strikes of north/truck-1#6 is not what the entries give", "the book damaged: the derived row of strikes of north/truck-1#7 is not what the entries give"}},
		{"a strike later", []string{`UPDATE struck SET recorded = recorded + 86400`}, rebuildNext, []string{"the book damaged: the derived row of strikes of north/truck-1#6 is not what the entries give"}},
		{"an origin renamed in its table", []string{`UPDATE origin SET name = 'south'`}, rebuildNext,
			[]string{rowsOf("the book"), rowsOf(ada), rowsOf(bo), "the book damaged: the derived row of strikes of south#6 is not what the entries give", "the book damaged: the derived row of strikes of north/truck-1#6 is not what the entries give"}},
		{"a name edited", []string{`UPDATE person SET name = 'Ada Other' WHERE handle = 'ada'`}, restoreNext, []string{entryLine(2, " damaged: the name kept for person ada (p1111111) is not the one that was recorded")}},
		{"a handle edited", []string{`UPDATE person SET handle = 'boo' WHERE handle = 'bo'`}, restoreNext, []string{entryLine(3, " damaged: the name kept for person boo (p2222222) is not the one that was recorded")}},
		{"names swapped", []string{`UPDATE person SET id = 'p0' WHERE id = 'p1111111'`, `UPDATE person SET id = 'p1111111' WHERE id = 'p2222222'`, `UPDATE person SET id = 'p2222222' WHERE id = 'p0'`}, restoreNext,
			[]string{entryLine(3, " damaged: the name kept for person ada (p2222222) is not the one that was recorded"), entryLine(2, " damaged: the name kept for person bo (p1111111) is not the one that was recorded")}},
		{"a name removed", []string{`DELETE FROM person WHERE handle = 'bo'`}, lostNameNext, []string{entryLine(3, " damaged: the name of the person p2222222 is not in the book, though no entry says that it was erased")}},
		{"a person added", []string{`INSERT INTO person VALUES ('p9', 'Eve', 'eve', '', x'00')`}, askNext, []string{"the book not trusted: no sound entry names the person eve (p9)"}},
		{"the fact table dropped", []string{`DROP TABLE fact`}, lackingNext, []string{"the book damaged: read the book: the book PATH lacks a table (no such table: fact)"}},
		{"the strike table of another shape", []string{`ALTER TABLE struck DROP COLUMN recorded`}, rebuildNext,
			[]string{"the book damaged: read the book: the book PATH lacks a table (no such column: recorded)", "the book damaged: the table struck is not as ringtrue makes it"}},
		{"the person table dropped", []string{`DROP TABLE person`}, lackingNext, []string{"the book damaged: read the book: the book PATH lacks a table (no such table: person)"}},
		{"everything at once", []string{`UPDATE entry SET body = CAST(replace(body, 'B7', 'B8') AS BLOB) WHERE seq = 5`, `DELETE FROM entry WHERE seq = 9`, `DELETE FROM struck`, `UPDATE person SET name = 'x' WHERE handle = 'bo'`}, restoreNext,
			[]string{entryLine(5, notItsLeaf), entryLine(9, isMissing), rowsOf(ada), rowsOf(bo), "the book damaged: the derived row of strikes of north/truck-1#6 is not what the entries give",
				entryLine(3, " damaged: the name kept for person bo (p2222222) is not the one that was recorded")}},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := seasonBook(t)
			damage(t, path, c.sql...)
			b := open(t, path, ForVerifying)
			rep, err := b.Verify(bg)
			require.NoError(t, err)
			got := lines(rep)
			for i := range got {
				got[i] = strings.ReplaceAll(got[i], path, "PATH")
			}
			require.Equal(t, c.expect, got)
			require.False(t, rep.Sound())
			require.Equal(t, c.next, rep.Findings[len(got)-1].Next)
			for _, f := range rep.Findings {
				require.NotEmpty(t, f.Next)
				require.NotEmpty(t, f.Origin)
			}
		})
	}
}

// take copies an entry of another device's ledger into the book.
func take(t testing.TB, b *Book, seq int64, e ledger.Entry) {
	t.Helper()
	e.Origin, e.Seq, e.Recorded, e.Happened = other, seq, minute(int(seq)), minute(int(seq))
	require.NoError(t, b.Batch(bg, func() error {
		l, err := b.line(e)
		require.NoError(t, err)
		return b.write(bg, l)
	}))
}

func TestVerifyChecksEveryLedgerOfTheBook(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	take(t, b, 1, opening())
	take(t, b, 2, looked(bo, limb, training.OutcomeMet))
	take(t, b, 3, struckOut(own+"#9"))
	take(t, b, 4, struckOut(own+"#6")) // recorded before the strike of this ledger, though it came later
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{other + "#1 not trusted: no device says that it saw entries 1 to 4 of this ledger: no file that was taken brought them"}, lines(rep))
	require.EqualValues(t, 16, rep.Entries)
	require.Len(t, rep.Heads, 2)
	require.Equal(t, []any{own, int64(12), other, int64(4)}, []any{rep.Heads[0].Origin, rep.Heads[0].Size, rep.Heads[1].Origin, rep.Heads[1].Size})
	sixth, err := b.Ref(own + "#6")
	require.NoError(t, err)
	by, ok, err := b.StruckBy(bg, sixth, minute(5).Unix())
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, other+"#4", b.Short(by))
	_, err = b.Rebuild(bg)
	require.NoError(t, err)
	again, err := b.Verify(bg)
	require.NoError(t, err)
	require.Equal(t, rep, again)
	require.NoError(t, b.Close())

	damage(t, path, `UPDATE entry SET leaf = zeroblob(32) WHERE origin = 'north/truck-2' AND seq = 2`, `DELETE FROM entry WHERE seq = 4 AND origin = 'north/truck-1'`)
	rep, err = open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{entryLine(4, isMissing), "north/truck-2#2" + notItsLeaf, rowsOf(ada), rowsOf(bo)}, lines(rep))
}

// What nobody can see without a head that was handed out before: the book is sound in itself, but its root differs.
func TestWhatOnlyASealShows(t *testing.T) {
	whole := requireSound(t, open(t, seasonBook(t), ForReading))
	for name, statement := range map[string]string{
		"another look in the place of one, bytes and leaf agreeing": forged(t, 9, looked(bo, limb, training.OutcomeMet)),
		"the newest entries cut off":                                `DELETE FROM entry WHERE seq > 10`,
	} {
		path := seasonBook(t)
		damage(t, path, statement)
		b := open(t, path, ForWriting)
		_, err := b.Rebuild(bg) // whoever changes the ledger can have the derived rows follow
		require.NoError(t, err, name)
		rep := requireSound(t, b)
		require.NotEqual(t, whole.Heads, rep.Heads, name)
		heads, err := b.Heads(bg)
		require.NoError(t, err)
		require.Equal(t, rep.Heads, heads)
	}
}

func TestAForgedEntryWithoutItsFactsIsFound(t *testing.T) {
	path := seasonBook(t)
	damage(t, path, forged(t, 9, looked(bo, limb, training.OutcomeMet)))
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{rowsOf(bo)}, lines(rep))
}

func TestAForgedEntryThatCannotBeReadIsNamed(t *testing.T) {
	path := seasonBook(t)
	damage(t, path, forged(t, 9, ledger.Entry{Kind: training.KindObservation, By: ada, Worker: bo, Skill: limb, Data: map[string]any{"outcome": "splendid"}}),
		forged(t, 4, ledger.Entry{Kind: training.KindAttendance, By: ada, Worker: ada, Key: "ada", Data: map[string]any{"module": "m1"}}))
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Equal(t, []string{
		entryLine(4, " damaged: signed with key ada, but the signature is missing"),
		entryLine(9, ` damaged: observation of p2222222: "splendid" is not a outcome`),
		rowsOf(bo),
	}, lines(rep))
}

func TestDroppedAndChangedTriggersAreHarmlessAndComeBack(t *testing.T) {
	path := seasonBook(t)
	damage(t, path, `CREATE TRIGGER entry_next BEFORE INSERT ON entry BEGIN SELECT 1; END`)
	b := open(t, path, ForWriting)
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.True(t, rep.Sound())
	require.Len(t, rep.Findings, 3)
	for _, f := range rep.Findings {
		require.Equal(t, ledger.Harmless, f.Class)
		require.Equal(t, "put it back: ringtrue book rebuild", f.Next)
	}
	_, err = b.Rebuild(bg)
	require.NoError(t, err)
	requireSound(t, b)
}

func TestRebuildMakesLostTablesAnew(t *testing.T) {
	path := seasonBook(t)
	before := derivedRows(t, raw(t, path))
	damage(t, path, `DROP TABLE fact`, `ALTER TABLE struck DROP COLUMN recorded`)
	b := open(t, path, ForWriting)
	_, err := b.Rebuild(bg)
	require.NoError(t, err)
	requireSound(t, b)
	require.NoError(t, b.Close())
	require.Equal(t, before, derivedRows(t, raw(t, path)))
}

// One damaged number must not make verification count to the end of the world.
func TestAHugeSeqIsFoundInShortTime(t *testing.T) {
	for _, seq := range []int64{1 << 40, 1<<63 - 1} {
		path := seasonBook(t)
		damage(t, path, fmt.Sprintf(`UPDATE entry SET seq = %d WHERE seq = 12`, seq))
		rep, err := open(t, path, ForVerifying).Verify(bg)
		require.NoError(t, err)
		got := lines(rep)
		require.Equal(t, entryLine(12, isMissing), got[0])
		require.Equal(t, entryLine(1012, fmt.Sprintf(" damaged: this entry and all after it to %d are missing", seq-1)), got[1000])
		require.Equal(t, []string{fmt.Sprintf("%s#%d damaged: its bytes say it is north/truck-1#12", own, seq), rowsOf(bo)}, got[1001:])
	}
}

// A forgotten person leaves no finding; the contact is no part of what was promised and may change.
func TestForgettingAndNewContactsAreNoDamage(t *testing.T) {
	path := seasonBook(t)
	db := raw(t, path)
	run(t, db, `UPDATE person SET contact = 'new'`)
	require.NoError(t, db.Close())
	b := open(t, path, ForWriting)
	forgetBo(t, b, 40)
	requireSound(t, b)
	require.NoError(t, b.Close())
	requireSound(t, open(t, path, ForReading))
}

// A contact to which the worker entry commits may not change, come or go unseen.
func TestAChangedContactIsNamed(t *testing.T) {
	for name, c := range map[string]struct{ told, now string }{"changed": {"radio 7", "radio 8"}, "taken away": {"radio 7", ""}, "put there": {"", "radio 8"}} {
		t.Run(name, func(t *testing.T) {
			b := open(t, seasonBook(t), ForWriting)
			p := person("p6666666", "Cy", "cy")
			p.Contact = c.told
			e := hired(t, p)
			hash, err := p.ContactCommitment()
			require.NoError(t, err)
			e.Data.(fields)["contact"] = hash
			_, err = b.Append(bg, minute(50), []ledger.Entry{e}, p)
			require.NoError(t, err)
			requireSound(t, b)
			require.NoError(t, b.Close())
			db := raw(t, b.Path())
			run(t, db, fmt.Sprintf(`UPDATE person SET contact = '%s' WHERE handle = 'cy'`, c.now))
			require.NoError(t, db.Close())
			rep, err := open(t, b.Path(), ForVerifying).Verify(bg)
			require.NoError(t, err)
			require.Contains(t, fmt.Sprint(rep.Findings), "the contact kept for person cy (p6666666) is not the one that was recorded")
		})
	}
}

// Any one changed byte of any entry or leaf is found, and the entry named.
func TestAnyChangedByteOfAnEntryIsFoundAndNamed(t *testing.T) {
	path := seasonBook(t)
	damage(t, path)
	db := raw(t, path)
	rapid.Check(t, func(r *rapid.T) {
		seq := rapid.IntRange(1, 12).Draw(r, "seq")
		column := rapid.SampledFrom([]string{"body", "leaf"}).Draw(r, "column")
		var was []byte
		require.NoError(r, db.QueryRow(`SELECT `+column+` FROM entry WHERE seq = ?`, seq).Scan(&was))
		changed := append([]byte(nil), was...)
		changed[rapid.IntRange(0, len(was)-1).Draw(r, "byte")] ^= rapid.ByteRange(1, 255).Draw(r, "change")
		_, err := db.Exec(`UPDATE entry SET `+column+` = ? WHERE seq = ?`, changed, seq)
		require.NoError(r, err)
		b, err := Open(bg, path, ForVerifying)
		require.NoError(r, err)
		rep, err := b.Verify(bg)
		require.NoError(r, errors.Join(err, b.Close()))
		require.False(r, rep.Sound())
		require.Equal(r, entryLine(seq, notItsLeaf), lines(rep)[0])
		_, err = db.Exec(`UPDATE entry SET `+column+` = ? WHERE seq = ?`, was, seq)
		require.NoError(r, err)
	})
	rep, err := open(t, path, ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.True(t, rep.Sound())
}

// Whatever bytes of the file are changed, the book is found damaged or still gives the answers it gave.
func TestAnyChangedBytesOfTheFileAreFoundOrChangeNothing(t *testing.T) {
	path := seasonBook(t)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	good := requireSound(t, open(t, path, ForReading))
	rapid.Check(t, func(r *rapid.T) {
		text := append([]byte(nil), whole...)
		at := rapid.IntRange(headerSize, len(text)-1).Draw(r, "at")
		n := rapid.IntRange(1, min(64, len(text)-at)).Draw(r, "bytes")
		copy(text[at:], rapid.SliceOfN(rapid.Byte(), n, n).Draw(r, "text"))
		bad := newPath(t)
		require.NoError(r, os.WriteFile(bad, text, 0o600))
		b, err := Open(bg, bad, ForVerifying)
		var unusable *UnusableError
		if err != nil {
			require.ErrorAs(r, err, &unusable)
			require.True(r, unusable.Damaged || strings.Contains(unusable.What, "time zone"), unusable.What)
			return
		}
		defer b.Close()
		rep, err := b.Verify(bg)
		require.NoError(r, err)
		if rep.Sound() {
			require.Equal(r, good.Heads, rep.Heads)
		}
	})
}
