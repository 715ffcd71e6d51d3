package main

import (
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
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
		a.matrixText(ans, std, people)
	default:
		a.standingRows(ans, people)
	}
	if one || terminal(a.out) {
		a.looserText(ans.Looser)
		a.say("%s", ans.Knows)
	}
	return nil
}

// looserText says what the company has made looser of the house rules behind an answer.
func (a *app) looserText(list []house.Loosening) {
	for _, l := range list {
		a.say("house rule %s: %s", l.Key, a.whoChose(l.Words()))
	}
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
	rows := ans.Rows
	if terminal(a.out) {
		var alike [][]standingRow
		rows, alike = apartAndAlike(a.urgentFirst(rows, std))
		defer a.alikeText(alike, std)
	}
	for _, r := range rows {
		s, _, _ := std.Skill(r.Skill)
		until := ""
		if r.Until != nil {
			until = ", changes on " + *r.Until
			if terminal(a.out) {
				until += away(*r.Until, dayShown(ans.On))
			}
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

// matrixText prints crew × skills for one screen.
func (a *app) matrixText(ans standingAnswer, std standards, people *people) {
	columns, rows := a.screenSize()
	for _, line := range matrixOf(ans.Rows, std, people).lines(dayShown(ans.On), columns, rows) {
		a.say("%s", line)
	}
}

// dayShown is the day of a moment as an answer tells it, a day or RFC 3339.
func dayShown(text string) civil.Day {
	day, err := civil.Parse(text[:min(len(text), len("2006-01-02"))])
	if err != nil {
		return civil.None
	}
	return day
}
