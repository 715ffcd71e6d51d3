package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// who is the name in a row. Beside a column of family names "name" means the given one, and the other way round, unless the
// whole name stands there all the same.
func (t *rosterTable) who(row int) string {
	name, first, last := givenFirst(t.text(row, "name")), t.text(row, "first-name"), t.text(row, "last-name")
	switch {
	case name == "":
		return strings.TrimSpace(first + " " + last)
	case !t.has("first-name") && !strings.Contains(plain(name), plain(last)):
		return name + " " + last
	case !t.has("last-name") && !strings.Contains(plain(name), plain(first)):
		return first + " " + name
	}
	return name
}

// givenFirst turns "Ruiz, Ana" into "Ana Ruiz".
func givenFirst(name string) string {
	last, first, ok := strings.Cut(name, ",")
	last, first = strings.TrimSpace(last), strings.TrimSpace(first)
	if !ok || last == "" || first == "" || strings.Contains(first, ",") {
		return name
	}
	return first + " " + last
}

// whoField is the field that a problem with the name is told at.
func (t *rosterTable) whoField() string {
	if t.has("name") {
		return "name"
	}
	return "last-name"
}

// onList finds somebody on the crew list by whole name or short id. One word of a name is not enough here: a list may name
// somebody else of that name.
func (t *rosterTable) onList(name string) (store.Person, bool, error) {
	people, err := t.crew()
	if err != nil {
		return store.Person{}, false, err
	}
	if one, ok := people.byHandle[name]; ok {
		return one, true, nil
	}
	i := slices.IndexFunc(people.list, func(p store.Person) bool { return plain(p.Name) == plain(name) })
	if i < 0 {
		return store.Person{}, false, nil
	}
	return people.list[i], true, nil
}

// person puts somebody on the crew list. Only a sheet that tells of people does so: a name misspelt on another one is refused, and makes
// nobody. It gives 1 for somebody who is on the list.
func (t *rosterTable) person(row int) (already int, err error) {
	if !t.hasAny("name", "last-name") || !t.hasAny(personFields...) {
		return 0, nil
	}
	name := t.who(row)
	if name == "" {
		t.wrong(t.place(row, t.whoField()), mend, "the line has no name")
		return 0, nil
	}
	if who, on, err := t.onList(name); on || err != nil {
		if first, twice := t.added[who.ID]; twice {
			t.notes = append(t.notes, fmt.Sprintf("%s: %s stands in %s already; of two lines about a person only the first is taken", t.place(row, t.whoField()), name, first))
		}
		return 1, err
	}
	o := workerOptions{name: name, handle: plain(t.text(row, "short")), from: t.day(row, "from"), crew: t.text(row, "crew"),
		contact: t.text(row, "contact"), contract: t.text(row, "contract"), young: t.day(row, "young")}
	d, err := t.addWorker(o)
	t.at(t.place(row, t.whoField()), err)
	if err == nil {
		t.added[d.who.ID] = t.place(row, t.whoField())
		t.did(t.place(row, t.whoField()), fmt.Sprintf("%s on the crew list, short id %s%s", d.who.Name, d.who.Handle, note(", from ", o.from)), nil, d.refs...)
	}
	return 0, nil
}

// named finds the person of a row that is about one.
func (t *rosterTable) named(row int) (store.Person, bool) {
	name := t.who(row)
	if name == "" {
		t.wrong(t.place(row, t.whoField()), mend, "the line has no name")
		return store.Person{}, false
	}
	who, on, err := t.onList(name)
	t.at(t.place(row, t.whoField()), err)
	if err == nil && !on {
		next := "put them on the list, with a first day: ringtrue worker add"
		if people, err := t.crew(); err == nil {
			next = people.suggest(plain(name)) + "; or " + next
		}
		t.wrong(t.place(row, t.whoField()), next, "nobody called %q is on the crew list", name)
	}
	return who, on && err == nil
}

// training accepts past training, and skills signed off on paper, as credit in their modules.
func (t *rosterTable) training(row int) (already int, err error) {
	modules, skills := splitList(t.text(row, "module")), splitList(t.text(row, "skill"))
	if len(modules)+len(skills) == 0 || !t.hasAny("name", "last-name") {
		return 0, nil
	}
	who, ok := t.named(row)
	day, doc := t.pastDay(row), t.text(row, "document")
	if doc == "" {
		t.wrong(t.rowPlace(row, "document"), "name the certificate, the binder and page, or the letter", "past training needs the document behind it")
		doc = "missing" // the rest of the line is looked at all the same
	}
	if !ok {
		return 0, nil
	}
	std, err := t.standards(t.knownNow(civil.Of(t.now(), t.book.Zone())))
	if err != nil {
		return 0, err
	}
	why := note("; ", t.text(row, "reason"))
	for _, m := range modules {
		n, err := t.credited(row, "module", who, moduleOf(m, std), doc, "taught elsewhere"+note(" on ", day)+why)
		if err != nil {
			return already, err
		}
		already += n
	}
	for _, s := range skills {
		skill, module := skillOf(s, std)
		n, err := t.credited(row, "skill", who, module, doc, "skill "+skill+" signed off on paper"+note(" on ", day)+why)
		if err != nil {
			return already, err
		}
		already += n
	}
	return already, nil
}

// pastDayField is the field of the day of a past training or a ticket. On a list without equipment "issued" can mean nothing else.
func (t *rosterTable) pastDayField() string {
	if !t.has("day") && t.has("issued") && !t.has("item") {
		return "issued"
	}
	return "day"
}

// pastDay is the day of a past training or a ticket, which lies back.
func (t *rosterTable) pastDay(row int) string {
	field := t.pastDayField()
	day := t.day(row, field)
	if d, err := civil.Parse(day); day != "" && err == nil && d > civil.Of(t.now(), t.book.Zone()) {
		t.wrong(t.place(row, field), mend, "%s lies ahead; past training lies back", day)
	}
	return day
}

// rowPlace is place, or the name's where the sheet has no such column.
func (t *rosterTable) rowPlace(row int, field string) string {
	if !t.has(field) {
		field = t.whoField()
	}
	return t.place(row, field)
}

// splitList splits what names several: with commas or semicolons between.
func splitList(text string) []string { return words(strings.ReplaceAll(text, ";", ",")) }

// moduleOf finds a module by id or title; what is not found stays as it is, for the credit to refuse.
func moduleOf(text string, std standards) string {
	for _, m := range std.Modules {
		if rosterKey(text) == rosterKey(m.ID) || rosterKey(text) == rosterKey(m.Title) || rosterKey(text) == rosterKey(m.ID+m.Title) {
			return m.ID
		}
	}
	return text
}

// skillOf finds a skill by id or title, and the module that teaches it.
func skillOf(text string, std standards) (skill, module string) {
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			if text == s.ID || rosterKey(text) == rosterKey(s.Title) || rosterKey(text) == rosterKey(s.ID+s.Title) {
				return s.ID, m.ID
			}
		}
	}
	return text, ""
}

// credited accepts training in a module, unless the book has it with the same document.
func (t *rosterTable) credited(row int, field string, who store.Person, module, doc, reason string) (already int, err error) {
	if module == "" {
		t.wrong(t.place(row, field), "see: ringtrue skill list", "%q is no skill of the curriculum", t.text(row, field))
		return 0, nil
	}
	asked := t.knownNow(1 << 20)
	facts, err := t.book.Topic(t.ctx, asked, who.ID, module)
	if err != nil {
		return 0, err
	}
	for _, f := range facts {
		if f.Struck || f.Kind != training.FactCredit {
			continue
		}
		var rec training.Credit
		if _, err := t.book.Entry(t.ctx, f.Entry, &rec); err != nil {
			return 0, err
		}
		if rec.Document == doc {
			return 1, nil
		}
	}
	d, err := t.credit(who.Handle, module, reason, doc, "")
	t.at(t.place(row, field), err)
	if err == nil {
		t.did(t.place(row, field), fmt.Sprintf("%s: earlier training accepted in %s: %s (%s)", who.Handle, module, reason, doc), nil, d.refs...)
	}
	return 0, nil
}

// piece issues equipment, unless the person holds the same piece.
func (t *rosterTable) piece(row int) (already int, err error) {
	if t.text(row, "item") == "" || !t.hasAny("name", "last-name") {
		return 0, nil
	}
	who, ok := t.named(row)
	if !ok {
		return 0, nil
	}
	std, err := t.standards(t.knownNow(civil.Of(t.now(), t.book.Zone())))
	if err != nil {
		return 0, err
	}
	o := issueOptions{worker: who.Handle, item: itemOf(t.text(row, "item"), std), at: t.day(row, "issued")}
	o.Size, o.Standard, o.Serial, o.Source = t.text(row, "size"), t.text(row, "standard"), t.text(row, "serial"), t.text(row, "source")
	o.Made, o.ReplaceBy = t.made(row), t.day(row, "replace-by")
	if own := t.text(row, "own"); own != "" {
		o.Own, err = yesNo("own", own)
		t.at(t.place(row, "own"), err)
	}
	pieces, err := t.pieces(who.ID, t.knownNow(1<<20))
	if err != nil {
		return 0, err
	}
	if slices.ContainsFunc(pieces, func(p piece) bool {
		return p.Item == o.item && p.Size == o.Size && p.Serial == o.Serial && p.Standard == o.Standard && p.returned == "" &&
			(o.Made == "" || p.Made == o.Made) && (o.ReplaceBy == "" || p.ReplaceBy == o.ReplaceBy)
	}) {
		return 1, nil
	}
	d, item, err := t.issue(o)
	t.at(t.place(row, "item"), err)
	if err == nil {
		t.did(t.place(row, "item"), who.Handle+" holds: "+item.Title, nil, d.refs...)
	}
	return 0, nil
}

// made is the month or day of manufacture: a serial number where a program took it for a day.
func (t *rosterTable) made(row int) string {
	text := t.text(row, "made")
	if _, ok := number(text); ok && len(text) > len("2026") {
		if d, err := dayOf(t.file, text); err == nil {
			return d.String()
		}
	}
	return text
}

func itemOf(text string, std standards) string {
	for _, i := range std.PPE {
		if rosterKey(text) == rosterKey(i.ID) || rosterKey(text) == rosterKey(i.Title) {
			return i.ID
		}
	}
	return text
}

// saw puts a saw on the list, unless it is there: its card is not changed.
func (t *rosterTable) saw(row int) (already int, err error) {
	id := t.text(row, "saw")
	if !t.isSaws() {
		return 0, nil
	}
	if id == "" {
		if t.text(row, "spindle")+t.text(row, "blades") != "" {
			t.wrong(t.place(row, "saw"), mend, "the line has no saw")
		}
		return 0, nil
	}
	list, err := t.saws(t.knownNow(1 << 20))
	if err != nil {
		return 0, err
	}
	if slices.ContainsFunc(list, func(s sawCard) bool { return s.ID == id }) {
		return 1, nil
	}
	var o sawOptions
	o.ID, o.Spindle, o.sizes, o.Bore = id, t.text(row, "spindle"), t.text(row, "blades"), t.text(row, "bore")
	o.Guard, o.Harness, o.Tank, o.Service = t.text(row, "guard"), t.text(row, "harness"), t.text(row, "tank"), t.text(row, "service")
	o.Vibration, o.Noise, o.owner = t.text(row, "vibration"), t.text(row, "noise"), t.text(row, "owner")
	_, card, refs, err := t.addSaw(o)
	t.at(t.place(row, "saw"), err)
	if err == nil {
		t.did(t.place(row, "saw"), fmt.Sprintf("saw %s, spindle up to %s, blades %s to %s", card.ID, card.Spindle, card.BladeMin, card.BladeMax), nil, refs...)
	}
	return 0, nil
}
