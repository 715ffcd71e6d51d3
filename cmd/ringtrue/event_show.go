package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// eventShown is one event with what became of it, for --json. Who recorded it is left out: who told it may stay unnamed.
type eventShown struct {
	Format   string        `json:"format"`
	Entry    string        `json:"entry"`
	Kind     string        `json:"kind"`
	Happened string        `json:"happened"`
	Block    string        `json:"block"`
	What     string        `json:"what"`
	Showed   string        `json:"showed"`
	ToldBy   string        `json:"told_by"` // person id, "" = unnamed
	Question string        `json:"question"`
	State    string        `json:"state"`
	Closed   string        `json:"closed"` // day, "" = open
	Lesson   string        `json:"lesson"`
	Actions  []actionShown `json:"actions"`
	Answers  []string      `json:"answers"` // uses of a saw against what the book said that it answers for
}

type actionShown struct {
	actionLine
	Proof     string `json:"proof"`
	CheckedBy string `json:"checked_by"` // person id
}

func newEventShowCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "show EVENT",
		Short:   "Everything about one event: what it showed, its actions with what shows that they are done, what was learned",
		Example: "  ringtrue event show 412",
		Args:    exactly(1, "EVENT"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			asked, err := a.asked(q)
			if err != nil {
				return err
			}
			shown, err := a.showEvent(args[0], asked)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(shown)
			}
			return a.printEvent(shown)
		},
	}
	questionFlags(c, &q)
	return c
}

// showEvent reads one event by its entry, or by the entry of one of its actions.
func (a *app) showEvent(text string, asked training.Asked) (eventShown, error) {
	ref, ok, err := a.book.Find(a.ctx, text)
	if err != nil {
		return eventShown{}, err
	}
	events, err := a.events(asked)
	if err != nil {
		return eventShown{}, err
	}
	for _, e := range events {
		if ok && e.has(ref, a.book.Name(ref)) {
			return a.eventShown(e, asked)
		}
	}
	return eventShown{}, refuse("see: ringtrue event list", "there is no event %s on %s, or it was struck", text, asked.Day)
}

// has reports whether an entry is the event or one of its actions.
func (e *eventState) has(ref training.Ref, name string) bool {
	if e.ref == ref {
		return true
	}
	for _, s := range e.actions {
		if s.Ref == name {
			return true
		}
	}
	return false
}

func (a *app) eventShown(e *eventState, asked training.Asked) (eventShown, error) {
	l := a.eventLine(e, asked.Day)
	shown := eventShown{"ringtrue/event/1", l.Entry, l.Kind, l.Happened, l.Block, l.What, l.Showed, e.ToldBy, l.Question, l.State, "", "", []actionShown{}, l.Answers}
	proofs, checkers := map[string]string{}, map[string]string{}
	err := a.eachListed(asked, training.KindActionDone, func(ref training.Ref) error {
		var rec training.ActionDone
		_, err := a.book.Entry(a.ctx, ref, &rec)
		proofs[rec.Action] = rec.Proof
		return err
	})
	if err != nil {
		return shown, err
	}
	err = a.eachListed(asked, training.KindActionChecked, func(ref training.Ref) error {
		var rec training.ActionChecked
		h, err := a.book.Entry(a.ctx, ref, &rec)
		checkers[rec.Action] = h.By
		return err
	})
	for i, s := range e.actions {
		shown.Actions = append(shown.Actions, actionShown{l.Actions[i], proofs[s.Ref], checkers[s.Ref]})
	}
	if err != nil {
		return shown, err
	}
	return shown, a.eachListed(asked, training.KindEventClosed, func(ref training.Ref) error {
		var rec training.EventClosed
		h, err := a.book.Entry(a.ctx, ref, &rec)
		if rec.Event == a.book.Name(e.ref) {
			shown.Closed, shown.Lesson = civil.Of(h.Happened, a.book.Zone()).String(), rec.Lesson
		}
		return err
	})
}

// printEvent writes an event as people read it.
func (a *app) printEvent(e eventShown) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	happened, err := time.Parse(time.RFC3339, e.Happened)
	if err != nil {
		return err
	}
	a.mark()
	a.say("%s on %s%s, entry %s: %s", e.Kind, a.local(happened), note(", block ", e.Block), e.Entry, e.State)
	told := "unnamed"
	if e.ToldBy != "" {
		told = people.name(e.ToldBy)
	}
	for _, part := range [][2]string{{"what: ", e.What}, {"it showed: ", e.Showed}, {"told by: ", told}, {"asked on the day sheets until it is closed: ", e.Question},
		{"answers for the uses of a saw of entries ", strings.Join(e.Answers, ", ")}} {
		if part[1] != "" {
			a.say("  %s%s", part[0], part[1])
		}
	}
	for _, s := range e.Actions {
		a.say("  action %s: %s; %s sees to it, by %s: %s%s%s", s.Entry, s.What, people.name(s.Owner), s.Due, s.State, note(", shown by: ", s.Proof), note(", checked by ", people.name(s.CheckedBy)))
	}
	if e.Closed != "" {
		a.say("  closed on %s, learned: %s", e.Closed, e.Lesson)
	}
	return nil
}
