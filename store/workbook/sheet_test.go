package workbook

import (
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// numbered is a sheet of n rows holding 1 to n.
func numbered(name string, n int) Sheet {
	var rows [][]any
	for i := range n {
		rows = append(rows, []any{i + 1})
	}
	return Sheet{Name: name, Columns: []Column{{Title: "No.", Kind: Number}}, Rows: seq(nil, rows...)}
}

func TestSheetContinues(t *testing.T) {
	noted := numbered("Noted", 5)
	noted.Note = "Read this first."
	for _, c := range []struct {
		sheet Sheet
		rows  int // of one worksheet, titles and note included
		want  []Count
	}{
		{numbered("Plain", 0), 4, []Count{{"Plain", 0}}},
		{numbered("Plain", 3), 4, []Count{{"Plain", 3}}},
		{numbered("Plain", 4), 4, []Count{{"Plain", 3}, {"Plain 2", 1}}},
		{numbered("Plain", 7), 4, []Count{{"Plain", 3}, {"Plain 2", 3}, {"Plain 3", 1}}},
		{noted, 4, []Count{{"Noted", 2}, {"Noted 2", 2}, {"Noted 3", 1}}},
	} {
		path := filepath.Join(t.TempDir(), "out.xlsx")
		counts, err := write(bg, path, Book{Created: created, Sheets: []Sheet{c.sheet}}, c.rows)
		require.NoError(t, err)
		require.Equal(t, c.want, counts)
		sheets, err := Read(path, ForeignLimits())
		require.NoError(t, err)
		require.Len(t, sheets, len(c.want))
		next := 1
		for i, sheet := range sheets {
			require.Equal(t, c.want[i].Sheet, sheet.Name)
			rows := sheet.Rows
			if c.sheet.Note != "" {
				require.Equal(t, []string{c.sheet.Note}, rows[0])
				rows = rows[1:]
			}
			require.Equal(t, []string{"No."}, rows[0])
			require.Len(t, rows[1:], c.want[i].Rows)
			for _, row := range rows[1:] {
				require.Equal(t, []string{num(next)}, row)
				next++
			}
		}
	}
}

func num(n int) string { return string(rune('0' + n)) }

// The format's own figure: 1,048,576 rows, so 1,048,575 under a row of titles.
func TestRowsOfOneWorksheet(t *testing.T) {
	require.Equal(t, 1_048_575+1, worksheetRows)
}

func TestContinuedNamesFitAndDoNotCollide(t *testing.T) {
	require.Equal(t, "Looks", continued("Looks", 1))
	require.Equal(t, "Looks 2", continued("Looks", 2))
	long := strings.Repeat("n", 31)
	require.Equal(t, strings.Repeat("n", 29)+" 2", continued(long, 2))
	require.Equal(t, strings.Repeat("n", 28)+" 10", continued(long, 10))
	require.Equal(t, strings.Repeat("🌲", 14)+" 2", continued(strings.Repeat("🌲", 15), 2), "a tree has two units")

	for _, names := range [][2]string{{"Looks", "Looks 2"}, {"Looks", "looks 2"}} {
		book := Book{Created: created, Sheets: []Sheet{numbered(names[0], 4), numbered(names[1], 1)}}
		_, err := write(bg, filepath.Join(t.TempDir(), "out.xlsx"), book, 4)
		require.ErrorContains(t, err, `sheet "`+names[1]+`": another sheet has that name`)
	}
}

func TestLayoutFaultsAreReportedAtOnce(t *testing.T) {
	long := strings.Repeat("x", 32768)
	path := filepath.Join(t.TempDir(), "out.xlsx")
	_, err := Write(bg, path, Book{})
	require.ErrorContains(t, err, "the book has no sheets")
	require.ErrorContains(t, err, "the book has no time of creation")

	ok := []Column{{Title: "A"}}
	book := Book{Created: created, Sheets: []Sheet{
		{Name: "Same", Columns: ok}, {Name: "SAME", Columns: ok}, {Name: "", Columns: ok}, {Name: "a/b", Columns: ok},
		{Name: "Joe's", Columns: ok}, {Name: "bell\a", Columns: ok}, {Name: " x", Columns: ok}, {Name: "History", Columns: ok},
		{Name: strings.Repeat("🌲", 16), Columns: ok}, {Name: "no columns"}, {Name: "note", Note: long, Columns: ok},
		{Name: "columns", Columns: []Column{{}, {Title: long}, {Title: "k", Kind: 9}, {Title: "w", Width: 256}, {Title: "n", Width: -1}}},
		{Name: "tints", Columns: []Column{
			{Title: "d", Kind: Day, Tint: Tint{Soon: []string{"due"}}}, {Title: "e", Tint: Tint{Stopped: []string{""}}},
		}},
		{Name: "wide", Columns: make([]Column, 16385)},
	}}
	_, err = Write(bg, path, book)
	for _, says := range []string{
		`sheet "SAME": another sheet has that name`,
		`sheet "": a sheet name has 1 to 31 UTF-16 units, this one 0`,
		`sheet "a/b": a sheet name is UTF-8 without`, `sheet "Joe's": `, `sheet "bell\a": `,
		`sheet " x": a sheet name neither begins`, `sheet "History": spreadsheet programs keep`,
		"this one 32", `sheet "no columns": 0 columns; a sheet has 1 to 16384`, `sheet "wide": 16385 columns`,
		`sheet "note": text of 32768 UTF-16 units; a cell holds 32767`,
		`sheet "columns": column 1 (""): no title`, `text of 32768`, `column 3 ("k"): unknown kind 9`,
		`column 4 ("w"): width 256`, `column 5 ("n"): width -1`,
		`column 1 ("d"): tints mark words, and this column is one of days`, `the tinted word "" does not have 1 to 255`,
	} {
		require.ErrorContains(t, err, says)
	}
	require.Empty(t, folder(t, filepath.Dir(path)))
}

func TestLateSheetsAreCheckedToo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.xlsx")
	late := func(name string, s Sheet) Book {
		book := texts("a")
		book.Sheets = append(book.Sheets, Sheet{Name: name, Late: func([]Count) Sheet { return s }})
		return book
	}
	ok := Sheet{Columns: []Column{{Title: "A"}}}
	for says, book := range map[string]Book{
		`sheet "bad/name"`:                                                late("bad/name", ok),
		`sheet "TEXTS": another sheet has that name`:                      late("TEXTS", ok),
		`sheet "Late": 0 columns`:                                         late("Late", Sheet{}),
		`sheet "Late": chart "C": it has no series`:                       late("Late", Sheet{Columns: ok.Columns, Charts: []Chart{{Title: "C"}}}),
		`sheet "Late": 1 columns stay in view; at least one does not`:     late("Late", Sheet{Columns: ok.Columns, Left: 1}),
		`sheet "Late": 21 pages wide; a sheet prints 1 to 20`:             late("Late", Sheet{Columns: ok.Columns, Pages: 21}),
		`sheet "Late": column 1 ("A"): only text wraps, and this column`:  late("Late", Sheet{Columns: []Column{{Title: "A", Kind: Day, Wrap: true}}}),
		`sheet "Late": chart "C": a series goes beyond the 0 rows of the`: late("Late", Sheet{Columns: ok.Columns, Charts: []Chart{{Title: "C", Series: []Series{{From: 1, To: 1}}}}}),
	} {
		_, err := Write(bg, path, book)
		require.ErrorContains(t, err, says)
	}
	require.Empty(t, folder(t, filepath.Dir(path)))
}

// A late sheet knows the rows of all others and stands where it was named, before those that were written earlier.
func TestLateSheetKeepsItsPlace(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.xlsx")
	book := Book{Created: created, Sheets: []Sheet{{Name: "Read me", Late: totals}, numbered("Plain", 6), {Name: "Late", Late: totals}, numbered("Last", 1)}}
	counts, err := write(bg, path, book, 6)
	require.NoError(t, err)
	require.Equal(t, []Count{{"Read me", 4}, {"Plain", 5}, {"Plain 2", 1}, {"Late", 3}, {"Last", 1}}, counts)
	sheets, err := Read(path, ForeignLimits())
	require.NoError(t, err)
	require.Len(t, sheets, 5)
	require.Equal(t, ReadSheet{"Read me", [][]string{{"Sheet", "Rows"}, {"Plain", "5"}, {"Plain 2", "1"}, {"Late", "3"}, {"Last", "1"}}}, sheets[0])
	require.Equal(t, [][]string{{"No."}, {"1"}, {"2"}, {"3"}, {"4"}, {"5"}}, sheets[1].Rows)
	require.Equal(t, [][]string{{"No."}, {"6"}}, sheets[2].Rows)
	require.Equal(t, "Late", sheets[3].Name)
	require.Equal(t, []string{"Plain", "5"}, sheets[3].Rows[1])
	names := partOf(t, path, "xl/workbook.xml")
	for i, s := range sheets {
		require.Contains(t, names, `<definedName localSheetId="`+strconv.Itoa(i)+`" name="_xlnm.Print_Titles">&#39;`+s.Name+`&#39;!$1:$1</definedName>`)
	}
}

func TestWidthSuitsKindAndTitle(t *testing.T) {
	require.Equal(t, 7.5, Column{Title: "A", Width: 7.5}.width())
	require.Equal(t, 11.0, Column{Title: "Day", Kind: Day}.width())
	require.Equal(t, 15.0, Column{Title: "Height (m)..", Kind: Number}.width())
	require.Equal(t, 24.0, Column{Title: strings.Repeat("w", 60), Kind: Flag}.width())
}
