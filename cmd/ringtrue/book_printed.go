package main

import (
	"encoding/hex"
	"fmt"
	"strings"

	"example.org/ringtrue/store/ledger"
)

// fewestDigits of a root are enough: nobody finds other entries that give the same 64 bits (company choice).
const fewestDigits = 16

// printed is what a printed sheet says of one ledger, as somebody types it.
type printed struct {
	root    string // the first digits of it
	entries int64
	ledger  string // its name or the part behind the slash; "" = this device's own
}

// againstPrinted compares the book with the size and root on a printed sheet, which nobody signed.
func (a *app) againstPrinted(o printed) (againstLine, error) {
	line := againstLine{Size: o.entries, Root: strings.ToLower(strings.Join(strings.Fields(o.root), "")), Signature: "none"}
	var p problems
	whole := line.Root + strings.Repeat("0", max(0, 64-len(line.Root)))
	if _, err := ledger.ParseRoot(whole); err != nil || len(line.Root) < fewestDigits {
		p.add(usage("type the first digits of the root as they stand on the sheet", "--root %q is not a root: %d to 64 hex digits", o.root, fewestDigits))
	}
	if o.entries < 1 {
		p.add(usage("add --entries as the sheet says", "--entries %d is not a number of entries", o.entries))
	}
	var err error
	line.Origin, err = a.ledgerNamed(o.ledger)
	p.add(err)
	if err := p.err(); err != nil {
		return line, err
	}
	leaves, err := a.book.Leaves(a.ctx, line.Origin, o.entries)
	if damagedBook(err) {
		line.What, line.Signature = err.Error(), "not checked"
		return line, nil
	}
	if err != nil {
		return line, err
	}
	root := leaves.Root()
	switch {
	case int64(len(leaves)) < o.entries:
		line.First = ledger.Ref(line.Origin, int64(len(leaves))+1)
		line.What = fmt.Sprintf("the entry is missing: the ledger ends before it, and the sheet counts %d entries", o.entries)
	case !strings.HasPrefix(hex.EncodeToString(root[:]), line.Root):
		line.What = fmt.Sprintf("the first %d entries have the root %x: they are not those of the sheet", o.entries, root)
	default:
		line.Kept = true
	}
	return line, nil
}

// ledgerNamed finds a ledger of the book by its whole name or the part behind the slash.
func (a *app) ledgerNamed(name string) (string, error) {
	origins, err := a.book.Origins(a.ctx)
	if err != nil {
		return "", err
	}
	for _, o := range origins {
		if name == "" || o == name || o[strings.LastIndex(o, "/")+1:] == name {
			return o, nil
		}
	}
	return "", refuse("see: ringtrue book head", "the book holds no ledger %q", name)
}

// compared gives what was handed out before, compared with the book; nil where nothing was named.
func (a *app) compared(o verifyOptions) (then []againstLine, err error) {
	if o.against != "" {
		return a.against(o.against)
	}
	if o.printed == (printed{}) {
		return nil, nil
	}
	line, err := a.againstPrinted(o.printed)
	return []againstLine{line}, err
}
