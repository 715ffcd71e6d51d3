package store

import (
	"hash/maphash"
	"maps"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

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
	// contact is the hash of how to reach the person, "" where an older entry commits to none.
	contact string
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
		s.commitments[h.Worker] = commitment{h.Origin, h.Seq, field(h, "commitment"), field(h, "contact")}
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
