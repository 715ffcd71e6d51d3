package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// lookLine is one look to make.
type lookLine struct {
	Worker  string   `json:"worker"`
	By      string   `json:"by"` // person id, "" = nobody may
	Skills  []string `json:"skills"`
	Watch   []string `json:"watch,omitempty"` // criteria that looks so far did not show, by skill
	Minutes int      `json:"minutes"`
	Later   int      `json:"later"` // further skills that want looks after it
}

// mostLookLines keep the looks of a crew of eight on a screen of 24 lines.
const mostLookLines = 19

// lookNeeds lists what everybody needs looks at by a day; returns only what one return look renews.
func (a *app) lookNeeds(list []onList, std standards, asked training.Asked, returns bool) ([]training.LookNeed, error) {
	appointments, err := a.appointments(asked)
	if err != nil {
		return nil, err
	}
	var needs []training.LookNeed
	for _, w := range list {
		topics, err := a.book.Facts(a.ctx, asked, w.Worker)
		if err != nil {
			return nil, err
		}
		n := training.LookNeed{Worker: w.Worker, Observers: map[string][]string{}, Unseen: map[string][]string{}}
		n.Saws, _ = sawWork(topics, std, asked)
		for _, s := range toLookAt(topics, std, asked, returns) {
			n.Skills = append(n.Skills, s)
			n.Observers[s] = mayLook(appointments, w.Worker, s, asked.Day)
			n.Unseen[s] = training.Unseen(std.of(topics, s), asked)
		}
		needs = append(needs, n)
	}
	return needs, nil
}

// toLookAt lists the skills of a worker that want looks, gate skills first, then in the order of the modules.
func toLookAt(topics store.Topics, std standards, asked training.Asked, returns bool) []string {
	var skills []string
	for _, m := range std.Curriculum.InOrder() {
		for _, s := range m.Skills {
			c := std.of(topics, s.ID)
			st := training.StandingOf(c, asked)
			wants := st.ByGap || !returns && st.Word != training.SignedOff && st.Word != training.ToDecide
			if !s.Withdrawn && wants {
				skills = append(skills, s.ID)
			}
		}
	}
	gates := std.GateSkills()
	slices.SortStableFunc(skills, func(x, y string) int { return afterGates(gates, x) - afterGates(gates, y) })
	return skills
}

func afterGates(gates []string, skill string) int {
	if slices.Contains(gates, skill) {
		return 0
	}
	return 1
}

// mayLook lists by person id who may look at a skill of a worker on a day.
func mayLook(appointments []appointed, worker, skill string, day civil.Day) (ids []string) {
	for _, p := range appointments {
		if p.worker != worker && may([]appointed{p}, p.worker, training.DutyObserve, skill, day) && !slices.Contains(ids, p.worker) {
			ids = append(ids, p.worker)
		}
	}
	return ids
}

func lookLines(plan []training.PlannedLook) []lookLine {
	lines := []lookLine{}
	for _, l := range plan {
		lines = append(lines, lookLine{l.Worker, l.By, l.Skills, l.Watch, l.Minutes, l.Later})
	}
	return lines
}

// printLooks prints the looks to make: on a terminal one screen, in a pipe a table.
func (a *app) printLooks(head string, looks []lookLine, tail []string) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	if !terminal(a.out) {
		var rows [][]string
		for _, l := range looks {
			rows = append(rows, []string{people.handle(l.Worker), handleOf(people, l.By), fmt.Sprint(l.Minutes), strings.Join(l.Skills, " "), fmt.Sprint(l.Later), strings.Join(l.Watch, "; ")})
		}
		a.mark()
		a.table([]string{"LOOK AT", "BY", "MINUTES", "SKILLS", "LATER", "NOT SEEN YET"}, rows)
		return nil
	}
	a.mark()
	a.say("%s", head)
	for i, l := range looks {
		if i == mostLookLines {
			a.say("  and %d more: --all", len(looks)-i)
			break
		}
		a.say("  %s", lookText(l, people))
	}
	for _, t := range tail {
		a.say("%s", t)
	}
	return nil
}

func lookText(l lookLine, people *people) string {
	skills := strings.Join(l.Skills, " ")
	if l.By == "" {
		return fmt.Sprintf("nobody may look at %s: %s", people.handle(l.Worker), skills)
	}
	later := ""
	if l.Later > 0 {
		later = fmt.Sprintf(", %d later", l.Later)
	}
	return fmt.Sprintf("one look at %s, %d min, by %s: %s%s%s", people.handle(l.Worker), l.Minutes, people.handle(l.By), skills, later,
		note("; not seen yet: ", strings.Join(l.Watch, "; ")))
}

// looksTail says what besides looks is missing, and what the minutes are.
func looksTail(lines []planLine) []string {
	counts := map[string]int{}
	var order []string
	for _, l := range lines {
		if l.What == "skill" {
			continue
		}
		if counts[l.What] == 0 {
			order = append(order, l.What)
		}
		counts[l.What]++
	}
	var parts []string
	for _, what := range order {
		parts = append(parts, fmt.Sprintf("%s %d", what, counts[what]))
	}
	tail := []string{fmt.Sprintf("%d min a skill, gate skills first (company choice); all that is missing: --all", training.LookMinutes)}
	if parts != nil {
		tail = append([]string{"also missing or running out: " + strings.Join(parts, ", ")}, tail...)
	}
	return tail
}

// returnAnswer is a day of return looks for --json.
type returnAnswer struct {
	Format string     `json:"format"`
	On     string     `json:"on"`
	Looks  []lookLine `json:"looks"`
	Totals []lookLoad `json:"observers"`
}

// lookLoad is what one observer has to do that day.
type lookLoad struct {
	By      string `json:"by"`
	Looks   int    `json:"looks"`
	Minutes int    `json:"minutes"`
}

// planReturn makes one day of return looks: who looks at whom, at what, and how long it takes.
func (a *app) planReturn(day civil.Day, list []onList, std standards, asked training.Asked) error {
	needs, err := a.lookNeeds(list, std, asked, true)
	if err != nil {
		return err
	}
	ans := returnAnswer{Format: "ringtrue/plan-return/1", On: day.String(), Looks: lookLines(training.PlanLooks(needs, 0)), Totals: []lookLoad{}}
	for _, l := range ans.Looks {
		i := slices.IndexFunc(ans.Totals, func(t lookLoad) bool { return t.By == l.By })
		if i < 0 {
			i, ans.Totals = len(ans.Totals), append(ans.Totals, lookLoad{By: l.By})
		}
		ans.Totals[i].Looks, ans.Totals[i].Minutes = ans.Totals[i].Looks+1, ans.Totals[i].Minutes+l.Minutes
	}
	if a.json {
		return a.printJSON(ans)
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	var tail []string
	for _, t := range ans.Totals {
		if t.By != "" {
			tail = append(tail, fmt.Sprintf("%s: %d looks, %d min", people.handle(t.By), t.Looks, t.Minutes))
		}
	}
	if len(ans.Looks) == 0 {
		tail = append(tail, "nobody needs a return look that day")
	}
	return a.printLooks("return looks on "+day.String()+", each in sight of who looks:", ans.Looks, append(tail, fmt.Sprintf("%d min a skill (company choice); one met look renews to the old end", training.LookMinutes)))
}
