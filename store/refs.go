package store

import (
	"fmt"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// refs gives each origin a small number, so that a ref fits 64 bits: origin number << 40 | seq. The numbers are
// those of the origin table; what a deriver meets beyond the first kept ones is yet to be written there.
type refs struct {
	byName map[string]int64
	names  []string // names[i] has number i+1
	kept   int
}

// seqBits is the part of a ref that holds seq. No ledger grows so long.
const seqBits = 40

func newRefs(names []string) *refs {
	r := &refs{byName: map[string]int64{}}
	for _, n := range names {
		r.number(n)
	}
	r.kept = len(names)
	return r
}

func (r *refs) number(origin string) int64 {
	n, ok := r.byName[origin]
	if !ok {
		r.names = append(r.names, origin)
		n = int64(len(r.names))
		r.byName[origin] = n
	}
	return n
}

func (r *refs) of(origin string, seq int64) training.Ref {
	return training.Ref(r.number(origin)<<seqBits | seq)
}

// known is of for an origin that has a number already.
func (r *refs) known(origin string, seq int64) (training.Ref, bool) {
	n, ok := r.byName[origin]
	return training.Ref(n<<seqBits | seq), ok && seq < 1<<seqBits
}

func (r *refs) parse(s string) (training.Ref, error) {
	origin, seq, err := ledger.ParseRef(s)
	if err == nil && seq >= 1<<seqBits {
		err = fmt.Errorf("%q: no ledger is so long", s)
	}
	if err != nil {
		return 0, err
	}
	return r.of(origin, seq), nil
}

// split turns a ref back into origin and seq.
func (r *refs) split(ref training.Ref) (origin string, seq int64, err error) {
	n := int64(ref) >> seqBits
	if n < 1 || n > int64(len(r.names)) {
		return "", 0, fmt.Errorf("no entry has the ref %d", ref)
	}
	return r.names[n-1], int64(ref) & (1<<seqBits - 1), nil
}
