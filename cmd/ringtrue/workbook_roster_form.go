package main

import (
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training/civil"
)

func newRosterFormCmd(a *app) *cobra.Command {
	var o formOptions
	c := &cobra.Command{
		Use:   "roster -o FILE.xlsx",
		Short: "A blank list to bring along people, past trainings, tickets, equipment and saws, with examples",
		Long: `Write a blank list with a sheet each for people, past trainings and sign-offs on paper, tickets, equipment, and saws, with examples
on a sheet of their own. An office's own spreadsheet does as well: workbook read --roster finds the columns by their titles.`,
		Example: "  ringtrue workbook sheet roster -o people.xlsx",
		Args:    exactly(0, "no names"),
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			return a.writeRosterForm(o)
		},
	}
	f := c.Flags()
	f.StringVarP(&o.out, "output", "o", "", "file to write (required)")
	f.BoolVar(&o.replace, "replace", false, "replace a file that is there")
	paperFlag(c, &o.paper)
	return c
}

// rosterSheet is a sheet of the blank list: its columns by the names of rosterFields, and an example of each.
type rosterSheet struct {
	name, remark string
	fields       []string
	example      []string
}

// rosterSheets are the sheets of the blank list. The examples are invented.
func rosterSheets() []rosterSheet {
	return []rosterSheet{
		{"People", "One line for each person. First day: the first day at this company.",
			[]string{"name", "short", "from", "crew", "contact", "contract"},
			[]string{"Ana Ruiz", "ana", "2026-05-04", "north", "radio 5", ""}},
		{"Trainings", "Past trainings by module, or sign-offs on paper by skill. They arrive as earlier training accepted, with their document: never as a sign-off of this book.",
			[]string{"name", "module", "skill", "day", "document", "reason"},
			[]string{"Ana Ruiz", "", "3.3", "2025-06-12", "binder 2025, page 14", "signed off on paper"}},
		{"Tickets", "Tickets with their end: first-aid, driving, and so on. Valid until: the first day it no longer counts.",
			[]string{"name", "ticket", "document", "until"},
			[]string{"Ana Ruiz", "first-aid", "certificate 4471", "2027-03-01"}},
		{"Equipment", "What each person holds. Replace by needs who states that day.",
			[]string{"name", "item", "size", "standard", "serial", "made", "replace-by", "source", "own"},
			[]string{"Ana Ruiz", "boots", "41", "EN ISO 17249", "", "2025-03", "", "", "no"}},
		{"Saws", "One line for each saw, with units.",
			[]string{"saw", "spindle", "blades", "bore", "guard", "harness", "tank", "service", "vibration", "noise", "owner"},
			[]string{"S11", "9000rpm", "200mm-225mm", "20mm", "225 mm saw guard", "two shoulders, hip pad", "0.9L", "25h", "4.5m/s2", "100dBA", ""}},
	}
}

// blankRows are how many open rows the blank list shows (company choice: one page); rows can be added.
const blankRows = 16

// writeRosterForm writes the blank list.
func (a *app) writeRosterForm(o formOptions) error {
	path, err := a.workbookPath(o.out, o.replace)
	if err != nil {
		return err
	}
	paper, err := a.paperOf(o.paper)
	if err != nil {
		return err
	}
	std, err := a.standards(a.knownNow(civil.Of(a.now(), a.book.Zone())))
	if err != nil {
		return err
	}
	form := workbook.Form{Title: a.opening.Company, Created: a.now(), Paper: paper, Lists: rosterLists(std)}
	examples := workbook.Grid{Name: examplesSheet, Widths: []float64{16, 20, 20, 20, 20, 24, 16, 16, 16, 16, 16}, Wide: true}
	for _, s := range rosterSheets() {
		form.Grids = append(form.Grids, s.grid())
		examples.Rows = append(examples.Rows, s.rows(workbook.Caption, s.titles()), s.rows(workbook.Point, s.example), []workbook.FormCell{{}})
	}
	form.Grids = append(form.Grids, examples)
	if err := workbook.WriteForm(a.ctx, path, form); err != nil {
		return a.exportFailed(err)
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/roster-made/1", "file": o.out, "curriculum": std.Curriculum.Edition})
	}
	a.mark()
	a.say("wrote %s: People, Trainings, Tickets, Equipment, Saws, and Examples, which are not read", o.out)
	a.say("fill it in, then: ringtrue workbook read --roster %s", o.out)
	return nil
}

// examplesSheet is never read.
const examplesSheet = "Examples"

func rosterLists(std standards) []workbook.WordList {
	lists := []workbook.WordList{{Name: "yes or no", Words: []string{"yes", "no"}}, {Name: "module"}, {Name: "skill"}, {Name: "item"}}
	for _, m := range std.Modules {
		lists[1].Words = append(lists[1].Words, m.ID)
		for _, s := range m.Skills {
			lists[2].Words = append(lists[2].Words, s.ID)
		}
	}
	for _, i := range std.PPE {
		lists[3].Words = append(lists[3].Words, i.ID)
	}
	return lists
}

func (s rosterSheet) titles() (titles []string) {
	for _, f := range s.fields {
		titles = append(titles, rosterFields[f].title)
	}
	return titles
}

func (s rosterSheet) rows(look workbook.Look, words []string) (cells []workbook.FormCell) {
	for _, w := range words {
		cells = append(cells, workbook.FormCell{Text: w, Look: look})
	}
	return cells
}

// grid is a sheet with open rows.
func (s rosterSheet) grid() workbook.Grid {
	g := workbook.Grid{Name: s.name, Wide: true, Open: true, Head: 2}
	blank := []workbook.FormCell{}
	for _, f := range s.fields {
		g.Widths = append(g.Widths, rosterFields[f].width)
		blank = append(blank, workbook.FormCell{Look: workbook.Fill, Check: rosterFields[f].check})
	}
	g.Rows = append(g.Rows, []workbook.FormCell{{Text: s.remark, Look: workbook.Remark, Across: len(s.fields)}}, s.rows(workbook.Caption, s.titles()))
	for range blankRows {
		g.Rows = append(g.Rows, blank)
	}
	return g
}

// rosterField is something that a list may say of a person, a training, a piece of equipment or a saw: its title on our
// blank list, other titles that offices give it, and what its cells take.
type rosterField struct {
	title string
	also  []string
	width float64
	check workbook.Check
	day   bool // it is a day
}

// rosterFields are known by these names, which --map gives; titles are compared without capitals, accents, spaces and signs.
var rosterFields = map[string]rosterField{
	"name":       {title: "Name", also: words("worker, employee, full name, worker name, employee name, person, who, issued to, held by, nom, nombre"), width: 24},
	"first-name": {title: "First name", also: words("given name, given names, first names, forename, prenom, nombres"), width: 16},
	"last-name":  {title: "Last name", also: words("surname, family name, nom de famille, apellido, apellidos"), width: 16},
	"short":      {title: "Short id", also: words("short, id, worker id, initials, code, employee number"), width: 12},
	"from":       {title: "First day", also: words("hired, hire date, date hired, hiring date, employed from, employment date, joined, date joined, date d embauche, fecha de ingreso, hired on, start, start date, started, employed since, since, date of hire"), width: 12, check: workbook.Check{Day: true}, day: true},
	"crew":       {title: "Crew", also: words("team, equipe, cuadrilla"), width: 12},
	"contact":    {title: "Contact", also: words("phone, telephone, mobile, cell, phone number, email, e-mail"), width: 20},
	"contract":   {title: "Sub-contractor document", also: words("sub-contractor, subcontractor, contract"), width: 24},
	"young":      {title: "Young until", also: words("young worker until"), width: 12, check: workbook.Check{Day: true}, day: true},
	"module":     {title: "Module", also: words("training, course, trained in, module id, topic"), width: 10, check: workbook.Check{List: "module"}},
	"skill":      {title: "Skill", also: words("skill id, signed off, sign-off, competency, signed off on"), width: 10, check: workbook.Check{List: "skill"}},
	"day":        {title: "Day", also: words("date, training date, date of training, course date, signed on, sign-off date, completed, completion date"), width: 12, check: workbook.Check{Day: true}, day: true},
	"document":   {title: "Document", also: words("document reference, certificate, cert, cert no, cert number, certificate number, certificate no, ticket number, ticket no, licence number, license number, card number, reference, ref, binder, proof, doc"), width: 28},
	"reason":     {title: "Why it is accepted", also: words("reason, basis, remark, remarks, comment"), width: 28},
	"ticket":     {title: "Ticket", also: words("ticket kind, kind of ticket, licence, license, qualification"), width: 18},
	"until":      {title: "Valid until", also: words("until, valid to, ticket until, ticket expires, cert exp, certificate expires, good until"), width: 12, check: workbook.Check{Day: true}, day: true},
	"item":       {title: "Item", also: words("ppe, equipment, ppe item, gear, piece"), width: 14, check: workbook.Check{List: "item"}},
	"size":       {title: "Size", width: 8},
	"standard":   {title: "Standard", also: words("norm, standard marked"), width: 16},
	"serial":     {title: "Number on it", also: words("serial, serial number, serial no, number"), width: 14},
	"made":       {title: "Made", also: words("made on, manufactured, date of manufacture, manufacture date"), width: 12},
	"replace-by": {title: "Replace by", also: words("expires, expiry, expiry date, expiration, expiration date, replacement date"), width: 12, check: workbook.Check{Day: true}, day: true},
	"source":     {title: "Who states that day", also: words("source, stated by"), width: 18},
	"own":        {title: "Own", also: words("worker's own, own equipment"), width: 8, check: workbook.Check{List: "yes or no"}},
	"issued":     {title: "Issued", also: words("issue date, issued on, date issued"), width: 12, check: workbook.Check{Day: true}, day: true},
	"saw":        {title: "Saw", also: words("saw id, saw number, saw no, machine"), width: 10},
	"spindle":    {title: "Spindle speed", also: words("spindle, max spindle speed, highest speed, rpm, max rpm"), width: 12},
	"blades":     {title: "Blade sizes", also: words("blades, blade size, blade, blade diameter, blade dia"), width: 14},
	"bore":       {title: "Bore", width: 8},
	"guard":      {title: "Guard", width: 18},
	"harness":    {title: "Harness", width: 20},
	"tank":       {title: "Tank", also: words("tank size"), width: 8},
	"service":    {title: "Service interval", also: words("service, service hours"), width: 10},
	"vibration":  {title: "Vibration", width: 10},
	"noise":      {title: "Noise", width: 10},
	"owner":      {title: "Owner", also: words("owned by"), width: 14},
}

// rosterKey makes titles equal that differ in capitals, accents, spaces and signs alone.
func rosterKey(title string) string {
	return strings.Join(strings.FieldsFunc(plain(title), func(r rune) bool {
		return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyz0123456789", r)
	}), "")
}
