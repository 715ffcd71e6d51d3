package main

import (
	"strings"

	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// eventsSheet lists events, the actions given for them, and how these ended.
func (e *exporter) eventsSheet() workbook.Sheet {
	columns := []workbook.Column{text("Entry", 9), kindOf("Happened", workbook.Moment), kindOf("Recorded", workbook.Moment), text("What", 16), text("Of entry", 9), text("Block", 8), long("In words", 60), long("What it showed", 40),
		long("Owner", 20), kindOf("Due", workbook.Day), kindOf("Done", workbook.Day), tinted(text("State", 12), []string{"overdue"}, []string{"open"}), long("Told by", 20), long("Recorded by", 22), long("Struck", 30)}
	return e.table(eventSheet, columns, func(yield func(...any) bool) error {
		return e.each(eventSheet, func(h spooled) (bool, error) {
			struck, err := e.struckText(h.ref)
			if err != nil {
				return false, err
			}
			field := func(name string) string { return fieldOf(h.Header, name) }
			what, of, words, done, state := e.eventCells(h)
			if struck != "" {
				state = ""
			}
			return yield(e.book.Short(h.ref), h.Happened, h.Recorded, what, e.shortRef(of), field("block"), words, field("showed"),
				e.name(field("owner")), dayCell(field("due")), done, state, e.name(field("told_by")), e.name(h.By), struck), nil
		})
	})
}

// eventCells says what an entry is, of which entry, its words, when it was done and its state.
func (e *exporter) eventCells(h spooled) (what, of, words string, done any, state string) {
	field := func(name string) string { return fieldOf(h.Header, name) }
	name := ledger.Ref(h.Origin, h.Seq)
	switch h.Kind {
	case training.KindEvent:
		state = "open"
		if e.tally.closed[name] {
			state = "closed"
		}
		return field("kind"), "", field("what") + note("; asked since: ", field("question")) + note("; answers for the uses of entries ", e.shortRefs(listOf(h.Data, "answers"))), nil, state
	case training.KindAction:
		s := training.ActionState{Done: civil.None, Checked: e.tally.seen[name]}
		s.Due, _ = civil.Parse(field("due")) // a day that cannot be read is never overdue
		if day, ok := e.tally.done[name]; ok {
			s.Done, done = day, day
		}
		return "action", field("event"), field("what"), done, actionState(s, e.asked.Day)
	case training.KindActionDone:
		return "action done", field("action"), field("proof"), nil, ""
	case training.KindActionChecked:
		return "action checked", field("action"), "", nil, ""
	}
	return "event closed", field("event"), field("lesson"), nil, ""
}

// strikes lists what was struck, by whom and why: the strikes known by the moment asked, of entries on the other sheets.
func (e *exporter) strikes() workbook.Sheet {
	columns := []workbook.Column{text("Entry", 9), kindOf("Happened", workbook.Moment), kindOf("Recorded", workbook.Moment), text("Struck entry", 12), text("Kind", 16), long("Worker", 22), text("Skill", 8), kindOf("It happened", workbook.Moment),
		long("Reason", 60), long("Struck by", 22), long("Second person", 22), long("What it changed", 60), text("Signature", 20)}
	return e.table(struckSheet, columns, func(yield func(...any) bool) error {
		return e.each(struckSheet, func(h spooled) (bool, error) {
			var d store.Strike
			if err := ledger.Decode(h.Data, &d); err != nil {
				return false, err
			}
			ref, err := e.book.Ref(d.Entry)
			if err != nil {
				return false, err
			}
			was, err := e.book.Entry(e.ctx, ref, nil)
			if err != nil {
				return false, err
			}
			if was.Happened.Unix() > e.asked.On || !e.filter.when(was) && !e.filter.when(h.Header) || !e.filter.who(was.Worker) || !e.filter.where(fieldOf(was, "block")) {
				return true, nil
			}
			return yield(e.book.Short(h.ref), h.Happened, h.Recorded, e.shortRef(d.Entry), was.Kind, e.people.byID[was.Worker].Name, was.Skill, was.Happened, d.Reason, e.name(h.By), e.secondPerson(d), e.changed(d), h.signed.String()), nil
		})
	})
}

// secondPerson names who agreed to a strike, and how somebody outside the book was reached.
func (e *exporter) secondPerson(d store.Strike) string {
	if d.Second == "" {
		return ""
	}
	return e.name(d.Second) + note(", reached: ", d.Reached)
}

// changed says what a strike changed when it was made.
func (e *exporter) changed(d store.Strike) string {
	words := make([]string, len(d.Changes))
	for i, c := range d.Changes {
		words[i] = strikeWords(c, e.people)
	}
	return strings.Join(words, "; ")
}

// rulesSheet lists the local rules of the book's place, in the edition in force.
func (e *exporter) rulesSheet() workbook.Sheet {
	columns := []workbook.Column{text("Rule", 24), text("Place", 9), text("Topics", 24), long("Cites", 36), long("Duty in our words", 70), long("Where to read it", 44), long("How far it was read", 30), kindOf("Ended", workbook.Day), long("Note", 40)}
	s := e.table("Local rules", columns, func(yield func(...any) bool) error {
		edition, err := e.localRules(e.asked)
		if err != nil {
			return err
		}
		for _, j := range edition.Line(e.opening.Jurisdiction) {
			for _, r := range j.Rules {
				if !yield(r.ID, j.Code, strings.Join(append([]string{r.Topic}, r.Also...), ", "), cites(r), r.Duty, r.Reference, r.How(), dayCell(r.Ended), r.Note) {
					return nil
				}
			}
		}
		return nil
	})
	s.Note += " " + rules.Closing
	return s
}
