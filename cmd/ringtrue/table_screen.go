package main

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"example.org/ringtrue/training/civil"
)

// A table that is wider than the screen is laid out anew: columns with nothing in them are left out and named; where that is not
// enough, either the widest columns are made narrower, or they are taken out and stand below their row, whichever takes fewer lines.

// onScreen lays out rows under a header, the first of them, for a screen of so many columns; 0 columns fold nothing.
func onScreen(rows [][]string, wide int) []string {
	whole := aligned(rows, 0)
	if wide == 0 || !tooWide(whole, wide) {
		return whole
	}
	rows, empty := withoutEmpty(rows)
	lines := aligned(rows, wide)
	if below := folded(rows, wide); tooWide(lines, wide) || len(below) < len(lines) {
		lines = below
	}
	if len(empty) > 0 {
		lines = append(lines, strings.Split(wrapped("nothing in: "+strings.Join(empty, ", "), wide), "\n")...)
	}
	return lines
}

// withoutEmpty leaves out the columns in which no row says anything, and names them. A table without rows stays whole.
func withoutEmpty(rows [][]string) (kept [][]string, empty []string) {
	if len(rows) < 2 {
		return rows, nil
	}
	keep := make([]bool, len(rows[0]))
	for i, name := range rows[0] {
		keep[i] = slices.ContainsFunc(rows[1:], func(r []string) bool { return r[i] != "" })
		if !keep[i] {
			empty = append(empty, name)
		}
	}
	return picked(rows, keep), empty
}

// picked gives the columns to keep.
func picked(rows [][]string, keep []bool) [][]string {
	out := make([][]string, len(rows))
	for n, r := range rows {
		for i, c := range r {
			if keep[i] {
				out[n] = append(out[n], c)
			}
		}
	}
	return out
}

// folded takes the widest columns out, until the others fit side by side, and writes them below their row. Where there are several,
// each bears its name.
func folded(rows [][]string, wide int) []string {
	keep := fitting(cellWidths(rows, 0), wide)
	side := aligned(picked(rows, keep), 0)
	several := len(keep)-len(picked(rows[:1], keep)[0]) > 1
	var out []string
	for n, r := range rows {
		out = append(out, side[n])
		var below []string
		for i, c := range r {
			switch {
			case keep[i] || c == "" || (n == 0 && several):
				continue
			case several:
				c = strings.ToLower(rows[0][i]) + ": " + c
			}
			below = append(below, c)
		}
		if one := strings.Join(below, "; "); utf8.RuneCountInString(one)+len(belowRow) <= wide {
			below = present(one)
		}
		for _, c := range below {
			out = append(out, strings.Split(wrapped(belowRow+c, wide), "\n")...)
		}
	}
	return out
}

// belowRow stands before what is written below a row.
const belowRow = "    "

// fitting says which columns fit side by side: the first always, of the others the narrowest.
func fitting(widths []int, wide int) []bool {
	keep, sum := make([]bool, len(widths)), -tableGap
	for i, w := range widths {
		keep[i] = true
		sum += w + tableGap
	}
	for sum > wide {
		widest := 0
		for i, w := range widths {
			if i > 0 && keep[i] && (widest == 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest == 0 {
			break
		}
		keep[widest] = false
		sum -= widths[widest] + tableGap
	}
	return keep
}

// awayNow says at a terminal how far the day of a moment is from today, unless it is today.
func (a *app) awayNow(t time.Time) string {
	day, today := civil.Of(t, a.book.Zone()), civil.Of(a.now(), a.book.Zone())
	if day == today || !terminal(a.out) {
		return ""
	}
	return away(day.String(), today)
}

// endColumns are the headers over days on which something ends or is due; they say also how far away that is.
var endColumns = []string{"UNTIL", "DUE", "REPLACE BY", "RUNS OUT"}

// dated writes moments in the book's zone, and says of the days on which something ends how far away they are.
func (a *app) dated(rows [][]string) [][]string {
	if a.book == nil {
		return rows
	}
	today := civil.Of(a.now(), a.book.Zone())
	for _, r := range rows[1:] {
		for i, c := range r {
			if t, err := time.Parse(time.RFC3339, c); err == nil {
				r[i] = a.local(t)
			}
			if i < len(rows[0]) && slices.Contains(endColumns, rows[0][i]) {
				r[i] = c + away(c, today)
			}
		}
	}
	return rows
}
