package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training/civil"
)

// filledForm is a form of ours that came back.
type filledForm struct {
	*reading
	facts map[string]string // of the sheet Form
	rows  [][]string        // of the sheet to fill in, down to the end mark
}

// form reads a form back and records it, or shows what it would record.
func (r *reading) form() error {
	f, err := r.openForm()
	if err != nil {
		return err
	}
	content := f.content()
	ans := readAnswer{Form: f.facts[formID], What: f.facts[formWhat], Edition: f.facts[formEdition]}
	if ans.Already, err = r.already(ans.Form, content); err != nil {
		return err
	}
	if ans.Already != "" {
		return r.answer(ans)
	}
	err = r.tryAll(r.o.record, func() error {
		if err := f.take(); err != nil {
			return err
		}
		if err := r.failed(); err != nil || len(r.lines) == 0 {
			return err
		}
		return r.keepForm(store.Form{Form: ans.Form, What: ans.What, Edition: ans.Edition, House: f.facts[formHouse], Content: content})
	})
	if err != nil {
		return err
	}
	if err := r.answer(ans); err != nil || !r.holds {
		return err
	}
	return answerNo()
}

// take records what stands on the form, by what it is for.
func (f *filledForm) take() error {
	switch f.facts[formWhat] {
	case formLook:
		return f.takeLooks()
	case formTaught:
		return f.takeTaught()
	case formUpkeep:
		return f.takeUpkeep()
	case formTailgate:
		return f.takeMorning()
	}
	return refuse("take a newer version of the program", "it is a form for %q, which this version does not know", f.facts[formWhat])
}

// openForm finds the sheets of a form and refuses what is not whole, or not of an edition the book knows.
func (r *reading) openForm() (*filledForm, error) {
	f := &filledForm{reading: r, facts: map[string]string{}}
	about, whole := r.sheet(formSheet).Rows, r.sheet(fillSheet).Rows
	if err := r.lacking(about == nil, whole == nil); err != nil {
		return nil, err
	}
	for _, row := range about {
		if len(row) > 1 {
			f.facts[strings.TrimSpace(row[0])] = strings.TrimSpace(row[1])
		}
	}
	if err := f.checkFacts(); err != nil {
		return nil, err
	}
	mark := endMark + " " + f.facts[formID]
	end := slices.IndexFunc(whole, func(row []string) bool {
		return slices.ContainsFunc(row, func(c string) bool { return strings.TrimSpace(c) == mark })
	})
	switch {
	case end < 0:
		return nil, refuse("open the form it came from, and save it whole", "the sheet %q is not whole: its last line, %q, is missing", fillSheet, mark)
	case strings.TrimSpace(whole[end][0]) != mark:
		return nil, refuse("take the column out again, and read it again", "the sheet %q has a column more before column A of the form: its last line stands in another column", fillSheet)
	}
	if end != len(whole)-1 {
		return nil, refuse("write above that line, or on another form", "%s: something stands below the last line of the form", workbook.Place(fillSheet, end+1, 0))
	}
	f.rows = whole[:end]
	f.checkMerged()
	return f, f.checkEditions()
}

// checkMerged refuses merged cells below the first captions, but for those that begin at column A in one line, which the form has itself:
// what was meant for several cells would be read as said of the first.
func (f *filledForm) checkMerged() {
	first := slices.IndexFunc(f.rows, func(row []string) bool {
		return len(row) > 0 && slices.Contains(formCaptions, strings.TrimSpace(row[0]))
	})
	for _, ranged := range f.file.Merged[f.sheet(fillSheet).Name] {
		top, left, bottom, _, err := workbook.Corners(ranged)
		if err != nil || first < 0 || bottom > first && (bottom > top || left > 0) {
			f.wrong(fillSheet+"!"+ranged, "take the merging back and fill in each cell", "the cells are merged: only the first of them would be read")
		}
	}
}

// formCaptions are the first captions of the forms.
var formCaptions = []string{captionPoint, captionWho, captionSaw, crewCaptions[0]}

// lacking refuses a file without the two sheets of a form.
func (r *reading) lacking(about, whole bool) error {
	var names []string
	for _, s := range r.file.Sheets {
		if s.Name != workbook.ListSheet {
			names = append(names, strconv.Quote(s.Name))
		}
	}
	switch {
	case about && whole:
		return refuse("for a list of an office's own add --roster", "%s is no form of this program: it lacks the sheets %q and %q", r.o.file, fillSheet, formSheet)
	case about || whole:
		lacks := map[bool]string{true: fillSheet, false: formSheet}[whole]
		return refuse("give the sheet its name back: "+lacks, "%s lacks the sheet %q of the form; it has %s", r.o.file, lacks, strings.Join(names, ", "))
	}
	return nil
}

// sheet finds a sheet, whatever its capitals and the spaces around its name.
func (r *reading) sheet(name string) workbook.ReadSheet {
	for _, s := range r.file.Sheets {
		if strings.EqualFold(strings.TrimSpace(s.Name), name) {
			s.Rows = append([][]string{}, s.Rows...)
			return s
		}
	}
	return workbook.ReadSheet{}
}

// checkFacts refuses a form that does not say which form it is.
func (f *filledForm) checkFacts() error {
	if v := f.facts[formIs]; v != formVersion {
		return refuse("take the version of the program that wrote it, or make a new form", "the form is of version %q; this program reads %s", v, formVersion)
	}
	var lacks []string
	for _, need := range []string{formID, formWhat, formEdition, formHouse, formRows} {
		if f.facts[need] == "" {
			lacks = append(lacks, need)
		}
	}
	if len(lacks) > 0 {
		return refuse("copy it from the form it came from", "the sheet %q does not say: %s", formSheet, strings.Join(lacks, ", "))
	}
	return nil
}

// checkEditions refuses a form made for editions that the book does not hold.
func (f *filledForm) checkEditions() error {
	for _, e := range []struct{ kind, words, edition string }{
		{store.KindCurriculum, "curriculum", f.facts[formEdition]}, {store.KindHouse, "house rules", f.facts[formHouse]},
	} {
		known, err := f.editionNames(e.kind)
		if err != nil {
			return err
		}
		if !slices.Contains(known, e.edition) {
			return refuse("make a new form: ringtrue workbook sheet "+f.facts[formWhat]+" --help", "the form was made for edition %q of the %s; this book knows: %s", e.edition, e.words, strings.Join(known, ", "))
		}
	}
	return nil
}

// editionNames lists the editions of a kind that the book holds.
func (a *app) editionNames(kind string) (names []string, err error) {
	facts, err := a.listed(a.knownNow(1<<20), kind)
	if err != nil {
		return nil, err
	}
	for _, one := range facts {
		h, err := a.book.Entry(a.ctx, one.Entry, nil)
		if err != nil {
			return nil, err
		}
		names = append(names, ledger.Text(ledger.Lookup(h.Data, "edition")))
	}
	return names, nil
}

// inForce refuses a form whose points are not those of the curriculum in force on its day.
func (f *filledForm) inForce(day civil.Day) {
	std, err := f.standards(f.knownNow(day))
	f.at(fillSheet, err)
	if err == nil && std.Curriculum.Edition != f.facts[formEdition] {
		f.wrong(fillSheet, "make a new form for that day", "on %s curriculum %s was in force, and the form was made for %s", day, std.Curriculum.Edition, f.facts[formEdition])
	}
}

// already finds the entry by which the form was recorded. A form that says something else by now is refused: it was used twice.
func (a *app) already(form, content string) (string, error) {
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.FormSubject(form), store.KindForm)
	if err != nil {
		return "", err
	}
	for _, one := range facts {
		if one.Struck {
			continue
		}
		var rec store.Form
		if _, err := a.book.Entry(a.ctx, one.Entry, &rec); err != nil {
			return "", err
		}
		if rec.Content != content {
			return "", refuse("make a new form for what is new: ringtrue workbook sheet "+rec.What+" --help",
				"form %s is recorded already, entry %s, and says something else now: a form is used once; nothing was recorded", form, a.book.Short(one.Entry))
		}
		return a.book.Short(one.Entry), nil
	}
	return "", nil
}

// content is a hash over what stands on the form. People stand in it by their person ids, so that no name can be guessed
// from it.
func (f *filledForm) content() string {
	people, err := f.crew()
	var rows [][]string
	for _, row := range f.rows {
		var cells []string
		for _, c := range row {
			c = strings.TrimSpace(c)
			if n, ok := number(c); ok {
				c = n
			}
			if err == nil {
				c = people.idOf(c)
			}
			cells = append(cells, c)
		}
		rows = append(rows, cells)
	}
	text, _ := json.Marshal(rows) // texts only: it cannot fail
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// idOf is the person id behind a short id or a whole name, else the text itself.
func (p *people) idOf(text string) string {
	if one, ok := p.byHandle[text]; ok {
		return one.ID
	}
	for _, one := range p.list {
		if plain(one.Name) == plain(text) {
			return one.ID
		}
	}
	return text
}

// cell is what stands in a cell, without spaces around it.
func (f *filledForm) cell(row, column int) string {
	if row < 0 || row >= len(f.rows) || column >= len(f.rows[row]) {
		return ""
	}
	return strings.TrimSpace(f.rows[row][column])
}

func (f *filledForm) place(row, column int) string { return workbook.Place(fillSheet, row, column) }

// caption finds the row that begins with a caption, -1 where it is gone.
func (f *filledForm) caption(text string) int {
	for r := range f.rows {
		if f.cell(r, 0) == text {
			return r
		}
	}
	f.wrong(fillSheet, "copy it from the form it came from", "the line that begins with %q is missing", text)
	return -1
}

// captions finds a line of captions and refuses it where one of them is gone or stands elsewhere: what is below would be taken for
// something else.
func (f *filledForm) captions(words []string) int {
	r := f.caption(words[0])
	for c, word := range words {
		if is := f.cell(r, c); r >= 0 && is != word {
			f.wrong(f.place(r, c), "columns are neither added nor taken out: open the form it came from", "%q stands where %q was", is, word)
			break
		}
	}
	return r
}

// beside finds the cell beside a label, which stands above the row given.
func (f *filledForm) beside(label string, above int) (text, place string) {
	for r := range f.rows[:max(above, 0)] {
		for c := range f.rows[r] {
			if f.cell(r, c) == label {
				return f.cell(r, c+1), f.place(r, c+1)
			}
		}
	}
	f.wrong(fillSheet, "copy it from the form it came from", "the label %q is missing", label)
	return "", fillSheet
}

// need is beside for a cell that may not be blank.
func (f *filledForm) need(label string, above int) (text, place string) {
	text, place = f.beside(label, above)
	if text == "" && place != fillSheet {
		f.wrong(place, mend, "%s is blank", strings.ToLower(label))
	}
	return text, place
}

// dayBeside reads the day beside a label.
func (f *filledForm) dayBeside(label string, above int) (day string, ok bool) {
	text, place := f.need(label, above)
	if text == "" {
		return "", false
	}
	d, err := dayOf(f.file, text)
	if today := civil.Of(f.now(), f.book.Zone()); err == nil && d > today {
		err = refuse("write the day on which it was", "%s lies ahead; today is %s", d, today)
	}
	f.at(place, err)
	if err != nil {
		return "", false
	}
	f.inForce(d)
	return d.String(), true
}

// clock reads a clock time, "" where the cell is blank.
func (f *filledForm) clock(text, place string) string {
	if text == "" {
		return ""
	}
	t, ok := clockOf(text)
	if !ok {
		f.wrong(place, mend, "%q is no clock time; write it as 10:20", text)
	}
	return t
}

// counted refuses a form that has more or fewer rows than it was made with.
func (f *filledForm) counted(rows int) {
	if want := f.facts[formRows]; strconv.Itoa(rows) != want {
		f.wrong(fillSheet, "open the form it came from; rows are neither added nor taken out", "%d rows to fill in are there, and the form was made with %s", rows, want)
	}
}
