package workbook

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Limits bound what Read takes from a file that somebody else may have made.
type Limits struct {
	File     int64 // bytes of the file
	Unpacked int64 // bytes of all its parts unpacked
	InMemory int64 // bytes of an unpacked worksheet or table of strings kept in memory; larger ones go to temporary files
	Cells    int   // of all sheets, blank ones between others and empty rows included
}

// ForeignLimits suit a file that came from outside (company choice).
func ForeignLimits() Limits {
	return Limits{File: 20 << 20, Unpacked: 64 << 20, InMemory: 16 << 20, Cells: 2_000_000}
}

// ReadSheet is one worksheet as text, in the order of the workbook. Rows[0] is the first row, note or titles. Numbers
// stand as stored: a day is its serial number, a flag 1 or 0. Blank cells at the end of a row are left out, and so are
// blank rows at the end of a sheet.
type ReadSheet struct {
	Name string
	Rows [][]string
}

// Read reads a workbook within the limits. A file that is damaged, cut or beyond a limit is an error and gives no
// sheets: the library alone would return the rows before a cut and no error (excelize v2.11.1), so every part is
// unpacked and checked first. Whether rows are missing that were left out with care only control totals tell.
func Read(path string, limits Limits) ([]ReadSheet, error) {
	sheets, err := readFile(path, limits)
	if err != nil {
		return nil, fmt.Errorf("read workbook %s: %w", path, err)
	}
	return sheets, nil
}

func readFile(path string, limits Limits) (_ []ReadSheet, err error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	at, err := in.Stat()
	if err != nil {
		return nil, err
	}
	if !at.Mode().IsRegular() {
		return nil, errors.New("it is not a file")
	}
	if at.Size() > limits.File {
		return nil, fmt.Errorf("it has %d bytes, more than the %d allowed", at.Size(), limits.File)
	}
	return readSheets(in, at.Size(), limits)
}

// reader is what a workbook is read from: a file, or bytes in a test.
type reader interface {
	io.Reader
	io.ReaderAt
}

func readSheets(in reader, size int64, limits Limits) (_ []ReadSheet, err error) {
	if err := checkParts(in, size, limits.Unpacked); err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "workbook-*")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	f, err := excelize.OpenReader(in, excelize.Options{
		RawCellValue: true, TmpDir: dir,
		UnzipSizeLimit: limits.Unpacked, UnzipXMLSizeLimit: min(limits.InMemory, limits.Unpacked),
	})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	var sheets []ReadSheet
	for _, name := range f.GetSheetList() {
		rows, err := readRows(f, name, &limits.Cells)
		if err != nil {
			return nil, fmt.Errorf("sheet %q: %w", name, err)
		}
		sheets = append(sheets, ReadSheet{Name: name, Rows: rows})
	}
	return sheets, nil
}

// readRows reads one worksheet and takes its cells from those left. A row counts as one cell more than it has.
func readRows(f *excelize.File, sheet string, left *int) (_ [][]string, err error) {
	in, err := f.Rows(sheet)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	var rows [][]string
	for in.Next() {
		row, err := in.Columns()
		if err != nil {
			return nil, err
		}
		if *left -= len(row) + 1; *left < 0 {
			return nil, errors.New("more cells than allowed")
		}
		rows = append(rows, trim(row))
	}
	for len(rows) > 0 && len(rows[len(rows)-1]) == 0 {
		rows = rows[:len(rows)-1]
	}
	return rows, in.Error()
}

func trim(row []string) []string {
	for len(row) > 0 && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	return row
}

// checkParts unpacks every part to nowhere, so that checksums and sizes are compared, and reads the XML ones to their
// end.
func checkParts(in io.ReaderAt, size, limit int64) error {
	z, err := zip.NewReader(in, size)
	if err != nil {
		return fmt.Errorf("it is not a workbook, or damaged: %w", err)
	}
	seen := map[string]bool{}
	for _, f := range z.File {
		name := strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/")) // as the library sees it
		if seen[name] {
			return fmt.Errorf("two parts of it are called %s", f.Name)
		}
		seen[name] = true
		n, err := checkPart(f, limit)
		if err != nil {
			return fmt.Errorf("its part %s is damaged or too large: %w", f.Name, err)
		}
		limit -= n
	}
	return nil
}

// checkPart returns the unpacked size of a part, at most limit.
func checkPart(f *zip.File, limit int64) (n int64, err error) {
	in, err := f.Open()
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	counted := &io.LimitedReader{R: in, N: limit + 1}
	if ext := path.Ext(f.Name); strings.EqualFold(ext, ".xml") || strings.EqualFold(ext, ".rels") {
		err = wellFormed(counted)
	}
	if err == nil {
		_, err = io.Copy(io.Discard, counted)
	}
	if counted.N == 0 {
		err = fmt.Errorf("unpacked it has more than %d bytes", limit)
	}
	return limit + 1 - counted.N, err
}

// wellFormed reads XML to its end: a cut part ends with an element still open.
func wellFormed(in io.Reader) error {
	d := xml.NewDecoder(in)
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}
