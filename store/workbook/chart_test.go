package workbook

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// charted is a book whose late sheet has three charts, with sheets before and after it.
func charted() Book {
	rows := seq(nil, []any{"standing", "held", "M1", 4}, []any{"standing", "held", "M2", 7}, []any{"standing", "=stopped", "M1", 1}, []any{"standing", "=stopped", "M2", 0})
	series := []Series{{From: 1, To: 2}, {From: 3, To: 4, Tone: Stopped}}
	chart := func(k ChartKind) Chart {
		return Chart{Kind: k, Title: "Standing & more", XName: "module", YName: "count", Name: 1, Label: 2, Value: 3, Series: series}
	}
	return Book{Created: created, Sheets: []Sheet{numbered("Before", 3), {Name: "Charts", Late: func([]Count) Sheet {
		return Sheet{Columns: []Column{{Title: "Chart"}, {Title: "Series"}, {Title: "Label"}, {Title: "Number", Kind: Number}}, Rows: rows,
			Charts: []Chart{chart(Bars), chart(Stacked), chart(Lines)}}
	}}, numbered("After", 3)}}
}

func TestChartsStandBesideTheirTable(t *testing.T) {
	path := save(t, charted())
	sheet := partOf(t, path, "xl/worksheets/sheet2.xml")
	require.Contains(t, sheet, `<drawing xmlns:relationships="http://schemas.openxmlformats.org/officeDocument/2006/relationships" relationships:id="rId1">`)
	require.Contains(t, partOf(t, path, "xl/worksheets/_rels/sheet2.xml.rels"), "drawing1.xml")
	for part, holds := range map[string]string{"xl/charts/chart1.xml": "<barChart>", "xl/charts/chart2.xml": `<grouping val="stacked">`, "xl/charts/chart3.xml": "<lineChart>"} {
		chart := partOf(t, path, part)
		require.Contains(t, chart, holds)
		for _, cells := range []string{"!$B$2:$B$2", "!$C$2:$C$3", "!$D$2:$D$3", "!$B$4:$B$4", "!$D$4:$D$5", "Standing &amp; more"} {
			require.Contains(t, chart, cells)
		}
		require.Contains(t, chart, `<varyColors val="0">`, "a colour is a series")
		require.NotContains(t, chart, "$C$4", "labels are those of the first series")
	}
}

// Labels of many are turned upright: level ones would be broken letter by letter.
func TestManyLabelsStandUpright(t *testing.T) {
	for n, turned := range map[int]bool{levelLabels: false, levelLabels + 1: true} {
		book := charted()
		rows := [][]any{}
		for range n {
			rows = append(rows, []any{"points", "highest", "zeno-fallowmere", 5})
		}
		book.Sheets[1].Late = func([]Count) Sheet {
			return Sheet{Columns: []Column{{Title: "Chart"}, {Title: "Series"}, {Title: "Label"}, {Title: "Number", Kind: Number}}, Rows: seq(nil, rows...),
				Charts: []Chart{{Kind: Bars, Title: "Points", Name: 1, Label: 2, Value: 3, Series: []Series{{From: 1, To: n}}}}}
		}
		chart := partOf(t, save(t, book), "xl/charts/chart1.xml")
		require.Equal(t, turned, strings.Contains(chart, `rot="-5400000"`), n)
	}
}

func TestSameChartsSameBytes(t *testing.T) {
	first, err := os.ReadFile(save(t, charted()))
	require.NoError(t, err)
	for range 5 {
		again, err := os.ReadFile(save(t, charted()))
		require.NoError(t, err)
		require.True(t, bytes.Equal(first, again))
	}
}
