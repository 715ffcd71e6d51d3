package workbook

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// worksheetRows is how many rows one worksheet holds (ECMA-376 part 1, row numbers in a cell reference; the figure
// from excelize.TotalRows).
const worksheetRows = excelize.TotalRows

// Write writes the book to path, which must end in .xlsx and lie in a folder that exists, and returns the control
// total of each worksheet in the order of the sheets. It replaces an existing file; whether that file is an input of
// the same command is for the caller to check. Errors name the sheet, the data row (from 1) and the column; every
// fault of the book's own layout is reported at once. A cancelled context ends it with the context's error.
func Write(ctx context.Context, path string, book Book) ([]Count, error) {
	return write(ctx, path, book, worksheetRows)
}

// write is Write for worksheets of the given number of rows, note and titles included.
func write(ctx context.Context, path string, book Book, rows int) (counts []Count, err error) {
	defer func() {
		if err != nil {
			counts, err = nil, fmt.Errorf("write workbook %s: %w", path, err)
		}
	}()
	if err := errors.Join(CheckPath(path), checkBook(book)); err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp(filepath.Dir(path), ".workbook-*")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	draft := filepath.Join(dir, "draft")
	if counts, err = writeDraft(ctx, draft, book, rows); err != nil {
		return nil, err
	}
	return counts, os.Rename(draft, path)
}

// CheckPath finds out before any work whether Write could put a file at path.
func CheckPath(path string) error {
	if !strings.EqualFold(filepath.Ext(path), ".xlsx") {
		return errors.New("the name of a workbook must end in .xlsx")
	}
	switch at, err := os.Stat(filepath.Dir(path)); {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("the folder %s does not exist", filepath.Dir(path))
	case err != nil:
		return err
	case !at.IsDir():
		return fmt.Errorf("%s is not a folder", filepath.Dir(path))
	}
	if at, err := os.Stat(path); err == nil && !at.Mode().IsRegular() {
		return errors.New("something other than a file has that name")
	}
	return nil
}

// writeDraft creates the file and has it on the disk when it returns without error.
func writeDraft(ctx context.Context, path string, book Book, rows int) (counts []Count, err error) {
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	w, err := newWriter(ctx, out, filepath.Dir(path), book, rows)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, w.file.Close()) }()
	if err := w.sheets(book); err != nil {
		return nil, err
	}
	if err := w.finish(); err != nil {
		return nil, err
	}
	return w.totals(), out.Sync()
}

// sheets writes every sheet of the book in order, then those that are late into the places kept for them, the last one
// first, so that the first sheet can tell of all others.
func (w *writer) sheets(book Book) error {
	for _, s := range book.Sheets {
		w.titles[s.Name] = s.titlesRow()
	}
	for _, s := range book.Sheets {
		write := w.sheet
		if s.Late != nil {
			write = w.reserve
		}
		if err := write(s); err != nil {
			return err
		}
	}
	for _, s := range slices.Backward(book.Sheets) {
		if s.Late == nil {
			continue
		}
		late := s.Late(w.totals())
		late.Name, late.Late = s.Name, nil
		if err := checkSheet(late); err != nil {
			return err
		}
		if err := w.sheet(late); err != nil {
			return err
		}
	}
	return nil
}

// totals gives the control totals so far in the order of the worksheets.
func (w *writer) totals() []Count {
	slices.SortFunc(w.counts, func(a, b placedCount) int { return a.place - b.place })
	counts := make([]Count, len(w.counts))
	for i, c := range w.counts {
		counts[i] = c.Count
	}
	return counts
}

// sheet writes one sheet and as many continuations of it as its rows need.
func (w *writer) sheet(s Sheet) error {
	p, err := w.begin(s, 1)
	if err != nil {
		return err
	}
	rows := s.Rows
	if rows == nil {
		rows = func(func([]any, error) bool) {}
	}
	n := 0
	for values, err := range ahead(rows) {
		n++
		if err == nil && p.full() {
			p, err = p.next()
		}
		if err == nil {
			err = p.add(values)
		}
		if err != nil {
			return fmt.Errorf("sheet %q, row %d: %w", s.Name, n, err)
		}
	}
	return p.end()
}
