package main

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// training lists what people were taught and shown, and their tickets.
func (e *exporter) training() entrySheet {
	what := map[string]string{training.KindAttendance: "was taught", training.KindOrientation: "orientation", training.KindNewAgain: "orientation due again", training.KindTicket: "ticket"}
	return entrySheet{trainingSheet, []workbook.Column{text("What", 18), text("Of", 14), text("Curriculum", 12), text("Language", 10), text("How understanding was tested", 46),
		kindOf("Until", workbook.Day), text("Document or topics", 50), text("Signature", 20)},
		func(h spooled, row func(...any)) error {
			of, document := fieldOf(h.Header, "module"), fieldOf(h.Header, "document")
			switch h.Kind {
			case training.KindOrientation:
				of, document = note("block ", fieldOf(h.Header, "block")), strings.Join(listOf(h.Data, "topics"), ", ")
			case training.KindNewAgain:
				document = fieldOf(h.Header, "reason")
			case training.KindTicket:
				of = fieldOf(h.Header, "what")
			}
			row(what[h.Kind], of, fieldOf(h.Header, "edition"), fieldOf(h.Header, "language"), fieldOf(h.Header, "understood"), dayCell(fieldOf(h.Header, "until")), document, h.signed.String())
			return nil
		}}
}

// looksSheet lists observations, a row for each criterion. What was said of the whole look stands in its first row.
func (e *exporter) looksSheet() entrySheet {
	columns := []workbook.Column{text("Skill", 7), tinted(text("Outcome", 15), []string{training.CriticalMissed.String()}, nil), text("Criterion", 18), kindOf("Critical", workbook.Flag),
		tinted(text("Seen", 10), []string{training.Missed}, nil), text("Value", 10), kindOf("Announced", workbook.Flag), text("Block", 8),
		text("Reasons, once a look", 40), text("Note, once a look", 30), text("Curriculum", 12), text("House rules", 12)}
	return entrySheet{lookSheet, columns, func(h spooled, row func(...any)) error {
		var marks []training.Mark
		if err := json.Unmarshal(ledger.Lookup(h.Data, "marks"), &marks); err != nil {
			return err
		}
		if len(marks) == 0 {
			marks = []training.Mark{{}}
		}
		outcome, edition, block, rules := fieldOf(h.Header, "outcome"), fieldOf(h.Header, "edition"), fieldOf(h.Header, "block"), fieldOf(h.Header, "house")
		reasons, remark := strings.Join(listOf(h.Data, "reasons"), "; "), fieldOf(h.Header, "note")
		announced, critical := flagOf(h.Header, "announced"), e.looks[edition]
		for _, m := range marks {
			row(h.Skill, outcome, m.Criterion, critical[h.Skill+" "+m.Criterion], m.Seen, m.Value, announced, block, reasons, remark, edition, rules)
			reasons, remark = "", ""
		}
		return nil
	}}
}

// decisions lists what was decided about people, and what they were named for.
func (e *exporter) decisions() entrySheet {
	columns := []workbook.Column{tinted(text("Decision", 24), []string{training.KindRestriction, training.KindWithdrawal, decisionWord(training.KindReleaseEnd)}, nil), text("Of", 30), kindOf("Until", workbook.Day), text("Level", 14), text("Limits", 24),
		long("Reason or basis", 40), text("Rests on", 30), text("Decided", 20), text("Told", 12), text("Signature", 20)}
	return entrySheet{decisionSheet, columns, func(h spooled, row func(...any)) error {
		field := func(name string) string { return fieldOf(h.Header, name) }
		of, level, reason, rests := h.Skill, field("level"), field("reason"), ""
		told, limits := field("told"), strings.TrimPrefix(field("limits")+note(", ground up to ", field("slope")), ", ")
		switch h.Kind {
		case training.KindSignOff:
			rests = e.shortRefs(listOf(h.Data, "evidence"))
		case training.KindLift:
			rests = e.shortRef(field("observation"))
		case training.KindRelease:
			of = field("group")
			if flagOf(h.Header, "opening") {
				reason = "opening release: credited, not yet seen here"
			}
			if flagOf(h.Header, "own_word") {
				reason = "own word, not yet seen here: " + field("basis")
			}
		case training.KindReleaseEnd:
			of = field("group")
		case training.KindStatement:
			reason, rests = field("says"), e.shortRef(field("entry"))
		case training.KindCredit:
			of, rests = field("module"), field("document")
		case training.KindAppointment:
			of, reason, limits = strings.Join(listOf(h.Data, "duties"), ", "), field("basis"), note("from ", field("from"))+note(", only ", strings.Join(listOf(h.Data, "skills"), ", "))
		case training.KindAppointmentEnd:
			of, limits = strings.Join(listOf(h.Data, "duties"), ", "), note("from ", field("from"))
		case training.KindTold:
			of, reason, told = field("decision")+" of "+field("of"), field("note"), note("by phone by ", e.name(field("decider")))
		}
		row(decisionWord(h.Kind), of, dayCell(field("until")), level, limits, reason, rests, field("independence"), told, h.signed.String())
		return nil
	}}
}

// decisionWord is the word of a decision in the trade's plain words.
func decisionWord(kind string) string {
	switch kind {
	case training.KindCredit:
		return "earlier training accepted"
	case training.KindAppointment:
		return "named as"
	case training.KindAppointmentEnd:
		return "named no longer"
	case training.KindReleaseEnd:
		return "release ended"
	case training.KindStatement:
		return "says"
	}
	return kind
}

// equipment lists every piece with what has become of it.
func (e *exporter) equipment() entrySheet {
	columns := []workbook.Column{text("Item", 16), text("Size", 8), text("Standard", 18), text("Number", 12), text("Made", 10), kindOf("Replace by", workbook.Day),
		text("Who says so", 20), kindOf("Own", workbook.Flag), kindOf("Last look", workbook.Day), tinted(text("State", 12), []string{condemned, "replace"}, []string{"look due"}), text("Why condemned", 30)}
	return entrySheet{ppeSheet, columns, func(h spooled, row func(...any)) error {
		field := func(name string) string { return fieldOf(h.Header, name) }
		p := piece{looked: e.dayOf(h.Happened), replaceBy: civil.None}
		if d, err := civil.Parse(field("replace_by")); err == nil {
			p.replaceBy = d
		}
		why := ""
		if t, ok := e.tally.pieces[h.ref]; ok {
			if t.looked.ref != 0 {
				p.looked = t.lookDay
			}
			p.returned, why = t.condition, t.reason
			if t.condemned.ref != 0 {
				p.condemned = condemned
			}
		}
		state := p.state(e.asked.Day, e.std.House.Int(house.InspectionDays))
		if _, struck := e.struck[h.ref]; struck {
			state = "" // it never was issued
		}
		row(field("item"), field("size"), field("standard"), field("serial"), field("made"), dayCell(field("replace_by")), field("source"), flagOf(h.Header, "own"), p.looked, state, why)
		return nil
	}}
}

// joins lists who acknowledged which check.
func (e *exporter) joins() entrySheet {
	columns := []workbook.Column{text("Check", 9), text("Block", 8), long("Visitor", 20), text("Saw", 8), text("Task group", 14), text("Level", 14), kindOf("Late", workbook.Flag), long("Briefed by", 20), text("How", 34)}
	return entrySheet{joinSheet, columns, func(h spooled, row func(...any)) error {
		var j store.Join
		if err := ledger.Decode(h.Data, &j); err != nil {
			return err
		}
		row(e.shortRef(j.Tailgate), j.Block, j.Visitor, j.Saw, j.Group, j.Level, j.Late, e.name(j.BriefedBy), j.How)
		return nil
	}}
}

// exposures lists everybody's time at the trigger, day by day: first what came of it, last what was counted.
func (e *exporter) exposures() entrySheet {
	columns := []workbook.Column{text("Day", 11), text("Check", 9), text("Block", 8), text("Saw", 8), countOf("Minutes at the trigger"), countOf("A(8) in m/s2"), countOf("Vibration points"),
		tinted(text("Vibration beyond", 12), []string{"limit"}, []string{"action"}), countOf("Noise dose in %, nothing worn"), kindOf("Loud", workbook.Flag),
		text("Vibration counted", 44), text("Noise counted", 20), text("Noise by", 84)}
	return entrySheet{exposureSheet, columns, func(h spooled, row func(...any)) error {
		field := func(name string) string { return fieldOf(h.Header, name) }
		row(field("day"), e.shortRef(field("tailgate")), field("block"), field("saw"), minutesOf(field("trigger")), numberIn(field("a8"), "m/s2"), numberIn(field("points"), "points"),
			field("over"), numberIn(field("dose"), "%"), flagOf(h.Header, "loud"), field("vibration"), field("noise"), field("criterion"))
		return nil
	}}
}

// numberIn is the number of a recorded quantity whose unit stands in the column's title; what is no such number stays blank.
func numberIn(quantity, unit string) any {
	n, err := strconv.ParseFloat(strings.TrimSuffix(quantity, unit), 64)
	if err != nil {
		return nil
	}
	return n
}

// minutesOf are the minutes of a time told in any unit.
func minutesOf(told string) any {
	q, err := units.Parse(told, units.Time)
	if err != nil {
		return nil
	}
	return math.Round(q.SI()/60*10) / 10
}
