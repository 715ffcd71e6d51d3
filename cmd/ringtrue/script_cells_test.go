package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/ringtrue/store/workbook"
)

// scriptCells fills in a form as somebody at the screen would:
//
//	cells FILE [CELL=TEXT | CELL=~NUMBER | N:CELL=... | morning | met=COLUMN | POINT=COLUMN=TEXT | cut=ROW]...
//
// CELL is on the first sheet, or on the Nth; "morning" answers a tailgate form as plainMorning does, "met" marks every point of a form
// for looks met in a column, measured ones within their range; POINT is one of them, as 7.1:sector; "cut" leaves out a row and all below it.
func scriptCells(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: cells FILE CELL=VALUE...")
	}
	path := ts.MkAbs(args[0])
	changes := args[1:]
	if changes[0] == "morning" {
		changes = append(morningCells(ts, path), changes[1:]...)
	}
	for i := 0; i < len(changes); i++ {
		if column, ok := strings.CutPrefix(changes[i], "met="); ok {
			changes = slices.Insert(slices.Clone(changes), i+1, metCells(ts, path, column)...)
			i++
		}
		change := pointCell(ts, path, changes[i])
		cell, value, ok := strings.Cut(change, "=")
		sheet, rest, numbered := strings.Cut(cell, ":")
		if !numbered {
			sheet, rest = "1", cell
		}
		if !ok {
			ts.Fatalf("cells: %q is not CELL=VALUE", change)
		}
		part := "xl/worksheets/sheet" + sheet + ".xml"
		ts.Check(editPart(path, part, func(text string) (string, error) {
			if rest == "cut" {
				return cutRows(text, value)
			}
			return setCell(text, rest, value)
		}))
	}
}

// editPart changes one part of a workbook.
func editPart(path, name string, change func(string) (string, error)) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	in, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range in.File {
		r, err := f.Open()
		if err != nil {
			return err
		}
		part, err := io.ReadAll(r)
		if err != nil {
			return err
		}
		if f.Name == name {
			changed, err := change(string(part))
			if err != nil {
				return err
			}
			part = []byte(changed)
		}
		w, err := z.Create(f.Name)
		if err != nil {
			return err
		}
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	return os.WriteFile(path, out.Bytes(), 0o600)
}

var typeAttribute = regexp.MustCompile(` t="[a-zA-Z]+"`)

// setCell puts a text, or a number after ~, into a cell that is there.
func setCell(sheet, cell, value string) (string, error) {
	form := regexp.MustCompile(`<c r="` + cell + `"([^>]*?)(/>|>.*?</c>)`)
	at := form.FindStringSubmatchIndex(sheet)
	if at == nil {
		return "", fmt.Errorf("the form has no cell %s", cell)
	}
	attributes := typeAttribute.ReplaceAllString(sheet[at[2]:at[3]], "")
	filled := `<c r="` + cell + `"` + attributes
	if n, ok := strings.CutPrefix(value, "~"); ok {
		filled += `><v>` + n + `</v></c>`
	} else {
		filled += ` t="inlineStr"><is><t>` + strings.NewReplacer("&", "&amp;", "<", "&lt;").Replace(value) + `</t></is></c>`
	}
	return sheet[:at[0]] + filled + sheet[at[1]:], nil
}

// cutRows leaves out a row and all below it; what is left is well formed.
func cutRows(sheet, row string) (string, error) {
	from, to := strings.Index(sheet, `<row r="`+row+`"`), strings.Index(sheet, "</sheetData>")
	if from < 0 || to < from {
		return "", fmt.Errorf("the form has no row %s", row)
	}
	return sheet[:from] + sheet[to:], nil
}

// morningCells are the answers of plainMorning, and its people and saws, by the cells of a tailgate form.
func morningCells(ts *testscript.TestScript, path string) (changes []string) {
	sheets, err := workbook.Read(path, workbook.ForeignLimits())
	ts.Check(err)
	labels := map[string]string{labelTime: "at", labelFiller: "by", labelAccepts: "accepted-by", labelCoordinates: "coordinates"}
	put := func(row, column int, text string) {
		_, cell, _ := strings.Cut(workbook.Place("", row, column), "!")
		changes = append(changes, cell+"="+text)
	}
	table := func(row int, lines ...[]string) {
		for i, line := range lines {
			for c, text := range line {
				put(row+1+i, c, text)
			}
		}
	}
	for r, row := range sheets[0].Rows {
		if len(row) == 0 {
			continue
		}
		for c, text := range row {
			if labels[text] != "" {
				put(r, c+1, plainMorning[labels[text]])
			}
		}
		answer, asked := plainMorning[row[0]]
		switch {
		case asked:
			put(r, 2, answer)
		case row[0] == labelDay:
			put(r, 1, ts.Getenv("NOW")[:len("2026-05-07")])
		case row[0] == crewCaptions[0]:
			table(r, []string{"okafor", "", "", "no saw", "", "yes"}, []string{"ben", "S1", "light-brush", "in hearing", "okafor", "yes"}, []string{"luis", "", "", "no saw", "", "yes"})
		case row[0] == sawCaption:
			line := []string{"S1", "no"}
			for len(line) < len(row) {
				line = append(line, "yes")
			}
			table(r, line)
		}
	}
	if len(changes) < 40 {
		ts.Fatalf("cells: only %s answers found a cell", strconv.Itoa(len(changes)))
	}
	return changes
}

// aPoint is a point of a form for looks as it stands in its first column.
var aPoint = regexp.MustCompile(`^\d+\.\d+:[a-z-]+$`)

// inRange takes the first number out of "in m: at least 20m".
var inRange = regexp.MustCompile(`: (?:at least |at most )?([0-9.]+)`)

// metCells are all points of a form for looks, met, by the cells of a column.
func metCells(ts *testscript.TestScript, path, column string) (changes []string) {
	for r, row := range lookRows(ts, path) {
		if len(row) < lookAhead || !aPoint.MatchString(row[0]) {
			continue
		}
		text := "met"
		if m := inRange.FindStringSubmatch(row[2]); m != nil {
			text = "~" + m[1]
		}
		changes = append(changes, fmt.Sprintf("%s%d=%s", column, r+1, text))
	}
	if len(changes) == 0 {
		ts.Fatalf("cells: %s has no points", path)
	}
	return changes
}

// pointCell turns POINT=COLUMN=TEXT into CELL=TEXT.
func pointCell(ts *testscript.TestScript, path, change string) string {
	point, rest, _ := strings.Cut(change, "=")
	if !aPoint.MatchString(point) {
		return change
	}
	column, text, _ := strings.Cut(rest, "=")
	for r, row := range lookRows(ts, path) {
		if len(row) > 0 && row[0] == point {
			return fmt.Sprintf("%s%d=%s", column, r+1, text)
		}
	}
	ts.Fatalf("cells: %s has no point %s", path, point)
	return ""
}

func lookRows(ts *testscript.TestScript, path string) [][]string {
	sheets, err := workbook.Read(path, workbook.ForeignLimits())
	ts.Check(err)
	return sheets[0].Rows
}
