package store

import (
	"fmt"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// refs gives each origin a small number, so that a ref fits 64 bits: origin number << 40 | seq.
type refs struct {
	byName map[string]int64
	names  []string // names[i] has number i+1
}

func newRefs(names []string) *refs {
	r := &refs{byName: map[string]int64{}}
	for _, n := range names {
		r.number(n)
	}
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
	return training.Ref(r.number(origin)<<40 | seq)
}

func (r *refs) parse(s string) (training.Ref, error) {
	origin, seq, err := ledger.ParseRef(s)
	if err != nil {
		return 0, err
	}
	return r.of(origin, seq), nil
}

// split turns a ref back into origin and seq.
func (r *refs) split(ref training.Ref) (origin string, seq int64, err error) {
	n := int64(ref) >> 40
	if n < 1 || n > int64(len(r.names)) {
		return "", 0, fmt.Errorf("no entry has the ref %d", ref)
	}
	return r.names[n-1], int64(ref) & (1<<40 - 1), nil
}
