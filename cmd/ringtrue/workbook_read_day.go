package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// takeLooks records the looks of an observation form: one for each worker who has a mark.
func (f *filledForm) takeLooks() error {
	before := f.told
	top := f.captions(lookCaptions)
	broken := f.told > before
	observer, place := f.need(labelObserver, top)
	if observer != "" {
		_, err := f.person(observer)
		f.at(place, err)
	}
	day, ok := f.dayBeside(labelDay, top)
	block, err := f.blockBeside(top)
	if top < 0 || broken || err != nil {
		return err
	}
	on := civil.Of(f.now(), f.book.Zone()) // where the day is wrong, the cells are looked at all the same
	if ok {
		on, _ = civil.Parse(day) // it was read before
	}
	std, err := f.standards(f.knownNow(on))
	if err != nil {
		return err
	}
	before = f.told
	points := f.points(top, std)
	if f.told > before {
		return nil
	}
	f.sayBeside(top, f.width(), labelObserver, labelDay, labelBlock)
	head, looks := f.p.err(), map[string]string{}
	for c := lookAhead; c < f.width(); c++ {
		l := f.lookIn(c, top, points, std)
		l.block, l.at = block, momentText(day, l.at)
		if len(l.skills) == 0 || f.lookTwice(l, f.place(top, c), looks) {
			continue
		}
		err := f.by(observer, func() error {
			done, err := f.observe(l)
			if head != nil {
				f.notYet(done) // nothing is recorded, but who missed a critical point is to be stopped
				return nil
			}
			if err == nil {
				f.did(f.place(top, c), done.text(f.app), append(done.notes, f.notYet(done)...), done.refs...)
			}
			return err
		})
		f.at(f.place(top, c), err)
	}
	return nil
}

// lookTwice refuses a second look of the form at one worker's skill at one moment: it would count as two.
func (f *filledForm) lookTwice(l lookOptions, place string, looks map[string]string) (twice bool) {
	who, err := f.person(l.worker)
	if err != nil {
		return false // told where the look is recorded
	}
	for _, s := range l.skills {
		key := who.ID + " " + s + " " + l.at
		if first, again := looks[key]; again {
			f.wrong(place, "give each look its own time, or take one of the columns out", "a look at %s at skill %s at the same time stands in %s already", who.Handle, s, first)
			return true
		}
		looks[key] = place
	}
	return false
}

// blockBeside reads the block, whatever its capitals.
func (f *filledForm) blockBeside(above int) (string, error) {
	text, place := f.beside(labelBlock, above)
	cards, err := f.cards(f.knownNow(civil.Of(f.now(), f.book.Zone())))
	if err != nil {
		return "", err
	}
	for _, c := range cards {
		if strings.EqualFold(c.ID, text) {
			return c.ID, nil
		}
	}
	f.at(place, f.knownBlock(text))
	return text, nil
}

// notYet says of looks that are only tried that they stop nobody yet.
func (f *filledForm) notYet(l look) (notes []string) {
	for i, s := range l.skills {
		if l.outcomes[i] != training.CriticalMissed {
			continue
		}
		stop := fmt.Sprintf("ringtrue skill restrict %s %s --reason \"critical criterion missed\"", l.who.Handle, s.ID)
		f.stops = append(f.stops, stop)
		if !f.o.record {
			notes = append(notes, "NOT STOPPED YET: it counts once it is recorded, or stop it now: "+stop)
		}
	}
	return notes
}

// width is the number of columns in which something stands.
func (f *filledForm) width() (n int) {
	for _, row := range f.rows {
		n = max(n, len(row))
	}
	return n
}

// points finds the rows of the points by their ids, and refuses what was added, taken out or stands twice.
func (f *filledForm) points(top int, std standards) map[string]int {
	points, asked := map[string]int{}, f.pointsAsked(std)
	for r := top + 1; top >= 0 && r < len(f.rows); r++ {
		id := f.cell(r, 0)
		if id == "" || strings.Contains(id, " ") { // a caption
			continue
		}
		if _, twice := points[id]; twice {
			f.wrong(f.place(r, 0), mend, "%s stands twice", id)
		}
		if !slices.Contains(asked, id) {
			f.wrong(f.place(r, 0), "open the form it came from; rows are neither added nor taken out", "%s is no line of this form", id)
		}
		points[id] = r
	}
	lost := slices.DeleteFunc(asked, func(id string) bool { _, there := points[id]; return there })
	if len(lost) > 0 {
		f.wrong(fillSheet, "open the form it came from; rows are neither added nor taken out", "lines of the form are missing: %s", strings.Join(lost, ", "))
		return points
	}
	f.counted(len(points))
	return points
}

// pointsAsked lists the lines that the form was made with.
func (f *filledForm) pointsAsked(std standards) []string {
	ids := []string{rowTime, rowAnnounced, rowNote}
	for _, skill := range words(f.facts[formOf]) {
		s, _, err := std.skill(skill)
		f.at(formSheet, err)
		for _, c := range s.Criteria {
			ids = append(ids, s.ID+":"+c.ID)
		}
	}
	return ids
}

// lookIn reads the column of one worker. Without a mark it gives no skills.
func (f *filledForm) lookIn(c, top int, points map[string]int, std standards) lookOptions {
	l := lookOptions{worker: f.cell(top, c), note: f.cell(points[rowNote], c)}
	l.at = f.clock(f.cell(points[rowTime], c), f.place(points[rowTime], c))
	if l.announced = f.word(points[rowAnnounced], c, "yes", "no"); l.announced == "" && f.cell(points[rowAnnounced], c) != "" {
		l.announced = "no" // refused above; the rest is still looked at
	}
	said := l.note + f.cell(points[rowTime], c) + f.cell(points[rowAnnounced], c)
	for r := top + 1; r < len(f.rows); r++ {
		skill, criterion, ok := strings.Cut(f.cell(r, 0), ":")
		if ok && f.cell(r, c) != "" {
			f.mark(&l, r, c, skill, criterion, std)
		}
	}
	switch {
	case len(l.skills) == 0 && said != "":
		f.wrong(f.place(top, c), mend, "something is said of a look, but no point is marked")
	case len(l.skills) > 0 && l.worker == "":
		f.wrong(f.place(top, c), mend, "points are marked, but not for whom")
		l.skills = nil
	case len(l.skills) > 0 && f.cell(points[rowAnnounced], c) == "":
		f.wrong(f.place(points[rowAnnounced], c), mend, "say yes or no: did the worker know of the look beforehand")
		l.announced = "no" // refused, as above
	}
	return l
}

// mark adds what was seen of one criterion.
func (f *filledForm) mark(l *lookOptions, r, c int, skill, criterion string, std standards) {
	s, _, err := std.skill(skill)
	point, known := s.Criterion(criterion)
	if err != nil || !known {
		f.wrong(f.place(r, 0), mend, "%s:%s is no point of curriculum %s", skill, criterion, std.Curriculum.Edition)
		return
	}
	if !slices.Contains(l.skills, skill) {
		l.skills = append(l.skills, skill)
	}
	name := skill + ":" + criterion
	if point.Measured() && !strings.EqualFold(f.cell(r, c), training.NotSeen) {
		text := f.quantity(r, c, unitOf(point))
		if _, err := units.Parse(text, point.Of); err != nil {
			f.wrong(f.place(r, c), mend, "%v", err)
			return
		}
		l.values = append(l.values, name+"="+text)
		return
	}
	switch f.word(r, c, training.Met, training.Missed, training.NotSeen) {
	case training.Met:
		l.met = append(l.met, name)
	case training.Missed:
		l.missed = append(l.missed, name)
	case training.NotSeen:
		l.unseen = append(l.unseen, name)
	}
}

// takeTaught records who was taught what.
func (f *filledForm) takeTaught() error {
	before := f.told
	top := f.captions([]string{captionWho, captionName})
	f.counted(len(f.rows) - top - 1)
	broken := f.told > before
	teacher, _ := f.need(labelTeacher, top)
	day, ok := f.dayBeside(labelDay, top)
	clock, place := f.beside(labelTime, top)
	o := attendOptions{at: momentText(day, f.clock(clock, place))}
	o.lang, _ = f.beside(labelLanguage, top)
	o.test, _ = f.beside(labelUnderstood, top)
	if top < 0 || broken {
		return nil
	}
	for _, module := range words(f.facts[formOf]) {
		if !slices.ContainsFunc(f.rows[top], func(c string) bool { return strings.HasPrefix(c, module+" ") }) {
			f.wrong(fillSheet, "open the form it came from; columns are neither added nor taken out", "the column of module %s is missing", module)
		}
	}
	const ahead = 2
	f.sayBeside(top, slices.Index(f.rows[top], captionInitials)+1, labelTeacher, labelDay, labelTime, labelLanguage, labelUnderstood)
	head := f.p.err()
	for c := ahead; c < len(f.rows[top]); c++ {
		if f.cell(top, c) == captionInitials {
			continue
		}
		o.module, _, _ = strings.Cut(f.cell(top, c), " ")
		if o.workers = f.taughtIn(top, c); len(o.workers) == 0 || head != nil || !ok {
			continue
		}
		err := f.by(teacher, func() error {
			d, err := f.attend(o)
			if err == nil {
				f.did(f.place(top, c), fmt.Sprintf("%s taught %s by %s", strings.Join(o.workers, ", "), o.module, d.by.Handle), nil, d.refs...)
			}
			return err
		})
		f.at(f.place(top, c), err)
	}
	return nil
}

// taughtIn lists who has a yes in a column.
func (f *filledForm) taughtIn(top, c int) (workers []string) {
	for r := top + 1; r < len(f.rows); r++ {
		who := f.cell(r, 0)
		switch yes := f.word(r, c, "yes", "no"); {
		case yes != "" && who == "":
			f.wrong(f.place(r, 0), mend, "%s is said, but not of whom", yes)
		case yes == "yes":
			_, err := f.person(who)
			f.at(f.place(r, 0), err)
			workers = append(workers, who)
		}
	}
	return workers
}

// takeUpkeep records the lines of the saws that worked.
func (f *filledForm) takeUpkeep() error {
	before := f.told
	top := f.captions(upkeepCaptions())
	f.counted(len(f.rows) - top - 1)
	broken := f.told > before
	doer, _ := f.need(labelDoneBy, top)
	day, ok := f.dayBeside(labelDay, top)
	if top < 0 || broken {
		return nil
	}
	f.sayBeside(top, len(upkeepCaptions()), labelDoneBy, labelDay)
	head := f.p.err()
	list, err := f.saws(f.knownNow(1 << 20))
	if err != nil {
		return err
	}
	for r := top + 1; r < len(f.rows); r++ {
		if f.blank(r, 1) {
			continue
		}
		o := f.upkeepIn(r)
		if !f.sawIn(r, list) || head != nil || !ok {
			continue
		}
		o.at = day
		err := f.by(doer, func() error {
			d, what, refs, notes, err := f.upkeepLine(o)
			if err == nil {
				notes, err = f.withAgainst(refs, notes)
			}
			if err == nil {
				f.did(f.place(r, 0), what+", by "+d.by.Handle, notes, refs...)
			}
			return err
		})
		f.at(f.place(r, 0), err)
	}
	return nil
}

// withAgainst puts before the notes of a line what the book says against the saw that ran. An event answers for what is recorded only.
func (f *filledForm) withAgainst(refs []training.Ref, notes []string) ([]string, error) {
	said, lines, err := f.usesRecorded(refs)
	if !f.o.record {
		said = said[:len(lines)]
	}
	return append(said, notes...), err
}

// sawIn reports whether a line names a saw of the list, and refuses one that does not.
func (f *filledForm) sawIn(r int, list []sawCard) bool {
	id := f.cell(r, 0)
	_, err := pickSaw(list, id)
	switch {
	case id == "":
		f.wrong(f.place(r, 0), mend, "the line does not say which saw")
	case err != nil:
		f.wrong(f.place(r, 0), "name one that is (ringtrue saw list), or put it on the list first: ringtrue saw add", "saw %q is not on the list", id)
	}
	return err == nil
}

// sayBeside names what was written where nothing is read: above the captions but beside no label, and right of the form's columns.
func (f *filledForm) sayBeside(top, columns int, labels ...string) {
	var beside []string
	for r := range f.rows {
		for c := 1; c < len(f.rows[r]); c++ {
			text := f.cell(r, c)
			read := r >= top && c < columns || r < top && slices.Contains(labels, f.cell(r, c-1))
			if text != "" && !read && !slices.Contains(labels, text) {
				beside = append(beside, fmt.Sprintf("%s (%s)", f.place(r, c), text))
			}
		}
	}
	if len(beside) > 0 {
		f.notes = append(f.notes, "written beside the form, and not read: "+strings.Join(beside, ", "))
	}
}

// blank reports whether nothing stands in a row from a column on.
func (f *filledForm) blank(r, from int) bool {
	for c := from; c < len(f.rows[r]); c++ {
		if f.cell(r, c) != "" {
			return false
		}
	}
	return true
}

// upkeepIn reads the line of one saw.
func (f *filledForm) upkeepIn(r int) lineOptions {
	var o lineOptions
	o.Saw = f.cell(r, 0)
	counts := map[string]*int{"Nut checks": &o.Nut, "Refuels": &o.Refuels, "Filings": &o.Filings, "Hits on rock": &o.Rock}
	texts := map[string]*string{"Mixture (L)": &o.Litres, "Engine (h)": &o.Hours, "Area (ha)": &o.Area, "Note": &o.Note}
	for i, c := range upkeepColumns {
		text := f.cell(r, i+1)
		switch {
		case text == "":
		case c.caption == "Daily":
			o.Daily = f.word(r, i+1, "yes", "no") == "yes"
		case c.caption == "Weekly":
			o.Weekly = f.word(r, i+1, "yes", "no") == "yes"
		case c.caption == "Left out":
			o.Left = words(text)
		case counts[c.caption] != nil:
			n, _ := number(text)
			v, err := strconv.Atoi(n)
			if err != nil {
				f.wrong(f.place(r, i+1), mend, "%q is no count", text)
			}
			*counts[c.caption] = v
		case c.unit != "":
			q := f.quantity(r, i+1, c.unit)
			if _, err := units.ParseAs(q, c.unit); err != nil {
				f.wrong(f.place(r, i+1), mend, "%v", err)
				continue
			}
			*texts[c.caption] = q
		default:
			*texts[c.caption] = text
		}
	}
	return o
}
