package ledger

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"time"

	"golang.org/x/mod/sumdb/tlog"
)

// Head is size and root of one origin's ledger.
type Head struct {
	Origin string
	Size   int64
	Root   [32]byte
}

// Class says what a finding means.
type Class string

// Classes of findings.
const (
	Harmless   Class = "harmless"    // to be mended by a command, no answer is wrong
	Damaged    Class = "damaged"     // the record is not what was written
	NotTrusted Class = "not trusted" // it stands there whole, but a signature is wrong or nothing says where it came from
)

// Finding is one thing that verification found, at one entry (Seq 0: the ledger as a whole).
type Finding struct {
	Origin string
	Seq    int64
	Class  Class
	What   string
	Next   string // what to do
}

// restore is the next step after damage: nothing in the file can mend it.
const restore = "move this file aside and keep it, then go on from a backup: ringtrue book restore BACKUP"

// distrust is the next step where a signature is wrong: the entry itself may be as it was written.
const distrust = "do not rely on that signature: ask the person whose key it names, and compare with a backup"

// maxNamed is how many missing entries in a row are named one by one; the rest of a longer gap is named as a whole,
// because one damaged number can open a gap of any length (company choice).
const maxNamed = 1000

// Chain checks the rows of one origin one after the other, in the order of seq. It goes on past damage. Parts of a
// ledger may be checked apart, at the same time, and joined: the findings are the same.
type Chain struct {
	Findings []Finding
	Signed   []int64 // seq of the entries whose signatures are to be checked, once all keys are known

	origin   string
	expect   int64     // seq of the next row
	begin    int64     // seq of the first row
	start    time.Time // recorded, of the first sound row
	startSeq int64
	recorded time.Time // recorded, of the last sound row
	read     headers
	tree     Roots
	leaves   [][][32]byte // in blocks: of a part, whose place in the tree is not known yet
	part     bool
}

// leafBlock is how many leaves of a part stand together, so that keeping them copies none (company choice).
const leafBlock = 4096

// NewChain starts the check of an origin at seq first: 1, or 0 for a part that begins wherever its rows do.
func NewChain(origin string, first int64) *Chain {
	return &Chain{origin: origin, expect: first, part: first == 0}
}

// Add checks one row and returns its header; ok is false when the entry is damaged and must not be read.
func (c *Chain) Add(r Row) (h Header, ok bool) {
	c.reach(r.Seq)
	leaf := Leaf(r.Body)
	c.leaf(leaf)
	if leaf != r.Leaf {
		c.Damage(r.Seq, "its bytes do not give the leaf hash stored beside them")
		return Header{}, false
	}
	h, err := c.read.read(r.Body)
	if err != nil {
		c.Damage(r.Seq, err.Error())
		return Header{}, false
	}
	return h, c.place(r, h)
}

func (c *Chain) leaf(leaf [32]byte) {
	if !c.part {
		c.tree.Add(leaf)
		return
	}
	last := len(c.leaves) - 1
	if last < 0 || len(c.leaves[last]) == leafBlock {
		c.leaves = append(c.leaves, make([][32]byte, 0, leafBlock))
		last++
	}
	c.leaves[last] = append(c.leaves[last], leaf)
}

// Unreadable notes an entry whose row cannot be read at all.
func (c *Chain) Unreadable(seq int64) {
	c.reach(seq)
	c.Damage(seq, "its row in the file cannot be read")
}

// Damage notes what is wrong with an entry.
func (c *Chain) Damage(seq int64, what string) {
	c.Findings = append(c.Findings, Finding{c.origin, seq, Damaged, what, restore})
}

// Untrusted is the finding that the signature of an entry cannot be trusted.
func Untrusted(origin string, seq int64, why error) Finding {
	return Finding{origin, seq, NotTrusted, why.Error(), distrust}
}

// reach moves to seq; everything skipped is missing.
func (c *Chain) reach(seq int64) {
	if c.begin == 0 {
		c.begin = seq
	}
	if c.expect == 0 {
		c.expect = seq
	}
	c.missing(seq)
	c.expect = max(c.expect, seq+1)
}

func (c *Chain) missing(before int64) {
	for n := 0; c.expect < before && n < maxNamed; n++ {
		c.Damage(c.expect, "the entry is missing")
		c.expect++
	}
	if c.expect < before {
		c.Damage(c.expect, fmt.Sprintf("this entry and all after it to %d are missing", before-1))
	}
}

// place checks that the row stands where its bytes say, and that time does not run back.
func (c *Chain) place(r Row, h Header) bool {
	if h.Origin != r.Origin || h.Seq != r.Seq || r.Origin != c.origin {
		c.Damage(r.Seq, fmt.Sprintf("its bytes say it is %s", Ref(h.Origin, h.Seq)))
		return false
	}
	if c.start.IsZero() {
		c.start, c.startSeq = h.Recorded, r.Seq
	}
	c.time(r.Seq, h.Recorded)
	switch {
	case h.Key != "" && len(r.Sig) == 0:
		c.Damage(r.Seq, missingSignature(h).Error()) // it was there once: the bytes name its key
	case h.Key != "" || len(r.Sig) > 0 || NeedsSignature(h.Kind):
		c.Signed = append(c.Signed, r.Seq)
	}
	return true
}

// time compares with the last sound entry only, so that each step back is named once.
func (c *Chain) time(seq int64, recorded time.Time) {
	if recorded.Before(c.recorded) {
		c.Damage(seq, fmt.Sprintf("recorded at %s, before the entry ahead of it", recorded.Format(time.RFC3339)))
	}
	c.recorded = recorded
}

// Join appends the check of the part that follows, which began with NewChain(origin, 0).
func (c *Chain) Join(next *Chain) {
	if next.begin == 0 {
		return
	}
	c.missing(next.begin)
	if !next.start.IsZero() {
		c.time(next.startSeq, next.start)
		c.recorded = next.recorded
	}
	c.Findings, c.Signed = append(c.Findings, next.Findings...), append(c.Signed, next.Signed...)
	slices.SortStableFunc(c.Findings, func(a, b Finding) int { return cmp.Compare(a.Seq, b.Seq) })
	for _, block := range next.leaves {
		for _, l := range block {
			c.leaf(l)
		}
	}
	c.expect = next.expect
}

// Head gives the head over all rows added and joined.
func (c *Chain) Head() Head { return Head{c.origin, c.tree.Size(), c.tree.Root()} }

// Roots computes an RFC 9162 root from leaf hashes fed one by one, with the stack of §2.1.2.
type Roots struct {
	stack []tlog.Hash
	size  int64
}

// Add takes the next leaf hash.
func (t *Roots) Add(leaf [32]byte) {
	t.stack = append(t.stack, leaf)
	for n := t.size; n&1 == 1; n >>= 1 {
		last := len(t.stack) - 1
		t.stack[last-1] = tlog.NodeHash(t.stack[last-1], t.stack[last])
		t.stack = t.stack[:last]
	}
	t.size++
}

// Size is the number of leaves so far.
func (t *Roots) Size() int64 { return t.size }

// Root is the root over the leaves so far; the empty tree has the hash of the empty string.
func (t *Roots) Root() [32]byte {
	if t.size == 0 {
		h, _ := tlog.TreeHash(0, nil)
		return h
	}
	root := t.stack[len(t.stack)-1]
	for i := len(t.stack) - 2; i >= 0; i-- {
		root = tlog.NodeHash(t.stack[i], root)
	}
	return root
}

// Verify checks the rows of one origin and returns its head and all findings. The error is the sequence's own.
func Verify(origin string, rows iter.Seq2[Row, error]) (Head, []Finding, error) {
	c := NewChain(origin, 1)
	for r, err := range rows {
		if err != nil {
			return c.Head(), c.Findings, err
		}
		c.Add(r)
	}
	return c.Head(), c.Findings, nil
}
