package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

func newWorkbookCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "workbook", Short: "Spreadsheets for an auditor"}
	c.AddCommand(newExportCmd(a))
	return c
}

func newExportCmd(a *app) *cobra.Command {
	var q questionTimes
	var out string
	var replace bool
	c := &cobra.Command{
		Use:   "export -o FILE.xlsx",
		Short: "Write the book as a workbook: standing, evidence, equipment, tailgates, and the head",
		Long: `Write the book as a workbook as of a moment: where everybody stands, trainings, observations, decisions, equipment,
tailgate checks with findings and who joined, struck entries, and the size and root of each ledger, by which the
workbook can later be compared with the book. The file appears only when it is complete.`,
		Example: "  ringtrue workbook export -o audit.xlsx\n  ringtrue workbook export -o july.xlsx --on 2026-07-31 --known 2026-07-31",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			counts, err := a.export(out, q, replace)
			if err != nil {
				return err
			}
			return a.printCounts(out, counts)
		},
	}
	questionFlags(c, &q)
	c.Flags().StringVarP(&out, "output", "o", "", "file to write (required)")
	c.Flags().BoolVar(&replace, "replace", false, "replace a file that is there")
	return c
}

func (a *app) printCounts(out string, counts []workbook.Count) error {
	if a.json {
		rows := []map[string]any{}
		for _, c := range counts {
			rows = append(rows, map[string]any{"sheet": c.Sheet, "rows": c.Rows})
		}
		return a.printJSON(map[string]any{"format": "ringtrue/export/1", "file": out, "sheets": rows})
	}
	a.mark()
	a.say("wrote %s", out)
	var rows [][]string
	for _, c := range counts {
		rows = append(rows, []string{c.Sheet, fmt.Sprint(c.Rows)})
	}
	a.table([]string{"SHEET", "ROWS"}, rows)
	return nil
}

// mayWrite refuses an output that is the book itself, or a file that is there.
func (a *app) mayWrite(out string, replace bool) error {
	if out == "" {
		return usage("add -o FILE.xlsx", "where to write: -o is missing")
	}
	info, err := os.Stat(out)
	if err != nil {
		return nil // it is not there, or the write will say why it cannot be
	}
	if book, err := os.Stat(a.book.Path()); err == nil && os.SameFile(info, book) {
		return refuse("name another file with -o", "%s is the book itself; it is not written over", out)
	}
	if info.IsDir() {
		return refuse("name a file in it", "%s is a folder", out)
	}
	if !replace {
		return refuse("name another file, or add --replace", "%s is there already", out)
	}
	return nil
}

// export writes the workbook and returns how many rows each sheet has.
func (a *app) export(out string, q questionTimes, replace bool) ([]workbook.Count, error) {
	if err := a.mayWrite(out, replace); err != nil {
		return nil, err
	}
	asked, err := a.asked(q)
	if err != nil {
		return nil, err
	}
	e, err := a.newExporter(asked)
	if err != nil {
		return nil, err
	}
	book := workbook.Book{Title: a.opening.Company, Created: e.made, Zone: a.book.Zone(), Sheets: e.sheets(), Closing: e.closing}
	path, err := filepath.Abs(out)
	if err != nil {
		return nil, err
	}
	counts, err := workbook.Write(a.ctx, path, book)
	if err != nil {
		return nil, a.exportFailed(err)
	}
	return counts, nil
}

// exportFailed says what to do about a file that cannot be written; what is wrong with the book stands for itself.
func (a *app) exportFailed(err error) error {
	_, ours := errors.AsType[*failure](err)
	_, book := errors.AsType[*store.UnusableError](err)
	if ours || book || a.ctx.Err() != nil {
		return err
	}
	return refuse("name another file with -o", "%v", err)
}

// exporter holds what every sheet of one export needs.
type exporter struct {
	*app
	asked  training.Asked
	std    standards
	people *people
	heads  []ledger.Head
	made   time.Time // recorded of the newest entry: the same book gives the same bytes
	byKind map[string][]training.Ref
	struck map[training.Ref]training.Ref
	pieces map[string][]pieceLine // by worker, read once
}

// newExporter reads the book once: head, and which entries there are of each kind by the moment asked.
func (a *app) newExporter(asked training.Asked) (*exporter, error) {
	e := &exporter{app: a, asked: asked, byKind: map[string][]training.Ref{}, pieces: map[string][]pieceLine{}}
	var err error
	if e.struck, err = a.book.Strikes(a.ctx, asked.Known); err != nil {
		return nil, err
	}
	if e.std, err = a.standards(asked); err != nil {
		return nil, err
	}
	if e.people, err = a.crew(); err != nil {
		return nil, err
	}
	origins, err := a.book.Origins(a.ctx)
	if err != nil {
		return nil, err
	}
	for _, o := range origins {
		if err := e.scan(o); err != nil {
			return nil, err
		}
	}
	return e, nil
}

func (e *exporter) scan(origin string) error {
	chain := ledger.NewChain(origin, 1)
	for row, err := range e.book.Rows(e.ctx, origin, 1, 0) {
		if err != nil {
			return err
		}
		h, ok := chain.Add(row)
		if !ok || len(chain.Findings) > 0 {
			return &failure{exitDamaged, fmt.Sprintf("entry %s of the book is damaged: %s", ledger.Ref(origin, row.Seq), chain.Findings[0].What), "see the whole extent: ringtrue book verify"}
		}
		if h.Recorded.After(e.made) {
			e.made = h.Recorded
		}
		if h.Recorded.Unix() > e.asked.Known || h.Happened.Unix() > e.asked.On {
			continue
		}
		ref, err := e.book.Ref(ledger.Ref(origin, h.Seq))
		if err != nil {
			return err
		}
		e.byKind[h.Kind] = append(e.byKind[h.Kind], ref)
	}
	e.heads = append(e.heads, chain.Head())
	return nil
}
