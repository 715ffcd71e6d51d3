package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/workbook"
)

func newWorkbookCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "workbook", Short: "Spreadsheets: for an auditor, to fill in, and brought along"}
	c.AddCommand(newExportCmd(a), newSampleCmd(a), newFormCmd(a), newReadCmd(a))
	return c
}

type exportOptions struct {
	questionTimes
	filterOptions
	out, csv, paper string
	replace         bool
}

func newExportCmd(a *app) *cobra.Command {
	var o exportOptions
	c := &cobra.Command{
		Use:   "export -o FILE.xlsx | --csv DIR",
		Short: "Write the book as a workbook: standing, evidence, equipment, saws, tailgates, findings, and the seal",
		Long: `Write the book as a workbook as of a moment: where everybody stands and on which entry that rests, what is missing or ends,
trainings, looks, decisions, equipment, saws, tailgate checks with findings and who was there, events, struck entries, the
local rules, and seal and leaves, by which the workbook can later be compared with the book. With --csv the same sheets
are written as CSV files into a new folder. File or folder appear only when they are complete.

` + filterHelp,
		Example: `  ringtrue workbook export -o audit.xlsx
  ringtrue workbook export -o july.xlsx --on 2026-07-31 --known 2026-07-31 --from 2026-07-01 --to 2026-07-31 --crew north
  ringtrue workbook export --csv audit`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			defer sparing()()
			if err := a.read(); err != nil {
				return err
			}
			counts, err := a.exportBook(o)
			if err != nil {
				return err
			}
			return a.printCounts("ringtrue/export/1", o.out+o.csv, counts)
		},
	}
	questionFlags(c, &o.questionTimes)
	f := c.Flags()
	f.StringVarP(&o.out, "output", "o", "", "file to write")
	f.StringVar(&o.csv, "csv", "", "folder to write CSV files into, instead of a workbook; it must not be there")
	f.BoolVar(&o.replace, "replace", false, "replace a file that is there")
	f.StringVar(&o.from, "from", "", "only what happened on this day or later")
	f.StringVar(&o.to, "to", "", "only what happened up to this day")
	f.StringVar(&o.crew, "crew", "", "only the workers of this crew")
	f.StringVar(&o.worker, "worker", "", "only this worker")
	f.StringVar(&o.block, "block", "", "only this block")
	paperFlag(c, &o.paper)
	return c
}

func paperFlag(c *cobra.Command, paper *string) {
	c.Flags().StringVar(paper, "paper", "", "a4 or letter (default: what is used in the book's country)")
}

// letterPlaces are the countries whose pages are Letter (from memory).
var letterPlaces = []string{"ca", "us"}

// paperOf chooses the paper: the one named, else that of the country the book's place lies in.
func (a *app) paperOf(name string) (workbook.Paper, error) {
	switch name {
	case "a4":
		return workbook.A4, nil
	case "letter":
		return workbook.Letter, nil
	case "":
	default:
		return workbook.A4, usage("write --paper a4 or --paper letter", "--paper %q is neither", name)
	}
	edition, err := a.localRules(a.knownNow(1 << 20))
	if err != nil {
		return workbook.A4, err
	}
	for _, j := range edition.Line(a.opening.Jurisdiction) {
		if slices.Contains(letterPlaces, j.Code) {
			return workbook.Letter, nil
		}
	}
	return workbook.A4, nil
}

func (a *app) printCounts(format, out string, counts []workbook.Count) error {
	if a.json {
		rows := []map[string]any{}
		for _, c := range counts {
			rows = append(rows, map[string]any{"sheet": c.Sheet, "rows": c.Rows})
		}
		return a.printJSON(map[string]any{"format": format, "file": out, "sheets": rows})
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

// export writes the whole workbook and returns how many rows each sheet has.
func (a *app) export(out string, q questionTimes, replace bool) ([]workbook.Count, error) {
	return a.exportBook(exportOptions{questionTimes: q, out: out, replace: replace})
}

// exportBook writes a workbook, or the same sheets as CSV files.
func (a *app) exportBook(o exportOptions) ([]workbook.Count, error) {
	path, err := a.exportPath(o)
	if err != nil {
		return nil, err
	}
	asked, err := a.asked(o.questionTimes)
	if err != nil {
		return nil, err
	}
	paper, err := a.paperOf(o.paper)
	if err != nil {
		return nil, err
	}
	defer hurry()()
	e, err := a.newExporter(asked, o.filterOptions, path)
	if err != nil {
		return nil, err
	}
	defer e.end()
	book := workbook.Book{Title: a.opening.Company, Created: e.made, Zone: a.book.Zone(), Paper: paper, Sheets: e.sheets()}
	return a.writeBook(path, o.csv != "", book)
}

// exportPath checks before any work where to write.
func (a *app) exportPath(o exportOptions) (string, error) {
	if o.out != "" && o.csv != "" {
		return "", usage("take one of them", "-o and --csv do not go together")
	}
	if o.csv == "" {
		return a.workbookPath(o.out, o.replace)
	}
	path, err := filepath.Abs(o.csv)
	if err == nil {
		err = workbook.CheckFolder(path)
	}
	if err != nil {
		return "", refuse("name another folder with --csv", "write CSV files to %s: %v", o.csv, err)
	}
	return path, nil
}

// workbookPath checks where a workbook is to be written.
func (a *app) workbookPath(out string, replace bool) (string, error) {
	if err := a.mayWrite(out, replace); err != nil {
		return "", err
	}
	path, err := filepath.Abs(out)
	if err == nil {
		err = workbook.CheckPath(path)
	}
	if err != nil {
		return "", unwritten("write workbook "+out, err)
	}
	return path, nil
}

func (a *app) writeBook(path string, csv bool, book workbook.Book) (counts []workbook.Count, err error) {
	write := workbook.Write
	if csv {
		write = workbook.WriteCSV
	}
	if counts, err = write(a.ctx, path, book); err != nil {
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
	return unwritten("write the sheets", err)
}
