package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"time"

	"example.org/ringtrue/training/civil"
)

// Filled is a workbook or CSV file that somebody filled in, as text. Date1904 says by which of the two date systems its
// serial numbers count; CSV says that there are none: what stands there was typed. Merged gives the ranges of merged cells of
// each sheet by its name, as "D12:D14".
type Filled struct {
	Sheets   []ReadSheet
	Merged   map[string][]string
	Date1904 bool
	CSV      bool
}

// Caps of a sheet that is read to be recorded (company choice): far more than an office has people, and few enough to be
// looked through.
const (
	mostRows    = 20_000
	mostColumns = 200
)

// ReadFilled reads a workbook, or a CSV file, within the limits. Which of the two it is its first bytes say, not its name. What is
// damaged, cut, too large, or holds a text that no cell can hold is refused whole. Nothing in it is evaluated: a formula counts
// as the value that was stored with it, and text that looks like a formula is text.
func ReadFilled(path string, limits Limits) (Filled, error) {
	f, err := readFilled(path, limits)
	if err != nil {
		return Filled{}, fmt.Errorf("read %s: %w", path, err)
	}
	return f, nil
}

func readFilled(path string, limits Limits) (_ Filled, err error) {
	at, err := os.Stat(path)
	if err != nil {
		return Filled{}, err
	}
	if !at.Mode().IsRegular() {
		return Filled{}, errors.New("it is not a file")
	}
	if at.Size() > limits.File {
		return Filled{}, fmt.Errorf("it has %d bytes, more than the %d allowed", at.Size(), limits.File)
	}
	in, err := os.Open(path)
	if err != nil {
		return Filled{}, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	text, err := io.ReadAll(io.LimitReader(in, limits.File+1))
	if err != nil {
		return Filled{}, err
	}
	if int64(len(text)) > limits.File {
		return Filled{}, errors.New("it grew while it was read")
	}
	return ParseFilled(text, limits)
}

// First bytes of files that are no text.
const (
	zipMark = "PK"               // ZIP, and so a workbook (APPNOTE 4.3.7)
	oldMark = "\xD0\xCF\x11\xE0" // compound file, and so a workbook of before 2007 or one with a password (from memory)
	odsMark = "mimetypeapplication/vnd.oasis"
)

// ParseFilled is ReadFilled for the bytes of a file.
func ParseFilled(text []byte, limits Limits) (f Filled, err error) {
	switch {
	case int64(len(text)) > limits.File:
		return f, fmt.Errorf("it has %d bytes, more than the %d allowed", len(text), limits.File)
	case bytes.HasPrefix(text, []byte(oldMark)):
		return f, errors.New("it is a workbook of an old kind, or one with a password; save it as .xlsx without a password")
	case bytes.HasPrefix(text, []byte(zipMark)) && bytes.Contains(text[:min(len(text), 100)], []byte(odsMark)):
		return f, errors.New("it is an OpenDocument sheet; save it as .xlsx")
	case bytes.HasPrefix(text, []byte(zipMark)):
		if err = boundStrings(text, limits); err != nil {
			break
		}
		if f.Sheets, err = readSheets(bytes.NewReader(text), int64(len(text)), limits); err == nil {
			f.Date1904, err = countsFrom1904(text)
			err = errors.Join(err, f.look(text))
		}
	default:
		f.CSV = true
		f.Sheets, err = readCSV(text, limits)
	}
	if err != nil {
		return Filled{}, err
	}
	return f, f.check()
}

// boundStrings refuses a table of texts that would not be kept in memory: the library then looks up each text in a file, which takes
// minutes (tried with 1.5 million texts, excelize v2.11.1). Its size is that of the header, beyond which nothing is unpacked.
func boundStrings(text []byte, limits Limits) error {
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return fmt.Errorf("it is not a workbook, or damaged: %w", err)
	}
	for _, f := range z.File {
		if partName(f) == "xl/sharedstrings.xml" && f.UncompressedSize64 > uint64(limits.InMemory) {
			return fmt.Errorf("it holds %d bytes of text, more than the %d allowed", f.UncompressedSize64, limits.InMemory)
		}
	}
	return nil
}

// check holds the sheets against the caps.
func (f Filled) check() error {
	var errs []error
	for _, s := range f.Sheets {
		if len(s.Rows) > mostRows {
			errs = append(errs, fmt.Errorf("sheet %q has %d rows; at most %d are read", s.Name, len(s.Rows), mostRows))
		}
		for r, row := range s.Rows {
			if len(row) > mostColumns {
				errs = append(errs, fmt.Errorf("sheet %q, row %d has %d columns; at most %d are read", s.Name, r+1, len(row), mostColumns))
				break
			}
			for c, v := range row {
				if err := checkText(v); err != nil {
					errs = append(errs, fmt.Errorf("%s: %w", Place(s.Name, r, c), err))
				}
			}
		}
	}
	return errors.Join(errs...)
}

// countsFrom1904 reads the date system of a workbook that has been read before: the attribute date1904 of workbookPr
// (ECMA-376 part 1, 18.2.28; from memory).
func countsFrom1904(text []byte) (bool, error) {
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return false, err
	}
	for _, f := range z.File {
		if partName(f) == "xl/workbook.xml" {
			return date1904(f)
		}
	}
	return false, errors.New("it does not say by which date system it counts")
}

func date1904(f *zip.File) (_ bool, err error) {
	in, err := f.Open()
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	d := xml.NewDecoder(in)
	for {
		t, err := d.Token()
		if err == io.EOF {
			return false, nil
		}
		if err != nil {
			return false, err
		}
		e, ok := t.(xml.StartElement)
		if !ok || e.Name.Local != "workbookPr" {
			continue
		}
		says := attribute(e, "date1904")
		return says == "1" || says == "true", nil
	}
}

// serialOf1904 is the serial number of 1904-01-01 in the 1900 date system: what lies between the two systems (from
// memory; a test compares it with the calendar).
const serialOf1904 = 1462

// Moment turns a serial number into its day and the time of that day, in whole seconds. Serial numbers before
// 1900-03-01 are refused: the 1900 system counts a 29 February 1900 that never was, and programs disagree on what lies before it.
func (f Filled) Moment(serial float64) (civil.Day, time.Duration, error) {
	if math.IsNaN(serial) || math.IsInf(serial, 0) {
		return civil.None, 0, errors.New("it is no number of a day")
	}
	if f.Date1904 {
		serial += serialOf1904
	}
	seconds := math.Round(serial * secondsOfDay)
	if seconds < firstSerial*secondsOfDay || seconds >= (lastSerial+1)*secondsOfDay {
		return civil.None, 0, fmt.Errorf("the number %g stands for no day from 1900-03-01 to 9999-12-31", serial)
	}
	whole := int64(seconds)
	return civil.Day(whole/secondsOfDay - serialOf1970), time.Duration(whole%secondsOfDay) * time.Second, nil
}
