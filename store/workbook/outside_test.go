//go:build outside

package workbook

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// These tests read what was written with two other programs and compare cell by cell. They need LibreOffice Calc
// (Debian: libreoffice-calc-nogui) and openpyxl for the system's Python (Debian: python3-openpyxl), and fail without.

// expected is one cell as both programs must see it.
type expected struct {
	csv   string // as LibreOffice shows it
	kind  string // the Python type that openpyxl gives
	value string // and that value as text
}

func text(s string) expected { return expected{csv: s, kind: "str", value: s} }

// shown is the book of both tests, and its cells below note and titles.
func shown(t *testing.T) (Book, [][]expected) {
	book := typed(t)
	blank := expected{kind: "NoneType", value: "None"}
	cells := [][]expected{
		{
			text("Ada"), text("restricted"), {"2026-11-25", "datetime", "2026-11-25 00:00:00"},
			{"2026-07-14 06:52:07", "datetime", "2026-07-14 06:52:07"}, {"3", "int", "3"}, {"0.25", "float", "0.25"}, {"TRUE", "bool", "True"},
		},
		{text("Bo"), text("due"), blank, blank, {"-12", "int", "-12"}, {"-1.5", "float", "-1.5"}, {"FALSE", "bool", "False"}},
		{blank, blank, blank, blank, blank, blank, blank},
		{
			text("Åse 🌲"), text("signed off"), {"1900-03-01", "datetime", "1900-03-01 00:00:00"},
			{"2026-07-14 18:52:07", "datetime", "2026-07-14 18:52:07"}, {"0", "int", "0"}, {"0.0000001", "float", "1e-07"}, blank,
		},
	}
	// Text that spells an escape is escaped itself; openpyxl 3.0.9 does not undo that.
	var rows [][]any
	for row := range book.Sheets[0].Rows {
		rows = append(rows, row)
	}
	rows = append(rows, []any{"_x0041_", nil, nil, nil, nil, nil, nil})
	cells = append(cells, []expected{{"_x0041_", "str", "_x005F_x0041_"}, blank, blank, blank, blank, blank, blank})
	for _, line := range append(published(t), "-0", "00123", "1e5", "2026-11-25", "TRUE", " spaces ", "tab\tfeed\n.", `<&>"'`, "'quoted") {
		rows = append(rows, []any{line, nil, nil, nil, nil, nil, nil})
		cells = append(cells, []expected{text(asShown(line)), blank, blank, blank, blank, blank, blank})
	}
	book.Sheets[0].Rows = seq(nil, rows...)
	return book, cells
}

// outside runs another program and returns what it prints.
func outside(t *testing.T, program string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	require.NoError(t, err, "this test needs %s", program)
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	var faults bytes.Buffer
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Stderr = &faults
	out, err := cmd.Output()
	require.NoError(t, err, "%s: %s", program, faults.String())
	return out
}

// csvOptions are those of LibreOffice's text export: comma, double quote, UTF-8, from the first line, values as shown,
// text not always quoted, and every sheet (-1) to a file of its own (LibreOffice help, "Filter Options for CSV").
const csvOptions = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"

func TestLibreOfficeReadsIt(t *testing.T) {
	book, want := shown(t)
	path := save(t, book)
	dir := t.TempDir()
	outside(t, "soffice", "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", csvOptions, "--outdir", dir, path)

	rows := csvRows(t, filepath.Join(dir, "out-Standing.csv"))
	require.Len(t, rows, len(want)+2)
	require.Equal(t, "As far as this book knows.", rows[0][0])
	require.Equal(t, []string{"Worker", "Standing", "Until", "Last look", "Looks", "Share", "Announced"}, rows[1])
	for i, row := range want {
		for j, cell := range row {
			require.Equal(t, cell.csv, rows[i+2][j], "data row %d, column %d", i+1, j+1)
		}
	}
	require.Equal(t, [][]string{{"Sheet", "Rows"}, {"Standing", strconv.Itoa(len(want))}, {"sheet1", "0"}}, csvRows(t, filepath.Join(dir, "out-Seal.csv")))
}

func csvRows(t *testing.T, path string) [][]string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	r := csv.NewReader(bytes.NewReader(b))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	require.NoError(t, err)
	return rows
}

// script prints what openpyxl finds: cells as [type, value], and what matters of the layout.
const script = `
import json, sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
sheet = book["Standing"]
print(json.dumps({
    "sheets": book.sheetnames,
    "rows": [[[type(c.value).__name__, str(c.value)] for c in row] for row in sheet.iter_rows()],
    "types": sorted({c.data_type for row in sheet.iter_rows() for c in row}),
    "freeze": sheet.freeze_panes, "filter": sheet.auto_filter.ref, "titles": sheet.print_title_rows,
    "landscape": sheet.page_setup.orientation, "fit": [sheet.sheet_properties.pageSetUpPr.fitToPage, sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight],
    "tints": [[str(r.sqref), rule.formula[0], rule.dxf.fill.bgColor.rgb] for r in sheet.conditional_formatting for rule in r.rules],
    "width": sheet.column_dimensions["A"].width, "title": book.properties.title, "created": str(book.properties.created),
    "streamed": sum(1 for _ in openpyxl.load_workbook(sys.argv[1], read_only=True)["Standing"].iter_rows()),
}))
`

func TestOpenpyxlReadsIt(t *testing.T) {
	book, want := shown(t)
	var got struct {
		Sheets, Types          []string
		Rows                   [][][2]string
		Freeze, Filter, Titles string
		Landscape              string
		Fit                    []any
		Tints                  [][]string
		Width                  float64
		Title, Created         string
		Streamed               int
	}
	require.NoError(t, json.Unmarshal(outside(t, "/usr/bin/python3", "-c", script, save(t, book)), &got))
	require.Equal(t, []string{"Standing", "sheet1", "Seal"}, got.Sheets)
	require.Len(t, got.Rows, len(want)+2)
	for i, row := range want {
		for j, cell := range row {
			require.Equal(t, [2]string{cell.kind, cell.value}, got.Rows[i+2][j], "data row %d, column %d", i+1, j+1)
		}
	}
	require.Equal(t, len(want)+2, got.Streamed, "a reader that believes a dimension must see every row")
	require.NotContains(t, got.Types, "f", "no formula")
	require.Equal(t, []any{"A3", "$A$2:$G$" + strconv.Itoa(len(want)+2), "1:2"}, []any{got.Freeze, got.Filter, strings.ReplaceAll(got.Titles, "$", "")})
	require.Equal(t, "landscape", got.Landscape)
	require.Equal(t, []any{true, 1.0, 0.0}, got.Fit)
	last := strconv.Itoa(len(want) + 2)
	require.Equal(t, [][]string{{"B3:B" + last, `"restricted"`, "FFF4C7C3"}, {"B3:B" + last, `"due"`, "FFFFF2CC"}}, got.Tints)
	require.Equal(t, 31.0, got.Width)
	require.Equal(t, []string{"Sign-offs & looks", "2026-11-25 08:30:00"}, []string{got.Title, got.Created})
}

// TestLibreOfficeShowsEverySecond: every second of a day is shown as itself, not as the second before.
func TestLibreOfficeShowsEverySecond(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.xlsx")
	start := time.Date(2026, 4, 27, 0, 0, 0, 0, time.UTC)
	const seconds = 24 * 60 * 60
	book := Book{Title: "Seconds", Created: start, Zone: time.UTC, Sheets: []Sheet{{Name: "Seconds", Columns: []Column{{Title: "Moment", Kind: Moment}}, Rows: func(yield func([]any, error) bool) {
		for i := range seconds {
			if !yield([]any{start.Add(time.Duration(i) * time.Second)}, nil) {
				return
			}
		}
	}}}}
	_, err := Write(context.Background(), path, book)
	require.NoError(t, err)
	dir := t.TempDir()
	outside(t, "soffice", "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", csvOptions, "--outdir", dir, path)
	rows := csvRows(t, filepath.Join(dir, "out-Seconds.csv"))
	require.Len(t, rows, seconds+1)
	for i, row := range rows[1:] {
		require.Equal(t, start.Add(time.Duration(i)*time.Second).Format("2006-01-02 15:04:05"), row[0])
	}
}
