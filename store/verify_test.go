package store

import (
	"errors"
	"fmt"
	"math"
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

// long appends n looks at five workers, and strikes some.
func long(t testing.TB, b *Book, n int) {
	t.Helper()
	require.NoError(t, b.Batch(bg, func() error {
		for i := range n {
			e := looked(fmt.Sprintf("p%07d", i%5), limb, training.OutcomeMet)
			if i%500 == 499 {
				e = struckOut(ledger.Ref(own, int64(i)))
			}
			e.Happened = minute(i)
			if _, err := b.Append(bg, minute(20+i), []ledger.Entry{e}); err != nil {
				return err
			}
		}
		return nil
	}))
}

// verifyOnOne verifies without the second connection.
func verifyOnOne(t testing.TB, b *Book) Report {
	t.Helper()
	var rep Report
	all := newSums()
	one := part{origin: own, first: math.MinInt64 + 1, chain: ledger.NewChain(own, 1), sums: all, refs: newRefs(b.refs.names)}
	var err error
	one.last, err = b.Size(bg, own)
	require.NoError(t, err)
	require.NoError(t, b.verifyPart(bg, one))
	rep.add(one.chain)
	require.NoError(t, b.verifyDerived(bg, all, &rep))
	require.NoError(t, b.verifyNames(bg, all, &rep))
	require.NoError(t, b.verifyTables(bg, all, &rep))
	require.NoError(t, b.verifySchema(bg, all, &rep))
	return rep
}

func TestTwoConnectionsFindTheSameAsOne(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	long(t, b, worthSplitting+200)
	sound := requireSound(t, b)
	require.EqualValues(t, worthSplitting+212, sound.Entries)
	require.Equal(t, sound, verifyOnOne(t, b))
	require.NoError(t, b.Close())
	whole, err := os.ReadFile(path)
	require.NoError(t, err)

	half := (worthSplitting + 212) / 2
	for name, statements := range map[string][]string{
		"bodies on both sides":     {fmt.Sprintf(`UPDATE entry SET body = CAST(body || ' ' AS BLOB) WHERE seq IN (1700, %d, %d, 5000)`, half, half+1)},
		"a gap across the middle":  {fmt.Sprintf(`DELETE FROM entry WHERE seq BETWEEN %d AND %d`, half-3, half+3)},
		"a long gap across it":     {fmt.Sprintf(`DELETE FROM entry WHERE seq BETWEEN %d AND %d`, half-900, half+900)},
		"no row in the first half": {fmt.Sprintf(`DELETE FROM entry WHERE seq BETWEEN 2 AND %d`, half)},
		"time set back":            {fmt.Sprintf(`UPDATE entry SET seq = -seq WHERE seq IN (%d, %d)`, half, half+2), fmt.Sprintf(`UPDATE entry SET seq = %d WHERE seq = %d`, half, -half-2)},
		"derived rows":             {`DELETE FROM struck WHERE entry % 2 = 0`, `UPDATE fact SET topic = 'x' WHERE subject = 'p0000001'`},
		"a huge seq":               {`UPDATE entry SET seq = 1000000000000 WHERE seq = 5212`},
	} {
		copied := fileWith(t, whole)
		damage(t, copied, statements...)
		b := open(t, copied, ForVerifying)
		rep, err := b.Verify(bg)
		require.NoError(t, err)
		require.False(t, rep.Sound(), name)
		require.Equal(t, verifyOnOne(t, b), rep, name)
		require.NoError(t, b.Close())
	}
}

// Time that runs back exactly where the halves meet is named as anywhere else.
func TestTimeRunningBackWhereTheHalvesMeet(t *testing.T) {
	b := create(t, newPath(t))
	write(t, b, season(t)...)
	long(t, b, worthSplitting)
	half := int64(worthSplitting+12) / 2
	damaged := b.path
	require.NoError(t, b.Close())
	e := looked("p0000001", limb, training.OutcomeMet)
	e.Origin, e.Seq, e.Happened, e.Recorded = own, half+1, morning, minute(5)
	r, err := ledger.Encode(e)
	require.NoError(t, err)
	damage(t, damaged, fmt.Sprintf(`UPDATE entry SET body = x'%x', leaf = x'%x' WHERE seq = %d`, r.Body, r.Leaf, r.Seq))
	b = open(t, damaged, ForVerifying)
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.Equal(t, entryLine(int(half+1), " damaged: recorded at 2026-05-04T14:05:00Z, before the entry ahead of it"), lines(rep)[0])
	require.Equal(t, verifyOnOne(t, b), rep)
}

// Others may append while a book is verified; that is no damage.
func TestVerifyWhileAnotherProgramAppends(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	long(t, b, worthSplitting)
	reader := open(t, path, ForVerifying)
	stop, done := make(chan bool), make(chan error)
	go func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			if _, err := b.Append(bg, minute(99999), []ledger.Entry{taught(ada, "m9"), struckOut(ledger.Ref(own, int64(20+i)))}); err != nil {
				done <- err
				return
			}
		}
	}()
	for range 10 {
		requireSound(t, reader)
	}
	close(stop)
	require.NoError(t, <-done)
}

// A page that cannot be read hides the entries on it and no others.
func TestVerifyGoesOnBehindAnUnreadablePage(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	long(t, b, 1500)
	require.NoError(t, b.Close())
	damage(t, path, `UPDATE entry SET leaf = zeroblob(32) WHERE seq IN (100, 1400)`)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	hit := pageWith(t, text, "north/truck-1", `"seq":700,`)
	clear(text[hit*8192 : (hit+1)*8192])
	rep, err := open(t, fileWith(t, text), ForVerifying).Verify(bg)
	require.NoError(t, err)
	got := lines(rep)
	require.Contains(t, got, entryLine(100, notItsLeaf))
	require.Contains(t, got, entryLine(700, " damaged: its row in the file cannot be read"))
	require.Contains(t, got, entryLine(1400, notItsLeaf))
	hidden := 0
	for _, line := range got {
		if strings.HasSuffix(line, "cannot be read") {
			hidden++
		}
	}
	require.Less(t, hidden, 40)
	require.EqualValues(t, 1512-hidden, rep.Entries)
}

// pageWith finds the page that holds all the texts.
func pageWith(t testing.TB, file []byte, texts ...string) int {
	t.Helper()
	for page := range len(file) / 8192 {
		all := true
		for _, text := range texts {
			all = all && strings.Contains(string(file[page*8192:(page+1)*8192]), text)
		}
		if all {
			return page
		}
	}
	t.Fatal("no page holds", texts)
	return 0
}

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
