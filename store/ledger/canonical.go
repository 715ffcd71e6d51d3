package ledger

import (
	"bytes"
	"errors"
	"fmt"
	"unicode/utf8"
)

// maxNesting bounds how deep objects and lists of an entry stand in each other (company choice; ours go to 8).
const maxNesting = 64

var errCanonical = errors.New("not in the canonical form of RFC 8785")

// Canonical demands of the bytes of an entry that came from elsewhere what Encode writes: RFC 8785 form, which leaves no
// name twice, integers only, no null, and names without capital letters, so that no reader can take one name for
// another.
func Canonical(body []byte) error {
	c := canonical{body}
	if err := c.value(0); err != nil {
		return err
	}
	if len(c.rest) > 0 {
		return errCanonical
	}
	return nil
}

type canonical struct{ rest []byte }

func (c *canonical) value(depth int) error {
	if len(c.rest) == 0 || depth > maxNesting {
		return errCanonical
	}
	switch b := c.rest[0]; {
	case b == '{':
		return c.object(depth)
	case b == '[':
		return c.list(depth)
	case b == '"':
		_, err := c.text()
		return err
	case b == '-' || b >= '0' && b <= '9':
		return c.number()
	}
	for _, word := range []string{"true", "false"} {
		if bytes.HasPrefix(c.rest, []byte(word)) {
			c.rest = c.rest[len(word):]
			return nil
		}
	}
	if bytes.HasPrefix(c.rest, []byte("null")) {
		return errors.New("it holds null")
	}
	return errCanonical
}

// next takes one byte.
func (c *canonical) next() byte {
	if len(c.rest) == 0 {
		return 0
	}
	b := c.rest[0]
	c.rest = c.rest[1:]
	return b
}

func (c *canonical) object(depth int) error {
	c.next()
	if len(c.rest) > 0 && c.rest[0] == '}' {
		c.next()
		return nil
	}
	var last []byte
	for {
		name, err := c.name(last)
		if err != nil {
			return err
		}
		last = name
		if err := c.value(depth + 1); err != nil {
			return err
		}
		switch c.next() {
		case ',':
		case '}':
			return nil
		default:
			return errCanonical
		}
	}
}

// name reads a name that comes after the last one. Names are plain ASCII, so that the order of bytes is that of RFC 8785
// §3.2.3.
func (c *canonical) name(last []byte) ([]byte, error) {
	if len(c.rest) == 0 || c.rest[0] != '"' {
		return nil, errCanonical
	}
	name, err := c.text()
	if err != nil || c.next() != ':' {
		return nil, errCanonical
	}
	for _, b := range name {
		if b < ' ' || b > '~' || b >= 'A' && b <= 'Z' || b == '\\' {
			return nil, fmt.Errorf("name %q has capital letters, escapes or letters beyond ASCII", name)
		}
	}
	switch order := bytes.Compare(name, last); {
	case len(name) == 0 || order == 0:
		return nil, fmt.Errorf("name %q is empty or stands twice", name)
	case order < 0:
		return nil, errCanonical
	}
	return name, nil
}

func (c *canonical) list(depth int) error {
	c.next()
	if len(c.rest) > 0 && c.rest[0] == ']' {
		c.next()
		return nil
	}
	for {
		if err := c.value(depth + 1); err != nil {
			return err
		}
		switch c.next() {
		case ',':
		case ']':
			return nil
		default:
			return errCanonical
		}
	}
}

// text reads a string in its only spelling (RFC 8785 §3.2.2.2) and gives what stands between the quotes.
func (c *canonical) text() ([]byte, error) {
	plain := true // ASCII, which needs no look at its UTF-8
	for i := 1; i < len(c.rest); i++ {
		switch b := c.rest[i]; {
		case b == '"':
			s := c.rest[1:i]
			c.rest = c.rest[i+1:]
			if !plain && !utf8.Valid(s) {
				return nil, errCanonical
			}
			return s, nil
		case b < ' ':
			return nil, errCanonical
		case b == '\\':
			n := escape(c.rest[i:])
			if n == 0 {
				return nil, errCanonical
			}
			i += n - 1
		case b >= utf8.RuneSelf:
			plain = false
		}
	}
	return nil, errCanonical
}

// escape gives the length of an escape that has no shorter spelling, or 0.
func escape(s []byte) int {
	if len(s) < 2 {
		return 0
	}
	if bytes.IndexByte([]byte(`"\bfnrt`), s[1]) >= 0 {
		return 2
	}
	if len(s) < 6 || string(s[1:4]) != "u00" || s[4] != '0' && s[4] != '1' || bytes.IndexByte([]byte("0123456789abcdef"), s[5]) < 0 {
		return 0
	}
	if s[4] == '0' && bytes.IndexByte([]byte("89acd"), s[5]) >= 0 { // \b \t \n \f \r
		return 0
	}
	return 6
}

func (c *canonical) number() error {
	n := skip(c.rest)
	number := c.rest[:n]
	c.rest = c.rest[n:]
	if err := onlyIntegers(number); err != nil {
		return err
	}
	digits := bytes.TrimPrefix(number, []byte("-"))
	if len(digits) == 0 || digits[0] == '0' && string(number) != "0" {
		return errCanonical
	}
	return nil
}
