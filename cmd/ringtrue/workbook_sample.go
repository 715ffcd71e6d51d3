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
		Long: `Write a workbook with one sheet for each worker and day named: first what the worker might do then, then training,
decisions, equipment, the saw of the day, the tailgate check, the emergency plan and what was still open, last each skill
with the looks and the sign-off behind it. It says what the book knew by the end of that day, or by --known; what was
entered only later is not there.`,
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
		asked.Known = min(asked.On, asked.Known) // of a day ahead it knows what it knows now
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

// Steps of the chain, in order: the answer first, the long details last.
const (
	stepMay       = "1 may do"
	stepTraining  = "2 training"
	stepDecisions = "3 decisions"
	stepPPE       = "4 equipment"
	stepSaw       = "5 saw"
	stepTailgate  = "6 tailgate"
	stepEmergency = "7 emergency"
	stepOpen      = "8 still open"
	stepSkills    = "9 skills"
)

// chainRow is a row of a chain. Rows that differ only in what they are of, and in their entries, are made one; see fold.
type chainRow struct {
	step, what, of, state, words string
	happened                     any
	by, entry                    string
}

// chain is what stands behind one worker and day.
type chain struct {
	*app
	who    store.Person
	asked  training.Asked
	std    standards
	people *people
	rows   []chainRow
	checks []training.Ref      // joined on that day
	sawing bool                // joined with a saw
	behind map[string][]string // skill -> looks and decisions, a line each
}

// chainSheet is the sheet of one worker and day.
func (a *app) chainSheet(who store.Person, asked training.Asked) (workbook.Sheet, error) {
	c := chain{app: a, who: who, asked: asked, behind: map[string][]string{}}
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
	rows := fold(c.rows)
	columns := []workbook.Column{text("Step", 13), long("What", 17), long("Of", 26), tinted(long("State", 15), chainStopped, chainSoon), long("In words", 84),
		kindOf("Happened", workbook.Moment), long("By", 22), long("Entry", 12)}
	return workbook.Sheet{Note: c.note(), Columns: columns, Pages: 1, Rows: func(yield func([]any, error) bool) {
		for _, r := range rows {
			if !yield([]any{r.step, r.what, r.of, r.state, r.words, r.happened, r.by, r.entry}, nil) {
				return
			}
		}
	}}, nil
}

// fold makes one row of those that say the same of several things on the same day, and puts the steps in order.
func fold(rows []chainRow) (out []chainRow) {
	slices.SortStableFunc(rows, func(x, y chainRow) int { return strings.Compare(x.step, y.step) })
	type key struct {
		chainRow
		day string
	}
	at := map[key]int{}
	for _, r := range rows {
		k := key{chainRow: r}
		if t, ok := r.happened.(time.Time); ok {
			k.day = t.Format(time.DateOnly)
		}
		k.of, k.entry, k.happened = "", "", nil
		i, seen := at[k]
		if !seen || r.of == "" {
			at[k] = len(out)
			out = append(out, r)
			continue
		}
		out[i].of = joined(out[i].of, r.of)
		out[i].entry = joined(out[i].entry, r.entry)
	}
	return out
}

// joined adds to a list what it does not end with already.
func joined(list, more string) string {
	if more == "" || list == more || strings.HasSuffix(list, ", "+more) {
		return list
	}
	return strings.Join(notEmpty(list, more), ", ")
}

// Words of the column State that are tinted.
var (
	chainStopped = []string{string(training.Restricted), "no saw", "hold", sawStopped, "replace", condemned, "overdue", "none", "struck"}
	chainSoon    = []string{string(training.Due), "look due", "open"}
)

func (c *chain) note() string {
	n := fmt.Sprintf("%s (%s), person id %s, on %s, as known by %s. %s. Recorded as named, personally signed only where it says so. Recorded within a day unless it says when. It does not say that work was or is safe.",
		c.who.Name, c.who.Handle, c.who.ID, c.askedText(c.asked.On), c.askedText(c.asked.Known), c.opening.Company)
	if c.opening.Demo {
		n = demoMark + ". " + n
	}
	return n
}

func (c *chain) add(r chainRow) { c.rows = append(c.rows, r) }
