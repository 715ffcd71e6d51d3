package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type releaseOptions struct {
	worker, group, level, slope, until, limits, basis, at string
	opening, ownWord, loosen                              bool
}

func newReleaseCmd(a *app) *cobra.Command {
	var o releaseOptions
	c := &cobra.Command{
		Use:   "release WORKER GROUP",
		Short: "Release a worker for a task group at a level, within written limits",
		Long: `Release a worker for a task group. Levels are "no saw", "in sight", "in hearing", "periodic check" and "unsupervised", which
is not working alone. A new release takes the place of the one in force; where it is looser, that has to be said (--loosen).
A release is ended by: skill withdraw WORKER GROUP. Out of sight needs the sign-offs of the group's skills and of the gate
skills. An opening release (--opening) of a new book stands on credit and one met look at each gate skill, at most in
hearing, for a few weeks. An owner who saws where nobody else can look yet may begin on their own word (--own-word --basis
WHY), once, within the same limits; then somebody else has to look.`,
		Example: `  ringtrue skill release ana light-brush --level "in hearing" --slope-max 30% --as okafor
  ringtrue skill release ben thinning --level "in hearing" --opening --until 2026-06-10
  ringtrue skill release okafor thinning --level "in hearing" --own-word --basis "eleven seasons with a clearing saw"`,
		Args: exactly(2, "WORKER GROUP"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker, o.group = args[0], args[1]
			d, rec, changes, err := a.release(o)
			if err != nil {
				return err
			}
			notes := changeNotes(changes)
			if rec.OwnWord {
				notes = append(notes, "somebody else has to look before then: ringtrue skill observe "+d.who.Handle+" SKILL --as NAME")
			}
			return a.recorded(d, fmt.Sprintf("released %s for %s", d.who.Name, releaseText(rec)), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.level, "level", "", "no saw, in sight, in hearing, periodic check or unsupervised (required)")
	f.StringVar(&o.slope, "slope-max", "", "steepest ground it holds for, with unit (default: the house limit)")
	f.StringVar(&o.until, "until", "", "first day it no longer holds (default: open)")
	f.StringVar(&o.limits, "limits", "", "other limits, in words")
	f.BoolVar(&o.opening, "opening", false, "an opening release of a new book")
	f.BoolVar(&o.ownWord, "own-word", false, "an opening release by the owner for the owner, who saws and whom nobody can look at yet")
	f.StringVar(&o.basis, "basis", "", "what own word rests on (required with --own-word)")
	f.BoolVar(&o.loosen, "loosen", false, "it is meant to be looser than the release in force")
	f.StringVar(&o.at, "at", "", "when it was decided")
	return c
}

// release records a release if the standings, or for an opening release credit and gate looks, bear it.
func (a *app) release(o releaseOptions) (d deed, rec training.Release, changes []training.ReleaseChange, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	asked := training.Asked{Day: d.day, On: d.happened.Unix(), Known: a.knownNow(d.day).Known}
	std, err := a.standards(a.knownNow(d.day))
	if err != nil {
		return
	}
	g, err := std.group(o.group)
	p.add(err)
	rec, err = releaseRecord(o, std, d.day)
	p.add(err)
	a.mustBeNamed(&p, d, training.DutySign)
	a.mustBeBy(&p, d, o)
	a.mustBeHere(&p, d.who, d.day)
	if err = p.err(); err != nil {
		return
	}
	lacks, err := a.releaseLacks(d.who.ID, g, std, rec, asked)
	if err == nil && lacks != nil {
		err = &failure{exitNo, fmt.Sprintf("%s cannot be released for %s, %s: %s", d.who.Name, g.ID, rec.Level, strings.Join(sameOnce(lacks), "; ")),
			"see: ringtrue standing " + d.who.Handle}
	}
	if err != nil {
		return
	}
	topics, err := a.book.Facts(a.ctx, asked, d.who.ID)
	if err != nil {
		return
	}
	if changes, err = a.replaced(topics, rec, std, asked); err != nil {
		return
	}
	if err = a.mayLoosen(d.who, rec, changes, o.loosen); err != nil {
		return
	}
	d, err = a.keep(d, training.KindRelease, rec)
	return
}

// mustBeBy refuses who releases themselves, but for the owner on their own word; and anybody else who gives that.
func (a *app) mustBeBy(p *problems, d deed, o releaseOptions) {
	if d.by.ID == "" || d.who.ID == "" { // refused already
		return
	}
	own := d.by.ID == d.who.ID
	switch {
	case o.ownWord && (!own || d.by.ID != a.opening.Owner):
		p.addf("let somebody named to sign release them", "own word is the owner's about themselves; %s cannot give it for %s", d.by.Name, d.who.Name)
	case own && !o.ownWord && d.by.ID == a.opening.Owner:
		p.addf("let another named signer decide: --as NAME; where there is nobody yet, begin on your own word: --own-word --basis WHY", "%s cannot release themselves", d.who.Name)
	case own && !o.ownWord:
		p.addf("let another named signer decide: --as NAME", "%s cannot release themselves", d.who.Name)
	}
	if o.ownWord && strings.TrimSpace(o.basis) == "" {
		p.add(usage(`add --basis "eleven seasons with a clearing saw"`, "own word needs what it rests on: --basis is empty"))
	}
	if !o.ownWord && o.basis != "" {
		p.add(usage("leave it out, or add --own-word", "--basis belongs to --own-word"))
	}
}

// releaseRecord checks the flags of a release against the house rules.
func releaseRecord(o releaseOptions, std standards, day civil.Day) (training.Release, error) {
	var p problems
	rec := training.Release{Group: o.group, Limits: o.limits, Opening: o.opening || o.ownWord, OwnWord: o.ownWord, Basis: o.basis}
	var err error
	rec.Level, err = releaseLevel(o.level)
	p.add(err)
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
	if rec.Opening {
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
	perm := training.PermissionFor(g, std.Curriculum, standings, []training.Released{{Fact: fact, Opening: rec.Opening, OwnWord: rec.OwnWord}}, asked)
	var lacks []string
	if perm.Level < rec.Level {
		for _, r := range perm.Lacks {
			lacks = append(lacks, r.Text)
		}
	}
	if rec.Opening && !rec.OwnWord {
		lacks = append(lacks, uncredited(topics, modulesOf(std.Curriculum, g), asked)...)
	}
	if rec.Opening {
		again, err := a.openedBefore(topics[store.ReleaseTopic(g.ID)], rec, std, asked)
		if err != nil {
			return nil, err
		}
		lacks = append(lacks, again...)
	}
	if rec.OwnWord {
		given, err := a.ownWordBefore(topics, rec, std)
		if err != nil {
			return nil, err
		}
		lacks = append(lacks, given...)
	}
	return lacks, nil
}

// ownWordBefore says that a release on own word goes on for longer than own word may, which counts from the first for any task group,
// struck or not: nobody begins anew by crossing out their own word.
func (a *app) ownWordBefore(topics store.Topics, rec training.Release, std standards) ([]string, error) {
	for _, g := range std.Groups {
		for _, f := range topics[store.ReleaseTopic(g.ID)] {
			if f.Kind == training.FactWithdrawal {
				continue
			}
			var first training.Release
			if _, err := a.book.Entry(a.ctx, f.Entry, &first); err != nil {
				return nil, err
			}
			if end := f.Day + civil.Day(std.Rules.OpeningDays); first.OwnWord && rec.Until > end.String() {
				return []string{fmt.Sprintf("own word was given on %s (entry %s); it ends on %s at the latest, then somebody else has to look", f.Day, a.book.Short(f.Entry), end)}, nil
			}
		}
	}
	return nil, nil
}

// uncredited lists the modules in which no earlier training was accepted: an opening release is for experienced hands.
func uncredited(topics store.Topics, modules []string, asked training.Asked) (lacks []string) {
	for _, m := range modules {
		if !slices.ContainsFunc(topics[m], func(f training.Fact) bool {
			return f.Kind == training.FactCredit && f.At <= asked.On && !f.Struck
		}) {
			lacks = append(lacks, "no earlier training is accepted in module "+m)
		}
	}
	return lacks
}

// openedBefore says that a release goes on for longer than opening releases for that group may, which count from the
// first of them.
func (a *app) openedBefore(releases []training.Fact, rec training.Release, std standards, asked training.Asked) ([]string, error) {
	for _, f := range releases {
		if f.Struck || f.At > asked.On || f.Kind == training.FactWithdrawal {
			continue
		}
		var first training.Release
		if _, err := a.book.Entry(a.ctx, f.Entry, &first); err != nil {
			return nil, err
		}
		if end := f.Day + civil.Day(std.Rules.OpeningDays); first.Opening && rec.Until > end.String() {
			return []string{fmt.Sprintf("an opening release was given on %s (entry %s); it ends on %s at the latest, and is not given anew", f.Day, a.book.Short(f.Entry), end)}, nil
		}
	}
	return nil, nil
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
	var reason, doc, from, at string
	c := &cobra.Command{
		Use:   "credit WORKER MODULE",
		Short: "Accept earlier training in a module; it stands for attendance only",
		Long: `Accept earlier training in a module. With --from the document is a file that "evidence copy" wrote in another company's book; it is
checked first, and must hold a sound sign-off in that module. It stands for attendance only; skills are looked at here.`,
		Example: `  ringtrue skill credit ben M4 --reason "course in 2025, content compared" --doc "certificate 88-12" --as okafor
  ringtrue skill credit ben M4 --reason "criteria compared, company asked by phone" --from ben-sign-offs.json`,
		Args: exactly(2, "WORKER MODULE"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			if from != "" {
				if doc != "" {
					return usage("give one of the two", "--doc and --from both name the document")
				}
				var err error
				if doc, err = a.carriedDocument(from, args[0], args[1]); err != nil {
					return err
				}
			}
			d, err := a.credit(args[0], args[1], reason, doc, at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("accepted earlier training of %s in %s", d.who.Name, args[1]))
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why it was judged adequate (required)")
	c.Flags().StringVar(&doc, "doc", "", "the document behind it (required, or --from)")
	c.Flags().StringVar(&from, "from", "", "a file of sign-offs that the worker brought along: see evidence check")
	c.Flags().StringVar(&at, "at", "", "when it was judged adequate")
	return c
}

// credit records that earlier training was judged adequate.
func (a *app) credit(worker, module, reason, doc, at string) (d deed, err error) {
	var p problems
	d = a.deedAbout(&p, worker, at)
	std, err := a.standards(a.knownNow(d.day))
	p.add(err)
	_, err = std.module(module)
	p.add(err)
	if strings.TrimSpace(reason) == "" || strings.TrimSpace(doc) == "" {
		p.add(usage("add --reason and --doc", "a credit needs its reason and the document behind it"))
	}
	a.mustBeNamed(&p, d, training.DutySign)
	if d.by.ID != "" && d.by.ID == d.who.ID {
		p.addf("let another named signer decide: --as NAME", "%s cannot accept their own earlier training", d.who.Name)
	}
	if err = p.err(); err != nil {
		return d, err
	}
	return a.keep(d, training.KindCredit, training.Credit{Module: module, Edition: std.Curriculum.Edition, Reason: reason, Document: doc})
}
