package workbook

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"example.org/ringtrue/training/civil"
)

var bg = context.Background()

var created = time.Date(2026, 11, 25, 8, 30, 0, 0, time.UTC)

// day reads YYYY-MM-DD.
func day(t testing.TB, s string) civil.Day {
	t.Helper()
	d, err := civil.Parse(s)
	require.NoError(t, err)
	return d
}

// seq yields the rows given, then the error if there is one.
func seq(err error, rows ...[]any) iter.Seq2[[]any, error] {
	return func(yield func([]any, error) bool) {
		for _, row := range rows {
			if !yield(row, nil) {
				return
			}
		}
		if err != nil {
			yield(nil, err)
		}
	}
}

// texts is a book of one sheet with one column of text.
func texts(lines ...string) Book {
	var rows [][]any
	for _, line := range lines {
		rows = append(rows, []any{line})
	}
	return Book{Created: created, Sheets: []Sheet{{Name: "Texts", Columns: []Column{{Title: "Text"}}, Rows: seq(nil, rows...)}}}
}

// typed is a book with every kind of column, a note, tints, an empty sheet and a closing sheet.
func typed(t testing.TB) Book {
	vancouver, err := time.LoadLocation("America/Vancouver")
	require.NoError(t, err)
	at := time.Date(2026, 7, 14, 13, 52, 7, 999, time.UTC)
	return Book{Title: "Sign-offs & looks", Created: created, Zone: vancouver, Sheets: []Sheet{
		{
			Name: "Standing", Note: "As far as this book knows.",
			Columns: []Column{
				{Title: "Worker", Width: 31}, {Title: "Standing", Tint: Tint{Stopped: []string{"restricted"}, Soon: []string{"due"}}},
				{Title: "Until", Kind: Day}, {Title: "Last look", Kind: Moment}, {Title: "Looks", Kind: Number},
				{Title: "Share", Kind: Number}, {Title: "Announced", Kind: Flag},
			},
			Rows: seq(nil,
				[]any{"Ada", "restricted", day(t, "2026-11-25"), at, 3, 0.25, true},
				[]any{"Bo", "due", civil.None, time.Time{}, int64(-12), -1.5, false},
				[]any{"", nil, nil, nil, nil, nil, nil},
				[]any{"Åse 🌲", "signed off", day(t, "1900-03-01"), at.Add(12 * time.Hour), 0, 1e-7, nil}),
		},
		{Name: "sheet1", Columns: []Column{{Title: "Nothing yet"}}},
		{Name: "Seal", Late: totals},
	}}
}

// totals is a late sheet of control totals.
func totals(written []Count) Sheet {
	var rows [][]any
	for _, c := range written {
		rows = append(rows, []any{c.Sheet, c.Rows})
	}
	return Sheet{Columns: []Column{{Title: "Sheet"}, {Title: "Rows", Kind: Number}}, Rows: seq(nil, rows...)}
}

// save writes the book into a new folder and returns its path.
func save(t testing.TB, b Book) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "out.xlsx")
	_, err := Write(bg, path, b)
	require.NoError(t, err)
	return path
}

// partOf returns one file of the archive.
func partOf(t testing.TB, path, name string) string {
	t.Helper()
	z, err := zip.OpenReader(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, z.Close()) }()
	in, err := z.Open(name)
	require.NoError(t, err)
	b, err := io.ReadAll(in)
	require.NoError(t, err)
	return string(b)
}

func TestTypedCellsInTheXML(t *testing.T) {
	path := filepath.Join(t.TempDir(), "typed.xlsx")
	counts, err := Write(bg, path, typed(t))
	require.NoError(t, err)
	require.Equal(t, []Count{{"Standing", 4}, {"sheet1", 0}, {"Seal", 2}}, counts)

	xml := partOf(t, path, "xl/worksheets/sheet1.xml")
	// 2026-07-14 is 46217; 13:52:07 UTC is 06:52:07 at Vancouver, 24,727 s, 0.286192129629… of a day.
	for _, cell := range []string{
		`<c r="A1" s="9" t="inlineStr"><is><t>As far as this book knows.</t></is></c>`,
		`<c r="A3" s="1" t="inlineStr"><is><t>Ada</t></is></c>`,
		`<c r="B3" s="1" t="inlineStr"><is><t>restricted</t></is></c>`,
		`<c r="C3" s="2"><v>46351</v></c>`,
		`<c r="D3" s="3"><v>46217.2861921296</v></c>`,
		`<c r="E3" s="5"><v>3</v></c><c r="F3" s="5"><v>0.25</v></c><c r="G3" s="4" t="b"><v>1</v></c>`,
		`<c r="B4" s="1" t="inlineStr"><is><t>due</t></is></c><c r="E4" s="5"><v>-12</v></c><c r="F4" s="5"><v>-1.5</v></c><c r="G4" s="4" t="b"><v>0</v></c>`,
		`<row r="5"></row>`,
		`<c r="C6" s="2"><v>61</v></c><c r="D6" s="3"><v>46217.7861921296</v></c><c r="E6" s="5"><v>0</v></c><c r="F6" s="5"><v>0.0000001</v></c></row>`,
	} {
		require.Contains(t, xml, cell)
	}
	require.NotContains(t, xml, "<dimension", "it would say A1")
	require.Contains(t, partOf(t, path, "xl/worksheets/sheet3.xml"), `<t>sheet1</t></is></c><c r="B3" s="5"><v>0</v></c>`)
}

func TestLayoutOfASheet(t *testing.T) {
	path := save(t, typed(t))
	xml := partOf(t, path, "xl/worksheets/sheet1.xml")
	for _, part := range []string{
		`<pageSetUpPr fitToPage="true">`,
		`<pane activePane="bottomLeft" state="frozen" topLeftCell="A3" ySplit="2">`,
		`<cols><col min="1" max="1" width="31" customWidth="1" style="1"/><col min="2" max="2" width="24" customWidth="1" style="1"/>` +
			`<col min="3" max="3" width="11" customWidth="1" style="2"/><col min="4" max="4" width="19" customWidth="1" style="3"/>` +
			`<col min="5" max="5" width="10" customWidth="1" style="5"/><col min="6" max="6" width="10" customWidth="1" style="5"/>` +
			`<col min="7" max="7" width="12" customWidth="1" style="4"/></cols>`,
		`<autoFilter ref="$A$2:$G$6">`,
		`<conditionalFormatting sqref="B3:B6"><cfRule type="cellIs" dxfId="0" priority="1" operator="equal"><formula>&#34;restricted&#34;</formula></cfRule>` +
			`<cfRule type="cellIs" dxfId="1" priority="2" operator="equal"><formula>&#34;due&#34;</formula></cfRule></conditionalFormatting>`,
		`<mergeCells count="1"><mergeCell ref="A1:G1"/></mergeCells>`,
		`<pageMargins left="0.5" right="0.5" top="0.5" bottom="0.5" header="0.25" footer="0.25">`,
		`<pageSetup fitToHeight="0" fitToWidth="1" orientation="landscape" paperSize="9">`,
		`<oddFooter>&amp;L&amp;F&amp;C&amp;A&amp;RPage &amp;P of &amp;N</oddFooter>`,
	} {
		require.Contains(t, xml, part)
	}
	names := partOf(t, path, "xl/workbook.xml")
	require.Contains(t, names, `<definedName localSheetId="0" name="_xlnm.Print_Titles">&#39;Standing&#39;!$1:$2</definedName>`)
	require.Contains(t, names, `<definedName localSheetId="1" name="_xlnm.Print_Titles">&#39;sheet1&#39;!$1:$1</definedName>`)
	core := partOf(t, path, "docProps/core.xml")
	require.Contains(t, core, "<dc:title>Sign-offs &amp; looks</dc:title><dc:creator>ringtrue</dc:creator>")
	require.Equal(t, 2, strings.Count(core, ">2026-11-25T08:30:00Z<"), "created and modified")
}

func TestWideSheetsKeepTheirFirstColumns(t *testing.T) {
	book := typed(t)
	book.Paper = Letter
	s := &book.Sheets[0]
	s.Left, s.Pages, s.Note = 2, 3, "A & B "+strings.Repeat("long ", 58)
	s.Columns[0].Wrap = true
	path := save(t, book)
	xml := partOf(t, path, "xl/worksheets/sheet1.xml")
	for _, part := range []string{
		`<pane activePane="bottomRight" state="frozen" topLeftCell="C3" xSplit="2" ySplit="2">`,
		`<pageSetup fitToHeight="0" fitToWidth="3" orientation="landscape" paperSize="1">`,
		`<col min="1" max="1" width="31" customWidth="1" style="6"/>`,
		`<row r="1" s="9" customFormat="1" ht="45" customHeight="1">`, // 300 letters over 117 characters
	} {
		require.Contains(t, xml, part)
	}
	require.Contains(t, partOf(t, path, "xl/workbook.xml"), `name="_xlnm.Print_Titles">&#39;Standing&#39;!$A:$B,&#39;Standing&#39;!$2:$2</definedName>`)
	require.Contains(t, xml, `<oddHeader>&amp;LA &amp;&amp; B long `, "the note stands above each page: its row would be cut on those to the right")
	require.Contains(t, xml, `…</oddHeader>`)
}

func TestReadThroughTheLibrary(t *testing.T) {
	f, err := excelize.OpenFile(save(t, typed(t)))
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	require.Equal(t, []string{"Standing", "sheet1", "Seal"}, f.GetSheetList())
	rows, err := f.GetRows("Standing")
	require.NoError(t, err)
	require.Equal(t, [][]string{
		{"As far as this book knows."},
		{"Worker", "Standing", "Until", "Last look", "Looks", "Share", "Announced"},
		{"Ada", "restricted", "2026-11-25", "2026-07-14 06:52:07", "3", "0.25", "TRUE"},
		{"Bo", "due", "", "", "-12", "-1.5", "FALSE"},
		nil,
		{"Åse 🌲", "signed off", "1900-03-01", "2026-07-14 18:52:07", "0", "0.0000001"},
	}, rows)
}

// published reads the OWASP list of what makes a cell dangerous.
func published(t *testing.T) (texts []string) {
	t.Helper()
	b, err := os.ReadFile("../../testdata/published/csv-injection-owasp.json")
	require.NoError(t, err)
	var table struct {
		First   []string `json:"first_characters"`
		Escapes []struct{ Input string }
	}
	require.NoError(t, json.Unmarshal(b, &table))
	require.NotEmpty(t, table.First)
	require.NotEmpty(t, table.Escapes)
	for _, first := range table.First {
		texts = append(texts, first, first+"1+2", first+`HYPERLINK("file:x","y")`)
	}
	for _, e := range table.Escapes {
		texts = append(texts, e.Input)
	}
	return texts
}

func TestTextThatLooksLikeAFormulaStaysText(t *testing.T) {
	lines := published(t)
	path := save(t, texts(lines...))
	xml := partOf(t, path, "xl/worksheets/sheet1.xml")
	require.Equal(t, len(lines)+1, strings.Count(xml, `t="inlineStr"`), "every text and the title")
	for _, element := range []string{"<f>", "<f ", "<hyperlink", `t="str"`, "<v>"} {
		require.NotContains(t, xml, element)
	}
	require.Contains(t, partOf(t, path, "xl/styles.xml"), `<xf numFmtId="49"`, "text stays text when edited")

	sheets, err := Read(path, ForeignLimits())
	require.NoError(t, err)
	require.Len(t, sheets[0].Rows, len(lines)+1)
	for i, line := range lines {
		require.Equal(t, []string{asShown(line)}, sheets[0].Rows[i+1])
	}
}

func TestSameBookSameBytes(t *testing.T) {
	book := typed(t)
	for _, name := range []string{"A", "B", "C", "D"} { // enough for a map's order to show
		book.Sheets = append(book.Sheets, Sheet{Name: name, Columns: book.Sheets[0].Columns, Rows: book.Sheets[0].Rows})
	}
	first, err := os.ReadFile(save(t, book))
	require.NoError(t, err)
	for range 5 {
		again, err := os.ReadFile(save(t, book))
		require.NoError(t, err)
		require.True(t, bytes.Equal(first, again))
	}
}

func TestPartsCarryOneFixedTime(t *testing.T) {
	z, err := zip.OpenReader(save(t, typed(t)))
	require.NoError(t, err)
	defer func() { require.NoError(t, z.Close()) }()
	require.NotEmpty(t, z.File)
	for _, f := range z.File {
		require.True(t, f.Modified.Equal(time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)), f.Name)
	}
}

func TestFileIsPrivateAndReplacesTheOldOne(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.xlsx")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o644))
	_, err := Write(bg, path, texts("new"))
	require.NoError(t, err)
	at, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), at.Mode().Perm())
	require.Equal(t, []string{"out.xlsx"}, folder(t, filepath.Dir(path)))
}

// folder lists all names in a folder, hidden ones too.
func folder(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// big yields n rows of text that take about 30 KB each, so that the library spools them to the disk.
func big(n int, then error) iter.Seq2[[]any, error] {
	text := strings.Repeat("thinning ", 3400)
	return func(yield func([]any, error) bool) {
		for range n {
			if !yield([]any{text}, nil) {
				return
			}
		}
		if then != nil {
			yield(nil, then)
		}
	}
}

func TestFailureLeavesNoFile(t *testing.T) {
	columns := []Column{{Title: "Text"}}
	broken := errors.New("the ledger ended early")
	cancelled, cancel := context.WithCancel(bg)
	for name, c := range map[string]struct {
		ctx   context.Context
		sheet Sheet
		is    error
		says  string
	}{
		"rows break":        {bg, Sheet{Rows: seq(broken, []any{"a"})}, broken, `sheet "Notes", row 2: the ledger ended early`},
		"rows break late":   {bg, Sheet{Rows: big(600, broken)}, broken, `row 601`},
		"wrong kind":        {bg, Sheet{Rows: seq(nil, []any{"a"}, []any{7})}, nil, `sheet "Notes", row 2: column "Text": a value of type int`},
		"too few values":    {bg, Sheet{Rows: seq(nil, []any{})}, nil, `sheet "Notes", row 1: 0 values for 1 columns`},
		"too long":          {bg, Sheet{Rows: seq(nil, []any{strings.Repeat("x", 32768)})}, nil, `row 1: column "Text": text of 32768 UTF-16 units`},
		"cancelled by rows": {cancelled, Sheet{Rows: cancelling(cancel)}, context.Canceled, `context canceled`},
		"cancelled before":  {done(), Sheet{}, context.Canceled, `context canceled`},
	} {
		t.Run(name, func(t *testing.T) {
			c.sheet.Name, c.sheet.Columns = "Notes", columns
			dir := t.TempDir()
			path := filepath.Join(dir, "out.xlsx")
			counts, err := Write(c.ctx, path, Book{Created: created, Sheets: []Sheet{c.sheet}})
			require.ErrorContains(t, err, "write workbook "+path)
			require.ErrorContains(t, err, c.says)
			if c.is != nil {
				require.ErrorIs(t, err, c.is)
			}
			require.Nil(t, counts)
			require.Empty(t, folder(t, dir))

			require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
			_, err = Write(c.ctx, path, Book{Created: created, Sheets: []Sheet{c.sheet}})
			require.Error(t, err)
			require.Equal(t, []string{"out.xlsx"}, folder(t, dir))
			old, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, "old", string(old))
		})
	}
}

// cancelling yields rows without end and cancels after the thousandth.
func cancelling(cancel func()) iter.Seq2[[]any, error] {
	return func(yield func([]any, error) bool) {
		for n := 0; yield([]any{"x"}, nil); n++ {
			if n == 1000 {
				cancel()
			}
		}
	}
}

func done() context.Context {
	ctx, cancel := context.WithCancel(bg)
	cancel()
	return ctx
}

func TestPathIsChecked(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "file"), nil, 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.xlsx"), 0o700))
	for name, says := range map[string]string{
		"none/out.xlsx": "the folder " + filepath.Join(dir, "none") + " does not exist",
		"file/out.xlsx": "file",
		"out.csv":       "must end in .xlsx",
		"out":           "must end in .xlsx",
		"folder.xlsx":   "something other than a file has that name",
	} {
		_, err := Write(bg, filepath.Join(dir, name), texts("a"))
		require.ErrorContains(t, err, says, name)
	}
	require.Equal(t, []string{"file", "folder.xlsx"}, folder(t, dir))
}

func TestLargeSheetsGoThroughTheDisk(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out.xlsx")
	sheets := []Sheet{{Name: "First", Columns: []Column{{Title: "Text"}}, Rows: big(600, nil)}}
	sheets = append(sheets, sheets[0])
	sheets[1].Name = "Second"
	counts, err := Write(bg, path, Book{Created: created, Sheets: sheets})
	require.NoError(t, err)
	require.Equal(t, []Count{{"First", 600}, {"Second", 600}}, counts)
	require.Equal(t, []string{"out.xlsx"}, folder(t, dir))
	for _, sheet := range []string{"xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml"} {
		xml := partOf(t, path, sheet)
		require.Equal(t, 601, strings.Count(xml, "<row "))
		require.True(t, strings.HasSuffix(xml, "</worksheet>"))
	}
}

// A part beyond 4 GiB cannot be made in a test; a lower limit stands for it.
func TestPartBeyondTheLimitIsAnError(t *testing.T) {
	a := newArchive(bg, io.Discard)
	a.limit = 10
	w, err := a.Create("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	_, err = w.Write(make([]byte, 10))
	require.NoError(t, err)
	_, err = w.Write(make([]byte, 1))
	require.ErrorContains(t, err, "xl/worksheets/sheet1.xml is larger than 10 bytes")
	require.Error(t, a.Close())
	require.Error(t, a.end(), "the library may have dropped the error")
}

func TestArchiveRemembersAFailedDisk(t *testing.T) {
	a := newArchive(bg, failing{})
	w, err := a.Create("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	noise := make([]byte, 1<<20)
	for i := range noise {
		noise[i] = byte(i * i >> 3)
	}
	for range 8 {
		_, err = w.Write(noise)
		if err != nil {
			break
		}
	}
	require.ErrorContains(t, err, "no space")
	require.ErrorContains(t, a.end(), "no space")
	require.Error(t, a.AddFS(nil))
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("no space") }
