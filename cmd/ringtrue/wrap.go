package main

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/term"
)

// narrowest is the number of columns below which nothing is wrapped: it would only be torn (company choice).
const narrowest = 40

// columns is the width of a terminal, 0 where w is none or does not tell. In a pipe nothing wraps.
func columns(w io.Writer) int {
	f, ok := screenOf(w)
	if !ok {
		return 0
	}
	if wide, _, err := term.GetSize(int(f.Fd())); err == nil && wide >= narrowest {
		return wide
	}
	return 0
}

// wrapped breaks the lines of a text at spaces, so that none is wider than so many columns but for a word that is wider by itself.
// What follows stands where hang says. 0 columns wrap nothing.
func wrapped(text string, wide int) string {
	if wide == 0 || len(text) <= wide {
		return text
	}
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if utf8.RuneCountInString(line) > wide {
			indent, in := len(line)-len(strings.TrimLeft(line, " ")), hang(line, wide)
			lines[i] = line[:indent] + strings.Join(broken(line[indent:], wide-indent, wide-in), "\n"+strings.Repeat(" ", in))
		}
	}
	return strings.Join(lines, "\n")
}

// flowing fits a page of help to a screen: lines of running text are joined and broken anew, others keep their place. 0 columns change
// nothing.
func flowing(text string, wide int) string {
	if wide == 0 {
		return text
	}
	var out []string
	runs := false // the last line is running text and may go on
	for _, line := range strings.Split(text, "\n") {
		inText := line != "" && line[0] != ' '
		if runs && inText {
			out[len(out)-1] += " " + line
		} else {
			out = append(out, line)
		}
		runs = inText && len(line) >= runningText
	}
	for i, line := range out {
		if line != "" && line[0] != ' ' {
			out[i] = strings.Join(broken(line, wide, wide), "\n")
			continue
		}
		out[i] = wrapped(line, wide)
	}
	return strings.Join(out, "\n")
}

// runningText is how long a line of help is that goes on in the next one; shorter ones end a paragraph or are headings (company choice).
const runningText = 60

// hang is the column in which a line goes on: below the last of its columns, which stand two spaces or more apart, if that begins in
// the left half; else two further in than it began.
func hang(line string, wide int) int {
	text := []rune(line)
	in := len(text) - len([]rune(strings.TrimLeft(line, " ")))
	at := in + 2
	for i := in + 2; i < len(text) && i <= wide/2; i++ {
		if text[i] != ' ' && text[i-1] == ' ' && text[i-2] == ' ' {
			at = i
		}
	}
	return at
}

// broken breaks a text at spaces into lines of at most first, then further columns; a wider word stands alone. Spaces within a line
// stay as they are.
func broken(text string, first, further int) []string {
	var out []string
	line, room := "", first
	for rest := strings.TrimRightFunc(text, unicode.IsSpace); rest != ""; {
		body := strings.TrimLeftFunc(rest, unicode.IsSpace)
		gap, word := rest[:len(rest)-len(body)], body
		if end := strings.IndexFunc(body, unicode.IsSpace); end >= 0 {
			word = body[:end]
		}
		rest = body[len(word):]
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line+gap+word) <= room:
			line += gap + word
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
