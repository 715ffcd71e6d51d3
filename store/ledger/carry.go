package ledger

import (
	"bufio"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"io"
	"time"

	"github.com/gowebpki/jcs"
)

// A carried file takes ledgers from one device to another. It is text, one JSON object in RFC 8785 form a line:
//
//	{"company":…,"format":"ringtrue/carry/1","ledgers":[…],"made":…,"tool":…}
//	{"entry":…} or {"entry":…,"sig":BASE64}   every entry of every ledger, ledger after ledger, from 1 to its size
//	{"person":{"contact":…,"handle":…,"id":…,"name":…,"salt":HEX}}
//	{"end":{"entries":N,"persons":N}}
//
// Each of the ledgers is {"line":…,"origin":…,"root":HEX,"size":N,"stated":…,"verifier":…}: its head, the signature
// line of the seal over it, the key to check that by, and when the head was stated. line and verifier are empty for a
// ledger that has no key of its own; then another one vouches for it. The first ledger is the carrier's own. Entries
// stand as the bytes that are stored.

// CarryFormat is the format of carried files that this version writes and reads.
const CarryFormat = "ringtrue/carry/1"

// Limits of a carried file (company choice): of a line, a catalogue with its signature; of ledgers, and of people.
const (
	MaxCarryLine    = MaxCatalogue + 64<<10
	MaxCarryLedgers = 1000
	MaxCarryPersons = 100_000
	maxSig          = 4 << 10
)

// CarryHeader is the first line.
type CarryHeader struct {
	Company string
	Made    time.Time
	Tool    string // version of the program that wrote the file
	Ledgers []CarriedLedger
}

// CarriedLedger is one ledger in the file.
type CarriedLedger struct {
	Head
	Line, Verifier string
	Stated         time.Time
}

// CarriedPerson is the name behind a person id.
type CarriedPerson struct {
	ID, Name, Handle, Contact string
	Salt                      []byte
}

// CarryWriter writes a carried file, line after line.
type CarryWriter struct {
	w                *bufio.Writer
	entries, persons int64
}

// NewCarryWriter writes the header.
func NewCarryWriter(w io.Writer, h CarryHeader) (*CarryWriter, error) {
	c := &CarryWriter{w: bufio.NewWriterSize(w, 1<<16)}
	ledgers := []any{}
	for _, l := range h.Ledgers {
		ledgers = append(ledgers, map[string]any{"line": l.Line, "origin": l.Origin, "root": hex.EncodeToString(l.Root[:]), "size": l.Size,
			"stated": l.Stated.Format(time.RFC3339), "verifier": l.Verifier})
	}
	return c, c.line(map[string]any{"company": h.Company, "format": CarryFormat, "ledgers": ledgers, "made": h.Made.Format(time.RFC3339), "tool": h.Tool})
}

func (c *CarryWriter) line(v any) error {
	loose, err := marshal(v)
	if err != nil {
		return err
	}
	line, err := jcs.Transform(loose)
	if err != nil {
		return err
	}
	_, err = c.w.Write(append(line, '\n'))
	return err
}

// Entry writes one entry.
func (c *CarryWriter) Entry(r Row) error {
	c.entries++
	_, _ = c.w.WriteString(`{"entry":`) // bufio keeps the error for the flush
	_, _ = c.w.Write(r.Body)
	if len(r.Sig) > 0 {
		_, _ = c.w.WriteString(`,"sig":"` + base64.StdEncoding.EncodeToString(r.Sig) + `"`)
	}
	_, err := c.w.WriteString("}\n")
	return err
}

// Person writes one person.
func (c *CarryWriter) Person(p CarriedPerson) error {
	c.persons++
	return c.line(map[string]any{"person": map[string]any{"contact": p.Contact, "handle": p.Handle, "id": p.ID, "name": p.Name, "salt": hex.EncodeToString(p.Salt)}})
}

// Close writes the last line.
func (c *CarryWriter) Close() error {
	err := c.line(map[string]any{"end": map[string]any{"entries": c.entries, "persons": c.persons}})
	return errors.Join(err, c.w.Flush())
}
