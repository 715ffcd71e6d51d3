package main

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/term"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// The matrix of the crew is laid out for one screen: the answer first, in a few lines, then crew by skills. Where all skills do not fit
// side by side it folds to modules, where those do not fit it leaves the last ones out, and where the crew is longer than the screen
// those with nothing to look at are left out. What is hidden is said.

// shortWords are what stands in the cells of the matrix; the legend below it says the whole word.
var shortWords = map[training.Word]string{
	training.UnderTraining: "train", training.ToDecide: "decide", training.SignedOff: "signed", training.Due: "due",
	training.Lapsed: "lapsed", training.Restricted: "STOP",
}

// What stands above the matrix, in this order: stops first.
var matrixHeads = []struct {
	word training.Word
	says string
}{
	{training.Restricted, "STOPPED"}, {training.Due, "ends soon"}, {training.Lapsed, "lapsed"}, {training.ToDecide, "to decide"},
}

// Room on a screen (company choice): how many are named in a line above the matrix, and how many lines stand beside it: the mark of a
// demo, how far the book knows, and the prompt.
const (
	mostNamed    = 4
	besideMatrix = 4
)

// crewMatrix is what is shown of the crew.
type crewMatrix struct {
	workers []string // ids, in the order of the list
	skills  []string
	cells   map[string]map[string]standingRow
	modules []training.Module
	people  *people
}

// matrixOf sorts the rows of an answer by worker and skill.
func matrixOf(rows []standingRow, std standards, people *people) *crewMatrix {
	m := &crewMatrix{cells: map[string]map[string]standingRow{}, people: people}
	for _, r := range rows {
		if m.cells[r.Worker] == nil {
			m.cells[r.Worker] = map[string]standingRow{}
			m.workers = append(m.workers, r.Worker)
		}
		if !slices.Contains(m.skills, r.Skill) {
			m.skills = append(m.skills, r.Skill)
		}
		m.cells[r.Worker][r.Skill] = r
	}
	for _, mod := range std.Modules {
		if slices.ContainsFunc(mod.Skills, func(s training.Skill) bool { return slices.Contains(m.skills, s.ID) }) {
			m.modules = append(m.modules, mod)
		}
	}
	return m
}

// lines lays the matrix out for a screen of so many columns and rows, on a day. As many of the crew are shown as then fit.
func (m *crewMatrix) lines(on civil.Day, columns, rows int) []string {
	most := len(m.workers)
	for {
		out := m.linesOf(on, columns, most)
		excess := len(out) + besideMatrix - rows
		if excess <= 0 || most <= 1 {
			return out
		}
		most = max(1, most-excess)
	}
}

// linesOf lays out at most so many of the crew.
func (m *crewMatrix) linesOf(on civil.Day, columns, most int) []string {
	shown, hidden := m.crewShown(most)
	header, cell := m.bySkill(), m.skillCells
	notes := []string{"train = under training, decide = evidence complete but nobody has decided, signed = signed off"}
	if tooWide(m.table(header, shown, cell), columns) {
		header, cell = m.byModule(), m.moduleCells
		notes = []string{fmt.Sprintf("2/4 = held of all skills of the module, STOP = one is restricted; %d skills are folded: ringtrue standing --module %s", len(m.skills), header[1])}
	}
	var cut []string
	for len(header) > 2 && tooWide(m.table(header, shown, cell), columns) {
		cut = slices.Insert(cut, 0, header[len(header)-1])
		header = header[:len(header)-1]
	}
	if len(cut) > 0 {
		notes = append(notes, "hidden, not wide enough: "+strings.Join(cut, ", "))
	}
	if hidden > 0 {
		notes = append(notes, fmt.Sprintf("hidden, not high enough: %d people, those with the least to look at; all: ringtrue standing | less", hidden))
	}
	out := append(append(m.headLines(on, columns), ""), m.table(header, shown, cell)...)
	out = append(out, "")
	for _, n := range notes {
		out = append(out, strings.Split(wrapped(n, columns), "\n")...)
	}
	return out
}

// headLines say what needs somebody, stops first.
func (m *crewMatrix) headLines(on civil.Day, columns int) []string {
	out := []string{fmt.Sprintf("%d people, %d skills, on %s", len(m.workers), len(m.skills), on)}
	for _, h := range matrixHeads {
		named := m.standing(h.word, on)
		if more := len(named) - mostNamed; more > 0 {
			named = append(named[:mostNamed], fmt.Sprintf("and %d more", more))
		}
		if len(named) > 0 {
			out = append(out, strings.Split(wrapped(h.says+": "+strings.Join(named, ", "), columns), "\n")...)
		}
	}
	return out
}

// standing names who stands so with which skill; where they are too many to name, each with how many skills.
func (m *crewMatrix) standing(word training.Word, on civil.Day) []string {
	var each, people []string
	for _, w := range m.workers {
		var of []string
		for _, s := range m.skills {
			if r := m.cells[w][s]; r.Standing == string(word) {
				of = append(of, m.people.handle(w)+" "+s+m.ends(word, r, on))
			}
		}
		each = append(each, of...)
		switch {
		case len(of) == 1:
			people = append(people, of[0])
		case len(of) > 1:
			people = append(people, m.people.handle(w)+" "+howMany(len(of), "skill"))
		}
	}
	if len(each) > mostNamed {
		return people
	}
	return each
}

// ends says when a sign-off ends, and how far away that is.
func (m *crewMatrix) ends(word training.Word, r standingRow, on civil.Day) string {
	if word != training.Due || r.Until == nil {
		return ""
	}
	return " on " + *r.Until + away(*r.Until, on)
}

// away says how far a day is from another, " (in 16 days)"; "" where the text is no day.
func away(day string, from civil.Day) string {
	d, err := civil.Parse(day)
	if err != nil {
		return ""
	}
	switch n := int(d - from); {
	case n == 0:
		return " (today)"
	case n == 1:
		return " (tomorrow)"
	case n == -1:
		return " (yesterday)"
	case n < 0:
		return fmt.Sprintf(" (%d days ago)", -n)
	default:
		return fmt.Sprintf(" (in %d days)", n)
	}
}

// crewShown are as many of the crew as fit, those with something to look at before the others, in the order of the list.
func (m *crewMatrix) crewShown(most int) (shown []string, hidden int) {
	if len(m.workers) <= most {
		return m.workers, 0
	}
	ranked := slices.Clone(m.workers)
	slices.SortStableFunc(ranked, func(a, b string) int { return m.rank(a) - m.rank(b) })
	keep := ranked[:most]
	for _, w := range m.workers {
		if slices.Contains(keep, w) {
			shown = append(shown, w)
		}
	}
	return shown, len(m.workers) - most
}

// rank is the place of the first heading that a worker stands under.
func (m *crewMatrix) rank(worker string) int {
	for i, h := range matrixHeads {
		for _, r := range m.cells[worker] {
			if r.Standing == string(h.word) {
				return i
			}
		}
	}
	return len(matrixHeads)
}

func (m *crewMatrix) bySkill() []string { return append([]string{"WORKER"}, m.skills...) }

func (m *crewMatrix) byModule() []string {
	header := []string{"WORKER"}
	for _, mod := range m.modules {
		header = append(header, mod.ID)
	}
	return header
}

func (m *crewMatrix) skillCells(worker, skill string) string {
	return shortWords[training.Word(m.cells[worker][skill].Standing)]
}

// moduleCells says how many skills of a module are held, of those that are shown.
func (m *crewMatrix) moduleCells(worker, module string) string {
	held, all := 0, 0
	for _, mod := range m.modules {
		if mod.ID != module {
			continue
		}
		for _, s := range mod.Skills {
			r, there := m.cells[worker][s.ID]
			if r.Standing == string(training.Restricted) {
				return shortWords[training.Restricted]
			}
			if there {
				all++
			}
			if r.Standing == string(training.SignedOff) || r.Standing == string(training.Due) {
				held++
			}
		}
	}
	if all == 0 {
		return ""
	}
	return fmt.Sprintf("%d/%d", held, all)
}

// table lays out the rows of those shown, as wide as they are.
func (m *crewMatrix) table(header, workers []string, cell func(worker, column string) string) []string {
	rows := [][]string{header}
	for _, w := range workers {
		row := []string{m.people.handle(w)}
		for _, column := range header[1:] {
			row = append(row, cell(w, column))
		}
		rows = append(rows, row)
	}
	return aligned(rows, 0)
}

func tooWide(lines []string, columns int) bool {
	return slices.ContainsFunc(lines, func(l string) bool { return len([]rune(l)) > columns })
}

// screenSize is the size of the terminal, 80 by 24 where it does not tell.
func (a *app) screenSize() (columns, rows int) {
	if f, ok := screenOf(a.out); ok {
		if w, h, err := term.GetSize(int(f.Fd())); err == nil && w > 20 && h > 5 {
			return w, h
		}
	}
	return 80, 24
}
