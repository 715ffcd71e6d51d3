package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
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

// Append adds entries to this device's ledger, in order, all or none, and returns their refs. now is when the book
// learns them; if the clock runs behind the ledger, the ledger's last time counts. When Append returns, the entries
// are on the disk (within Batch: when Batch returns). Persons are the names behind worker entries among them.
func (b *Book) Append(ctx context.Context, now time.Time, es []ledger.Entry, persons ...Person) (added []training.Ref, err error) {
	err = b.Batch(ctx, func() error {
		if b.tail == nil {
			if b.tail, err = b.readTail(ctx); err != nil {
				return err
			}
		}
		for _, p := range persons {
			if err := b.addPerson(ctx, p); err != nil {
				return err
			}
		}
		for _, e := range es {
			ref, err := b.add(ctx, now, e)
			if err != nil {
				return err
			}
			added = append(added, ref)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return added, nil
}

// Batch runs f in one transaction: everything it appends is kept together, or nothing is if it fails. Batches nest;
// the outermost commits.
func (b *Book) Batch(ctx context.Context, f func() error) (err error) {
	if b.batch {
		return f()
	}
	if _, err := b.conn.ExecContext(ctx, `BEGIN IMMEDIATE`); err != nil {
		return b.explain("write to the book", err)
	}
	b.batch, b.tail, b.strikes = true, nil, nil
	clear(b.parts)
	defer func() { b.batch, b.tail = false, nil }()
	if err = f(); err == nil {
		_, err = b.conn.ExecContext(ctx, `COMMIT`)
		err = b.explain("write to the book", err)
	}
	if err != nil {
		_, _ = b.conn.ExecContext(context.WithoutCancel(ctx), `ROLLBACK`) // it fails where COMMIT already ended it
	}
	return err
}

func (b *Book) readTail(ctx context.Context) (*tail, error) {
	var seq int64
	var body []byte
	err := b.one(ctx, []any{&seq, &body}, `SELECT seq, body FROM entry WHERE origin = ? ORDER BY seq DESC LIMIT 1`, b.origin)
	if errors.Is(err, sql.ErrNoRows) {
		return &tail{}, nil
	}
	if err != nil {
		return nil, b.explain("read the end of the ledger", err)
	}
	h, err := ledger.ReadHeader(body)
	if err != nil {
		return nil, &UnusableError{Damaged: true, What: fmt.Sprintf("the last entry of the book, %d, is damaged", seq), Next: "see: ringtrue book verify"}
	}
	return &tail{seq, h.Recorded}, nil
}

func (b *Book) add(ctx context.Context, now time.Time, e ledger.Entry) (training.Ref, error) {
	e.Origin, e.Seq, e.Recorded = b.origin, b.tail.seq+1, now.UTC().Truncate(time.Second)
	if e.Recorded.Before(b.tail.recorded) {
		e.Recorded = b.tail.recorded
	}
	row, err := ledger.Encode(e)
	if err != nil {
		return 0, err
	}
	err = b.exec(ctx, `INSERT INTO entry (origin, seq, body, leaf) VALUES (?, ?, ?, ?)`, row.Origin, row.Seq, row.Body, row.Leaf[:])
	if err != nil {
		return 0, err
	}
	b.tail.seq, b.tail.recorded = e.Seq, e.Recorded
	return b.refs.of(row.Origin, row.Seq), b.keepFacts(ctx, row.Body)
}

// keepFacts writes what is derived from one entry.
func (b *Book) keepFacts(ctx context.Context, body []byte) error {
	h, err := ledger.ReadHeader(body)
	if err != nil {
		return err
	}
	known := len(b.refs.names)
	rows, st, err := deriver{b.zone, b.refs}.derive(h)
	if err != nil {
		return err
	}
	for i := known; i < len(b.refs.names); i++ {
		if err := b.exec(ctx, `INSERT INTO origin VALUES (?, ?)`, i+1, b.refs.names[i]); err != nil {
			return err
		}
	}
	for _, r := range rows {
		if err := b.keepFact(ctx, r); err != nil {
			return err
		}
	}
	if st == nil {
		return nil
	}
	if b.strikes != nil {
		b.strikes[st.entry] = st.recorded
	}
	return b.exec(ctx, `INSERT INTO struck VALUES (?, ?, ?) ON CONFLICT DO NOTHING`, int64(st.entry), int64(st.by), st.recorded)
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
