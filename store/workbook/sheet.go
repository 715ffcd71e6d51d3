package workbook

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"strconv"
	"time"

	"github.com/xuri/excelize/v2"
)

// askEvery is after how many rows the context is asked whether to go on (company choice).
const askEvery = 256

// writer is a workbook being written.
type writer struct {
	ctx    context.Context
	file   *excelize.File
	zip    *archive
	zone   *time.Location
	styles styles
	names  map[string]bool // of worksheets begun, folded
	rows   int             // of one worksheet
	counts []Count
}

// newWriter starts a workbook into out; the library spools rows in the folder spool.
func newWriter(ctx context.Context, out *os.File, spool string, b Book, rows int) (*writer, error) {
	w := &writer{ctx: ctx, zip: newArchive(ctx, bufio.NewWriterSize(out, 1<<18)), zone: b.Zone, names: map[string]bool{}, rows: rows}
	if w.zone == nil {
		w.zone = time.UTC
	}
	w.file = excelize.NewFile(excelize.Options{TmpDir: spool})
	w.file.SetZipWriter(w.zip.open)
	created := b.Created.UTC().Format("2006-01-02T15:04:05Z")
	if err := w.file.SetDocProps(&excelize.DocProperties{
		Title: b.Title, Creator: "ringtrue", Created: created, Modified: created,
	}); err != nil {
		return nil, err
	}
	if err := w.file.SetAppProps(&excelize.AppProperties{Application: "ringtrue"}); err != nil {
		return nil, err
	}
	var err error
	w.styles, err = newStyles(w.file)
	return w, err
}

// finish writes the parts that are not worksheets and ends the archive.
func (w *writer) finish() error {
	w.zip.sheetsOnly = false
	if err := w.pass(); err != nil {
		return err
	}
	return w.zip.end()
}

// pass has the library write out the workbook; the archive keeps the parts it lacks.
func (w *writer) pass() error {
	_, err := w.file.WriteToBuffer()
	if w.zip.err != nil {
		return w.zip.err
	}
	return err
}

// worksheet is the nth worksheet of a sheet while rows are added to it.
type worksheet struct {
	w      *writer
	sheet  Sheet
	n      int
	name   string
	stream *excelize.StreamWriter
	titles int // row of the titles
	rows   int // rows below them
	cells  []any
}

// begin opens the nth worksheet of s and writes its note and titles.
func (w *writer) begin(s Sheet, n int) (*worksheet, error) {
	p := &worksheet{w: w, sheet: s, n: n, name: continued(s.Name, n), titles: 1, cells: make([]any, len(s.Columns))}
	if s.Note != "" {
		p.titles = 2
	}
	if err := w.newSheet(p.name); err != nil {
		return nil, fmt.Errorf("sheet %q: %w", p.name, err)
	}
	if err := p.layOut(); err != nil {
		return nil, fmt.Errorf("sheet %q: %w", p.name, err)
	}
	return p, p.head()
}

// full tells whether the worksheet has no row left.
func (p *worksheet) full() bool { return p.titles+p.rows >= p.w.rows }

// next ends this worksheet and begins its continuation.
func (p *worksheet) next() (*worksheet, error) {
	if err := p.end(); err != nil {
		return p, err
	}
	return p.w.begin(p.sheet, p.n+1)
}

// add writes one row of values.
func (p *worksheet) add(values []any) error {
	if p.rows%askEvery == 0 {
		if err := p.w.ctx.Err(); err != nil {
			return err
		}
	}
	if len(values) != len(p.cells) {
		return fmt.Errorf("%d values for %d columns", len(values), len(p.cells))
	}
	for i, v := range values {
		var err error
		if p.cells[i], err = p.sheet.Columns[i].cell(v, p.w.zone); err != nil {
			return fmt.Errorf("column %q: %w", p.sheet.Columns[i].Title, err)
		}
	}
	p.rows++
	return p.stream.SetRow("A"+strconv.Itoa(p.titles+p.rows), p.cells)
}
