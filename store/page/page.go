// Package page makes printable sheets: one self-contained HTML file each, with its style inside, no scripts, no pictures and
// nothing fetched. What stands on a sheet comes in as text; bytes go out.
//
// There are five: the answer of a tailgate check as a copy for the crew (what each may do, no reasons) and one for the
// supervisor (with reasons), a day sheet to fill in on paper when no machine runs, the form to look at a skill, and what the book holds
// behind a worker's standing. All are black on white, made for Letter or A4, to be read at arm's length; nothing is said by
// colour or shade alone. Each carries the head of the book (size and root of each ledger), lines to sign on, and once the
// sentence that it does not say that work is safe. A sheet from a demo book says so at its head and on every page.
//
// Sheets speak the languages of package words. Sentences that a check recorded in English are said in the language of the
// sheet where the catalogue has them; the supervisor's copy shows the English one beside. Text entered by people stands as
// entered, and the sheet says so.
package page

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"strings"

	"example.org/ringtrue/store/page/words"
	"example.org/ringtrue/store/visible"
)

//go:embed templates/*.html templates/*.css
var files embed.FS

// Paper is the size of a page.
type Paper string

// Papers.
const (
	Letter Paper = "letter" // 8.5 × 11 in (ANSI A, from memory)
	A4     Paper = "a4"     // 210 × 297 mm (ISO 216, from memory)
)

// Papers lists the sizes.
func Papers() []string { return []string{string(Letter), string(A4)} }

// sizes are the sizes in CSS. Margins leave room for a clip and a thumb (company choice).
var sizes = map[Paper]template.CSS{
	Letter: "@page { size: 8.5in 11in; margin: 8mm 10mm 9mm }",
	A4:     "@page { size: 210mm 297mm; margin: 8mm 10mm 9mm }",
}

// Head is size and root of one ledger of the book.
type Head struct {
	Ledger  string
	Entries int64
	Root    string // 64 hex digits
}

// Common is what stands on every sheet.
type Common struct {
	Paper   Paper
	Company string
	Demo    bool
	Printed string // day and clock time, in the book's zone
	Caution string // what stands beside levels, English as recorded; "" where the sheet has none
	Heads   []Head
}

// data is what a template sees: the sheet, and the words of its language through functions.
type data struct {
	Sheet any
	Common
	Lang  string
	Title string
	Size  template.CSS
	Style template.CSS
}

// fill fills in the template of a kind of sheet. Title is a message of the catalogue.
func fill(kind, title string, c Common, sheet any, s *words.Speaker) ([]byte, error) {
	size, known := sizes[c.Paper]
	if !known {
		return nil, fmt.Errorf("%q is not a size of paper; there are %s", c.Paper, strings.Join(Papers(), ", "))
	}
	style, err := files.ReadFile("templates/sheet.css")
	if err != nil {
		return nil, err
	}
	all, err := template.New(kind).Funcs(functions(s)).ParseFS(files, "templates/*.html")
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	d := data{Sheet: sheet, Common: c, Lang: s.Lang(), Title: s.Say(title), Size: size, Style: template.CSS(style)}
	if err := all.ExecuteTemplate(&out, kind+".html", d); err != nil {
		return nil, fmt.Errorf("make the sheet: %w", err)
	}
	return append(visible.Bytes(bytes.TrimSpace(out.Bytes())), '\n'), nil
}

// sentence is one recorded sentence as a sheet shows it.
type sentence struct {
	Said     string
	English  string // where Said is a translation
	Foreign  bool   // Said is English on a sheet of another language
	Original bool   // show the English one beside
}

// functions are the words of a language for templates.
func functions(s *words.Speaker) template.FuncMap {
	text := func(english string) sentence {
		said, ok := s.Render(english)
		one := sentence{Said: said, Foreign: !ok}
		if ok && s.Lang() != words.English {
			one.English = english
		}
		return one
	}
	behind := func(english string) sentence {
		said, ok := s.Behind(english)
		return sentence{Said: said, Foreign: !ok}
	}
	own := func(id, english string) sentence {
		said, ok := s.Translated(id, english)
		return sentence{Said: said, Foreign: !ok}
	}
	return template.FuncMap{
		"say":       s.Say,
		"word":      s.Word,
		"text":      text,
		"behind":    behind,
		"skill":     func(id, title string) sentence { return own(words.SkillID(id), title) },
		"criterion": func(skill, id, text string) sentence { return own(words.CriterionID(skill, id), text) },
		"item":      func(id, title string) sentence { return own(words.ItemID(id), title) },
		"both":      func(english string) sentence { one := text(english); one.Original = true; return one },
		"list": func(english []string) string {
			return strings.Join(each(english, func(t string) string { return text(t).Said }), "; ")
		},
		"example": func(such string) string {
			if list, is := strings.CutPrefix(such, "one of "); is {
				return s.Say("page.one-of", strings.Join(each(strings.Split(list, ", "), typed(s)), ", "))
			}
			return s.Say("page.unit", strings.Replace(such, " or ", " "+s.Say("page.or")+" ", 1))
		},
		"colon": func() string {
			if s.Lang() == words.French {
				return "\u00a0:"
			}
			return ":"
		},
		"times": func(n int) []struct{} { return make([]struct{}, n) },
		"join":  func(list []string) string { return strings.Join(list, ", ") },
	}
}

// typed shows a class of the agency as it is typed, in English, with what it means.
func typed(s *words.Speaker) func(string) string {
	return func(class string) string {
		if said := s.Word("class", class); said != class {
			return class + " (" + said + ")"
		}
		return class
	}
}

func each(list []string, to func(string) string) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = to(list[i])
	}
	return out
}
