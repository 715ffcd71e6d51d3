package main

import (
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"
)

// narrowest is the number of columns below which nothing is wrapped: it would only be torn (company choice).
const narrowest = 40

// columns is the width of a terminal, 0 where w is none or does not tell. In a pipe nothing wraps.
func columns(w io.Writer) int {
	f, ok := w.(*os.File)
	if !ok {
		return 0
	}
	if wide, _, err := term.GetSize(int(f.Fd())); err == nil && wide >= narrowest {
		return wide
	}
	return 0
}

// wrapped breaks the lines of a text at spaces, so that none is wider than so many columns but for a word that is wider by itself.
// What follows stands two columns further in than the line it continues. 0 columns wrap nothing.
func wrapped(text string, wide int) string {
	if wide == 0 || len(text) <= wide {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if utf8.RuneCountInString(line) > wide {
			indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
			lines[i] = indent + strings.Join(broken(line[len(indent):], wide-len(indent), wide-len(indent)-2), "\n"+indent+"  ")
		}
	}
	return strings.Join(lines, "\n")
}

// broken breaks a text at spaces into lines of at most first, then further columns; a wider word stands alone.
func broken(text string, first, further int) []string {
	var out []string
	line, room := "", first
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= room:
			line += " " + word
		default:
			out, line, room = append(out, line), word, further
		}
	}
	return append(out, line)
}

// Columns of a table: how far apart, and how narrow one is made that holds free text (company choice).
const (
	tableGap   = 2
	narrowCell = 12
)

// aligned lays out rows of the same number of cells in columns. Where they are wider than wide columns together, the widest ones are
// made narrower and their text goes on in further lines; a word is never torn. 0 columns wrap nothing.
func aligned(rows [][]string, wide int) []string {
	widths := cellWidths(rows, wide)
	var out []string
	for _, row := range rows {
		cells := make([][]string, len(row))
		high := 1
		for i, c := range row {
			cells[i] = []string{c}
			if wide > 0 && utf8.RuneCountInString(c) > widths[i] {
				cells[i] = broken(c, widths[i], widths[i])
			}
			high = max(high, len(cells[i]))
		}
		for n := range high {
			out = append(out, lineOfCells(cells, widths, n))
		}
	}
	return out
}

// lineOfCells is the n-th line of a row.
func lineOfCells(cells [][]string, widths []int, n int) string {
	var b strings.Builder
	for i, c := range cells {
		text := ""
		if n < len(c) {
			text = c[n]
		}
		b.WriteString(text)
		if i < len(cells)-1 {
			b.WriteString(strings.Repeat(" ", max(widths[i]-utf8.RuneCountInString(text), 0)+tableGap))
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// cellWidths is as wide as each column needs, or narrower where all of them together are too wide: the widest first, none narrower
// than its longest word.
func cellWidths(rows [][]string, wide int) []int {
	var need, least []int
	for _, row := range rows {
		for i, c := range row {
			if i == len(need) {
				need, least = append(need, 0), append(least, 0)
			}
			need[i] = max(need[i], utf8.RuneCountInString(c))
			for _, word := range strings.Fields(c) {
				least[i] = max(least[i], utf8.RuneCountInString(word))
			}
		}
	}
	sum := tableGap * (len(need) - 1)
	for i, n := range need {
		sum += n
		least[i] = min(n, max(least[i], narrowCell))
	}
	for wide > 0 && sum > wide {
		widest := -1
		for i, n := range need {
			if n > least[i] && (widest < 0 || n > need[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break // narrower it cannot be
		}
		need[widest]--
		sum--
	}
	return need
}
