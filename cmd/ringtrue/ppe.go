package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newPPECmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "ppe", Short: "Protective equipment: who holds what"}
	c.AddCommand(newIssueCmd(a), newRegisterCmd(a), newInspectCmd(a), newReturnCmd(a), newPPEListCmd(a))
	return c
}

type issueOptions struct {
	worker, item string
	training.Issue
	at      string
	another bool
}

func newIssueCmd(a *app) *cobra.Command {
	var o issueOptions
	c := &cobra.Command{
		Use:   "issue WORKER ITEM",
		Short: "Issue a piece of equipment, or register a worker's own",
		Long: `Issue a piece of protective equipment. Cut protection made for chain saws is not made for a clearing-saw blade.
No regulator publishes a service life: --replace-by needs --source, who states that day.`,
		Example: `  ringtrue ppe issue ana boots --size 41 --standard "CSA Z195" --made 2026-01
  ringtrue ppe issue ana ears --rating "csa_muff 25"
  ringtrue ppe issue ana helmet --own --standard "EN 397" --replace-by 2028-05-01 --source "maker's leaflet"`,
		Args: a.orAsked(exactly(2, "WORKER ITEM"), 1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.runIssue(o, args)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Size, "size", "", "size")
	f.StringVar(&o.Standard, "standard", "", "standard marked on it")
	f.StringVar(&o.Serial, "serial", "", "number on it")
	f.StringVar(&o.Made, "made", "", "when it was made, as marked on it")
	f.StringVar(&o.InUse, "in-use", "", "first day in use, where that was before")
	f.StringVar(&o.ReplaceBy, "replace-by", "", "first day it may no longer be used")
	f.StringVar(&o.Source, "source", "", "who states that day")
	f.StringVar(&o.Rating, "rating", "", "of hearing protection: METHOD and rating in dB, as \"csa_muff 25\" (methods: ringtrue calc protector --help)")
	f.BoolVar(&o.Own, "own", false, "the worker's own")
	f.StringVar(&o.at, "at", "", "when it was issued")
	f.BoolVar(&o.another, "another", false, anotherHelp)
	return c
}

// runIssue issues what the flags say; at a terminal it asks for what is left out.
func (a *app) runIssue(o issueOptions, args []string) error {
	if err := a.write(); err != nil {
		return err
	}
	var err error
	asked := len(args) < 2
	if asked {
		o, err = a.askIssue(o, args)
	} else {
		o.worker, o.item = args[0], args[1]
	}
	if err != nil {
		return err
	}
	d, item, err := a.issue(o)
	if err == nil && asked {
		err = a.dropDraft("ppe issue")
	}
	if err != nil {
		return err
	}
	var notes []string
	if item.Note != "" {
		notes = append(notes, item.Note)
	}
	return a.recorded(d, fmt.Sprintf("%s holds: %s", d.who.Name, item.Title), notes...)
}

// issue records a piece of equipment.
func (a *app) issue(o issueOptions) (d deed, item training.Item, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	std, err := a.standards(a.knownNow(d.day))
	p.add(err)
	item, ok := std.Item(o.item)
	if !ok {
		var ids []string
		for _, i := range std.PPE {
			ids = append(ids, i.ID)
		}
		next := "items are: " + strings.Join(ids, ", ")
		if near := nearestID(o.item, ids); near != "" {
			next = "nearest: " + near + "; all: " + strings.Join(ids, ", ")
		}
		p.addf(next, "no item %q in curriculum %s", o.item, std.Curriculum.Edition)
	}
	if o.Rating != "" && ok && item.Body != "ears" {
		p.add(usage("leave it out", "--rating is for hearing protection; %s is for: %s", item.ID, item.Body))
	}
	if o.Rating != "" {
		if err := hazards.CheckEars(o.Rating); err != nil {
			p.add(usage(`write --rating "csa_muff 25"`, "--rating: %v", err))
		}
	}
	_, err = parseDay("replace-by", o.ReplaceBy)
	p.add(err)
	p.add(madeBy(o.Made, d.day))
	used, err := parseDay("in-use", o.InUse)
	p.add(err)
	if used != civil.None && used > d.day {
		p.addf("leave it out: the day of issue counts", "--in-use %s is in the future", o.InUse)
	}
	if o.ReplaceBy != "" && o.Source == "" {
		p.add(usage("add --source, as \"maker's leaflet\"", "--replace-by needs --source: nobody publishes a service life for all"))
	}
	a.notTwice(&p, o.another, twin{kind: training.KindIssue, worker: d.who.ID, topic: training.KindIssue, by: d.by.ID, happened: d.happened,
		same: dataSays("item", o.item, "serial", o.Serial, "size", o.Size), words: o.item + " of " + d.who.Name})
	if err = p.err(); err != nil {
		return d, item, err
	}
	o.Issue.Item = o.item
	d, err = a.keep(d, training.KindIssue, o.Issue)
	return d, item, err
}

// madeBy checks a day or month of manufacture, which lies back.
func madeBy(text string, today civil.Day) error {
	if text == "" {
		return nil
	}
	day, err := civil.Parse(text)
	if err != nil {
		day, err = civil.Parse(text + "-01")
	}
	if err != nil {
		return usage("write a month or day, as 2026-01 or 2026-01-15", "--made %q is not a month or day that exists", text)
	}
	if day > today {
		return refuse("write what is marked on it", "--made %s is in the future", text)
	}
	return nil
}

func newReturnCmd(a *app) *cobra.Command {
	var condition, reason, at string
	c := &cobra.Command{
		Use:     "return WORKER ITEM",
		Short:   "Take a piece of equipment back, or out of use",
		Example: "  ringtrue ppe return ana boots --condition serviceable\n  ringtrue ppe return ana helmet --condition condemned --reason \"shell cracked\"",
		Args:    exactly(2, "WORKER ITEM"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, err := a.giveBack(args[0], args[1], condition, reason, at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("%s returned %s, %s", d.who.Name, args[1], condition))
		},
	}
	c.Flags().StringVar(&condition, "condition", "serviceable", "serviceable or condemned")
	c.Flags().StringVar(&reason, "reason", "", "why it was condemned")
	c.Flags().StringVar(&at, "at", "", "when it came back")
	return c
}

// giveBack records a return. ITEM is the kind of item, or the entry that issued the piece where there are several.
func (a *app) giveBack(worker, item, condition, reason, at string) (deed, error) {
	d, issued, err := a.aboutPiece(worker, item, condition, reason, at)
	if err != nil {
		return d, err
	}
	return a.keep(d, training.KindReturn, training.Return{Issue: a.book.Name(issued), Condition: condition, Reason: reason})
}

// aboutPiece begins what is recorded about a piece that a worker holds, with the entry that issued it.
func (a *app) aboutPiece(worker, item, condition, reason, at string) (d deed, issued training.Ref, err error) {
	var p problems
	d = a.deedAbout(&p, worker, at)
	p.add(conditionOf(condition, reason))
	if err = p.err(); err != nil {
		return d, 0, err
	}
	issued, err = a.held(d.who, item, a.knownNow(d.day))
	return d, issued, err
}
