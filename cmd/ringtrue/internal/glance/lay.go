package glance

import (
	"strings"
	"unicode"

	"github.com/clipperhouse/displaywidth"
)

// glue is a space at which nothing breaks; it is written as a space.
const glue = "\u2007"

// written is a line as it goes out: glue is a space again, and what would move the cursor is none of the text's business.
func written(line string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case string(r) == glue:
			return ' '
		case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r):
			return -1
		}
		return r
	}, line)
}

// gap is how far apart two columns stand, in cells.
const gap = 3

// width is how many cells a text takes.
func width(text string) int { return displaywidth.String(text) }

// wrap breaks a text at spaces into lines of at most so many cells. A wider word stands alone; nothing is torn, least of all a
// coordinate. Fixed spaces do not break.
func wrap(text string, wide int) []string {
	var out []string
	line := ""
	for _, word := range strings.Split(text, " ") {
		switch {
		case word == "":
		case line == "":
			line = word
		case width(line)+1+width(word) <= wide:
			line += " " + word
		default:
			out, line = append(out, line), word
		}
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// hung is wrap with further lines set in by two cells.
func hung(text string, wide int) []string {
	lines := wrap(text, wide)
	if len(lines) < 2 {
		return lines
	}
	rest := wrap(strings.Join(lines[1:], " "), wide-2)
	for i := range rest {
		rest[i] = "  " + rest[i]
	}
	return append(lines[:1], rest...)
}

// pair is a row of two columns.
type pair struct{ left, right string }

// columns lays out rows in two columns, the right ones below each other. What is too long goes on in further lines of its column; the
// left one takes one line, where cut is set, and loses its end.
func columns(rows []pair, wide int, cut bool) []string {
	right, left := 0, 0
	for _, r := range rows {
		right, left = max(right, width(r.right)), max(left, width(r.left))
	}
	right = min(right, max(wide/2, wide-left-gap))
	left = min(left, wide-right-gap)
	if right == 0 {
		left = wide
	}
	var out []string
	for _, r := range rows {
		l, rr := hung(r.left, left), wrap(r.right, right)
		if cut {
			l = oneLine(r.left, left) // who sees to it is never cut
		}
		for i := range max(len(l), len(rr)) {
			out = append(out, strings.TrimRight(padded(at(l, i), left+gap)+at(rr, i), " "))
		}
	}
	return out
}

func oneLine(text string, wide int) []string {
	return []string{displaywidth.TruncateString(text, wide, "…")}
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

func padded(text string, wide int) string {
	return text + strings.Repeat(" ", max(0, wide-width(text)))
}

// few says as many items as fit into so many lines, and how many are left. Negative lines are no limit.
func few(items []string, between string, lines, wide int, more func(int) string) []string {
	for n := len(items); ; n-- {
		said := append([]string{}, items[:n]...)
		if n < len(items) {
			said = append(said, more(len(items)-n))
		}
		out := wrap(strings.Join(said, between), wide)
		if lines < 0 || len(out) <= lines || n == 0 {
			return out
		}
	}
}
