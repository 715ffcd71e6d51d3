package credential

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/gowebpki/jcs"
)

const (
	maxNesting = 32        // objects and lists within each other (company choice; ours go to 5)
	maxInteger = 1<<53 - 1 // RFC 7493 §2.2: beyond it a double is not exact
)

// object reads a JSON object strictly: UTF-8, no name twice within an object, nor in other capitals, no number that a
// double would change. So no two readers can take it for different things.
func object(text []byte) (map[string]any, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("not UTF-8")
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	v, err := value(d, 0)
	if err != nil {
		return nil, err
	}
	o, ok := v.(map[string]any)
	if !ok {
		return nil, errors.New("not a JSON object")
	}
	if d.InputOffset() != int64(len(bytes.TrimRight(text, " \t\r\n"))) {
		return nil, errors.New("something stands behind the JSON object")
	}
	if _, err := jcs.Transform(text); err != nil { // half of a surrogate pair, say, which Go's decoder replaces
		return nil, fmt.Errorf("not JSON with a canonical form: %w", err)
	}
	return o, nil
}

func value(d *json.Decoder, depth int) (any, error) {
	if depth > maxNesting {
		return nil, fmt.Errorf("nested deeper than %d", maxNesting)
	}
	t, err := d.Token()
	if err != nil {
		return nil, fmt.Errorf("not JSON: %w", err)
	}
	switch t := t.(type) {
	case json.Delim:
		if t == '{' {
			return members(d, depth)
		}
		return elements(d, depth)
	case json.Number:
		n, err := strconv.ParseInt(t.String(), 10, 64)
		if err != nil || n > maxInteger || n < -maxInteger {
			return nil, fmt.Errorf("the number %.40s is no integer that every reader reads alike", t)
		}
	}
	return t, nil
}

func members(d *json.Decoder, depth int) (any, error) {
	o, folded := map[string]any{}, map[string]bool{}
	for d.More() {
		t, err := d.Token()
		if err != nil {
			return nil, fmt.Errorf("not JSON: %w", err)
		}
		name, ok := t.(string)
		if !ok {
			return nil, errors.New("not JSON: a name is missing")
		}
		// Lower of Upper folds what Go's own decoder takes for the same name, such as the long s.
		fold := strings.ToLower(strings.ToUpper(name))
		if folded[fold] {
			return nil, fmt.Errorf("the name %.40q stands twice, or in other capitals", name)
		}
		folded[fold] = true
		if o[name], err = value(d, depth+1); err != nil {
			return nil, err
		}
	}
	_, err := d.Token()
	return o, err
}

func elements(d *json.Decoder, depth int) (any, error) {
	list := []any{}
	for d.More() {
		v, err := value(d, depth+1)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	_, err := d.Token()
	return list, err
}

// canonical writes a value in the form of RFC 8785.
func canonical(v any) ([]byte, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jcs.Transform(text)
}
