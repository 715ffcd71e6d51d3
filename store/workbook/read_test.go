package workbook

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// bytesOf writes the book and returns the file.
func bytesOf(t testing.TB, b Book) []byte {
	t.Helper()
	file, err := os.ReadFile(save(t, b))
	require.NoError(t, err)
	return file
}

func read(file []byte) ([]ReadSheet, error) {
	return readSheets(bytes.NewReader(file), int64(len(file)), ForeignLimits())
}

func TestReadGivesTextAsStored(t *testing.T) {
	sheets, err := Read(save(t, typed(t)), ForeignLimits())
	require.NoError(t, err)
	require.Equal(t, []ReadSheet{
		{Name: "Standing", Rows: [][]string{
			{"As far as this book knows."},
			{"Worker", "Standing", "Until", "Last look", "Looks", "Share", "Announced"},
			{"Ada", "restricted", "46351", "46217.2861921296", "3", "0.25", "1"},
			{"Bo", "due", "", "", "-12", "-1.5", "0"},
			nil,
			{"Åse 🌲", "signed off", "61", "46217.7861921296", "0", "0.0000001"},
		}},
		{Name: "sheet1", Rows: [][]string{{"Nothing yet"}}},
		{Name: "Seal", Rows: [][]string{{"Sheet", "Rows"}, {"Standing", "4"}, {"sheet1", "0"}}},
	}, sheets)
}

// A workbook as other programs write it: shared strings, and a gap between rows.
func TestReadForeignWorkbook(t *testing.T) {
	f := excelize.NewFile()
	require.NoError(t, f.SetCellStr("Sheet1", "B2", "shared"))
	require.NoError(t, f.SetCellStr("Sheet1", "A5", "=shared"))
	require.NoError(t, f.SetCellInt("Sheet1", "C5", 7))
	path := filepath.Join(t.TempDir(), "foreign.xlsx")
	require.NoError(t, f.SaveAs(path))
	require.NoError(t, f.Close())
	sheets, err := Read(path, ForeignLimits())
	require.NoError(t, err)
	require.Len(t, sheets, 1)
	require.Len(t, sheets[0].Rows, 5)
	require.Equal(t, []string{"", "shared"}, sheets[0].Rows[1])
	require.Equal(t, []string{"=shared", "", "7"}, sheets[0].Rows[4])
}

func TestEveryTruncationIsRefused(t *testing.T) {
	file := bytesOf(t, typed(t))
	for n := range file {
		_, err := read(file[:n])
		require.Error(t, err, "cut to %d of %d bytes", n, len(file))
	}
}

// A byte changed anywhere is refused or shows nothing else than before. It may lie where nothing looks: a time, a
// version, a flag of the archive.
func TestChangedBytesAreRefusedOrHarmless(t *testing.T) {
	file := bytesOf(t, typed(t))
	want, err := read(file)
	require.NoError(t, err)
	refused := 0
	for n := 0; n < len(file); n += 5 {
		changed := bytes.Clone(file)
		changed[n] ^= 0x15
		got, err := read(changed)
		if err != nil {
			refused++
			continue
		}
		require.Equal(t, want, got, "byte %d of %d", n, len(file))
	}
	require.Greater(t, refused, len(file)/5*8/10)
}

// repack copies a workbook and lets change each part; nil leaves it out.
func repack(t *testing.T, file []byte, change func(name string, part []byte) []byte) []byte {
	t.Helper()
	in, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(t, err)
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range in.File {
		r, err := f.Open()
		require.NoError(t, err)
		part, err := io.ReadAll(r)
		require.NoError(t, err)
		if part = change(f.Name, part); part != nil {
			w, err := z.Create(f.Name)
			require.NoError(t, err)
			_, err = w.Write(part)
			require.NoError(t, err)
		}
	}
	require.NoError(t, z.Close())
	return out.Bytes()
}

// The library reads the rows before the cut and reports no error, so this is what Read is for.
func TestWorksheetCutWithACorrectChecksumIsRefused(t *testing.T) {
	file := bytesOf(t, typed(t))
	const sheet = "xl/worksheets/sheet1.xml"
	for _, at := range []string{`<row r="4"`, `</row><row r="5"`, `</sheetData>`, `</worksheet>`} {
		cut := repack(t, file, func(name string, part []byte) []byte {
			if name == sheet {
				require.Contains(t, string(part), at)
				part = part[:bytes.Index(part, []byte(at))]
			}
			return part
		})
		f, err := excelize.OpenReader(bytes.NewReader(cut))
		require.NoError(t, err)
		_, err = f.GetRows("Standing")
		require.NoError(t, err, "if this fails the library has learnt to see cuts")
		_, err = read(cut)
		require.ErrorContains(t, err, "its part "+sheet+" is damaged")
	}
}

func TestMissingPartsAreRefused(t *testing.T) {
	file := bytesOf(t, typed(t))
	for _, missing := range []string{"xl/worksheets/sheet1.xml", "xl/worksheets/sheet3.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels"} {
		_, err := read(repack(t, file, func(name string, part []byte) []byte {
			if name == missing {
				return nil
			}
			return part
		}))
		require.Error(t, err, missing)
	}
}

func TestPartsOfOneNameAreRefused(t *testing.T) {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range []string{"xl/workbook.xml", `XL\Workbook.xml`} {
		_, err := z.Create(name)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	_, err := read(out.Bytes())
	require.ErrorContains(t, err, "two parts of it are called")
}

func TestReadKeepsToItsLimits(t *testing.T) {
	path := save(t, texts(strings.Repeat("x", 20_000), "short", "short"))
	at, err := os.Stat(path)
	require.NoError(t, err)
	for says, change := range map[string]func(*Limits){
		"more than the":      func(l *Limits) { l.File = at.Size() - 1 },
		"damaged or too":     func(l *Limits) { l.Unpacked = 10_000 },
		"more cells than al": func(l *Limits) { l.Cells = 7 },
	} {
		limits := ForeignLimits()
		change(&limits)
		sheets, err := Read(path, limits)
		require.ErrorContains(t, err, "read workbook "+path)
		require.ErrorContains(t, err, says)
		require.Nil(t, sheets)
	}
	limits := Limits{File: at.Size(), Unpacked: 64 << 10, InMemory: 1000, Cells: 8}
	sheets, err := Read(path, limits)
	require.NoError(t, err, "through temporary files")
	require.Len(t, sheets[0].Rows, 4)
}

// One cell far out makes a row of 16,384 cells, and one row far down a million of them: neither may fill the memory.
func TestFarCellsCountAgainstTheLimit(t *testing.T) {
	file := bytesOf(t, texts("a", "b"))
	for _, c := range [][2]string{{`<c r="A3"`, `<c r="XFD3"`}, {`<row r="3"><c r="A3"`, `<row r="1048576"><c r="A1048576"`}} {
		far := repack(t, file, func(_ string, part []byte) []byte {
			return bytes.Replace(part, []byte(c[0]), []byte(c[1]), 1)
		})
		limits := ForeignLimits()
		limits.Cells = 10_000
		_, err := readSheets(bytes.NewReader(far), int64(len(far)), limits)
		require.ErrorContains(t, err, `sheet "Texts": more cells than allowed`)
	}
}

func TestReadNamesWhatIsNoWorkbook(t *testing.T) {
	dir := t.TempDir()
	_, err := Read(dir, ForeignLimits())
	require.ErrorContains(t, err, "it is not a file")
	_, err = Read(filepath.Join(dir, "none.xlsx"), ForeignLimits())
	require.ErrorIs(t, err, os.ErrNotExist)
	path := filepath.Join(dir, "text.xlsx")
	require.NoError(t, os.WriteFile(path, []byte("worker,skill\n"), 0o600))
	_, err = Read(path, ForeignLimits())
	require.ErrorContains(t, err, "it is not a workbook, or damaged")
}

// FuzzRead asks only that a foreign file is read or refused, within the limits. It is given one part of a workbook, in
// an archive that is sound: changes to the archive itself end at a checksum.
func FuzzRead(f *testing.F) {
	file := bytesOf(f, texts("a", "b"))
	in, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(f, err)
	for i, part := range in.File {
		r, err := part.Open()
		require.NoError(f, err)
		b, err := io.ReadAll(r)
		require.NoError(f, err)
		f.Add(uint8(i), b)
	}
	f.Add(uint8(0), []byte(`<worksheet><sheetData><row r="2"><c r="ZZZ1" t="s"><v>7</v></c><c t="b"/><c r="B2" t="inlineStr"><is/></c></row></sheetData></worksheet>`))
	limits := Limits{File: 1 << 20, Unpacked: 1 << 20, InMemory: 1 << 16, Cells: 100_000}
	f.Fuzz(func(t *testing.T, which uint8, part []byte) {
		changed := in.File[int(which)%len(in.File)].Name
		book := repack(t, file, func(name string, old []byte) []byte {
			if name == changed {
				return append([]byte{}, part...)
			}
			return old
		})
		sheets, err := readSheets(bytes.NewReader(book), int64(len(book)), limits)
		require.True(t, err == nil || sheets == nil)
		cells := 0
		for _, s := range sheets {
			for _, row := range s.Rows {
				cells += len(row)
			}
		}
		require.LessOrEqual(t, cells, limits.Cells)
	})
}
