package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

// Labels of the tailgate form beside those that several forms share.
const (
	labelCard        = "Block card edition"
	labelFiller      = "Filled in by"
	labelAccepts     = "Accepted by"
	labelCoordinates = "Emergency coordinates, as read today"
	labelStarted     = "Work began, if before this"
)

// Captions of the tables of the tailgate form: the first one of each tells them apart.
var (
	crewCaptions    = []string{"Who is here", "Saw", "Task group", "Level", "Watched by", "Fit for work today?"}
	visitorCaptions = []string{"Visitor", "Stays with"}
	sawCaption      = "Saw here"
	answerCaptions  = []string{"Question", "In words", "Answer", "If not known: who finds out", "by what time"}
	controlCaptions = []string{"Control for", "Kind", "What is done", "Who sees to it"}
)

// Rows of the tables (company choice): a crew of two trucks, and more controls than anybody can watch.
const (
	crewRows    = 10
	visitorRows = 2
	controlRows = 6
)

func newTailgateFormCmd(a *app) *cobra.Command {
	var o formOptions
	c := &cobra.Command{
		Use:   "tailgate BLOCK -o FILE.xlsx",
		Short: "A form for the morning check of a block",
		Long: `Write the questions of the tailgate check as a form: who is here, the saws with their checks, every question with yes, no, not
applicable or don't know yet to choose from, readings, and what is done about it. Nothing is carried forward from another
day. Questions of events that are open on the block stand on it too. Read back, it is the same check as a day sheet.`,
		Example: "  ringtrue workbook sheet tailgate B7 -o morning.xlsx",
		Args:    exactly(1, "BLOCK"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.block = args[0]
			return a.makeForm(formTailgate, o, (*formDraft).morning)
		},
	}
	formFlags(c, &o)
	return c
}

// morning draws the tailgate form.
func (d *formDraft) morning(p *problems) error {
	p.add(d.knownBlock(d.o.block))
	if p.err() != nil {
		return nil
	}
	card, _, err := d.card(d.o.block, d.asked)
	if err != nil {
		return err
	}
	crew, err := d.crewHandles()
	if err != nil {
		return err
	}
	saws, err := d.sawHints(d.asked)
	if err != nil {
		return err
	}
	asks, err := d.sheetQuestions(card.ID, d.asked.Day.String())
	if err != nil {
		return err
	}
	d.of = card.ID
	d.grid.Wide = true
	d.grid.Widths = []float64{24, 44, 24, 20, 16, 13, 13, 13, 13, 13}
	d.list("workers", crew)
	d.list("saws", saws)
	d.list("yes or no", []string{"yes", "no"})
	d.morningHead(card)
	d.crewTable()
	d.sawTable(len(saws))
	d.answerTable(asks)
	d.controlTable()
	return nil
}

// offer is a list if there is one: an empty crew or no saws offer nothing.
func (d *formDraft) offer(name string) workbook.Check {
	if slices.ContainsFunc(d.lists, func(l workbook.WordList) bool { return l.Name == name }) {
		return workbook.Check{List: name}
	}
	return workbook.Check{}
}

func (d *formDraft) morningHead(card hazards.Block) {
	d.head("Tailgate check of block "+card.ID, "Every question is answered: yes, no, not applicable, or don't know yet with who finds out and by when. Values carry their unit, as 38% or 6cm. "+
		"The check finds what to talk about; it does not say that work is safe.")
	d.field(labelBlock, card.ID, 0, 1, workbook.Check{})
	d.field(labelCard, strconv.Itoa(card.Edition), 0, 1, workbook.Check{})
	d.field(labelDay, d.o.day, 0, 1, workbook.Check{Day: true})
	d.field(labelTime, "", 0, 1, workbook.Check{Clock: true})
	d.field(labelFiller, d.o.by, 0, 1, d.offer("workers"))
	d.field(labelAccepts, "", 0, 1, d.offer("workers"))
	d.field(labelCoordinates, "", 0, 1, workbook.Check{})
	d.field(labelStarted, "", 0, 1, workbook.Check{Clock: true})
}

// captions draws a line of captions.
func (d *formDraft) captions(words []string) {
	var cells []workbook.FormCell
	for _, w := range words {
		cells = append(cells, workbook.FormCell{Text: w, Look: workbook.Caption})
	}
	d.add(cells...)
}

// open draws rows that are filled in from the first cell on.
func (d *formDraft) open(rows int, checks ...workbook.Check) {
	for range rows {
		var cells []workbook.FormCell
		for _, c := range checks {
			cells = append(cells, workbook.FormCell{Look: workbook.Fill, Check: c})
		}
		d.add(cells...)
	}
}

func (d *formDraft) crewTable() {
	var groups, levels []string
	for _, g := range d.std.Groups {
		groups = append(groups, g.ID)
	}
	for _, l := range []training.Level{training.NoSaw, training.InSight, training.InHearing, training.PeriodicCheck, training.Unsupervised} {
		levels = append(levels, l.String())
	}
	d.captions(crewCaptions)
	d.open(crewRows, d.offer("workers"), d.offer("saws"), workbook.Check{List: d.list("task groups", groups)}, workbook.Check{List: d.list("levels", levels)},
		d.offer("workers"), d.offer("yes or no"))
	d.captions(visitorCaptions)
	d.open(visitorRows, workbook.Check{}, d.offer("workers"))
}

func (d *formDraft) sawTable(saws int) {
	words := []string{sawCaption}
	checks := []workbook.Check{d.offer("saws")}
	for _, q := range hazards.SawChecks() {
		words = append(words, q.ID+": "+q.Text)
		checks = append(checks, d.offer("yes or no"))
	}
	d.captions(words)
	d.open(min(max(saws, 2), crewRows), checks...)
}

func (d *formDraft) answerTable(asks []hazards.EventQuestion) {
	d.captions(answerCaptions)
	section := ""
	for _, q := range hazards.Questions() {
		if q.Section != section {
			section = q.Section
			d.section(section)
		}
		d.question(q)
	}
	for _, e := range asks {
		d.question(hazards.Question{ID: "event-" + e.Event, Kind: hazards.YesNo, NA: true, Text: e.Question + " (" + e.About() + ")"})
	}
	d.section("Readings: what nobody looked at stays blank")
	for _, q := range hazards.Readings() {
		d.question(q)
	}
}

// section begins a part of the questions; a page may begin with it, so it says again what the columns are.
func (d *formDraft) section(title string) {
	cells := []workbook.FormCell{{Text: title, Look: workbook.Caption, Across: 2}}
	for _, c := range answerCaptions[2:] {
		cells = append(cells, workbook.FormCell{Text: c, Look: workbook.Caption})
	}
	d.add(cells...)
}

// question draws a question with cells for the answer, and for who finds out.
func (d *formDraft) question(q hazards.Question) {
	text := q.Text
	if q.Such != "" {
		text += " (as " + q.Such + ")"
	}
	d.ask(workbook.FormCell{Text: q.ID, Look: workbook.Point}, workbook.FormCell{Text: text, Look: workbook.Point},
		workbook.FormCell{Look: workbook.Fill, Check: d.answers(q)},
		workbook.FormCell{Look: workbook.Fill, Check: d.offer("workers")}, workbook.FormCell{Look: workbook.Fill, Check: workbook.Check{Clock: true}})
}

// answers offers words where only words can be meant.
func (d *formDraft) answers(q hazards.Question) workbook.Check {
	if q.Kind != hazards.YesNo {
		return workbook.Check{}
	}
	words := []string{hazards.Yes, hazards.No, hazards.DontKnow}
	name := "answers"
	if q.NA {
		words, name = append(words, hazards.NotApplicable), "answers, or not applicable"
	}
	return workbook.Check{List: d.list(name, words)}
}

func (d *formDraft) controlTable() {
	d.captions(controlCaptions)
	d.open(controlRows, workbook.Check{}, workbook.Check{List: d.list("kinds of controls", risk.KindWords())}, workbook.Check{}, d.offer("workers"))
}

// unitAsked is the unit of a question whose answer is a number alone: that of its example.
func unitAsked(q hazards.Question) string {
	first, _, _ := strings.Cut(q.Such, " or ")
	v, err := units.Parse(first, q.Of)
	if err != nil {
		return ""
	}
	return v.Unit
}
