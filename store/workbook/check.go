package workbook

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Limits of the file format as the library states them (excelize v2, its published constants).
const (
	maxText  = excelize.TotalCellChars     // UTF-16 units of one cell
	maxName  = excelize.MaxSheetNameLength // UTF-16 units of a sheet name
	maxWidth = excelize.MaxColumnWidth     // characters
	maxCols  = excelize.MaxColumns
)

// badInName lists what a sheet name must not hold: : \ / ? * [ ] by the format, and the apostrophe, which the library
// writes unescaped into the ranges of filters (excelize v2.11.1, AutoFilter).
const badInName = `:\/?*[]'`

// checkBook reports every fault of the layout: names, columns, titles.
func checkBook(b Book) error {
	var errs []error
	if len(b.Sheets) == 0 {
		errs = append(errs, errors.New("the book has no sheets"))
	}
	if b.Created.IsZero() {
		errs = append(errs, errors.New("the book has no time of creation"))
	}
	used := map[string]bool{}
	if b.Paper > Letter {
		errs = append(errs, fmt.Errorf("unknown paper %d", b.Paper))
	}
	for _, s := range b.Sheets {
		if s.Late != nil {
			errs = append(errs, checkLate(s.Name))
		} else {
			errs = append(errs, checkSheet(s))
		}
		if used[fold(s.Name)] {
			errs = append(errs, fmt.Errorf("sheet %q: another sheet has that name", s.Name))
		}
		used[fold(s.Name)] = true
	}
	return errors.Join(errs...)
}

func checkLate(name string) error {
	if err := checkName(name); err != nil {
		return fmt.Errorf("sheet %q: %w", name, err)
	}
	return nil
}

// checkSheet reports every fault of one sheet's layout; it does not look at its rows.
func checkSheet(s Sheet) error {
	errs := []error{checkName(s.Name), checkText(s.Note)}
	if len(s.Columns) == 0 || len(s.Columns) > maxCols {
		errs = append(errs, fmt.Errorf("%d columns; a sheet has 1 to %d", len(s.Columns), maxCols))
	}
	for i, c := range s.Columns {
		if err := checkColumn(c); err != nil {
			errs = append(errs, fmt.Errorf("column %d (%q): %w", i+1, c.Title, err))
		}
	}
	if s.Left < 0 || s.Left >= max(len(s.Columns), 1) {
		errs = append(errs, fmt.Errorf("%d columns stay in view; at least one does not", s.Left))
	}
	if s.Pages < 0 || s.Pages > maxPages {
		errs = append(errs, fmt.Errorf("%d pages wide; a sheet prints 1 to %d", s.Pages, maxPages))
	}
	for _, c := range s.Charts {
		errs = append(errs, c.check(s.Columns))
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("sheet %q: %w", s.Name, err)
	}
	return nil
}

// maxPages is how many pages a sheet may print across (company choice).
const maxPages = 20

func checkName(name string) error {
	switch {
	case name == "" || units(name) > maxName:
		return fmt.Errorf("a sheet name has 1 to %d UTF-16 units, this one %d", maxName, units(name))
	case !utf8.ValidString(name) || strings.ContainsAny(name, badInName) || strings.ContainsFunc(name, unicode.IsControl):
		return fmt.Errorf("a sheet name is UTF-8 without control characters and without any of %s", badInName)
	case strings.TrimSpace(name) != name:
		return errors.New("a sheet name neither begins nor ends with a space")
	case strings.EqualFold(name, "history"):
		return errors.New("spreadsheet programs keep that name for themselves") // from memory
	}
	return nil
}

func checkColumn(c Column) error {
	var errs []error
	if c.Title == "" {
		errs = append(errs, errors.New("no title"))
	}
	errs = append(errs, checkText(c.Title))
	if c.Wrap && c.Kind != Text {
		errs = append(errs, fmt.Errorf("only text wraps, and this column is one of %s", c.Kind))
	}
	if c.Kind > Flag {
		errs = append(errs, fmt.Errorf("unknown kind %d", c.Kind))
	}
	if words := slices.Concat(c.Tint.Stopped, c.Tint.Soon); len(words) > 0 {
		errs = append(errs, checkTint(c.Kind, words))
	}
	if !(c.Width >= 0 && c.Width <= maxWidth) {
		errs = append(errs, fmt.Errorf("width %g; a width is 0 to %d characters", c.Width, maxWidth))
	}
	return errors.Join(errs...)
}

// maxWord is how many UTF-16 units a string within a formula has, and so the word of a tint (from memory).
const maxWord = 255

func checkTint(kind Kind, words []string) error {
	if kind != Text {
		return fmt.Errorf("tints mark words, and this column is one of %s", kind)
	}
	for _, word := range words {
		if word == "" || units(word) > maxWord {
			return fmt.Errorf("the tinted word %q does not have 1 to %d UTF-16 units", word, maxWord)
		}
	}
	return nil
}

// checkText refuses what the library would cut without a word.
func checkText(s string) error {
	if len(s) <= maxText { // UTF-8 never has fewer bytes than UTF-16 has units
		return nil
	}
	if n := units(s); n > maxText {
		return fmt.Errorf("text of %d UTF-16 units; a cell holds %d", n, maxText)
	}
	return nil
}

// units counts UTF-16 units, the measure of the format's limits.
func units(s string) int {
	n := 0
	for _, r := range s {
		n += max(1, utf16.RuneLen(r))
	}
	return n
}

// fold makes names that differ in capitals alone equal, as spreadsheet programs do.
func fold(name string) string { return strings.ToLower(name) }

// continued names the nth worksheet of a sheet: NAME, then "NAME 2", cut where the number would not fit.
func continued(name string, n int) string {
	if n == 1 {
		return name
	}
	number := " " + strconv.Itoa(n)
	runes := []rune(name)
	for units(string(runes))+len(number) > maxName {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimSpace(string(runes)) + number
}
