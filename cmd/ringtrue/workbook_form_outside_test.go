//go:build outside

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// fillByPython fills cells of a workbook with openpyxl, as another program would: texts, numbers, days after @ and clock
// times after ~. It prints the drop-down lists and ranges that it found.
const fillByPython = `
import datetime, json, sys
import openpyxl
path = sys.argv[1]
book = openpyxl.load_workbook(path)
checks = {}
for sheet in book.worksheets:
    for v in sheet.data_validations.dataValidation:
        checks[sheet.title + "!" + str(v.sqref)] = [v.type, v.formula1, v.formula2, v.errorStyle or "stop"]
for change in sys.argv[2:]:
    place, value = change.split("=", 1)
    sheet, cell = place.split("!")
    if value.startswith("@"):
        value = datetime.date.fromisoformat(value[1:])
    elif value.startswith("~"):
        value = datetime.time.fromisoformat(value[1:])
    elif value.startswith("#"):
        value = float(value[1:])
    book[sheet][cell] = value
book.save(path)
print(json.dumps(checks))
`

// filledBy fills a form and returns what openpyxl saw in it.
func filledBy(t *testing.T, path string, changes ...string) map[string][]string {
	t.Helper()
	script := filepath.Join(t.TempDir(), "fill.py")
	require.NoError(t, os.WriteFile(script, []byte(fillByPython), 0o600))
	var checks map[string][]string
	out := otherProgram(t, "/usr/bin/python3", append([]string{script, path}, changes...)...)
	require.NoError(t, json.Unmarshal(out, &checks), string(out))
	return checks
}

// resaved opens a workbook with LibreOffice, saves it as an OpenDocument sheet, and that as a workbook again.
func resaved(t *testing.T, path string) string {
	t.Helper()
	dir, name := t.TempDir(), strings.TrimSuffix(filepath.Base(path), ".xlsx")
	profile := "-env:UserInstallation=file://" + t.TempDir()
	otherProgram(t, "soffice", profile, "--headless", "--convert-to", "ods", "--outdir", dir, path)
	otherProgram(t, "soffice", profile, "--headless", "--convert-to", "xlsx", "--outdir", dir, filepath.Join(dir, name+".ods"))
	return filepath.Join(dir, name+".xlsx")
}

// Forms are filled with openpyxl and recorded; saved once more by LibreOffice, each says the same and is known again.
func TestFormsFilledByOtherPrograms(t *testing.T) {
	b := newBench(t, "book.db")
	b.lines(bookLines[""]...)
	b.lines("2026-05-04T08:00 saw add S11 --spindle 9000rpm --blades 200mm-225mm",
		"2026-05-05T07:00 workbook sheet observation 3.3 5.3 --worker ana --by luis -o "+b.path("looks.xlsx"),
		"2026-05-05T07:00 workbook sheet attendance M3 --by luis --worker ana -o "+b.path("taught.xlsx"),
		"2026-05-05T07:00 workbook sheet upkeep --by ana -o "+b.path("evening.xlsx"))
	b.at("2026-05-05T18:00")
	checks := filledBy(t, b.path("looks.xlsx"), "Fill in!C5=@2026-05-05", "Fill in!C6=B7", "Fill in!D8=~10:20:00", "Fill in!D9=no", "Fill in!D13=met",
		"Fill in!D14=#125", "Fill in!D15=met", "Fill in!D16=#2.3", "Fill in!D10=wet ground")
	require.Equal(t, "list", checks["Fill in!D13"][0])
	require.Regexp(t, `^Lists!\$[A-Z]\$2:\$[A-Z]\$4$`, checks["Fill in!D13"][1])
	require.Equal(t, []string{"decimal", "120", "130", "warning"}, checks["Fill in!D14"])
	require.Equal(t, "date", checks["Fill in!C5"][0])
	filledBy(t, b.path("taught.xlsx"), "Fill in!B5=@2026-05-05", "Fill in!B6=~13:05:00", "Fill in!C10=yes")
	filledBy(t, b.path("evening.xlsx"), "Fill in!B5=@2026-05-05", "Fill in!B7=yes", "Fill in!F7=#5", "Fill in!G7=#4.6")
	for name, lines := range map[string]int{"looks.xlsx": 1, "taught.xlsx": 1, "evening.xlsx": 1} {
		first := object[readAnswer](b, "workbook", "read", b.path(name), "--record")
		require.True(t, first.Recorded, name)
		require.Len(t, first.Lines, lines, name)
		again := object[readAnswer](b, "workbook", "read", resaved(t, b.path(name)), "--record")
		require.False(t, again.Recorded, name)
		require.NotEmpty(t, again.Already, name)
	}
	require.Contains(t, b.run(exitDone, "evidence", "show", "ana"), "2026-05-05T10:20")
}

// An office's list, made by other programs: days as cells, a sheet of something else, an OpenDocument sheet saved as a workbook.
func TestRosterOfOtherPrograms(t *testing.T) {
	b := newBench(t, "book.db")
	b.lines(bookLines[""]...)
	b.lines("2026-05-05T07:00 workbook sheet roster -o " + b.path("people.xlsx"))
	filledBy(t, b.path("people.xlsx"), "People!A3=Kim Dahl", "People!C3=@2024-05-04", "Trainings!A3=Kim Dahl", "Trainings!C3=3.3", "Trainings!D3=@2025-06-12",
		"Trainings!E3=binder 2025", "Equipment!A3=Kim Dahl", "Equipment!B3=boots", "Saws!A3=S31", "Saws!B3=9000rpm", "Saws!C3=200mm-225mm")
	got := object[readAnswer](b, "workbook", "read", "--roster", resaved(t, b.path("people.xlsx")), "--record")
	require.True(t, got.Recorded)
	require.Len(t, got.Lines, 4)
	require.Contains(t, got.Lines[0].What, "from 2024-05-04")
}
