package store

import (
	"context"
	"crypto/sha256"
	"fmt"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// The machine these run on may be shared: each reports the processor time it took beside the clock, and stands next
// to a plain loop over the same bytes, which slows down by as much.

// cpu is the processor time this program has taken, in ns.
func cpu(b *testing.B) float64 {
	b.Helper()
	var u syscall.Rusage
	require.NoError(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return float64(u.Utime.Nano() + u.Stime.Nano())
}

// perItem runs f b.N times and reports clock and processor time for each of n items.
func perItem(b *testing.B, n int, f func() error) {
	b.Helper()
	before := cpu(b)
	b.ResetTimer()
	for range b.N {
		if err := f(); err != nil {
			b.Fatal(err)
		}
	}
	b.StopTimer()
	items := float64(b.N) * float64(n)
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/items, "ns/item")
	b.ReportMetric((cpu(b)-before)/items, "cpu-ns/item")
}

// cancellable is the kind of context that the command line hands down.
func cancellable(b *testing.B) context.Context {
	ctx, cancel := context.WithCancel(bg)
	b.Cleanup(cancel)
	return ctx
}

const (
	workers = 500
	topics  = 43
	bigSize = workers * topics * 10 // entries, of about 400 bytes
)

// worth is one look in the big book.
func worth(i int) ledger.Entry {
	e := looked(fmt.Sprintf("p%07d", i%workers), fmt.Sprintf("%d.%d", 1+i/workers%topics/10, i/workers%topics%10), training.OutcomeMet)
	e.Data.(fields)["note"] = fmt.Sprintf("look %d at the stand edge, stems of about 4 cm", i)
	return e
}

// bigFolder is made and removed by TestMain, because several benchmarks use what is in it.
var bigFolder string

// big is a book of about 215 000 entries, made once for all benchmarks that read one.
var big = sync.OnceValues(func() (string, error) {
	zone, err := time.LoadLocation("America/Vancouver")
	if err != nil {
		return "", err
	}
	path := filepath.Join(bigFolder, "big.db")
	b, err := Create(bg, path, own, zone)
	if err != nil {
		return "", err
	}
	err = b.Batch(bg, func() error {
		if _, err := b.Append(bg, morning, []ledger.Entry{opening()}); err != nil {
			return err
		}
		for i := range bigSize {
			e := worth(i)
			e.Happened = minute(i)
			if _, err := b.Append(bg, minute(i), []ledger.Entry{e}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	return path, b.Close()
})

func bigBook(b *testing.B) *Book {
	b.Helper()
	path, err := big()
	require.NoError(b, err)
	return open(b, path, ForReading)
}

// One entry and its facts, on the disk when Append returns. Beside it stands the bare commit.
func BenchmarkAppendDurable(b *testing.B) {
	book := create(b, newPath(b))
	write(b, book, opening())
	ctx := cancellable(b)
	i := 0
	perItem(b, 1, func() error {
		i++
		_, err := book.Append(ctx, minute(i), []ledger.Entry{worth(i)})
		return err
	})
}

// The same bytes into a plain table under the same pragmas: what the disk asks for one commit.
func BenchmarkBareCommit(b *testing.B) {
	book := create(b, newPath(b))
	_, err := book.conn.ExecContext(bg, `CREATE TABLE plain (seq INTEGER PRIMARY KEY, body BLOB NOT NULL, leaf BLOB NOT NULL) STRICT`)
	require.NoError(b, err)
	insert, err := book.conn.PrepareContext(bg, `INSERT INTO plain (body, leaf) VALUES (?, ?)`)
	require.NoError(b, err)
	e := worth(1)
	e.Origin, e.Seq, e.Recorded = own, 1, minute(1)
	row, err := ledger.Encode(e)
	require.NoError(b, err)
	perItem(b, 1, func() error {
		if _, err := book.conn.ExecContext(bg, `BEGIN IMMEDIATE`); err != nil {
			return err
		}
		if _, err := insert.ExecContext(bg, row.Body, row.Leaf[:]); err != nil {
			return err
		}
		_, err := book.conn.ExecContext(bg, `COMMIT`)
		return err
	})
}

// Many entries in one transaction, as demo and import write them.
func BenchmarkAppendInBatch(b *testing.B) {
	book := create(b, newPath(b))
	write(b, book, opening())
	ctx := cancellable(b)
	const many = 10_000
	i := 0
	perItem(b, many, func() error {
		return book.Batch(ctx, func() error {
			for range many {
				i++
				if _, err := book.Append(ctx, minute(i), []ledger.Entry{worth(i)}); err != nil {
					return err
				}
			}
			return nil
		})
	})
}

// Every leaf, header, fact and root of about 215 000 entries; the aim is 2 µs an entry on two processors.
func BenchmarkVerify(b *testing.B) {
	book := bigBook(b)
	ctx := cancellable(b)
	perItem(b, bigSize, func() error {
		rep, err := book.Verify(ctx)
		if err == nil && !rep.Sound() {
			return fmt.Errorf("%v", rep.Findings[0])
		}
		return err
	})
}

// What verification cannot do without: the SHA-256 of as many bytes, on two processors.
func BenchmarkPlainHash(b *testing.B) {
	body := []byte("\x00" + strings.Repeat("x", 400))
	perItem(b, bigSize, func() error {
		var both sync.WaitGroup
		for range 2 {
			both.Go(func() {
				for range bigSize / 2 {
					sha256.Sum256(body)
				}
			})
		}
		both.Wait()
		return nil
	})
}

// All facts of 500 workers by 43 skills, ten each, on one connection: what the matrix of standings reads.
func BenchmarkFactsAll(b *testing.B) {
	book := bigBook(b)
	ctx := cancellable(b)
	asked := book.AskedAt(minute(bigSize), minute(bigSize))
	perItem(b, bigSize, func() error {
		n := 0
		for _, s := range book.FactsBetween(ctx, asked, "p", "q") {
			if s.Err != nil {
				return s.Err
			}
			for _, facts := range s.Topics {
				n += len(facts)
			}
		}
		if n != bigSize {
			return fmt.Errorf("%d facts instead of %d", n, bigSize)
		}
		return nil
	})
}

// One worker's facts: what one line of the command line asks.
func BenchmarkFactsOfOne(b *testing.B) {
	book := bigBook(b)
	ctx := cancellable(b)
	asked := book.AskedAt(minute(bigSize), minute(bigSize))
	perItem(b, 1, func() error {
		t, err := book.Facts(ctx, asked, "p0000123")
		if err == nil && len(t) != topics {
			return fmt.Errorf("%d topics instead of %d", len(t), topics)
		}
		return err
	})
}

func BenchmarkRebuild(b *testing.B) {
	book := create(b, newPath(b))
	write(b, book, season(b)...)
	long(b, book, 20_000)
	ctx := cancellable(b)
	perItem(b, 20_012, func() error {
		_, err := book.Rebuild(ctx)
		return err
	})
}
