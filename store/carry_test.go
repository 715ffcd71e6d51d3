package store

import (
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// How many orders of meeting are tried; the long run is -orders 500.
var orders = flag.Int("orders", 6, "how many orders in which books meet are tried")

// luck is a random source for keys that gives the same each time.
func luck(n byte) *rand.ChaCha8 { return rand.NewChaCha8([32]byte{n}) }

// firstDevice is the book of one device, with its key.
func firstDevice(t testing.TB) *Book {
	t.Helper()
	b := open(t, seasonBook(t), ForWriting)
	require.NoError(t, b.EnsureDeviceKey(bg, minute(20), luck(1)))
	return b
}

// carryOut writes a book to a file.
func carryOut(t testing.TB, b *Book, n int) string {
	t.Helper()
	var out bytes.Buffer
	_, err := b.Carry(bg, &out, "test", minute(n))
	require.NoError(t, err)
	return fileWith(t, out.Bytes())
}

// further starts the book of another device.
func further(t testing.TB, from *Book, device string, n int) *Book {
	t.Helper()
	path := newPath(t)
	b, _, err := StartFrom(bg, carryOut(t, from, n), path, device, "test", minute(n), luck(byte(n)))
	require.NoError(t, err)
	require.NoError(t, b.Close())
	return open(t, path, ForWriting)
}

func add(t testing.TB, b *Book, n int, es ...ledger.Entry) {
	t.Helper()
	for _, e := range es {
		e.Happened = minute(n)
		_, err := b.Append(bg, minute(n), []ledger.Entry{e})
		require.NoError(t, err)
	}
}

func mustTake(t testing.TB, b *Book, file string, n int) Taken {
	t.Helper()
	out, err := b.Take(bg, file, minute(n))
	require.NoError(t, err)
	return out
}

func heads(t testing.TB, b *Book) map[string]ledger.Head {
	t.Helper()
	list, err := b.Heads(bg)
	require.NoError(t, err)
	out := map[string]ledger.Head{}
	for _, h := range list {
		out[h.Origin] = h
	}
	return out
}

func TestASecondDeviceStartsFromACarriedFile(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	require.Equal(t, other, two.Origin())
	require.Equal(t, one.Zone().String(), two.Zone().String())
	_, rec, err := two.Opening(bg)
	require.NoError(t, err)
	require.Equal(t, []any{own, int64(13), "Invented Thinning"}, []any{rec.From, rec.FromSize, rec.Company})
	require.Equal(t, fmt.Sprintf("%x", heads(t, one)[own].Root), rec.FromRoot)
	rep := requireSound(t, two)
	require.Len(t, rep.Heads, 2)
	require.EqualValues(t, 13+3, rep.Entries) // its own: book, device, sighting
	facts, err := two.Facts(bg, always(two), ada)
	require.NoError(t, err)
	require.Equal(t, []int64{5, 6, 7, 8}, refsOf(facts[limb]))
	people, err := two.People(bg)
	require.NoError(t, err)
	require.Len(t, people, 2)
	h, err := two.Entry(bg, facts[limb][0].Entry, nil)
	require.NoError(t, err)
	require.Equal(t, minute(4), h.Recorded.UTC(), "recorded stays the writing device's")
}

func TestTakingIsIdempotentAndGoesOn(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	add(t, two, 40, looked(bo, fell, training.OutcomeMet), looked(bo, fell, training.OutcomeMet))
	old := carryOut(t, two, 41)
	add(t, two, 42, struckOut(other+"#4"))
	newer := carryOut(t, two, 43)

	out := mustTake(t, one, newer, 50)
	require.Equal(t, other, out.Carrier)
	require.Equal(t, Met{other, 6, 6, true, out.Met[0].Verifier, minute(43)}, out.Met[0])
	before := heads(t, one)
	for n, file := range []string{newer, old, newer, carryOut(t, one, 50)} {
		out = mustTake(t, one, file, 51+n)
		require.Zero(t, out.Met[0].New)
		require.Equal(t, before, heads(t, one), "taking it again changes nothing")
	}
	requireSound(t, one)
	fourth, err := one.Ref(other + "#4")
	require.NoError(t, err)
	_, struck, err := one.StruckBy(bg, fourth, 1<<40)
	require.NoError(t, err)
	require.True(t, struck)
	seen, ok, err := one.LastSighting(bg, other)
	require.NoError(t, err)
	require.True(t, ok)
	require.Equal(t, heads(t, two)[other], seen.Head)
	require.Equal(t, minute(43), seen.At.UTC())

	// On a later day the same head is seen again, once.
	later := carryOut(t, two, 43+24*60)
	mustTake(t, one, later, 44+24*60)
	mustTake(t, one, later, 45+24*60)
	require.Equal(t, before[own].Size+1, heads(t, one)[own].Size)
}

// A third device learns of the second through the first, with the seal of the second.
func TestLedgersTravelThroughOthers(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	add(t, two, 31, looked(bo, fell, training.OutcomeMet))
	mustTake(t, one, carryOut(t, two, 32), 33)
	three := further(t, one, "truck-3", 34)
	rep := requireSound(t, three)
	require.Len(t, rep.Heads, 3)
	require.Equal(t, heads(t, two)[other], heads(t, three)[other])
	s, err := three.SealOf(bg, heads(t, three)[other])
	require.NoError(t, err)
	require.NotEmpty(t, s.Verifier)
}

// The same entries give the same derived rows, byte for byte, in whatever order books met. Only which device saw which
// differs.
func TestDerivedRowsDoNotDependOnTheOrderOfTakes(t *testing.T) {
	for seed := range uint64(*orders) {
		r := rand.New(rand.NewPCG(seed, 1))
		books := []*Book{firstDevice(t)}
		books = append(books, further(t, books[0], "truck-0", 30), further(t, books[0], "truck-9", 31))
		clock := 40
		for range 3 + r.IntN(10) {
			clock++
			b := books[r.IntN(3)]
			switch r.IntN(3) {
			case 0: // several at the same second: only place and name of the ledger order them
				add(t, b, 40, looked(ada, limb, training.OutcomeMet), looked(bo, limb, training.CriticalMissed), signed(ada, limb, own+"#5"), struckOut(own+"#7"))
			default:
				mustTake(t, books[r.IntN(3)], carryOut(t, b, clock), clock)
			}
		}
		for round := range 2 { // now everybody learns everything but the last sightings
			for _, from := range books {
				file := carryOut(t, from, clock+round)
				for _, to := range books {
					mustTake(t, to, file, clock+round)
				}
			}
		}
		var want []string
		for i, b := range books {
			requireSound(t, b)
			incremental := workRows(t, b)
			_, err := b.Rebuild(bg)
			require.NoError(t, err)
			require.Equal(t, incremental, workRows(t, b), "rebuilding changes nothing")
			if i > 0 {
				require.Equal(t, want, incremental)
			}
			want = incremental
			require.NoError(t, b.Close())
		}
	}
}

// workRows are all facts in the order in which they count, with their entries by name, without what devices say of
// themselves and each other.
func workRows(t testing.TB, b *Book) (rows []string) {
	t.Helper()
	for subject, topics := range b.FactsBetween(bg, always(b), "", "\xff") {
		require.NoError(t, topics.Err)
		for topic, list := range topics.Topics {
			if topic == KindSighting {
				continue
			}
			for n, f := range list {
				cites := []string{}
				for _, c := range f.Cites {
					cites = append(cites, b.Name(c))
				}
				name := b.Name(f.Entry)
				f.Entry, f.Cites = 0, nil
				rows = append(rows, fmt.Sprint(subject, " ", topic, " ", n, " ", name, " ", cites, " ", f))
			}
		}
	}
	slices.Sort(rows)
	return rows
}

func requireRefused(t testing.TB, b *Book, file, want string) {
	t.Helper()
	before := heads(t, b)
	_, err := b.Take(bg, file, minute(99))
	var refusal *RefusedError
	require.ErrorAs(t, err, &refusal)
	require.Contains(t, refusal.What, want)
	require.NotEmpty(t, refusal.Next)
	require.Equal(t, before, heads(t, b), "nothing is written")
	requireSound(t, b)
}

// copied gives a second book with the same ledger, as somebody who copies the file makes it.
func copied(t testing.TB, b *Book) *Book {
	t.Helper()
	path := newPath(t)
	_, err := b.Backup(bg, path)
	require.NoError(t, err)
	return open(t, path, ForWriting)
}

func TestAForkIsRefusedAndExplained(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	twin := copied(t, two)
	add(t, two, 31, looked(bo, fell, training.OutcomeMet))
	add(t, twin, 31, looked(bo, fell, training.CriticalMissed))
	mustTake(t, one, carryOut(t, two, 32), 33)
	requireRefused(t, one, carryOut(t, twin, 34), "the ledger north/truck-2 was written twice: entry north/truck-2#4")

	three := further(t, one, "truck-3", 40)
	add(t, three, 42, looked(ada, fell, training.OutcomeMet))
	requireRefused(t, twin, carryOut(t, three, 43), "the ledger north/truck-2 was written twice")
}

func TestAnOlderCopyOfThisBookIsNotWrittenOn(t *testing.T) {
	one := firstDevice(t)
	old := copied(t, one)
	two := further(t, one, "truck-2", 30)
	add(t, one, 31, looked(ada, fell, training.OutcomeMet))
	mustTake(t, two, carryOut(t, one, 32), 33)
	requireRefused(t, old, carryOut(t, two, 34), "this book is an older copy")
}

// A device that saw another version of a ledger gives it away, though the file in hand fits the book.
func TestASightingShowsAFork(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	three := further(t, one, "truck-3", 31)
	twin := copied(t, two)
	add(t, two, 32, looked(bo, fell, training.OutcomeMet))
	add(t, twin, 32, looked(bo, fell, training.CriticalMissed))
	mustTake(t, three, carryOut(t, twin, 33), 34)
	mustTake(t, one, carryOut(t, two, 35), 36)
	requireRefused(t, one, carryOut(t, three, 37), "was written twice")
}

func TestCarriedFilesThatABookRefuses(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	good, err := os.ReadFile(carryOut(t, two, 31))
	require.NoError(t, err)
	edit := func(old, to string) string {
		require.Contains(t, string(good), old)
		return fileWith(t, bytes.Replace(good, []byte(old), []byte(to), 1))
	}
	requireRefused(t, one, filepath.Join(t.TempDir(), "none"), "no such file")
	requireRefused(t, one, t.TempDir(), "it is not a file")
	requireRefused(t, one, fileWith(t, good[:len(good)/2]), "the file is damaged or was changed")
	requireRefused(t, one, edit("Ada Example", "Ada Other"), "the name of the person p1111111 is not the one that was recorded")
	requireRefused(t, one, edit(`"id":"p1111111"`, `"id":"p3333333"`), "no entry of the file names the person p3333333")
	requireRefused(t, one, edit("carry/1", "carry/2"), "this version reads")

}

func TestADeviceKeepsItsKey(t *testing.T) {
	b := firstDevice(t)
	_, before, ok, err := b.DeviceKey(bg)
	require.NoError(t, err)
	require.True(t, ok)
	require.NoError(t, b.EnsureDeviceKey(bg, minute(90), luck(77)))
	_, after, _, err := b.DeviceKey(bg)
	require.NoError(t, err)
	require.Equal(t, before, after)
}

// A book of another company, another zone, or a real one for a demo, is not mixed in.
func TestFilesOfAnotherBookAreRefused(t *testing.T) {
	one := firstDevice(t)
	for _, change := range []fields{{"company": "Another"}, {"zone": "UTC"}, {"demo": true}} {
		path := newPath(t)
		b, err := Create(bg, path, "another/truck-1", zone(t))
		require.NoError(t, err)
		e := opening()
		for name, v := range change {
			e.Data.(fields)[name] = v
		}
		_, err = b.Append(bg, minute(0), []ledger.Entry{e})
		require.NoError(t, err)
		require.NoError(t, b.EnsureDeviceKey(bg, minute(1), luck(9)))
		file := carryOut(t, b, 2)
		require.NoError(t, b.Close())
		requireRefused(t, one, file, "the file is of another book")
	}
}

// An entry of a kind that came later: the version that wrote it is named.
func TestAnUnknownKindIsRefusedWithTheVersionNeeded(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	add(t, two, 31, ledger.Entry{Kind: "hologram", By: ada, Worker: bo, Data: fields{}})
	requireRefused(t, one, carryOut(t, two, 32), `entry north/truck-2#4 is of the kind "hologram", which this version does not know: it needs ringtrue test or later`)
}

// The key of a ledger is the first one that it names; another one is not taken.
func TestAnotherKeyForAKnownLedgerIsRefused(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	mustTake(t, one, carryOut(t, two, 31), 32)
	seed, verifier, err := ledger.NewKey(other, luck(50))
	require.NoError(t, err)
	require.NoError(t, two.Batch(bg, func() error {
		if err := two.exec(bg, `UPDATE device_key SET seed = ?, verifier = ?`, seed, verifier); err != nil {
			return err
		}
		_, err := two.Append(bg, minute(33), []ledger.Entry{{Kind: KindDevice, Happened: minute(33), Data: DeviceRecord{verifier}}})
		return err
	}))
	requireRefused(t, one, carryOut(t, two, 34), "sealed by a key that is not its own")
}

// Two trucks put people with the same short id on their lists: both stay, told apart by the device.
func TestTheSameShortIDOnTwoDevices(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	hire := func(b *Book, id string) {
		p := person(id, "Ana of "+id, "ana")
		_, err := b.Append(bg, minute(31), []ledger.Entry{hired(t, p)}, p)
		require.NoError(t, err)
	}
	hire(one, "p4444444")
	hire(two, "p5555555")
	first, second := carryOut(t, one, 32), carryOut(t, two, 32)
	mustTake(t, one, second, 33)
	mustTake(t, two, first, 33)
	for b, want := range map[*Book][]string{one: {"ada", "ana", "ana/truck-2", "bo"}, two: {"ada", "ana", "ana/truck-1", "bo"}} {
		people, err := b.People(bg)
		require.NoError(t, err)
		var got []string
		for _, p := range people {
			got = append(got, p.Handle)
		}
		require.Equal(t, want, got)
		requireSound(t, b)
	}
	three := further(t, two, "truck-3", 40)
	requireSound(t, three)
	require.NoError(t, one.Close())
	swapHandles(t, one.Path(), "ana", "ana/truck-2", "ana/truck-1")
	swapped, err := open(t, one.Path(), ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.Contains(t, fmt.Sprint(swapped.Findings), "the short id ana/truck-1 of person p4444444 was changed")
	swapHandles(t, one.Path(), "ana", "ana/truck-1", "ana/truck-2")
	damage(t, one.Path(), `UPDATE person SET handle = 'ana/truck-9' WHERE handle = 'ana/truck-2'`)
	rep, err := open(t, one.Path(), ForVerifying).Verify(bg)
	require.NoError(t, err)
	require.False(t, rep.Sound())
}

// swapHandles gives the short id of one to another, who has theirs; the first then goes by a third.
func swapHandles(t *testing.T, path, first, second, then string) {
	db := raw(t, path)
	run(t, db, fmt.Sprintf(`UPDATE person SET handle = 'x' WHERE handle = '%s'`, first), fmt.Sprintf(`UPDATE person SET handle = '%s' WHERE handle = '%s'`, first, second),
		fmt.Sprintf(`UPDATE person SET handle = '%s' WHERE handle = 'x'`, then))
	require.NoError(t, db.Close())
}

func TestNoDeviceStartsTwice(t *testing.T) {
	one := firstDevice(t)
	path := newPath(t)
	_, _, err := StartFrom(bg, carryOut(t, one, 30), path, "truck-1", "test", minute(31), luck(2))
	require.ErrorContains(t, err, "holds a ledger north/truck-1 already")
	require.NoFileExists(t, path)
	_, _, err = StartFrom(bg, fileWith(t, []byte("x")), path, "truck-2", "test", minute(31), luck(2))
	require.ErrorContains(t, err, "damaged or was changed")
	require.NoFileExists(t, path)
	cut, err := os.ReadFile(carryOut(t, one, 30))
	require.NoError(t, err)
	_, _, err = StartFrom(bg, fileWith(t, cut[:len(cut)-9]), path, "truck-2", "test", minute(31), luck(2))
	require.ErrorContains(t, err, "damaged or was changed")
	require.NoFileExists(t, path)
	_, _, err = StartFrom(bg, carryOut(t, one, 30), one.Path(), "truck-2", "test", minute(31), luck(2))
	require.ErrorContains(t, err, "exists already")
}

// Whatever byte of a carried file changes, nothing comes into the book that its ledgers did not hold.
func TestAnyChangedByteOfACarriedFileBringsNothingWrong(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	add(t, two, 31, looked(bo, fell, training.OutcomeMet))
	text, err := os.ReadFile(carryOut(t, two, 32))
	require.NoError(t, err)
	right := heads(t, two)[other]
	pick := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		changed := bytes.Clone(text)
		changed[pick.IntN(len(changed))] ^= byte(1 + pick.IntN(255))
		b := copied(t, one)
		_, err := b.Take(bg, fileWith(t, changed), minute(40))
		if err == nil {
			require.Equal(t, right, heads(t, b)[other])
		}
		requireSound(t, b)
		require.NoError(t, b.Close())
	}
}

func BenchmarkTake100000Entries(b *testing.B) {
	from := open(b, seasonBook(b), ForWriting)
	const many = 100_000
	require.NoError(b, from.Batch(bg, func() error {
		for i := range many {
			if _, err := from.Append(bg, minute(i), []ledger.Entry{worth(i)}); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(b, from.EnsureDeviceKey(bg, minute(many), luck(1)))
	file := carryOut(b, from, many)
	info, err := os.Stat(file)
	require.NoError(b, err)
	b.SetBytes(info.Size())
	for b.Loop() {
		path := newPath(b)
		to, _, err := StartFrom(bg, file, path, "truck-2", "test", minute(many), luck(2))
		require.NoError(b, err)
		require.NoError(b, to.Discard())
	}
}

// What other devices saw of this one shows that its newest entries were cut off, or that it was written anew.
func TestWhatOthersSawShowsWhatWasCutOff(t *testing.T) {
	for name, c := range map[string]struct{ sql, want string }{
		"cut off":   {`DELETE FROM entry WHERE origin = 'north/truck-1' AND seq > 12`, "north/truck-2#3 damaged: it says that this device's ledger had 14 entries; the book has only 12: the newest were cut off"},
		"rewritten": {forged(t, 9, looked(bo, limb, training.OutcomeMet)), "north/truck-2#3 damaged: it says that the first 14 entries of north/truck-1 were others than those in the book"},
	} {
		one := firstDevice(t)
		add(t, one, 29, taught(ada, "m7"))
		two := further(t, one, "truck-2", 30)
		mustTake(t, one, carryOut(t, two, 31), 32)
		require.NoError(t, one.Close())
		statement := c.sql
		if name == "cut off" {
			damage(t, one.Path(), statement)
		} else {
			damage(t, one.Path(), statement+` AND origin = 'north/truck-1'`)
		}
		b := open(t, one.Path(), ForWriting)
		_, err := b.Rebuild(bg)
		require.NoError(t, err)
		rep, err := b.Verify(bg)
		require.NoError(t, err)
		require.Contains(t, lines(rep), c.want, name)
	}
}

// without writes a carried file again and leaves a ledger out: the rest of it is as it was sealed.
func without(t testing.TB, file, origin string) string {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var out bytes.Buffer
	var w *ledger.CarryWriter
	err = ledger.ReadCarry(bytes.NewReader(text), ledger.CarryVisitor{
		Header: func(h ledger.CarryHeader) (err error) {
			h.Ledgers = slices.DeleteFunc(slices.Clone(h.Ledgers), func(l ledger.CarriedLedger) bool { return l.Origin == origin })
			w, err = ledger.NewCarryWriter(&out, h)
			return err
		},
		Entry: func(r ledger.Row, _ ledger.Header) error {
			if r.Origin == origin {
				return nil
			}
			return w.Entry(r)
		},
		Person: func(p ledger.CarriedPerson) error { return w.Person(p) },
	})
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return fileWith(t, out.Bytes())
}

// Whoever carries a file cannot leave out what another device recorded: its writer says what it had seen.
func TestALedgerLeftOutOfAFileIsMissed(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	mustTake(t, one, carryOut(t, two, 31), 32)
	three := further(t, one, "truck-3", 33)
	add(t, two, 34, looked(ada, fell, training.OutcomeMet))
	mustTake(t, one, carryOut(t, two, 35), 36)
	requireRefused(t, three, without(t, carryOut(t, one, 37), two.Origin()), "the file leaves out entries of the ledger "+two.Origin())
	mustTake(t, three, carryOut(t, one, 39), 40)
	requireSound(t, three)
}

func TestGivenUpDevices(t *testing.T) {
	one := firstDevice(t)
	two := further(t, one, "truck-2", 30)
	mustTake(t, one, carryOut(t, two, 31), 32)
	met := func() (names []string) {
		list, err := one.Devices(bg)
		require.NoError(t, err)
		for _, d := range list {
			names = append(names, d.Origin)
		}
		return names
	}
	require.Equal(t, []string{two.Origin()}, met())
	add(t, one, 33, ledger.Entry{Kind: KindGone, By: ada, Data: GoneRecord{Origin: two.Origin(), Reason: "lost"}})
	require.Empty(t, met())
	states, err := one.States(bg)
	require.NoError(t, err)
	require.Equal(t, "lost", states[two.Origin()].Reason)
	require.False(t, states[two.Origin()].Waits())
	require.True(t, states[own].Own)

	// A strike of that, or meeting it again, and it is expected.
	size, err := one.Size(bg, own)
	require.NoError(t, err)
	add(t, one, 34, struckOut(ledger.Ref(own, size)))
	require.Equal(t, []string{two.Origin()}, met())
	add(t, one, 35, ledger.Entry{Kind: KindGone, By: ada, Data: GoneRecord{Origin: two.Origin(), Reason: "lost"}})
	add(t, two, 36, looked(ada, fell, training.OutcomeMet))
	mustTake(t, one, carryOut(t, two, 37), 38)
	require.Equal(t, []string{two.Origin()}, met())
}
