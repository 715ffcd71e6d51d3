package workbook

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// csvName is the name of the one sheet that a CSV file has: its own name is not used for anything.
const csvName = "CSV"

// readCSV reads a CSV file: UTF-8, with or without byte order mark, fields separated by commas, semicolons or tabs, quoted
// where they hold those (RFC 4180). A quote that is never closed refuses the file; so do bytes that are not UTF-8 and
// zero bytes, which a text does not have.
func readCSV(text []byte, limits Limits) ([]ReadSheet, error) {
	text = bytes.TrimPrefix(text, []byte(byteOrderMark))
	switch {
	case len(bytes.TrimSpace(text)) == 0:
		return nil, errors.New("it is empty")
	case !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0:
		return nil, errors.New("it is neither a workbook nor text in UTF-8; save it as .xlsx, or as CSV in UTF-8")
	}
	in := csv.NewReader(bytes.NewReader(text))
	in.Comma, in.FieldsPerRecord = separator(text), -1
	s, line := ReadSheet{Name: csvName}, 0
	for left := limits.Cells; ; {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("it is damaged or cut: %w", err)
		}
		if left -= len(row) + 1; left < 0 {
			return nil, errors.New("more cells than allowed")
		}
		at, _ := in.FieldPos(0)
		for line++; line < at && line <= mostRows; line++ {
			s.Rows = append(s.Rows, nil) // blank lines count, so that rows have the numbers that people see
		}
		for i := range row {
			row[i] = asTyped(row[i])
		}
		s.Rows = append(s.Rows, row)
	}
	return []ReadSheet{s}, nil
}

// asTyped takes away the apostrophe that keeps programs from reading a text as a formula.
func asTyped(s string) string {
	if rest, ok := strings.CutPrefix(s, "'"); ok && rest != "" && strings.ContainsRune(riskyFirst, rune(rest[0])) {
		return rest
	}
	return s
}

// separator is the one of comma, semicolon and tab that the first line has most of, outside quotes.
func separator(text []byte) rune {
	var count [3]int
	quoted := false
	for _, b := range text {
		switch {
		case b == '"':
			quoted = !quoted
		case quoted:
		case b == '\n':
			if count != [3]int{} {
				return most(count)
			}
		case strings.IndexByte(separators, b) >= 0:
			count[strings.IndexByte(separators, b)]++
		}
	}
	return most(count)
}

const separators = ",;\t"

func most(count [3]int) rune {
	best := 0
	for i, n := range count {
		if n > count[best] {
			best = i
		}
	}
	return rune(separators[best])
}

// Place names a cell as people do: "Sheet!C7". Row and column count from 0.
func Place(sheet string, row, column int) string {
	at, err := excelize.CoordinatesToCellName(column+1, row+1)
	if err != nil {
		at = fmt.Sprintf("row %d, column %d", row+1, column+1)
	}
	return sheet + "!" + at
}

// Corners are the first and the last cell of a range such as "D12:D14", rows and columns counted from 0.
func Corners(ranged string) (top, left, bottom, right int, err error) {
	from, to, _ := strings.Cut(ranged, ":")
	c1, r1, err := excelize.CellNameToCoordinates(from)
	c2, r2, err2 := excelize.CellNameToCoordinates(to)
	return r1 - 1, c1 - 1, r2 - 1, c2 - 1, errors.Join(err, err2)
}
