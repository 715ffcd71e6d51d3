package workbook

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"time"
)

// Form is a workbook to print, or to fill in and read back. It is drawn cell by cell, unlike a Book: labels, and empty cells
// that offer words or ask back about odd values. Words that cells offer stand on a hidden sheet. A form asks; it does not
// enforce: everything is checked again when it is read, and the lock of its sheets has no password and keeps off slips
// only. As in a Book, text is never a formula.
type Form struct {
	Title   string
	Created time.Time
	Paper   Paper
	Grids   []Grid
	Lists   []WordList
}

// WordList is words for cells to offer, by a name that Check.List gives.
type WordList struct {
	Name  string
	Words []string
}

// Grid is one sheet of a form. Widths are those of the columns from A, in characters. The first Head rows are repeated on
// each page; the rows of Breaks, counted from 0, begin a page. Wide turns the page. An open grid is not locked: rows can be added to it. A hidden one is not printed; the
// first may not be hidden.
type Grid struct {
	Name   string
	Widths []float64
	Rows   [][]FormCell
	Head   int
	Breaks []int
	Wide   bool
	Open   bool
	Hidden bool
}

// FormCell is one cell: a text with a look, over Across columns (0 and 1 are one). An empty cell to fill in has the
// look Fill, and may be checked and hold a text already.
type FormCell struct {
	Text   string
	Look   Look
	Across int
	Check  Check
}

// Look says what a cell is there for.
type Look uint8

// The looks.
const (
	Blank    Look = iota // nothing is drawn
	Heading              // of the sheet
	Remark               // how to fill it in
	Label                // beside a cell to fill in
	Caption              // above cells to fill in
	Point                // a line that is asked about
	Critical             // one that must not be missed
	Fill                 // to be filled in
)

// Check is what a cell to fill in takes. List names words to choose from. With Number, Min and Max (NaN: none) bound a
// number; a value outside is asked about, not refused, with Hint. Day and Clock cells have the format of a day or a
// time.
type Check struct {
	List   string
	Number bool
	Whole  bool
	Min    float64
	Max    float64
	Day    bool
	Clock  bool
	Hint   string
}

// ListSheet keeps the words that cells offer.
const ListSheet = "Lists"

// WriteForm writes the form to path as Write writes a book: whole or not at all, and the same bytes from the same form.
func WriteForm(ctx context.Context, path string, form Form) (err error) {
	defer func() {
		if err != nil {
			err = fmt.Errorf("write form %s: %w", path, err)
		}
	}()
	if err := errors.Join(CheckPath(path), form.check()); err != nil {
		return err
	}
	dir, err := os.MkdirTemp(filepath.Dir(path), ".workbook-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	draft := filepath.Join(dir, "draft")
	if err := form.draft(ctx, draft); err != nil {
		return err
	}
	return os.Rename(draft, path)
}

// check reports every fault of the form itself.
func (f Form) check() error {
	errs := []error{}
	if len(f.Grids) == 0 || f.Grids[0].Hidden || f.Created.IsZero() || f.Paper > Letter {
		errs = append(errs, errors.New("a form has sheets of which the first is shown, a time of creation and a paper"))
	}
	used := map[string]bool{fold(ListSheet): true}
	for _, g := range f.Grids {
		errs = append(errs, checkName(g.Name))
		if used[fold(g.Name)] {
			errs = append(errs, fmt.Errorf("sheet %q: another sheet has that name", g.Name))
		}
		used[fold(g.Name)] = true
		errs = append(errs, g.check(f.Lists))
	}
	for _, l := range f.Lists {
		for _, w := range l.Words {
			errs = append(errs, checkText(w))
		}
	}
	return errors.Join(errs...)
}

func (g Grid) check(lists []WordList) error {
	var errs []error
	for _, width := range g.Widths {
		if !(width > 0 && width <= maxWidth) {
			errs = append(errs, fmt.Errorf("sheet %q: a column is %g wide", g.Name, width))
		}
	}
	for r, row := range g.Rows {
		at := 0
		for _, c := range row {
			at += max(1, c.Across)
			errs = append(errs, checkText(c.Text))
			if c.Look > Fill || c.Check.List != "" && placeOf(lists, c.Check.List) == 0 {
				errs = append(errs, fmt.Errorf("sheet %q, row %d: look %d, list %q", g.Name, r+1, c.Look, c.Check.List))
			}
		}
		if at > len(g.Widths) {
			errs = append(errs, fmt.Errorf("sheet %q, row %d: %d columns, and %d have a width", g.Name, r+1, at, len(g.Widths)))
		}
	}
	return errors.Join(errs...)
}

// placeOf is the column of a list on the sheet of lists, from 1; 0 where there is none or it is empty.
func placeOf(lists []WordList, name string) int {
	for i, l := range lists {
		if l.Name == name && len(l.Words) > 0 {
			return i + 1
		}
	}
	return 0
}

// draft creates the file and has it on the disk when it returns without error.
func (f Form) draft(ctx context.Context, path string) (err error) {
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	w, err := newWriter(ctx, out, filepath.Dir(path), Book{Title: f.Title, Created: f.Created, Paper: f.Paper}, worksheetRows)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.file.Close()) }()
	d := drawer{writer: w, form: f}
	if err := d.all(); err != nil {
		return err
	}
	if err := w.finish(); err != nil {
		return err
	}
	return out.Sync()
}

// NoBound is the bound of a number that has none.
var NoBound = math.NaN()
