package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// calcAnswer is what a calculation found: results in the order of its table, notes, and where the formula stands.
type calcAnswer struct {
	results []calcResult
	notes   []string
	source  []string
}

// calcResult is one named result. value is a float64, an int, a string, a list of them, or nil where there is none;
// decimals only rounds what people read.
type calcResult struct {
	name     string
	value    any
	unit     string
	decimals int
}

func (c *calcAnswer) add(name string, value any, unit string, decimals int) {
	c.results = append(c.results, calcResult{name, value, unit, decimals})
}

func (c *calcAnswer) note(format string, args ...any) {
	c.notes = append(c.notes, fmt.Sprintf(format, args...))
}

// finite refuses results that are too large for a number.
func (c calcAnswer) finite() error {
	for _, r := range c.results {
		if v, ok := r.value.(float64); ok && (math.IsInf(v, 0) || math.IsNaN(v)) {
			return fmt.Errorf("%s cannot be computed for numbers of that size", r.name)
		}
	}
	return nil
}

// text writes the value for people.
func (r calcResult) text() string { return calcText(r.value, r.decimals) }

// calcText rounds halves away from zero, as the published tables do.
func calcText(value any, decimals int) string {
	switch v := value.(type) {
	case nil:
		return "none"
	case float64:
		scale := math.Pow10(decimals)
		return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', decimals, 64) // + 0 turns -0 into 0
	case []any:
		var parts []string
		for _, one := range v {
			parts = append(parts, calcText(one, decimals))
		}
		return strings.Join(parts, ", ")
	}
	return fmt.Sprint(value)
}

// calcObject is the published JSON form, "ringtrue/calc/1". Results are unrounded.
type calcObject struct {
	Format  string    `json:"format"`
	Name    string    `json:"name"`
	Inputs  calcPairs `json:"inputs"`
	Results calcPairs `json:"results"`
	Units   calcPairs `json:"units"`
	Source  []string  `json:"source"`
	Notes   []string  `json:"notes"`
}

func (c calcAnswer) object(name string, in *calcInputs) calcObject {
	o := calcObject{Format: "ringtrue/calc/1", Name: name, Inputs: in.echo(),
		Source: append([]string{}, c.source...), Notes: append([]string{}, c.notes...)}
	for _, r := range c.results {
		o.Results = append(o.Results, calcPair{r.name, r.value})
		o.Units = append(o.Units, calcPair{r.name, r.unit})
	}
	return o
}

// calcPair is one member of a JSON object whose order is kept.
type calcPair struct {
	name  string
	value any
}

type calcPairs []calcPair

// MarshalJSON writes the pairs as an object, in their order.
func (p calcPairs) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, one := range p {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := json.Marshal(one.name)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(one.value)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
