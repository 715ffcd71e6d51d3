//go:build outside

package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
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

// otherSheets are checked by what they must say, see checkSeal; their rows are counted.
var otherSheets = []string{"Read me", "Seal"}

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
			if s.sorted {
				slices.SortFunc(got, slices.Compare)
				slices.SortFunc(s.rows, slices.Compare)
			}
			for i, row := range s.rows {
				require.Less(t, i, len(got), "%s: sheet %q lacks %v", reader, s.name, row)
				require.Equal(t, row, got[i][:len(row)], "%s: sheet %q, data row %d", reader, s.name, i+1)
			}
			require.Len(t, got, len(s.rows), "%s: rows of sheet %q", reader, s.name)
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

// readCharts prints the titles of all charts, the cells that links lead to, and sheets that are not laid out.
const readCharts = `
import json, sys, openpyxl
book = openpyxl.load_workbook(sys.argv[1])
title = lambda c: "".join(r.t for p in c.title.tx.rich.p for r in (p.r or []))
links = {s.title: [[c.value, c.hyperlink.location] for row in s.iter_rows() for c in row if c.hyperlink] for s in book.worksheets}
bare = [s.title for s in book.worksheets if not (s.auto_filter.ref and s.freeze_panes and s.print_title_rows.replace("$", "") in ("1:2", "2:2") and (s.print_title_rows.startswith("$1") or "as of" in (s.oddHeader.left.text or "")) and "Page" in (s.oddFooter.right.text or "")
    and s.page_setup.orientation == "landscape" and s.sheet_properties.pageSetUpPr.fitToPage)]
print(json.dumps({"bare": bare, "charts": [title(c) for c in book["Charts"]._charts], "links": {k: v for k, v in links.items() if v}}))
`

// checkCharts: the charts stand on their sheet, with their titles, also where another program prints them, and the words of
// standings lead to rows of entries.
func checkCharts(t *testing.T, path string) {
	t.Helper()
	var got struct {
		Charts []string
		Links  map[string][][2]string
		Bare   []string
	}
	require.NoError(t, json.Unmarshal(otherProgram(t, "/usr/bin/python3", "-c", readCharts, path), &got))
	require.Equal(t, []string{"Standing by module", "What falls due by month", "Findings of checks by topic and level", "Vibration points by week", "Vibration points, highest week of each"}, got.Charts)
	require.Empty(t, got.Bare, "sheets without filter, panes in view, repeated titles, or numbered pages across")
	for _, sheet := range []string{"Standing", "Standing and why"} {
		require.NotEmpty(t, got.Links[sheet])
		for _, l := range got.Links[sheet] {
			require.Regexp(t, `^'(Observations|Decisions|Training)'!A\d+$`, l[1])
		}
	}
	text := string(otherProgram(t, "pdftotext", inPDF(t, path), "-"))
	for _, title := range got.Charts {
		require.Contains(t, text, title)
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
		"2026-05-06T08:30 tailgate change rain --words 'heavy drops' --decision 'along the dry side until the rock has dried' --decided-by luis --told all",
		"2026-05-06T08:40 tailgate checkin ben --how radio",
		`2026-05-06T09:00 skill restrict ben 5.3 --as luis --told 'by phone' --reason '=HYPERLINK("http://x.example","look")'`,
		"2026-05-06T16:00 tailgate close --all --block B7 --trigger ben=3h --close-call 'bent stem sprang back'",
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
	b.lines("2026-05-08T15:00 book strike " + wrong.Entries[0] + " --reason 'wrong worker, it was Åse'")
	b.moreLines()
	b.lines("2026-11-20T12:00 ppe inspect ben helmet --condition serviceable")

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
	compare(t, b, "ahead.xlsx", "--on", "2027-04-20") // sign-offs fall due
	checkFiltered(t, b)
	checkSample(t, b)
}

// checkFiltered: a narrowed workbook says so on every sheet and still holds every leaf.
func checkFiltered(t *testing.T, b *bench) {
	t.Helper()
	b.run(exitDone, "workbook", "export", "-o", b.path("some.xlsx"), "--from", "2026-05-18", "--to", "2026-05-18", "--crew", "north", "--worker", "ben", "--block", "B7")
	found := readByPython(t, b.path("some.xlsx"))
	for sheet, rows := range found {
		require.Contains(t, rows[0][0], "FILTERED: worker ben, crew north, from 2026-05-18, to 2026-05-18, block B7. ", sheet)
	}
	require.Equal(t, readDump(t, b, nil).leaves().rows, found["Leaves"][2:])
	for _, sheet := range []string{"Who was there", "Exposure"} {
		require.Len(t, found[sheet], 3, sheet)
		require.Equal(t, "Ben Holm", found[sheet][2][3])
	}
}

// checkSample: of a sampled worker every entry that the chain rests on is named, and it prints on few pages, the answer
// first.
func checkSample(t *testing.T, b *bench) {
	t.Helper()
	b.run(exitDone, "workbook", "sample", "ana", "--on", "2026-05-22", "-o", b.path("sample.xlsx"))
	d := readDump(t, b, []string{"--on", "2026-05-22"})
	for reader, found := range map[string]cells{"openpyxl": readByPython(t, b.path("sample.xlsx")), "LibreOffice": readByLibreOffice(t, b.path("sample.xlsx"))} {
		rows := found["ana 2026-05-22"]
		require.Contains(t, rows[0][0], "Ana Ruiz (ana), person id ", reader)
		require.Equal(t, []string{"Step", "What", "Of", "State", "In words", "Happened", "By", "Entry"}, rows[1], reader)
		require.Equal(t, "1 may do", rows[2][0], reader)
		all := ""
		for _, row := range rows {
			all += strings.Join(row, " ") + "\n"
		}
		named := 0
		for _, e := range d.of("attendance", "credit", "orientation", "ticket", "observation", "sign-off", "restriction", "lift", "withdrawal", "release", "appointment", "ppe-issue") {
			if d.names[e.Entry.Worker] == "Ana Ruiz" {
				require.Regexp(t, fmt.Sprintf(`\b%d\b`, e.Seq), all, "%s: %s", reader, e.Entry.Kind)
				named++
			}
		}
		require.Greater(t, named, 30)
		require.Contains(t, all, "STRUCK by entry")
	}
	pages := otherProgram(t, "pdfinfo", inPDF(t, b.path("sample.xlsx")))
	require.Regexp(t, `Pages: +[1-4]\n`, string(pages))
}

// inPDF is the workbook as LibreOffice prints it.
func inPDF(t *testing.T, path string) string {
	t.Helper()
	dir := t.TempDir()
	otherProgram(t, "soffice", "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", "pdf", "--outdir", dir, path)
	return filepath.Join(dir, strings.TrimSuffix(filepath.Base(path), ".xlsx")+".pdf")
}

// moreLines tells of everything that the sheets of saws, events, days, gaps and charts can hold.
func (b *bench) moreLines() {
	b.lines(
		"2026-05-11T07:00 saw add S21 --spindle 9000rpm --blades 200mm-225mm --tank 0.9L --guard 'round guard' --harness 'two shoulders'",
		"2026-05-11T07:05 saw blade S21 --fit B31 --rated 13000rpm --diameter 225mm --bore 20mm",
		"2026-05-11T07:10 saw set S21 --width 0.6mm",
		"2026-05-11T07:15 saw file S21 --after new-blade",
		"2026-05-11T07:20 saw harness S21 ana --hook 12cm --height 35cm --tilt 2deg --tank full --wrist 20deg --announced yes --block B7 --as luis",
		"2026-05-11T12:00 saw refuel S21 --litres 0.9L",
		"2026-05-11T17:30 saw use S21 --worker ana --hours 5.5h --area 0.2ha --block B7",
		"2026-05-11T17:31 saw upkeep S21 --daily --weekly --left plug --nut 2 --refuels 3 --litres 2.6L --filings 2 --rock 1 --hours 5.5h --area 2000m2 --note '=grease'",
		"2026-05-11T17:32 saw upkeep S21 --daily --nut 1")
	wrong := object[written](b.at("2026-05-12T07:00"), "saw", "upkeep", "S21", "--daily", "--nut", "2")
	b.lines("2026-05-12T07:01 book strike "+wrong.Entries[0]+" --reason 'was another saw'",
		"2026-05-12T08:00 saw defect S21 guard --as ana",
		"2026-05-12T08:01 saw defect S21 pad --as ana --note 'left shoulder'",
		"2026-05-12T09:00 saw add S22 --spindle 9000rpm --blades 225mm --owner ben",
		"2026-05-12T09:01 saw tag S22 --told 'by phone' --reason '+sounds wrong' --as ana",
		"2026-05-12T09:02 saw tag X9",
		"2026-05-12T09:03 saw add S23 --spindle 9000rpm --blades 225mm",
		"2026-05-12T09:04 saw retire S23 --reason 'crankcase cracked'",
		"2026-05-12T09:05 saw blade S21 --scrap B31 --reason bent",
		"2026-05-12T09:06 saw blade S21 --fit B32 --rated 13000rpm")
	guard := object[written](b.at("2026-05-12T09:10"), "saw", "defect", "S21", "guard", "--as", "ana")
	b.lines("2026-05-12T09:20 saw clear S21 --done 'new guard fitted' --part guard --with ben --entry "+guard.Entries[0]+" --as ana",
		"2026-05-12T10:00 saw clear S21 --look-again --note 'sits tight' --as ben",
		"2026-05-12T10:10 saw clear S21 --done 'all looked at' --as okafor")
	b.moreDays()
	b.moreEvents()
	b.morePeople()
}

// moreEvents: one closed with its action checked, one with an action that is done and one that nobody has done, and one
// that was struck.
func (b *bench) moreEvents() {
	add := func(at string, args ...string) string {
		return object[written](b.at(at), append([]string{"event"}, args...)...).Entries[0]
	}
	closed := add("2026-05-19T13:50", "add", "--kind", "close-call", "--block", "B7", "--what", "stem fell back", "--showed", "the line was too near", "--told-by", "ana", "--ask", "Is the line two stems away?")
	action := add("2026-05-19T14:00", "act", closed, "--what", "move the line", "--owner", "luis", "--due", "2026-05-20")
	b.lines("2026-05-20T10:00 event act "+action+" --done --proof '-walked it' --as luis", "2026-05-20T11:00 event act "+action+" --checked --as okafor",
		"2026-05-20T12:00 event close "+closed+" --lesson '=mark the line'")
	open := add("2026-05-19T15:00", "add", "--kind", "refusal", "--what", "would not saw under the hung-up tree")
	add("2026-05-19T15:10", "act", open, "--what", "pull it down", "--owner", "okafor", "--due", "2026-05-20")
	done := add("2026-05-19T15:20", "act", open, "--what", "tell the crew", "--owner", "luis", "--due", "2028-01-01")
	b.lines("2026-05-20T12:30 event act " + done + " --done --proof told --as luis")
	struck := add("2026-05-19T16:00", "add", "--kind", "incident", "--what", "wrong day")
	b.lines("2026-05-20T13:00 book strike " + struck + " --reason 'was on another day'")
}

// moreDays: a check that nobody closed, and saw time of another week.
func (b *bench) moreDays() {
	b.lines("2026-05-17T09:00 saw add S1 --spindle 9000rpm --blades 200mm-225mm --tank 0.9L", "2026-05-17T09:01 saw blade S1 --fit B41 --rated 13000rpm --diameter 225mm",
		"2026-05-17T09:02 saw file S1 --after new-blade", "2026-05-17T09:03 saw set S1 --width 0.6mm", "2026-05-17T09:04 saw upkeep S1 --daily --weekly --nut 2", "2026-05-17T09:05 ppe issue ben gloves --size 10")
	for _, day := range []string{"2026-05-18", "2026-05-19"} {
		sheet := b.path(day + ".yaml")
		b.lines(day + "T06:20 tailgate sheet --block B7 -o " + sheet)
		text, err := os.ReadFile(sheet)
		require.NoError(b.t, err)
		require.NoError(b.t, os.WriteFile(sheet, []byte(fill(string(text), map[string]string{}, map[string]string{"crew": plainCrew, "saws": plainSaws})), 0o600))
		b.lines(day+"T06:45 tailgate check --from "+sheet, day+"T06:50 tailgate join okafor luis ben")
		if day == "2026-05-18" {
			b.lines(day + "T16:30 tailgate close --block B7 --all --trigger ben=90min")
		}
	}
}

// morePeople: skills signed off, restricted and to decide, tickets and duties that end, and somebody who is new.
func (b *bench) morePeople() {
	const met33, met121, met122 = " ana 3.3 --as luis --block B7 --met all --value elbow=125deg,quick-release=2s", " ana 12.1 --as luis --block B7 --met all --value press=30s,tourniquet=50s",
		" ana 12.2 --as luis --block B7 --met all --value call=1min,card=5s"
	for _, look := range []string{"20T14:00" + met33, "20T14:10" + met121, "21T10:00" + met33, "21T10:10" + met121, "21T11:00" + met122, "22T11:00" + met122} {
		at, look, _ := strings.Cut(look, " ")
		b.lines("2026-05-" + at + " skill observe --announced no " + look)
	}
	b.lines("2026-05-22T15:00 skill sign ana 3.3", "2026-05-22T15:01 skill sign ana 12.1",
		"2026-05-22T15:10 skill restrict ana 4.2 --as luis --told 'by phone' --reason 'fuel near the fire'",
		"2026-05-23T10:00 worker add 'Cai Moss' --from 2026-05-23 --crew north",
		"2026-05-23T10:10 worker ticket ana first-aid --until 2026-12-10 --doc 'certificate 1'",
		"2026-05-23T10:10 worker ticket ana driving --until 2027-09-10 --doc 'certificate 2'",
		"2026-05-23T10:10 worker ticket ben first-aid --until 2026-08-10 --doc 'certificate 3'",
		"2026-05-23T10:20 worker appoint ben --may observe --until 2026-12-01 --basis 'years of work'")
	for _, who := range []string{"ana", "okafor", "ase"} {
		b.lines("2026-05-23T10:30 worker appoint " + who + " --may observe --skills 5.3 --basis 'course'")
	}
}
