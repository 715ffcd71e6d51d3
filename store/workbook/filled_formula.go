package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// look reads of each worksheet what the library does not tell: formulas that no program has computed yet, and merged cells. Uncomputed
// formulas are refused: they would read as blank, and nobody would see that something was meant to stand there. Computed
// ones count as their values.
func (f *Filled) look(text []byte) error {
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return err
	}
	names, err := sheetParts(z)
	if err != nil {
		return err
	}
	f.Merged = map[string][]string{}
	var open []string
	for _, part := range z.File {
		if !strings.HasPrefix(partName(part), "xl/worksheets/") {
			continue
		}
		s, err := scanSheet(part)
		if err != nil {
			return err
		}
		f.Merged[names[partName(part)]] = s.merged
		for _, cell := range s.uncomputed {
			open = append(open, orText(names[partName(part)], part.Name)+"!"+cell)
		}
	}
	if len(open) > 0 {
		return fmt.Errorf("%s: a formula without a value; open the file in a spreadsheet program and save it", strings.Join(open, ", "))
	}
	return nil
}

// scanned is what was found in a worksheet: cells with a formula and no value, at most mostNamed of them, and merged ranges.
type scanned struct {
	uncomputed []string
	merged     []string
}

// mostNamed is how many cells a message names (company choice).
const mostNamed = 12

// scanSheet reads a worksheet (ECMA-376 part 1, 18.3.1.4, elements f and v of c, and 18.3.1.54, mergeCell; from memory). A formula whose
// value is the empty text says so by its type.
func scanSheet(f *zip.File) (s scanned, err error) {
	in, err := f.Open()
	if err != nil {
		return s, err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	d := xml.NewDecoder(in)
	cell, within, formula, value := "", "", false, false
	for {
		t, err := d.Token()
		if err == io.EOF {
			return s, nil
		}
		if err != nil {
			return s, err
		}
		switch t := t.(type) {
		case xml.StartElement:
			within = t.Name.Local
			switch within {
			case "c":
				cell, formula, value = attribute(t, "r"), false, attribute(t, "t") == "str"
			case "f":
				formula = true
			case "mergeCell":
				s.merged = append(s.merged, attribute(t, "ref"))
			}
		case xml.CharData:
			value = value || within == "v" && len(bytes.TrimSpace(t)) > 0
		case xml.EndElement:
			within = ""
			if t.Name.Local == "c" && formula && !value && len(s.uncomputed) < mostNamed {
				s.uncomputed = append(s.uncomputed, cell)
			}
		}
	}
}

// partName is the name of a part as the library sees it.
func partName(f *zip.File) string { return strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/")) }

// sheetParts gives the name of the sheet that each part of a workbook holds (ECMA-376 part 1, 18.2.19, and part 2, 9.3; from
// memory).
func sheetParts(z *zip.Reader) (map[string]string, error) {
	var book struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"id,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		All []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	for _, f := range z.File {
		var err error
		switch partName(f) {
		case "xl/workbook.xml":
			err = decodePart(f, &book)
		case "xl/_rels/workbook.xml.rels":
			err = decodePart(f, &links)
		}
		if err != nil {
			return nil, err
		}
	}
	names := map[string]string{}
	for _, l := range links.All {
		for _, s := range book.Sheets {
			if s.ID == l.ID {
				names[strings.ToLower("xl/"+strings.TrimPrefix(strings.TrimPrefix(l.Target, "/"), "xl/"))] = s.Name
			}
		}
	}
	return names, nil
}

func decodePart(f *zip.File, v any) (err error) {
	in, err := f.Open()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	return xml.NewDecoder(in).Decode(v)
}

func attribute(e xml.StartElement, name string) string {
	for _, at := range e.Attr {
		if at.Name.Local == name {
			return at.Value
		}
	}
	return ""
}
