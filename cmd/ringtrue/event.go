package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newEventCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "event", Short: "Close calls, refusals of unsafe work, drills and incidents, with what was done about them"}
	c.AddCommand(newEventAddCmd(a), newEventListCmd(a), newEventActCmd(a), newEventCloseCmd(a))
	return c
}

type eventOptions struct {
	training.Event
	restrict []string
	at       string
}

func newEventAddCmd(a *app) *cobra.Command {
	var o eventOptions
	c := &cobra.Command{
		Use:   "add",
		Short: "Record what happened; who told it may stay unnamed",
		Long: `Record a close call, a refusal of unsafe work, a drill or an incident. Write no names and no diagnosis in the text. A
question given with --ask stands on the next day sheets until the event is closed.`,
		Example: `  ringtrue event add --kind close-call --at 2026-07-14T13:50 --block B7 --what "stem fell back past the marked line" --told-by ana --ask "Is the marked line two stems away?"
  ringtrue event add --kind refusal --what "would not saw under the hung-up tree" --restrict ben:8.2`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.write(); err != nil {
				return err
			}
			by, refs, happened, err := a.addEvent(o)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, "recorded a "+o.Kind+": "+o.What, "next: ringtrue event act "+a.book.Short(refs[0])+" --what ... --owner ... --due DAY")
		},
	}
	f := c.Flags()
	f.StringVar(&o.Kind, "kind", "", "close-call, refusal, drill or incident (required)")
	f.StringVar(&o.Block, "block", "", "block on which it was")
	f.StringVar(&o.What, "what", "", "what happened (required)")
	f.StringVar(&o.Showed, "showed", "", "what it showed")
	f.StringVar(&o.ToldBy, "told-by", "", "worker who told it; leave out to keep it unnamed")
	f.StringVar(&o.Question, "ask", "", "question to ask on the next day sheets")
	f.StringArrayVar(&o.restrict, "restrict", nil, "WORKER:SKILL to restrict because of it; repeatable")
	f.StringVar(&o.at, "at", "", "when it happened")
	return c
}

// addEvent records an event and, in the same transaction, the restrictions it asks for.
func (a *app) addEvent(o eventOptions) (by store.Person, refs []training.Ref, happened time.Time, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(o.at)
	p.add(err)
	p.add(a.knownBlock(o.Block))
	if !training.KnownEventKind(o.Kind) {
		p.add(usage("say --kind "+strings.Join(training.EventKinds, ", "), "--kind %q is not a kind of event", o.Kind))
	}
	if strings.TrimSpace(o.What) == "" {
		p.add(usage("add --what", "say what happened: --what is empty"))
	}
	if o.ToldBy != "" {
		who, err := a.person(o.ToldBy)
		p.add(err)
		o.ToldBy = who.ID
	}
	if err = p.err(); err != nil {
		return
	}
	err = a.book.Batch(a.ctx, func() error {
		refs, err = a.append([]ledger.Entry{entry(training.KindEvent, happened, by.ID, "", "", o.Event)})
		if err != nil {
			return err
		}
		for _, r := range o.restrict {
			worker, skill, _ := strings.Cut(r, ":")
			_, more, err := a.stop(training.KindRestriction, stopOptions{worker: worker, skill: skill, reason: "after event " + a.book.Short(refs[0]) + ": " + o.What, told: "in person", at: o.at})
			if err != nil {
				return err
			}
			refs = append(refs, more...)
		}
		return nil
	})
	return
}

// eventState is an event with its actions.
type eventState struct {
	ref      training.Ref
	by       string
	happened time.Time
	training.Event
	actions []training.ActionState
	closed  bool
}

// events reads all events with what became of them, as known at the moment asked.
func (a *app) events(asked training.Asked) ([]*eventState, error) {
	var list []*eventState
	byRef := map[string]*eventState{}
	err := a.eachListed(asked, training.KindEvent, func(ref training.Ref) error {
		e := &eventState{ref: ref}
		h, err := a.book.Entry(a.ctx, ref, &e.Event)
		e.by, e.happened = h.By, h.Happened
		list, byRef[a.book.Name(ref)] = append(list, e), e
		return err
	})
	if err != nil {
		return nil, err
	}
	return list, a.eventActions(asked, byRef)
}

// eachListed calls f for the entries of a kind in the book's own lists that are not struck.
func (a *app) eachListed(asked training.Asked, kind string, f func(training.Ref) error) error {
	facts, err := a.listed(asked, kind)
	if err != nil {
		return err
	}
	for _, one := range facts {
		if one.Struck || one.At > asked.On {
			continue
		}
		if err := f(one.Entry); err != nil {
			return err
		}
	}
	return nil
}

// actionPlace is where an action stands among the actions of its event.
type actionPlace struct {
	event *eventState
	n     int
}

func (a *app) eventActions(asked training.Asked, events map[string]*eventState) error {
	place := map[string]actionPlace{}
	err := a.eachListed(asked, training.KindAction, func(ref training.Ref) error {
		var rec training.Action
		if _, err := a.book.Entry(a.ctx, ref, &rec); err != nil {
			return err
		}
		e, ok := events[rec.Event]
		if !ok {
			return nil // its event is struck
		}
		due, err := civil.Parse(rec.Due)
		e.actions = append(e.actions, training.ActionState{Ref: a.book.Name(ref), Event: rec.Event, What: rec.What, Owner: rec.Owner, Due: due, Done: civil.None})
		place[a.book.Name(ref)] = actionPlace{e, len(e.actions) - 1}
		return err
	})
	if err != nil {
		return err
	}
	at := func(action string) *training.ActionState {
		p, ok := place[action]
		if !ok {
			return nil
		}
		return &p.event.actions[p.n]
	}
	if err := a.actionsDone(asked, at); err != nil {
		return err
	}
	return a.eachListed(asked, training.KindEventClosed, func(ref training.Ref) error {
		var rec training.EventClosed
		_, err := a.book.Entry(a.ctx, ref, &rec)
		if e, ok := events[rec.Event]; ok {
			e.closed = true
		}
		return err
	})
}

func (a *app) actionsDone(asked training.Asked, at func(string) *training.ActionState) error {
	err := a.eachListed(asked, training.KindActionDone, func(ref training.Ref) error {
		var rec training.ActionDone
		h, err := a.book.Entry(a.ctx, ref, &rec)
		if s := at(rec.Action); s != nil {
			s.Done = civil.Of(h.Happened, a.book.Zone())
		}
		return err
	})
	if err != nil {
		return err
	}
	return a.eachListed(asked, training.KindActionChecked, func(ref training.Ref) error {
		var rec training.ActionChecked
		_, err := a.book.Entry(a.ctx, ref, &rec)
		if s := at(rec.Action); s != nil {
			s.Checked = true
		}
		return err
	})
}

// eventLine is an event as the list shows it.
type eventLine struct {
	Entry    string       `json:"entry"`
	Kind     string       `json:"kind"`
	Happened string       `json:"happened"`
	Block    string       `json:"block"`
	What     string       `json:"what"`
	Showed   string       `json:"showed"`
	State    string       `json:"state"` // open, closed
	Actions  []actionLine `json:"actions"`
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
	c := &cobra.Command{
		Use:     "list",
		Short:   "List events with their actions",
		Example: "  ringtrue event list\n  ringtrue event list --open",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			asked, err := a.question(q)
			if err != nil {
				return err
			}
			list, err := a.events(asked)
			if err != nil {
				return err
			}
			return a.printEvents(list, open, asked.Day)
		},
	}
	questionFlags(c, &q)
	c.Flags().BoolVar(&open, "open", false, "only those not closed")
	return c
}

func (a *app) printEvents(list []*eventState, open bool, day civil.Day) error {
	lines := []eventLine{}
	for _, e := range list {
		if open && e.closed {
			continue
		}
		l := eventLine{Entry: a.book.Short(e.ref), Kind: e.Kind, Happened: e.happened.Format(time.RFC3339), Block: e.Block, What: e.What, Showed: e.Showed, State: "open", Actions: []actionLine{}}
		if e.closed {
			l.State = "closed"
		}
		for _, s := range e.actions {
			l.Actions = append(l.Actions, actionLine{a.shorts([]string{s.Ref})[0], s.What, s.Owner, s.Due.String(), s.Done.String(), actionState(s, day)})
		}
		lines = append(lines, l)
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/events/1", "rows": lines})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l.Entry, l.Happened, l.Kind, l.Block, l.What, "", "", l.State})
		for _, s := range l.Actions {
			rows = append(rows, []string{s.Entry, "", "action", "", s.What, people.handle(s.Owner), s.Due, s.State})
		}
	}
	a.table([]string{"ENTRY", "HAPPENED", "KIND", "BLOCK", "WHAT", "OWNER", "DUE", "STATE"}, rows)
	return nil
}

type actOptions struct {
	what, owner, due, proof, at string
	done, checked               bool
}

func newEventActCmd(a *app) *cobra.Command {
	var o actOptions
	c := &cobra.Command{
		Use:   "act EVENT | ACTION",
		Short: "Give an event an action, say that one is done, or that it was checked",
		Example: `  ringtrue event act 412 --what "move the marked line to two stems" --owner luis --due 2026-07-20
  ringtrue event act 413 --done --proof "walked it, photo 12" --as luis
  ringtrue event act 413 --checked --as okafor`,
		Args: exactly(1, "EVENT or ACTION"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			by, refs, happened, what, err := a.act(args[0], o)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, what)
		},
	}
	f := c.Flags()
	f.StringVar(&o.what, "what", "", "what has to be done")
	f.StringVar(&o.owner, "owner", "", "worker who sees to it")
	f.StringVar(&o.due, "due", "", "day by which")
	f.BoolVar(&o.done, "done", false, "the action is done")
	f.StringVar(&o.proof, "proof", "", "what shows that it is done")
	f.BoolVar(&o.checked, "checked", false, "the acting person, who is not the owner, has looked at what was done")
	f.StringVar(&o.at, "at", "", "when")
	return c
}

// act records an action, that it is done, or that it was checked.
func (a *app) act(text string, o actOptions) (by store.Person, refs []training.Ref, happened time.Time, what string, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(o.at)
	p.add(err)
	ref, ok, err := a.book.Find(a.ctx, text)
	p.add(err)
	if err == nil && !ok {
		p.addf("see: ringtrue event list", "there is no entry %s", text)
	}
	if err = p.err(); err != nil {
		return
	}
	events, err := a.events(a.knownNow(1 << 20))
	if err != nil {
		return
	}
	var e ledger.Entry
	e, what, err = a.actEntry(a.book.Name(ref), text, o, by, happened, events)
	if err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{e})
	return
}

func (a *app) actEntry(ref, text string, o actOptions, by store.Person, happened time.Time, events []*eventState) (ledger.Entry, string, error) {
	for _, e := range events {
		if a.book.Name(e.ref) == ref && !o.done && !o.checked {
			return a.newAction(ref, o, by, happened)
		}
		for _, s := range e.actions {
			if s.Ref == ref {
				return actionEntry(s, o, by, happened)
			}
		}
	}
	return ledger.Entry{}, "", refuse("see: ringtrue event list", "entry %s is not an event that takes an action, nor an action", text)
}

func (a *app) newAction(event string, o actOptions, by store.Person, happened time.Time) (ledger.Entry, string, error) {
	var p problems
	owner, err := a.person(o.owner)
	p.add(err)
	due, err := parseDay("due", o.due)
	p.add(err)
	if due == civil.None && err == nil {
		p.add(usage("add --due DAY", "an action needs the day by which: --due"))
	}
	if strings.TrimSpace(o.what) == "" {
		p.add(usage("add --what", "an action needs --what"))
	}
	rec := training.Action{Event: event, What: o.what, Owner: owner.ID, Due: due.String()}
	return entry(training.KindAction, happened, by.ID, "", "", rec), fmt.Sprintf("%s sees to: %s, by %s", owner.Name, o.what, due), p.err()
}

func actionEntry(s training.ActionState, o actOptions, by store.Person, happened time.Time) (ledger.Entry, string, error) {
	switch {
	case o.done && o.proof == "":
		return ledger.Entry{}, "", usage("add --proof", "say what shows that it is done: --proof")
	case o.done:
		return entry(training.KindActionDone, happened, by.ID, "", "", training.ActionDone{Action: s.Ref, Proof: o.proof}), "done: " + s.What, nil
	case o.checked && s.Done == civil.None:
		return ledger.Entry{}, "", refuse("say that it is done first: --done --proof", "the action is not done yet: %s", s.What)
	case o.checked && by.ID == s.Owner:
		return ledger.Entry{}, "", refuse("let somebody else look: --as NAME", "%s sees to this action and cannot check it", by.Name)
	case o.checked:
		return entry(training.KindActionChecked, happened, by.ID, "", "", training.ActionChecked{Action: s.Ref}), "checked: " + s.What, nil
	}
	return ledger.Entry{}, "", usage("say --done --proof TEXT, or --checked", "this is an action already: %s", s.What)
}

func newEventCloseCmd(a *app) *cobra.Command {
	var lesson, at string
	c := &cobra.Command{
		Use:     "close EVENT",
		Short:   "Close an event once its actions are done and checked by somebody else",
		Example: `  ringtrue event close 412 --lesson "mark the line before the first cut"`,
		Args:    exactly(1, "EVENT"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			by, refs, happened, err := a.closeEvent(args[0], lesson, at)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, "closed event "+args[0])
		},
	}
	c.Flags().StringVar(&lesson, "lesson", "", "what was learned (required)")
	c.Flags().StringVar(&at, "at", "", "when")
	return c
}

// closeEvent ends an event; exit 3 while an action is open.
func (a *app) closeEvent(text, lesson, at string) (by store.Person, refs []training.Ref, happened time.Time, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(at)
	p.add(err)
	if strings.TrimSpace(lesson) == "" {
		p.add(usage("add --lesson", "say what was learned: --lesson"))
	}
	ref, ok, err := a.book.Find(a.ctx, text)
	p.add(err)
	if err = p.err(); err != nil {
		return
	}
	events, err := a.events(a.knownNow(1 << 20))
	if err != nil {
		return
	}
	for _, e := range events {
		if !ok || e.ref != ref {
			continue
		}
		if e.closed {
			err = refuse("see: ringtrue event list", "event %s is closed already", text)
			return
		}
		if why := training.CannotClose(e.actions); why != nil {
			err = &failure{exitNo, fmt.Sprintf("event %s cannot be closed: %s", text, strings.Join(why, "; ")), "see: ringtrue event list --open"}
			return
		}
		refs, err = a.append([]ledger.Entry{entry(training.KindEventClosed, happened, by.ID, "", "", training.EventClosed{Event: a.book.Name(ref), Lesson: lesson})})
		return
	}
	err = refuse("see: ringtrue event list", "there is no event %s", text)
	return
}
