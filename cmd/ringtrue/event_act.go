package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

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
		own := slices.IndexFunc(e.actions, func(s training.ActionState) bool { return s.Ref == ref })
		isEvent := a.book.Name(e.ref) == ref && !o.done && !o.checked
		switch {
		case (isEvent || own >= 0) && e.closed:
			return ledger.Entry{}, "", refuse("record what happened since as a new one: ringtrue event add", "event %s is closed", a.book.Short(e.ref))
		case isEvent:
			return a.newAction(e, o, by, happened)
		case own >= 0:
			return actionEntry(e.actions[own], o, by, happened)
		}
	}
	return ledger.Entry{}, "", refuse("see: ringtrue event list", "entry %s is not an event that takes an action, nor an action", text)
}

// newAction gives an event an action. It is due on the day of the event or later: nobody saw to it before it was known.
func (a *app) newAction(event *eventState, o actOptions, by store.Person, happened time.Time) (ledger.Entry, string, error) {
	var p problems
	var owner store.Person
	if strings.TrimSpace(o.owner) == "" {
		p.add(usage("add --owner WORKER", "an action needs who sees to it: --owner"))
	} else {
		one, err := a.person(o.owner)
		p.add(err)
		owner = one
	}
	due, err := parseDay("due", o.due)
	p.add(err)
	if due == civil.None && err == nil {
		p.add(usage("add --due DAY", "an action needs the day by which: --due"))
	}
	if began := civil.Of(event.happened, a.book.Zone()); err == nil && due != civil.None && due < began {
		p.addf("say --due with a day on or after "+began.String(), "an action due on %s for what happened on %s: --due lies before it", due, began)
	}
	if strings.TrimSpace(o.what) == "" {
		p.add(usage("add --what", "an action needs --what"))
	}
	rec := training.Action{Event: a.book.Name(event.ref), What: o.what, Owner: owner.ID, Due: due.String()}
	return entry(training.KindAction, happened, by.ID, "", "", rec), fmt.Sprintf("%s sees to: %s, by %s", owner.Name, o.what, due), p.err()
}

func actionEntry(s training.ActionState, o actOptions, by store.Person, happened time.Time) (ledger.Entry, string, error) {
	switch {
	case o.done && o.checked:
		return ledger.Entry{}, "", usage("first --done --proof TEXT, then --checked by somebody else", "--done and --checked do not go together")
	case (o.done && s.Done != civil.None) || (o.checked && s.Checked):
		return ledger.Entry{}, "", refuse("see: ringtrue event list", "that was said already: %s", s.What)
	case o.done && strings.TrimSpace(o.proof) == "":
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
