package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"

	"golang.org/x/term"
)

// terminal reports whether w is a terminal.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// table prints rows under a header: aligned on a terminal, tab-separated in a pipe.
func (a *app) table(header []string, rows [][]string) {
	w := a.out
	flush := func() {}
	if terminal(a.out) {
		t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
		w, flush = t, func() { _ = t.Flush() }
	}
	for _, r := range append([][]string{header}, rows...) {
		fmt.Fprintln(w, strings.Join(clean(r), "\t"))
	}
	flush()
}

// clean keeps tabs and line breaks of free text from breaking the table.
func clean(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		out[i] = strings.NewReplacer("\t", " ", "\n", " ", "\r", " ").Replace(c)
	}
	return out
}
