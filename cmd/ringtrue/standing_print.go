package main

import (
	"os"
	"slices"
	"strings"

	"golang.org/x/term"

	"example.org/ringtrue/training"
)

// printStanding writes the answer: one worker with reasons, or the crew as a matrix on a terminal and as rows in a
// pipe.
func (a *app) printStanding(ans standingAnswer, std standards, o standingOptions, one bool) error {
	if a.json {
		return a.printJSON(ans)
	}
	a.mark()
	people, err := a.crew()
	if err != nil {
		return err
	}
	switch {
	case one:
		a.oneStanding(ans, std, people)
	case terminal(a.out):
		a.matrixText(ans, people)
	default:
		a.standingRows(ans, people)
	}
	if one || terminal(a.out) {
		a.say("%s", ans.Knows)
	}
	return nil
}

func (a *app) standingRows(ans standingAnswer, people *people) {
	var rows [][]string
	for _, r := range ans.Rows {
		rows = append(rows, []string{people.handle(r.Worker), r.Skill, r.Standing, untilText(r), strings.Join(r.Reasons, "; ")})
	}
	a.table([]string{"WORKER", "SKILL", "STANDING", "UNTIL", "REASONS"}, rows)
}

func untilText(r standingRow) string {
	if r.Until == nil {
		return ""
	}
	return *r.Until
}

// oneStanding prints one worker: what is held in one line each, the rest with reasons.
func (a *app) oneStanding(ans standingAnswer, std standards, people *people) {
	if len(ans.Rows) > 0 {
		a.say("%s on %s, known by %s", people.name(ans.Rows[0].Worker), ans.On, ans.Known)
	}
	if len(ans.Orient) > 0 {
		a.say("orientation is due before work: %s", strings.Join(ans.Orient, "; "))
	}
	for _, r := range ans.Rows {
		s, _, _ := std.Skill(r.Skill)
		until := ""
		if r.Until != nil {
			until = ", changes on " + *r.Until
		}
		a.say("%-5s %-15s %s%s", r.Skill, r.Standing, s.Title, until)
		for _, why := range r.Reasons {
			a.say("      - %s", why)
		}
		for _, c := range r.Changes {
			a.say("      at %s: %s", c.At, c.Standing)
		}
	}
}

// shortWords are what stands in the cells of the matrix; the legend below it says the whole word.
var shortWords = map[training.Word]string{
	training.UnderTraining: "train", training.ToDecide: "decide", training.SignedOff: "signed", training.Due: "due",
	training.Lapsed: "lapsed", training.Restricted: "STOP",
}

// matrixText prints crew × skills, folded to the width of the terminal: skills that do not fit go to further blocks.
func (a *app) matrixText(ans standingAnswer, people *people) {
	cells := map[string]map[string]string{}
	var workers, skills []string
	for _, r := range ans.Rows {
		if cells[r.Worker] == nil {
			cells[r.Worker] = map[string]string{}
			workers = append(workers, r.Worker)
		}
		if !slices.Contains(skills, r.Skill) {
			skills = append(skills, r.Skill)
		}
		cells[r.Worker][r.Skill] = shortWords[training.Word(r.Standing)]
	}
	perBlock := max(1, (a.width()-14)/8)
	for block := range slices.Chunk(skills, perBlock) {
		rows := make([][]string, 0, len(workers))
		for _, w := range workers {
			row := []string{people.handle(w)}
			for _, s := range block {
				row = append(row, cells[w][s])
			}
			rows = append(rows, row)
		}
		a.table(append([]string{"WORKER"}, block...), rows)
		a.say("")
	}
	a.say("train = under training, decide = evidence complete but nobody has decided, signed = signed off, STOP = restricted")
}

// width is the width of the terminal, 80 where it is unknown.
func (a *app) width() int {
	if f, ok := a.out.(*os.File); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 20 {
			return w
		}
	}
	return 80
}
