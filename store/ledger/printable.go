package ledger

import (
	"bytes"
	"unicode"
	"unicode/utf8"
)

// moves are characters that, printed, move the cursor, begin a command to the terminal or turn the direction of writing.
func moves(r rune) bool {
	return r != '\n' && r != '\t' && unicode.In(r, unicode.Cc, unicode.Bidi_Control)
}

// printable takes such characters out of the bytes of a new entry. Nobody sees them: a telephone or a page puts them into what is
// copied from it, and a stop is never refused for that. A carriage return becomes the line break that was meant. What other devices
// recorded before is taken as it is.
func printable(body []byte) ([]byte, error) {
	if bytes.IndexByte(body, '\\') < 0 && !bytes.ContainsFunc(body, moves) {
		return body, nil
	}
	out := make([]byte, 0, len(body))
	for rest := body; len(rest) > 0; {
		r, n := utf8.DecodeRune(rest)
		if r == '\\' && len(rest) > 1 {
			n = escapedLen(rest)
			out = append(out, escaped(rest[:n], rest[n:])...)
		} else if !moves(r) {
			out = append(out, rest[:n]...)
		}
		rest = rest[n:]
	}
	if bytes.Equal(out, body) {
		return body, nil
	}
	return out, Canonical(out) // a name within an object could have become another
}

func escapedLen(text []byte) int {
	if text[1] == 'u' {
		return min(len(`\u0000`), len(text))
	}
	return len(`\n`)
}

// escaped is what stays of an escape. Only characters below U+0020 that have no short one stand as \u00XX (RFC 8785
// §3.2.2.2); of the short ones \b, \f and \r move the cursor.
func escaped(one, further []byte) []byte {
	switch one[1] {
	case 'u', 'b', 'f':
		return nil
	case 'r':
		if bytes.HasPrefix(further, []byte(`\n`)) {
			return nil
		}
		return []byte(`\n`)
	}
	return one
}
