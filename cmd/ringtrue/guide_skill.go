package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/training"
)

// lookMissing reports whether a look says too little to be recorded.
func (o lookOptions) missing() bool {
	return len(o.skills) == 0 || o.announced == "" || len(o.met)+len(o.missed)+len(o.unseen)+len(o.values) == 0
}

// askLook asks for what a look leaves open.
func (a *app) askLook(o lookOptions) (lookOptions, error) {
	known := answers{}
	for id, text := range map[string]string{"worker": o.worker, "skill": strings.Join(o.skills, ","), "announced": o.announced, "block": o.block} {
		if text != "" {
			known[id] = text
		}
	}
	said, err := a.ask("skill observe", known, a.lookFlow(len(o.skills) > 0))
	if err != nil {
		return o, err
	}
	if said[recordQuestion] != "yes" {
		return o, notRecorded()
	}
	o.worker, o.skills, o.announced, o.block = said["worker"], lookedSkills(said), said["announced"], said["block"]
	std, err := a.standards(a.askedToday())
	if err != nil {
		return o, err
	}
	for _, id := range o.skills {
		s, _, _ := std.Skill(id)
		for _, c := range s.Criteria {
			o.mark(c, s.ID+":"+c.ID, said[s.ID+":"+c.ID])
		}
	}
	return o, nil
}

// mark puts the answer about one criterion where the flags would.
func (o *lookOptions) mark(c training.Criterion, name, said string) {
	switch {
	case said == training.Met:
		o.met = append(o.met, name)
	case said == training.Missed:
		o.missed = append(o.missed, name)
	case said == training.NotSeen:
		o.unseen = append(o.unseen, name)
	case c.Measured() && said != "":
		o.values = append(o.values, name+"="+said)
	}
}

// lookFlow: whom, what, each criterion, whether it was announced, where. What was seen is never offered. One look may
// cover several skills: where the command line named none, another one is asked for behind each.
func (a *app) lookFlow(named bool) flow {
	return func(said answers) ([]question, error) {
		worker, err := a.lookedAt()
		if err != nil || said["worker"] == "" {
			return []question{worker}, err
		}
		std, err := a.standards(a.askedToday())
		if err != nil {
			return nil, err
		}
		skills, err := a.skillsLookedAt(said, named, std)
		if err != nil {
			return nil, err
		}
		block, err := a.lookBlock(said["worker"])
		if err != nil {
			return nil, err
		}
		last := recordIt("A look is judged by the curriculum and the house rules in force today.")
		if last.preview, err = a.lookSummary(said, std); err != nil {
			return nil, err
		}
		rest := []question{{id: "announced", title: "Did the worker know of the look beforehand?", choices: yesOrNo()}}
		if len(block.choices) > 0 {
			rest = append(rest, block)
		}
		return slices.Concat([]question{worker}, skills, rest, []question{last}), nil
	}
}

// skillsLookedAt asks for each skill and its criteria.
func (a *app) skillsLookedAt(said answers, named bool, std standards) ([]question, error) {
	offered, err := choicesFrom(a.offerSkills())
	if err != nil {
		return nil, err
	}
	q := question{id: skillID(1), title: "Which skill did you look at?", help: "number, or any part of the title", choices: offered, search: true, check: a.mayLook}
	qs := []question{q}
	for n := 1; said[skillID(n)] != ""; n++ {
		for _, id := range said.list(skillID(n)) {
			s, _, err := std.skill(id)
			if err != nil {
				return nil, err
			}
			for i, c := range s.Criteria {
				qs = append(qs, criterionQuestion(s, c, i, std))
			}
		}
		if named {
			return qs, nil
		}
		q.choices = slices.DeleteFunc(slices.Clone(q.choices), func(c choice) bool { return c.value == said[skillID(n)] })
		q.id, q.title, q.optional = skillID(n+1), "Another skill in the same look?", true
		qs = append(qs, q)
	}
	return qs, nil
}

// skillID is the id of the question for the nth skill of a look.
func skillID(n int) string {
	if n == 1 {
		return "skill"
	}
	return fmt.Sprintf("skill %d", n)
}

// lookedSkills lists the skills of a look.
func lookedSkills(said answers) []string {
	var list []string
	for n := 1; said[skillID(n)] != ""; n++ {
		list = append(list, said.list(skillID(n))...)
	}
	return list
}

// lookedAt asks who was looked at: anybody but who looks.
func (a *app) lookedAt() (question, error) {
	q, err := a.workerQuestion("Who did you look at?")
	if err == nil {
		q.choices, err = a.others()
	}
	return q, err
}

// mayLook refuses a skill for which who acts was not named, before anything else is asked.
func (a *app) mayLook(id string) (string, error) {
	by, err := a.actor()
	if err != nil {
		return id, err
	}
	today := a.askedToday()
	list, err := a.appointmentsOf(by.ID, today)
	if err == nil && !may(list, by.ID, training.DutyObserve, id, today.Day) {
		err = fmt.Errorf("%s was not named to observe skill %s; who was, says so with --as", by.Name, id)
	}
	return id, err
}

func criterionQuestion(s training.Skill, c training.Criterion, i int, std standards) question {
	q := question{id: s.ID + ":" + c.ID, title: fmt.Sprintf("%s, %d of %d: %s", s.ID, i+1, len(s.Criteria), c.Text), help: c.ID}
	if i == 0 && s.Look != "" {
		q.preview = s.Look
	}
	if c.Critical {
		q.help += ", CRITICAL: missed, it restricts the skill at once"
	}
	if !c.Measured() {
		q.choices = []choice{{training.Met, "met", "m"}, {training.Missed, "missed", "x"}, {training.NotSeen, "not seen", "-"}}
		return q
	}
	q.help += fmt.Sprintf(", measured: wanted is %s (curriculum %s); blank if it was not measured", c.Wanted(), std.Curriculum.Edition)
	q.optional = true
	q.check = checked(func(text string) error {
		_, _, _, err := training.Judge(s, []training.Mark{{Criterion: c.ID, Value: text}}, std.Rules)
		return err
	})
	return q
}

// lookBlock asks where it was; the block of the worker's last look is offered.
func (a *app) lookBlock(worker string) (question, error) {
	var last training.Observation
	from, _, err := a.lastAbout(worker, training.KindObservation, &last, always)
	if err != nil {
		return question{}, err
	}
	return a.blockQuestion("On which block was it?", last.Block, from)
}

// lookSummary says what will be recorded, and what it means: what restricts first.
func (a *app) lookSummary(said answers, std standards) (string, error) {
	people, err := a.crew()
	by, errBy := a.actor()
	if err = firstError(err, errBy); err != nil {
		return "", err
	}
	how := "unannounced"
	if said["announced"] == "yes" {
		how = "announced"
	}
	var stops, parts []string
	for _, id := range lookedSkills(said) {
		s, _, _ := std.Skill(id)
		var marks []training.Mark
		for _, c := range s.Criteria {
			m := training.Mark{Criterion: c.ID, Seen: said[s.ID+":"+c.ID]}
			if c.Measured() {
				m.Seen, m.Value = "", said[s.ID+":"+c.ID]
				if m.Value == "" {
					m.Seen = training.NotSeen
				}
			}
			marks = append(marks, m)
		}
		_, outcome, reasons, err := training.Judge(s, marks, std.Rules)
		if err != nil {
			continue // the questions that are still open
		}
		lines := append([]string{fmt.Sprintf("%s %s: %s", s.ID, s.Title, strings.ToUpper(outcome.String()))}, reasons...)
		if outcome == training.CriticalMissed {
			stops = append(stops, append(lines, "it RESTRICTS the skill at once")...)
			continue
		}
		parts = append(parts, lines...)
	}
	head := fmt.Sprintf("To be recorded: a look at %s by %s, %s%s", people.name(idOrSame(people, said["worker"])), people.name(by.ID), how, note(", block ", said["block"]))
	return strings.Join(slices.Concat([]string{head}, stops, parts), "\n"), nil
}

// withNames writes people, as answered, with their names.
func (a *app) withNames(handles ...string) (string, error) {
	people, err := a.crew()
	return strings.Join(eachOf(handles, func(h string) string { return people.name(idOrSame(people, h)) }), ", "), err
}

func idOrSame(people *people, handle string) string {
	if one, ok := people.byHandle[handle]; ok {
		return one.ID
	}
	return handle
}

// askSign asks whose skill is to be signed off.
func (a *app) askSign(args []string, at string) (worker, skill string, err error) {
	known := answers{}
	if len(args) > 0 {
		known["worker"] = args[0]
	}
	said, err := a.ask("skill sign", known, func(said answers) ([]question, error) { return a.signFlow(said, at) })
	if err != nil {
		return "", "", err
	}
	if said[recordQuestion] != "yes" {
		return "", "", notRecorded()
	}
	return said["worker"], said["skill"], nil
}

// signFlow: whose, which. A skill whose evidence falls short is not taken, and what is missing is said on the spot.
func (a *app) signFlow(said answers, at string) ([]question, error) {
	worker, err := a.lookedAt()
	worker.title = "Whose skill do you sign off?"
	if err != nil || said["worker"] == "" {
		return []question{worker}, err
	}
	skills, err := a.skillsToSign(said["worker"])
	if err != nil {
		return nil, err
	}
	by, err := a.actor()
	if err != nil {
		return nil, err
	}
	signer, errBy := a.withNames(by.Handle)
	whose, err := a.withNames(said["worker"])
	if err = firstError(errBy, err); err != nil {
		return nil, err
	}
	return []question{worker, {id: "skill", title: "Which skill?", help: "those with complete evidence stand first", choices: skills, search: true,
		check: func(id string) (string, error) { return id, a.maySign(said["worker"], id, at) }},
		recordIt(fmt.Sprintf("%s signs off %s for %s", signer, said["skill"], whose))}, nil
}

// skillsToSign lists the skills with their standings, those to decide first.
func (a *app) skillsToSign(worker string) ([]choice, error) {
	who, err := a.person(worker)
	if err != nil {
		return nil, err
	}
	today := a.askedToday()
	std, err := a.standards(today)
	if err != nil {
		return nil, err
	}
	topics, err := a.book.Facts(a.ctx, today, who.ID)
	if err != nil {
		return nil, err
	}
	standings := standingsOf(topics, std, today, nil)
	var ready, rest []choice
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			word := standings[s.ID].Word
			c := choice{value: s.ID, label: fmt.Sprintf("%s  %s (%s)", s.ID, s.Title, word)}
			if word == training.ToDecide || word == training.Due {
				ready = append(ready, c)
				continue
			}
			rest = append(rest, c)
		}
	}
	return append(ready, rest...), nil
}

// maySign says why a skill cannot be signed off now, with the house rules that ask for what is missing.
func (a *app) maySign(worker, skill, at string) error {
	d, err := a.decisionOn(worker, skill, at)
	if err == nil {
		err = a.mustSign(d, "sign off")
	}
	if err != nil {
		return inOneLine(err)
	}
	if lacks := training.Missing(d.record, d.asked); lacks != nil {
		return fmt.Errorf("the evidence falls short (house rules %s): %s", d.std.House.Edition, strings.Join(lacks, "; "))
	}
	return nil
}
