package main

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type lookOptions struct {
	worker, announced, block, note, at string
	skills, met, missed, unseen        []string
	values                             []string
	another                            bool
}

func newObserveCmd(a *app) *cobra.Command {
	var o lookOptions
	c := &cobra.Command{
		Use:   "observe WORKER SKILL...",
		Short: "Record one look at one worker, over one or several skills",
		Long: `Record one look. Name the criteria that were met and missed, and give measured ones with their unit; what you do not
name was not seen. "--met all" means every criterion to be seen that you do not name elsewhere. Where two skills of
a look share a criterion's name, write SKILL:CRITERION. A missed critical criterion restricts the skill at once.`,
		Example: `  ringtrue skill observe ana 3.3 --at 2026-05-05T10:20 --announced no --met elbows-open,steers --value elbow=125deg --block B7
  # several skills in one look, one thing missed
  ringtrue skill observe ana 1.3 3.3 11.1 --met all --missed 3.3:quick-release --announced yes --block B7`,
		Args: a.orAsked(atLeast(2, "WORKER SKILL..."), 1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.runLook(o, args)
		},
	}
	f := c.Flags()
	f.StringSliceVar(&o.met, "met", nil, `criteria met, with commas between, or "all"`)
	f.StringSliceVar(&o.missed, "missed", nil, "criteria missed")
	f.StringSliceVar(&o.unseen, "not-seen", nil, "criteria not seen (needed only beside --met all)")
	f.StringSliceVar(&o.values, "value", nil, "measured criteria, as elbow=125deg")
	f.StringVar(&o.announced, "announced", "", "yes or no: did the worker know of the look beforehand (required)")
	f.StringVar(&o.block, "block", "", "block on which it was")
	f.StringVar(&o.note, "note", "", "anything to add")
	f.StringVar(&o.at, "at", "", "when it was seen")
	f.BoolVar(&o.another, "another", false, anotherHelp)
	return c
}

// runLook records the look that the flags tell; at a terminal it asks for what is left out.
func (a *app) runLook(o lookOptions, args []string) error {
	if err := a.write(); err != nil {
		return err
	}
	if len(args) > 0 {
		o.worker, o.skills = args[0], args[1:]
	}
	asked := o.missing() && a.attended()
	if asked {
		var err error
		if o, err = a.askLook(o); err != nil {
			return err
		}
	}
	l, err := a.observe(o)
	if err == nil && asked {
		err = a.dropDraft("skill observe")
	}
	if err != nil {
		return err
	}
	return a.done(l.by, l.refs, l.happened, l.text(a), l.notes...)
}

// look is a recorded look.
type look struct {
	who, by   store.Person
	happened  time.Time
	timeKnown bool // --at names a time that exists and lies back
	refs      []training.Ref
	skills    []training.Skill
	outcomes  []training.Outcome
	notes     []string
}

func (l look) text(a *app) string {
	var parts []string
	for i, s := range l.skills {
		parts = append(parts, s.ID+" "+l.outcomes[i].String())
	}
	return fmt.Sprintf("observed %s: %s", l.who.Name, strings.Join(parts, ", "))
}

// observe judges a look by the editions in force on its day and records one entry for each skill.
func (a *app) observe(o lookOptions) (look, error) {
	var p problems
	l, std, err := a.lookFrom(o, &p)
	if err != nil {
		return l, err
	}
	announced, err := yesNo("announced", o.announced)
	p.add(err)
	said, err := splitMarks(o, l.skills)
	p.add(err)
	var es []ledger.Entry
	for _, s := range l.skills {
		marks, outcome, reasons, err := training.Judge(s, said[s.ID], std.Rules)
		if err != nil {
			p.add(usage("see its criteria: ringtrue skill show "+s.ID, "%v", err))
		}
		l.outcomes = append(l.outcomes, outcome)
		if missedCritical(s, said[s.ID]) {
			l.outcomes[len(l.outcomes)-1] = training.CriticalMissed // also where the look cannot be judged
		}
		if l.outcomes[len(l.outcomes)-1] != training.CriticalMissed {
			a.notTwice(&p, o.another, lookTwin(l, s))
		}
		for _, r := range reasons {
			l.notes = append(l.notes, s.ID+": "+r)
		}
		es = append(es, entry(training.KindObservation, l.happened, l.by.ID, l.who.ID, s.ID, training.Observation{
			Marks: marks, Announced: announced, Block: o.block, Edition: std.Curriculum.Edition, House: std.House.Edition,
			Outcome: outcome, Reasons: append([]string{}, reasons...), Note: o.note}))
	}
	if err := p.err(); err != nil {
		return l, l.withRestrict(err, a.as != "", o.at)
	}
	l.refs, err = a.append(es)
	for i, s := range l.skills {
		if l.outcomes[i] == training.CriticalMissed {
			l.notes = append(l.notes, fmt.Sprintf("%s is restricted from now on: only as instruction, in sight of one appointed person who is not sawing", s.ID))
		}
	}
	return l, err
}

// lookFrom finds who, whom, what, when and where, and checks who may look.
func (a *app) lookFrom(o lookOptions, p *problems) (look, standards, error) {
	var l look
	var err error
	l.who, err = a.person(o.worker)
	p.add(err)
	l.by, err = a.actor()
	p.add(err)
	l.happened, err = a.happened(o.at)
	l.timeKnown = err == nil
	p.add(err)
	day := civil.Of(l.happened, a.book.Zone())
	now := a.knownNow(day)
	std, err := a.standards(now)
	if err != nil {
		return l, std, err
	}
	list, err := a.appointmentsOf(l.by.ID, now)
	if err != nil {
		return l, std, err
	}
	if l.who.ID != "" && l.who.ID == l.by.ID {
		p.addf("the look has to be somebody else's: --as OBSERVER", "%s cannot observe themselves", l.who.Name)
	}
	for _, id := range o.skills {
		s, _, err := std.skill(id)
		p.add(err)
		if err != nil {
			continue
		}
		if slices.ContainsFunc(l.skills, func(x training.Skill) bool { return x.ID == id }) {
			p.add(usage("name each skill once", "skill %s is named twice", id))
			continue
		}
		l.skills = append(l.skills, s)
		if l.by.ID != "" && !may(list, l.by.ID, training.DutyObserve, id, day) {
			p.addf("name an appointed observer with --as, or appoint one: ringtrue worker appoint WORKER --may observe --basis WHY", "%s was not named to observe skill %s on %s", l.by.Name, id, day)
		}
	}
	p.add(a.knownBlock(o.block))
	return l, std, nil
}

// missedCritical reports whether a critical criterion was said to be missed.
func missedCritical(s training.Skill, said []training.Mark) bool {
	return slices.ContainsFunc(said, func(m training.Mark) bool {
		c, ok := s.Criterion(m.Criterion)
		return ok && c.Critical && m.Seen == training.Missed
	})
}

// withRestrict adds to a refusal the command that stops the skill all the same: a look that cannot be kept must not
// lose the stop it asks for. The command names who acts and when, where the look did so.
func (l look) withRestrict(err error, named bool, at string) error {
	f, ok := err.(*failure)
	if !ok {
		return err
	}
	tail := ` --reason "critical criterion missed"`
	if named && l.by.Handle != "" {
		tail += " --as " + l.by.Handle
	}
	if at != "" && l.timeKnown {
		tail += " --at " + at
	}
	for i, o := range l.outcomes {
		if o == training.CriticalMissed && l.who.Handle != "" {
			f.next += fmt.Sprintf("\nthe look shows a missed critical criterion; anybody may stop the skill:\n  ringtrue skill restrict %s %s%s", l.who.Handle, l.skills[i].ID, tail)
		}
	}
	return f
}

// splitMarks sorts what was said of the criteria by skill. "all" stands for every criterion to be seen that is not
// named otherwise.
func splitMarks(o lookOptions, skills []training.Skill) (map[string][]training.Mark, error) {
	var p problems
	said := map[string][]training.Mark{}
	put := func(name, seen, value string) {
		skill, id, err := whichSkill(name, skills)
		p.add(err)
		if err == nil {
			said[skill] = addMark(said[skill], training.Mark{Criterion: id, Seen: seen, Value: value})
		}
	}
	isAll := func(name string) bool { return bare(name) == "all" }
	all := slices.ContainsFunc(o.met, isAll)
	for _, n := range o.met {
		if !isAll(n) {
			put(n, training.Met, "")
		}
	}
	for _, n := range o.missed {
		put(n, training.Missed, "")
	}
	for _, n := range o.unseen {
		put(n, training.NotSeen, "")
	}
	for _, v := range o.values {
		name, value, ok := strings.Cut(v, "=")
		if !ok || value == "" {
			p.add(usage("write it as --value elbow=125deg", "--value %q gives no value", v))
			continue
		}
		put(name, "", value)
	}
	if all {
		p.add(unmeasured(said, skills))
		fillIn(said, skills)
	}
	return said, p.err()
}

// addMark joins a value with what was said of the same criterion; anything else said twice stays twice, for the
// judgement to refuse.
func addMark(marks []training.Mark, m training.Mark) []training.Mark {
	for i, have := range marks {
		if have.Criterion == m.Criterion && (have.Seen == "" || m.Seen == "") && (have.Value == "" || m.Value == "") {
			marks[i] = training.Mark{Criterion: m.Criterion, Seen: have.Seen + m.Seen, Value: have.Value + m.Value}
			return marks
		}
	}
	return append(marks, m)
}

// unmeasured refuses "all" where measured criteria were left out: nobody sees a value, and without one the look would show less than it was
// meant to.
func unmeasured(said map[string][]training.Mark, skills []training.Skill) error {
	var lacks, next []string
	for _, s := range skills {
		for _, c := range s.Criteria {
			if !c.Measured() || slices.ContainsFunc(said[s.ID], func(m training.Mark) bool { return m.Criterion == c.ID }) {
				continue
			}
			name := s.ID + ":" + c.ID
			if len(skills) == 1 {
				name = c.ID
			}
			lacks = append(lacks, s.ID+" "+c.ID)
			next = append(next, "--value "+name+"=MEASURED")
		}
	}
	if lacks == nil {
		return nil
	}
	return refuse("add what was measured, as: "+strings.Join(next, " ")+"; or what was not: --not-seen NAME", "--met all measures nothing; these are measured: %s", strings.Join(lacks, ", "))
}

func fillIn(said map[string][]training.Mark, skills []training.Skill) {
	for _, s := range skills {
		for _, c := range s.Criteria {
			named := slices.ContainsFunc(said[s.ID], func(m training.Mark) bool { return m.Criterion == c.ID })
			if !named && !c.Measured() {
				said[s.ID] = append(said[s.ID], training.Mark{Criterion: c.ID, Seen: training.Met})
			}
		}
	}
}

// whichSkill finds the skill a criterion belongs to: "3.3:elbow", or a name that one of the skills has.
func whichSkill(name string, skills []training.Skill) (skill, criterion string, err error) {
	if s, c, ok := strings.Cut(name, ":"); ok {
		for _, sk := range skills {
			if sk.ID == s {
				return s, c, nil
			}
		}
		return "", "", usage("name a skill of this look", "%q names skill %s, which is not part of this look", name, s)
	}
	var in, known []string
	for _, s := range skills {
		for _, c := range s.Criteria {
			known = append(known, c.ID)
		}
	}
	name = meantWord(name, known)
	for _, s := range skills {
		if _, ok := s.Criterion(name); ok {
			in = append(in, s.ID)
		}
	}
	switch len(in) {
	case 1:
		return in[0], name, nil
	case 0:
		next := "the criteria are: " + strings.Join(known, ", ")
		if near := nearestID(name, known); near != "" {
			next = "nearest: " + near + "; all: " + strings.Join(known, ", ")
		}
		return "", "", refuse(next, "none of the skills has a criterion %q", name)
	}
	return "", "", usage("write SKILL:"+name, "criterion %q is one of several skills: %s", name, strings.Join(in, ", "))
}

// yesNo reads a flag that must be answered.
func yesNo(flag, text string) (bool, error) {
	switch plain(text) {
	case "yes", "y", "true":
		return true, nil
	case "no", "n", "false":
		return false, nil
	case "":
		return false, usage(fmt.Sprintf("say --%s yes or --%s no", flag, flag), "--%s is not answered", flag)
	}
	return false, usage(fmt.Sprintf("say --%s yes or --%s no", flag, flag), "--%s %q is neither yes nor no", flag, text)
}

func sorted(list []string) []string {
	sort.Strings(list)
	return list
}
