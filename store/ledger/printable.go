package ledger

import (
	"bytes"
	"errors"
	"unicode"
)

// errControl refuses texts that could make a screen say something else than is recorded.
var errControl = errors.New("a text holds control characters, which no keyboard types")

// moves are characters that, printed, move the cursor, begin a command to the terminal or turn the direction of writing.
func moves(r rune) bool {
	return r != '\n' && r != '\t' && unicode.In(r, unicode.Cc, unicode.Bidi_Control)
}

// printable refuses such characters in a new entry. In the bytes of an entry, those below U+0020 that have no short
// escape, and only those, stand as \u00XX (RFC 8785 §3.2.2.2). What other devices recorded before is taken as it is.
func printable(body []byte) error {
	if bytes.ContainsFunc(body, moves) {
		return errControl
	}
	for i := 0; i < len(body)-1; i++ {
		n := bytes.IndexByte(body[i:], '\\')
		if n < 0 {
			return nil
		}
		if i += n + 1; i < len(body) && body[i] == 'u' {
			return errControl
		}
	}
	return nil
}
