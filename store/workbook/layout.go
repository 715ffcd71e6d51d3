package workbook

import (
	"errors"
	"fmt"
	"slices"
	"strconv"

	"github.com/xuri/excelize/v2"
)

// footer names the file and the sheet and numbers the pages (ECMA-376 part 1, header and footer codes: &F, &A, &P,
// &N; from memory).
const footer = "&L&F&C&A&RPage &P of &N"

// newSheet makes an empty worksheet behind those begun before it.
func (w *writer) newSheet(name string) error {
	if w.names[fold(name)] {
		return errors.New("another sheet has that name")
	}
	first := len(w.names) == 0
	w.names[fold(name)] = true
	if first {
		return w.file.SetSheetName(w.file.GetSheetName(0), name)
	}
	_, err := w.file.NewSheet(name)
	return err
}

// layOut sets what stands before the rows and opens the stream of rows. Fit to page and the missing dimension must be
// set before the stream is opened, which writes them at once; the dimension is taken away because the library would
// claim one cell (A1), which some readers believe.
func (p *worksheet) layOut() error {
	f, landscape, yes, onePage, noMatter := p.w.file, "landscape", true, 1, 0
	err := errors.Join(
		f.SetSheetDimension(p.name, ""),
		f.SetSheetProps(p.name, &excelize.SheetPropsOptions{FitToPage: &yes}),
		f.SetPageLayout(p.name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &onePage, FitToHeight: &noMatter}),
		f.SetHeaderFooter(p.name, &excelize.HeaderFooterOptions{OddFooter: footer}),
		f.SetDefinedName(&excelize.DefinedName{
			Name: "_xlnm.Print_Titles", Scope: p.name, RefersTo: fmt.Sprintf("'%s'!$1:$%d", p.name, p.titles),
		}),
	)
	if err != nil {
		return err
	}
	if p.stream, err = f.NewStreamWriter(p.name); err != nil {
		return err
	}
	for i, c := range slices.Backward(p.sheet.Columns) { // the library writes the last column set first; they belong in order
		err = errors.Join(err, p.stream.SetColWidth(i+1, i+1, c.width()), p.stream.SetColStyle(i+1, i+1, p.w.styles.kind[c.Kind]))
	}
	return errors.Join(err, p.stream.SetPanes(&excelize.Panes{
		Freeze: true, YSplit: p.titles, TopLeftCell: "A" + strconv.Itoa(p.titles+1), ActivePane: "bottomLeft",
	}))
}

// head writes the note and the titles.
func (p *worksheet) head() error {
	if p.titles > 1 {
		if err := p.stream.SetRow("A1", []any{p.sheet.Note}, excelize.RowOpts{StyleID: p.w.styles.note}); err != nil {
			return err
		}
	}
	titles := make([]any, len(p.sheet.Columns))
	for i, c := range p.sheet.Columns {
		titles[i] = c.Title
	}
	return p.stream.SetRow("A"+strconv.Itoa(p.titles), titles, excelize.RowOpts{StyleID: p.w.styles.title})
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
	if err := errors.Join(err, p.stream.Flush()); err != nil {
		return fmt.Errorf("sheet %q: %w", p.name, err)
	}
	p.w.counts = append(p.w.counts, Count{Sheet: p.name, Rows: p.rows})
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
