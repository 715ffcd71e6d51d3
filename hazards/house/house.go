// Package house holds the house rules: the numbers a company chooses where sources are silent or disagree.
//
// Each number carries its source, or says "company choice". Editions are recorded in the book; the starter edition
// embedded here is only an offer and judges nothing until a book has adopted it. Which number decides is always the
// edition in force on the day, as then known.
//
// A company may not choose everything. Numbers of its place's rules that were read, and published ones that the starter edition marks
// so, are floors: they are recorded with an edition, one that is looser is refused, and of an edition from before they came the
// stricter of figure and floor judges (Under). A figure that is looser than the starter's and above its floor says so wherever it is
// cited (Since).
package house

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/hazards/units"
)

// Number is one house rule. Value is written as it would be typed, with its unit ("15m", "12months", "3").
type Number struct {
	Key    string          `json:"key" yaml:"key"`
	Of     units.Dimension `json:"of" yaml:"of"`       // what is measured; "text" for the few rules that are words
	Value  string          `json:"value" yaml:"value"` // with unit
	Source string          `json:"source" yaml:"source"`
	What   string          `json:"what" yaml:"what"`     // one sentence for the reader
	Strict string          `json:"strict" yaml:"strict"` // which way is stricter: "lower", "higher" or "" where neither is
}

// Text is the dimension of rules that are words, not numbers.
const Text units.Dimension = "text"

// House is one edition of the house rules.
type House struct {
	Edition string   `json:"edition" yaml:"edition"`
	Reason  string   `json:"reason" yaml:"reason"` // why it was adopted, where it loosens a limit
	Numbers []Number `json:"numbers" yaml:"numbers"`
	Floors  []Floor  `json:"floors,omitempty" yaml:"floors"` // that no number may be looser than; none in an edition from before they came

	si     map[string]float64
	index  map[string]int       // place in Numbers by key
	raised map[string]Raised    // by Under
	looser map[string]Loosening // by Since
}

//go:embed starter.yaml
var starter []byte

// Starter returns the edition offered to a new book. Its floors bind wherever the book is kept.
func Starter() (House, error) { return Parse(starter) }

// Parse reads an edition from YAML, refusing unknown fields, and reports all problems at once. The floors of a file are of kind Binding.
func Parse(text []byte) (House, error) {
	var h House
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(&h); err != nil {
		return House{}, fmt.Errorf("read house rules: %w", err)
	}
	h, err := h.Ready()
	return h, errors.Join(err, h.lacks(later), h.readFloors())
}

// readFloors checks the floors of a file.
func (h House) readFloors() error {
	var problems []error
	for i := range h.Floors {
		f := &h.Floors[i]
		f.Kind = Binding
		n, known := h.find(f.Key)
		if !known || n.Strict == "" {
			problems = append(problems, fmt.Errorf("floor of %s: no house rule of that name has a stricter side", f.Key))
			continue
		}
		if f.Clause == "" || f.Status == "" || f.Read == "" {
			problems = append(problems, fmt.Errorf("floor of %s needs clause, status and read", f.Key))
		}
		if _, err := units.Parse(f.Value, n.Of); err != nil {
			problems = append(problems, fmt.Errorf("floor of %s: %w", f.Key, err))
		}
	}
	return errors.Join(problems...)
}

// Ready checks an edition that came from YAML or from the ledger and prepares it for look-ups. The error joins
// every problem found. Rules that came with a later version may be missing here; Parse wants them all.
func (h House) Ready() (House, error) {
	var problems []error
	h.si, h.index = make(map[string]float64, len(h.Numbers)), make(map[string]int, len(h.Numbers))
	h.raised, h.looser = map[string]Raised{}, map[string]Loosening{}
	for i, n := range h.Numbers {
		if err := h.take(n); err != nil {
			problems = append(problems, err)
		}
		h.index[n.Key] = i
	}
	problems = append(problems, h.lacks(required))
	return h, errors.Join(problems...)
}

// lacks joins an error for each of the keys that the edition does not have.
func (h House) lacks(keys []string) error {
	var problems []error
	for _, k := range keys {
		if !h.Has(k) {
			problems = append(problems, fmt.Errorf("house rule %s is missing", k))
		}
	}
	return errors.Join(problems...)
}

// Has reports whether the edition has a rule. Keys that came with a later version may be missing from an edition
// recorded before.
func (h House) Has(key string) bool { _, ok := h.find(key); return ok }

func (h House) take(n Number) error {
	var problems []error
	if n.Key == "" || n.Source == "" || n.What == "" {
		problems = append(problems, fmt.Errorf("house rule %q needs key, source and what", n.Key))
	}
	if _, twice := h.si[n.Key]; twice {
		problems = append(problems, fmt.Errorf("house rule %s stands twice", n.Key))
	}
	h.si[n.Key] = 0
	if n.Of != Text {
		q, err := units.Parse(n.Value, n.Of)
		if err != nil {
			problems = append(problems, fmt.Errorf("house rule %s: %w", n.Key, err))
		}
		h.si[n.Key] = q.SI()
	}
	return errors.Join(problems...)
}

func (h House) find(key string) (Number, bool) {
	i, ok := h.index[key]
	if !ok {
		return Number{}, false
	}
	return h.Numbers[i], true
}

// SI returns a number in the base unit of its dimension (see package units). Required keys are always there.
func (h House) SI(key string) float64 { return h.si[key] }

// Int returns a number that counts things, days or months.
func (h House) Int(key string) int { return int(h.si[key]) }

// Value returns a rule as written, with its unit.
func (h House) Value(key string) string { n, _ := h.find(key); return n.Value }

// Cite names a rule in a reason, as "house rule stand-off 20m, edition 1 (company choice, no source)". Where a floor judges it names
// that; where the company's figure is looser than the starter's it says by whom, who stands as {id}, and why.
func (h House) Cite(key string) string {
	n, _ := h.find(key)
	cite := fmt.Sprintf("house rule %s %s, edition %s (%s)", key, n.Value, h.Edition, strings.TrimSuffix(n.Source, "."))
	if r, ok := h.raised[key]; ok {
		cite = fmt.Sprintf("floor of %s, %s%s", key, r.Floor.Words(), r.instead(h.Edition))
	}
	if l, ok := h.looser[key]; ok {
		cite += "; " + l.Words()
	}
	return cite
}

// instead says what the edition has, where it has the rule at all.
func (r Raised) instead(edition string) string {
	if r.Company == "" {
		return ", which edition " + edition + " lacks"
	}
	return ", before the " + r.Company + " of edition " + edition
}

// copied returns an edition whose numbers can be changed without touching this one.
func (h House) copied() House {
	h.Numbers = slices.Clone(h.Numbers)
	h.si, h.index, h.raised, h.looser = maps.Clone(h.si), maps.Clone(h.index), maps.Clone(h.raised), maps.Clone(h.looser)
	return h
}
