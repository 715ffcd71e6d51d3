package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

type toldOptions struct{ decision, worker, of, decider, note, at string }

func newToldCmd(a *app) *cobra.Command {
	var o toldOptions
	c := &cobra.Command{
		Use:   "told WORKER SKILL-OR-GROUP",
		Short: "Keep a decision told by phone; it changes nothing until the decider enters it",
		Long: `Keep what a decider said by phone: a sign-off, a lift or a release. It stands as "awaiting signature" and changes
nothing; the decider enters the decision. Restrictions and withdrawals need no such wait: enter them at once.`,
		Example: `  ringtrue skill told ana 3.3 --decision sign-off --decider okafor --note "heard the three looks read out"`,
		Args:    exactly(2, "WORKER SKILL-OR-GROUP"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker, o.of = args[0], args[1]
			d, err := a.told(o)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("kept: %s of %s for %s, told by phone", o.decision, d.who.Name, o.of), "awaiting signature: it changes nothing until the decider enters it")
		},
	}
	f := c.Flags()
	f.StringVar(&o.decision, "decision", "", "sign-off, lift or release (required)")
	f.StringVar(&o.decider, "decider", "", "who said it (required)")
	f.StringVar(&o.note, "note", "", "what was said")
	f.StringVar(&o.at, "at", "", "when it was said")
	return c
}

// told records a decision that awaits its decider.
func (a *app) told(o toldOptions) (d deed, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	decider, err := a.decider(o.decider)
	p.add(err)
	std, err := a.standards(a.knownNow(d.day))
	p.add(err)
	skill := o.of
	switch o.decision {
	case training.KindSignOff, training.KindLift:
		_, _, err = std.skill(o.of)
		p.add(err)
	case training.KindRelease:
		skill = ""
		_, err = std.group(o.of)
		p.add(err)
	default:
		p.add(usage("say --decision sign-off, lift or release", "--decision %q cannot be told by phone", o.decision))
	}
	p.add(a.mayBeTold(d, decider, skill))
	if err = p.err(); err != nil {
		return d, err
	}
	if err = a.worthTelling(d, o, std); err != nil {
		return d, err
	}
	return a.keepAll(d, []ledger.Entry{entry(training.KindTold, d.happened, d.by.ID, d.who.ID, skill, training.Told{Decision: o.decision, Of: o.of, Decider: decider.ID, Note: o.note})})
}

// decider is who is said to have decided.
func (a *app) decider(name string) (store.Person, error) {
	if name == "" {
		return store.Person{}, usage("add --decider WORKER", "who decided is not said")
	}
	return a.person(name)
}

// mayBeTold refuses a decider who could not enter the decision either: the worker, or somebody not named to sign that day.
func (a *app) mayBeTold(d deed, decider store.Person, skill string) error {
	if decider.ID == "" || d.who.ID == "" {
		return nil
	}
	if decider.ID == d.who.ID {
		return refuse("name who decided: --decider", "%s cannot decide about themselves", d.who.Name)
	}
	list, err := a.appointmentsOf(decider.ID, a.knownNow(d.day))
	if err == nil && !may(list, decider.ID, training.DutySign, skill, d.day) {
		err = refuse("name with --decider somebody who may sign, or appoint one: ringtrue worker appoint WORKER --may sign --basis WHY",
			"%s was not named to sign%s on %s", decider.Name, note(" skill ", skill), d.day)
	}
	return err
}

// worthTelling refuses a decision where there is nothing to decide.
func (a *app) worthTelling(d deed, o toldOptions, std standards) error {
	asked := training.Asked{Day: d.day, On: d.happened.Unix(), Known: a.knownNow(d.day).Known}
	topics, err := a.book.Facts(a.ctx, asked, d.who.ID)
	if err != nil {
		return err
	}
	nothing := ""
	switch o.decision {
	case training.KindRelease:
		perms, err := a.permissions(d.who.ID, std, asked)
		if err != nil {
			return err
		}
		if perms[o.of].Level == training.Unsupervised {
			nothing = "is released for " + o.of + " unsupervised already"
		}
	case training.KindLift:
		if standingsOf(topics, std, asked, nil)[o.of].Word != training.Restricted {
			nothing = "is not restricted on " + o.of
		}
	default:
		if lacks := training.Missing(std.of(topics, o.of), asked); lacks != nil {
			nothing = "has not shown enough for " + o.of + " yet: " + strings.Join(lacks, "; ")
		}
	}
	if nothing == "" {
		return nil
	}
	return &failure{exitNo, "there is nothing to decide: " + d.who.Name + " " + nothing, "see: ringtrue standing " + d.who.Handle}
}
