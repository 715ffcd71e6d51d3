package main

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training/civil"
)

// dayText writes the text of a day sheet from the cells of a form, one line for each cell, and remembers which line came from which.
// The sheet is then read by the same parser as one that was typed.
type dayText struct {
	*filledForm
	text   strings.Builder
	places []string            // of each line
	words  map[string][]string // of a key: those it takes

	questions int // that stand on it
}

// line writes a line of the sheet that came from a place.
func (t *dayText) line(place, format string, args ...any) {
	fmt.Fprintf(&t.text, format+"\n", args...)
	t.places = append(t.places, place)
}

// pair writes a cell under its key, quoted so that it stays what it is. Capitals do not count where only some words can stand.
func (t *dayText) pair(row, column int, lead, key string) {
	text := t.cell(row, column)
	for _, word := range t.words[key] {
		if strings.EqualFold(word, text) {
			text = word
		}
	}
	t.line(t.place(row, column), "%s%s: %s", lead, key, strconv.Quote(text))
}

// takeMorning assesses a tailgate form and records the check.
func (f *filledForm) takeMorning() error {
	sheet, err := f.morningSheet()
	if err != nil || f.p.err() != nil {
		return err
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

// morningSheet turns a tailgate form into a day sheet. What is wrong with it is told by its cells.
func (f *filledForm) morningSheet() (sheet hazards.Sheet, err error) {
	asked := f.knownNow(civil.Of(f.now(), f.book.Zone()))
	std, err := f.standards(asked)
	if err != nil {
		return sheet, err
	}
	saws, err := f.saws(asked)
	if err != nil {
		return sheet, err
	}
	t := &dayText{filledForm: f, words: map[string][]string{"level": levelWords(), "kind": risk.KindWords(), "group": groupIDs(std), "id": sawIDs(saws), "saw": sawIDs(saws)}}
	if !t.write() {
		return sheet, nil
	}
	as, err := f.onSheets()
	if err != nil {
		return sheet, err
	}
	asks, err := f.eventQuestions(as)
	if err != nil {
		return sheet, err
	}
	known, err := f.sheetKnows()
	if err != nil {
		return sheet, err
	}
	sheet, err = hazards.ParseSheetFor("sheet", []byte(t.text.String()), known, asks...)
	if err != nil {
		t.wrongLines(err)
	}
	return sheet, nil
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
		said := otherLine.ReplaceAllStringFunc(m[2], func(s string) string { return "in " + t.behind(strings.TrimPrefix(s, "on line ")) })
		t.wrong(t.behind(m[1]), mend, "%s", said)
	}
}

// otherLine is how the parser points to a line before.
var otherLine = regexp.MustCompile(`on line \d+`)

// behind is the place that a line of the text came from.
func (t *dayText) behind(line string) string {
	if n, err := strconv.Atoi(line); err == nil && n >= 1 && n <= len(t.places) {
		return t.places[n-1]
	}
	return fillSheet
}

// write turns the cells into the text; false where the form lacks a table.
func (t *dayText) write() bool {
	crew, visitors, saws, figures := t.captions(crewCaptions), t.captions(visitorCaptions), t.captions(sawCaptions()), t.captions(figureCaptions)
	answers, noons, controls := t.captions(answerCaptions), t.captions(noonCaptions), t.captions(controlCaptions)
	if t.p.err() != nil {
		return false
	}
	day, ok := t.dayBeside(labelDay, crew)
	if !ok {
		day = civil.Of(t.now(), t.book.Zone()).String() // it is refused; the rest is looked at all the same
	}
	if !slices.IsSorted([]int{crew, visitors, saws, figures, answers, noons, controls}) {
		t.wrong(fillSheet, "copy it from the form it came from", "the tables stand in another order than on the form")
		return false
	}
	t.headText(day, crew)
	t.crewText(crew, visitors)
	t.table("visitors", visitors, saws, []string{"name", "with"})
	t.sawText(saws, figures, answers)
	t.answerText(answers, noons)
	t.noonText(noons, controls)
	t.table("controls", controls, len(t.rows), []string{"for", "what", "kind", "owner"})
	t.line(fillSheet, "end: %s", hazards.SheetEnd(t.questions))
	return true
}

func (t *dayText) headText(day string, above int) {
	t.line(fillSheet, "format: %s", hazards.SheetFormat)
	for _, f := range []struct{ key, label string }{
		{"block", labelBlock}, {"block-edition", labelCard}, {"at", labelTime}, {"by", labelFiller}, {"accepted-by", labelAccepts},
		{"coordinates", labelCoordinates}, {"started", labelStarted},
	} {
		text, place := t.beside(f.label, above)
		if clock, ok := clockOf(text); ok && (f.key == "at" || f.key == "started") {
			text = clock
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
		t.pairs(r, keys)
	}
}

// pairs begins an item of a list with the first cells of a row.
func (t *dayText) pairs(row int, keys []string) {
	lead := "  - "
	for c, key := range keys {
		t.pair(row, c, lead, key)
		lead = "    "
	}
}

// told writes a cell that takes a number in the unit of its caption, where something stands in it.
func (t *dayText) told(row, column int, key, unit string) {
	if t.cell(row, column) != "" {
		t.line(t.place(row, column), "    %s: %s", key, strconv.Quote(t.quantity(row, column, unit)))
	}
}

func (t *dayText) crewText(above, below int) {
	keys := []string{"worker", "saw", "group", "level", "watched-by", "fit"}
	t.line(t.place(above, 0), "crew:")
	for _, r := range t.filledRows(above, below) {
		t.pairs(r, keys)
		t.told(r, len(keys), "trigger", "h")
		t.pair(r, len(keys)+1, "    ", "ears")
	}
}

// sawText writes the saws with their checks, and the figures told for them.
func (t *dayText) sawText(above, figures, below int) {
	told := map[string]int{}
	for _, r := range t.filledRows(figures, below) {
		saw := strings.ToLower(t.cell(r, 0))
		if _, twice := told[saw]; twice {
			t.wrong(t.place(r, 0), mend, "figures of saw %s stand twice", t.cell(r, 0))
		}
		told[saw] = r
	}
	t.line(t.place(above, 0), "saws:")
	for _, r := range t.filledRows(above, figures) {
		t.pair(r, 0, "  - ", "id")
		for i, q := range hazards.SawChecks() {
			t.pair(r, i+1, "    ", q.ID)
		}
		saw := strings.ToLower(t.cell(r, 0))
		if at, ok := told[saw]; ok {
			t.told(at, 1, "vibration", "m/s2")
			t.told(at, 2, "noise", "dBA")
			t.told(at, 3, "noise-c", "dBC")
		}
		delete(told, saw)
	}
	for _, r := range slices.Sorted(maps.Values(told)) {
		t.wrong(t.place(r, 0), "name it among the saws that are here, or clear the line", "figures are told for %q, which has no line under %q", t.cell(r, 0), sawCaption)
	}
}

// noonText writes the readings at noon.
func (t *dayText) noonText(above, below int) {
	units := []string{"temp", "C", "rh", "%", "wind", "km/h", "rain", "mm"}
	t.line(t.place(above, 0), "fire-days:")
	for _, r := range t.filledRows(above, below) {
		t.line(t.place(r, 0), "  - day: %s", strconv.Quote(t.dayIn(r, 0)))
		t.pair(r, 1, "    ", "source")
		for i := 0; i < len(units); i += 2 {
			t.told(r, 2+i/2, units[i], units[i+1])
		}
		if t.word(r, 6, "yes", "no") == "yes" {
			t.pair(r, 6, "    ", "start")
		}
		t.pair(r, 7, "    ", "codes")
	}
}

// dayIn reads a cell that takes a day, "" where it is blank or wrong.
func (t *dayText) dayIn(row, column int) string {
	text := t.cell(row, column)
	if text == "" {
		return ""
	}
	day, err := dayOf(t.file, text)
	if t.at(t.place(row, column), err); err != nil {
		day = civil.Of(t.now(), t.book.Zone()) // it is refused; the rest is looked at all the same
	}
	return day.String()
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
		if _, asked := hazards.AskedIn(id); known || asked {
			rows[id] = r
		}
	}
	t.counted(len(rows))
	t.questions = len(rows)
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
		if _, asked := hazards.AskedIn(id); asked {
			events = append(events, id)
		}
	}
	if len(events) == 0 {
		return
	}
	t.line(fillSheet, "asked:")
	t.questions -= len(events) // people may add those; they are held against the book
	for _, id := range sorted(events) {
		t.line(t.place(rows[id], 2), "  %s: %s", strconv.Quote(id), strconv.Quote(t.answer(rows[id], hazards.Question{Kind: hazards.YesNo})))
	}
}

func (t *dayText) readingText(rows map[string]int) {
	t.line(fillSheet, "readings:")
	for _, q := range hazards.Readings() {
		if r, ok := rows[q.ID]; ok {
			t.line(t.place(r, 2), "  %s: %s", q.ID, strconv.Quote(t.answer(r, q)))
		}
	}
}

// answer is the answer to a question as a day sheet has it.
func (t *dayText) answer(r int, q hazards.Question) string {
	const said, who, when = 2, 3, 4
	text := t.cell(r, said)
	if strings.EqualFold(strings.ReplaceAll(text, "\u2019", "'"), hazards.DontKnow) { // programs bend the apostrophe
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
