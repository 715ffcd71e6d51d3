package main

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/store/workbook"
)

// rosterTable is a sheet of a list: where its titles stand, and which column holds which field.
type rosterTable struct {
	*reading
	name   string
	rows   [][]string
	top    int            // row of the titles, the lower one of two
	titles []string       // by column
	column map[string]int // of each field
	unit   map[string]string
	days   map[int]string // of a column of days: the order that holds there
	used   map[int]bool   // rows of which something was taken, or refused
}

// titlesWithin is among how many rows from the top the titles are looked for (company choice): lists begin with a heading or two.
const titlesWithin = 20

// rosterFieldNames lists the fields for messages.
func rosterFieldNames() string { return strings.Join(slices.Sorted(maps.Keys(rosterFields)), ", ") }

// roster reads a list and records it, or shows what it would record.
func (r *reading) roster() error {
	tables, err := r.tables()
	if err != nil {
		return err
	}
	err = r.tryAll(r.o.record, func() error {
		if err := r.takeTables(tables); err != nil {
			return err
		}
		return r.failed()
	})
	if err != nil {
		return err
	}
	return r.answer(readAnswer{What: "roster"})
}

// takeTables records the people of all sheets first, so that the other sheets may name them.
func (r *reading) takeTables(tables []*rosterTable) error {
	lines := 0
	for _, t := range tables {
		lines += t.check()
	}
	if r.o.rows != 0 && lines != r.o.rows {
		return refuse("count the lines below the titles, and see whether the file is whole", "the list has %d lines, and --rows says %d", lines, r.o.rows)
	}
	for _, take := range []func(*rosterTable, int) (int, error){(*rosterTable).person, (*rosterTable).saw, (*rosterTable).training, (*rosterTable).ticket, (*rosterTable).piece} {
		for _, t := range tables {
			for row := range t.data() {
				before := len(r.lines) + r.told + r.have
				n, err := take(t, row)
				if err != nil {
					return err
				}
				r.have += n
				t.used[row] = t.used[row] || len(r.lines)+r.told+r.have > before
			}
		}
	}
	for _, t := range tables {
		t.sayUnused()
	}
	r.notes = append(r.notes, fmt.Sprintf("%s read, %s to record, %s that the book has already", counted(lines, "line"), counted(len(r.lines), "thing"), counted(r.have, "thing")))
	return nil
}

// sayUnused names the lines of which nothing was taken.
func (t *rosterTable) sayUnused() {
	var rows []string
	for row := range t.data() {
		if !t.used[row] {
			rows = append(rows, strconv.Itoa(row+1))
		}
	}
	if len(rows) > 0 {
		t.notes = append(t.notes, fmt.Sprintf("sheet %q: nothing is taken of %s; %s", t.name, rowList(rows), nameColumns))
	}
}

// nameColumns is the next step where columns are not known.
const nameColumns = `name a column with --map "Title=field"`

// counted writes how many there are of something.
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// tables finds the sheets that are lists.
func (r *reading) tables() (tables []*rosterTable, err error) {
	mapped, err := r.mapped()
	if err != nil {
		return nil, err
	}
	used := map[string]bool{}
	for _, s := range r.file.Sheets {
		if s.Name == examplesSheet || s.Name == workbook.ListSheet || len(s.Rows) == 0 {
			continue
		}
		t := &rosterTable{reading: r, name: s.Name, rows: s.Rows, days: map[int]string{}, used: map[int]bool{}}
		if !t.find(mapped) {
			r.notes = append(r.notes, fmt.Sprintf("sheet %q is not taken: no line of titles was found in it", s.Name))
			continue
		}
		for title := range mapped {
			used[title] = used[title] || slices.ContainsFunc(t.titles, func(c string) bool { return titleKey(c) == title })
		}
		tables = append(tables, t)
	}
	if len(tables) == 0 {
		return nil, refuse(`give the columns titles, or name them: --map "Title=name"; see: ringtrue workbook read --help`, "no line of titles was found: a list has a column for the name, or for the saw and its spindle speed or blades")
	}
	for title, field := range mapped {
		if !used[title] {
			r.p.add(refuse("write the title as it stands in the file", "--map names a column for %s that is not there", orWord(field, "nothing")))
		}
	}
	return tables, r.p.err()
}

// mapped reads --map: the field by the key of the title.
func (r *reading) mapped() (map[string]string, error) {
	out := map[string]string{}
	for _, m := range r.o.maps {
		title, field, ok := strings.Cut(m, "=")
		_, known := rosterFields[field]
		if !ok || titleKey(title) == "" || field != "" && !known {
			r.p.add(usage("write --map \"Title=field\"; fields are: "+rosterFieldNames(), "--map %q names no field", m))
		}
		out[titleKey(title)] = field
	}
	return out, r.p.err()
}

func (t *rosterTable) has(field string) bool {
	_, ok := t.column[field]
	return ok
}

// hasAny reports whether the sheet has one of the fields.
func (t *rosterTable) hasAny(fields ...string) bool { return slices.ContainsFunc(fields, t.has) }

// text is what stands in a row for a field, "" where the sheet has no such column.
func (t *rosterTable) text(row int, field string) string {
	c, ok := t.column[field]
	if !ok || c >= len(t.rows[row]) {
		return ""
	}
	text := strings.Join(strings.Fields(t.rows[row][c]), " ")
	if unit := t.unit[field]; unit != "" && slices.Contains(measuredFields, field) {
		return withUnit(text, unit)
	}
	return text
}

// measuredFields take numbers with a unit, which may stand in brackets behind the title.
var measuredFields = []string{"spindle", "blades", "bore", "tank", "service", "vibration", "noise"}

// numberSpan is two numbers with a hyphen or dash between them.
var numberSpan = regexp.MustCompile(`^([\d.,]+) ?[-\x{2013}] ?([\d.,]+)$`)

// withUnit puts the unit of the title behind a number, or behind both of a span. What carries its own unit stays.
func withUnit(text, unit string) string {
	if m := numberSpan.FindStringSubmatch(text); m != nil {
		return withUnit(m[1], unit) + "-" + withUnit(m[2], unit)
	}
	if point, err := withPoint(text); err == nil {
		text = point
	}
	if n, ok := number(text); ok {
		return n + unit
	}
	return text
}

// place names the cell of a field in a row.
func (t *rosterTable) place(row int, field string) string {
	return workbook.Place(t.name, row, t.column[field])
}

// blankRow reports whether nothing stands in a row.
func (t *rosterTable) blankRow(row int) bool {
	return !slices.ContainsFunc(t.rows[row], func(c string) bool { return strings.TrimSpace(c) != "" })
}

// columns counts those of a row; blank ones beyond the titles do not count.
func (t *rosterTable) columns(row int) int {
	cells := t.rows[row]
	for len(cells) > len(t.titles) && strings.TrimSpace(cells[len(cells)-1]) == "" {
		cells = cells[:len(cells)-1]
	}
	return len(cells)
}

// errorValues are what a spreadsheet program shows where a formula failed (ECMA-376 part 1, 18.17.2.7; from memory).
var errorValues = []string{"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A"}

// check counts the lines of a sheet, and refuses those that are cut or hold no values; it settles the order of days.
func (t *rosterTable) check() (lines int) {
	for row := range t.data() {
		lines++
		if want, is := len(t.titles), t.columns(row); t.file.CSV && want != is {
			t.wrong(workbook.Place(t.name, row, 0), "see whether the file is whole, and whether texts with separators in them are quoted", "%d columns, and the titles have %d", is, want)
		}
		for c, text := range t.rows[row] {
			if slices.Contains(errorValues, strings.TrimSpace(text)) {
				t.wrong(workbook.Place(t.name, row, c), "mend the formula in the file", "the cell holds an error: %s", text)
			}
		}
	}
	t.sayTotals()
	t.sayUntitled()
	for _, field := range slices.Sorted(maps.Keys(t.column)) {
		if rosterFields[field].day && t.takes(field) {
			t.settleDays(field)
		}
	}
	return lines
}
