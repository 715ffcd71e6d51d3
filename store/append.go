package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"time"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// tail is the end of this device's ledger as this transaction sees it.
type tail struct {
	seq      int64
	recorded time.Time
}

// openPart is the last row of packed facts of a subject and topic.
type openPart struct {
	part int64
	size int
}

// derived is what follows from one entry.
type derived struct {
	facts  []placed
	strike *strike // nil unless the entry is one
}

// line is an entry whose bytes are fixed, with what follows from it.
type line struct {
	row     ledger.Row
	ref     training.Ref
	derived derived
}

// Append adds entries to this device's ledger, in order, all or none, and returns their refs. now is when the book
// learns them; if the clock runs behind the ledger, the ledger's last time counts. When Append returns, the entries
// are on the disk (within Batch: when Batch returns). Persons are the names behind worker entries among them. Entries
// with a signer are signed over the bytes that are written.
func (b *Book) Append(ctx context.Context, now time.Time, es []ledger.Entry, persons ...Person) (added []training.Ref, err error) {
	err = b.Batch(ctx, func() error {
		lines, end, err := b.lines(ctx, now, es)
		if err != nil {
			return err
		}
		for _, p := range persons {
			if err := b.addPerson(ctx, p); err != nil {
				return err
			}
		}
		for _, l := range lines {
			if err := b.write(ctx, l); err != nil {
				return err
			}
			added = append(added, l.ref)
		}
		b.tail = &end
		return nil
	})
	if err != nil {
		return nil, err
	}
	return added, nil
}

// Batch runs f in one transaction: everything it appends is kept together, or nothing is if it fails. Batches nest;
// the outermost commits, unless one within it failed after writing something.
func (b *Book) Batch(ctx context.Context, f func() error) error {
	if b.batch {
		before := b.writes
		err := f()
		b.spoiled = b.spoiled || err != nil && b.writes > before
		return err
	}
	b.trust = trust{}
	committed, before := false, b.version
	defer func() {
		if !committed {
			b.version, b.seen = before, 0
			_, _ = b.conn.ExecContext(context.WithoutCancel(ctx), `ROLLBACK`) // it fails where nothing is left to undo
			b.refs = newRefs(b.stored)
		}
		b.batch, b.trust = false, trust{}
	}()
	if err := b.start(ctx); err != nil {
		return err
	}
	err := f()
	if err == nil && b.spoiled {
		err = errSpoiled
	}
	if err != nil {
		return err
	}
	_, err = b.conn.ExecContext(context.WithoutCancel(ctx), `COMMIT`) // half way there is no turning back
	if committed = err == nil; committed {
		b.stored = slices.Clone(b.refs.names[:b.refs.kept])
	}
	return b.explain("write to the book", err)
}

// start begins a transaction. What is known of the book stays known unless others have written since.
func (b *Book) start(ctx context.Context) error {
	if _, err := b.conn.ExecContext(ctx, `BEGIN IMMEDIATE`); err != nil {
		return b.explain("write to the book", err)
	}
	b.batch, b.spoiled = true, false
	var seen int64
	if err := b.one(ctx, []any{&seen}, `PRAGMA data_version`); err != nil || seen == b.seen {
		return err
	}
	b.seen, b.tail, b.strikes = seen, nil, nil
	clear(b.parts)
	names, err := b.originNames(ctx)
	if err != nil {
		return err
	}
	b.stored, b.refs = names, newRefs(names)
	return b.upgrade(ctx)
}

var errSpoiled = errors.New("write to the book: part of what belongs together was refused; nothing was written")

// lines fixes the bytes of entries and derives what follows from them, before the first is written. end is the end
// of the ledger after them.
func (b *Book) lines(ctx context.Context, now time.Time, es []ledger.Entry) (lines []line, end tail, err error) {
	if b.tail == nil {
		if b.tail, err = b.readTail(ctx); err != nil {
			return nil, end, err
		}
	}
	end = *b.tail
	if now = now.UTC().Truncate(time.Second); now.After(end.recorded) {
		end.recorded = now
	}
	for _, e := range es {
		end.seq++
		e.Origin, e.Seq, e.Recorded = b.origin, end.seq, end.recorded
		l, err := b.line(e)
		if err != nil {
			b.refs = newRefs(b.refs.names[:b.refs.kept])
			return nil, end, err
		}
		lines = append(lines, l)
	}
	return lines, end, nil
}

func (b *Book) line(e ledger.Entry) (l line, err error) {
	if l.row, err = ledger.Encode(e); err != nil {
		return l, err
	}
	h, err := ledger.ReadHeader(l.row.Body)
	if err != nil {
		return l, err
	}
	l.ref = b.refs.of(h.Origin, h.Seq)
	l.derived, err = deriver{b.zone, b.refs}.derive(h)
	return l, err
}

func (b *Book) readTail(ctx context.Context) (*tail, error) {
	var seq int64
	var body, leaf []byte
	err := b.one(ctx, []any{&seq, &body, &leaf}, `SELECT seq, body, leaf FROM entry WHERE origin = ? ORDER BY seq DESC LIMIT 1`, b.origin)
	if errors.Is(err, sql.ErrNoRows) {
		return &tail{}, nil
	}
	if err != nil {
		return nil, err
	}
	h, err := ledger.ReadHeader(body)
	if err != nil || ledger.Leaf(body) != leafOf(leaf) || h.Seq != seq || seq >= 1<<seqBits {
		return nil, &UnusableError{Damaged: true, What: fmt.Sprintf("the last entry of the book, %d, is damaged; nothing was written", seq), Next: verifyNext}
	}
	return &tail{seq, h.Recorded}, nil
}

func (b *Book) write(ctx context.Context, l line) error {
	err := b.exec(ctx, `INSERT INTO entry (origin, seq, body, leaf, sig) VALUES (?, ?, ?, ?, ?)`, l.row.Origin, l.row.Seq, l.row.Body, l.row.Leaf[:], l.row.Sig)
	if err != nil {
		return err
	}
	return b.keep(ctx, l.derived)
}

// keep writes what was derived from one entry.
func (b *Book) keep(ctx context.Context, d derived) error {
	for ; b.refs.kept < len(b.refs.names); b.refs.kept++ {
		if err := b.exec(ctx, `INSERT INTO origin VALUES (?, ?)`, b.refs.kept+1, b.refs.names[b.refs.kept]); err != nil {
			return err
		}
	}
	for _, r := range d.facts {
		if err := b.keepFact(ctx, r); err != nil {
			return err
		}
	}
	if d.strike == nil {
		return nil
	}
	return b.keepStrike(ctx, *d.strike)
}

// keepStrike keeps the earliest strike of an entry.
func (b *Book) keepStrike(ctx context.Context, s strike) error {
	if known, ok := b.strikes[s.entry]; b.strikes != nil && (!ok || s.recorded < known) {
		b.strikes[s.entry] = s.recorded
	}
	return b.exec(ctx, `INSERT INTO struck VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET "by" = excluded."by", recorded = excluded.recorded
		WHERE (excluded.recorded, excluded."by") < (recorded, "by")`, int64(s.entry), int64(s.by), s.recorded)
}

// keepFact adds a fact to the last row of its subject and topic, or begins a new row when that one is full.
func (b *Book) keepFact(ctx context.Context, p placed) error {
	key := [2]string{p.subject, p.topic}
	at, err := b.lastPart(ctx, key)
	if err != nil {
		return err
	}
	packed := pack(nil, p.fact)
	if at.size == 0 || at.size+len(packed) > partSize {
		at = openPart{part: at.part + 1}
		err = b.exec(ctx, `INSERT INTO fact VALUES (?, ?, ?, ?)`, p.subject, p.topic, at.part, packed)
	} else {
		err = b.exec(ctx, `UPDATE fact SET facts = CAST(facts || ? AS BLOB) WHERE subject = ? AND topic = ? AND part = ?`, packed, p.subject, p.topic, at.part)
	}
	at.size += len(packed)
	b.parts[key] = at
	return err
}

func (b *Book) lastPart(ctx context.Context, key [2]string) (openPart, error) {
	if at, ok := b.parts[key]; ok {
		return at, nil
	}
	var at openPart
	err := b.one(ctx, []any{&at.part, &at.size}, `SELECT part, length(facts) FROM fact WHERE subject = ? AND topic = ? ORDER BY part DESC LIMIT 1`, key[0], key[1])
	if errors.Is(err, sql.ErrNoRows) {
		err = nil
	}
	return at, err
}
