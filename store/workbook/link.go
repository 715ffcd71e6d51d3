package workbook

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// maxLinks is how many links a worksheet has (company choice): the format allows 65,530, but the library looks through
// all of them for each new one.
const maxLinks = 20_000

// link makes the cell of the row being added in column i lead to a row of a sheet.
func (p *worksheet) link(i int, to Link) error {
	if to.Sheet == "" || to.Row < 1 || p.links == maxLinks {
		return nil
	}
	p.links++
	from, err := excelize.CoordinatesToCellName(i+1, p.titles+p.rows)
	if err != nil {
		return err
	}
	p.cells[i] = excelize.Cell{StyleID: p.w.styles.link, Value: p.cells[i]}
	return p.w.file.SetCellHyperLink(p.name, from, p.w.place(to), "Location")
}

// place names the cell of a row of a sheet, on whichever worksheet of it the row stands.
func (w *writer) place(to Link) string {
	titles, ok := w.titles[to.Sheet]
	if !ok {
		titles = 1
	}
	each := w.rows - titles
	return fmt.Sprintf("'%s'!A%d", continued(to.Sheet, (to.Row-1)/each+1), titles+(to.Row-1)%each+1)
}
