package workbook

import (
	"errors"
	"fmt"
	"math"

	"github.com/xuri/excelize/v2"
)

// drawer draws the sheets of a form.
type drawer struct {
	*writer
	form  Form
	looks map[look]int // numbers of the styles made so far
}

// look is a style: that of a cell, and its format where it is to be filled in.
type look struct {
	look   Look
	format string
}

func (d *drawer) all() error {
	d.looks = map[look]int{}
	for _, g := range d.form.Grids {
		if err := d.grid(g); err != nil {
			return fmt.Errorf("sheet %q: %w", g.Name, err)
		}
	}
	if len(d.form.Lists) == 0 {
		return nil
	}
	return d.lists()
}

// lists writes each list down a column of a hidden sheet.
func (d *drawer) lists() error {
	if err := d.newSheet(ListSheet); err != nil {
		return err
	}
	for i, l := range d.form.Lists {
		for n, word := range append([]string{l.Name}, l.Words...) {
			at, err := excelize.CoordinatesToCellName(i+1, n+1)
			if err = errors.Join(err, d.put(ListSheet, at, word)); err != nil {
				return err
			}
		}
	}
	return d.file.SetSheetVisible(ListSheet, false)
}

// put writes text as text.
func (d *drawer) put(sheet, at, text string) error {
	v, err := textCell(text, text)
	if err != nil || v == nil {
		return err
	}
	return d.file.SetCellStr(sheet, at, fmt.Sprint(v))
}

func (d *drawer) grid(g Grid) error {
	err := d.newSheet(g.Name)
	if g.Hidden {
		err = errors.Join(err, d.file.SetSheetVisible(g.Name, false))
	}
	for i, width := range g.Widths {
		name, nerr := excelize.ColumnNumberToName(i + 1)
		err = errors.Join(err, nerr, d.file.SetColWidth(g.Name, name, name, width))
	}
	for r, row := range g.Rows {
		if err == nil {
			err = d.row(g, r+1, row)
		}
	}
	if err != nil {
		return err
	}
	return d.page(g)
}

// row writes one row, as high as its longest text needs.
func (d *drawer) row(g Grid, r int, cells []FormCell) error {
	at, lines, tall := 1, 1, 1.0
	for _, c := range cells {
		last := at + max(1, c.Across) - 1
		width := 0.0
		for _, one := range g.Widths[at-1 : last] {
			width += one
		}
		if err := d.cell(g.Name, r, at, last, c); err != nil {
			return err
		}
		switch c.Look {
		case Fill:
			tall = max(tall, fillHeight)
		case Caption, Point, Critical:
			tall = max(tall, captionHeight)
		case Heading:
			tall, width = max(tall, headingHeight), width/headingHeight
		}
		lines = max(lines, c.lines(width))
		at = last + 1
	}
	return d.file.SetRowHeight(g.Name, r, min(max(heightOf(lines), tall*lineHeight), mostHeight))
}

// Heights in lines (company choice): a cell to fill in has room for writing by hand in gloves.
const (
	fillHeight    = 1.7
	captionHeight = 1.3
	headingHeight = 1.4
)

// boldShare is how much of a bold text fits into a width, measured against one that is not (company choice, tried with the captions
// of the forms).
const boldShare = 0.9

// lines is how many lines the text needs in a width.
func (c FormCell) lines(width float64) int {
	switch c.Look {
	case Caption:
		return linesOf(c.Text, max(width-1, 1)*boldShare)
	case Label, Critical: // indented
		return linesOf(c.Text, max(width-3, 1)*boldShare)
	}
	return linesOf(c.Text, max(width-2, 1))
}

func (d *drawer) cell(sheet string, r, first, last int, c FormCell) error {
	if c.Look == Blank {
		return nil
	}
	from, err := excelize.CoordinatesToCellName(first, r)
	to, err2 := excelize.CoordinatesToCellName(last, r)
	style, err3 := d.style(c)
	err = errors.Join(err, err2, err3, d.put(sheet, from, c.Text), d.file.SetCellStyle(sheet, from, to, style))
	if last > first {
		err = errors.Join(err, d.file.MergeCell(sheet, from, to))
	}
	if err != nil || c.Look != Fill {
		return err
	}
	return d.validate(sheet, from, c.Check)
}

// validate adds what a cell takes. Words and days that do not fit are refused by the program that fills in, numbers are
// asked about.
func (d *drawer) validate(sheet, at string, c Check) error {
	v := excelize.NewDataValidation(true)
	v.Sqref = at
	var err error
	switch {
	case c.List != "":
		n := placeOf(d.form.Lists, c.List)
		name, nerr := excelize.ColumnNumberToName(n)
		err = nerr
		v.SetSqrefDropList(fmt.Sprintf("%s!$%s$2:$%s$%d", ListSheet, name, name, len(d.form.Lists[n-1].Words)+1))
		v.SetError(excelize.DataValidationErrorStyleStop, "Not on the list", orText(c.Hint, "Choose one of the words of the list."))
	case c.Number || c.Whole:
		err = numbers(v, c)
		v.SetError(excelize.DataValidationErrorStyleWarning, "Is that right?", orText(c.Hint, "That is an unusual value."))
	case c.Day:
		err = v.SetRange(int(firstSerial), int(lastSerial), excelize.DataValidationTypeDate, excelize.DataValidationOperatorBetween)
		v.SetError(excelize.DataValidationErrorStyleStop, "Not a day", "Write a day, as 2026-05-04.")
	case c.Clock:
		err = v.SetRange(0.0, 1.0, excelize.DataValidationTypeTime, excelize.DataValidationOperatorBetween)
		v.SetError(excelize.DataValidationErrorStyleStop, "Not a time", "Write a clock time, as 10:20.")
	case c.Hint == "":
		return nil
	}
	if c.Hint != "" {
		v.SetInput("", c.Hint)
	}
	return errors.Join(err, d.file.AddDataValidation(sheet, v))
}

func numbers(v *excelize.DataValidation, c Check) error {
	kind := excelize.DataValidationTypeDecimal
	if c.Whole {
		kind = excelize.DataValidationTypeWhole
	}
	low, high, how := c.Min, c.Max, excelize.DataValidationOperatorBetween
	switch {
	case math.IsNaN(low) && math.IsNaN(high):
		low, how = -mostNumber, excelize.DataValidationOperatorGreaterThanOrEqual
	case math.IsNaN(high):
		how = excelize.DataValidationOperatorGreaterThanOrEqual
	case math.IsNaN(low):
		low, how = high, excelize.DataValidationOperatorLessThanOrEqual
	}
	if math.IsNaN(high) {
		high = low
	}
	return v.SetRange(low, high, kind, how)
}

// mostNumber is far beyond anything that is measured (company choice).
const mostNumber = 1e9

func orText(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// page lays out the printed page, and locks what is not to be filled in.
func (d *drawer) page(g Grid) error {
	f, orientation, yes, one, noMatter := d.file, "portrait", true, 1, 0
	if g.Wide {
		orientation = "landscape"
	}
	paper, margin, foot := paperSizes[d.paper], pageMargin, footerMargin
	err := errors.Join(
		f.SetSheetProps(g.Name, &excelize.SheetPropsOptions{FitToPage: &yes}),
		f.SetPageLayout(g.Name, &excelize.PageLayoutOptions{Size: &paper, Orientation: &orientation, FitToWidth: &one, FitToHeight: &noMatter}),
		f.SetPageMargins(g.Name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin, Top: &margin, Bottom: &margin, Header: &foot, Footer: &foot}),
		f.SetHeaderFooter(g.Name, &excelize.HeaderFooterOptions{OddFooter: footer}),
	)
	if g.Head > 0 {
		err = errors.Join(err, f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: g.Name, RefersTo: fmt.Sprintf("'%s'!$1:$%d", g.Name, g.Head)}))
	}
	for _, r := range g.Breaks {
		err = errors.Join(err, f.InsertPageBreak(g.Name, fmt.Sprintf("A%d", r+1)))
	}
	if err != nil || g.Open {
		return err
	}
	return f.ProtectSheet(g.Name, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, FormatColumns: true, FormatRows: true})
}

// style makes each look once.
func (d *drawer) style(c FormCell) (int, error) {
	k := look{c.Look, ""}
	if c.Look == Fill {
		k.format = c.Check.format()
	}
	if n, ok := d.looks[k]; ok {
		return n, nil
	}
	n, err := d.file.NewStyle(k.style())
	d.looks[k] = n
	return n, err
}

func (c Check) format() string {
	switch {
	case c.Day:
		return dayFormat
	case c.Clock:
		return clockFormat
	case c.Number || c.Whole:
		return "General"
	}
	return "@"
}

const clockFormat = "hh:mm"

func (k look) style() *excelize.Style {
	font := &excelize.Font{Family: fontFamily, Size: fontSize}
	wrapped := &excelize.Alignment{Vertical: "center", WrapText: true}
	s := &excelize.Style{Font: font, Alignment: wrapped, NumFmt: textFormat}
	switch k.look {
	case Heading:
		font.Bold, font.Size = true, fontSize*headingHeight
	case Remark:
		font.Italic, wrapped.Vertical = true, "top"
	case Label:
		font.Bold, wrapped.Horizontal, wrapped.Indent = true, "right", 1
	case Caption:
		font.Bold, wrapped.Horizontal, s.Border = true, "center", box("000000")
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{captionFill}}
	case Point:
		s.Border, wrapped.Horizontal, wrapped.Indent = box("808080"), "left", 1
	case Critical:
		font.Bold, s.Border, wrapped.Horizontal, wrapped.Indent = true, box("808080"), "left", 1
	case Fill:
		s.Border, wrapped.Horizontal = box("000000"), "center"
		format := k.format
		s.NumFmt, s.CustomNumFmt = 0, &format
		s.Protection = &excelize.Protection{Locked: false}
	}
	return s
}

// captionFill is a grey that a printer keeps light (company choice).
const captionFill = "E7E6E6"

func box(color string) (all []excelize.Border) {
	for _, side := range []string{"left", "right", "top", "bottom"} {
		all = append(all, excelize.Border{Type: side, Style: 1, Color: color})
	}
	return all
}
