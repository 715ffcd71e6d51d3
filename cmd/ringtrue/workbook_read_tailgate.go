package main

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards"
)

// dayText writes the text of a day sheet from the cells of a form, one line for each cell, and remembers which line came from which.
// The sheet is then read by the same parser as one that was typed.
type dayText struct {
	*filledForm
	text   strings.Builder
	places []string // of each line
}

// line writes a line of the sheet that came from a place.
func (t *dayText) line(place, format string, args ...any) {
	fmt.Fprintf(&t.text, format+"\n", args...)
	t.places = append(t.places, place)
}

// said is a cell as an answer, quoted so that it stays what it is.
func (t *dayText) pair(row, column int, lead, key string) {
	t.line(t.place(row, column), "%s%s: %s", lead, key, strconv.Quote(t.cell(row, column)))
}

// takeMorning assesses a tailgate form and records the check.
func (f *filledForm) takeMorning() error {
	t := &dayText{filledForm: f}
	if !t.write() || f.p.err() != nil {
		return nil
	}
	asks, err := f.eventQuestions(f.book.Short)
	if err != nil {
		return err
	}
	known, err := f.sheetKnows()
	if err != nil {
		return err
	}
	sheet, err := hazards.ParseSheetFor("sheet", []byte(t.text.String()), known, asks...)
	if err != nil {
		t.wrongLines(err)
		return nil
	}
	check, err := f.checkSheet(sheet)
	f.at(fillSheet, err)
	if err != nil {
		return nil
	}
	people, err := f.crew()
	if err != nil {
		return err
	}
	var notes []string
	for _, one := range check.Assessment.Findings {
		if one.Effect == hazards.Watch {
			continue // those stand in the check itself: ringtrue tailgate show
		}
		notes = append(notes, fmt.Sprint(one.Effect)+": "+people.inText(one.What))
	}
	f.holds = check.Assessment.Answer == hazards.Hold
	f.did(fillSheet, fmt.Sprintf("tailgate check of block %s, %s: %s", check.Block, f.local(check.happened), check.Assessment.Answer), notes, check.ref)
	return nil
}

var dayLine = regexp.MustCompile(`^sheet:(\d+): (.*)$`)

// wrongLines names what the parser found by the cells behind its lines.
func (t *dayText) wrongLines(err error) {
	for line := range strings.SplitSeq(err.Error(), "\n") {
		m := dayLine.FindStringSubmatch(line)
		if m == nil {
			t.wrong(fillSheet, mend, "%s", line)
			continue
		}
		n, _ := strconv.Atoi(m[1]) // digits
		place := fillSheet
		if n >= 1 && n <= len(t.places) {
			place = t.places[n-1]
		}
		t.wrong(place, mend, "%s", m[2])
	}
}

// write turns the cells into the text; false where the form lacks a table.
func (t *dayText) write() bool {
	crew, visitors, saws := t.caption(crewCaptions[0]), t.caption(visitorCaptions[0]), t.caption(sawCaption)
	answers, controls := t.caption(answerCaptions[0]), t.caption(controlCaptions[0])
	day, ok := t.dayBeside(labelDay, crew)
	if !ok || t.p.err() != nil {
		return false
	}
	if !slices.IsSorted([]int{crew, visitors, saws, answers, controls}) {
		t.wrong(fillSheet, "copy it from the form it came from", "the tables stand in another order than on the form")
		return false
	}
	t.headText(day, crew)
	t.crewText(crew, visitors)
	t.visitorText(visitors, saws)
	t.sawText(saws, answers)
	t.answerText(answers, controls)
	t.controlText(controls)
	return true
}

func (t *dayText) headText(day string, above int) {
	t.line(fillSheet, "format: %s", hazards.SheetFormat)
	for _, f := range []struct{ key, label string }{
		{"block", labelBlock}, {"block-edition", labelCard}, {"at", labelTime}, {"by", labelFiller}, {"accepted-by", labelAccepts},
		{"coordinates", labelCoordinates}, {"started", labelStarted},
	} {
		text, place := t.beside(f.label, above)
		if f.key == "at" || f.key == "started" {
			text = t.clock(text, place)
		}
		t.line(place, "%s: %s", f.key, strconv.Quote(text))
	}
	t.line(fillSheet, "day: %s", strconv.Quote(day))
}

// filledRows are the rows between two captions in which something stands.
func (t *dayText) filledRows(above, below int) (rows []int) {
	for r := above + 1; r < below; r++ {
		if !t.blank(r, 0) {
			rows = append(rows, r)
		}
	}
	return rows
}

// table writes the filled rows between two captions as a list, each cell under its key.
func (t *dayText) table(name string, above, below int, keys []string) {
	t.line(t.place(above, 0), "%s:", name)
	for _, r := range t.filledRows(above, below) {
		lead := "  - "
		for c, key := range keys {
			t.pair(r, c, lead, key)
			lead = "    "
		}
	}
}

func (t *dayText) crewText(above, below int) {
	t.table("crew", above, below, []string{"worker", "saw", "group", "level", "watched-by", "fit"})
}

func (t *dayText) visitorText(above, below int) {
	t.table("visitors", above, below, []string{"name", "with"})
}

func (t *dayText) sawText(above, below int) {
	keys := []string{"id"}
	for i, q := range hazards.SawChecks() {
		if id, _, _ := strings.Cut(t.cell(above, i+1), ":"); id != q.ID {
			t.wrong(t.place(above, i+1), "copy the captions from the form it came from", "%q stands where %s was", t.cell(above, i+1), q.ID)
		}
		keys = append(keys, q.ID)
	}
	t.table("saws", above, below, keys)
}

func (t *dayText) controlText(above int) {
	t.table("controls", above, len(t.rows), []string{"for", "kind", "what", "owner"})
}

// answerText writes the questions, those of events, and the readings that were answered.
func (t *dayText) answerText(above, below int) {
	byID := map[string]hazards.Question{}
	for _, q := range slices.Concat(hazards.Questions(), hazards.Readings()) {
		byID[q.ID] = q
	}
	rows := map[string]int{}
	for r := above + 1; r < below; r++ {
		id := t.cell(r, 0)
		_, known := byID[id]
		if known || strings.HasPrefix(id, "event-") {
			rows[id] = r
		}
	}
	t.counted(len(rows))
	t.line(t.place(above, 0), "answers:")
	for _, q := range hazards.Questions() {
		if r, ok := rows[q.ID]; ok {
			t.line(t.place(r, 2), "  %s: %s", q.ID, strconv.Quote(t.answer(r, q)))
		}
	}
	t.eventText(rows)
	t.readingText(rows)
}

func (t *dayText) eventText(rows map[string]int) {
	var events []string
	for id := range rows {
		if strings.HasPrefix(id, "event-") {
			events = append(events, id)
		}
	}
	if len(events) == 0 {
		return
	}
	t.line(fillSheet, "asked:")
	for _, id := range sorted(events) {
		t.line(t.place(rows[id], 2), "  %s: %s", strconv.Quote(id), strconv.Quote(t.answer(rows[id], hazards.Question{Kind: hazards.YesNo})))
	}
}

func (t *dayText) readingText(rows map[string]int) {
	first := true
	for _, q := range hazards.Readings() {
		r, ok := rows[q.ID]
		if !ok || t.blank(r, 2) {
			continue
		}
		if first {
			t.line(fillSheet, "readings:")
		}
		first = false
		t.line(t.place(r, 2), "  %s: %s", q.ID, strconv.Quote(t.answer(r, q)))
	}
}

// answer is the answer to a question as a day sheet has it.
func (t *dayText) answer(r int, q hazards.Question) string {
	const said, who, when = 2, 3, 4
	text := t.cell(r, said)
	if strings.EqualFold(text, hazards.DontKnow) {
		return fmt.Sprintf("%s - %s by %s", hazards.DontKnow, t.cell(r, who), t.clock(t.cell(r, when), t.place(r, when)))
	}
	if t.cell(r, who)+t.cell(r, when) != "" {
		t.wrong(t.place(r, who), mend, "who finds out is named, but the answer is not %q", hazards.DontKnow)
	}
	switch q.Kind {
	case hazards.Value:
		return t.quantity(r, said, unitAsked(q))
	case hazards.Clock:
		if c, ok := clockOf(text); ok {
			return c
		}
	}
	return text
}
