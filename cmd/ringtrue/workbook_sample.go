package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

type sampleOptions struct {
	workers, days     []string
	known, out, paper string
	replace           bool
}

func newSampleCmd(a *app) *cobra.Command {
	var o sampleOptions
	c := &cobra.Command{
		Use:   "sample WORKER... --on DAY -o FILE.xlsx",
		Short: "Write the chain behind sampled workers and days, a sheet for each, as known then",
		Long: `Write a workbook with one sheet for each worker and day named: what the worker might do then, training, looks, decisions,
equipment, the saw of the day, the tailgate check, the emergency plan, and what was still open. It says what the book
knew by the end of that day, or by --known; what was entered only later is not there.`,
		Example: `  ringtrue workbook sample ana ben --on 2026-07-14 -o sample.xlsx
  ringtrue workbook sample ana --on 2026-07-14 --on 2026-08-03 --known 2026-11-25 -o sample.xlsx`,
		Args: atLeast(1, "WORKER..."),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			o.workers = args
			counts, err := a.sample(o)
			if err != nil {
				return err
			}
			return a.printCounts("ringtrue/sample/1", o.out, counts)
		},
	}
	f := c.Flags()
	f.StringArrayVar(&o.days, "on", nil, "day to look at; repeatable (required)")
	f.StringVar(&o.known, "known", "", "as far as this book knew then (default: by the end of that day)")
	f.StringVarP(&o.out, "output", "o", "", "file to write (required)")
	f.BoolVar(&o.replace, "replace", false, "replace a file that is there")
	paperFlag(c, &o.paper)
	return c
}

// sample writes the workbook of sampled workers and days.
func (a *app) sample(o sampleOptions) ([]workbook.Count, error) {
	path, err := a.workbookPath(o.out, o.replace)
	if err != nil {
		return nil, err
	}
	var p problems
	var who []store.Person
	for _, w := range o.workers {
		one, err := a.person(w)
		p.add(err)
		who = append(who, one)
	}
	if len(o.days) == 0 {
		p.add(usage("add --on DAY", "which day is meant: --on is missing"))
	}
	var days []training.Asked
	for _, d := range o.days {
		asked, err := a.sampled(d, o.known)
		p.add(err)
		days = append(days, asked)
	}
	paper, err := a.paperOf(o.paper)
	p.add(err)
	if err := p.err(); err != nil {
		return nil, err
	}
	book := workbook.Book{Title: a.opening.Company, Zone: a.book.Zone(), Paper: paper}
	if book.Created, err = a.newest(); err != nil {
		return nil, err
	}
	if book.Sheets, err = a.sampleSheets(who, days); err != nil {
		return nil, err
	}
	return a.writeBook(path, false, book)
}

// sampled is the moment asked: without --known what the book knew by the end of that day.
func (a *app) sampled(on, known string) (training.Asked, error) {
	asked, err := a.asked(questionTimes{on, known})
	if err == nil && known == "" {
		asked.Known = asked.On
	}
	return asked, err
}

// newest is the recorded time of the newest entry of all ledgers.
func (a *app) newest() (at time.Time, err error) {
	origins, err := a.book.Origins(a.ctx)
	if err != nil {
		return at, err
	}
	for _, o := range origins {
		n, err := a.book.Size(a.ctx, o)
		if err != nil {
			return at, err
		}
		ref, err := a.book.Ref(fmt.Sprintf("%s#%d", o, n))
		if err != nil {
			return at, err
		}
		h, err := a.book.Entry(a.ctx, ref, nil)
		if err != nil {
			return at, err
		}
		if h.Recorded.After(at) {
			at = h.Recorded
		}
	}
	return at, nil
}

// sampleSheets makes a sheet for each worker and day.
func (a *app) sampleSheets(who []store.Person, days []training.Asked) (sheets []workbook.Sheet, err error) {
	used := map[string]bool{}
	for _, w := range who {
		for _, asked := range days {
			name := sampleName(w.Handle, asked.Day.String())
			if used[name] {
				return nil, usage("name each worker and day once", "%s on %s is named twice", w.Handle, asked.Day)
			}
			used[name] = true
			s, err := a.chainSheet(w, asked)
			if err != nil {
				return nil, err
			}
			s.Name = name
			sheets = append(sheets, s)
		}
	}
	return sheets, nil
}

// sampleName names a sheet: at most 31 letters, of which a day takes eleven.
func sampleName(handle, day string) string {
	return handle[:min(len(handle), 20)] + " " + day
}

// Steps of the chain, in order.
const (
	stepMay       = "1 may do"
	stepTraining  = "2 training"
	stepLooks     = "3 looks"
	stepDecisions = "4 decisions"
	stepPPE       = "5 equipment"
	stepSaw       = "6 saw"
	stepTailgate  = "7 tailgate"
	stepEmergency = "8 emergency plan"
	stepOpen      = "9 still open"
)

// chainRow is a row of a chain.
type chainRow struct {
	step, what, of, state, words string
	happened, recorded           any
	by, entry, struck            string
}

// chain is what stands behind one worker and day.
type chain struct {
	*app
	who    store.Person
	asked  training.Asked
	std    standards
	people *people
	rows   []chainRow
	checks []training.Ref // joined on that day
}

// chainSheet is the sheet of one worker and day.
func (a *app) chainSheet(who store.Person, asked training.Asked) (workbook.Sheet, error) {
	c := chain{app: a, who: who, asked: asked}
	var err error
	if c.std, err = a.standards(asked); err != nil {
		return workbook.Sheet{}, err
	}
	if c.people, err = a.crew(); err != nil {
		return workbook.Sheet{}, err
	}
	for _, step := range []func() error{c.may, c.evidence, c.tailgates, c.open} {
		if err := step(); err != nil {
			return workbook.Sheet{}, err
		}
	}
	slices.SortStableFunc(c.rows, func(x, y chainRow) int { return strings.Compare(x.step, y.step) })
	columns := []workbook.Column{text("Step", 17), long("What", 20), long("Of", 16), tinted(text("State", 16), chainStopped, chainSoon), long("In words", 70),
		kindOf("Happened", workbook.Moment), kindOf("Recorded", workbook.Moment), text("By", 22), text("Entry", 9), long("Struck", 30)}
	return workbook.Sheet{Note: c.note(), Columns: columns, Rows: func(yield func([]any, error) bool) {
		for _, r := range c.rows {
			if !yield([]any{r.step, r.what, r.of, r.state, r.words, r.happened, r.recorded, r.by, r.entry, r.struck}, nil) {
				return
			}
		}
	}}, nil
}

// Words of the column State that are tinted.
var (
	chainStopped = []string{string(training.Restricted), "no saw", "hold", sawStopped, "replace", condemned, "overdue", "none"}
	chainSoon    = []string{string(training.Due), "look due", "open"}
)

func (c *chain) note() string {
	n := fmt.Sprintf("%s (%s), person id %s, on %s, as known by %s. %s. Recorded as named, personally signed only where it says so. It does not say that work was or is safe.",
		c.who.Name, c.who.Handle, c.who.ID, c.askedText(c.asked.On), c.askedText(c.asked.Known), c.opening.Company)
	if c.opening.Demo {
		n = demoMark + ". " + n
	}
	return n
}

func (c *chain) add(r chainRow) { c.rows = append(c.rows, r) }
