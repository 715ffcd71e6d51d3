package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/workbook"
)

const (
	findingSheet = "Findings"
	daySheet     = "Days"
)

// tailgates lists the checks with what their days brought: changes, calls, closes, each in a row of its own.
func (e *exporter) tailgates() workbook.Sheet {
	columns := []workbook.Column{text("Entry", 9), kindOf("Happened", workbook.Moment), kindOf("Recorded", workbook.Moment), text("What", 16), text("Of check", 9), text("Block", 8),
		tinted(text("Answer", 16), []string{string(hazards.Hold)}, nil), long("In words", 60), countOf("On the sheet"), countOf("Joined"),
		countOf("Changes"), countOf("Calls"), tinted(text("Missed", 8), []string{"missed"}, nil), long("Accepted or decided by", 20), long("Answers that changed", 40), long("Recorded by", 22), text("Signature", 20), long("Struck", 30)}
	return e.table(tailgateSheet, columns, func(yield func(...any) bool) error {
		return e.each(tailgateSheet, func(h spooled) (bool, error) {
			struck, err := e.struckText(h.ref)
			if err != nil {
				return false, err
			}
			what, own := e.dayCells(h)
			row := append([]any{e.book.Short(h.ref), h.Happened, h.Recorded, what, e.shortRef(fieldOf(h.Header, "tailgate")), fieldOf(h.Header, "block")}, own...)
			return yield(append(row, e.name(h.By), h.signed.String(), struck)...), nil
		})
	})
}

// dayCells says what an entry of a day is, and gives its cells from Answer to the answers that changed.
func (e *exporter) dayCells(h spooled) (what string, cells []any) {
	field := func(name string) string { return fieldOf(h.Header, name) }
	assessment := ledger.Lookup(h.Data, "assessment")
	answer := ledger.Text(ledger.Lookup(assessment, "answer"))
	switch h.Kind {
	case store.KindTailgate:
		t := tallyOf(e.tally.checks, h.ref)
		missed := ""
		if t.missed > 0 {
			missed = "missed"
		}
		return "check", []any{answer, e.people.inText(ledger.Text(ledger.Lookup(assessment, "sentence"))), len(crewOf(h.Header)), t.joined, t.changes, t.calls, missed,
			e.name(ledger.Text(ledger.Lookup(assessment, "accepted_by"))), e.inText(listOf(h.Data, "changed"))}
	case store.KindChange:
		words := strings.Join(notEmpty(field("words"), note("decided: ", field("decision")), note("told: ", strings.Join(eachOf(listOf(h.Data, "told"), e.people.handle), ", ")), note("moved to ", field("moved_to"))), "; ")
		return "change: " + field("what"), []any{answer, e.people.inText(words), nil, nil, nil, nil, "", e.name(field("decided_by")), e.inText(listOf(h.Data, "changed"))}
	case store.KindCheckIn:
		words, missed := "called"+note(", ", field("how")), ""
		if flagOf(h.Header, "missed") {
			words, missed = "did not call"+note("; done about it: ", field("action")), "missed"
		}
		return "call", []any{"", e.name(h.Worker) + " " + words, nil, nil, nil, nil, missed, "", ""}
	}
	return "close", []any{"", e.closeWords(h), nil, nil, nil, nil, "", "", ""}
}

// closeWords says what the evening came to.
func (e *exporter) closeWords(h spooled) string {
	missing := append(eachOf(listOf(h.Data, "missing"), e.people.handle), listOf(h.Data, "visitors_missing")...)
	return strings.Join(notEmpty("counted: "+orNobody(eachOf(listOf(h.Data, "here"), e.people.handle)), note("MISSING: ", strings.Join(missing, ", ")),
		note("close calls: ", strings.Join(listOf(h.Data, "close_calls"), ", ")), note("tomorrow: ", strings.Join(listOf(h.Data, "tomorrow"), ", "))), "; ")
}

func notEmpty(list ...string) (out []string) {
	for _, s := range list {
		if s != "" {
			out = append(out, s)
		}
	}
	return out
}

// findings lists what the checks, and the changes of their days, found.
func (e *exporter) findings() workbook.Sheet {
	columns := []workbook.Column{text("Entry", 9), kindOf("Happened", workbook.Moment), text("Found at", 10), text("Block", 8), text("Topic", 12),
		tinted(text("What stops", 12), []string{string(hazards.StopSite), string(hazards.StopPerson), string(hazards.StopSaw)}, nil), text("About", 22), long("What", 60),
		text("Level before", 13), text("Level after", 13), long("Because", 50), long("Lowered by", 50), long("Controls", 40), long("Struck", 30)}
	return e.table(findingSheet, columns, func(yield func(...any) bool) error {
		for one, err := range e.spools[tailgateSheet].all() {
			if err == nil && one.Kind != store.KindTailgate && one.Kind != store.KindChange {
				continue
			}
			goOn := err == nil
			if err == nil {
				goOn, err = e.findingRows(one, yield)
			}
			if err != nil || !goOn {
				return err
			}
		}
		return nil
	})
}

func (e *exporter) findingRows(h spooled, yield func(...any) bool) (bool, error) {
	var list []hazards.Finding
	if err := json.Unmarshal(ledger.Lookup(ledger.Lookup(h.Data, "assessment"), "findings"), &list); err != nil {
		return false, fmt.Errorf("findings of entry %s: %w", e.book.Short(h.ref), err)
	}
	struck, err := e.struckText(h.ref)
	if err != nil {
		return false, err
	}
	found := "check"
	if h.Kind == store.KindChange {
		found = "change"
	}
	for _, f := range list {
		if found == "check" && struck == "" {
			e.charts.finding(f)
		}
		about := strings.TrimSpace(f.Of + " " + e.people.handle(f.Subject))
		if !yield(e.book.Short(h.ref), h.Happened, found, fieldOf(h.Header, "block"), f.Topic, string(f.Effect), about, e.people.inText(f.What), f.LevelBefore, f.LevelAfter,
			e.inText(f.Reasons), e.inText(f.Lower), e.inText(f.Controls), struck) {
			return false, nil
		}
	}
	return true, nil
}

// daysSheet lists the days on which something is missing.
func (e *exporter) daysSheet() workbook.Sheet {
	columns := []workbook.Column{kindOf("Day", workbook.Day), text("Block", 8), tinted(text("What is missing", 24), []string{noTailgate}, []string{neverClosed, notClosedYet}),
		countOf("Looks"), countOf("Upkeep lines"), countOf("Saw time"), countOf("Tailgate checks"), text("First entry", 12)}
	return e.table(daySheet, columns, func(yield func(...any) bool) error {
		for _, d := range e.tally.oddDays(e.asked.Day) {
			if !yield(d.day, d.block, d.what, d.looks, d.upkeep, d.sawTime, d.checks, e.book.Short(d.first)) {
				return nil
			}
		}
		return nil
	})
}
