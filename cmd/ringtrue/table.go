package main

import (
	"fmt"
	"io"
	"strings"
)

// terminal reports whether w is a terminal.
func terminal(w io.Writer) bool {
	_, ok := screenOf(w)
	return ok
}

// table prints rows under a header: as people read them, and no wider than it, on a terminal; tab-separated in a pipe.
func (a *app) table(header []string, rows [][]string) {
	all := make([][]string, 0, len(rows)+1)
	for _, r := range append([][]string{header}, rows...) {
		all = append(all, clean(r))
	}
	if terminal(a.out) {
		for _, line := range onScreen(a.dated(all), columns(a.out)) {
			fmt.Fprintln(a.out, line)
		}
		return
	}
	for _, r := range all {
		fmt.Fprintln(a.out, strings.Join(r, "\t"))
	}
}

// listing answers with a list: the object with --json, else a table with a row for each line.
func listing[L any](a *app, answer any, header []string, lines []L, row func(L) []string) error {
	if a.json {
		return a.printJSON(answer)
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, row(l))
	}
	a.table(header, rows)
	return nil
}

// clean keeps tabs and line breaks of free text from breaking the table.
func clean(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = strings.NewReplacer("\t", " ", "\n", " ", "\r", " ").Replace(c)
	}
	return out
}
