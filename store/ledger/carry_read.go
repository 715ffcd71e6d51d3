package ledger

import (
	"bufio"
	"bytes"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// CarryVisitor takes what is read. The bytes of an entry are its own for the time of the call only.
type CarryVisitor struct {
	Header func(CarryHeader) error
	Entry  func(Row, Header) error
	Person func(CarriedPerson) error
	Again  bool // the same bytes were read before: the form of entries is not looked at again
}

// ReadCarry reads a carried file to its end and checks it against itself: the form of every line, every entry's place,
// every root, every seal by the key that stands beside it, and the totals. Whether a key is the right one it cannot know.
func ReadCarry(r io.Reader, v CarryVisitor) error {
	c := &carryReader{lines: bufio.NewReaderSize(r, 1<<16), visit: v}
	err := c.read()
	if err == nil {
		return nil
	}
	return fmt.Errorf("line %d: %w", c.number, err)
}

type carryReader struct {
	lines            *bufio.Reader
	number           int
	buf              []byte
	visit            CarryVisitor
	entries, persons int64
}

func (c *carryReader) read() error {
	line, err := c.next()
	if err != nil {
		return err
	}
	h, err := parseCarryHeader(line)
	if err != nil {
		return err
	}
	if err := c.visit.Header(h); err != nil {
		return err
	}
	for _, l := range h.Ledgers {
		if err := c.ledger(l); err != nil {
			return err
		}
	}
	return c.rest()
}

var errCarryCut = errors.New("the file is cut off")

// next reads a line within the limit.
func (c *carryReader) next() ([]byte, error) {
	c.number++
	c.buf = c.buf[:0]
	for {
		part, err := c.lines.ReadSlice('\n')
		c.buf = append(c.buf, part...)
		if len(c.buf) > MaxCarryLine {
			return nil, fmt.Errorf("longer than the %d bytes allowed", MaxCarryLine)
		}
		switch {
		case err == nil:
			return c.buf[:len(c.buf)-1], nil
		case errors.Is(err, bufio.ErrBufferFull):
		case errors.Is(err, io.EOF):
			return nil, errCarryCut
		default:
			return nil, err
		}
	}
}

// object reads a JSON object whose names are exactly those, each once, in that order.
func object(line []byte, names ...string) ([][]byte, error) {
	var values [][]byte
	rest, err := eachMember(line, func(name, value []byte) error {
		if len(values) >= len(names) || string(name) != names[len(values)] {
			return fmt.Errorf("name %q is not expected there", name)
		}
		values = append(values, value)
		return nil
	})
	if err == nil && (len(rest) > 0 || len(values) != len(names)) {
		err = errors.New("not a line of a carried file")
	}
	return values, err
}

func parseCarryHeader(line []byte) (h CarryHeader, err error) {
	if format := Text(Lookup(line, "format")); format != CarryFormat {
		return h, fmt.Errorf("it is no carried file: the format is %.40q; this version reads %q", format, CarryFormat)
	}
	v, err := object(line, "company", "format", "ledgers", "made", "tool")
	if err != nil {
		return h, err
	}
	h.Company, h.Tool = Text(v[0]), Text(v[4])
	if h.Made, err = moment(v[3]); err != nil {
		return h, err
	}
	var list []json.RawMessage
	if err := json.Unmarshal(v[2], &list); err != nil {
		return h, err
	}
	if len(list) == 0 || len(list) > MaxCarryLedgers {
		return h, fmt.Errorf("%d ledgers; 1 to %d are allowed", len(list), MaxCarryLedgers)
	}
	seen := map[string]bool{}
	for _, one := range list {
		l, err := parseCarriedLedger(one)
		if err != nil {
			return h, err
		}
		if seen[l.Origin] {
			return h, fmt.Errorf("the ledger %s stands twice", l.Origin)
		}
		seen[l.Origin] = true
		h.Ledgers = append(h.Ledgers, l)
	}
	return h, nil
}

func parseCarriedLedger(text []byte) (l CarriedLedger, err error) {
	v, err := object(text, "line", "origin", "root", "size", "stated", "verifier")
	if err != nil {
		return l, err
	}
	l.Line, l.Origin, l.Verifier = Text(v[0]), Text(v[1]), Text(v[5])
	if l.Size, err = strconv.ParseInt(string(v[3]), 10, 64); err != nil || l.Size < 1 || l.Size >= 1<<40 {
		return l, fmt.Errorf("size %s of the ledger %s", v[3], l.Origin)
	}
	if l.Root, err = ParseRoot(Text(v[2])); err != nil {
		return l, err
	}
	if l.Stated, err = moment(v[4]); err != nil {
		return l, err
	}
	if err := sealable(l.Origin); err != nil {
		return l, err
	}
	return l, l.checkSeal()
}

// checkSeal checks the seal by the key that stands beside it.
func (l CarriedLedger) checkSeal() error {
	if l.Line == "" && l.Verifier == "" {
		return nil
	}
	s, err := ReadSeal(JoinSeal(l.Head, l.Line), l.Verifier)
	if err == nil && s.Verifier == "" {
		err = errors.New("not signed by the key named")
	}
	if err != nil {
		return fmt.Errorf("the seal of the ledger %s is not good: %w", l.Origin, err)
	}
	return nil
}

// ledger reads the entries of one ledger.
func (c *carryReader) ledger(l CarriedLedger) error {
	var roots Roots
	var last time.Time
	for roots.Size() < l.Size {
		line, err := c.next()
		if err != nil {
			return err
		}
		row, h, err := parseCarriedEntry(line)
		if err == nil && !c.visit.Again {
			err = Canonical(row.Body)
		}
		if err != nil {
			return err
		}
		if h.Origin != l.Origin || h.Seq != roots.Size()+1 {
			return fmt.Errorf("entry %s stands where %s belongs", Ref(h.Origin, h.Seq), Ref(l.Origin, roots.Size()+1))
		}
		if h.Recorded.Before(last) {
			return fmt.Errorf("entry %s was recorded before the one ahead of it", Ref(h.Origin, h.Seq))
		}
		last = h.Recorded
		roots.Add(row.Leaf)
		c.entries++
		if err := c.visit.Entry(row, h); err != nil {
			return err
		}
	}
	if roots.Root() != l.Root {
		return fmt.Errorf("the entries of the ledger %s do not give the root that was sealed", l.Origin)
	}
	return nil
}

func parseCarriedEntry(line []byte) (r Row, h Header, err error) {
	names := []string{"entry"}
	if !bytes.HasSuffix(line, []byte("}}")) {
		names = append(names, "sig")
	}
	v, err := object(line, names...)
	if err != nil {
		return r, h, err
	}
	r.Body = v[0]
	if len(v) == 2 {
		if r.Sig, err = base64.StdEncoding.Strict().DecodeString(Text(v[1])); err != nil || len(r.Sig) == 0 || len(r.Sig) > maxSig {
			return r, h, errors.New("its signature is none")
		}
	}
	if h, err = ReadHeader(r.Body); err != nil {
		return r, h, err
	}
	r.Origin, r.Seq, r.Leaf = h.Origin, h.Seq, Leaf(r.Body)
	return r, h, nil
}

// rest reads the people and the last line.
func (c *carryReader) rest() error {
	for {
		line, err := c.next()
		if err != nil {
			return err
		}
		if bytes.HasPrefix(line, []byte(`{"end":`)) {
			return c.end(line)
		}
		p, err := parseCarriedPerson(line)
		if err != nil {
			return err
		}
		if c.persons++; c.persons > MaxCarryPersons {
			return fmt.Errorf("more than the %d people allowed", MaxCarryPersons)
		}
		if err := c.visit.Person(p); err != nil {
			return err
		}
	}
}

// still blanks what would move a cursor: no hash guards contacts, so whoever carries the file can write them.
func still(r rune) rune {
	if r == '\n' || moves(r) {
		return ' '
	}
	return r
}

func parseCarriedPerson(line []byte) (p CarriedPerson, err error) {
	outer, err := object(line, "person")
	if err != nil {
		return p, err
	}
	v, err := object(outer[0], "contact", "handle", "id", "name", "salt")
	if err != nil {
		return p, err
	}
	if err := Canonical(line); err != nil {
		return p, err
	}
	p = CarriedPerson{ID: Text(v[2]), Name: Text(v[3]), Handle: Text(v[1]), Contact: strings.Map(still, Text(v[0]))}
	if p.Salt, err = hex.DecodeString(Text(v[4])); err != nil || len(p.Salt) != 32 || p.ID == "" || p.Name == "" || p.Handle == "" {
		return p, errors.New("not a person")
	}
	return p, nil
}

func (c *carryReader) end(line []byte) error {
	outer, err := object(line, "end")
	if err != nil {
		return err
	}
	v, err := object(outer[0], "entries", "persons")
	if err != nil {
		return err
	}
	if string(v[0]) != strconv.FormatInt(c.entries, 10) || string(v[1]) != strconv.FormatInt(c.persons, 10) {
		return fmt.Errorf("it counts %s entries and %s people; the file has %d and %d", v[0], v[1], c.entries, c.persons)
	}
	if _, err := c.lines.ReadByte(); !errors.Is(err, io.EOF) {
		return errors.New("something follows the last line")
	}
	return nil
}
