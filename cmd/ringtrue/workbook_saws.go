package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
)

// sawsSheet lists everything recorded of the saws: cards, blades, who had them, upkeep, defects, tags and clearings.
func (e *exporter) sawsSheet() workbook.Sheet {
	columns := []workbook.Column{text("Entry", 9), kindOf("Happened", workbook.Moment), kindOf("Recorded", workbook.Moment), text("Saw", 8), text("What", 16), long("In words", 50),
		tinted(text("State now", 12), []string{sawStopped}, nil), kindOf("Stops the saw", workbook.Flag), text("Of entry", 12), text("Blade", 8), long("Worker", 22), text("Person id", 11), text("Block", 8), text("Engine hours", 9),
		text("Area", 9), long("Recorded by", 22), long("Struck", 30)}
	return e.table(sawSheet, columns, func(yield func(...any) bool) error {
		states, err := e.sawStates()
		if err != nil {
			return err
		}
		return e.each(sawSheet, func(h spooled) (bool, error) {
			field := func(name string) string { return fieldOf(h.Header, name) }
			saw, state := field("saw"), ""
			if h.Kind == store.KindSaw {
				saw = field("id")
				state = states[saw]
			}
			words, err := e.sawWords(h)
			if err != nil {
				return false, err
			}
			struck, err := e.struckText(h.ref)
			return yield(e.book.Short(h.ref), h.Happened, h.Recorded, saw, sawKinds[h.Kind], words, state, h.Kind == store.KindTag || flagOf(h.Header, "stops"),
				e.shortRefs(listOf(h.Data, "clears")), field("blade"), e.people.byID[h.Worker].Name, h.Worker, field("block"), field("hours"), field("area"), e.name(h.By), struck), err
		})
	})
}

// sawKinds are the kinds of entries about saws in plain words.
var sawKinds = map[string]string{
	store.KindSaw: "card", store.KindRetire: "retired", store.KindBladeFitted: "blade fitted", store.KindBladeScrapped: "blade scrapped", store.KindSawUse: "had it",
	store.KindUpkeep: "upkeep", store.KindRefuel: "refuelled", store.KindFiling: "filed", store.KindSetting: "teeth set", store.KindDefect: "defect",
	store.KindTag: "tagged out", store.KindClear: "cleared", store.KindLookAgain: "looked at again", store.KindFitting: "fitted to worker",
}

func howOften(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// sawStates tells of each saw how it stands at the moment asked.
func (e *exporter) sawStates() (map[string]string, error) {
	list, err := e.saws(e.asked)
	if err != nil {
		return nil, err
	}
	states := map[string]string{}
	for _, card := range list {
		s, err := e.standOf(card, e.asked)
		if err != nil {
			return nil, err
		}
		states[card.ID] = s.word()
	}
	return states, nil
}

// sawWords says in a line what an entry about a saw holds.
func (e *exporter) sawWords(h spooled) (string, error) {
	field := func(name string) string { return fieldOf(h.Header, name) }
	switch h.Kind {
	case store.KindSaw:
		var s upkeep.Saw
		err := ledger.Decode(h.Data, &s)
		return "spindle up to " + s.Spindle + ", blades " + sizesOf(s) + note(", guard: ", s.Guard) + note(", harness: ", s.Harness) + note(", own saw of ", e.name(s.Owner)), err
	case store.KindUpkeep:
		var l upkeep.Line
		err := ledger.Decode(h.Data, &l)
		l.Hours, l.Area = "", "" // they have columns
		return lineWords(l), err
	case store.KindDefect:
		var d upkeep.Defect
		err := ledger.Decode(h.Data, &d)
		d.Blade = ""
		return defectWords(d) + note(", found by ", e.name(d.By)), err
	case store.KindBladeFitted:
		return strings.Join(notEmpty(field("diameter"), note("bore ", field("bore")), note("rated ", field("rated")), note("corrects what was recorded: ", field("corrects"))), ", "), nil
	case store.KindRefuel, store.KindFiling:
		var n int
		err := json.Unmarshal(ledger.Lookup(h.Data, "count"), &n)
		return howOften(n) + note(", ", field("litres")) + note(", after ", field("after")), err
	case store.KindSetting:
		return note("set ", field("width")), nil
	case store.KindClear:
		return field("done") + note(", replaced: ", field("part")) + note(", second look by ", e.name(field("second"))), nil
	case store.KindFitting:
		return "hook " + field("hook") + ", blade " + field("height") + note(", elbow ", field("elbow")) + note(", wrist ", field("wrist")), nil
	}
	return strings.TrimPrefix(field("reason")+note("; ", field("note")), "; "), nil
}
