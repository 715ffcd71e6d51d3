package main

import (
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/workbook"
	"example.org/ringtrue/training"
)

// standLine is where a worker stands with a skill, and the entry that this rests on (0: none).
type standLine struct {
	standingRow
	rests training.Ref
}

// standings answers for everybody on the crew list who has not left and whom the filter keeps. The entries that an
// answer rests on are noted, so that their rows can be found.
func (e *exporter) standings() (map[string][]standLine, error) {
	all, err := sideBySide(e.app, e.here(), func(b *store.Book, w onList, into [][]standLine) ([][]standLine, error) {
		topics, err := b.Facts(e.ctx, e.asked, w.Worker)
		return append(into, e.standLines(w.Worker, topics, e.std.readBy(e.app, b))), err
	})
	if err != nil {
		return nil, err
	}
	of := map[string][]standLine{}
	for i, w := range e.here() {
		of[w.Worker] = all[i]
		for _, l := range all[i] {
			e.rowOf[l.rests] = workbook.Link{}
		}
	}
	return of, nil
}

// here lists those on the crew list who have not left and whom the filter keeps.
func (e *exporter) here() (list []onList) {
	for _, w := range e.onList {
		if w.Left == "" && e.filter.who(w.Worker) {
			list = append(list, w)
		}
	}
	return list
}

func (e *exporter) standLines(id string, topics store.Topics, std standards) (lines []standLine) {
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			if s.Withdrawn {
				continue
			}
			row, st := e.row(id, s.ID, std.of(topics, s.ID), e.asked)
			line := standLine{standingRow: row}
			for _, r := range st.Reasons {
				if line.rests == 0 {
					line.rests = r.Entry
				}
			}
			lines = append(lines, line)
		}
	}
	return lines
}

// cell is the word of a standing, leading to the row of the entry that it rests on.
func (e *exporter) cell(l standLine) any {
	to, ok := e.rowOf[l.rests]
	if !ok || to.Sheet == "" {
		return l.Standing
	}
	to.Text = l.Standing
	return to
}

// The two tints of a standing.
var (
	standStopped = []string{string(training.Restricted)}
	standSoon    = []string{string(training.Due)}
)

// matrixSheet is crew by skill: a word in every cell, and beside the name what is stopped and why.
func (e *exporter) matrixSheet() workbook.Sheet {
	columns := []workbook.Column{long("Worker", 22), text("Person id", 11), text("Crew", 10), long("What to look at", 50)}
	for _, m := range e.std.Modules {
		for _, s := range m.Skills {
			if !s.Withdrawn {
				columns = append(columns, tinted(text(s.ID+" "+s.Title, 14), standStopped, standSoon))
			}
		}
	}
	s := e.table("Standing", columns, func(yield func(...any) bool) error {
		for _, w := range e.here() {
			lines := e.stands[w.Worker]
			row := []any{w.Name, w.Worker, w.Crew, lookAt(lines)}
			for _, l := range lines {
				row = append(row, e.cell(l))
			}
			if !yield(row...) {
				return nil
			}
		}
		return nil
	})
	s.Note += " An underlined word leads to the entry it rests on; all reasons stand on the sheet " + whySheetName + "."
	return s
}

// lookAt says first what is stopped, with the reason, then what ends soon or ran out.
func lookAt(lines []standLine) string {
	var say, soon, out, all []string
	for _, l := range lines {
		all = append(all, l.Skill)
		switch training.Word(l.Standing) {
		case training.Restricted:
			say = append(say, l.Skill+" restricted: "+strings.Join(l.Reasons, "; "))
		case training.Due:
			soon = append(soon, l.Skill)
		case training.Lapsed:
			out = append(out, l.Skill)
		}
	}
	say = append(say, notEmpty(note("ends soon: ", runs(soon, all)), note("ran out: ", runs(out, all)))...)
	return strings.Join(say, "\n")
}

const whySheetName = "Standing and why"

// whySheet lists a row for each worker and skill, with all reasons.
func (e *exporter) whySheet() workbook.Sheet {
	columns := []workbook.Column{long("Worker", 22), text("Person id", 11), text("Skill", 8), long("Title", 38), tinted(text("Standing", 15), standStopped, standSoon), kindOf("Changes on", workbook.Day), long("Reasons", 92)}
	return e.table(whySheetName, columns, func(yield func(...any) bool) error {
		for _, w := range e.here() {
			for _, l := range e.stands[w.Worker] {
				s, _, _ := e.std.Skill(l.Skill)
				if !yield(w.Name, w.Worker, l.Skill, s.Title, e.cell(l), dayCell(untilText(l.standingRow)), strings.Join(l.Reasons, "; ")) {
					return nil
				}
			}
		}
		return nil
	})
}
