package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
)

// Sheets of a workbook that carry the seal, with the titles above their rows.
const (
	sealSheet   = "Seal"   // What | Value, in this order for each ledger: the names below
	leavesSheet = "Leaves" // Ledger | Number | Leaf (hex), a row for each entry
)

// What the rows of the sheet Seal are called.
const (
	sealLedger   = "ledger"
	sealEntries  = "entries"
	sealRoot     = "root (hex)"
	sealSigned   = "signature line"
	sealVerifier = "verifier key"
)

// sealFileLimits suit our own workbook of a book of a million entries (company choice).
func sealFileLimits() workbook.Limits {
	return workbook.Limits{File: 256 << 20, Unpacked: 2 << 30, InMemory: 16 << 20, Cells: 64_000_000}
}

// sealedThen is what a seal, or a workbook, says of one ledger.
type sealedThen struct {
	ledger.Head
	line   string // signature line, "" where nobody signed
	leaves ledger.Leaves
}

// againstLine is the answer for one ledger.
type againstLine struct {
	Origin    string `json:"origin"`
	Size      int64  `json:"size"` // entries sealed then
	Root      string `json:"root"`
	Kept      bool   `json:"kept"`      // the book still holds all of them
	First     string `json:"first"`     // first entry that differs, "" = none, or not known
	What      string `json:"what"`      // what is wrong
	Signature string `json:"signature"` // good, unknown key, none, not checked
	Key       string `json:"key"`       // fingerprint of the key that signed
}

// against compares the book with a seal or a workbook handed out before.
func (a *app) against(path string) ([]againstLine, error) {
	list, err := readSealed(path)
	if err != nil {
		return nil, err
	}
	var out []againstLine
	for _, s := range list {
		line := againstLine{Origin: s.Origin, Size: s.Size, Root: fmt.Sprintf("%x", s.Root)}
		err := a.checkSignature(path, s, &line)
		if damagedBook(err) { // what is damaged stands among the findings
			line.Signature, err = "not checked", nil
		}
		if err != nil {
			return nil, err
		}
		diff, err := a.book.Compare(a.ctx, s.Head, s.leaves)
		if damagedBook(err) {
			diff, err = &store.Difference{What: err.Error()}, nil
		}
		if err != nil {
			return nil, err
		}
		line.Kept = diff == nil
		if diff != nil {
			line.What = diff.What
			if diff.Seq > 0 {
				line.First = ledger.Ref(s.Origin, diff.Seq)
			}
		}
		out = append(out, line)
	}
	return out, nil
}

func damagedBook(err error) bool {
	bad, ok := errors.AsType[*store.UnusableError](err)
	return ok && bad.Damaged
}

// checkSignature checks who signed, by the keys that the ledger itself names.
func (a *app) checkSignature(path string, s sealedThen, line *againstLine) error {
	line.Signature = "none"
	if s.line == "" {
		return nil
	}
	known, err := a.book.Verifiers(a.ctx, s.Origin)
	if err != nil {
		return err
	}
	seal, err := ledger.ReadSeal(ledger.JoinSeal(s.Head, s.line), known...)
	if err != nil {
		return refuse("take the seal as it was handed out", "%s: the seal of %s is not as it was signed: %v", path, s.Origin, err)
	}
	if line.Signature = "unknown key"; seal.Verifier != "" {
		line.Signature, line.Key = "good", ledger.Fingerprint(seal.Verifier)
	}
	return nil
}

// readSealed reads a seal, or the sheets Seal and Leaves of a workbook.
func readSealed(path string) ([]sealedThen, error) {
	archive, err := isArchive(path)
	if err != nil {
		return nil, err
	}
	if archive {
		return readSealSheets(path)
	}
	text, err := readGiven(path, ledger.MaxSeal)
	if err != nil {
		return nil, err
	}
	s, err := ledger.ReadSeal(mailed(text))
	if err != nil {
		return nil, refuse("name a seal or a workbook that was handed out", "%s: %v", path, err)
	}
	return []sealedThen{{Head: s.Head, line: s.Line()}}, nil
}

// isArchive tells a ZIP archive, which every .xlsx is, by its first bytes. What is no file, such as a pipe, is none.
func isArchive(path string) (bool, error) {
	const next = "name a seal or a workbook that was handed out"
	info, err := os.Stat(path)
	if err != nil {
		return false, refuse(next, "read %v", err)
	}
	if !info.Mode().IsRegular() {
		return false, refuse(next, "read %s: it is not a file", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return false, refuse(next, "read %v", err)
	}
	defer f.Close()
	magic := make([]byte, 2)
	n, _ := f.Read(magic)
	return n == 2 && bytes.Equal(magic, []byte("PK")), nil
}

// mailed gives a seal back the form in which it was signed, where mail and editors changed line ends, blanks behind the
// lines, the last line break or the long dash. Nothing that is signed lies in these; the signature is checked afterwards.
func mailed(text []byte) []byte {
	var lines []string
	for line := range strings.Lines(strings.TrimSpace(strings.TrimPrefix(string(text), "\ufeff"))) {
		line = strings.TrimRight(strings.TrimPrefix(line, "> "), " \t\r\n>")
		for _, dash := range []string{"- ", "-- ", "– "} {
			if rest, ok := strings.CutPrefix(line, dash); ok {
				line = "— " + rest
			}
		}
		lines = append(lines, line)
	}
	return []byte(strings.Join(lines, "\n") + "\n")
}

func readSealSheets(path string) ([]sealedThen, error) {
	sheets, err := workbook.Read(path, sealFileLimits())
	if err != nil {
		return nil, refuse("name a workbook that ringtrue wrote", "%v", err)
	}
	var p problems
	seals, err := parseSealSheet(sheets)
	p.add(err)
	p.add(fillLeaves(seals, sheets))
	if err := p.err(); err != nil {
		return nil, refuse("take the workbook as it was handed out", "%s: %v", path, err)
	}
	for _, s := range seals {
		if s.leaves != nil && (int64(len(s.leaves)) != s.Size || s.leaves.Root() != s.Root) {
			return nil, refuse("take the workbook as it was handed out", "%s is not as it was written: its sheet %s does not give the root of %s in its sheet %s", path, leavesSheet, s.Origin, sealSheet)
		}
	}
	return seals, nil
}

// parseSealSheet reads one value per cell; rows of other names are passed over.
func parseSealSheet(sheets []workbook.ReadSheet) (list []sealedThen, err error) {
	for what, value := range sealRows(sheets) {
		if what == sealLedger {
			list = append(list, sealedThen{Head: ledger.Head{Origin: value}})
			continue
		}
		if len(list) == 0 {
			continue
		}
		s := &list[len(list)-1]
		switch what {
		case sealEntries:
			s.Size, err = strconv.ParseInt(value, 10, 64)
		case sealRoot:
			s.Root, err = ledger.ParseRoot(value)
		case sealSigned:
			s.line = value
		}
		if err != nil || s.Size < 0 {
			return nil, fmt.Errorf("sheet %s: %s of %s is %q", sealSheet, what, s.Origin, value)
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("it has no sheet %q that names a ledger", sealSheet)
	}
	return list, nil
}

// sealRows gives the rows of the sheet Seal as pairs.
func sealRows(sheets []workbook.ReadSheet) func(func(what, value string) bool) {
	return func(yield func(string, string) bool) {
		for _, sh := range sheets {
			if sh.Name != sealSheet {
				continue
			}
			for _, row := range sh.Rows {
				if len(row) >= 2 && !yield(row[0], row[1]) {
					return
				}
			}
		}
	}
}

// fillLeaves reads the sheet Leaves, with what continues it, into the ledgers of the sheet Seal. Its rows stand ledger
// after ledger in the order of number.
func fillLeaves(list []sealedThen, sheets []workbook.ReadSheet) error {
	byName := map[string]*sealedThen{}
	for i := range list {
		byName[list[i].Origin] = &list[i]
	}
	for _, sh := range sheets {
		if sh.Name != leavesSheet && !strings.HasPrefix(sh.Name, leavesSheet+" ") {
			continue
		}
		for i, row := range sh.Rows {
			if len(row) < 3 || row[1] == "Number" {
				continue // the note, or the titles
			}
			s := byName[row[0]]
			leaf, err := ledger.ParseRoot(row[2])
			if s == nil || err != nil || row[1] != strconv.Itoa(len(s.leaves)+1) {
				return fmt.Errorf("sheet %s, row %d: not the next entry of a ledger of the sheet %s", sh.Name, i+1, sealSheet)
			}
			s.leaves = append(s.leaves, leaf)
		}
	}
	return nil
}

// keptAll reports whether nothing sealed is missing.
func keptAll(lines []againstLine) bool {
	for _, l := range lines {
		if !l.Kept {
			return false
		}
	}
	return true
}

func (a *app) sayAgainst(path string, lines []againstLine) {
	for _, l := range lines {
		who := map[string]string{"not checked": "who signed it was not checked", "good": "signed by this ledger's key, fingerprint " + l.Key, "unknown key": "signed by a key that this book does not know", "none": "not signed"}[l.Signature]
		if l.Kept {
			a.say("kept: all %d entries of %s that %s covers are in the book as they were (%s)", l.Size, l.Origin, path, who)
			continue
		}
		where := ""
		if l.First != "" {
			where = "entry " + l.First + ": "
		}
		a.say("AGAINST THE SEAL: %s%s (%s, %d entries, %s)", where, l.What, path, l.Size, who)
	}
	if !keptAll(lines) {
		a.say("next: keep this file, ask who changed it, and go on from a backup that fits the seal: %s", restoreCommand)
	}
}

// restoreCommand is what to type after damage.
const restoreCommand = "ringtrue book restore BACKUP"
