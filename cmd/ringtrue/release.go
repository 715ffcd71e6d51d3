package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type releaseOptions struct {
	worker, group, level, slope, until, limits, at string
	opening                                        bool
}

func newReleaseCmd(a *app) *cobra.Command {
	var o releaseOptions
	c := &cobra.Command{
		Use:   "release WORKER GROUP",
		Short: "Release a worker for a task group at a level, within written limits",
		Long: `Release a worker for a task group. Levels are "in hearing", "periodic check" and "unsupervised", which is not working
alone. Out of sight needs the sign-offs of the group's skills and of the gate skills. An opening release (--opening) of a
new book stands on credit and one met look at each gate skill, at most in hearing, for a few weeks.`,
		Example: `  ringtrue skill release ana light-brush --level "in hearing" --slope-max 30% --as okafor
  ringtrue skill release ben thinning --level "in hearing" --opening --until 2026-06-10`,
		Args: exactly(2, "WORKER GROUP"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker, o.group = args[0], args[1]
			who, by, rec, refs, err := a.release(o)
			if err != nil {
				return err
			}
			h, err := a.happened(o.at)
			if err != nil {
				return err
			}
			return a.done(by, refs, h, fmt.Sprintf("released %s for %s, %s", who.Name, rec.Group, rec.Level))
		},
	}
	f := c.Flags()
	f.StringVar(&o.level, "level", "", "in hearing, periodic check or unsupervised (required)")
	f.StringVar(&o.slope, "slope-max", "", "steepest ground it holds for, with unit (default: the house limit)")
	f.StringVar(&o.until, "until", "", "first day it no longer holds (default: open)")
	f.StringVar(&o.limits, "limits", "", "other limits, in words")
	f.BoolVar(&o.opening, "opening", false, "an opening release of a new book")
	f.StringVar(&o.at, "at", "", "when it was decided")
	return c
}

// release records a release if the standings, or for an opening release credit and gate looks, bear it.
func (a *app) release(o releaseOptions) (who, by store.Person, rec training.Release, refs []training.Ref, err error) {
	var p problems
	who, err = a.person(o.worker)
	p.add(err)
	by, err = a.actor()
	p.add(err)
	happened, err := a.happened(o.at)
	p.add(err)
	day := civil.Of(happened, a.book.Zone())
	asked := training.Asked{Day: day, On: happened.Unix(), Known: a.knownNow(day).Known}
	std, err := a.standards(a.knownNow(day))
	if err != nil {
		return
	}
	g, err := std.group(o.group)
	p.add(err)
	rec, err = releaseRecord(o, std, day)
	p.add(err)
	list, err := a.appointmentsOf(by.ID, asked)
	p.add(err)
	if by.ID != "" && !may(list, by.ID, training.DutySign, "", day) {
		p.addf("name an appointed signer with --as", "%s was not named to sign on %s", by.Name, day)
	}
	if by.ID != "" && by.ID == who.ID {
		p.addf("let another named signer decide: --as NAME", "%s cannot release themselves", who.Name)
	}
	if err = p.err(); err != nil {
		return
	}
	lacks, err := a.releaseLacks(who.ID, g, std, rec, asked)
	if err == nil && lacks != nil {
		err = &failure{exitNo, fmt.Sprintf("%s cannot be released for %s, %s: %s", who.Name, g.ID, rec.Level, strings.Join(lacks, "; ")),
			"see: ringtrue standing " + who.Handle}
	}
	if err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(training.KindRelease, happened, by.ID, who.ID, "", rec)})
	return
}

// releaseRecord checks the flags of a release against the house rules.
func releaseRecord(o releaseOptions, std standards, day civil.Day) (training.Release, error) {
	var p problems
	rec := training.Release{Group: o.group, Limits: o.limits, Opening: o.opening}
	if err := rec.Level.UnmarshalText([]byte(o.level)); err != nil || rec.Level < training.InHearing {
		p.add(usage(`levels of a release: "in hearing", "periodic check", "unsupervised"`, "--level %q is not a level of a release", o.level))
	}
	until, err := parseDay("until", o.until)
	p.add(err)
	if until != civil.None && until <= day {
		p.add(usage("name a later day", "--until %s does not come after %s", until, day))
	}
	if o.slope != "" {
		q, err := units.Parse(o.slope, units.Slope)
		if err != nil {
			p.add(usage("write 38% or 21deg", "--slope-max: %v", err))
		} else if q.SI() > std.House.SI(house.SlopeLimit) {
			p.addf("change the house rule first, with a reason", "--slope-max %s is above the limit: %s", q, std.House.Cite(house.SlopeLimit))
		}
		rec.Slope = q.String()
	}
	if o.opening {
		longest := day + civil.Day(std.Rules.OpeningDays)
		if until == civil.None {
			until = longest
		}
		if until > longest || rec.Level > training.InHearing {
			p.addf("at most in hearing, until "+longest.String(), "an opening release goes no higher and no longer than %s", std.House.Cite(house.OpeningDays))
		}
	}
	rec.Until = until.String()
	return rec, p.err()
}

// releaseLacks lists what stands against a release.
func (a *app) releaseLacks(worker string, g training.Group, std standards, rec training.Release, asked training.Asked) ([]string, error) {
	topics, err := a.book.Facts(a.ctx, asked, worker)
	if err != nil {
		return nil, err
	}
	standings := standingsOf(topics, std, asked, &g)
	fact := training.Fact{Kind: training.FactRelease, Code: uint8(rec.Level), At: asked.On, Until: civil.None}
	perm := training.PermissionFor(g, std.Curriculum, standings, []training.Released{{Fact: fact, Opening: rec.Opening}}, asked)
	var lacks []string
	if perm.Level < rec.Level {
		for _, r := range perm.Reasons {
			if !strings.HasPrefix(r.Text, "released for") {
				lacks = append(lacks, r.Text)
			}
		}
	}
	if rec.Opening {
		for _, m := range modulesOf(std.Curriculum, g) {
			if _, ok := training.TaughtBy(topics[m], asked); !ok {
				lacks = append(lacks, "module "+m+" is neither credited nor attended")
			}
		}
	}
	return lacks, nil
}

// modulesOf lists the modules whose skills a task group needs.
func modulesOf(c training.Curriculum, g training.Group) []string {
	var ids []string
	for _, id := range append(c.GateSkills(), g.Skills...) {
		if _, m, ok := c.Skill(id); ok && !slices.Contains(ids, m.ID) {
			ids = append(ids, m.ID)
		}
	}
	return ids
}

func newCreditCmd(a *app) *cobra.Command {
	var reason, doc, at string
	c := &cobra.Command{
		Use:     "credit WORKER MODULE",
		Short:   "Accept earlier training in a module; it stands for attendance only",
		Example: `  ringtrue skill credit ben M4 --reason "course in 2025, content compared" --doc "certificate 88-12" --as okafor`,
		Args:    exactly(2, "WORKER MODULE"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			who, by, refs, err := a.credit(args[0], args[1], reason, doc, at)
			if err != nil {
				return err
			}
			h, err := a.happened(at)
			if err != nil {
				return err
			}
			return a.done(by, refs, h, fmt.Sprintf("accepted earlier training of %s in %s", who.Name, args[1]))
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why it was judged adequate (required)")
	c.Flags().StringVar(&doc, "doc", "", "the document behind it (required)")
	c.Flags().StringVar(&at, "at", "", "when it was judged adequate")
	return c
}

// credit records that earlier training was judged adequate.
func (a *app) credit(worker, module, reason, doc, at string) (who, by store.Person, refs []training.Ref, err error) {
	var p problems
	who, err = a.person(worker)
	p.add(err)
	by, err = a.actor()
	p.add(err)
	happened, err := a.happened(at)
	p.add(err)
	day := civil.Of(happened, a.book.Zone())
	std, err := a.standards(a.knownNow(day))
	p.add(err)
	_, err = std.module(module)
	p.add(err)
	if strings.TrimSpace(reason) == "" || strings.TrimSpace(doc) == "" {
		p.add(usage("add --reason and --doc", "a credit needs its reason and the document behind it"))
	}
	list, err := a.appointmentsOf(by.ID, a.knownNow(day))
	p.add(err)
	if by.ID != "" && !may(list, by.ID, training.DutySign, "", day) {
		p.addf("name an appointed signer with --as", "%s was not named to sign on %s", by.Name, day)
	}
	if by.ID != "" && by.ID == who.ID {
		p.addf("let another named signer decide: --as NAME", "%s cannot accept their own earlier training", who.Name)
	}
	if err = p.err(); err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(training.KindCredit, happened, by.ID, who.ID, "", training.Credit{
		Module: module, Edition: std.Curriculum.Edition, Reason: reason, Document: doc})})
	return
}
