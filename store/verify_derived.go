package store

import (
	"cmp"
	"context"
	"database/sql"
	"fmt"
	"slices"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

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
