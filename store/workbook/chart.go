package workbook

import (
	"errors"
	"fmt"
	"sort"

	"github.com/xuri/excelize/v2"
)

// ChartKind says how a chart shows its numbers.
type ChartKind uint8

// The kinds of charts.
const (
	Bars    ChartKind = iota // upright, the series side by side
	Stacked                  // upright, the series on top of each other
	Lines
)

// Chart shows numbers of the table that it stands beside. Each series takes the rows From to To of it, counted below the
// titles from 1: its name from the column Name of the first of them, labels from the column Label, numbers from the
// column Value, all counted from 0. All series have the labels of the first.
type Chart struct {
	Kind               ChartKind
	Title              string
	XName, YName       string // what the axes show
	Name, Label, Value int
	Series             []Series
	NoLegend           bool // the title says what its one series is
}

// Series is one of the numbers that a chart compares.
type Series struct {
	From, To int
	Tone     Tone
}

// Tone gives a series the colour of a tint.
type Tone uint8

// The tones.
const (
	Plain Tone = iota
	Stopped
	Soon
)

// toneColours are darker than the tints, which serve as a background (company choice).
var toneColours = map[Tone]string{Stopped: "B3261E", Soon: "E0A800"}

// plainColours are those of the other series, far apart in grey print as well (company choice).
var plainColours = []string{"1F4E79", "7F7F7F", "5B9BD5", "2E7D32", "BFBFBF", "8E6BBF", "004D40", "A66A2C", "9CCC65", "455A64", "C48FB4", "26A69A"}

// Size of a chart in pixels, and how many rows of the ordinary height it takes (company choice): five stand on a page.
const (
	chartWidth, chartHeight = 720, 206
	chartRows               = 11
)

func (c Chart) check(columns []Column) error {
	var errs []error
	if c.Kind > Lines || len(c.Series) == 0 {
		errs = append(errs, errors.New("it has no series, or is of no known kind"))
	}
	for _, column := range []int{c.Name, c.Label, c.Value} {
		if column < 0 || column >= len(columns) {
			errs = append(errs, fmt.Errorf("there is no column %d", column))
		}
	}
	for _, s := range c.Series {
		if s.From < 1 || s.To < s.From {
			errs = append(errs, fmt.Errorf("a series takes rows %d to %d", s.From, s.To))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("chart %q: %w", c.Title, err)
	}
	return nil
}

// levelLabels is of how many labels an axis the words lie level (company choice); more would be broken letter by letter, and
// are turned upright.
const levelLabels = 14

// draw puts the nth chart of a worksheet beside its table.
func (p *worksheet) draw(n int, c Chart) error {
	at, err := excelize.CoordinatesToCellName(len(p.cells)+2, p.titles+1+n*chartRows) // below the titles, which every page repeats
	if err != nil {
		return err
	}
	legend := "bottom"
	if c.NoLegend {
		legend = "none"
	}
	kinds := [...]excelize.ChartType{Bars: excelize.Col, Stacked: excelize.ColStacked, Lines: excelize.Line}
	chart := &excelize.Chart{
		Type: kinds[c.Kind], Title: words(c.Title, true), Legend: excelize.ChartLegend{Position: legend},
		Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		XAxis:     excelize.ChartAxis{Title: words(c.XName, false), Font: axisFont()}, YAxis: excelize.ChartAxis{Title: words(c.YName, false), MajorGridLines: true, Font: axisFont(), Minimum: new(float64)},
		Format: excelize.GraphicOptions{Positioning: "oneCell"}, VaryColors: new(bool), // a colour is a series, also where there is only one
	}
	if c.Series[0].To-c.Series[0].From >= levelLabels {
		chart.XAxis.Alignment.TextRotation = -90
	}
	plain := 0
	for _, s := range c.Series {
		if s.To > p.rows {
			return fmt.Errorf("chart %q: a series goes beyond the %d rows of the sheet", c.Title, p.rows)
		}
		colour, toned := toneColours[s.Tone]
		if !toned {
			colour = plainColours[plain%len(plainColours)]
			plain++
		}
		chart.Series = append(chart.Series, p.series(c, s, colour))
	}
	if err := p.w.file.AddChart(p.name, at, chart); err != nil {
		return err
	}
	p.w.sortTypes()
	return nil
}

// sortTypes orders what the library adds to the list of contents for a chart in the order of a map (excelize v2.11.1), so
// that the same book gives the same bytes.
func (w *writer) sortTypes() {
	list := w.file.ContentTypes.Defaults
	sort.Slice(list, func(i, j int) bool { return list[i].Extension < list[j].Extension })
}

// series names the cells of a series.
func (p *worksheet) series(c Chart, s Series, colour string) excelize.ChartSeries {
	of := func(column, from, to int) string {
		name, _ := excelize.ColumnNumberToName(column + 1) // within limits checked before
		return fmt.Sprintf("'%s'!$%s$%d:$%s$%d", p.name, name, p.titles+from, name, p.titles+to)
	}
	first := c.Series[0]
	fill := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}
	one := excelize.ChartSeries{Name: of(c.Name, s.From, s.From), Categories: of(c.Label, first.From, first.To), Values: of(c.Value, s.From, s.To), Fill: fill}
	if c.Kind == Lines {
		one.Line = excelize.LineOptions{Width: 1.75, Fill: fill}
		one.Marker = excelize.ChartMarker{Symbol: "circle", Size: 5, Fill: fill}
	}
	return one
}

// axisFont is that of the labels along an axis.
func axisFont() excelize.Font { return excelize.Font{Color: "202020", Size: 9} }

// words are a title of a chart or of an axis.
func words(text string, bold bool) excelize.ChartTitle {
	if text == "" {
		return excelize.ChartTitle{}
	}
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: text, Font: &excelize.Font{Bold: bold, Size: 11}}}}
}
