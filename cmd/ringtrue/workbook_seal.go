package main

import (
	"encoding/hex"
	"fmt"
	"strings"
	"time"

	"example.org/ringtrue/store/workbook"
)

const readMeSheet = "Read me"

// whole is what the sheets say that no filter narrows.
func (e *exporter) whole() string {
	if e.filter.note() == "" {
		return e.note()
	}
	return e.note() + " This sheet is whole all the same."
}

// seal gives the head of each ledger, with the signature over it where the book holds one; whoever has the workbook can
// have it compared with the book.
func (e *exporter) seal() workbook.Sheet {
	s := e.table(sealSheet, []workbook.Column{text("What", 16), text("Value", 110)}, func(yield func(...any) bool) error {
		seals, err := e.sealsOf(e.heads)
		if err != nil {
			return err
		}
		for _, l := range seals {
			rows := [][2]string{{sealLedger, l.Origin}, {sealEntries, fmt.Sprint(l.Size)}, {sealRoot, l.Root}}
			if l.Line != "" {
				rows = append(rows, [2]string{sealSigned, l.Line}, [2]string{sealVerifier, l.Verifier})
			}
			for _, r := range rows {
				if !yield(r[0], r[1]) {
					return nil
				}
			}
		}
		return nil
	})
	s.Note = e.whole() + " Compare it with the book: ringtrue book verify --against THIS-FILE."
	return s
}

// leavesSheet gives the hash of every entry of every ledger, whatever the filter.
func (e *exporter) leavesSheet() workbook.Sheet {
	s := e.table(leavesSheet, []workbook.Column{text("Ledger", 30), kindOf("Number", workbook.Number), text("Leaf (hex)", 68)}, func(yield func(...any) bool) error {
		ledger, n := 0, int64(0)
		for leaf, err := range e.leaves.leaves() {
			if err != nil {
				return err
			}
			for n == e.heads[ledger].Size {
				ledger, n = ledger+1, 0
			}
			n++
			e.progress.step()
			if !yield(e.heads[ledger].Origin, n, hex.EncodeToString(leaf[:])) {
				return nil
			}
		}
		return nil
	})
	s.Note = e.whole()
	return s
}

// readMe says what the workbook is, of which moment, and what each sheet holds.
func (e *exporter) readMe(written []workbook.Count) workbook.Sheet {
	rows := [][2]string{
		{"what this is", "The record book of " + e.opening.Company + " as a workbook: who was taught what, what was seen, who decided what on whose evidence, equipment, saws, tailgate checks and what they found."},
		{"as of", e.askedText(e.asked.On)}, {"known by", e.askedText(e.asked.Known)}, {"days in", e.book.Zone().String()},
		{"filter", orWord(strings.Join(e.filter.words, ", "), "none")},
		{"province, state or country", e.opening.Jurisdiction}, {"curriculum edition", e.std.Curriculum.Edition}, {"house rules edition", e.std.House.Edition},
		{"made from the book as of its newest entry", e.made.Format(time.RFC3339)}, {"tool", toolVersion},
		{"how to read it", "Red and bold is stopped, yellow ends soon; the word says it too. A word that is underlined on the sheets Standing and Standing and why leads to the entry it rests on. Numbers of entries are those of the book; a struck entry stays, with who struck it and why. Times are clock times in the zone above."},
		{"what counts as held", "What the book does not know counts as not held: people not on the list, skills nobody looked at, equipment nobody issued."},
		{"is it genuine", "The sheets Seal and Leaves tie this workbook to the book: ringtrue book verify --against THIS-FILE compares them. Cell locks prove nothing, so there are none."},
	}
	for _, c := range written {
		rows = append(rows, [2]string{"rows in sheet " + c.Sheet, fmt.Sprint(c.Rows)})
	}
	rows = append(rows, [2]string{"caution", "This is what the book recorded. It does not say that work was or is safe. The regulation, the maker's manual and a competent person come first."})
	return e.table(readMeSheet, []workbook.Column{long("What", 40), long("Value", 100)}, func(yield func(...any) bool) error {
		for _, r := range rows {
			if !yield(r[0], r[1]) {
				return nil
			}
		}
		return nil
	})
}
