package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Entry reads one entry, checks its bytes against its leaf hash, and decodes its data into v (nil: not at all).
func (b *Book) Entry(ctx context.Context, ref training.Ref, v any) (ledger.Header, error) {
	row, err := b.row(ctx, ref)
	if err != nil {
		return ledger.Header{}, err
	}
	h, err := ledger.ReadHeader(row.Body)
	if err != nil || ledger.Leaf(row.Body) != row.Leaf || h.Origin != row.Origin || h.Seq != row.Seq {
		return h, b.damagedEntry(ref)
	}
	if v == nil {
		return h, nil
	}
	if err := ledger.Decode(h.Data, v); err != nil {
		return h, b.unreadable(ref, err)
	}
	return h, nil
}

// unreadable is the error for an entry, sound by its hash, that says what this version cannot read. A newer version may have
// written it, somebody may have rewritten it, or a derived row leads to another entry than it should.
func (b *Book) unreadable(ref training.Ref, err error) error {
	return &UnusableError{Damaged: true, What: fmt.Sprintf("entry %s cannot be read: %s", b.Name(ref), strings.ReplaceAll(err.Error(), "\n", ", ")),
		Next: "see whether the book is sound: ringtrue book verify; if it is, a newer ringtrue wrote the entry: install that version"}
}

func (b *Book) damagedEntry(ref training.Ref) error {
	return &UnusableError{Damaged: true, What: fmt.Sprintf("entry %s of the book is damaged", b.Short(ref)), Next: verifyNext}
}

func (b *Book) row(ctx context.Context, ref training.Ref) (r ledger.Row, err error) {
	r.Origin, r.Seq, err = b.refs.split(ref)
	if err != nil {
		return r, err
	}
	var leaf []byte
	err = b.one(ctx, []any{&r.Body, &leaf, &r.Sig}, `SELECT body, leaf, sig FROM entry WHERE origin = ? AND seq = ?`, r.Origin, r.Seq)
	r.Leaf = leafOf(leaf)
	if errors.Is(err, sql.ErrNoRows) {
		return r, &UnusableError{Damaged: true, What: fmt.Sprintf("entry %s is not in the book, though something names it", b.Name(ref)), Next: verifyNext}
	}
	return r, err
}

// leafOf takes a stored leaf hash; one of another length is none.
func leafOf(stored []byte) (leaf [32]byte) {
	if len(stored) == len(leaf) {
		copy(leaf[:], stored)
	}
	return leaf
}

// Find turns "412" or "origin#412" into the ref of an entry that is in the book; ok is false where there is none.
func (b *Book) Find(ctx context.Context, text string) (ref training.Ref, ok bool, err error) {
	full := text
	if _, _, err := ledger.ParseRef(text); err != nil {
		full = b.origin + "#" + text
	}
	origin, seq, err := ledger.ParseRef(full)
	if err != nil {
		return 0, false, nil
	}
	if ref, ok = b.refs.known(origin, seq); !ok {
		return 0, false, nil
	}
	var n int
	err = b.one(ctx, []any{&n}, `SELECT count(*) FROM entry WHERE origin = ? AND seq = ?`, origin, seq)
	return ref, n == 1, err
}

// Asked turns a day into the moment asked: what was true by the end of on, known by the end of known.
func (b *Book) Asked(on, known civil.Day) training.Asked {
	return training.Asked{Day: on, On: on.End(b.zone).Unix() - 1, Known: known.End(b.zone).Unix() - 1}
}

// AskedNow asks what the book knows now of a day, which is everything: a clock that ran ahead once leaves entries recorded later
// than today, and a stop among them counts at once.
func (b *Book) AskedNow(ctx context.Context, today civil.Day) (training.Asked, error) {
	asked := b.Asked(today, today)
	origins, err := b.Origins(ctx)
	if err != nil {
		return asked, err
	}
	for _, o := range origins {
		var body []byte
		err := b.one(ctx, []any{&body}, `SELECT body FROM entry WHERE origin = ? ORDER BY seq DESC LIMIT 1`, o)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return asked, err
		}
		if h, err := ledger.ReadHeader(body); err == nil { // a damaged one is named by whatever reads it
			asked.Known = max(asked.Known, h.Recorded.Unix())
		}
	}
	return asked, nil
}

// AskedAt is Asked for moments.
func (b *Book) AskedAt(on, known time.Time) training.Asked {
	return training.Asked{Day: civil.Of(on, b.zone), On: on.Unix(), Known: known.Unix()}
}

// Topics are the facts of one subject, by topic, each list in the order in which it counts.
type Topics map[string][]training.Fact

// Facts returns what the book knew by the moment asked about one subject (a person id, BlockSubject, ...). Struck
// facts are there and marked.
func (b *Book) Facts(ctx context.Context, a training.Asked, subject string) (Topics, error) {
	for _, t := range b.FactsBetween(ctx, a, subject, subject) {
		return t.Topics, t.Err
	}
	return Topics{}, nil
}

// Topic returns what the book knew by the moment asked about one topic of a subject, in the order in which it counts.
func (b *Book) Topic(ctx context.Context, a training.Asked, subject, topic string) ([]training.Fact, error) {
	struck, err := b.struck(ctx)
	if err != nil {
		return nil, err
	}
	g := gather{known: a.Known, struck: struck, subject: subject, topics: Topics{}}
	var facts sql.RawBytes
	err = b.each(ctx, []any{&facts}, func() error { return g.take(subject, topic, facts) },
		`SELECT facts FROM fact WHERE subject = ? AND topic = ? ORDER BY part`, subject, topic)
	if err == nil {
		err = b.weigh(ctx, g.topics)
	}
	training.Sort(g.topics[topic])
	return g.topics[topic], b.derivedDamage(err)
}

// SubjectTopics is one step of FactsBetween.
type SubjectTopics struct {
	Topics Topics
	Err    error
}

// FactsBetween gives the subjects from first to last, both included, in order, with what was known of each.
func (b *Book) FactsBetween(ctx context.Context, a training.Asked, first, last string) iter.Seq2[string, SubjectTopics] {
	return func(yield func(string, SubjectTopics) bool) {
		struck, err := b.struck(ctx)
		if err != nil {
			yield("", SubjectTopics{Err: err})
			return
		}
		g := gather{known: a.Known, struck: struck, yield: func(subject string, t SubjectTopics) bool {
			if err := b.weigh(ctx, t.Topics); err != nil {
				t.Err = b.derivedDamage(err)
			}
			return yield(subject, t)
		}}
		var subject, topic string
		var facts sql.RawBytes
		err = b.each(ctx, []any{&subject, &topic, &facts}, func() error { return g.take(subject, topic, facts) },
			`SELECT subject, topic, facts FROM fact WHERE subject >= ? AND subject <= ? ORDER BY subject, topic, part`, first, last)
		if errors.Is(err, errStop) {
			return
		}
		if err != nil {
			yield(g.subject, SubjectTopics{Err: b.derivedDamage(err)})
			return
		}
		g.flush()
	}
}

func (b *Book) derivedDamage(err error) error {
	if errors.Is(err, errPacked) {
		return &UnusableError{Damaged: true, What: "rows derived from the ledger are damaged: " + err.Error(), Next: rebuildNext}
	}
	return err
}

var errStop = errors.New("enough")

// gather collects the packed rows of one subject after the other.
type gather struct {
	known   int64
	struck  map[training.Ref]int64
	yield   func(string, SubjectTopics) bool
	subject string
	topics  Topics
	buf     []training.Fact
}

func (g *gather) take(subject, topic string, packed []byte) error {
	if g.topics != nil && subject != g.subject {
		if !g.flush() {
			return errStop
		}
	}
	if g.topics == nil {
		g.subject, g.topics = subject, Topics{}
	}
	var err error
	if g.buf, err = unpack(g.buf[:0], packed); err != nil {
		return err
	}
	list := slices.Grow(g.topics[topic], len(g.buf))
	for _, f := range g.buf {
		if f.Recorded <= g.known {
			f.Struck = g.isStruck(f.Entry)
			for _, c := range f.Cites {
				f.Void = f.Void || g.isStruck(c)
			}
			list = append(list, f)
		}
	}
	g.topics[topic] = list
	return nil
}

func (g *gather) isStruck(ref training.Ref) bool {
	recorded, ok := g.struck[ref]
	return ok && recorded <= g.known
}

func (g *gather) flush() bool {
	if g.topics == nil {
		return true
	}
	for _, list := range g.topics {
		training.Sort(list)
	}
	t := g.topics
	g.topics = nil
	return g.yield(g.subject, SubjectTopics{Topics: t})
}

// Supposing asks as if an entry were struck already: what f reads of the book answers so. Nothing is written.
func (b *Book) Supposing(struck training.Ref, f func() error) error {
	b.suppose = struck
	defer func() { b.suppose = 0 }()
	return f()
}

// struck returns all strikes, with one that is only supposed.
func (b *Book) struck(ctx context.Context) (map[training.Ref]int64, error) {
	all, err := b.recordedStrikes(ctx)
	if b.suppose == 0 || err != nil {
		return all, err
	}
	all = maps.Clone(all)
	all[b.suppose] = 0
	return all, nil
}

// recordedStrikes returns all strikes: which entry, and when the strike was recorded. They are read once where nobody else's
// writing is seen: when only reading, and within a batch, which keeps them up to date.
func (b *Book) recordedStrikes(ctx context.Context) (map[training.Ref]int64, error) {
	if (b.batch || b.readsOneState()) && b.strikes != nil {
		return b.strikes, nil
	}
	all := map[training.Ref]int64{}
	var entry, recorded int64
	err := b.each(ctx, []any{&entry, &recorded}, func() error {
		all[training.Ref(entry)] = recorded
		return nil
	}, `SELECT entry, recorded FROM struck`)
	b.strikes = all
	return all, err
}

// StruckWhen returns of every struck entry when the book learned that it was struck, in Unix seconds. The map is the book's own; it is only
// to be read.
func (b *Book) StruckWhen(ctx context.Context) (map[training.Ref]int64, error) { return b.struck(ctx) }

// StruckBy returns the strike that names an entry, as known by a moment.
func (b *Book) StruckBy(ctx context.Context, ref training.Ref, known int64) (by training.Ref, ok bool, err error) {
	var n int64
	err = b.one(ctx, []any{&n}, `SELECT "by" FROM struck WHERE entry = ? AND recorded <= ?`, int64(ref), known)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, false, nil
	}
	return training.Ref(n), err == nil, err
}

// Strikes returns every strike known by a moment: struck entry to striking entry.
func (b *Book) Strikes(ctx context.Context, known int64) (map[training.Ref]training.Ref, error) {
	all := map[training.Ref]training.Ref{}
	var entry, by int64
	err := b.each(ctx, []any{&entry, &by}, func() error {
		all[training.Ref(entry)] = training.Ref(by)
		return nil
	}, `SELECT entry, "by" FROM struck WHERE recorded <= ?`, known)
	return all, err
}

// Ref turns "origin#seq" as it stands in entries into a ref. The entry need not be in the book, but some entry from
// or naming that origin must be.
func (b *Book) Ref(text string) (training.Ref, error) {
	origin, seq, err := ledger.ParseRef(text)
	if err != nil {
		return 0, err
	}
	ref, ok := b.refs.known(origin, seq)
	if !ok {
		return 0, fmt.Errorf("%q: the book knows no ledger of that name", text)
	}
	return ref, nil
}

// Rows gives the stored rows of one origin in the order of seq, from seq first to seq last (0: to the end). The
// bytes of a row are valid until the next one is taken.
func (b *Book) Rows(ctx context.Context, origin string, first, last int64) iter.Seq2[ledger.Row, error] {
	return func(yield func(ledger.Row, error) bool) {
		if last == 0 {
			last = math.MaxInt64
		}
		r := ledger.Row{Origin: origin}
		var body, leaf, sig sql.RawBytes
		err := b.each(ctx, []any{&r.Seq, &body, &leaf, &sig}, func() error {
			r.Body, r.Sig, r.Leaf = body, sig, leafOf(leaf)
			if !yield(r, nil) {
				return errStop
			}
			return nil
		}, `SELECT seq, body, leaf, sig FROM entry WHERE origin = ? AND seq BETWEEN ? AND ? ORDER BY seq`, origin, first, last)
		if err != nil && !errors.Is(err, errStop) {
			yield(r, err)
		}
	}
}

// Origins lists the ledgers in the book: every origin that has entries, this device's own first. It jumps from
// origin to origin and does not read the rows between.
func (b *Book) Origins(ctx context.Context) (names []string, err error) {
	names = []string{b.origin}
	var n string
	err = b.each(ctx, []any{&n}, func() error {
		if n != b.origin {
			names = append(names, n)
		}
		return nil
	}, `WITH RECURSIVE o(n) AS (SELECT min(origin) FROM entry
		UNION ALL SELECT (SELECT min(origin) FROM entry WHERE origin > o.n) FROM o WHERE o.n IS NOT NULL)
		SELECT n FROM o WHERE n IS NOT NULL`)
	return names, err
}

// Size is the number of the last entry of an origin.
func (b *Book) Size(ctx context.Context, origin string) (n int64, err error) {
	err = b.one(ctx, []any{&n}, `SELECT coalesce(max(seq), 0) FROM entry WHERE origin = ?`, origin)
	return n, err
}

// Further opens one more read-only connection to the same book, for reading side by side. It is closed with b.
func (b *Book) Further(ctx context.Context) (*Book, error) {
	if b.second != nil {
		b.second.refs = newRefs(b.refs.names)
		return b.second, nil
	}
	mode := forReading
	if b.mode != forWriting {
		mode = b.mode
	}
	second, err := connect(ctx, b.path, mode)
	if err != nil {
		return nil, err
	}
	second.origin, second.version, second.zone, second.refs = b.origin, b.version, b.zone, newRefs(b.refs.names)
	b.second = second
	return second, nil
}
