package main

import (
	"slices"

	"github.com/spf13/cobra"

	"example.org/ringtrue/training"
)

// todo is one thing that waits. Rank orders them: what stops work comes first.
type todo struct {
	Rank int    `json:"rank"`
	What string `json:"what"`
	Who  string `json:"who"` // person id, "" = nobody in particular
	Next string `json:"next"`

	About string `json:"-"`             // What without its day, so that a screen can name several days at once
	Day   string `json:"day,omitempty"` // YYYY-MM-DD, of what waits about one day
}

// Ranks, the most urgent first.
const (
	rankStopped = iota + 1
	rankToday
	rankOverdue
	rankDecide
	rankSoon
)

// soonDays is how far ahead "soon" looks (company choice).
const soonDays = 30

func newTodayCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:   "today",
		Short: "What needs doing, the most urgent first",
		Long: `List what waits, what stops work first: people missing at a head count or who did not call, checks on hold, saws out of use,
restrictions and gate skills not met; then what comes before work today; what is overdue or has run out; decisions that wait; and what runs out
within 30 days. A day stays on the list until it is closed, however old. While somebody is hurt, missing or does not call, the
emergency text of where they are comes first. It is as far as this book knows.`,
		Example: "  ringtrue today\n  ringtrue today --on 2026-07-14",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			list, err := a.waiting(std, asked)
			if err != nil {
				return err
			}
			if !a.json {
				if err := a.alarmsFirst(asked); err != nil {
					return err
				}
			}
			return a.printToday(list)
		},
	}
	questionFlags(c, &q)
	return c
}

func (a *app) printToday(list []todo) error {
	knows, err := a.knows()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/today/1", "rows": list, "knows": knows})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	if len(list) == 0 {
		a.say("nothing waits, as far as this book knows")
	}
	if terminal(a.out) {
		a.todayText(list, people)
		a.say("%s", knows)
		return nil
	}
	var rows [][]string
	for _, t := range list {
		who := ""
		if t.Who != "" {
			who = people.handle(t.Who)
		}
		rows = append(rows, []string{rankWords[t.Rank].heads, who, t.What, t.Next})
	}
	if len(rows) > 0 {
		a.table([]string{"URGENT", "WHO", "WHAT", "NEXT"}, rows)
	}
	return nil
}

// waiting gathers everything that waits on a day.
func (a *app) waiting(std standards, asked training.Asked) ([]todo, error) {
	list := []todo{}
	for _, gather := range []func(standards, training.Asked) ([]todo, error){a.waitingChecks, a.waitingAgainst, a.waitingTags, a.waitingPeople, a.waitingActions, a.waitingUpkeep} {
		more, err := gather(std, asked)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
	}
	slices.SortStableFunc(list, func(a, b todo) int { return a.Rank - b.Rank })
	return list, nil
}
