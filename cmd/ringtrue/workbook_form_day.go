package main

import (
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

// Labels and captions of the attendance form.
const (
	labelTeacher    = "Taught by"
	labelLanguage   = "Language"
	labelUnderstood = "How understanding was tested"
	captionWho      = "Who"
	captionName     = "Name"
	captionInitials = "Initials, on paper only"
)

// spareRows are open rows for people who come unannounced (company choice).
const spareRows = 4

// spareSaws are open lines for saws that came today (company choice).
const spareSaws = 2

// taughtColumns is how many modules fit on one attendance form (company choice).
const taughtColumns = 6

// uprightColumns is how many modules fit on a page that stands upright (company choice: boxes stay large enough to write in).
const uprightColumns = 3

func newTaughtFormCmd(a *app) *cobra.Command {
	var o formOptions
	c := &cobra.Command{
		Use:   "attendance MODULE... -o FILE.xlsx",
		Short: "A form for who was taught what: workers down the page, modules across it",
		Long: `Write a form for a day of teaching: everybody on the crew list, or those named with --worker, and some open rows; a yes
under a module says that they were taught it. That they were there does not say that they can do it: looks do.`,
		Example: `  ringtrue workbook sheet attendance M3 M4 --by luis --day 2026-05-04 -o taught.xlsx`,
		Args:    atLeast(1, "MODULE..."),
		RunE: func(_ *cobra.Command, args []string) error {
			o.names = args
			return a.makeForm(formTaught, o, (*formDraft).taught)
		},
	}
	formFlags(c, &o)
	c.Flags().StringArrayVar(&o.workers, "worker", nil, "worker who gets a row; repeatable (default: everybody)")
	return c
}

// taught draws the attendance form.
func (d *formDraft) taught(p *problems) error {
	modules := d.taughtModules(p)
	workers := d.personHandles(d.o.workers, p)
	if len(modules) > taughtColumns {
		p.add(usage("make two forms", "%d modules; one form has room for %d", len(modules), taughtColumns))
	}
	crew, err := d.crewHandles()
	if err != nil || p.err() != nil {
		return err
	}
	if len(workers) == 0 {
		workers = crew
	}
	teachers, err := d.mayHandles(training.DutyTeach)
	if err != nil {
		return err
	}
	d.of = strings.Join(d.o.names, ", ")
	d.grid.Widths, d.grid.Wide = []float64{24, 26}, len(modules) > uprightColumns
	for range modules {
		d.grid.Widths = append(d.grid.Widths, 16)
	}
	d.grid.Widths = append(d.grid.Widths, 14)
	d.head("Who was taught what", "Yes for each worker who was taught the module. It says that they were there, not that they can do it.")
	d.field(labelTeacher, d.o.by, 0, 1, workbook.Check{List: d.list("teachers", teachers)})
	d.field(labelDay, d.o.day, 0, 1, workbook.Check{Day: true})
	d.field(labelTime, "", 0, 1, workbook.Check{Clock: true})
	d.field(labelLanguage, "", 0, 1, workbook.Check{})
	d.field(labelUnderstood, "", 0, 1+len(modules), workbook.Check{})
	return d.taughtRows(modules, workers, d.list("workers", crew))
}

func (d *formDraft) taughtModules(p *problems) (modules []training.Module) {
	seen := map[string]bool{}
	for _, id := range d.o.names {
		m, err := d.std.module(id)
		p.add(err)
		if err == nil && seen[id] {
			p.add(usage("name each module once", "module %s is named twice", id))
		}
		seen[id] = true
		modules = append(modules, m)
	}
	return modules
}

func (d *formDraft) taughtRows(modules []training.Module, workers []string, list string) error {
	people, err := d.crew()
	if err != nil {
		return err
	}
	cells := []workbook.FormCell{{Text: captionWho, Look: workbook.Caption}, {Text: captionName, Look: workbook.Caption}}
	for _, m := range modules {
		cells = append(cells, workbook.FormCell{Text: m.ID + " " + m.Title, Look: workbook.Caption})
	}
	d.add(append(cells, workbook.FormCell{Text: captionInitials, Look: workbook.Caption})...)
	d.grid.Head = len(d.grid.Rows)
	yes := workbook.Check{List: d.list("yes or no", []string{"yes", "no"})}
	for _, w := range append(workers, make([]string, spareRows)...) {
		who := workbook.FormCell{Text: w, Look: workbook.Point}
		if w == "" {
			who = workbook.FormCell{Look: workbook.Fill, Check: workbook.Check{List: list}}
		}
		cells := []workbook.FormCell{who, {Text: people.byHandle[w].Name, Look: workbook.Point}}
		for range modules {
			cells = append(cells, workbook.FormCell{Look: workbook.Fill, Check: yes})
		}
		d.ask(append(cells, workbook.FormCell{Look: workbook.Fill})...)
	}
	return nil
}

// labelDoneBy is who looked after the saws.
const labelDoneBy = "Done by"

// upkeepColumns are the columns of the upkeep form, in order: what stands above them, and what they take.
var upkeepColumns = []struct {
	caption, unit string
	width         float64
	check         workbook.Check
}{
	{caption: "Daily", width: 8, check: workbook.Check{List: "yes or no"}},
	{caption: "Weekly", width: 8, check: workbook.Check{List: "yes or no"}},
	{caption: "Left out", width: 22},
	{caption: "Nut checks", width: 9, check: workbook.Check{Whole: true, Max: 20}},
	{caption: "Refuels", width: 9, check: workbook.Check{Whole: true, Max: 20}},
	{caption: "Mixture (L)", unit: "L", width: 10, check: workbook.Check{Number: true, Max: 20}},
	{caption: "Filings", width: 9, check: workbook.Check{Whole: true, Max: 20}},
	{caption: "Hits on rock", width: 9, check: workbook.Check{Whole: true, Max: 50}},
	{caption: "Engine (h)", unit: "h", width: 9, check: workbook.Check{Number: true, Max: 12}},
	{caption: "Area (ha)", unit: "ha", width: 9, check: workbook.Check{Number: true, Max: 5}},
	{caption: "Note", width: 30},
}

// captionSaw stands above the ids of the saws.
const captionSaw = "Saw"

func newUpkeepFormCmd(a *app) *cobra.Command {
	var o formOptions
	c := &cobra.Command{
		Use:   "upkeep -o FILE.xlsx",
		Short: "A form for the evening: one line for each saw, upkeep done and counts",
		Long: `Write a form for one evening: each saw on the list, or those named with --saw, with the upkeep done and the counts of the
day. A saw whose line stays blank did not work. Open lines take a saw that is put on the list before the form is read back.
Defects do not go on this form: record them when they are found.`,
		Example: "  ringtrue workbook sheet upkeep --day 2026-05-05 -o evening.xlsx",
		Args:    exactly(0, "no names"),
		RunE: func(*cobra.Command, []string) error {
			return a.makeForm(formUpkeep, o, (*formDraft).evening)
		},
	}
	formFlags(c, &o)
	c.Flags().StringArrayVar(&o.names, "saw", nil, "saw that gets a line; repeatable (default: all of them)")
	return c
}

// evening draws the evening's form.
func (d *formDraft) evening(p *problems) error {
	saws, err := d.upkeepSaws(p)
	if err != nil || p.err() != nil {
		return err
	}
	crew, err := d.crewHandles()
	if err != nil {
		return err
	}
	d.of = "saws " + orWord(strings.Join(saws, ", "), "not on the list yet")
	d.grid.Wide, d.grid.Widths = true, []float64{14}
	for _, c := range upkeepColumns {
		d.grid.Widths = append(d.grid.Widths, c.width)
	}
	d.head("Upkeep of the saws", "Daily and weekly: yes says that all of it was done, but for what stands under left out ("+upkeepItems()+"). Counts are those of the whole day. "+
		"Report a defect when it is found, not here. A saw that is not printed goes on an open line; it is put on the list before this is read back.")
	d.field(labelDoneBy, d.o.by, 0, 3, workbook.Check{List: d.list("workers", crew)})
	d.field(labelDay, d.o.day, 0, 3, workbook.Check{Day: true})
	d.captions(upkeepCaptions())
	d.grid.Head = len(d.grid.Rows)
	d.list("yes or no", []string{"yes", "no"})
	for _, s := range append(saws, make([]string, spareSaws)...) {
		cells := []workbook.FormCell{{Text: s, Look: workbook.Point}}
		if s == "" {
			cells[0] = workbook.FormCell{Look: workbook.Fill, Check: workbook.Check{Hint: "A saw that is not printed here, by the id on the list: ringtrue saw list"}}
		}
		for _, c := range upkeepColumns {
			cells = append(cells, workbook.FormCell{Look: workbook.Fill, Check: c.check})
		}
		d.ask(cells...)
	}
	return nil
}

// upkeepCaptions stand above the lines of the saws.
func upkeepCaptions() []string {
	words := []string{captionSaw}
	for _, c := range upkeepColumns {
		words = append(words, c.caption)
	}
	return words
}

// upkeepItems lists what can be left out.
func upkeepItems() string {
	return strings.Join(append(upkeep.ItemIDs(false), upkeep.ItemIDs(true)...), ", ")
}

// upkeepSaws are the saws named, else all that are not retired.
func (d *formDraft) upkeepSaws(p *problems) (ids []string, err error) {
	list, err := d.saws(d.asked)
	if err != nil {
		return nil, err
	}
	for _, name := range d.o.names {
		s, err := pickSaw(list, name)
		p.add(err)
		ids = append(ids, s.ID)
	}
	if len(d.o.names) > 0 {
		return ids, nil
	}
	return d.sawHints(d.asked)
}
