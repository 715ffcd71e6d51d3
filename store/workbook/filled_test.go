package workbook

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"example.org/ringtrue/training/civil"
)

// sample is a form with one cell of each sort.
func sampleForm() Form {
	return Form{
		Title: "Birch Creek", Created: time.Date(2026, 5, 4, 7, 0, 0, 0, time.UTC),
		Lists: []WordList{{"seen", []string{"met", "missed", "=1+2"}}},
		Grids: []Grid{
			{Name: "Fill in", Widths: []float64{20, 30, 12}, Head: 2, Wide: true, Rows: [][]FormCell{
				{{Text: "=HYPERLINK(1)", Look: Heading, Across: 3}},
				{{Text: "Point", Look: Caption}, {Text: "What", Look: Caption}, {Text: "ana", Look: Fill, Check: Check{List: "seen"}}},
				{{Text: "a", Look: Critical}, {Text: "deg", Look: Point}, {Look: Fill, Check: Check{Number: true, Min: 120, Max: 130, Hint: "120 to 130"}}},
				{{Text: "b", Look: Point}, {}, {Look: Fill, Check: Check{Number: true, Min: NoBound, Max: 3}}},
				{{Text: "c", Look: Label}, {}, {Look: Fill, Check: Check{Number: true, Min: 5, Max: NoBound}}},
				{{Text: "d", Look: Label}, {}, {Look: Fill, Check: Check{Whole: true, Max: 20}}},
				{{Text: "e", Look: Label}, {}, {Look: Fill, Check: Check{Day: true}}},
				{{Text: "f", Look: Label}, {}, {Look: Fill, Check: Check{Clock: true}}},
				{{Text: "end", Look: Remark}},
			}},
			{Name: "Form", Widths: []float64{10, 10}, Open: true, Rows: [][]FormCell{{{Text: "id", Look: Label}, {Text: "f1", Look: Point}}}},
		},
	}
}

func formBytes(t testing.TB, form Form) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "form.xlsx")
	require.NoError(t, WriteForm(context.Background(), path, form))
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return text
}

func TestFormAsksAndOffersWords(t *testing.T) {
	text := formBytes(t, sampleForm())
	require.Equal(t, text, formBytes(t, sampleForm()), "the same form gives the same bytes")
	f, err := excelize.OpenReader(bytes.NewReader(text))
	require.NoError(t, err)
	checks, err := f.GetDataValidations("Fill in")
	require.NoError(t, err)
	got := map[string][]string{}
	for _, c := range checks {
		style := "stop"
		if c.ErrorStyle != nil {
			style = *c.ErrorStyle
		}
		got[c.Sqref] = []string{c.Type, c.Operator, c.Formula1, c.Formula2, style}
	}
	require.Equal(t, []string{"list", "", "Lists!$A$2:$A$4", "", "stop"}, got["C2"])
	require.Equal(t, []string{"decimal", "between", "120", "130", "warning"}, got["C3"])
	require.Equal(t, []string{"decimal", "lessThanOrEqual", "3"}, got["C4"][:3])
	require.Equal(t, []string{"decimal", "greaterThanOrEqual", "5"}, got["C5"][:3])
	require.Equal(t, []string{"whole", "between", "0", "20", "warning"}, got["C6"])
	require.Equal(t, "date", got["C7"][0])
	require.Equal(t, "time", got["C8"][0])
	visible, err := f.GetSheetVisible("Lists")
	require.NoError(t, err)
	require.False(t, visible)
	for _, cell := range []string{"A1", "C2"} {
		formula, err := f.GetCellFormula("Fill in", cell)
		require.NoError(t, err)
		require.Empty(t, formula)
	}
	back, err := ParseFilled(text, ForeignLimits())
	require.NoError(t, err)
	require.Equal(t, "=HYPERLINK(1)", back.Sheets[0].Rows[0][0])
	require.Equal(t, []string{"Point", "What", "ana"}, back.Sheets[0].Rows[1])
	require.Equal(t, [][]string{{"seen"}, {"met"}, {"missed"}, {"=1+2"}}, back.Sheets[2].Rows)
}

func TestFormFaultsAreAllReported(t *testing.T) {
	form := sampleForm()
	form.Created = time.Time{}
	form.Grids[1].Name = "fill in"
	form.Grids[0].Widths = form.Grids[0].Widths[:2]
	form.Grids[0].Rows[1][2].Check.List = "nowhere"
	form.Grids[0].Rows[1][1].Text = strings.Repeat("x", maxText+1)
	err := WriteForm(context.Background(), filepath.Join(t.TempDir(), "x.xlsx"), form)
	for _, want := range []string{"time of creation", "another sheet has that name", "3 columns, and 2 have a width", `list "nowhere"`, "text of 32768 UTF-16 units"} {
		require.ErrorContains(t, err, want)
	}
	require.ErrorContains(t, WriteForm(context.Background(), "x.csv", sampleForm()), "must end in .xlsx")
}

// Serial numbers of known days: 61 is 1900-03-01 and 25569 is 1970-01-01 in the 1900 system, 0 is 1904-01-01 in the other one
// (ECMA-376 part 1, 18.17.4.1; from memory). Between them, days are counted by the calendar.
func TestMomentsByBothDateSystems(t *testing.T) {
	for _, c := range []struct {
		serial float64
		from04 bool
		day    string
		clock  time.Duration
	}{
		{61, false, "1900-03-01", 0}, {25569, false, "1970-01-01", 0}, {46147, false, "2026-05-05", 0}, {46147.430555555555, false, "2026-05-05", 10*time.Hour + 20*time.Minute},
		{0, true, "1904-01-01", 0}, {46147 - 1462, true, "2026-05-05", 0}, {46147.99999999, false, "2026-05-06", 0}, {2958465, false, "9999-12-31", 0},
	} {
		day, clock, err := Filled{Date1904: c.from04}.Moment(c.serial)
		require.NoError(t, err, c)
		require.Equal(t, c.day, day.String(), c)
		require.Equal(t, c.clock, clock, c)
	}
	require.Equal(t, civil.Day(serialOf1904), civil.Date(1904, 1, 1)-civil.Date(1899, 12, 30), "what lies between the two systems")
	for _, serial := range []float64{60, 59, 1, 0, -1, 2958466, 1e300, math.Inf(1), math.NaN()} {
		_, _, err := Filled{}.Moment(serial)
		require.Error(t, err, serial)
	}
}

func TestDateSystemIsRead(t *testing.T) {
	for _, want := range []bool{false, true} {
		f := excelize.NewFile()
		require.NoError(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &want}))
		require.NoError(t, f.SetCellInt("Sheet1", "A1", 44685))
		var out bytes.Buffer
		require.NoError(t, f.Write(&out))
		got, err := ParseFilled(out.Bytes(), ForeignLimits())
		require.NoError(t, err)
		require.Equal(t, want, got.Date1904)
		require.Equal(t, "44685", got.Sheets[0].Rows[0][0])
	}
}

func TestCSVFiles(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want [][]string
	}{
		"commas":          {"a,b\n1,2\n", [][]string{{"a", "b"}, {"1", "2"}}},
		"semicolons":      {"a;b\r\n\"1;x\";2,5\r\n", [][]string{{"a", "b"}, {"1;x", "2,5"}}},
		"tabs":            {"a\tb\n1\t2", [][]string{{"a", "b"}, {"1", "2"}}},
		"byte order mark": {"\uFEFF\"a\",b\n", [][]string{{"a", "b"}}},
		"quotes":          {"a,b\n\"say \"\"no\"\"\",\"two\nlines\"\nx,y\n", [][]string{{"a", "b"}, {`say "no"`, "two\nlines"}, nil, {"x", "y"}}},
		"heading":         {"Staff\na;b\n", [][]string{{"Staff"}, {"a", "b"}}},
		"blank lines":     {"a,b\n\n\n1,2\n", [][]string{{"a", "b"}, nil, nil, {"1", "2"}}},
		"formulas":        {"a,b\n'=1+2,=1+2\n'tis,'\n", [][]string{{"a", "b"}, {"=1+2", "=1+2"}, {"'tis", "'"}}},
		"one column":      {"a\nb\n", [][]string{{"a"}, {"b"}}},
	} {
		f, err := ParseFilled([]byte(c.text), ForeignLimits())
		require.NoError(t, err, name)
		require.True(t, f.CSV)
		require.Equal(t, []ReadSheet{{Name: csvName, Rows: c.want}}, f.Sheets, name)
	}
}

func TestFilesThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":       {"", "it is empty"},
		"blank":       {"\uFEFF \n\n", "it is empty"},
		"latin-1":     {"caf\xe9,b\n", "nor text in UTF-8"},
		"utf-16":      {"\xff\xfea\x00,\x00", "nor text in UTF-8"},
		"zero byte":   {"a,b\x00\n", "nor text in UTF-8"},
		"open quote":  {"a,b\n\"c,d\n", "damaged or cut"},
		"old":         {oldMark + "x", "old kind, or one with a password"},
		"open sheet":  {"PK\x03\x04" + strings.Repeat("\x00", 26) + odsMark + ".opendocument.spreadsheet", "OpenDocument"},
		"bad zip":     {"PK\x03\x04 and no more", "it is not a workbook, or damaged"},
		"long text":   {"a,b\n" + strings.Repeat("x", maxText+1) + ",y\n", "CSV!A2: text of 32768 UTF-16 units"},
		"wide":        {strings.Repeat(",", mostColumns) + "\n", "row 1 has 201 columns; at most 200"},
		"many rows":   {strings.Repeat("x\n", mostRows+1), "has 20001 rows; at most 20000"},
		"many blanks": {"a,b\n" + strings.Repeat("\n", 3*mostRows) + "c,d\n", "rows; at most 20000"},
	} {
		_, err := ParseFilled([]byte(c.text), ForeignLimits())
		require.ErrorContains(t, err, c.want, name)
	}
	few := ForeignLimits()
	few.File, few.Cells = 10, 1<<20
	_, err := ParseFilled([]byte("a,b,c,d,e,f\n"), few)
	require.ErrorContains(t, err, "more than the 10 allowed")
	few.File, few.Cells = 1<<20, 4
	_, err = ParseFilled([]byte("a,b,c,d,e,f\n"), few)
	require.ErrorContains(t, err, "more cells than allowed")
	_, err = ReadFilled(t.TempDir(), ForeignLimits())
	require.ErrorContains(t, err, "it is not a file")
	_, err = ReadFilled(filepath.Join(t.TempDir(), "none.csv"), ForeignLimits())
	require.Error(t, err)
}

// A text of 32,768 units can stand in a file, though no program lets anybody type it.
func TestLongTextOfAWorkbookIsRefused(t *testing.T) {
	long := repack(t, formBytes(t, sampleForm()), func(name string, part []byte) []byte {
		if name == "xl/sharedStrings.xml" {
			return bytes.Replace(part, []byte("Point"), bytes.Repeat([]byte("x"), maxText+1), 1)
		}
		return part
	})
	_, err := ParseFilled(long, ForeignLimits())
	require.ErrorContains(t, err, "Fill in!A2: text of 32768 UTF-16 units")
}

func TestTooMuchTextIsRefused(t *testing.T) {
	much := repack(t, formBytes(t, sampleForm()), func(name string, part []byte) []byte {
		if name == "xl/sharedStrings.xml" {
			return bytes.Replace(part, []byte("</sst>"), append(bytes.Repeat([]byte("<si><t>x</t></si>"), 1<<20), "</sst>"...), 1)
		}
		return part
	})
	_, err := ParseFilled(much, ForeignLimits())
	require.ErrorContains(t, err, "bytes of text, more than the 16777216 allowed")
}

// A formula counts as its value; one that was never computed would read as blank.
func TestFormulas(t *testing.T) {
	with := func(cell string) []byte {
		return repack(t, formBytes(t, sampleForm()), func(name string, part []byte) []byte {
			if name == "xl/worksheets/sheet1.xml" {
				require.Contains(t, string(part), `<c r="C3" s="`)
				at := bytes.Index(part, []byte(`<c r="C3" s="`))
				end := at + bytes.Index(part[at:], []byte(`</c>`)) + len(`</c>`)
				return append(append(bytes.Clone(part[:at]), cell...), part[end:]...)
			}
			return part
		})
	}
	got, err := ParseFilled(with(`<c r="C3"><f>100+25</f><v>125</v></c>`), ForeignLimits())
	require.NoError(t, err)
	require.Equal(t, "125", got.Sheets[0].Rows[2][2])
	for _, cell := range []string{`<c r="C3"><f>100+25</f></c>`, `<c r="C3"><f>100+25</f><v/></c>`, `<c r="C3"><f>100+25</f><v> </v></c>`} {
		_, err = ParseFilled(with(cell), ForeignLimits())
		require.ErrorContains(t, err, "Fill in!C3: a formula without a value", cell)
	}
	got, err = ParseFilled(with(`<c r="C3" t="str"><f>IF(1,"","x")</f><v></v></c>`), ForeignLimits())
	require.NoError(t, err, "the empty text is a value")
	require.Equal(t, "", append(got.Sheets[0].Rows[2], "")[2])
}

// Merged cells are told by their ranges, on the sheet that has them.
func TestMergedCells(t *testing.T) {
	form := sampleForm()
	before, err := ParseFilled(formBytes(t, form), ForeignLimits())
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(formBytes(t, form)))
	require.NoError(t, err)
	require.NoError(t, f.MergeCell("Fill in", "C3", "C5"))
	var out bytes.Buffer
	require.NoError(t, f.Write(&out))
	got, err := ParseFilled(out.Bytes(), ForeignLimits())
	require.NoError(t, err)
	require.Equal(t, append(before.Merged["Fill in"], "C3:C5"), got.Merged["Fill in"])
	require.Empty(t, got.Merged["Lists"])
	top, left, bottom, right, err := Corners("C3:C5")
	require.NoError(t, err)
	require.Equal(t, []int{2, 2, 4, 2}, []int{top, left, bottom, right})
	_, _, _, _, err = Corners("C3")
	require.Error(t, err)
}

func TestEveryTruncationOfAFormIsRefused(t *testing.T) {
	text := formBytes(t, sampleForm())
	for n := 0; n < len(text); n += 7 {
		_, err := ParseFilled(text[:n], ForeignLimits())
		require.Error(t, err, "cut to %d of %d bytes", n, len(text))
	}
}

func TestWorksheetOfAFormCutInHalfIsRefused(t *testing.T) {
	text := formBytes(t, sampleForm())
	half := repack(t, text, func(name string, part []byte) []byte {
		if name == "xl/worksheets/sheet1.xml" {
			return part[:len(part)/2]
		}
		return part
	})
	_, err := ParseFilled(half, ForeignLimits())
	require.ErrorContains(t, err, "xl/worksheets/sheet1.xml is damaged")
}

// Whatever the bytes are, the reader refuses them or gives sheets within the caps, and never takes a number for a day
// that does not exist.
func FuzzParseFilled(f *testing.F) {
	f.Add(formBytes(f, sampleForm()))
	f.Add([]byte("\uFEFFName;First day\r\n\"Ana; Ruiz\";04/05/2026\r\n"))
	f.Add([]byte("a\tb\n'=1+2\t\"x\ny\"\n"))
	f.Add([]byte(oldMark))
	limits := Limits{File: 1 << 16, Unpacked: 1 << 20, InMemory: 1 << 20, Cells: 50_000}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := ParseFilled(text, limits)
		if err != nil {
			require.Empty(t, got.Sheets)
			return
		}
		for _, s := range got.Sheets {
			require.LessOrEqual(t, len(s.Rows), mostRows)
			for _, row := range s.Rows {
				require.LessOrEqual(t, len(row), mostColumns)
				for _, c := range row {
					require.NoError(t, checkText(c))
				}
			}
		}
	})
}
