package workbook

import (
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// Formats of cells. Format "@" keeps text that looks like a formula text even after somebody has edited the cell.
const (
	textFormat   = 49                      // "@" (excelize v2, its list of built-in formats)
	dayFormat    = "yyyy-mm-dd"            // ISO 8601; company choice
	momentFormat = "yyyy-mm-dd hh:mm:ss"   // ISO 8601 with a space; company choice
	flagFormat   = `"TRUE";"TRUE";"FALSE"` // LibreOffice 7.4 shows a flag as 1 or 0 without it (tried)
)

// The font of titles and notes is the one that the library gives all other cells.
const (
	fontFamily = "Calibri"
	fontSize   = 11
)

// The two tints: fill and font, chosen to stay apart in grey print and for colour-blind readers (company choice). The
// stopped one is bold besides.
const (
	stoppedFill, stoppedFont = "F4C7C3", "7A0C0C"
	soonFill, soonFont       = "FFF2CC", "5F4B00"
)

// styles holds the library's numbers for the looks of a workbook.
type styles struct {
	kind          [Flag + 1]int
	wrap, link    int
	title, note   int
	stopped, soon int // conditional formats
}

func newStyles(f *excelize.File) (styles, error) {
	var s styles
	var err error
	add := func(at *int, create func(*excelize.Style) (int, error), style *excelize.Style) {
		if err == nil {
			*at, err = create(style)
		}
	}
	day, moment, flag := dayFormat, momentFormat, flagFormat
	top, wrapped := &excelize.Alignment{Vertical: "top"}, &excelize.Alignment{Vertical: "top", WrapText: true}
	add(&s.kind[Text], f.NewStyle, &excelize.Style{NumFmt: textFormat, Alignment: top})
	left := &excelize.Alignment{Vertical: "top", Horizontal: "left"} // beside text, so that the two do not touch
	add(&s.kind[Day], f.NewStyle, &excelize.Style{CustomNumFmt: &day, Alignment: left})
	add(&s.kind[Moment], f.NewStyle, &excelize.Style{CustomNumFmt: &moment, Alignment: left})
	add(&s.kind[Flag], f.NewStyle, &excelize.Style{CustomNumFmt: &flag, Alignment: left})
	add(&s.kind[Number], f.NewStyle, &excelize.Style{Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "right", Indent: 1}}) // as above
	add(&s.wrap, f.NewStyle, &excelize.Style{NumFmt: textFormat, Alignment: wrapped})
	add(&s.link, f.NewStyle, &excelize.Style{NumFmt: textFormat, Alignment: top, Font: &excelize.Font{Underline: "single", Family: fontFamily, Size: fontSize}})
	add(&s.title, f.NewStyle, &excelize.Style{
		Font:      &excelize.Font{Bold: true, Family: fontFamily, Size: fontSize},
		Border:    []excelize.Border{{Type: "bottom", Style: 1, Color: "000000"}},
		Alignment: &excelize.Alignment{WrapText: true, Vertical: "top"},
	})
	add(&s.note, f.NewStyle, &excelize.Style{Font: &excelize.Font{Italic: true, Family: fontFamily, Size: fontSize}, Alignment: wrapped})
	add(&s.stopped, f.NewConditionalStyle, tintStyle(stoppedFill, stoppedFont, true))
	add(&s.soon, f.NewConditionalStyle, tintStyle(soonFill, soonFont, false))
	return s, err
}

func tintStyle(fill, font string, bold bool) *excelize.Style {
	return &excelize.Style{
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{fill}},
		Font: &excelize.Font{Color: font, Bold: bold},
	}
}

// of is the style of a column's cells.
func (s styles) of(c Column) int {
	if c.Wrap {
		return s.wrap
	}
	return s.kind[c.Kind]
}

// rules are the conditional formats of a tint: one per word, equal to the whole cell.
func (s styles) rules(t Tint) []excelize.ConditionalFormatOptions {
	var rules []excelize.ConditionalFormatOptions
	add := func(words []string, format int) {
		for _, word := range words {
			rules = append(rules, excelize.ConditionalFormatOptions{
				Type: "cell", Criteria: "==", Format: &format,
				Value: `"` + strings.ReplaceAll(word, `"`, `""`) + `"`,
			})
		}
	}
	add(t.Stopped, s.stopped)
	add(t.Soon, s.soon)
	return rules
}

// Widths in characters where a column gives none (company choice): what the values of the kind need, or the title
// with its filter button, up to widestTitle; longer titles wrap.
const (
	filterButton = 3
	widestTitle  = 24
)

func (c Column) width() float64 {
	if c.Width > 0 {
		return c.Width
	}
	needs := [...]float64{Text: 24, Number: 10, Day: 11, Moment: 19, Flag: 8}
	title := float64(utf8.RuneCountInString(c.Title) + filterButton)
	return max(needs[c.Kind], min(title, widestTitle))
}
