package ledger

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/mod/sumdb/tlog"
)

// MaxProof bounds the text of a proof that is read: a catalogue in base64 and its seal (company choice).
const MaxProof = 2 << 20

const (
	proofTitle  = "c2sp.org/tlog-proof@v1" // C2SP tlog-proof (commit 5ba5ee8), Format
	maxPath     = 63                       // hashes from a leaf to the root of the largest tree whose size fits 63 bits
	extraPrefix = "extra "
	indexPrefix = "index "
)

// Proof is a C2SP tlog-proof: that one entry is in the ledger of a seal, shown without the other entries. The entry
// and the verifier key travel in its extra line, which proves nothing by itself: the entry is bound by the hashes,
// and the key must be compared with one that was told on another way.
type Proof struct {
	Entry    []byte // its bytes
	Verifier string // key named by whoever made the proof
	Seq      int64  // place of the entry, from 1; the file counts from 0
	Path     [][32]byte
	Seal     []byte
}

// Leaves reads hashes of the tree over leaves as golang.org/x/mod/sumdb/tlog asks for them.
type Leaves [][32]byte

// ReadHashes implements tlog.HashReader.
func (l Leaves) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	out := make([]tlog.Hash, len(indexes))
	for i, x := range indexes {
		level, n := tlog.SplitStoredHashIndex(x)
		first, last := n<<level, (n+1)<<level
		if last > int64(len(l)) {
			return nil, fmt.Errorf("the tree has %d leaves, not %d", len(l), last)
		}
		out[i] = l[first:last].Root()
	}
	return out, nil
}

// Root is the root over the leaves.
func (l Leaves) Root() [32]byte {
	var r Roots
	for _, leaf := range l {
		r.Add(leaf)
	}
	return r.Root()
}

// Prove shows that entry seq, whose bytes are body, is among the leaves of the seal.
func Prove(l Leaves, seq int64, body []byte, s Seal) (Proof, error) {
	p := Proof{Entry: body, Verifier: s.Verifier, Seq: seq, Seal: s.Text}
	if seq < 1 || seq > s.Size || s.Size != int64(len(l)) {
		return p, fmt.Errorf("prove entry %d: the seal covers entries 1 to %d, and %d are here", seq, s.Size, len(l))
	}
	path, err := tlog.ProveRecord(s.Size, seq-1, l)
	for _, h := range path {
		p.Path = append(p.Path, h)
	}
	return p, err
}

// extra is the JSON of the extra line.
func (p Proof) extra() []byte {
	verifier, _ := json.Marshal(p.Verifier) // a string always has a JSON form
	return bytes.Join([][]byte{[]byte(`{"entry":`), p.Entry, []byte(`,"verifier":`), verifier, []byte(`}`)}, nil)
}

// Format writes the proof.
func (p Proof) Format() []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\n%s%s\n%s%d\n", proofTitle, extraPrefix, base64.StdEncoding.EncodeToString(p.extra()), indexPrefix, p.Seq-1)
	for _, h := range p.Path {
		fmt.Fprintln(&b, base64.StdEncoding.EncodeToString(h[:]))
	}
	b.WriteByte('\n')
	b.Write(p.Seal)
	return b.Bytes()
}

// ReadProof reads a proof. It checks the form only; see Check.
func ReadProof(text []byte) (p Proof, err error) {
	if len(text) > MaxProof {
		return p, fmt.Errorf("read the proof: %d bytes, more than the %d allowed", len(text), MaxProof)
	}
	head, seal, ok := strings.Cut(string(text), "\n\n")
	lines := strings.Split(head, "\n")
	if !ok || len(lines) < 2 || lines[0] != proofTitle {
		return p, fmt.Errorf("read the proof: it does not begin with %s and end with a seal", proofTitle)
	}
	if !strings.HasPrefix(lines[1], extraPrefix) || len(lines) < 3 {
		return p, errors.New("read the proof: it does not carry the entry that it proves")
	}
	p.Seal = []byte(seal)
	if err = p.readExtra(lines[1][len(extraPrefix):]); err == nil {
		err = p.readPath(lines[2:])
	}
	if err != nil {
		err = fmt.Errorf("read the proof: %w", err)
	}
	return p, err
}

func (p *Proof) readExtra(line string) error {
	extra, err := base64.StdEncoding.Strict().DecodeString(line)
	if err != nil {
		return fmt.Errorf("its extra line is not base64: %w", err)
	}
	if !utf8.Valid(extra) {
		return errors.New("its extra line is not UTF-8")
	}
	rest, err := eachMember(extra, func(name, value []byte) error {
		switch {
		case string(name) == "entry" && p.Entry == nil:
			p.Entry = value
			return nil
		case string(name) == "verifier" && p.Entry != nil && p.Verifier == "":
			p.Verifier, err = text(value)
			return err
		}
		return fmt.Errorf("its extra line holds %q out of place", name)
	})
	if err == nil && (len(rest) > 0 || p.Entry == nil) {
		err = errForm
	}
	return err
}

func (p *Proof) readPath(lines []string) error {
	number, ok := strings.CutPrefix(lines[0], indexPrefix)
	n, err := strconv.ParseInt(number, 10, 64)
	if !ok || err != nil || n < 0 || strconv.FormatInt(n, 10) != number || n == 1<<63-1 {
		return errors.New("it does not say the place of its entry")
	}
	if len(lines)-1 > maxPath {
		return fmt.Errorf("%d hashes, more than any tree needs", len(lines)-1)
	}
	p.Seq = n + 1
	for _, line := range lines[1:] {
		h, err := base64.StdEncoding.Strict().DecodeString(line)
		if err != nil || len(h) != 32 {
			return fmt.Errorf("%q is not a hash in base64", line)
		}
		p.Path = append(p.Path, [32]byte(h))
	}
	return nil
}

// Check checks the proof: the entry stands at its place in the ledger of the seal, and the seal is signed by
// verifier, or by the key that the proof itself names where verifier is "".
func (p Proof) Check(verifier string) (Header, Seal, error) {
	if verifier == "" {
		verifier = p.Verifier
	}
	h, err := ReadHeader(p.Entry)
	if err != nil {
		return h, Seal{}, fmt.Errorf("check the proof: %w", err)
	}
	s, err := ReadSeal(p.Seal, verifier)
	switch {
	case err != nil:
		return h, s, fmt.Errorf("check the proof: %w", err)
	case s.Verifier == "":
		return h, s, fmt.Errorf("check the proof: its seal is not signed by the key %s", verifier)
	case h.Origin != s.Origin || h.Seq != p.Seq:
		return h, s, fmt.Errorf("check the proof: its entry says it is %s, the proof is for %s", Ref(h.Origin, h.Seq), Ref(s.Origin, p.Seq))
	}
	path := make(tlog.RecordProof, len(p.Path))
	for i, hash := range p.Path {
		path[i] = hash
	}
	if err := tlog.CheckRecord(path, s.Size, s.Root, p.Seq-1, Leaf(p.Entry)); err != nil {
		return h, s, errors.New("check the proof: its hashes do not lead from the entry to the root of the seal")
	}
	return h, s, nil
}
