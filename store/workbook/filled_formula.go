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

// refuseUncomputed refuses formulas that no program has computed yet: they would read as blank, and nobody would see that
// something was meant to stand there. Computed ones count as their values.
func refuseUncomputed(text []byte) error {
	z, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		return err
	}
	for _, f := range z.File {
		if !strings.HasPrefix(strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/")), "xl/worksheets/") {
			continue
		}
		cell, err := uncomputed(f)
		if err != nil {
			return err
		}
		if cell != "" {
			return fmt.Errorf("cell %s of its part %s is a formula without a value; open the file in a spreadsheet program and save it", cell, f.Name)
		}
	}
	return nil
}

// uncomputed finds the first cell of a worksheet that has a formula and no value, "" where there is none (ECMA-376 part 1,
// 18.3.1.4, elements f and v of c; from memory).
func uncomputed(f *zip.File) (cell string, err error) {
	in, err := f.Open()
	if err != nil {
		return "", err
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	d := xml.NewDecoder(in)
	formula, value := false, false
	for {
		t, err := d.Token()
		if err == io.EOF {
			return "", nil
		}
		if err != nil {
			return "", err
		}
		switch t := t.(type) {
		case xml.StartElement:
			switch t.Name.Local {
			case "c":
				cell, formula, value = attribute(t, "r"), false, false
			case "f":
				formula = true
			case "v":
				value = true
			}
		case xml.EndElement:
			if t.Name.Local == "c" && formula && !value {
				return cell, nil
			}
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, at := range e.Attr {
		if at.Name.Local == name {
			return at.Value
		}
	}
	return ""
}
