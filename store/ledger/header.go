package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"time"
)

// Header is the part of an entry that every kind has, read straight from its bytes. Data is the span of the record
// inside those bytes. Reading a header allocates little: verification reads millions.
type Header struct {
	By, Key, Kind, Origin, Skill, Worker string
	Happened, Recorded                   time.Time
	Seq                                  int64
	Data                                 []byte
}

var errForm = errors.New("not an entry: its bytes are not the JSON object they should be")

// ReadHeader reads an entry's own names and the span of its data. It demands the canonical order of names, which
// makes duplicates and case variants impossible, and refuses any other name.
func ReadHeader(body []byte) (Header, error) { return (&headers{}).read(body) }

// headers reads one after the other. What stands again as in the entry before is not made anew.
type headers struct {
	last               Header
	happened, recorded instant
}

func (r *headers) read(body []byte) (Header, error) {
	h := Header{}
	var last []byte
	rest, err := eachMember(body, func(name, value []byte) error {
		if bytes.Compare(name, last) <= 0 {
			return fmt.Errorf("name %q stands twice or out of order", name)
		}
		last = name
		return r.set(&h, name, value)
	})
	if err != nil {
		return Header{}, err
	}
	if len(rest) != 0 || h.Kind == "" || h.Origin == "" || h.Seq < 1 || h.Data == nil || h.Happened.IsZero() || h.Recorded.IsZero() {
		return Header{}, errForm
	}
	r.last = h
	return h, nil
}

func (r *headers) set(h *Header, name, value []byte) (err error) {
	switch string(name) {
	case "by":
		h.By, err = again(value, r.last.By)
	case "data":
		h.Data = value
	case "happened":
		h.Happened, err = r.happened.read(value)
	case "key":
		h.Key, err = text(value)
	case "kind":
		h.Kind, err = again(value, r.last.Kind)
	case "origin":
		h.Origin, err = again(value, r.last.Origin)
	case "recorded":
		h.Recorded, err = r.recorded.read(value)
	case "seq":
		h.Seq, err = strconv.ParseInt(string(value), 10, 64)
	case "skill":
		h.Skill, err = again(value, r.last.Skill)
	case "worker":
		h.Worker, err = again(value, r.last.Worker)
	default:
		err = fmt.Errorf("unknown name %q", name)
	}
	return err
}

var errFound = errors.New("found")

// Lookup returns the raw JSON value of a top-level name of an object, or nil. Strings keep their quotes. It reads no
// further than the name.
func Lookup(object []byte, name string) []byte {
	var found []byte
	_, err := eachMember(object, func(n, v []byte) error {
		if string(n) == name {
			found = v
			return errFound
		}
		return nil
	})
	if err != errFound {
		return nil
	}
	return found
}

// Text reads a JSON string value; anything else gives "".
func Text(value []byte) string { s, _ := text(value); return s }

// eachMember calls f for the members of a canonical JSON object (no white space) and returns what follows it.
func eachMember(b []byte, f func(name, value []byte) error) ([]byte, error) {
	if len(b) < 2 || b[0] != '{' {
		return nil, errForm
	}
	b = b[1:]
	if b[0] == '}' {
		return b[1:], nil
	}
	for {
		n := skip(b)
		if n < 2 || b[0] != '"' || n >= len(b) || b[n] != ':' {
			return nil, errForm
		}
		name := b[1 : n-1]
		b = b[n+1:]
		if n = skip(b); n == 0 || n >= len(b) {
			return nil, errForm
		}
		if err := f(name, b[:n]); err != nil {
			return nil, err
		}
		switch b[n] {
		case ',':
			b = b[n+1:]
		case '}':
			return b[n+1:], nil
		default:
			return nil, errForm
		}
	}
}

// skip returns the length of the JSON value at the start of b, or 0 if there is none. It trusts nested structure
// (the leaf hash guards it) and finds only where the value ends.
func skip(b []byte) int {
	if len(b) == 0 {
		return 0
	}
	switch b[0] {
	case '"':
		return skipString(b)
	case '{', '[':
		return skipNested(b)
	}
	n := 0
	for n < len(b) && b[n] != ',' && b[n] != '}' && b[n] != ']' {
		n++
	}
	return n
}

func skipString(b []byte) int {
	for i := 1; i < len(b); i++ {
		switch b[i] {
		case '"':
			return i + 1
		case '\\':
			i++
		}
	}
	return 0
}

func skipNested(b []byte) int {
	depth := 0
	for i := 0; i < len(b); i++ {
		switch b[i] {
		case '{', '[':
			depth++
		case '}', ']':
			if depth--; depth == 0 {
				return i + 1
			}
		case '"':
			n := skipString(b[i:])
			if n == 0 {
				return 0
			}
			i += n - 1
		}
	}
	return 0
}
