package store

import (
	"context"
	"fmt"
	"hash/maphash"
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

// Verify recomputes every leaf and the root of every ledger in the book, derives every fact again and compares it
// with the derived rows, and checks names against their commitments. It goes on past damage and names each damaged
// entry. Without a seal it cannot see that the newest entries were cut off.
func (b *Book) Verify(ctx context.Context) (Report, error) {
	var rep Report
	origins, err := b.Origins(ctx)
	if err != nil {
		return rep, err
	}
	sums := newSums()
	for _, o := range origins {
		chain, err := b.verifyOrigin(ctx, o, sums)
		if err != nil {
			return rep, err
		}
		rep.Heads = append(rep.Heads, chain.Head())
		rep.Findings = append(rep.Findings, chain.Findings...)
		rep.Entries += rep.Heads[len(rep.Heads)-1].Size
	}
	if b.zone != nil {
		found, err := b.verifyDerived(ctx, sums)
		if err != nil {
			return rep, err
		}
		rep.Findings = append(rep.Findings, found...)
	}
	found, err := b.verifyNames(ctx, sums.commitments)
	rep.Findings = append(rep.Findings, found...)
	if err != nil {
		return rep, err
	}
	found, err = b.verifyTriggers(ctx)
	rep.Findings = append(rep.Findings, found...)
	return rep, err
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
			return nil, &UnusableError{Damaged: true, What: fmt.Sprintf("entry %s of the book is damaged: %s", ledger.Ref(o, found[0].Seq), found[0].What), Next: "see the whole extent: ringtrue book verify"}
		}
		heads = append(heads, head)
	}
	return heads, nil
}

// worthSplitting is the number of entries from which two connections are faster than one.
const worthSplitting = 5000

// verifyOrigin checks one ledger, in two halves side by side if it is long.
func (b *Book) verifyOrigin(ctx context.Context, origin string, into *sums) (*ledger.Chain, error) {
	size, err := b.Size(ctx, origin)
	if err != nil || size < worthSplitting {
		chain := ledger.NewChain(origin, 1)
		if err == nil {
			err = b.verifyPart(ctx, chain, origin, 1, size, into)
		}
		return chain, err
	}
	other, err := b.Further(ctx)
	if err != nil {
		return nil, err
	}
	half := size / 2
	first, last := ledger.NewChain(origin, 1), ledger.NewChain(origin, half+1)
	second := into.sibling()
	done := make(chan error, 1)
	go func() { done <- other.verifyPart(ctx, last, origin, half+1, size, second) }()
	err = b.verifyPart(ctx, first, origin, 1, half, into)
	if otherErr := <-done; err == nil {
		err = otherErr
	}
	into.join(second)
	first.ReachedBefore(half + 1)
	first.Join(last)
	return first, err
}

func (b *Book) verifyPart(ctx context.Context, chain *ledger.Chain, origin string, first, last int64, into *sums) error {
	d := deriver{b.zone, b.refs}
	for row, err := range b.Rows(ctx, origin, first, last) {
		if err != nil {
			return err
		}
		h, ok := chain.Add(row)
		if !ok || b.zone == nil {
			continue
		}
		if err := into.entry(d, h); err != nil {
			chain.Findings = append(chain.Findings, ledger.Finding{Origin: origin, Seq: h.Seq, Class: ledger.Damaged, What: err.Error(), Next: restoreNext})
		}
	}
	return nil
}

// sums add up what is derived, by subject, in a way that does not depend on order, so that parts can be summed
// apart. The hash is seeded anew in each run: nobody can prepare rows that happen to add up.
type sums struct {
	seed        maphash.Seed
	facts       map[string]uint64
	struck      uint64
	commitments map[string]string // person id -> commitment
}

func newSums() *sums {
	return &sums{seed: maphash.MakeSeed(), facts: map[string]uint64{}, commitments: map[string]string{}}
}

func (s *sums) sibling() *sums {
	return &sums{seed: s.seed, facts: map[string]uint64{}, commitments: map[string]string{}}
}

func (s *sums) join(o *sums) {
	for subject, n := range o.facts {
		s.facts[subject] += n
	}
	for id, c := range o.commitments {
		s.commitments[id] = c
	}
	s.struck += o.struck
}

func (s *sums) entry(d deriver, h ledger.Header) error {
	rows, st, err := d.derive(h)
	if err != nil {
		return err
	}
	for _, r := range rows {
		s.fact(r.subject, r.topic, r.fact)
	}
	if st != nil {
		s.strike(*st)
	}
	if h.Kind == training.KindWorker {
		s.commitments[h.Worker] = field(h, "commitment")
	}
	return nil
}

func (s *sums) fact(subject, topic string, f training.Fact) {
	var buf [256]byte
	b := append(append(buf[:0], topic...), 0)
	s.facts[subject] += maphash.Bytes(s.seed, pack(b, f))
}

func (s *sums) strike(st strike) {
	s.struck += maphash.Comparable(s.seed, st)
}

const rebuildNext = "refill the derived rows: ringtrue book rebuild"

// verifyDerived compares the derived rows with what the entries give.
func (b *Book) verifyDerived(ctx context.Context, want *sums) (found []ledger.Finding, err error) {
	bad := func(what string) {
		found = append(found, ledger.Finding{Origin: b.origin, Class: ledger.Damaged, What: what, Next: rebuildNext})
	}
	got := want.sibling()
	err = b.sumDerived(ctx, got)
	if damaged := b.derivedDamage(err); damaged != err {
		bad(damaged.Error())
		return found, nil
	}
	if err != nil {
		return nil, err
	}
	for _, subject := range subjects(want.facts, got.facts) {
		if want.facts[subject] != got.facts[subject] {
			bad(fmt.Sprintf("the derived rows about %s are not what the entries give", named(subject)))
		}
	}
	if want.struck != got.struck {
		bad("the derived list of struck entries is not what the entries give")
	}
	return found, nil
}

func named(subject string) string {
	if subject == Everything {
		return "the book"
	}
	return subject
}

func subjects(a, b map[string]uint64) []string {
	var all []string
	for s := range a {
		all = append(all, s)
	}
	for s := range b {
		if _, ok := a[s]; !ok {
			all = append(all, s)
		}
	}
	slices.Sort(all)
	return all
}

func (b *Book) sumDerived(ctx context.Context, into *sums) error {
	var subject, topic string
	var packed []byte
	var facts []training.Fact
	err := b.each(ctx, []any{&subject, &topic, &packed}, func() (err error) {
		if facts, err = unpack(facts[:0], packed); err != nil {
			return err
		}
		for _, f := range facts {
			into.fact(subject, topic, f)
		}
		return nil
	}, `SELECT subject, topic, facts FROM fact`)
	if err != nil {
		return err
	}
	var entry, by, recorded int64
	return b.each(ctx, []any{&entry, &by, &recorded}, func() error {
		into.strike(strike{training.Ref(entry), training.Ref(by), recorded})
		return nil
	}, `SELECT entry, "by", recorded FROM struck`)
}

// verifyNames checks every name against the commitment in its worker entry. A forgotten name is no finding.
func (b *Book) verifyNames(ctx context.Context, commitments map[string]string) (found []ledger.Finding, err error) {
	people, err := b.People(ctx)
	for _, p := range people {
		c, cErr := p.Commitment()
		if want, ok := commitments[p.ID]; !ok && b.zone != nil {
			found = append(found, ledger.Finding{Origin: b.origin, Class: ledger.NotTrusted, What: fmt.Sprintf("no entry names the person %s (%s)", p.Handle, p.ID), Next: "ask who wrote that name; no entry depends on it"})
		} else if ok && (cErr != nil || c != want) {
			found = append(found, ledger.Finding{Origin: b.origin, Class: ledger.Damaged, What: fmt.Sprintf("the name of person %s (%s) is not the one that was recorded", p.Handle, p.ID), Next: restoreNext})
		}
	}
	return found, err
}

// verifyTriggers looks for the triggers that guard the entries against slips. They are no evidence, so their
// absence is harmless.
func (b *Book) verifyTriggers(ctx context.Context) (found []ledger.Finding, err error) {
	var have []string
	var name string
	err = b.each(ctx, []any{&name}, func() error {
		have = append(have, name)
		return nil
	}, `SELECT name FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = 'entry'`)
	for _, want := range []string{"entry_kept", "entry_unchanged", "entry_next"} {
		if err == nil && !slices.Contains(have, want) {
			found = append(found, ledger.Finding{Origin: b.origin, Class: ledger.Harmless, What: "the trigger " + want + " that guards entries against slips is gone", Next: "put it back: ringtrue book rebuild"})
		}
	}
	return found, err
}
