//go:build outside

package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// These tests export a book and read the workbook with two programs that know nothing of it: openpyxl for the system's
// Python (Debian: python3-openpyxl) and LibreOffice Calc (Debian: libreoffice-calc-nogui). Every cell is compared with
// what `book dump` says of the entry; see export_expected_test.go. Without those programs the tests fail.

// bench runs command lines on one book, each at a moment of its own, with the same random draws each time.
type bench struct {
	t    *testing.T
	dir  string
	book string
	draw *rand.ChaCha8
	now  time.Time
}

func newBench(t *testing.T, book string) *bench {
	dir := t.TempDir()
	return &bench{t: t, dir: dir, book: filepath.Join(dir, book), draw: rand.NewChaCha8([32]byte{7}),
		now: time.Date(2026, 11, 25, 18, 0, 0, 0, time.UTC)}
}

// at sets the clock: a moment without zone is in UTC.
func (b *bench) at(moment string) *bench {
	now, err := time.Parse("2006-01-02T15:04", moment)
	require.NoError(b.t, err)
	b.now = now
	return b
}

// run runs one command line, which must end with the exit code, and returns its standard output.
func (b *bench) run(code int, args ...string) string {
	b.t.Helper()
	var out, faults bytes.Buffer
	e := env{in: strings.NewReader(""), out: &out, err: &faults, getenv: func(string) string { return "" },
		now: func() time.Time { return b.now }, draw: b.draw}
	got := run(context.Background(), e, append([]string{"--book", b.book}, args...))
	require.Equal(b.t, code, got, "ringtrue %s\n%s%s", strings.Join(args, " "), out.String(), faults.String())
	return out.String()
}

func (b *bench) path(name string) string { return filepath.Join(b.dir, name) }

// object runs a command line with --json and decodes what it prints.
func object[T any](b *bench, args ...string) (v T) {
	b.t.Helper()
	require.NoError(b.t, json.Unmarshal([]byte(b.run(exitDone, append(args, "--json")...)), &v))
	return v
}

// cells holds the rows of each sheet as text, the note above the titles first.
type cells map[string][][]string

// readPython prints every sheet, values as a reader sees them: moments and days by the format of their cell. A formula
// anywhere ends it with an error.
const readPython = `
import datetime, json, sys, openpyxl
def text(c):
    v = c.value
    if v is None: return ""
    if c.data_type == "f": sys.exit("formula in " + c.coordinate + " of " + c.parent.title)
    if isinstance(v, bool): return "TRUE" if v else "FALSE"
    if isinstance(v, datetime.datetime):
        return v.strftime("%Y-%m-%d %H:%M:%S" if "hh" in c.number_format else "%Y-%m-%d")
    return str(v)
book = openpyxl.load_workbook(sys.argv[1])
print(json.dumps({s.title: [[text(c) for c in row] for row in s.iter_rows()] for s in book.worksheets}))
`

func readByPython(t *testing.T, path string) (found cells) {
	t.Helper()
	require.NoError(t, json.Unmarshal(otherProgram(t, "/usr/bin/python3", "-c", readPython, path), &found))
	return found
}

// everySheet are the options of LibreOffice's text export: comma, double quote, UTF-8, from the first line, values as
// shown, and every sheet (-1) to a file of its own (LibreOffice help, "Filter Options for CSV").
const everySheet = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"

func readByLibreOffice(t testing.TB, path string) cells {
	t.Helper()
	dir := t.TempDir()
	otherProgram(t, "soffice", "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", everySheet, "--outdir", dir, path)
	prefix := strings.TrimSuffix(filepath.Base(path), ".xlsx") + "-"
	files, err := filepath.Glob(filepath.Join(dir, prefix+"*.csv"))
	require.NoError(t, err)
	found := cells{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		r := csv.NewReader(bytes.NewReader(text))
		r.FieldsPerRecord = -1
		rows, err := r.ReadAll()
		require.NoError(t, err)
		found[strings.TrimSuffix(strings.TrimPrefix(filepath.Base(f), prefix), ".csv")] = rows
	}
	return found
}

func otherProgram(t testing.TB, program string, args ...string) []byte {
	t.Helper()
	path, err := exec.LookPath(program)
	require.NoError(t, err, "this test needs %s", program)
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute)
	defer cancel()
	var faults bytes.Buffer
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Stderr = &faults
	out, err := cmd.Output()
	require.NoError(t, err, "%s: %s", program, faults.String())
	return out
}

// besideNames are the columns of the sheet Standing between the name and the words, which the test does not know.
const besideNames = 3

// below gives the rows under the titles, each as long as the titles, after checking note and titles.
func (c cells) below(t *testing.T, s sheetExpected) [][]string {
	t.Helper()
	rows := slices.Clone(c[s.name])
	require.GreaterOrEqual(t, len(rows), 2, "sheet %q", s.name)
	require.Contains(t, rows[0][0], "personally signed only where it says so")
	if s.name == "Standing" {
		for i, row := range rows[1:] {
			rows[i+1] = append([]string{row[0]}, row[1+besideNames:]...)
		}
	}
	require.Equal(t, s.titles, padded(rows[1], len(s.titles)), "titles of sheet %q", s.name)
	out := [][]string{}
	for _, row := range rows[2:] {
		out = append(out, padded(row, len(s.titles)))
	}
	return out
}

// padded makes a row as long as the titles: readers leave out blank cells at the end.
func padded(row []string, n int) []string {
	for len(row) < n {
		row = append(row, "")
	}
	return row
}

// otherSheets hold what no single entry tells; the test counts their rows.
var otherSheets = []string{"Read me", "Gaps and due", "Charts", "Saws", "Days", "Events and actions", "Local rules", "Seal"}

// compare reads an exported workbook with both programs and compares the sheets with the dump, cell by cell.
func compare(t *testing.T, b *bench, file string, asked ...string) {
	t.Helper()
	export := append([]string{"workbook", "export", "-o", b.path(file)}, asked...)
	counted := object[struct {
		Sheets []struct {
			Sheet string
			Rows  int
		}
	}](b, export...)
	want := expectedSheets(t, b, asked)
	for reader, found := range map[string]cells{"openpyxl": readByPython(t, b.path(file)), "LibreOffice": readByLibreOffice(t, b.path(file))} {
		require.Len(t, found, len(want)+len(otherSheets), "%s: sheets", reader)
		rows := map[string]int{}
		for _, s := range want {
			got := found.below(t, s)
			rows[s.name] = len(got)
			require.Len(t, got, len(s.rows), "%s: rows of sheet %q", reader, s.name)
			for i, row := range s.rows {
				require.Equal(t, row, got[i][:len(row)], "%s: sheet %q, data row %d", reader, s.name, i+1)
			}
		}
		for _, name := range otherSheets {
			require.Contains(t, found, name)
			rows[name] = len(found[name]) - 2
		}
		checkSeal(t, b, found, rows)
		for _, c := range counted.Sheets {
			require.Equal(t, rows[c.Sheet], c.Rows, "%s: rows of sheet %q as the export counted them", reader, c.Sheet)
		}
	}
}

// pairs reads a sheet of names and values.
func (c cells) pairs(sheet string) map[string]string {
	out := map[string]string{}
	for _, row := range c[sheet][2:] {
		out[row[0]] = row[1]
	}
	return out
}

// checkSeal compares the sheet Seal with `book head` and the control totals of the sheet Read me with the rows read.
func checkSeal(t *testing.T, b *bench, found cells, rows map[string]int) {
	t.Helper()
	heads := object[struct{ Heads []headLine }](b, "book", "head").Heads
	require.Len(t, heads, 1)
	seal, readMe := found.pairs("Seal"), found.pairs("Read me")
	for _, h := range heads {
		require.Equal(t, h.Origin, seal["ledger"])
		require.Equal(t, h.Root, seal["root (hex)"])
		require.Equal(t, strconv.FormatInt(h.Size, 10), seal["entries"])
	}
	for name, n := range rows {
		if name != "Read me" {
			require.Equal(t, strconv.Itoa(n), readMe["rows in sheet "+name], "control total of sheet %q", name)
		}
	}
	require.Contains(t, readMe["caution"], "does not say that work was or is safe")
}

func TestExportedDemoOutside(t *testing.T) {
	b := newBench(t, "demo.db")
	b.run(exitDone, "demo")
	compare(t, b, "now.xlsx")
	compare(t, b, "july.xlsx", "--on", "2026-07-15", "--known", "2026-07-15")
	b.run(exitDone, "workbook", "export", "-o", b.path("week.xlsx"), "--from", "2026-08-01") // few pages to print
	checkCharts(t, b.path("week.xlsx"))
}

// readCharts prints the titles of all charts and the cells that links lead to.
const readCharts = `
import json, sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
title = lambda c: "".join(r.t for p in c.title.tx.rich.p for r in (p.r or []))
links = {s.title: [[c.value, c.hyperlink.location] for row in s.iter_rows() for c in row if c.hyperlink] for s in book.worksheets}
print(json.dumps({"charts": [title(c) for c in book["Charts"]._charts], "links": {k: v for k, v in links.items() if v}}))
`

// checkCharts: the charts stand on their sheet, with their titles, also where another program prints them, and the words of
// standings lead to rows of entries.
func checkCharts(t *testing.T, path string) {
	t.Helper()
	var got struct {
		Charts []string
		Links  map[string][][2]string
	}
	require.NoError(t, json.Unmarshal(otherProgram(t, "/usr/bin/python3", "-c", readCharts, path), &got))
	require.GreaterOrEqual(t, len(got.Charts), 3)
	for _, sheet := range []string{"Standing", "Standing and why"} {
		require.NotEmpty(t, got.Links[sheet])
		for _, l := range got.Links[sheet] {
			require.Regexp(t, `^'(Observations|Decisions|Training)'!A\d+$`, l[1])
		}
	}
	dir := t.TempDir()
	otherProgram(t, "soffice", "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", "pdf", "--outdir", dir, path)
	printed := string(otherProgram(t, "pdftotext", filepath.Join(dir, strings.TrimSuffix(filepath.Base(path), ".xlsx")+".pdf"), "-"))
	for _, title := range got.Charts {
		require.Contains(t, printed, title)
	}
}

// lines runs command lines written as the scripts write them, each after the time at which it is given.
func (b *bench) lines(lines ...string) {
	b.t.Helper()
	for _, line := range lines {
		now, line, _ := strings.Cut(line, " ")
		b.at(now).run(exitDone, wordsOf(line, '\'')...)
	}
}

// TestExportedBookOutside exports what the demo does not hold: stops without a look, equipment that came back or is
// overdue, a late-comer, a struck look, and words that a spreadsheet could take for formulas or another language's.
func TestExportedBookOutside(t *testing.T) {
	b := newBench(t, "book.db")
	b.lines(bookLines[""]...)
	b.lines(bookLines["crew"]...)
	b.lines(
		"2026-05-06T05:00 worker add 'Åse Öberg-Łukasz' --from 2026-05-06",
		"2026-05-06T05:10 worker orient ase --as luis --block B7 --topics hazards --language sv --understood 'visade mötesplatsen'",
		"2026-05-06T06:20 tailgate sheet --block B7 -o "+b.path("day.yaml"))
	text, err := os.ReadFile(b.path("day.yaml"))
	require.NoError(t, err)
	filled := fill(string(text), map[string]string{}, map[string]string{"crew": plainCrew, "saws": plainSaws})
	require.NoError(t, os.WriteFile(b.path("day.yaml"), []byte(filled), 0o600))
	b.lines(
		"2026-05-06T06:45 tailgate check --from "+b.path("day.yaml"),
		"2026-05-06T06:50 tailgate join okafor luis ben",
		"2026-05-06T08:10 tailgate join ase --block B7 --briefed-by luis",
		`2026-05-06T09:00 skill restrict ben 5.3 --as luis --told 'by phone' --reason '=HYPERLINK("http://x.example","look")'`,
		"2026-05-07T09:00 skill observe ben 5.3 --as luis --announced no --block B7 --met all --note '+1'")
	seen := object[written](b.at("2026-05-07T10:00"), "skill", "observe", "ben", "5.3", "--as", "luis", "--announced", "yes", "--met", "all")
	b.lines(
		"2026-05-07T11:00 skill lift ben 5.3 --on-observation "+seen.Entries[0]+" --reason '-shown again; \"slowly\", @noon'",
		"2026-05-07T12:00 ppe issue ase helmet --own --standard 'EN 397' --serial 00123 --made 2026-01 --replace-by 2026-07-01 --source 'maker, leaflet'",
		"2026-05-07T12:00 ppe issue ase boots --size 1e5",
		"2026-05-08T12:00 ppe return ase boots --condition condemned --reason '\tsole loose'",
		"2026-05-08T12:00 ppe return ben gloves",
		"2026-05-08T13:00 module attend ase M1 --as luis --language sv --understood ' =1+2 '")
	wrong := object[written](b.at("2026-05-08T14:00"), "skill", "observe", "ana", "5.3", "--as", "luis", "--announced", "yes", "--met", "all")
	b.lines("2026-05-08T15:00 book strike "+wrong.Entries[0]+" --reason 'wrong worker, it was Åse'",
		"2026-11-20T12:00 ppe inspect ben helmet --condition serviceable")

	b.at("2026-11-25T18:00")
	var states []string
	d := readDump(t, b, nil)
	for _, e := range d.of("ppe-issue") {
		_, state, _ := d.state(e)
		states = append(states, state)
	}
	require.Subset(t, states, []string{"held", "look due", "replace", "returned", "condemned"}, "the book holds a piece in each state")
	compare(t, b, "now.xlsx")
	compare(t, b, "known.xlsx", "--on", "2026-05-07", "--known", "2026-05-07")
}
