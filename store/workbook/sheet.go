package workbook

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

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
	paper  Paper
	titles map[string]int // row of the titles of each sheet, for links to it
	places map[string]int // of worksheets begun, folded: the how manieth each is
	rows   int            // of one worksheet
	counts []placedCount
}

// placedCount is a control total with the place of its worksheet.
type placedCount struct {
	place int
	Count
}

// newWriter starts a workbook into out; the library spools rows in the folder spool.
func newWriter(ctx context.Context, out *os.File, spool string, b Book, rows int) (*writer, error) {
	w := &writer{ctx: ctx, zip: newArchive(ctx, bufio.NewWriterSize(out, 1<<18)), zone: b.Zone, paper: b.Paper,
		titles: map[string]int{}, places: map[string]int{}, rows: rows}
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
	links  int
	cells  []any

	wrapped []int // columns that wrap
}

// titlesRow is the row of the titles: the first below the note, if there is one.
func (s Sheet) titlesRow() int {
	if s.Note == "" {
		return 1
	}
	return 2
}

// begin opens the nth worksheet of s and writes its note and titles.
func (w *writer) begin(s Sheet, n int) (*worksheet, error) {
	p := &worksheet{w: w, sheet: s, n: n, name: continued(s.Name, n), titles: s.titlesRow(), cells: make([]any, len(s.Columns))}
	for i, c := range s.Columns {
		if c.Wrap {
			p.wrapped = append(p.wrapped, i)
		}
	}
	if !w.release(p.name) {
		if err := w.newSheet(p.name); err != nil {
			return nil, fmt.Errorf("sheet %q: %w", p.name, err)
		}
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
	p.rows++
	for i, v := range values {
		link, linked := v.(Link)
		if linked {
			v = link.Text
		}
		var err error
		if p.cells[i], err = p.sheet.Columns[i].cell(v, p.w.zone); err == nil && linked {
			err = p.link(i, link)
		}
		if err != nil {
			return fmt.Errorf("column %q: %w", p.sheet.Columns[i].Title, err)
		}
	}
	at := "A" + strconv.Itoa(p.titles+p.rows)
	if lines := p.lines(values); lines > 1 {
		return p.stream.SetRow(at, p.cells, excelize.RowOpts{Height: heightOf(lines)})
	}
	return p.stream.SetRow(at, p.cells)
}

// lines is how many lines the wrapped cells of a row take. Programs do not agree on whether they measure rows on opening,
// so it is estimated here.
func (p *worksheet) lines(values []any) int {
	most := 1
	for _, i := range p.wrapped {
		if s, ok := values[i].(string); ok {
			most = max(most, linesOf(s, p.sheet.Columns[i].width()))
		}
	}
	return most
}

// lettersIn is how many letters of ordinary text one character of width holds: widths count digits, which are wider than
// most letters (tried with LibreOffice 7.4; company choice on the cautious side).
const lettersIn = 1.15

// linesOf is how many lines a text takes in a column of so many characters, broken between words.
func linesOf(text string, width float64) (lines int) {
	room := max(int(lettersIn*width), 1)
	for line := range strings.SplitSeq(text, "\n") {
		lines++
		used := 0
		for word := range strings.SplitSeq(line, " ") {
			n := utf8.RuneCountInString(word)
			if used > 0 && used+n > room {
				lines, used = lines+1, 0
			}
			used += n + 1
			for ; n > room; n -= room { // a word longer than a line is broken anywhere
				lines, used = lines+1, n-room+1
			}
		}
	}
	return lines
}

// Heights in points: of a line in the font of all cells, and the most a row may have (ECMA-376 part 1, the attribute ht;
// from memory).
const (
	lineHeight = 15.0
	mostHeight = 409.0
)

func heightOf(lines int) float64 { return min(lineHeight*float64(lines), mostHeight) }
