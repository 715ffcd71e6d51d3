package workbook

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/store/visible"
	"example.org/ringtrue/training/civil"
)

// byteOrderMark tells spreadsheet programs that a text is UTF-8. It stands before the note, where no title is hurt.
const byteOrderMark = "\uFEFF"

// riskyFirst are the characters with which a spreadsheet program may begin to read a formula or a new cell (OWASP, CSV
// Injection, 2025-08). Text that begins with one gets an apostrophe before it; every field is quoted.
const riskyFirst = "=+-@\t\r\n"

// WriteCSV writes every worksheet of the book to a file NAME.csv of its own in the folder dir, which must not exist yet:
// note, titles, rows, as they stand in the workbook. Fields are quoted, lines end with CR LF (RFC 4180), days and moments
// are written as 2026-05-05 and 2026-05-05 10:20:00. Text that a program could take for a formula begins with an
// apostrophe; numbers never do. Links show their text, charts are left out. The folder appears only on success.
func WriteCSV(ctx context.Context, dir string, book Book) ([]Count, error) {
	return writeCSV(ctx, dir, book, worksheetRows)
}

// writeCSV is WriteCSV for worksheets of the given number of rows, note and titles included.
func writeCSV(ctx context.Context, dir string, book Book, rows int) (counts []Count, err error) {
	defer func() {
		if err != nil {
			counts, err = nil, fmt.Errorf("write CSV files to %s: %w", dir, err)
		}
	}()
	if err := errors.Join(CheckFolder(dir), checkBook(book)); err != nil {
		return nil, err
	}
	draft, err := os.MkdirTemp(filepath.Dir(dir), ".workbook-*")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(draft)) }()
	t := csvBook{ctx: ctx, dir: draft, zone: book.Zone, rows: rows}
	if t.zone == nil {
		t.zone = time.UTC
	}
	if err := t.all(book); err != nil {
		return nil, err
	}
	return t.totals(), os.Rename(draft, dir)
}

// CheckFolder finds out before any work whether WriteCSV could put its folder at dir.
func CheckFolder(dir string) error {
	if _, err := os.Lstat(dir); err == nil {
		return errors.New("something has that name already")
	}
	if at, err := os.Stat(filepath.Dir(dir)); err != nil || !at.IsDir() {
		return fmt.Errorf("the folder %s does not exist", filepath.Dir(dir))
	}
	return nil
}

// csvBook is a book being written as CSV files.
type csvBook struct {
	ctx    context.Context
	dir    string
	zone   *time.Location
	rows   int
	counts [][]Count // of each sheet, in the order of the book
}

func (t *csvBook) totals() (counts []Count) {
	for _, c := range t.counts {
		counts = append(counts, c...)
	}
	return counts
}

// all writes the sheets, the late ones last and backward, as Write does.
func (t *csvBook) all(book Book) (err error) {
	t.counts = make([][]Count, len(book.Sheets))
	for i, s := range book.Sheets {
		if s.Late != nil {
			continue
		}
		if t.counts[i], err = t.sheet(s); err != nil {
			return err
		}
	}
	for i, s := range slices.Backward(book.Sheets) {
		if s.Late == nil {
			continue
		}
		late := s.Late(t.totals())
		late.Name, late.Late = s.Name, nil
		if err := checkSheet(late); err != nil {
			return err
		}
		if t.counts[i], err = t.sheet(late); err != nil {
			return err
		}
	}
	return nil
}

// sheet writes one sheet and what continues it.
func (t *csvBook) sheet(s Sheet) (counts []Count, err error) {
	f, err := t.begin(s, 1)
	if err != nil {
		return nil, err
	}
	if s.Rows == nil {
		return []Count{f.count()}, f.end()
	}
	n := 0
	for values, err := range s.Rows {
		n++
		if err == nil && s.titlesRow()+f.lines >= t.rows {
			counts, err = append(counts, f.count()), f.end()
			if err == nil {
				f, err = t.begin(s, len(counts)+1)
			}
		}
		if err == nil {
			err = f.add(values)
		}
		if err != nil {
			return nil, errors.Join(fmt.Errorf("sheet %q, row %d: %w", s.Name, n, err), f.file.Close())
		}
	}
	return append(counts, f.count()), f.end()
}

// csvFile is one worksheet being written.
type csvFile struct {
	t     *csvBook
	sheet Sheet
	name  string
	file  *os.File
	out   *bufio.Writer
	lines int
	field []string
}

func (t *csvBook) begin(s Sheet, n int) (*csvFile, error) {
	f := &csvFile{t: t, sheet: s, name: continued(s.Name, n)}
	var err error
	if f.file, err = os.OpenFile(filepath.Join(t.dir, f.name+".csv"), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600); err != nil {
		return nil, fmt.Errorf("sheet %q: %w", s.Name, err)
	}
	f.out = bufio.NewWriterSize(f.file, 1<<16)
	_, _ = f.out.WriteString(byteOrderMark) // the writer keeps its error until it is flushed
	if s.Note != "" {
		f.line([]string{inert(visible.String(s.Note))})
	}
	for _, c := range s.Columns {
		f.field = append(f.field, inert(c.Title))
	}
	f.line(f.field)
	return f, nil
}

func (f *csvFile) count() Count { return Count{Sheet: f.name, Rows: f.lines} }

func (f *csvFile) end() error {
	return errors.Join(f.out.Flush(), f.file.Sync(), f.file.Close())
}

func (f *csvFile) line(fields []string) {
	for i, s := range fields {
		if i > 0 {
			_ = f.out.WriteByte(',')
		}
		_ = f.out.WriteByte('"')
		_, _ = f.out.WriteString(strings.ReplaceAll(s, `"`, `""`))
		_ = f.out.WriteByte('"')
	}
	_, _ = f.out.WriteString("\r\n")
}

// add writes one row.
func (f *csvFile) add(values []any) error {
	if f.lines%askEvery == 0 {
		if err := f.t.ctx.Err(); err != nil {
			return err
		}
	}
	if len(values) != len(f.field) {
		return fmt.Errorf("%d values for %d columns", len(values), len(f.field))
	}
	for i, v := range values {
		if link, ok := v.(Link); ok {
			v = link.Text
		}
		c := f.sheet.Columns[i]
		if _, err := c.cell(v, f.t.zone); err != nil { // the same values are refused as in a workbook
			return fmt.Errorf("column %q: %w", c.Title, err)
		}
		f.field[i] = f.t.plain(v)
	}
	f.lines++
	f.line(f.field)
	return nil
}

// plain writes a value that belongs in a cell.
func (t *csvBook) plain(v any) string {
	switch x := v.(type) {
	case string:
		return inert(visible.String(strings.ToValidUTF8(x, "\uFFFD")))
	case int:
		return strconv.Itoa(x)
	case int64:
		return strconv.FormatInt(x, 10)
	case float64:
		return strconv.FormatFloat(x, 'f', -1, 64)
	case bool:
		return strings.ToUpper(strconv.FormatBool(x))
	case civil.Day:
		return x.String()
	case time.Time:
		if !x.IsZero() {
			return x.In(t.zone).Format("2006-01-02 15:04:05")
		}
	}
	return ""
}

// inert keeps a program from reading text as a formula.
func inert(s string) string {
	if s != "" && strings.ContainsRune(riskyFirst, rune(s[0])) {
		return "'" + s
	}
	return s
}
