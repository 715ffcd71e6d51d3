// Package workbook writes spreadsheets (ECMA-376 workbooks, .xlsx) from typed rows and reads them back as text.
// It is presentation only: it knows no book, no ledger and no clock, and what it writes is checked by the seal in the
// book, not by anything in the file.
//
// Worksheets. Each sheet is one table: an optional line of note, one row of column titles, then the rows. Title row
// and note stay in view, and so do the first columns where a sheet says so; the titles carry a filter, columns have
// widths, and pages print across the sheet on A4 or Letter, as many wide as can be read or as the sheet says, with titles and
// first columns repeated and the pages numbered. A worksheet holds 1,048,576 rows; what goes beyond continues on
// "NAME 2", "NAME 3" and so on, each with its own note and titles. A late sheet keeps its place among the others and is
// filled when they are written, so that it can tell of them. Charts are drawn beside the table that they show.
//
// Cells. A column has one Kind and every value in it is of that kind or blank. Days and moments are serial numbers of
// the 1900 date system with a date format, so they sort and count; days before 1900-03-01 are refused, because
// programs disagree on them. Moments are shown as clock time in the zone of the book, in whole seconds; their offset
// belongs in a text column beside them. Numbers are numbers: NaN, infinities and whole numbers outside ±(2^53-1) are
// refused, and fractions keep 15 digits, as spreadsheet programs do.
//
// Text is never anything but text. It is stored as an inline string in a column formatted as text, also where it
// looks like a formula ("=1+2"). No formula is ever written, and no link leads out of the workbook: a Link goes from a
// cell to a row of the same workbook, whatever its text is. A string over 32,767 UTF-16 units is
// refused, since it would be cut. What a cell cannot carry (control characters other than tab, line feed and carriage
// return, bytes that are not UTF-8, and text that spells escapes of the format, such as "_xD800_" or "_x0041_x0042_")
// shows as U+FFFD: one stray byte in a note must not keep the whole record from an auditor, and the exact bytes stay in
// the book.
//
// Forms. A Form is drawn cell by cell, for people to print or to fill in: its cells offer words, and ask back about values out
// of range. What comes back, and lists of an office's own, ReadFilled reads: within limits, whole or not at all, CSV as well, and
// as text; it knows both date systems, and nothing of what the cells mean.
//
// Files. The same arguments give the same bytes. A file appears only on success: everything is put together in a
// private folder beside it, synced, then renamed over the old file with mode 0600. An error or a cancelled context
// leaves the old file, or none, and removes the folder.
package workbook

import (
	"iter"
	"time"
)

// Kind says what a column holds, and so which Go values its cells take. nil is a blank cell in every column.
type Kind uint8

// The kinds of columns. The empty string, civil.None and the zero time are blank cells too.
const (
	Text   Kind = iota // string
	Number             // int, int64 or float64
	Day                // civil.Day, 1900-03-01 to 9999-12-31
	Moment             // time.Time, shown in Book.Zone
	Flag               // bool
)

// Tint colours the cells of a column that hold exactly one of these words, capitals or not. There are two tints and
// no more, and the word stays in the cell, so nothing is told by colour alone.
type Tint struct {
	Stopped []string // work has stopped, or must
	Soon    []string // ends soon
}

// Column is one column of a sheet. Width is in characters; 0 takes a width that suits the kind and the title. Wrap lets
// long text take several lines; it is for sheets of some thousand rows, since programs measure such rows on opening.
type Column struct {
	Title string
	Kind  Kind
	Width float64
	Wrap  bool
	Tint  Tint
}

// Link is a value of a column of text that leads to a row of a sheet of the same book: Row counts the rows below the
// titles, from 1. Nobody checks that the row is there. A sheet has at most maxLinks of them; later ones show their text
// only.
type Link struct {
	Text  string
	Sheet string
	Row   int
}

// Sheet is one table. Rows yields one value per column and may reuse its slice; an error in it ends the export. Nil
// Rows is a table without rows. A name has 1 to 31 UTF-16 units, without : \ / ? * [ ] ' and is used once in a book,
// capitals or not.
type Sheet struct {
	Name    string
	Note    string // above the titles; empty for none
	Columns []Column
	Rows    iter.Seq2[[]any, error]
	Left    int     // how many columns stay in view, and are repeated on each page across
	Pages   int     // how many pages wide it prints; 0 is as many as its width needs
	Charts  []Chart // beside the table, one below the other
	// Late, if not nil, gives the sheet after all that are not late, and the late ones behind it, are written, with their
	// control totals. It keeps the name and place of this one, whose other fields do not count.
	Late func(written []Count) Sheet
}

// Paper is what pages are laid out for.
type Paper uint8

// The papers.
const (
	A4 Paper = iota
	Letter
)

// Book is a workbook to be written. Created stands in the properties of the document, in whole seconds of UTC.
type Book struct {
	Title   string
	Created time.Time
	Zone    *time.Location // of the clock times in Moment columns; nil is UTC
	Paper   Paper
	Sheets  []Sheet
}

// Count is the control total of one worksheet: its name and how many rows follow the titles.
type Count struct {
	Sheet string
	Rows  int
}
