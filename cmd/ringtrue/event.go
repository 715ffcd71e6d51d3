package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

func newEventCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "event", Short: "Close calls, refusals of unsafe work, drills and incidents, with what was done about them"}
	c.AddCommand(newEventAddCmd(a), newEventListCmd(a), newEventShowCmd(a), newEventActCmd(a), newEventCloseCmd(a))
	return c
}

type eventOptions struct {
	training.Event
	restrict []string
	tag      []string
	at       string
}

func newEventAddCmd(a *app) *cobra.Command {
	var o eventOptions
	c := &cobra.Command{
		Use:   "add",
		Short: "Record what happened; who told it may stay unnamed",
		Long: `Record a close call, a refusal of unsafe work, a drill or an incident. Write no names and no diagnosis in the text.

It may stop something at once, and anybody may do that: --restrict stops a worker's skill, --tag takes a saw out of use until
it is cleared by name. A question given with --ask stands on the day sheets from then on, a question of its own that has to be
answered every day until the event is closed: on those of the block named with --block, or on all of them without.

With --answers it answers for uses of a saw against what the book said (ringtrue evidence against): they no longer wait.`,
		Example: `  ringtrue event add --kind close-call --at 2026-07-14T13:50 --block B7 --what "stem fell back past the marked line" --told-by ana --ask "Is the marked line two stems away?"
  ringtrue event add --kind refusal --what "would not saw under the hung-up tree" --restrict ben:8.2
  ringtrue event add --kind incident --what "guard broke off at full throttle, nobody hit" --tag S11
  ringtrue event add --kind incident --what "one strip was finished under thunder; talked over with all" --answers 212,214`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.write(); err != nil {
				return err
			}
			by, refs, happened, notes, err := a.addEvent(o)
			if err != nil {
				return err
			}
			notes = append(notes, "next: ringtrue event act "+a.book.Short(refs[0])+" --what ... --owner ... --due DAY")
			return a.done(by, refs, happened, "recorded "+withArticle(o.Kind)+": "+o.What, notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Kind, "kind", "", "close-call, refusal, drill or incident (required)")
	f.StringVar(&o.Block, "block", "", "block on which it was, and on whose sheets --ask is asked")
	f.StringVar(&o.What, "what", "", "what happened (required)")
	f.StringVar(&o.Showed, "showed", "", "what it showed")
	f.StringVar(&o.ToldBy, "told-by", "", "worker who told it; leave out to keep it unnamed")
	f.StringVar(&o.Question, "ask", "", "question to ask on the day sheets until the event is closed")
	f.StringArrayVar(&o.restrict, "restrict", nil, "WORKER:SKILL to restrict because of it; repeatable")
	f.StringArrayVar(&o.tag, "tag", nil, "SAW to take out of use because of it; repeatable")
	f.StringSliceVar(&o.Answers, "answers", nil, "entries of saws used against what the book said that it answers for, with commas between")
	f.StringVar(&o.at, "at", "", "when it happened")
	return c
}

// withArticle writes a kind of event in a sentence.
func withArticle(kind string) string {
	if strings.ContainsAny(kind[:1], "aeiou") {
		return "an " + kind
	}
	return "a " + kind
}

// addEvent records an event and, in the same transaction, what it stops: skills restricted and saws tagged. A refusal loses no stop: it
// prints the commands that stop without the event.
func (a *app) addEvent(o eventOptions) (by store.Person, refs []training.Ref, happened time.Time, notes []string, err error) {
	o.Question = strings.TrimSpace(o.Question)
	if by, happened, err = a.eventProblems(&o); err != nil {
		return by, nil, happened, nil, a.withStops(err, o)
	}
	err = a.book.Batch(a.ctx, func() error {
		refs, err = a.append([]ledger.Entry{entry(training.KindEvent, happened, by.ID, "", "", o.Event)})
		if err != nil {
			return err
		}
		stops, said, err := a.eventStops(o, "after event "+a.book.Short(refs[0])+": "+o.What)
		refs, notes = append(refs, stops...), said
		if err != nil {
			return err
		}
		answers, err := a.usesAnswered(o.Answers)
		notes = append(notes, answers...)
		return err
	})
	if o.Question != "" && err == nil {
		where := "every day sheet"
		if o.Block != "" {
			where = "every day sheet of block " + o.Block
		}
		notes = append(notes, "asked on "+where+" from now on, until the event is closed: "+o.Question)
	}
	return
}

// eventProblems finds all that is wrong with an event and with what it is to stop, and puts the id of who told it in place.
func (a *app) eventProblems(o *eventOptions) (by store.Person, happened time.Time, err error) {
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
	o.Answers, err = a.answersFor(o.Answers)
	p.add(err)
	if o.Question != "" {
		if err := hazards.CheckQuestion(o.Question); err != nil {
			p.add(usage("write one line of at most a few hundred letters", "--ask: %v", err))
		}
	}
	std, err := a.standards(a.knownNow(1 << 20))
	p.add(err)
	for _, r := range o.restrict {
		p.add(a.restrictable(r, std))
	}
	for i, saw := range o.tag {
		p.add(sawName(saw))
		if slices.Contains(o.tag[:i], saw) {
			p.add(usage("name each saw once", "--tag names saw %s twice", saw))
		}
	}
	return by, happened, p.err()
}

// restrictable refuses a --restrict that names nobody or no skill.
func (a *app) restrictable(text string, std standards) error {
	var p problems
	worker, skill, ok := strings.Cut(text, ":")
	if !ok {
		return usage("write --restrict ben:8.2", "--restrict %q is not WORKER:SKILL", text)
	}
	_, err := a.person(worker)
	p.add(err)
	_, _, err = std.skill(skill)
	p.add(err)
	return p.err()
}

// sawName refuses what cannot be the id of a saw; one that is not on the list can be.
func sawName(id string) error {
	if strings.TrimSpace(id) == "" || len(id) > mostOfAName {
		return usage("name the saw as it is painted on it", "%q is no saw", id)
	}
	return nil
}

// eventStops records what an event stops.
func (a *app) eventStops(o eventOptions, reason string) (refs []training.Ref, notes []string, err error) {
	for _, r := range o.restrict {
		worker, skill, _ := strings.Cut(r, ":")
		d, more, err := a.stop(training.KindRestriction, stopOptions{worker: worker, skill: skill, reason: reason, told: "in person", at: o.at})
		if err != nil {
			return nil, nil, err
		}
		refs, notes = append(refs, more...), append(notes, d.who.Name+" is restricted on "+d.skill.ID+", from now on")
	}
	for _, saw := range o.tag {
		d, more, said, err := a.tagSaw(tagOptions{saw: saw, reason: reason, told: "in person", at: o.at})
		if err != nil {
			return nil, nil, err
		}
		refs, notes = append(refs, more...), append(append(notes, "saw "+d.saw.ID+" is out of use, until cleared by name"), said...)
	}
	return refs, notes, nil
}

// withStops adds to a refusal the commands that stop all the same.
func (a *app) withStops(err error, o eventOptions) error {
	f, ok := errors.AsType[*failure](err)
	std, unread := a.standards(a.knownNow(1 << 20))
	if !ok || unread != nil {
		return err
	}
	why := orWord(strings.TrimSpace(o.What), "what happened")
	for _, r := range o.restrict {
		if worker, skill, _ := strings.Cut(r, ":"); a.restrictable(r, std) == nil {
			f.next += fmt.Sprintf("\nthe stop does not wait; anybody may:\n  ringtrue skill restrict %s %s --reason %q", worker, skill, why)
		}
	}
	for _, saw := range o.tag {
		if sawName(saw) == nil {
			f.next += fmt.Sprintf("\nthe stop does not wait; anybody may:\n  ringtrue saw tag %s --reason %q", saw, why)
		}
	}
	return f
}
