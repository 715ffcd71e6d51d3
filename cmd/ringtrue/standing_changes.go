package main

import (
	"cmp"
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// changeRow is one change of standing.
type changeRow struct {
	At       string   `json:"at"`
	Worker   string   `json:"worker"`
	Skill    string   `json:"skill"`
	Standing string   `json:"standing"`
	Reasons  []string `json:"reasons"`
}

// runChanges lists what changed between two days, why, and by which entry.
func (a *app) runChanges(o standingOptions, ids []string) error {
	from, until, err := a.span(o)
	if err != nil {
		return err
	}
	std, err := a.standardsFrom(until, from.On)
	if err != nil {
		return err
	}
	if ids, err = a.filterStanding(o, std, until, ids); err != nil {
		return err
	}
	rows := []changeRow{}
	first, last := firstPerson, lastPerson
	if len(ids) == 1 {
		first, last = ids[0], ids[0]
	}
	for id, t := range a.book.FactsBetween(a.ctx, until, first, last) {
		if t.Err != nil {
			return t.Err
		}
		if ids == nil || slices.Contains(ids, id) {
			rows = append(rows, a.changesOf(id, t.Topics, std, o.module, from, until)...)
		}
	}
	slices.SortStableFunc(rows, func(a, b changeRow) int { return cmp.Compare(a.At, b.At) })
	return a.printChanges(from, until, rows)
}

// span reads --from and --until, which name days; the changes of both days are listed.
func (a *app) span(o standingOptions) (from, until training.Asked, err error) {
	first, err := parseDay("from", o.from)
	if err != nil {
		return
	}
	last, err := parseDay("until", o.until)
	if err != nil {
		return
	}
	if first == civil.None || last == civil.None || last < first {
		err = usage("add --from DAY --until DAY", "--changes needs two days, the first one first")
		return
	}
	known, err := a.asked(questionTimes{known: o.known})
	if err != nil {
		return
	}
	from = training.Asked{Day: first - 1, On: first.Start(a.book.Zone()).Unix() - 1, Known: known.Known}
	until = training.Asked{Day: last, On: last.End(a.book.Zone()).Unix() - 1, Known: known.Known}
	return
}

func (a *app) changesOf(id string, topics store.Topics, std standards, module string, from, until training.Asked) []changeRow {
	var rows []changeRow
	for _, m := range std.Modules {
		if module != "" && module != m.ID {
			continue
		}
		for _, s := range m.Skills {
			for _, step := range training.StepsBetween(std.of(topics, s.ID), from, until) {
				rows = append(rows, changeRow{a.moment(step.At), id, s.ID, string(step.Standing.Word), a.reasons(step.Standing.Reasons)})
			}
		}
	}
	return rows
}

func (a *app) printChanges(from, until training.Asked, rows []changeRow) error {
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/standing-changes/1", "from": (from.Day + 1).String(), "until": until.Day.String(), "rows": rows})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	var lines [][]string
	for _, r := range rows {
		lines = append(lines, []string{r.At, people.handle(r.Worker), r.Skill, r.Standing, strings.Join(r.Reasons, "; ")})
	}
	a.table([]string{"AT", "WORKER", "SKILL", "STANDING", "REASONS"}, lines)
	return nil
}
