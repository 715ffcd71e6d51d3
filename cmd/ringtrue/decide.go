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

// decision is who decides what about whom, when, with what the book knew.
type decision struct {
	who, by  store.Person
	skill    training.Skill
	module   training.Module
	happened time.Time
	asked    training.Asked
	std      standards
	record   training.Case
	topics   store.Topics
}

// decisionOn gathers what a decision about a worker's skill needs, and refuses what nobody may decide.
func (a *app) decisionOn(worker, skill, at string) (*decision, error) {
	var p problems
	d := &decision{}
	var err error
	d.who, err = a.person(worker)
	p.add(err)
	d.by, err = a.actor()
	p.add(err)
	d.happened, err = a.happened(at)
	p.add(err)
	day := civil.Of(d.happened, a.book.Zone())
	d.asked = training.Asked{Day: day, On: d.happened.Unix(), Known: a.knownNow(day).Known}
	if d.std, err = a.standards(d.asked); err != nil {
		return d, err
	}
	d.skill, d.module, err = d.std.skill(skill)
	p.add(err)
	if err := p.err(); err != nil {
		return d, err
	}
	if d.topics, err = a.skillTopics(d); err != nil {
		return d, err
	}
	d.record = d.std.of(d.topics, d.skill.ID)
	return d, nil
}

// skillTopics reads what bears on one skill: the skill, its module, and the task groups that use it.
func (a *app) skillTopics(d *decision) (store.Topics, error) {
	names := []string{d.skill.ID, d.module.ID}
	if d.skill.Replaces != "" {
		names = append(names, d.skill.Replaces)
	}
	for _, g := range d.std.Groups {
		if g.Uses(d.skill) {
			names = append(names, store.UseTopic(g.ID))
		}
	}
	topics := store.Topics{}
	for _, n := range names {
		facts, err := a.book.Topic(a.ctx, d.asked, d.who.ID, n)
		if err != nil {
			return nil, err
		}
		topics[n] = facts
	}
	return topics, nil
}

// mustSign refuses a decider who is the worker, or who is not named to sign for the skill that day.
func (a *app) mustSign(d *decision, doing string) error {
	var p problems
	if d.by.ID == d.who.ID {
		p.addf("let another named signer decide: --as NAME", "%s cannot %s their own skill", d.who.Name, doing)
	}
	list, err := a.appointmentsOf(d.by.ID, d.asked)
	if err != nil {
		return err
	}
	a.mustBeHere(&p, d.who, d.asked.Day)
	if !may(list, d.by.ID, training.DutySign, d.skill.ID, d.asked.Day) {
		p.addf("name an appointed signer with --as, or appoint one: ringtrue worker appoint WORKER --may sign --basis WHY", "%s was not named to sign skill %s on %s", d.by.Name, d.skill.ID, d.asked.Day)
	}
	return p.err()
}

// mustBeHere refuses a decision about somebody who had left by then, whenever that was told. Stops are never refused, and so never ask.
func (a *app) mustBeHere(p *problems, who store.Person, day civil.Day) {
	facts, err := a.book.Topic(a.ctx, training.Asked{Day: day, On: 1<<62 - 1, Known: 1<<62 - 1}, who.ID, training.KindLeave)
	p.add(err)
	for _, f := range facts {
		var left training.Leave
		if f.Struck {
			continue
		}
		if _, err := a.book.Entry(a.ctx, f.Entry, &left); err != nil {
			p.add(err)
			continue
		}
		if from, err := civil.Parse(left.From); err == nil && from <= day {
			p.addf("if it was decided before that, say when: --at DAY; if they did not leave: ringtrue book strike "+a.book.Short(f.Entry)+" --reason TEXT",
				"%s left on %s (entry %s)", who.Name, left.From, a.book.Short(f.Entry))
		}
	}
}

func newSignCmd(a *app) *cobra.Command {
	var at string
	c := &cobra.Command{
		Use:   "sign WORKER SKILL",
		Short: "Sign off a skill on the evidence in the book",
		Long: `Decide that a worker holds a skill. The evidence is what the book holds by then; where it falls short the sign-off
is refused and everything missing is listed (exit 3).`,
		Example: `  ringtrue skill sign ana 3.3 --as okafor`,
		Args:    a.orAsked(exactly(2, "WORKER SKILL"), 1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			asked := len(args) < 2
			if asked {
				worker, skill, err := a.askSign(args, at)
				if err != nil {
					return err
				}
				args = []string{worker, skill}
			}
			d, rec, refs, err := a.sign(args[0], args[1], at)
			if err == nil && asked {
				err = a.dropDraft("skill sign")
			}
			if err != nil {
				return err
			}
			notes, err := a.signedNotes(d, rec)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf("signed off %s for %s %s, until %s", d.who.Name, d.skill.ID, d.skill.Title, rec.Until), notes...)
		},
	}
	c.Flags().StringVar(&at, "at", "", "when it was decided")
	return c
}

// shorts writes "origin#seq" references as people type them.
func (a *app) shorts(refs []string) []string {
	out := make([]string, len(refs))
	for i, s := range refs {
		out[i] = strings.TrimPrefix(s, a.book.Origin()+"#")
	}
	return out
}

// sign records a sign-off if the evidence is complete.
func (a *app) sign(worker, skill, at string) (*decision, training.SignOff, []training.Ref, error) {
	var rec training.SignOff
	d, err := a.decisionOn(worker, skill, at)
	if err != nil {
		return d, rec, nil, err
	}
	if err := a.mustSign(d, "sign off"); err != nil {
		return d, rec, nil, err
	}
	if lacks := training.Missing(d.record, d.asked); lacks != nil {
		return d, rec, nil, &failure{exitNo, fmt.Sprintf("%s cannot be signed off for %s yet: %s", d.who.Name, d.skill.ID, strings.Join(lacks, "; ")),
			"see what the book holds: ringtrue evidence show " + d.who.Handle}
	}
	rec, err = a.signOff(d)
	if err != nil {
		return d, rec, nil, err
	}
	refs, err := a.append([]ledger.Entry{entry(training.KindSignOff, d.happened, d.by.ID, d.who.ID, d.skill.ID, rec)})
	return d, rec, refs, err
}

// signOff names the evidence and who the signer is to it.
func (a *app) signOff(d *decision) (training.SignOff, error) {
	rec := training.SignOff{Until: d.std.Rules.SignOffEnd(d.asked.Day).String(), Edition: d.std.Curriculum.Edition, House: d.std.House.Edition}
	taught, _ := training.TaughtBy(d.topics[d.module.ID], d.asked)
	var observers []string
	for _, f := range training.Looks(d.record, d.asked) {
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return rec, err
		}
		observers, rec.Evidence = append(observers, h.By), append(rec.Evidence, a.book.Name(f.Entry))
	}
	h, err := a.book.Entry(a.ctx, taught.Entry, nil)
	if err != nil {
		return rec, err
	}
	rec.Evidence = append(rec.Evidence, a.book.Name(taught.Entry))
	rec.Independence = training.Independence(d.by.ID, a.opening.Owner, h.By, observers)
	return rec, nil
}

// signedNotes says what a sign-off just made rests on, and by when days away from the saw end it unless it is used.
func (a *app) signedNotes(d *decision, rec training.SignOff) ([]string, error) {
	notes := []string{"rests on entries " + strings.Join(a.shorts(rec.Evidence), ", "), "decided " + rec.Independence}
	topics, err := a.skillTopics(d)
	if err != nil {
		return nil, err
	}
	st := training.StandingOf(d.std.of(topics, d.skill.ID), d.asked)
	for _, r := range st.Reasons[min(1, len(st.Reasons)):] {
		notes = append(notes, r.Text)
	}
	return notes, nil
}

func newLiftCmd(a *app) *cobra.Command {
	var at, look, reason string
	c := &cobra.Command{
		Use:   "lift WORKER SKILL",
		Short: "Let practice resume after a restriction, on a named later met look",
		Long: `Lift a restriction. The lift names a met observation of the same worker and skill that came after what restricted it.
It only lets practice resume; the level comes back with a new sign-off on looks after the miss.`,
		Example: `  ringtrue skill lift ana 3.3 --on-observation 412 --reason "shown again on flat ground"`,
		Args:    exactly(2, "WORKER SKILL"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, refs, err := a.lift(args[0], args[1], look, reason, at)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf("lifted the restriction of %s on %s, on entry %s", d.who.Name, d.skill.ID, look),
				"practice may resume; the level comes back with a new sign-off")
		},
	}
	f := c.Flags()
	f.StringVar(&look, "on-observation", "", "the entry of the later met look (required)")
	f.StringVar(&reason, "reason", "", "why")
	f.StringVar(&at, "at", "", "when it was decided")
	return c
}

// lift records a lift if the named look bears it.
func (a *app) lift(worker, skill, look, reason, at string) (*decision, []training.Ref, error) {
	d, err := a.decisionOn(worker, skill, at)
	if err != nil {
		return d, nil, err
	}
	if err := a.mustSign(d, "lift the restriction of"); err != nil {
		return d, nil, err
	}
	if look == "" {
		return d, nil, usage("name it: --on-observation ENTRY", "a lift names a later met observation")
	}
	ref, ok, err := a.book.Find(a.ctx, look)
	if err != nil {
		return d, nil, err
	}
	if !ok {
		return d, nil, refuse("see: ringtrue evidence show "+d.who.Handle, "there is no entry %s", look)
	}
	if why := training.CannotLift(d.record, d.asked, ref); why != "" {
		return d, nil, &failure{exitNo, fmt.Sprintf("entry %s does not lift the restriction of %s on %s: %s", look, d.who.Name, d.skill.ID, why),
			"see what the book holds: ringtrue evidence show " + d.who.Handle}
	}
	refs, err := a.append([]ledger.Entry{entry(training.KindLift, d.happened, d.by.ID, d.who.ID, d.skill.ID, training.Lift{Observation: a.book.Name(ref), Reason: reason})})
	return d, refs, err
}

type stopOptions struct{ worker, skill, reason, told, at string }

// newRestrictCmd and newWithdrawCmd: anyone may stop; nothing but who, what and why is asked.
func newRestrictCmd(a *app) *cobra.Command {
	return a.stopCmd("restrict", "Stop a worker from using a skill, from now on", training.KindRestriction,
		`  ringtrue skill restrict ben 5.3 --reason "foot on the turning blade" --as luis`,
		"restricted %s on %s: may not use it except as instruction, in sight of one appointed person who is not sawing")
}

func newWithdrawCmd(a *app) *cobra.Command {
	return a.stopCmd("withdraw", "End a sign-off, or a release for a task group, from now on; it was right when made", training.KindWithdrawal,
		`  ringtrue skill withdraw ben 6.1 --reason "changed to another kind of saw"
  ringtrue skill withdraw ana light-brush --reason "the ground has changed"`,
		"withdrew the sign-off of %s for %s")
}

func (a *app) stopCmd(verb, short, kind, example, sentence string) *cobra.Command {
	var o stopOptions
	of := "SKILL"
	if kind == training.KindWithdrawal {
		of = "SKILL-OR-GROUP"
	}
	c := &cobra.Command{
		Use:     verb + " WORKER " + of,
		Short:   short,
		Long:    short + ".\n\nAnybody may do this, in person or by phone: no appointment, evidence or key is asked, and it counts at once.",
		Example: example,
		Args:    exactly(2, "WORKER "+of),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker, o.skill = args[0], args[1]
			if kind == training.KindWithdrawal && a.isGroup(o.skill) {
				d, notes, err := a.endRelease(o)
				if err != nil {
					return err
				}
				return a.recorded(d, fmt.Sprintf("ended the release of %s for %s", d.who.Name, o.skill), notes...)
			}
			var notes []string
			o.reason, notes = reasonSaid(o.reason, notes)
			d, refs, err := a.stop(kind, o)
			if err != nil {
				return err
			}
			if held := training.StandingOf(d.record, d.asked); kind == training.KindWithdrawal && held.SignOff == 0 {
				notes = append(notes, "no sign-off was in force; earlier looks no longer count")
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf(sentence, d.who.Name, d.skill.ID), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.reason, "reason", "", "why")
	f.StringVar(&o.told, "told", "in person", `how it was told: "in person" or "by phone"`)
	f.StringVar(&o.at, "at", "", clockHelp)
	return c
}

// stop records a restriction or a withdrawal.
func (a *app) stop(kind string, o stopOptions) (*decision, []training.Ref, error) {
	d, err := a.decisionOn(o.worker, o.skill, a.todayAt(o.at))
	if err != nil {
		return d, nil, err
	}
	var data any = training.Restriction{Reason: o.reason, Told: o.told}
	if kind == training.KindWithdrawal {
		data = training.Withdrawal{Reason: o.reason, Told: o.told}
	}
	refs, err := a.append([]ledger.Entry{entry(kind, d.happened, d.by.ID, d.who.ID, d.skill.ID, data)})
	return d, refs, err
}
