package ledger

import (
	"bytes"
	"encoding/json"
	"time"
)

// text reads a JSON string; plain ones, which is nearly all, without the JSON decoder.
func text(value []byte) (string, error) {
	if len(value) < 2 || value[0] != '"' {
		return "", errForm
	}
	if bytes.IndexByte(value, '\\') < 0 {
		return string(value[1 : len(value)-1]), nil
	}
	var s string
	err := json.Unmarshal(value, &s)
	return s, err
}

// again is text that often says what it said before.
func again(value []byte, before string) (string, error) {
	if len(value) == len(before)+2 && value[0] == '"' && string(value[1:len(value)-1]) == before && bytes.IndexByte(value, '\\') < 0 {
		return before, nil
	}
	return text(value)
}

// Strings reads a JSON list of strings.
func Strings(value []byte) (list []string, err error) {
	if len(value) < 2 || value[0] != '[' || value[len(value)-1] != ']' {
		return nil, errForm
	}
	for rest := value[1 : len(value)-1]; len(rest) > 0; {
		n := skip(rest)
		if n == 0 || n < len(rest) && rest[n] != ',' {
			return nil, errForm
		}
		s, err := text(rest[:n])
		if err != nil {
			return nil, err
		}
		list = append(list, s)
		rest = rest[min(n+1, len(rest)):]
	}
	return list, nil
}

// instant is the moment read last, with how it was written.
type instant struct {
	text string
	at   time.Time
}

func (i *instant) read(value []byte) (time.Time, error) {
	if string(value) == i.text {
		return i.at, nil
	}
	t, err := moment(value)
	if err == nil {
		i.text, i.at = string(value), t
	}
	return t, err
}

// moment reads an RFC 3339 time in the only form the ledger writes: seconds, no fraction.
func moment(value []byte) (time.Time, error) {
	if len(value) < 22 || value[0] != '"' || bytes.IndexByte(value, '.') >= 0 {
		return time.Time{}, errForm
	}
	var t time.Time
	err := t.UnmarshalText(value[1 : len(value)-1])
	return t, err
}
