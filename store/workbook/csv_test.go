package workbook

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// saveCSV writes the book into a new folder and returns its path.
func saveCSV(t *testing.T, b Book) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "out")
	_, err := WriteCSV(bg, dir, b)
	require.NoError(t, err)
	return dir
}

func fileText(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(b)
}

func TestCSVHoldsTheSheets(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	counts, err := WriteCSV(bg, dir, typed(t))
	require.NoError(t, err)
	require.Equal(t, []Count{{"Standing", 4}, {"sheet1", 0}, {"Seal", 2}}, counts)
	require.ElementsMatch(t, []string{"Standing.csv", "sheet1.csv", "Seal.csv"}, folder(t, dir))
	require.Equal(t, "\uFEFF"+`"As far as this book knows."`+"\r\n"+
		`"Worker","Standing","Until","Last look","Looks","Share","Announced"`+"\r\n"+
		`"Ada","restricted","2026-11-25","2026-07-14 06:52:07","3","0.25","TRUE"`+"\r\n"+
		`"Bo","due","","","-12","-1.5","FALSE"`+"\r\n"+
		`"","","","","","",""`+"\r\n"+
		`"Åse 🌲","signed off","1900-03-01","2026-07-14 18:52:07","0","0.0000001",""`+"\r\n", fileText(t, filepath.Join(dir, "Standing.csv")))
	require.Equal(t, "\uFEFF"+"\"Sheet\",\"Rows\"\r\n\"Standing\",\"4\"\r\n\"sheet1\",\"0\"\r\n", fileText(t, filepath.Join(dir, "Seal.csv")))
}

// Of the two published escapes the outputs are those of the table; a dangerous first character never stands first.
func TestCSVTextIsInert(t *testing.T) {
	lines := published(t)
	text := fileText(t, filepath.Join(saveCSV(t, texts(lines...)), "Texts.csv"))
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\uFEFF"))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(lines)+1)
	for i, line := range lines {
		if want := asShown(line); want == line {
			require.Equal(t, []string{"'" + line}, rows[i+1])
		} else { // a carriage return, which can begin a new cell, is none any more
			require.Equal(t, []string{want}, rows[i+1])
		}
	}
	var table struct {
		Escapes []struct{ Input, Output string }
	}
	require.NoError(t, json.Unmarshal([]byte(fileText(t, "../../testdata/published/csv-injection-owasp.json")), &table))
	require.NotEmpty(t, table.Escapes)
	for _, e := range table.Escapes {
		require.Contains(t, text, "\r\n"+e.Output+"\r\n")
	}
}

func TestCSVContinues(t *testing.T) {
	noted := numbered("Noted", 5)
	noted.Note = "Read this first."
	dir := filepath.Join(t.TempDir(), "out")
	counts, err := writeCSV(bg, dir, Book{Created: created, Sheets: []Sheet{{Name: "Read me", Late: totals}, noted}}, 4)
	require.NoError(t, err)
	require.Equal(t, []Count{{"Read me", 3}, {"Noted", 2}, {"Noted 2", 2}, {"Noted 3", 1}}, counts)
	require.Equal(t, "\uFEFF\"Read this first.\"\r\n\"No.\"\r\n\"5\"\r\n", fileText(t, filepath.Join(dir, "Noted 3.csv")))
}

func TestCSVFailureLeavesNothing(t *testing.T) {
	at := t.TempDir()
	dir := filepath.Join(at, "out")
	broken := errors.New("the ledger ended early")
	for says, rows := range map[string]Sheet{
		"the ledger ended early":                      {Rows: seq(broken, []any{"a"})},
		"text of 32768 UTF-16 units":                  {Rows: seq(nil, []any{strings.Repeat("x", 32768)})},
		"a value of type int does not belong":         {Rows: seq(nil, []any{1})},
		`sheet "Notes", row 1: 2 values for 1 column`: {Rows: seq(nil, []any{"a", "b"})},
	} {
		rows.Name, rows.Columns = "Notes", []Column{{Title: "Text"}}
		_, err := WriteCSV(bg, dir, Book{Created: created, Sheets: []Sheet{rows}})
		require.ErrorContains(t, err, says)
		require.Empty(t, folder(t, at))
	}
	_, err := WriteCSV(done(), dir, texts("a"))
	require.ErrorContains(t, err, "context canceled")
	_, err = WriteCSV(bg, filepath.Join(dir, "below"), texts("a"))
	require.ErrorContains(t, err, "does not exist")
	require.Empty(t, folder(t, at))
	require.NoError(t, os.Mkdir(dir, 0o700))
	_, err = WriteCSV(bg, dir, texts("a"))
	require.ErrorContains(t, err, "something has that name already")
}
