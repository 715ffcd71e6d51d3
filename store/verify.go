package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"hash/maphash"
	"maps"
	"math"
	"slices"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// Report is what verification found in a book.
type Report struct {
	Heads    []ledger.Head
	Entries  int64
	Findings []ledger.Finding
}

// Sound reports whether nothing but harmless things was found.
func (r Report) Sound() bool {
	return !slices.ContainsFunc(r.Findings, func(f ledger.Finding) bool { return f.Class != ledger.Harmless })
}

// Copyable reports whether a copy of the book is as good as a sound one: nothing is damaged, and nothing stands in the file
// that may change what is written later. A signature that is not trusted is no less so in a copy.
func (r Report) Copyable() bool {
	return !slices.ContainsFunc(r.Findings, func(f ledger.Finding) bool { return f.Class == ledger.Damaged || f.Next == strangeNext })
}

// Verify recomputes every leaf and the root of every ledger in the book, derives every fact again and compares it
// with the derived rows, and checks names against their commitments and signatures against the keys that the entries
// announce. It goes on past damage and names each damaged
// entry. Without a seal it cannot see that the newest entries were cut off. What others write meanwhile is not
// looked at.
func (b *Book) Verify(ctx context.Context) (rep Report, err error) {
	err = b.snapshot(ctx, func() error { return b.verify(ctx, &rep) })
	return rep, err
}

func (b *Book) verify(ctx context.Context, rep *Report) error {
	all, signed := newSums(), []signedEntry{}
	origins, err := b.Origins(ctx)
	if err = rep.damage(b.origin, err); err != nil {
		return err
	}
	for _, o := range origins {
		chain, err := b.verifyOrigin(ctx, o, all)
		rep.add(chain)
		signed = append(signed, signedIn(o, chain)...)
		if err = rep.damage(o, err); err != nil {
			return err
		}
	}
	rep.opened(b)
	if err := rep.damage(b.origin, b.verifySignatures(ctx, all.keys, signed, rep)); err != nil {
		return err
	}
	for _, check := range []func(context.Context, *sums, *Report) error{b.verifyDerived, b.verifyNames, b.verifyDevice, b.verifySeen, b.verifyTables, b.verifySchema} {
		if err := rep.damage(b.origin, check(ctx, all, rep)); err != nil {
			return err
		}
	}
	return nil
}

func (r *Report) add(c *ledger.Chain) {
	head := c.Head()
	r.Heads = append(r.Heads, head)
	r.Findings = append(r.Findings, c.Findings...)
	r.Entries += head.Size
}

func (r *Report) find(origin string, class ledger.Class, what, next string) {
	r.Findings = append(r.Findings, ledger.Finding{Origin: origin, Class: class, What: what, Next: next})
}

// damage takes an error that says that the book is damaged as a finding; other errors it returns.
func (r *Report) damage(origin string, err error) error {
	bad, ok := errors.AsType[*UnusableError](err)
	if !ok || !bad.Damaged {
		return err
	}
	next := bad.Next
	if next == verifyNext { // this is it
		next = restoreNext
	}
	if f := (ledger.Finding{Origin: origin, Class: ledger.Damaged, What: bad.What, Next: next}); !slices.Contains(r.Findings, f) {
		r.Findings = append(r.Findings, f)
	}
	return nil
}

// opened makes sure that a book without its opening entry, whose zone nobody knows, is never called sound.
func (r *Report) opened(b *Book) {
	if b.zone == nil {
		r.Findings = append(r.Findings, ledger.Finding{Origin: b.origin, Seq: 1, Class: ledger.Damaged, What: "the entry that opens the book cannot be read, so nothing derived was compared", Next: restoreNext})
	}
}

// snapshot runs f while the book stands still for this connection, whoever else writes.
func (b *Book) snapshot(ctx context.Context, f func() error) error {
	if b.batch || b.readsOneState() {
		return f()
	}
	if _, err := b.conn.ExecContext(ctx, `BEGIN`); err != nil {
		return b.explain("read the book", err)
	}
	defer func() { _, _ = b.conn.ExecContext(context.WithoutCancel(ctx), `ROLLBACK`) }() // nothing was written
	return f()
}

// Heads computes size and root of every ledger in the book, from the bytes of its entries.
func (b *Book) Heads(ctx context.Context) (heads []ledger.Head, err error) {
	origins, err := b.Origins(ctx)
	if err != nil {
		return nil, err
	}
	for _, o := range origins {
		head, found, err := ledger.Verify(o, b.Rows(ctx, o, 1, 0))
		if err != nil {
			return nil, err
		}
		if len(found) > 0 {
			return nil, &UnusableError{Damaged: true, What: fmt.Sprintf("entry %s of the book is damaged: %s", ledger.Ref(o, found[0].Seq), found[0].What), Next: verifyNext}
		}
		heads = append(heads, head)
	}
	return heads, nil
}

// worthSplitting is the number of entries from which two connections are faster than one.
const worthSplitting = 5000

// verifyOrigin checks one ledger, in two halves side by side if it is long.
func (b *Book) verifyOrigin(ctx context.Context, origin string, into *sums) (*ledger.Chain, error) {
	all := part{origin: origin, chain: ledger.NewChain(origin, 1), sums: into, refs: newRefs(b.refs.names), first: math.MinInt64 + 1}
	size, err := b.Size(ctx, origin)
	if err != nil {
		return all.chain, errors.Join(err, b.verifyPart(ctx, all))
	}
	all.last = size
	if size < worthSplitting {
		return all.chain, b.verifyPart(ctx, all)
	}
	other, err := b.Further(ctx)
	if err != nil {
		return all.chain, err
	}
	half := all
	half.chain, half.sums, half.refs, half.first = ledger.NewChain(origin, 0), into.sibling(), newRefs(b.refs.names), size/2+1
	all.last = size / 2
	done := make(chan error, 1)
	go func() { done <- other.verifyPart(ctx, half) }()
	err = b.verifyPart(ctx, all)
	err = errors.Join(err, <-done)
	into.join(half.sums)
	all.chain.Join(half.chain)
	return all.chain, err
}

// part is a stretch of one ledger to verify: from seq first to seq last, or as far as can be read if last is 0.
type part struct {
	origin      string
	first, last int64
	chain       *ledger.Chain
	sums        *sums
	refs        *refs // its own, because deriving gives out numbers
}

// maxUnreadable is how many entries in a row are tried and named where the file cannot be read (company choice).
const maxUnreadable = 100_000

// verifyPart goes on behind rows that cannot be read.
func (b *Book) verifyPart(ctx context.Context, p part) error {
	for failed := 0; ; {
		reached, err := b.verifyRows(ctx, p)
		bad, ok := errors.AsType[*UnusableError](err)
		if !ok || !bad.Damaged {
			return err
		}
		if reached >= p.first {
			failed = 0
		}
		if failed++; failed > maxUnreadable || p.last == 0 || reached >= p.last {
			return err
		}
		next := max(reached+1, 1)
		p.chain.Unreadable(next)
		p.first = next + 1
	}
}

const unknownNext = "install the version of ringtrue that wrote it; if none did, ask who put it there"

// verifyRows returns the last seq it read.
func (b *Book) verifyRows(ctx context.Context, p part) (reached int64, err error) {
	d := deriver{b.zone, p.refs}
	reached = p.first - 1
	for row, err := range b.Rows(ctx, p.origin, p.first, p.last) {
		if err != nil {
			return reached, err
		}
		reached = row.Seq
		h, ok := p.chain.Add(row)
		if !ok {
			continue
		}
		if err := ledger.Canonical(row.Body); err != nil {
			p.chain.Damage(h.Seq, "its bytes are not as ringtrue writes them: "+err.Error())
		}
		if len(row.Body) > ledger.MaxCatalogue {
			p.chain.Damage(h.Seq, fmt.Sprintf("it has %d bytes, more than the %d that any entry may have", len(row.Body), ledger.MaxCatalogue))
		}
		if !kinds[h.Kind] {
			p.chain.Findings = append(p.chain.Findings, ledger.Finding{Origin: h.Origin, Seq: h.Seq, Class: ledger.NotTrusted,
				What: fmt.Sprintf("it is of the kind %q, which this version does not know, so no answer heeds it", h.Kind), Next: unknownNext})
		}
		if err := p.sums.keys.Take(h); err != nil {
			p.chain.Damage(h.Seq, err.Error())
		}
		if b.zone == nil {
			continue
		}
		if err := p.sums.entry(d, h); err != nil {
			p.chain.Damage(h.Seq, err.Error())
		}
	}
	return reached, nil
}

// sums add up what is derived, by subject, in a way that does not depend on order, so that parts can be summed
// apart. The hash is seeded anew in each run: nobody can prepare rows that happen to add up.
type sums struct {
	seed        maphash.Seed
	facts       map[string]*uint64
	subject     string  // whose sum was added to last: often it is the same again
	sum         *uint64 // nil before the first
	struck      map[training.Ref]strike
	commitments map[string]commitment // by person id
	keys        *ledger.Keys
	newest      map[int64]int64 // by number of a ledger, the last entry that derived rows come from
	disorder    bool            // packed rows are not numbered from 1 on: what is added later would not come behind them
}

// commitment is what a worker entry says about a name.
type commitment struct {
	origin string
	seq    int64
	hash   string
}

func newSums() *sums { return (&sums{seed: maphash.MakeSeed()}).sibling() }

func (s *sums) sibling() *sums {
	return &sums{seed: s.seed, facts: map[string]*uint64{}, struck: map[training.Ref]strike{}, commitments: map[string]commitment{}, keys: ledger.NewKeys(), newest: map[int64]int64{}}
}

func (s *sums) join(o *sums) {
	for subject, n := range o.facts {
		*s.of(subject) += *n
	}
	for _, st := range o.struck {
		s.strike(st)
	}
	maps.Copy(s.commitments, o.commitments)
	s.keys.Join(o.keys)
}

func (s *sums) entry(d deriver, h ledger.Header) error {
	derived, err := d.derive(h)
	if err != nil {
		return err
	}
	for _, r := range derived.facts {
		s.fact(r.subject, r.topic, r.fact)
	}
	if derived.strike != nil {
		s.strike(*derived.strike)
	}
	if h.Kind == training.KindWorker {
		s.commitments[h.Worker] = commitment{h.Origin, h.Seq, field(h, "commitment")}
	}
	return nil
}

func (s *sums) fact(subject, topic string, f training.Fact) {
	var buf [256]byte
	b := append(append(buf[:0], topic...), 0)
	*s.of(subject) += maphash.Bytes(s.seed, pack(b, f))
}

// packed adds the facts of a row as they are stored.
func (s *sums) packed(subject, topic string, row []byte) error {
	var buf [256]byte
	b := append(append(buf[:0], topic...), 0)
	head := len(b)
	for len(row) > 0 {
		n := packedLen(row)
		if n == 0 {
			return errPacked
		}
		ref := packedEntry(row)
		s.newest[ref>>seqBits] = max(s.newest[ref>>seqBits], ref&(1<<seqBits-1))
		b = append(b[:head], row[:n]...)
		*s.of(subject) += maphash.Bytes(s.seed, b)
		row = row[n:]
	}
	return nil
}

// of is the sum of a subject.
func (s *sums) of(subject string) *uint64 {
	if s.sum != nil && s.subject == subject {
		return s.sum
	}
	n, ok := s.facts[subject]
	if !ok {
		n = new(uint64)
		s.facts[subject] = n
	}
	s.subject, s.sum = subject, n
	return n
}

// strike keeps the earliest strike of an entry, as the derived table does.
func (s *sums) strike(st strike) {
	old, ok := s.struck[st.entry]
	if !ok || st.recorded < old.recorded || st.recorded == old.recorded && st.by < old.by {
		s.struck[st.entry] = st
	}
}

// verifyDerived compares the derived rows with what the entries give.
func (b *Book) verifyDerived(ctx context.Context, want *sums, rep *Report) error {
	if b.zone == nil {
		return nil
	}
	got := want.sibling()
	if err := b.derivedDamage(b.sumDerived(ctx, got)); err != nil {
		return err
	}
	numbered, err := b.numbered(ctx)
	if err == nil && numbered {
		err = b.verifyEnds(ctx, got, rep)
	}
	if err != nil {
		return err
	}
	next := rebuildNext
	if !rep.Copyable() {
		next = restoreNext // rebuilding needs every entry
	}
	if !numbered {
		rep.find(b.origin, ledger.Damaged, "the numbers of the ledgers in the table origin were changed", next)
	}
	for _, subject := range differing(plain(want.facts), plain(got.facts)) {
		rep.find(b.origin, ledger.Damaged, fmt.Sprintf("the derived rows about %s are not what the entries give", named(subject)), next)
	}
	if got.disorder {
		rep.find(b.origin, ledger.Damaged, "the derived rows are not numbered as ringtrue numbers them", next)
	}
	for _, entry := range differing(want.struck, got.struck) {
		rep.find(b.origin, ledger.Damaged, fmt.Sprintf("the derived row of strikes of %s is not what the entries give", b.Name(entry)), next)
	}
	return nil
}

// verifyEnds looks for ledgers that end before the entries that derived rows come from: whoever cuts off the newest
// entries may forget those rows, and filling them again would wipe out the trace.
func (b *Book) verifyEnds(ctx context.Context, got *sums, rep *Report) error {
	origins, err := b.Origins(ctx)
	if err != nil || slices.ContainsFunc(origins, func(o string) bool { return !slices.Contains(b.stored, o) }) {
		return err // the numbers of the ledgers were edited, so no row tells whose it is
	}
	for n, name := range b.stored {
		size, err := b.Size(ctx, name)
		if err != nil {
			return err
		}
		if last := got.newest[int64(n)+1]; last > size {
			rep.Findings = append(rep.Findings, ledger.Finding{Origin: name, Seq: size + 1, Class: ledger.Damaged,
				What: fmt.Sprintf("rows derived from entry %d are there, but the ledger ends before this one: the newest entries were cut off, or those rows edited", last), Next: restoreNext})
		}
	}
	return nil
}

// numbered reports whether the ledgers have the numbers 1, 2, 3 … in the order of their names: by other ones, rows lead to
// other entries than they should, or those derived later do.
func (b *Book) numbered(ctx context.Context) (bool, error) {
	var first, last, n int64
	if err := b.one(ctx, []any{&first, &last, &n}, `SELECT coalesce(min(id), 1), coalesce(max(id), 0), count(*) FROM origin`); err != nil {
		return false, err
	}
	origins, err := b.Origins(ctx)
	slices.SortFunc(origins, func(x, y string) int { return cmp.Compare(b.refs.number(x), b.refs.number(y)) })
	return first == 1 && last == n && slices.IsSorted(origins), err
}

func plain(sums map[string]*uint64) map[string]uint64 {
	out := map[string]uint64{}
	for subject, n := range sums {
		out[subject] = *n
	}
	return out
}

func named(subject string) string {
	if subject == Everything {
		return "the book"
	}
	return subject
}

// differing lists the keys under which two maps do not hold the same, in order.
func differing[K cmp.Ordered, V comparable](a, b map[K]V) []K {
	var keys []K
	for k, v := range a {
		if w, ok := b[k]; !ok || v != w {
			keys = append(keys, k)
		}
	}
	for k := range b {
		if _, ok := a[k]; !ok {
			keys = append(keys, k)
		}
	}
	slices.Sort(keys)
	return keys
}

func (b *Book) sumDerived(ctx context.Context, into *sums) error {
	var subject, topic, lastSubject, lastTopic string
	var part, parts int64
	var packed sql.RawBytes
	err := b.each(ctx, []any{&subject, &topic, &part, &packed}, func() error {
		if parts++; subject != lastSubject || topic != lastTopic {
			lastSubject, lastTopic, parts = subject, topic, 1
		}
		into.disorder = into.disorder || part != parts || len(packed) == 0
		return into.packed(subject, topic, packed)
	}, `SELECT subject, topic, part, facts FROM fact ORDER BY subject, topic, part`)
	if err != nil {
		return err
	}
	var entry, by, recorded int64
	return b.each(ctx, []any{&entry, &by, &recorded}, func() error {
		into.struck[training.Ref(entry)] = strike{training.Ref(entry), training.Ref(by), recorded}
		return nil
	}, `SELECT entry, "by", recorded FROM struck`)
}

// verifyTables has SQLite check the small tables with an index: the other ones are read whole, row by row.
func (b *Book) verifyTables(ctx context.Context, _ *sums, rep *Report) error {
	tables := []string{"device", "origin", "person"}
	if b.version > 1 {
		tables = append(tables, "sealed", "device_key")
	}
	for _, table := range tables {
		var said string
		if err := b.one(ctx, []any{&said}, `PRAGMA integrity_check(`+table+`)`); err != nil {
			return err
		}
		if said != "ok" {
			rep.find(b.origin, ledger.Damaged, fmt.Sprintf("the table %s is damaged: %s", table, said), restoreNext)
		}
	}
	return nil
}
