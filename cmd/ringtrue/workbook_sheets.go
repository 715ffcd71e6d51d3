package main

import (
	"fmt"
	"strings"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func text(title string, width float64) workbook.Column {
	return workbook.Column{Title: title, Kind: workbook.Text, Width: width}
}

// long is a column whose text may take several lines.
func long(title string, width float64) workbook.Column {
	return workbook.Column{Title: title, Kind: workbook.Text, Width: width, Wrap: true}
}

func kindOf(title string, k workbook.Kind) workbook.Column {
	return workbook.Column{Title: title, Kind: k}
}

// countOf is a column of small numbers.
func countOf(title string) workbook.Column {
	return workbook.Column{Title: title, Kind: workbook.Number, Width: 11}
}

// tinted marks words of a column: one tint for what is stopped, one for what ends soon.
func tinted(c workbook.Column, stopped, soon []string) workbook.Column {
	c.Tint = workbook.Tint{Stopped: stopped, Soon: soon}
	return c
}

// common are the columns that every sheet of entries about people begins with, and last those it ends with.
var (
	common = []workbook.Column{text("Entry", 9), kindOf("Happened", workbook.Moment), kindOf("Recorded", workbook.Moment), long("Worker", 22), text("Person id", 11)}
	last   = []workbook.Column{long("Recorded by", 22), long("Struck", 44)}
)

// entrySheet is a sheet of entries: the kind's own columns between common and last. cells gives the own cells of one
// entry, once for each row.
type entrySheet struct {
	name    string
	columns []workbook.Column
	cells   func(one spooled, row func(...any)) error
}

// sheets lists all sheets in the order of their tabs.
func (e *exporter) sheets() []workbook.Sheet {
	return []workbook.Sheet{
		{Name: readMeSheet, Late: e.readMe},
		e.matrixSheet(), e.whySheet(), e.gapSheet(), {Name: chartSheet, Late: e.chartPage},
		e.entries(e.training()), e.entries(e.looksSheet()), e.entries(e.decisions()), e.entries(e.equipment()), e.sawsSheet(),
		e.tailgates(), e.findings(), e.daysSheet(), e.eventsSheet(), e.entries(e.joins()), e.entries(e.exposures()), e.sawUses(), e.crewSheet(),
		e.strikes(), e.rulesSheet(), e.seal(), e.leavesSheet(),
	}
}

// fewColumns is up to how many columns a sheet is seen whole; of wider ones the first stays in view (company choice).
const fewColumns = 5

// table makes a sheet of rows that a function yields until it is told to stop.
func (e *exporter) table(name string, columns []workbook.Column, rows func(yield func(...any) bool) error) workbook.Sheet {
	left := 0
	if len(columns) > fewColumns {
		left = 1
	}
	return workbook.Sheet{Name: name, Note: e.note(), Columns: columns, Left: left, Rows: func(yield func([]any, error) bool) {
		goOn := true
		err := rows(func(cells ...any) bool {
			goOn = goOn && yield(cells, nil)
			return goOn
		})
		if err != nil && goOn {
			yield(nil, err)
		}
	}}
}

// each goes through the entries put aside for a sheet.
func (e *exporter) each(sheet string, f func(one spooled) (bool, error)) error {
	for one, err := range e.spools[sheet].all() {
		if err != nil {
			return err
		}
		e.progress.step()
		goOn, err := f(one)
		if err != nil {
			return fmt.Errorf("entry %s: %w", e.book.Short(one.ref), err)
		}
		if !goOn {
			return nil
		}
	}
	return nil
}

// entries makes a sheet of entries about people.
func (e *exporter) entries(s entrySheet) workbook.Sheet {
	columns := append(append(append([]workbook.Column{}, common...), s.columns...), last...)
	return e.table(s.name, columns, func(yield func(...any) bool) error {
		row := make([]any, len(columns))
		return e.each(s.name, func(one spooled) (bool, error) {
			struck, err := e.struckText(one.ref)
			if err != nil {
				return false, err
			}
			goOn := true
			err = s.cells(one, func(own ...any) {
				row = append(row[:0], e.book.Short(one.ref), one.Happened, one.Recorded, e.people.byID[one.Worker].Name, one.Worker)
				row = append(append(row, own...), e.name(one.By), struck)
				goOn = goOn && yield(row...)
			})
			return goOn, err
		})
	})
}

// struckText says by which entry an entry was struck, as known by the moment asked.
func (e *exporter) struckText(ref training.Ref) (string, error) {
	by, ok := e.struck[ref]
	if !ok {
		return "", nil
	}
	if why, ok := e.why[ref]; ok {
		return why, nil
	}
	h, err := e.book.Entry(e.ctx, by, nil)
	if err != nil {
		return "", err
	}
	e.why[ref] = fmt.Sprintf("by entry %s: %s", e.book.Short(by), ledger.Text(ledger.Lookup(h.Data, "reason")))
	return e.why[ref], nil
}

// note stands above every sheet.
func (e *exporter) note() string {
	n := e.filter.note() + fmt.Sprintf("%s, as of %s, known by %s. Recorded as named, personally signed only where it says so.", e.opening.Company, e.askedText(e.asked.On), e.askedText(e.asked.Known))
	if e.opening.Demo {
		n = demoMark + ". " + n
	}
	return n
}

// name writes a person with the short id; nobody is "".
func (e *exporter) name(id string) string {
	if id == "" {
		return ""
	}
	n, ok := e.nameFor[id]
	if !ok {
		n = e.people.name(id)
		e.nameFor[id] = n
	}
	return n
}

// short writes a reference to an entry as people type it; nothing stays blank.
func (e *exporter) shortRef(ref string) string {
	if ref == "" {
		return ""
	}
	return e.shorts([]string{ref})[0]
}

func (e *exporter) shortRefs(refs []string) string { return strings.Join(e.shorts(refs), ", ") }

// inText writes the people named in recorded texts for short, one text after the other.
func (e *exporter) inText(list []string) string {
	return e.people.inText(strings.Join(list, "; "))
}

// dayCell turns a recorded day into a cell; nothing stays blank.
func dayCell(s string) any {
	d, err := civil.Parse(s)
	if err != nil {
		return nil
	}
	return d
}
