package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// The books of these tests: one device, two workers, all invented.
const (
	own   = "north/truck-1"
	other = "north/truck-2"
	ada   = "p1111111"
	bo    = "p2222222"
	limb  = "limbing"
	fell  = "felling"
)

var (
	bg      = context.Background()
	morning = time.Date(2026, 5, 4, 14, 0, 0, 0, time.UTC)
)

func zone(t testing.TB) *time.Location {
	t.Helper()
	z, err := time.LoadLocation("America/Vancouver")
	require.NoError(t, err)
	return z
}

// minute gives the moment n minutes after the first entry.
func minute(n int) time.Time { return morning.Add(time.Duration(n) * time.Minute) }

func person(id, name, handle string) Person {
	salt := sha256.Sum256([]byte("salt of " + id))
	return Person{ID: id, Name: name, Handle: handle, Contact: "+000 " + handle, Salt: salt[:]}
}

// The data of entries stands here as the maps that version 1 writes, not as the records of package training: books in
// testdata/books are made of it and must not change when a record gains a field.
type fields = map[string]any

func opening() ledger.Entry {
	return ledger.Entry{Kind: KindBook, Happened: morning, By: ada, Data: fields{
		"company": "Invented Thinning", "jurisdiction": "CA-BC", "zone": "America/Vancouver", "owner": ada, "basis": "owner's own statement", "demo": false, "tool": "test",
	}}
}

func hired(t testing.TB, p Person) ledger.Entry {
	t.Helper()
	c, err := p.Commitment()
	require.NoError(t, err)
	return ledger.Entry{Kind: training.KindWorker, Happened: morning, By: ada, Worker: p.ID, Data: fields{
		"commitment": c, "from": "2026-05-04", "crew": "north", "employer": "own", "document": "",
	}}
}

func taught(worker, module string) ledger.Entry {
	return ledger.Entry{Kind: training.KindAttendance, Happened: morning, By: ada, Worker: worker, Data: fields{
		"module": module, "edition": own + "#1", "language": "English", "understood": "told it back",
	}}
}

// looked is a look, announced unless it was met.
func looked(worker, skill string, o training.Outcome) ledger.Entry {
	return ledger.Entry{Kind: training.KindObservation, Happened: morning, By: ada, Worker: worker, Skill: skill, Data: fields{
		"marks": []any{fields{"criterion": "c1", "seen": training.Met, "value": ""}}, "announced": o != training.OutcomeMet, "block": "B7",
		"edition": own + "#1", "house": own + "#1", "outcome": o.String(), "reasons": []string{}, "note": "",
	}}
}

func signed(worker, skill string, evidence ...string) ledger.Entry {
	return ledger.Entry{Kind: training.KindSignOff, Happened: morning, By: ada, Worker: worker, Skill: skill, Data: fields{
		"evidence": evidence, "until": "2027-05-04", "independence": "by the supervisor", "edition": own + "#1", "house": own + "#1",
	}}
}

func stopped(worker, skill string) ledger.Entry {
	return ledger.Entry{Kind: training.KindRestriction, Happened: morning, By: bo, Worker: worker, Skill: skill, Data: fields{"reason": "missed the sector", "told": "in person"}}
}

func struckOut(entry string) ledger.Entry {
	return ledger.Entry{Kind: KindStrike, Happened: morning, By: ada, Data: fields{"entry": entry, "reason": "wrong worker"}}
}

// season is the twelve entries that most tests begin with; entry i of the book is season[i-1].
func season(t testing.TB) []ledger.Entry {
	at := func(n int64) string { return ledger.Ref(own, n) }
	return []ledger.Entry{
		opening(),
		hired(t, person(ada, "Ada Example", "ada")),
		hired(t, person(bo, "Bo Example", "bo")),
		taught(ada, "m1"),
		looked(ada, limb, training.OutcomeMet),
		looked(ada, limb, training.OutcomeMet),
		looked(ada, limb, training.OutcomeMet),
		signed(ada, limb, at(5), at(6), at(7)),
		looked(bo, limb, training.CriticalMissed),
		stopped(bo, limb),
		struckOut(at(6)),
		taught(bo, "m1"),
	}
}

func newPath(t testing.TB) string { return filepath.Join(t.TempDir(), "book.db") }

func create(t testing.TB, path string) *Book {
	t.Helper()
	b, err := Create(bg, path, own, zone(t))
	require.NoError(t, err)
	t.Cleanup(func() { _ = b.Close() })
	return b
}

func open(t testing.TB, path string, mode Mode) *Book {
	t.Helper()
	b, err := Open(bg, path, mode)
	require.NoError(t, err)
	t.Cleanup(func() { _ = b.Close() })
	return b
}

// write appends entry i of es at minute i, one by one, and the two names with the first.
func write(t testing.TB, b *Book, es ...ledger.Entry) {
	t.Helper()
	for i, e := range es {
		var persons []Person
		if i == 0 && e.Kind == KindBook {
			persons = []Person{person(ada, "Ada Example", "ada"), person(bo, "Bo Example", "bo")}
		}
		e.Happened = minute(i)
		_, err := b.Append(bg, minute(i), []ledger.Entry{e}, persons...)
		require.NoError(t, err)
	}
}

// seasonBook is a closed book holding season.
func seasonBook(t testing.TB) string {
	t.Helper()
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	require.NoError(t, b.Close())
	return path
}

// raw opens the file as any other program would.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite3", "file:"+path)
	require.NoError(t, err)
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { _ = db.Close() })
	return db
}

func run(t testing.TB, db *sql.DB, statements ...string) {
	t.Helper()
	for _, s := range statements {
		_, err := db.Exec(s)
		require.NoError(t, err, s)
	}
}

// always is a question about everything the book of these tests can know.
func always(b *Book) training.Asked {
	day := civil.Of(minute(60*24*365), b.Zone())
	return b.Asked(day, day)
}

func refsOf(facts []training.Fact) (seqs []int64) {
	for _, f := range facts {
		seqs = append(seqs, int64(f.Entry)&(1<<seqBits-1))
	}
	return seqs
}

func TestBookKeepsWhatWasAppended(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, season(t)...)
	require.NoError(t, b.Close())

	b = open(t, path, ForReading)
	require.Equal(t, own, b.Origin())
	require.Equal(t, path, b.Path())
	require.Equal(t, "America/Vancouver", b.Zone().String())
	h, rec, err := b.Opening(bg)
	require.NoError(t, err)
	require.Equal(t, KindBook, h.Kind)
	require.Equal(t, "Invented Thinning", rec.Company)

	n, err := b.Size(bg, own)
	require.NoError(t, err)
	require.EqualValues(t, 12, n)
	var seqs []int64
	for row, err := range b.Rows(bg, own, 3, 0) {
		require.NoError(t, err)
		require.Equal(t, ledger.Leaf(row.Body), row.Leaf)
		seqs = append(seqs, row.Seq)
	}
	require.Equal(t, []int64{3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, seqs)
}

func TestEntryFindAndNames(t *testing.T) {
	b := open(t, seasonBook(t), ForReading)
	ref, ok, err := b.Find(bg, "8")
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, "north/truck-1#8", b.Name(ref))
	require.Equal(t, "8", b.Short(ref))
	same, err := b.Ref("north/truck-1#8")
	require.NoError(t, err)
	require.Equal(t, ref, same)

	var s training.SignOff
	h, err := b.Entry(bg, ref, &s)
	require.NoError(t, err)
	require.Equal(t, training.KindSignOff, h.Kind)
	require.Equal(t, minute(7), h.Recorded.UTC())
	require.Equal(t, []string{"north/truck-1#5", "north/truck-1#6", "north/truck-1#7"}, s.Evidence)
	_, err = b.Entry(bg, ref, &training.Withdrawal{})
	require.ErrorContains(t, err, "unknown name")

	for _, text := range []string{"13", "0", "-1", "08", "x", "", "north/truck-9#1", "north/truck-1#13", "1099511627784"} { // the last is 2^40+8
		_, ok, err := b.Find(bg, text)
		require.NoError(t, err, text)
		require.False(t, ok, text)
	}
	for _, text := range []string{"8", "north/truck-9#1", "north/truck-1#1099511627784"} {
		_, err := b.Ref(text)
		require.Error(t, err, text)
	}
	require.Equal(t, "unknown", b.Name(training.Ref(7<<seqBits|1)))
	_, err = b.Entry(bg, training.Ref(7<<seqBits|1), nil)
	require.ErrorContains(t, err, "no entry has the ref")
	_, err = b.Entry(bg, ref+99, nil)
	requireUnusable(t, err, true, "entry north/truck-1#107 is not in the book, though something names it")
}

func TestFactsAnswerAsKnownAtTheMomentAsked(t *testing.T) {
	b := open(t, seasonBook(t), ForReading)
	facts, err := b.Facts(bg, always(b), ada)
	require.NoError(t, err)
	require.Equal(t, []int64{5, 6, 7, 8}, refsOf(facts[limb]))
	require.Equal(t, []bool{false, true, false, false}, []bool{facts[limb][0].Struck, facts[limb][1].Struck, facts[limb][2].Struck, facts[limb][3].Struck})
	require.True(t, facts[limb][3].Void, "the sign-off rests on a struck look")
	require.Equal(t, []int64{4}, refsOf(facts["m1"]))
	require.Equal(t, training.FactAttendance, facts["m1"][0].Kind)

	before := b.AskedAt(minute(99), minute(9)) // the strike was recorded at minute 10
	list, err := b.Topic(bg, before, ada, limb)
	require.NoError(t, err)
	require.Equal(t, []int64{5, 6, 7, 8}, refsOf(list))
	require.False(t, list[1].Struck || list[3].Void)

	list, err = b.Topic(bg, b.AskedAt(minute(99), minute(6)), ada, limb)
	require.NoError(t, err)
	require.Equal(t, []int64{5, 6, 7}, refsOf(list))

	none, err := b.Facts(bg, always(b), "p9999999")
	require.NoError(t, err)
	require.Empty(t, none)
	lists, err := b.Facts(bg, always(b), Everything)
	require.NoError(t, err)
	require.Equal(t, []int64{2, 3}, refsOf(lists[training.KindWorker]))
	require.Equal(t, []int64{11}, refsOf(lists[KindStrike]))
}

func TestFactsBetweenGoesByPersonInOrder(t *testing.T) {
	b := open(t, seasonBook(t), ForReading)
	var got []string
	for subject, s := range b.FactsBetween(bg, always(b), "p", "q") {
		require.NoError(t, s.Err)
		got = append(got, fmt.Sprint(subject, " ", len(s.Topics[limb])))
	}
	require.Equal(t, []string{ada + " 4", bo + " 2"}, got)
	for range b.FactsBetween(bg, always(b), "p", "q") {
		break // stopping early is no error and leaves nothing open
	}
	require.NoError(t, b.Close())
}

// A question asked while the answer to the same one is still being read must not disturb it.
func TestQuestionsMayNest(t *testing.T) {
	b := open(t, seasonBook(t), ForReading)
	var outer []string
	for subject, s := range b.FactsBetween(bg, always(b), "p", "q") {
		require.NoError(t, s.Err)
		require.Less(t, len(outer), 3, "the outer question began anew")
		inner, err := b.Facts(bg, always(b), bo)
		require.NoError(t, err)
		require.Len(t, inner[limb], 2)
		outer = append(outer, subject)
	}
	require.Equal(t, []string{ada, bo}, outer)
	var seqs []int64
	for row, err := range b.Rows(bg, own, 1, 3) {
		require.NoError(t, err)
		for inner, err := range b.Rows(bg, own, 12, 12) {
			require.NoError(t, err)
			require.EqualValues(t, 12, inner.Seq)
		}
		seqs = append(seqs, row.Seq)
	}
	require.Equal(t, []int64{1, 2, 3}, seqs)
}

func TestStruckByNamesTheEarliestStrike(t *testing.T) {
	path := seasonBook(t)
	b := open(t, path, ForWriting)
	_, err := b.Append(bg, minute(20), []ledger.Entry{struckOut(own + "#6"), struckOut(own + "#9")})
	require.NoError(t, err)
	sixth, _, err := b.Find(bg, "6")
	require.NoError(t, err)
	by, ok, err := b.StruckBy(bg, sixth, minute(30).Unix())
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, "11", b.Short(by))
	_, ok, err = b.StruckBy(bg, sixth, minute(9).Unix())
	require.NoError(t, err)
	require.False(t, ok)
	all, err := b.Strikes(bg, minute(15).Unix())
	require.NoError(t, err)
	require.Equal(t, map[training.Ref]training.Ref{sixth: by}, all)
	all, err = b.Strikes(bg, minute(20).Unix())
	require.NoError(t, err)
	require.Len(t, all, 2)
	requireSound(t, b)
}

// In a batch strikes are kept in memory; the earliest must win there too.
func TestWithinABatchTheEarliestStrikeCounts(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	asked := b.AskedAt(minute(99), minute(15))
	require.NoError(t, b.Batch(bg, func() error {
		_, err := b.Topic(bg, asked, ada, limb)
		require.NoError(t, err)
		_, err = b.Append(bg, minute(20), []ledger.Entry{struckOut(own + "#6")})
		require.NoError(t, err)
		list, err := b.Topic(bg, asked, ada, limb)
		require.NoError(t, err)
		require.True(t, list[1].Struck)
		require.False(t, list[2].Struck)
		_, err = b.Append(bg, minute(20), []ledger.Entry{struckOut(own + "#7")})
		require.NoError(t, err)
		list, err = b.Topic(bg, b.AskedAt(minute(99), minute(20)), ada, limb)
		require.NoError(t, err)
		require.True(t, list[2].Struck)
		return nil
	}))
}

func TestPeople(t *testing.T) {
	b := open(t, seasonBook(t), ForReading)
	people, err := b.People(bg)
	require.NoError(t, err)
	require.Equal(t, []Person{person(ada, "Ada Example", "ada"), person(bo, "Bo Example", "bo")}, people)
	p, ok, err := b.PersonByHandle(bg, "bo")
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, bo, p.ID)
	_, ok, err = b.PersonByHandle(bg, "nobody")
	require.NoError(t, err)
	require.False(t, ok)
}

func TestRebuildGivesTheSameDerivedRows(t *testing.T) {
	path := seasonBook(t)
	db := raw(t, path)
	before := derivedRows(t, db)
	require.NotEmpty(t, before)
	run(t, db, `DELETE FROM fact WHERE topic = 'limbing'`, `DELETE FROM struck`, `UPDATE origin SET name = 'south'`, `DROP TRIGGER entry_kept`)
	require.NoError(t, db.Close())

	b := open(t, path, ForWriting)
	n, err := b.Rebuild(bg)
	require.NoError(t, err)
	require.EqualValues(t, 12, n)
	requireSound(t, b)
	require.NoError(t, b.Close())
	db = raw(t, path)
	require.Equal(t, before, derivedRows(t, db))
	_, err = db.Exec(`DELETE FROM entry`)
	require.ErrorContains(t, err, "an entry is never removed")
}

// Rebuild within a batch counts what was appended in it, and what is appended afterwards is not lost.
func TestRebuildWithinABatch(t *testing.T) {
	b := open(t, seasonBook(t), ForWriting)
	require.NoError(t, b.Batch(bg, func() error {
		_, err := b.Append(bg, minute(20), []ledger.Entry{taught(ada, "m2")})
		require.NoError(t, err)
		_, err = b.Rebuild(bg)
		require.NoError(t, err)
		_, err = b.Append(bg, minute(21), []ledger.Entry{taught(ada, "m2")})
		return err
	}))
	list, err := b.Topic(bg, always(b), ada, "m2")
	require.NoError(t, err)
	require.Equal(t, []int64{13, 14}, refsOf(list))
	requireSound(t, b)
}

func TestRebuildRefusesADamagedLedgerAndChangesNothing(t *testing.T) {
	path := seasonBook(t)
	db := raw(t, path)
	run(t, db, `DROP TRIGGER entry_kept`, `DELETE FROM entry WHERE seq = 9`)
	before := derivedRows(t, db)
	require.NoError(t, db.Close())
	b := open(t, path, ForWriting)
	_, err := b.Rebuild(bg)
	requireUnusable(t, err, true, "entry 9 of the book is damaged")
	require.NoError(t, b.Close())
	require.Equal(t, before, derivedRows(t, raw(t, path)))
}

func derivedRows(t testing.TB, db *sql.DB) (rows []string) {
	t.Helper()
	for _, q := range []string{`SELECT subject || '/' || topic || '/' || part || '=' || hex(facts) FROM fact`, `SELECT entry || ' ' || "by" || ' ' || recorded FROM struck`, `SELECT id || ' ' || name FROM origin`} {
		r, err := db.Query(q)
		require.NoError(t, err)
		for r.Next() {
			var s string
			require.NoError(t, r.Scan(&s))
			rows = append(rows, s)
		}
		require.NoError(t, r.Err())
		require.NoError(t, r.Close())
	}
	slices.Sort(rows)
	return rows
}

func requireSound(t testing.TB, b *Book) Report {
	t.Helper()
	rep, err := b.Verify(bg)
	require.NoError(t, err)
	require.Empty(t, rep.Findings)
	require.True(t, rep.Sound())
	return rep
}

func requireUnusable(t testing.TB, err error, damaged bool, what string) *UnusableError {
	t.Helper()
	var bad *UnusableError
	require.ErrorAs(t, err, &bad)
	require.ErrorContains(t, err, what)
	require.Equal(t, damaged, bad.Damaged, bad.What)
	require.NotEmpty(t, bad.Next)
	return bad
}

func TestDiscardLeavesNothing(t *testing.T) {
	path := newPath(t)
	b := create(t, path)
	write(t, b, opening())
	require.NoError(t, b.Discard())
	files, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Empty(t, files)
}
