package store

import (
	"context"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"time"

	sqlite "github.com/mattn/go-sqlite3"

	"example.org/ringtrue/store/ledger"
)

// What somebody needs at once is read from a book whatever else is damaged in it, locked or turned read-only. Nothing here is
// evidence: what was passed over is counted, and what does not agree with its hash is given with that said.

// Anyhow opens a book to read what can be read of it. Bad says what is wrong with the book, nil where nothing was found so far; err
// means that there is no book to read. Where the book's zone cannot be read, times are in UTC.
func Anyhow(ctx context.Context, path string) (b *Book, bad, err error) {
	b, bad = openWith(ctx, path, ForReading, hurries)
	if unusable, ok := errors.AsType[*UnusableError](bad); bad == nil || ok && !unusable.Damaged && checkFile(path, ForReading) != nil {
		return b, nil, bad
	}
	for _, from := range []func(context.Context, string) (*Book, error){asReader, unlocked, filledUp} {
		if b, err = from(ctx, path); err != nil {
			continue
		}
		if b.knowItself(ctx) {
			return b, bad, nil
		}
		_ = b.Close()
	}
	return nil, nil, bad
}

func asReader(ctx context.Context, path string) (*Book, error) {
	return connect(ctx, path, forReading+hurries)
}

// unlocked takes no locks and looks at no log.
func unlocked(ctx context.Context, path string) (*Book, error) {
	return connect(ctx, path, unchanging+hurries)
}

// filledUp reads a file that is shorter than its first page says, with nothing in the place of what is missing.
func filledUp(ctx context.Context, path string) (*Book, error) {
	text, err := os.ReadFile(path)
	if err != nil || len(text) < headerSize {
		return nil, errors.Join(err, io.ErrUnexpectedEOF)
	}
	pageSize := int(binary.BigEndian.Uint16(text[16:]))
	if want := pageSize * int(binary.BigEndian.Uint32(text[28:])); want > len(text) && want < 1<<31 {
		text = append(text, make([]byte, want-len(text))...)
	}
	text[18], text[19] = 1, 1 // without a log; https://www.sqlite.org/fileformat2.html §1.3
	b, err := connect(ctx, ":memory:", forNewFile+"&mode=memory")
	if err != nil {
		return nil, err
	}
	if err := b.conn.Raw(func(c any) error { return c.(*sqlite.SQLiteConn).Deserialize(text, "main") }); err != nil {
		return nil, errors.Join(err, b.Close())
	}
	b.path, b.mode = path, unchanging
	return b, nil
}

// knowItself finds the ledgers of a damaged book, its own among them, and its zone.
func (b *Book) knowItself(ctx context.Context) bool {
	names, err := b.anyLedgers(ctx)
	if err != nil || len(names) == 0 {
		return false
	}
	b.stored, b.refs, b.zone, b.origin = names, newRefs(names), time.UTC, names[0]
	_ = b.one(ctx, []any{&b.origin}, `SELECT origin FROM device`)
	if _, rec, err := b.Opening(ctx); err == nil {
		if zone, err := time.LoadLocation(rec.Zone); err == nil {
			b.zone = zone
		}
	}
	return true
}

// anyLedgers names the ledgers of a damaged book: by its own list, else by the entries themselves.
func (b *Book) anyLedgers(ctx context.Context) ([]string, error) {
	if names, err := b.originNames(ctx); err == nil && len(names) > 0 {
		return names, nil
	}
	if names, err := b.Origins(ctx); err == nil && names[0] != "" {
		return names, nil
	}
	var names []string
	var n string
	err := b.each(ctx, []any{&n}, func() error {
		if len(names) == 0 || names[len(names)-1] != n {
			names = append(names, n)
		}
		return nil
	}, `SELECT origin FROM entry ORDER BY origin`)
	if len(names) > 0 { // the damage lies behind
		return names, nil
	}
	return nil, err
}

// Backward gives the entries of one ledger, the newest first, until f wants no more. Sound says whether the entry agrees with its hash.
// What cannot be read is passed over; lost is the number of entries known to be so, at least 1 where rows of the file cannot be read. The data
// of an entry, and sound, are valid until f returns.
func (b *Book) Backward(ctx context.Context, origin string, f func(h ledger.Header, sound func() bool) (more bool)) (lost int, err error) {
	below, enough := int64(math.MaxInt64), false
	for !enough && below > 1 {
		reached, missed, more := b.backwardFrom(ctx, origin, below, f)
		lost += missed
		if more == nil {
			return lost, nil
		}
		enough = errors.Is(more, errStop)
		if ctx.Err() != nil {
			return lost, ctx.Err()
		}
		if !enough { // the rows right below cannot be read
			lost++
			below = b.readableBelow(ctx, origin, reached)
		}
	}
	return lost, nil
}

// backwardFrom reads down from a place. It ends with nil at the first entry, errStop where f has enough, else with what stood in the way.
func (b *Book) backwardFrom(ctx context.Context, origin string, below int64, f func(ledger.Header, func() bool) bool) (reached int64, lost int, err error) {
	reached = below
	var seq int64
	var body, leaf []byte
	err = b.each(ctx, []any{&seq, &body, &leaf}, func() error {
		reached = seq
		h, err := ledger.ReadHeader(body)
		if err != nil {
			lost++
			return nil
		}
		sound := func() bool { return ledger.Leaf(body) == leafOf(leaf) && h.Origin == origin && h.Seq == seq }
		if !f(h, sound) {
			return errStop
		}
		return nil
	}, `SELECT seq, body, leaf FROM entry WHERE origin = ? AND seq < ? ORDER BY seq DESC`, origin, below)
	return reached, lost, err
}

// readableBelow is the highest place under one that cannot be read from which reading down works again, 1 where there is none.
func (b *Book) readableBelow(ctx context.Context, origin string, bad int64) int64 {
	var seq int64
	var body []byte
	works := func(below int64) bool {
		return b.one(ctx, []any{&seq, &body}, `SELECT seq, body FROM entry WHERE origin = ? AND seq < ? ORDER BY seq DESC LIMIT 1`, origin, below) == nil
	}
	low, high := int64(1), bad
	for high-low > 1 {
		if middle := low + (high-low)/2; works(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}
