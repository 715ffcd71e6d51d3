package rules

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"go.yaml.in/yaml/v3"
)

// The edition embedded in the program. Texts and pages were looked at until StarterCompiled, not later.
const (
	StarterEdition  = "starter-3"
	StarterCompiled = "2026-11-30"
)

//go:embed data/*.yaml
var data embed.FS

// Starter returns the edition offered to a new book. It judges nothing until a book has recorded it.
func Starter() (Edition, error) {
	files, err := data.ReadDir("data")
	if err != nil {
		return Edition{}, fmt.Errorf("read local rules: %w", err)
	}
	e := Edition{Edition: StarterEdition, Compiled: StarterCompiled}
	var problems []error
	for _, f := range files {
		text, err := data.ReadFile("data/" + f.Name())
		if err != nil {
			return Edition{}, fmt.Errorf("read local rules: %w", err)
		}
		j, err := Parse(f.Name(), text)
		problems = append(problems, err)
		e.Jurisdictions = append(e.Jurisdictions, j)
	}
	return e, errors.Join(problems...)
}

// Parse reads one jurisdiction from YAML. The file is named after the code; unknown and doubled keys are refused with
// file and line, and so is anything after the one document. What the words mean is for Lint to judge.
func Parse(file string, text []byte) (Jurisdiction, error) {
	j, err := ParsePlace(file, text)
	if want := strings.TrimSuffix(path.Base(file), ".yaml"); err == nil && j.Code != want {
		return Jurisdiction{}, fmt.Errorf("read local rules: %s: the code inside is %q; file and code must be the same", file, j.Code)
	}
	return j, err
}

// ParsePlace reads the same from a file of any name, as a company brings it.
func ParsePlace(file string, text []byte) (Jurisdiction, error) {
	var j Jurisdiction
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(&j); err != nil {
		return Jurisdiction{}, readError(file, err)
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return Jurisdiction{}, fmt.Errorf("read local rules: %s: more than one document in the file", file)
	}
	return j.filled(), nil
}

// readError names the file on every problem of the YAML reader, which tells lines but not files.
func readError(file string, err error) error {
	if errors.Is(err, io.EOF) {
		return fmt.Errorf("read local rules: %s: the file is empty", file)
	}
	wrong, ok := errors.AsType[*yaml.TypeError](err)
	if !ok {
		return fmt.Errorf("read local rules: %s: %s", file, strings.TrimPrefix(err.Error(), "yaml: "))
	}
	var problems []error
	for _, line := range wrong.Errors {
		line, _, _ = strings.Cut(line, " in type ") // a name of this program's own
		problems = append(problems, fmt.Errorf("read local rules: %s: %s", file, line))
	}
	return errors.Join(problems...)
}

// Write writes a place as a file that ParsePlace reads back.
func Write(j Jurisdiction) ([]byte, error) {
	var out bytes.Buffer
	enc := yaml.NewEncoder(&out)
	enc.SetIndent(2)
	if err := enc.Encode(j); err != nil {
		return nil, fmt.Errorf("write local rules of %s: %w", j.Code, err)
	}
	return out.Bytes(), enc.Close()
}

// filled gives empty lists instead of absent ones, because the book's entries know no null.
func (j Jurisdiction) filled() Jurisdiction {
	if len(j.Floors) == 0 {
		j.Floors = nil
	}
	if j.Aliases == nil {
		j.Aliases = []string{}
	}
	if j.Rules == nil {
		j.Rules = []Rule{}
	}
	if j.Sought == nil {
		j.Sought = []string{}
	}
	for i := range j.Rules {
		if j.Rules[i].Also == nil {
			j.Rules[i].Also = []string{}
		}
		if j.Rules[i].Kept == nil {
			j.Rules[i].Kept = []string{}
		}
		j.Rules[i].Demands = filledDemands(j.Rules[i].Demands)
	}
	return j
}

// filledDemands leaves out lists that are empty, as the entries do.
func filledDemands(ds []Demand) []Demand {
	for i := range ds {
		if len(ds[i].Topics) == 0 {
			ds[i].Topics = nil
		}
		if len(ds[i].Fields) == 0 {
			ds[i].Fields = nil
		}
	}
	if len(ds) == 0 {
		return nil
	}
	return ds
}
