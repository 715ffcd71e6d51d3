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
	"reflect"
	"strconv"
	"strings"
	"sync"
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
	Signer    Signer // signs the entry and gives Key its name; nil = not signed
	Data      any    // marshals to a JSON object without floats
	Catalogue bool   // allows MaxCatalogue
}

// Row is an entry as stored: its exact bytes, its leaf hash and, for signed entries, the signature lines.
type Row struct {
	Origin string
	Seq    int64
	Body   []byte
	Leaf   [32]byte
	Sig    []byte // see SignEntry; nil = none
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

// Encode fixes the bytes of an entry and signs them, where it has a signer. It refuses entries that are too large,
// that hold numbers other than integers within ±(2^53-1); characters that nobody sees and that move a cursor are left out.
func Encode(e Entry) (Row, error) {
	if e.Signer != nil {
		e.Key = e.Signer.Name()
	}
	loose, err := marshal(wire{
		By: e.By, Data: e.Data, Happened: e.Happened.Format(time.RFC3339), Key: e.Key, Kind: e.Kind, Origin: e.Origin,
		Recorded: e.Recorded.UTC().Format(time.RFC3339), Seq: e.Seq, Skill: e.Skill, Worker: e.Worker,
	})
	if err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	body, err := jcs.Transform(emptyLists(loose))
	if err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	if body, err = printable(body); err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	if limit := limitOf(e.Catalogue); len(body) > limit {
		return Row{}, fmt.Errorf("encode %s entry: %d bytes, more than the %d allowed", e.Kind, len(body), limit)
	}
	if err := onlyIntegers(body); err != nil {
		return Row{}, fmt.Errorf("encode %s entry: %w", e.Kind, err)
	}
	row := Row{Origin: e.Origin, Seq: e.Seq, Body: body, Leaf: Leaf(body)}
	if e.Signer != nil {
		row.Sig, err = SignEntry(body, e.Signer)
	}
	return row, err
}

// emptyLists writes a list that Go left nil as an empty list: the ledger knows no null, and records hold no pointers.
func emptyLists(text []byte) []byte {
	out := make([]byte, 0, len(text))
	for i := 0; i < len(text); {
		n := 1
		switch {
		case text[i] == '"':
			n = skipString(text[i:])
		case bytes.HasPrefix(text[i:], []byte("null")):
			out = append(out, "[]"...)
			i += len("null")
			continue
		}
		out = append(out, text[i:i+n]...)
		i += n
	}
	return out
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

// onlyIntegers refuses floats and integers that not every reader keeps exactly. The text is well-formed JSON.
func onlyIntegers(text []byte) error {
	for i := 0; i < len(text); {
		switch c := text[i]; {
		case c == '"':
			i += skipString(text[i:])
		case c == '-' || (c >= '0' && c <= '9'):
			n := skip(text[i:])
			if v, err := strconv.ParseInt(string(text[i:i+n]), 10, 64); err != nil || v > maxSafe || v < -maxSafe {
				return fmt.Errorf("number %s is not an integer within ±(2^53-1)", text[i:i+n])
			}
			i += n
		default:
			i++
		}
	}
	return nil
}

// Decode reads the data of an entry into v, a pointer to a struct, refusing names that v does not have in exactly
// that spelling: encoding/json alone would match names without regard to case.
func Decode(data []byte, v any) error {
	known, err := namesOf(v)
	if err != nil {
		return err
	}
	var problems []error
	rest, err := eachMember(data, func(name, _ []byte) error {
		if !known[string(name)] {
			problems = append(problems, fmt.Errorf("unknown name %q", name))
		}
		return nil
	})
	if err != nil || len(rest) > 0 {
		return errForm
	}
	if len(problems) > 0 {
		return errors.Join(problems...)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	return dec.Decode(v)
}

// names caches the JSON names of record types.
var names sync.Map // reflect.Type -> map[string]bool

// namesOf lists the JSON names a record type writes.
func namesOf(v any) (map[string]bool, error) {
	t := reflect.TypeOf(v)
	if known, ok := names.Load(t); ok {
		return known.(map[string]bool), nil
	}
	if t.Kind() != reflect.Pointer || t.Elem().Kind() != reflect.Struct {
		return nil, fmt.Errorf("%s cannot hold the data of an entry", t)
	}
	known := map[string]bool{}
	for _, f := range reflect.VisibleFields(t.Elem()) {
		if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "" {
			known[name] = true
		}
	}
	names.Store(t, known)
	return known, nil
}

// Ref writes a reference to an entry, "origin#seq".
func Ref(origin string, seq int64) string { return fmt.Sprintf("%s#%d", origin, seq) }

// ParseRef reads "origin#seq".
func ParseRef(s string) (origin string, seq int64, err error) {
	origin, num, _ := strings.Cut(s, "#")
	seq, err = strconv.ParseInt(num, 10, 64)
	if err != nil || num[0] < '1' || num[0] > '9' { // no sign, no leading zero: one entry has one spelling
		return "", 0, fmt.Errorf("%q is not a reference to an entry", s)
	}
	return origin, seq, nil
}
