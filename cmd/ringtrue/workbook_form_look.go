package main

import (
	"math"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

// Labels and row ids of the observation form.
const (
	labelObserver = "Observed by"
	captionPoint  = "Point"
	rowTime       = "time"
	rowAnnounced  = "announced"
	rowNote       = "note"
)

// lookColumns is how many workers fit on one observation form (company choice: a page across that can be read).
const lookColumns = 6

// lookAhead is how many columns stand before those of the workers, lookCaptions what stands above them.
const lookAhead = 3

var lookCaptions = []string{captionPoint, "What to look for", "How"}

func newLookFormCmd(a *app) *cobra.Command {
	var o formOptions
	c := &cobra.Command{
		Use:   "observation SKILL... -o FILE.xlsx",
		Short: "A form for looks: the points of some skills down the page, workers across it",
		Long: `Write a form for looks at some skills. The points stand down the page, critical ones marked; each worker has a column with
met, missed or not seen to choose from, and measured points take a number in the unit named. Name up to six workers with
--worker, or leave the columns open. What stays blank was not seen.`,
		Example: "  ringtrue workbook sheet observation 3.3 5.3 --worker ana --worker ben --by luis -o looks.xlsx",
		Args:    atLeast(1, "SKILL..."),
		RunE: func(_ *cobra.Command, args []string) error {
			o.names = args
			return a.makeForm(formLook, o, (*formDraft).look)
		},
	}
	formFlags(c, &o)
	c.Flags().StringArrayVar(&o.workers, "worker", nil, "worker who gets a column; repeatable")
	c.Flags().StringVar(&o.block, "block", "", "block to write on it (default: left open)")
	return c
}

// look draws the form for looks.
func (d *formDraft) look(p *problems) error {
	skills, workers := d.lookSkills(p), d.personHandles(d.o.workers, p)
	p.add(d.knownBlock(d.o.block))
	if len(workers) > lookColumns {
		p.add(usage("make two forms", "%d workers; one form has room for %d", len(workers), lookColumns))
	}
	crew, err := d.crewHandles()
	if err != nil || p.err() != nil {
		return err
	}
	for len(workers) < min(lookColumns, max(4, len(workers))) {
		workers = append(workers, "")
	}
	d.of = strings.Join(d.o.names, ", ")
	d.grid.Wide, d.grid.Widths = true, []float64{20, 56, 22}
	for range workers {
		d.grid.Widths = append(d.grid.Widths, 13)
	}
	if err := d.lookHead(); err != nil {
		return err
	}
	d.lookPeople(workers, d.list("workers", crew))
	for _, s := range skills {
		d.lookSkill(s, len(workers))
	}
	return nil
}

func (d *formDraft) lookSkills(p *problems) (skills []training.Skill) {
	seen := map[string]bool{}
	for _, id := range d.o.names {
		s, _, err := d.std.skill(id)
		p.add(err)
		switch {
		case err == nil && seen[id]:
			p.add(usage("name each skill once", "skill %s is named twice", id))
		case err == nil && s.Withdrawn:
			p.addf("see: ringtrue skill list", "skill %s is withdrawn", id)
		}
		seen[id] = true
		skills = append(skills, s)
	}
	return skills
}

func (d *formDraft) lookHead() error {
	observers, err := d.mayHandles(training.DutyObserve)
	if err != nil {
		return err
	}
	blocks, err := d.blockIDs()
	if err != nil {
		return err
	}
	d.head("Looks at skills", "Mark each point met, missed or not seen; what stays blank was not seen. A missed CRITICAL point stops the skill at once: "+
		"say so there and then. Measured points: a number in the unit named; outside the range named it counts as missed. This sheet does not say that work is safe.")
	d.field(labelObserver, d.o.by, 1, 1, workbook.Check{List: d.list("observers", observers)})
	d.field(labelDay, d.o.day, 1, 1, workbook.Check{Day: true})
	d.field(labelBlock, d.o.block, 1, 1, workbook.Check{List: d.list("blocks", blocks)})
	return nil
}

// lookPeople draws the captions, which every page repeats, and what is said of each look.
func (d *formDraft) lookPeople(workers []string, list string) {
	var cells []workbook.FormCell
	for _, w := range lookCaptions {
		cells = append(cells, workbook.FormCell{Text: w, Look: workbook.Caption})
	}
	for _, w := range workers {
		cells = append(cells, workbook.FormCell{Text: w, Look: workbook.Fill, Check: workbook.Check{List: list, Hint: "Who was looked at: the short id."}})
	}
	d.add(cells...)
	d.grid.Head = len(d.grid.Rows)
	d.lookRow(rowTime, "Clock time of the look (blank: 12:00)", "as 10:20", len(workers), workbook.Check{Clock: true}, workbook.Point)
	d.lookRow(rowAnnounced, "Did the worker know of the look beforehand?", "yes, no", len(workers), workbook.Check{List: d.list("yes or no", []string{"yes", "no"})}, workbook.Point)
	d.lookRow(rowNote, "Anything to add", "", len(workers), workbook.Check{}, workbook.Point)
}

func (d *formDraft) lookRow(id, text, how string, workers int, check workbook.Check, look workbook.Look) {
	cells := []workbook.FormCell{{Text: id, Look: look}, {Text: text, Look: look}, {Text: how, Look: look}}
	for range workers {
		cells = append(cells, workbook.FormCell{Look: workbook.Fill, Check: check})
	}
	d.ask(cells...)
}

func (d *formDraft) lookSkill(s training.Skill, workers int) {
	title := s.ID + " " + s.Title
	d.add(workbook.FormCell{Text: title, Look: workbook.Caption, Across: lookAhead + workers})
	if s.Look != "" {
		how := s.Look
		if place := observerPlace(s, d.std.House); place != "" {
			how += " That is at least " + place + " from a turning blade, alone, behind and to the left."
		}
		d.add(workbook.FormCell{Text: how, Look: workbook.Point, Across: lookAhead + workers})
	}
	seen := workbook.Check{List: d.list("seen", []string{training.Met, training.Missed, training.NotSeen})}
	for _, c := range s.Criteria {
		text, look, how, check := c.Text, workbook.Point, "met, missed, not seen", seen
		if c.Critical {
			text, look = "CRITICAL: "+text, workbook.Critical
		}
		if c.Measured() {
			how, check = measuredBy(c)
		}
		d.lookRow(s.ID+":"+c.ID, text, how, workers, check, look)
	}
}

// measuredBy says in which unit a criterion is measured and within what, and what its cell asks back about.
func measuredBy(c training.Criterion) (how string, check workbook.Check) {
	unit := unitOf(c)
	check = workbook.Check{Number: true, Min: bound(c.Min, c.Of), Max: bound(c.Max, c.Of)}
	switch {
	case c.Min != "" && c.Max != "":
		how = c.Min + " to " + c.Max
	case c.Min != "":
		how = "at least " + c.Min
	case c.Max != "":
		how = "at most " + c.Max
	}
	check.Hint = "A number in " + orWord(unit, "pieces") + "; in range is " + how + ". Outside it is a miss: keep it if it is right."
	return "in " + orWord(unit, "pieces") + ": " + how, check
}

// unitOf is the unit in which a form asks for a criterion: that of its range.
func unitOf(c training.Criterion) string {
	for _, text := range []string{c.Min, c.Max} {
		if q, err := units.Parse(text, c.Of); err == nil {
			return q.Unit
		}
	}
	return ""
}

func bound(text string, of units.Dimension) float64 {
	q, err := units.Parse(text, of)
	if err != nil {
		return math.NaN()
	}
	return q.Value
}
