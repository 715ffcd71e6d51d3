// Package visible is the gate through which text from a book goes out, to a terminal, a pipe, a page or a cell. What another device
// recorded is taken as it is, so a book may hold characters that, printed, move the cursor, ring, begin a command to the terminal or
// turn the direction of writing, by which a line would say something else than was recorded. Here each of them becomes its escape of
// six characters, \u001b for example, as JSON writes it: so text shows where one stands, and JSON still means the same.
//
// Changed are control characters but line break and tab (Unicode category Cc), those with the property Bidi_Control, line and
// paragraph separators (Zl, Zp) and the byte order mark. Unicode Technical Report 36, section 2.5, describes the attack by direction.
package visible

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden tells whether a character is one that is not let through.
func Hidden(r rune) bool {
	if r < utf8.RuneSelf {
		return r != '\n' && r != '\t' && (r < ' ' || r == 0x7f)
	}
	return r == '\ufeff' || unicode.In(r, unicode.Cc, unicode.Bidi_Control, unicode.Zl, unicode.Zp)
}

// String is a text with all that is hidden in it shown.
func String(s string) string {
	if strings.IndexFunc(s, Hidden) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if Hidden(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// Bytes is String for the bytes of a text; what is not UTF-8 is let through as it is.
func Bytes(text []byte) []byte {
	if bytes.IndexFunc(text, Hidden) < 0 {
		return text
	}
	out := make([]byte, 0, len(text))
	for len(text) > 0 {
		r, n := utf8.DecodeRune(text)
		if Hidden(r) {
			out = fmt.Appendf(out, `\u%04x`, r)
		} else {
			out = append(out, text[:n]...)
		}
		text = text[n:]
	}
	return out
}

// Writer shows what is hidden in all that is written to it. A character that comes in two parts is held back until it is whole.
type Writer struct {
	To   io.Writer
	held []byte
}

// Write writes to the writer behind. It returns len(p) unless that one fails.
func (w *Writer) Write(p []byte) (int, error) {
	text := append(w.held, p...)
	whole := len(text) - partial(text)
	if _, err := w.To.Write(Bytes(text[:whole])); err != nil {
		return 0, err
	}
	w.held = bytes.Clone(text[whole:])
	return len(p), nil
}

// partial is how many bytes at the end begin a character that is not whole yet.
func partial(text []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(text); n++ {
		if end := text[len(text)-n:]; utf8.RuneStart(end[0]) {
			if utf8.FullRune(end) {
				return 0
			}
			return n
		}
	}
	return 0
}
