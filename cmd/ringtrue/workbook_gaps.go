package main

import (
	"fmt"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// yearDays is how far ahead the sheet of gaps looks (company choice).
const yearDays = 365

// States of what is missing or falls due, beside the words of a standing.
const (
	gapMissing = "missing"
	gapOver    = "ran out"
	gapSoon    = "ends soon"
	gapLater   = "ends later"
)

// gapLine is something that is missing or ends within a year.
type gapLine struct {
	planLine
	state string
}

// gapSheet lists for everybody what is missing, and what ends within a year.
func (e *exporter) gapSheet() workbook.Sheet {
	columns := []workbook.Column{long("Worker", 22), text("Person id", 11), text("Crew", 10), text("What", 13), long("Of", 34),
		tinted(text("State", 15), []string{string(training.Restricted), gapOver, "replace"}, []string{string(training.Due), gapSoon, "look due"}), kindOf("When", workbook.Day), long("Still needed", 54), long("Who may look", 30)}
	return e.table("Gaps and due", columns, func(yield func(...any) bool) error {
		for _, w := range e.here() {
			topics, err := e.book.Facts(e.ctx, e.asked, w.Worker)
			if err != nil {
				return err
			}
			lines, err := e.gapsOf(w, topics)
			if err != nil {
				return err
			}
			for _, l := range lines {
				e.charts.falls(l)
				if !yield(w.Name, w.Worker, w.Crew, l.What, l.Of, l.state, dayCell(l.When), strings.Join(l.Why, "; "), e.nearest(w.Crew, l.May)) {
					return nil
				}
			}
		}
		return nil
	})
}

// mostLookers is how many of those who may look are named in a row (company choice).
const mostLookers = 4

// nearest names some of those who may look, those of the worker's own crew first, and counts the others.
func (e *exporter) nearest(crew string, may []string) string {
	if len(may) <= mostLookers {
		return strings.Join(may, ", ")
	}
	of := map[string]string{}
	for _, w := range e.onList {
		of[w.Short] = w.Crew
	}
	var own, others []string
	for _, short := range may {
		if crew != "" && of[short] == crew {
			own = append(own, short)
		} else {
			others = append(others, short)
		}
	}
	named := append(own, others...)[:mostLookers]
	return fmt.Sprintf("%s and %d more", strings.Join(named, ", "), len(may)-mostLookers)
}

func (e *exporter) gapsOf(w onList, topics store.Topics) (lines []gapLine, err error) {
	due, err := e.orientationDue(topics, "", e.std.House, e.asked)
	if err != nil {
		return nil, err
	}
	if due != nil {
		lines = append(lines, gapLine{planLine{Worker: w.Worker, What: "orientation", Why: due}, gapMissing})
	}
	for _, more := range []func(onList, store.Topics) ([]gapLine, error){e.skillGaps, e.ticketGaps, e.namedGaps, e.pieceGaps} {
		list, err := more(w, topics)
		if err != nil {
			return nil, err
		}
		lines = append(lines, list...)
	}
	return lines, nil
}

// skillGaps lists the skills not held with what is still needed, and the sign-offs that end within a year.
func (e *exporter) skillGaps(w onList, topics store.Topics) (lines []gapLine, err error) {
	needed, err := e.planSkills(w.Worker, topics, e.std, e.asked)
	if err != nil {
		return nil, err
	}
	words := map[string]standLine{}
	for _, l := range e.stands[w.Worker] {
		words[l.Skill] = l
	}
	for _, l := range needed {
		id, _, _ := strings.Cut(l.Of, " ")
		lines = append(lines, gapLine{l, words[id].Standing})
	}
	for _, l := range e.stands[w.Worker] {
		if until, err := civil.Parse(untilText(l.standingRow)); err == nil && l.Standing == string(training.SignedOff) {
			s, _, _ := e.std.Skill(l.Skill)
			lines = e.ends(lines, planLine{Worker: w.Worker, What: "skill", Of: l.Skill + " " + s.Title, When: until.String()}, until)
		}
	}
	return lines, nil
}

// ends adds a line for what ends on a day: ran out, soon, or within a year.
func (e *exporter) ends(lines []gapLine, l planLine, until civil.Day) []gapLine {
	switch left := until - e.asked.Day; {
	case left <= 0:
		return append(lines, gapLine{l, gapOver})
	case left <= soonDays:
		return append(lines, gapLine{l, gapSoon})
	case left <= yearDays:
		return append(lines, gapLine{l, gapLater})
	}
	return lines
}

func (e *exporter) ticketGaps(w onList, topics store.Topics) (lines []gapLine, err error) {
	list, err := e.tickets(topics, e.asked)
	for _, t := range list {
		if until, err := civil.Parse(t.Until); err == nil {
			lines = e.ends(lines, planLine{Worker: w.Worker, What: "ticket", Of: t.What, When: t.Until, Why: notEmpty(t.Document)}, until)
		}
	}
	return lines, err
}

// namedGaps lists what somebody was named for and is not any more, or will not be; what others name them for anew is none.
func (e *exporter) namedGaps(w onList, _ store.Topics) (lines []gapLine, err error) {
	list, err := e.appointments(e.asked)
	for _, p := range list {
		if p.worker == w.Worker && p.until != civil.None && !renewed(list, p, max(p.until, e.asked.Day)) {
			lines = e.ends(lines, planLine{Worker: w.Worker, What: "named as", Of: strings.Join(p.Duties, ", "), When: p.Until, Why: notEmpty(p.Basis)}, p.until)
		}
	}
	return lines, err
}

func (e *exporter) pieceGaps(w onList, _ store.Topics) (lines []gapLine, err error) {
	list, err := e.pieceLines(w.Worker, e.asked)
	for _, p := range list {
		l := planLine{Worker: w.Worker, What: "equipment", Of: p.Item, When: p.ReplaceBy, Why: []string{"entry " + p.Entry}}
		if p.State == "replace" || p.State == "look due" {
			lines = append(lines, gapLine{l, p.State})
		} else if until, err := civil.Parse(p.ReplaceBy); err == nil && p.State == "held" {
			lines = e.ends(lines, l, until)
		}
	}
	return lines, err
}
