// Package published reads the tables of testdata/published for tests. Only tests import it.
//
// Each table is a CSV file: header lines starting with # say title, edition, table, unit and what was read; then one
// line of column names, then the rows. A table without rows, a column that is not there and a cell that is no number
// fail the test that asked, so a loop over a table cannot pass by finding nothing.
package published

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Row is one line of a table. Its methods fail the test they were read for.
type Row struct {
	t       testing.TB
	columns map[string]int
	cells   []string
}

// Table reads every row of a table by its file name, found by walking up to go.mod.
func Table(t testing.TB, file string) []Row {
	t.Helper()
	f, err := os.Open(filepath.Join(root(t), "testdata", "published", file))
	if err != nil {
		t.Fatalf("open the table: %v", err)
	}
	defer func() { _ = f.Close() }()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.LazyQuotes = true // citations quote a clause in the middle of a cell
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatalf("read %s: %v", file, err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s has no rows", file)
	}
	return rows(t, lines)
}

func rows(t testing.TB, lines [][]string) []Row {
	columns := map[string]int{}
	for i, name := range lines[0] {
		columns[name] = i
	}
	list := make([]Row, 0, len(lines)-1)
	for _, cells := range lines[1:] {
		list = append(list, Row{t, columns, cells})
	}
	return list
}

func root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	for err == nil {
		if _, missing := os.Stat(filepath.Join(dir, "go.mod")); missing == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			break
		}
		dir = up
	}
	t.Fatalf("no go.mod above the test: %v", err)
	return ""
}

// Text returns the cell of a column as printed.
func (r Row) Text(column string) string {
	r.t.Helper()
	i, ok := r.columns[column]
	if !ok {
		r.t.Fatalf("the table has no column %q", column)
	}
	return r.cells[i]
}

// Has reports whether the cell of a column holds anything.
func (r Row) Has(column string) bool {
	r.t.Helper()
	return r.Text(column) != ""
}

// Float returns the cell of a column as a number.
func (r Row) Float(column string) float64 {
	r.t.Helper()
	v, err := strconv.ParseFloat(r.Text(column), 64)
	if err != nil {
		r.t.Fatalf("%s of %s is no number: %v", column, r, err)
	}
	return v
}

// Int returns the cell of a column as a whole number.
func (r Row) Int(column string) int {
	r.t.Helper()
	v, err := strconv.Atoi(r.Text(column))
	if err != nil {
		r.t.Fatalf("%s of %s is no whole number: %v", column, r, err)
	}
	return v
}

// Decimals counts the digits printed after the point, which say how far a printed number can be trusted.
func (r Row) Decimals(column string) int {
	r.t.Helper()
	_, after, _ := strings.Cut(r.Text(column), ".")
	return len(after)
}

// String gives the cells of the row, for messages.
func (r Row) String() string { return strings.Join(r.cells, ",") }
