package store

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

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
