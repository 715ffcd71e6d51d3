// Package ledger is the record itself: bytes in, answer out. It knows no SQL, no files and no clock.
//
// An entry is one RFC 8785 (JCS) JSON object holding only objects, arrays, strings, booleans and integers, with the
// names
//
//	by        who recorded it: a person id, or "" for the program's own statements
//	data      the record, by kind
//	happened  when it was true: RFC 3339, seconds, with the site's offset
//	key       name of the key that signed it, where it is signed
//	kind      what it records
//	origin    the device whose ledger it belongs to
//	recorded  when the book learned it: RFC 3339, seconds, UTC ("Z"); never decreases within an origin
//	seq       its place in that ledger, from 1
//	skill     the skill it is about, where it is about one
//	worker    the person id it is about, where it is about one
//
// and no others. It is at most 64 KiB, catalogues 1 MiB. Its leaf is SHA-256(0x00 ‖ bytes), and the leaves of one
// origin form one RFC 9162 Merkle tree in the order of seq. Stored bytes are hashed and verified as they are, never
// re-serialised.
package ledger

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/gowebpki/jcs"
	"golang.org/x/mod/sumdb/tlog"
)

// Size limits of one entry in bytes; a catalogue (curriculum, house rules, local rules) may be larger.
const (
	MaxEntry     = 64 << 10
	MaxCatalogue = 1 << 20
)

// Entry is one line of the ledger before it is written.
type Entry struct {
	Origin    string
	Seq       int64
	Kind      string
	Happened  time.Time
	Recorded  time.Time
	By        string
	Worker    string
	Skill     string
	Key       string
	Data      any  // marshals to a JSON object without floats
	Catalogue bool // allows MaxCatalogue
}

// Row is an entry as stored: its exact bytes, its leaf hash and, for signed entries, the signature lines.
type Row struct {
	Origin string
	Seq    int64
	Body   []byte
	Leaf   [32]byte
	Sig    []byte
}

// wire lists the names in the order of RFC 8785, so that its JSON needs no reordering at this level.
type wire struct {
	By       string `json:"by"`
	Data     any    `json:"data"`
	Happened string `json:"happened"`
	Key      string `json:"key,omitempty"`
	Kind     string `json:"kind"`
	Origin   string `json:"origin"`
	Recorded string `json:"recorded"`
	Seq      int64  `json:"seq"`
	Skill    string `json:"skill,omitempty"`
	Worker   string `json:"worker,omitempty"`
}

// Encode fixes the bytes of an entry. It refuses entries that are too large, that hold numbers other than integers
// within ±(2^53-1).
func Encode(e Entry) (Row, error) {
	loose, err := marshal(wire{
		By: e.By, Data: e.Data, Happened: e.Happened.Format(time.RFC3339), Key: e.Key, Kind: e.Kind, Origin: e.Origin,
		Recorded: e.Recorded.UTC().Format(time.RFC3339), Seq: e.Seq, Skill: e.Skill, Worker: e.Worker,
	})
	if err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	body, err := jcs.Transform(loose)
	if err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	if limit := limitOf(e.Catalogue); len(body) > limit {
		return Row{}, fmt.Errorf("encode %s entry: %d bytes, more than the %d allowed", e.Kind, len(body), limit)
	}
	if err := onlyPlainValues(loose); err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	return Row{Origin: e.Origin, Seq: e.Seq, Body: body, Leaf: Leaf(body)}, nil
}

func limitOf(catalogue bool) int {
	if catalogue {
		return MaxCatalogue
	}
	return MaxEntry
}

func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return b.Bytes(), err
}

// Leaf is the RFC 9162 §2.1.1 leaf hash of an entry's bytes.
func Leaf(body []byte) [32]byte { return tlog.RecordHash(body) }

const maxSafe = 1<<53 - 1 // RFC 7493 §2.2

// onlyPlainValues walks the tokens and refuses floats, large integers and names outside ASCII.
func onlyPlainValues(text []byte) error {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	for {
		tok, err := dec.Token()
		if err != nil {
			return nil // the end: the text came from the JSON encoder
		}
		n, isNumber := tok.(json.Number)
		if !isNumber {
			continue
		}
		if i, err := n.Int64(); err != nil || i > maxSafe || i < -maxSafe {
			return fmt.Errorf("number %s is not an integer within ±(2^53-1)", n)
		}
	}
}

// Decode reads the data of an entry into v, refusing names that v does not have in exactly that spelling.
func Decode(data []byte, v any) error {
	if err := exactNames(data, v); err != nil {
		return err
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	return dec.Decode(v)
}

// exactNames closes a gap of encoding/json, which matches names without regard to case: it re-encodes nothing, but
// demands that every top-level name is one that v writes.
func exactNames(data []byte, v any) error {
	var got map[string]json.RawMessage
	if err := json.Unmarshal(data, &got); err != nil {
		return err
	}
	plain, err := marshal(v)
	if err != nil {
		return err
	}
	var known map[string]json.RawMessage
	if json.Unmarshal(plain, &known) != nil {
		return nil // v is not an object; the decoder judges
	}
	var problems []error
	for name := range got {
		if _, ok := known[name]; !ok {
			problems = append(problems, fmt.Errorf("unknown name %q", name))
		}
	}
	return errors.Join(problems...)
}

// Ref writes a reference to an entry, "origin#seq".
func Ref(origin string, seq int64) string { return fmt.Sprintf("%s#%d", origin, seq) }

// ParseRef reads "origin#seq".
func ParseRef(s string) (origin string, seq int64, err error) {
	origin, num, ok := strings.Cut(s, "#")
	if _, scanErr := fmt.Sscanf(num, "%d", &seq); !ok || scanErr != nil || seq < 1 || Ref(origin, seq) != s {
		return "", 0, fmt.Errorf("%q is not a reference to an entry", s)
	}
	return origin, seq, nil
}
