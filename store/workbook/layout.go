package workbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"example.org/ringtrue/store/visible"
)

// footer names the file and the sheet and numbers the pages (ECMA-376 part 1, header and footer codes: &F, &A, &P,
// &N; from memory).
const footer = "&L&F&C&A&RPage &P of &N"

// newSheet makes an empty worksheet behind those begun before it.
func (w *writer) newSheet(name string) error {
	if w.places[fold(name)] > 0 {
		return errors.New("another sheet has that name")
	}
	w.places[fold(name)] = len(w.places) + 1
	if len(w.places) == 1 {
		return w.file.SetSheetName(w.file.GetSheetName(0), name)
	}
	_, err := w.file.NewSheet(name)
	return err
}

// partOf names the part of a worksheet: the library numbers them as they are made.
func (w *writer) partOf(name string) string {
	return fmt.Sprintf("xl/worksheets/sheet%d.xml", w.places[fold(name)])
}

// reserve keeps the place of a late sheet.
func (w *writer) reserve(s Sheet) error {
	if err := w.newSheet(s.Name); err != nil {
		return fmt.Errorf("sheet %q: %w", s.Name, err)
	}
	w.zip.held[w.partOf(s.Name)] = true
	return nil
}

// release takes a place that was kept; false where none was.
func (w *writer) release(name string) bool {
	part := w.partOf(name)
	kept := w.zip.held[part]
	delete(w.zip.held, part)
	return kept
}

// paperSizes are the numbers of papers (ECMA-376 part 1, the attribute paperSize of pageSetup; from memory).
var paperSizes = [...]int{A4: 9, Letter: 1}

// pageWidth is how many characters a page takes across and can still be read (company choice): three quarters of their size
// on the screen.
const pageWidth = 200.0

// pages is how many pages wide a sheet prints.
func (s Sheet) pages() int {
	if s.Pages > 0 {
		return s.Pages
	}
	width := 0.0
	for _, c := range s.Columns {
		width += c.width()
	}
	return min(int(math.Ceil(width/pageWidth)), maxPages)
}

// Margins of a page in inches (company choice): what the printers of both papers can do.
const (
	pageMargin   = 0.5
	footerMargin = 0.25
)

// layOut sets what stands before the rows and opens the stream of rows. Fit to page and the missing dimension must be
// set before the stream is opened, which writes them at once; the dimension is taken away because the library would
// claim one cell (A1), which some readers believe.
func (p *worksheet) layOut() error {
	f, landscape, yes, wide, noMatter := p.w.file, "landscape", true, p.sheet.pages(), 0
	paper, margin, foot := paperSizes[p.w.paper], pageMargin, footerMargin
	err := errors.Join(
		f.SetSheetDimension(p.name, ""),
		f.SetSheetProps(p.name, &excelize.SheetPropsOptions{FitToPage: &yes}),
		f.SetPageLayout(p.name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &landscape, FitToWidth: &wide, FitToHeight: &noMatter}),
		f.SetPageMargins(p.name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin, Top: &margin, Bottom: &margin, Header: &foot, Footer: &foot}),
		f.SetHeaderFooter(p.name, &excelize.HeaderFooterOptions{OddHeader: p.header(), OddFooter: footer}),
		f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: p.name, RefersTo: p.repeated()}),
	)
	if err != nil {
		return err
	}
	if p.stream, err = f.NewStreamWriter(p.name); err != nil {
		return err
	}
	for i, c := range slices.Backward(p.sheet.Columns) { // the library writes the last column set first; they belong in order
		err = errors.Join(err, p.stream.SetColWidth(i+1, i+1, c.width()), p.stream.SetColStyle(i+1, i+1, p.w.styles.of(c)))
	}
	return errors.Join(err, p.stream.SetPanes(p.panes()))
}

// headerLength is how many characters of a note stand above a page (company choice): they take one line.
const headerLength = 170

// header is the note above each page of a sheet that prints wider than one: the note's own row would be cut on the pages to
// the right. (&L left, && an ampersand: ECMA-376 part 1, header and footer codes; from memory.)
func (p *worksheet) header() string {
	if p.sheet.Note == "" || p.sheet.pages() < 2 {
		return ""
	}
	note := []rune(p.sheet.Note)
	if len(note) > headerLength {
		note = append(note[:headerLength], '…')
	}
	return "&L" + strings.ReplaceAll(string(note), "&", "&&")
}

// repeated names what every page repeats: the first columns, and the titles, with the note where it is whole on every page.
func (p *worksheet) repeated() string {
	first := 1
	if p.header() != "" {
		first = p.titles
	}
	rows := fmt.Sprintf("'%s'!$%d:$%d", p.name, first, p.titles)
	if p.sheet.Left == 0 {
		return rows
	}
	last, _ := excelize.ColumnNumberToName(p.sheet.Left) // within limits checked before
	return fmt.Sprintf("'%s'!$A:$%s,%s", p.name, last, rows)
}

// panes keep the same in view.
func (p *worksheet) panes() *excelize.Panes {
	first, _ := excelize.CoordinatesToCellName(p.sheet.Left+1, p.titles+1) // within limits checked before
	active := "bottomLeft"
	if p.sheet.Left > 0 {
		active = "bottomRight"
	}
	return &excelize.Panes{Freeze: true, XSplit: p.sheet.Left, YSplit: p.titles, TopLeftCell: first, ActivePane: active}
}

// head writes the note and the titles.
func (p *worksheet) head() error {
	if p.titles > 1 {
		if err := p.note(); err != nil {
			return err
		}
	}
	titles, lines := make([]any, len(p.sheet.Columns)), 1
	for i, c := range p.sheet.Columns {
		titles[i] = c.Title
		lines = max(lines, linesOf(c.Title, max(c.width()-filterButton, 1)))
	}
	return p.stream.SetRow("A"+strconv.Itoa(p.titles), titles, excelize.RowOpts{StyleID: p.w.styles.title, Height: heightOf(lines)})
}

// noteWidth is over how many characters a note is set (company choice): the columns in view at once.
const noteWidth = 120.0

// note writes the note across the columns; programs do not measure merged cells, so its height is set here.
func (p *worksheet) note() error {
	width, across := 0.0, 0
	for across < len(p.sheet.Columns) && width < noteWidth {
		width += p.sheet.Columns[across].width()
		across++
	}
	err := p.stream.SetRow("A1", []any{visible.String(p.sheet.Note)}, excelize.RowOpts{StyleID: p.w.styles.note, Height: heightOf(linesOf(p.sheet.Note, width))})
	if err != nil || across < 2 {
		return err
	}
	from, to, _ := strings.Cut(p.span(0, across-1, 1, 1), ":")
	return p.stream.MergeCell(from, to)
}

// end sets what stands behind the rows, puts the worksheet into the archive and lets go of its spool, so that memory
// does not grow with the number of worksheets: closing the library's file drops the streams and nothing else (excelize
// v2.11.1), and more sheets can be added to it.
func (p *worksheet) end() error {
	last := p.titles + p.rows
	err := p.w.file.AutoFilter(p.name, p.span(0, len(p.cells)-1, p.titles, last), nil)
	for i, c := range p.sheet.Columns {
		if rules := p.w.styles.rules(c.Tint); len(rules) > 0 && p.rows > 0 {
			err = errors.Join(err, p.w.file.SetConditionalFormat(p.name, p.span(i, i, p.titles+1, last), rules))
		}
	}
	for i, c := range p.sheet.Charts {
		err = errors.Join(err, p.draw(i, c))
	}
	if err := errors.Join(err, p.stream.Flush()); err != nil {
		return fmt.Errorf("sheet %q: %w", p.name, err)
	}
	p.w.counts = append(p.w.counts, placedCount{p.w.places[fold(p.name)], Count{Sheet: p.name, Rows: p.rows}})
	if err := p.w.pass(); err != nil {
		return fmt.Errorf("sheet %q: %w", p.name, err)
	}
	return p.w.file.Close()
}

// span names the cells from column a to column b, counted from 0, and from row top to row bottom. Both corners lie
// within limits checked before, so naming them cannot fail.
func (p *worksheet) span(a, b, top, bottom int) string {
	from, _ := excelize.CoordinatesToCellName(a+1, top)
	to, _ := excelize.CoordinatesToCellName(b+1, bottom)
	return from + ":" + to
}
