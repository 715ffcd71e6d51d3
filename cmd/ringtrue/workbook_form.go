package main

import (
	"encoding/base32"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// newFormCmd groups the forms that people fill in.
func newFormCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "sheet", Short: "Forms to print or to fill in at the screen; read them back with workbook read"}
	c.AddCommand(newLookFormCmd(a), newTailgateFormCmd(a), newUpkeepFormCmd(a), newTaughtFormCmd(a), newRosterFormCmd(a))
	return c
}

// What forms are for.
const (
	formLook     = "observation"
	formTailgate = "tailgate"
	formUpkeep   = "upkeep"
	formTaught   = "attendance"
)

// formVersion stands on every form. A later layout gets a later number.
const formVersion = "ringtrue/form/1"

// Sheets of a form: the one to fill in, and the one that says which form it is.
const (
	fillSheet = "Fill in"
	formSheet = "Form"
)

// Labels of the sheet Form.
const (
	formIs      = "version"
	formID      = "form"
	formWhat    = "what"
	formCompany = "company"
	formEdition = "curriculum"
	formHouse   = "house rules"
	formMade    = "made on"
	formRows    = "rows to fill in"
	formOf      = "made for"
)

// endMark stands below the last row of the sheet to fill in: without it the sheet is not whole.
const endMark = "end of form"

type formOptions struct {
	out, paper     string
	replace        bool
	workers, names []string
	block, day, by string
}

func formFlags(c *cobra.Command, o *formOptions) {
	f := c.Flags()
	f.StringVarP(&o.out, "output", "o", "", "file to write (required)")
	f.BoolVar(&o.replace, "replace", false, "replace a file that is there")
	f.StringVar(&o.day, "day", "", "day to write on it (default: left open)")
	f.StringVar(&o.by, "by", "", "who fills it in (default: left open)")
	paperFlag(c, &o.paper)
}

// formDraft is a form being put together: its one sheet to fill in, the words that cells offer, and how many rows have
// something to fill in.
type formDraft struct {
	*app
	o     formOptions
	what  string
	id    string
	of    string // what it was made for: skills, modules, a block
	std   standards
	asked training.Asked
	grid  workbook.Grid
	lists []workbook.WordList
	rows  int
}

// newDraft begins a form. What is wrong with what was asked is added to p.
func (a *app) newDraft(what string, o formOptions, p *problems) (*formDraft, error) {
	d := &formDraft{app: a, o: o, what: what}
	day, err := parseDay("day", o.day)
	p.add(err)
	if day == civil.None {
		day = civil.Of(a.now(), a.book.Zone())
	}
	d.asked = a.knownNow(day)
	if d.std, err = a.standards(d.asked); err != nil {
		return nil, err
	}
	if o.by != "" {
		who, err := a.person(o.by)
		p.add(err)
		d.o.by = who.Handle
	}
	raw := make([]byte, 5)
	if _, err := io.ReadFull(a.random(), raw); err != nil {
		return nil, fmt.Errorf("draw a form id: %w", err)
	}
	d.id = "f" + strings.ToLower(base32.HexEncoding.EncodeToString(raw))
	d.grid.Name = fillSheet
	return d, nil
}

// list adds words for cells to offer and gives their name back, "" where there are none.
func (d *formDraft) list(name string, words []string) string {
	if len(words) == 0 {
		return ""
	}
	if !slices.ContainsFunc(d.lists, func(l workbook.WordList) bool { return l.Name == name }) {
		d.lists = append(d.lists, workbook.WordList{Name: name, Words: words})
	}
	return name
}

// crewHandles are the short ids of those on the crew list; those named stand alone.
func (d *formDraft) crewHandles() (handles []string, err error) {
	list, err := d.crewList(d.asked)
	if err != nil {
		return nil, err
	}
	people, err := d.crew()
	if err != nil {
		return nil, err
	}
	for _, w := range list {
		if w.Left == "" {
			handles = append(handles, people.handle(w.Worker))
		}
	}
	return sorted(handles), nil
}

// mayHandles are those named for a duty on the day of the form.
func (d *formDraft) mayHandles(duty string) (handles []string, err error) {
	list, err := d.appointments(d.asked)
	if err != nil {
		return nil, err
	}
	people, err := d.crew()
	if err != nil {
		return nil, err
	}
	for _, one := range list {
		h := people.handle(one.worker)
		if slices.Contains(one.Duties, duty) && one.from <= d.asked.Day && (one.until == civil.None || d.asked.Day < one.until) && !slices.Contains(handles, h) {
			handles = append(handles, h)
		}
	}
	return sorted(handles), nil
}

func (d *formDraft) blockIDs() (ids []string, err error) {
	cards, err := d.cards(d.asked)
	for _, c := range cards {
		ids = append(ids, c.ID)
	}
	return ids, err
}

// add adds a row of cells.
func (d *formDraft) add(cells ...workbook.FormCell) { d.grid.Rows = append(d.grid.Rows, cells) }

// ask adds a row that has cells to fill in, below an id in its first cell.
func (d *formDraft) ask(cells ...workbook.FormCell) {
	d.rows++
	d.add(cells...)
}

// head writes what the form is, and how to fill it in.
func (d *formDraft) head(title string, remarks ...string) {
	width := len(d.grid.Widths)
	name := d.opening.Company
	if d.opening.Demo {
		name = demoMark + ". " + name
	}
	d.add(workbook.FormCell{Text: title + ", " + name, Look: workbook.Heading, Across: width})
	remarks = append([]string{fmt.Sprintf("Form %s, curriculum %s, house rules %s. One form is used once: make a new one for the next day or look.", d.id, d.std.Curriculum.Edition, d.std.House.Edition)}, remarks...)
	for _, r := range remarks {
		d.add(workbook.FormCell{Text: r, Look: workbook.Remark, Across: width})
	}
}

// field adds a label and a cell beside it, which may hold a text already. Before the label stand blank columns.
func (d *formDraft) field(label, text string, before, across int, check workbook.Check) {
	cells := make([]workbook.FormCell, before, before+2)
	d.add(append(cells, workbook.FormCell{Text: label, Look: workbook.Label}, workbook.FormCell{Text: text, Look: workbook.Fill, Across: across, Check: check})...)
}

// formField is a label, what stands beside it already, and what may.
type formField struct {
	label, text string
	check       workbook.Check
}

// fields adds a line of two fields: a label each, and beside it a cell over some columns.
func (d *formDraft) fields(left, right formField, across int) {
	var cells []workbook.FormCell
	for i, f := range []formField{left, right} {
		cells = append(cells, workbook.FormCell{Text: f.label, Look: workbook.Label}, workbook.FormCell{Text: f.text, Look: workbook.Fill, Across: 1 + i*(across-1), Check: f.check})
	}
	d.add(cells...)
}

// newPage lets the next row begin a page.
func (d *formDraft) newPage() { d.grid.Breaks = append(d.grid.Breaks, len(d.grid.Rows)) }

// write ends the form and writes its file.
func (d *formDraft) write() error {
	path, err := d.workbookPath(d.o.out, d.o.replace)
	if err != nil {
		return err
	}
	paper, err := d.paperOf(d.o.paper)
	if err != nil {
		return err
	}
	d.add(workbook.FormCell{Text: endMark + " " + d.id, Look: workbook.Remark, Across: min(2, len(d.grid.Widths))})
	form := workbook.Form{Title: d.opening.Company, Created: d.now(), Paper: paper, Grids: []workbook.Grid{d.grid, d.about()}, Lists: d.lists}
	if err := workbook.WriteForm(d.ctx, path, form); err != nil {
		return d.exportFailed(err)
	}
	return d.wrote()
}

// about is the sheet that says which form it is.
func (d *formDraft) about() workbook.Grid {
	g := workbook.Grid{Name: formSheet, Widths: []float64{24, 70}, Hidden: true}
	g.Rows = append(g.Rows, []workbook.FormCell{{Text: "Leave this sheet as it is: by it the form is known again.", Look: workbook.Remark, Across: 2}})
	for _, line := range [][2]string{
		{formIs, formVersion}, {formID, d.id}, {formWhat, d.what}, {formCompany, d.opening.Company}, {formEdition, d.std.Curriculum.Edition}, {formHouse, d.std.House.Edition},
		{formMade, civil.Of(d.now(), d.book.Zone()).String()}, {formOf, d.of}, {formRows, fmt.Sprint(d.rows)},
	} {
		g.Rows = append(g.Rows, []workbook.FormCell{{Text: line[0], Look: workbook.Label}, {Text: line[1], Look: workbook.Point}})
	}
	return g
}

// wrote says what was written.
func (d *formDraft) wrote() error {
	if d.json {
		return d.printJSON(map[string]any{"format": "ringtrue/form-made/1", "file": d.o.out, "form": d.id, "what": d.what,
			"curriculum": d.std.Curriculum.Edition, "house": d.std.House.Edition, "rows": d.rows})
	}
	d.mark()
	d.say("wrote %s: %s form %s, %s to fill in", d.o.out, d.what, d.id, counted(d.rows, "row"))
	d.say("print it, or fill it in at the screen; then: ringtrue workbook read %s", d.o.out)
	return nil
}

// makeForm opens the book, draws a form and writes it.
func (a *app) makeForm(what string, o formOptions, draw func(d *formDraft, p *problems) error) error {
	if err := a.read(); err != nil {
		return err
	}
	var p problems
	d, err := a.newDraft(what, o, &p)
	if err == nil {
		err = draw(d, &p)
	}
	if err != nil {
		return err
	}
	if err := p.err(); err != nil {
		return err
	}
	return d.write()
}

// personHandles finds people as typed and gives their short ids.
func (a *app) personHandles(names []string, p *problems) (handles []string) {
	for _, n := range names {
		who, err := a.person(n)
		p.add(err)
		if err == nil && slices.Contains(handles, who.Handle) {
			p.add(usage("name each worker once", "%s is named twice", who.Name))
		}
		handles = append(handles, who.Handle)
	}
	return handles
}

// Captions and labels that several forms share.
const (
	labelDay   = "Day"
	labelTime  = "Time"
	labelBlock = "Block"
)
