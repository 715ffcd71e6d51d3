package main

import (
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// eventLine is an event as the list shows it.
type eventLine struct {
	Entry    string       `json:"entry"`
	Kind     string       `json:"kind"`
	Happened string       `json:"happened"`
	Block    string       `json:"block"`
	What     string       `json:"what"`
	Showed   string       `json:"showed"`
	Question string       `json:"question"` // asked on the day sheets until the event is closed, "" = none
	State    string       `json:"state"`    // open, closed
	Actions  []actionLine `json:"actions"`
	Answers  []string     `json:"answers"` // uses of a saw against what the book said that it answers for
}

// eventsAnswer is the list for --json.
type eventsAnswer struct {
	Format string       `json:"format"`
	Rows   []eventLine  `json:"rows"`
	Rates  *ratesAnswer `json:"rates,omitempty"` // of the span asked for
}

type actionLine struct {
	Entry string `json:"entry"`
	What  string `json:"what"`
	Owner string `json:"owner"`
	Due   string `json:"due"`
	Done  string `json:"done"`
	State string `json:"state"` // open, overdue, done, checked
}

func actionState(s training.ActionState, day civil.Day) string {
	switch {
	case s.Checked:
		return "checked"
	case s.Done != civil.None:
		return "done"
	case s.Overdue(day):
		return "overdue"
	}
	return "open"
}

func newEventListCmd(a *app) *cobra.Command {
	var q questionTimes
	var open bool
	var from, until string
	c := &cobra.Command{
		Use:   "list",
		Short: "List events with their actions; of a span of days also how often, beside what was done",
		Long: `List events with their actions and questions. With --from or --until only those of a span of days are listed, both days
counted, and under them how many of each kind there were per 1,000 hours of saw time, beside checks made, days that somebody
joined and hectares told. Saw time is the time at the trigger told when a day is closed; without any the rate is not defined.`,
		Example: "  ringtrue event list\n  ringtrue event list --open\n  ringtrue event list --from 2026-05-01 --until 2026-10-31",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			asked, err := a.asked(q)
			if err != nil {
				return err
			}
			return a.listEvents(asked, open, from, until)
		},
	}
	questionFlags(c, &q)
	c.Flags().BoolVar(&open, "open", false, "only those not closed")
	c.Flags().StringVar(&from, "from", "", "first day of a span (default: the book's first)")
	c.Flags().StringVar(&until, "until", "", "last day of a span, counted too (default: today)")
	return c
}

// listEvents prints the events of the book or of a span of days, with the rates of that span.
func (a *app) listEvents(asked training.Asked, open bool, from, until string) error {
	list, err := a.events(asked)
	if err != nil {
		return err
	}
	rates, first, last, err := a.eventSpan(from, until, asked)
	if err != nil {
		return err
	}
	if rates != nil {
		list = slices.DeleteFunc(list, func(e *eventState) bool {
			day := civil.Of(e.happened, a.book.Zone())
			return day < first || day > last
		})
		if err := a.rates(rates, list, first, last); err != nil {
			return err
		}
	}
	return a.printEvents(list, open, asked.Day, rates)
}

// eventLine writes an event for the list.
func (a *app) eventLine(e *eventState, day civil.Day) eventLine {
	l := eventLine{Entry: a.book.Short(e.ref), Kind: e.Kind, Happened: e.happened.Format(time.RFC3339), Block: e.Block, What: e.What, Showed: e.Showed,
		Question: e.Question, State: "open", Actions: []actionLine{}, Answers: append([]string{}, a.shorts(e.Answers)...)}
	if e.closed {
		l.State = "closed"
	}
	for _, s := range e.actions {
		l.Actions = append(l.Actions, actionLine{a.shorts([]string{s.Ref})[0], s.What, s.Owner, s.Due.String(), s.Done.String(), actionState(s, day)})
	}
	return l
}

// printEvents prints events, and the rates of their span where one was asked for.
func (a *app) printEvents(list []*eventState, open bool, day civil.Day, rates *ratesAnswer) error {
	lines := []eventLine{}
	for _, e := range list {
		if !open || !e.closed {
			lines = append(lines, a.eventLine(e, day))
		}
	}
	if a.json {
		return a.printJSON(eventsAnswer{"ringtrue/events/1", lines, rates})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l.Entry, l.Happened, l.Kind, l.Block, l.What, "", "", l.State})
		if l.Question != "" {
			rows = append(rows, []string{l.Entry, "", "asks", l.Block, l.Question, "", "", l.State})
		}
		if len(l.Answers) > 0 {
			rows = append(rows, []string{l.Entry, "", "answers for", l.Block, "uses of a saw against what the book said, entries " + strings.Join(l.Answers, ", "), "", "", l.State})
		}
		for _, s := range l.Actions {
			rows = append(rows, []string{s.Entry, "", "action", "", s.What, people.handle(s.Owner), s.Due, s.State})
		}
	}
	a.table([]string{"ENTRY", "HAPPENED", "KIND", "BLOCK", "WHAT", "OWNER", "DUE", "STATE"}, rows)
	if rates != nil {
		a.printRates(rates)
	}
	return nil
}
