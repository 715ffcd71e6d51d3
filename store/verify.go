package store

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/ringtrue/store/ledger"
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
	all.signers = b.signers(ctx)
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
	for _, h := range all.unsigned {
		if err := stripped(all.keys, h); err != nil {
			rep.Findings = append(rep.Findings, ledger.Untrusted(h.Origin, h.Seq, err))
		}
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
