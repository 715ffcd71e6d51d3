package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/exposure"
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
	labelCoordinates = "Emergency coordinates read today"
	labelStarted     = "Work began, if before this"
)

// Captions of the tables of the tailgate form: the first one of each tells them apart.
var (
	crewCaptions    = []string{"Who is here", "Saw", "Task group", "Level", "Watched by", "Fit for work today?", "Time at the trigger (h)", "Hearing protector"}
	visitorCaptions = []string{"Visitor", "Stays with"}
	sawCaption      = "Saw here"
	figureCaptions  = []string{"Figures told for saw", "Vibration (m/s2)", "Noise at the ear (dBA)", "Noise at the ear (dBC)"}
	noonCaptions    = []string{"Readings at noon, standard time, of day", "Source: which station or forecast", "Temperature (C)", "Humidity (%)", "Wind, 10 m up, in the open (km/h)", "Rain (mm)", "First day of the season?",
		"Agency's codes of the day before"}
	answerCaptions  = []string{"Question", "In words", "Answer", "If not known: who finds out", "by what time"}
	controlCaptions = []string{"Control for", "What is done", "Kind", "Who sees to it"}
)

// Rows of the tables (company choice): a line for everybody on the crew list, up to three trucks, readings that were missed over a weekend, and more controls than anybody
// can watch.
const (
	leastRows   = 6
	mostRows    = 16
	visitorRows = 2
	figureRows  = 2
	noonRows    = 3
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
	d.grid.Widths = []float64{19, 42, 22, 16, 12, 11, 11, 11, 11, 11}
	d.list("workers", crew)
	d.list("saws", saws)
	d.list("yes or no", []string{"yes", "no"})
	d.morningHead(card)
	d.crewTable(min(max(len(crew), leastRows), mostRows))
	d.sawTable(len(saws))
	d.figureTable()
	d.newPage()
	d.answerTable(asks, d.fireClassAsked(card.ID, d.asked.Day.String()))
	d.noonTable()
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
		"STOP marks an answer that stops the site, on paper too. The check finds what to talk about; it does not say that work is safe.")
	d.grid.Head = 2 // what it is, and its id
	const across = 3
	d.fields(formField{label: labelBlock, text: card.ID}, formField{label: labelFiller, text: d.o.by, check: d.offer("workers")}, across)
	d.fields(formField{label: labelCard, text: strconv.Itoa(card.Edition)}, formField{label: labelAccepts, check: d.offer("workers")}, across)
	d.fields(formField{label: labelDay, text: d.o.day, check: workbook.Check{Day: true}}, formField{label: labelCoordinates}, across)
	d.fields(formField{label: labelTime, check: workbook.Check{Clock: true}}, formField{label: labelStarted, check: workbook.Check{Clock: true}}, across)
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

func groupIDs(std standards) (ids []string) {
	for _, g := range std.Groups {
		ids = append(ids, g.ID)
	}
	return ids
}

func levelWords() (words []string) {
	for _, l := range []training.Level{training.NoSaw, training.InSight, training.InHearing, training.PeriodicCheck, training.Unsupervised} {
		words = append(words, l.String())
	}
	return words
}

func (d *formDraft) crewTable(rows int) {
	d.captions(crewCaptions)
	d.open(rows, d.offer("workers"), d.offer("saws"), workbook.Check{List: d.list("task groups", groupIDs(d.std))}, workbook.Check{List: d.list("levels", levelWords())},
		d.offer("workers"), d.offer("yes or no"), workbook.Check{Number: true, Max: longDay, Hint: "Hours with the finger on the trigger planned today, as 3. Blank: not planned."},
		workbook.Check{Hint: "Method and rating of the hearing protector, as csa_muff 25. The method is one of: " + strings.Join(ratedMethods(), ", ") + "."})
	d.captions(visitorCaptions)
	d.open(visitorRows, workbook.Check{}, d.offer("workers"))
}

// sawCaptions stand above the saws: what is checked of each.
func sawCaptions() []string {
	words := []string{sawCaption}
	for _, q := range hazards.SawChecks() {
		words = append(words, q.ID+": "+q.Text)
	}
	return words
}

func (d *formDraft) sawTable(saws int) {
	checks := []workbook.Check{d.offer("saws")}
	for range hazards.SawChecks() {
		checks = append(checks, d.offer("yes or no"))
	}
	d.captions(sawCaptions())
	d.open(min(max(saws, 2), mostRows), checks...)
}

// longDay is beyond what anybody does with a saw, in hours (company choice): more is asked about.
const longDay = 12

// ratedMethods are the methods that count a hearing protector by one rating.
func ratedMethods() (names []string) {
	for _, m := range exposure.Methods() {
		if slices.Contains(m.Needs, exposure.NeedRating) {
			names = append(names, m.Name)
		}
	}
	return names
}

// figureTable takes what is told of a saw otherwise than its card says.
func (d *formDraft) figureTable() {
	const loudest, harshest = 130, 30 // asked about beyond (company choice)
	d.captions(figureCaptions)
	d.open(figureRows, d.offer("saws"), workbook.Check{Number: true, Max: harshest}, workbook.Check{Number: true, Min: 60, Max: loudest}, workbook.Check{Number: true, Min: 60, Max: loudest})
}

// noonTable takes readings at noon, from which the fire index is carried.
func (d *formDraft) noonTable() {
	const coldest, hottest, stormy, cloudburst = -20, 45, 100, 100 // asked about beyond (company choice)
	d.captions(noonCaptions)
	d.open(noonRows, workbook.Check{Day: true}, workbook.Check{}, workbook.Check{Number: true, Min: coldest, Max: hottest}, workbook.Check{Number: true, Max: 100},
		workbook.Check{Number: true, Max: stormy}, workbook.Check{Number: true, Max: cloudburst}, d.offer("yes or no"),
		workbook.Check{Hint: "The agency's codes of the day before: FFMC DMC DC, as 88.1 45.2 310. A season starts with them or with yes beside, not both."})
}

// answerTable draws the questions: those that have to be answered, the fire class with them where there is a reason why, and then
// readings.
func (d *formDraft) answerTable(asks []hazards.EventQuestion, whyFireClass string) {
	d.captions(answerCaptions)
	section := ""
	for _, q := range hazards.Questions() {
		switch {
		case section == "":
			d.add(workbook.FormCell{Text: q.Section, Look: workbook.Caption, Across: len(answerCaptions)}) // below the captions
		case q.Section != section:
			d.section(q.Section)
		}
		section = q.Section
		d.question(q)
	}
	for _, e := range asks {
		d.question(hazards.Question{ID: hazards.AskKey(e.Event), Kind: hazards.YesNo, NA: true, Text: e.Question + " (" + e.About() + ")"})
	}
	readings := hazards.Readings()
	if whyFireClass != "" {
		d.section("Fire class: asked " + whyFireClass)
		for _, q := range fireClassQuestions() {
			d.question(q)
		}
		readings = withoutFireClass(readings)
	}
	d.section("Readings: what nobody looked at stays blank")
	for _, q := range readings {
		d.question(q)
	}
}

// fireClassQuestions are the fire class, when it was read and where.
func fireClassQuestions() []hazards.Question {
	return slices.DeleteFunc(hazards.Readings(), func(q hazards.Question) bool { return !aboutFireClass(q) })
}

func withoutFireClass(list []hazards.Question) []hazards.Question {
	return slices.DeleteFunc(slices.Clone(list), aboutFireClass)
}

func aboutFireClass(q hazards.Question) bool {
	return q.ID == hazards.FireClass || q.ID == hazards.FireClassAt || q.ID == hazards.FireClassBy
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
	text, look := questionText(q), workbook.Point
	if q.StopsIf() != "" {
		look = workbook.Critical
	}
	d.ask(workbook.FormCell{Text: q.ID, Look: look}, workbook.FormCell{Text: text, Look: look},
		workbook.FormCell{Look: workbook.Fill, Check: d.answers(q)},
		workbook.FormCell{Look: workbook.Fill, Check: d.offer("workers")}, workbook.FormCell{Look: workbook.Fill, Check: workbook.Check{Clock: true}})
}

// questionText says a question, how it is answered where that is not one of the words of the head, and which answer stops the site.
func questionText(q hazards.Question) string {
	how := ""
	switch {
	case q.Kind == hazards.Clock:
		how = "clock time"
	case q.Kind == hazards.Person:
		how = "short id"
	case q.Such != "":
		how = "as " + q.Such
	}
	if q.None {
		how = strings.TrimPrefix(how+", or no", ", ")
	}
	text := q.Text
	if how != "" {
		text += " (" + how + ")"
	}
	if answer := q.StopsIf(); answer != "" {
		text = "STOP if " + answer + ": " + text
	}
	return text
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
	d.open(controlRows, workbook.Check{}, workbook.Check{}, workbook.Check{List: d.list("kinds of controls", risk.KindWords())}, d.offer("workers"))
}

// unitAsked is the unit of a question whose answer is a number alone: that of its example. Where two units may be meant there
// is none: such a number carries its own.
func unitAsked(q hazards.Question) string {
	v, err := units.Parse(q.Such, q.Of)
	if err != nil {
		return ""
	}
	return v.Unit
}
