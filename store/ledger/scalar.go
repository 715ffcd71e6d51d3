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

// moment reads an RFC 3339 time in the only form the ledger writes: seconds, no fraction.
func moment(value []byte) (time.Time, error) {
	if len(value) < 22 || value[0] != '"' || bytes.IndexByte(value, '.') >= 0 {
		return time.Time{}, errForm
	}
	var t time.Time
	err := t.UnmarshalText(value[1 : len(value)-1])
	return t, err
}
