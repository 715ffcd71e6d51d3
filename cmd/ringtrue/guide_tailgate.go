package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// The guided tailgate asks what the day sheet asks, in the order of a morning. What was stable on the block's last sheet
// is shown with its day and asked about once; what a sheet never carries forward is asked afresh and never filled in.

// morning is what the questions of one block rest on.
type morning struct {
	hazards.Hints
	crew  []choice
	plans map[string]hazards.CrewLine // as planned last, by short id

	before []hazards.Control // what was done on the block before, the newest first

	foresee func(answers) foreseen // what the check would say
	known   hazards.Known          // what the sheet will be held against
	clock   func() string          // now, HH:MM
}

// Ids of questions that are no lines of the sheet by themselves.
const (
	askCrew     = "crew"
	askStale    = "no-longer-true" // what of the last sheet is to be asked again
	askFit      = "all-fit"
	askUnfit    = "not-fit"
	askSawsFine = "saws-in-order"
	askSpare    = "spare-saws"
	askPlace    = "coordinates-same"
	askReadings = "readings"
	askBegun    = "work-begun"
	dontKnow    = "?"
	planPrefix  = "plan "
)

// morningAt reads what the questions of a block rest on.
func (a *app) morningAt(block string) (*morning, error) {
	today := a.askedToday()
	card, known, err := a.card(block, today)
	if err != nil || !known {
		return nil, firstError(err, a.knownBlock(block))
	}
	m := &morning{plans: map[string]hazards.CrewLine{}}
	m.foresee = a.foresee(m)
	if m.Hints, err = a.sheetHints(card, false, today.Day); err != nil {
		return nil, err
	}
	if m.before, err = a.controlsBefore(block); err != nil {
		return nil, err
	}
	if m.known, err = a.sheetKnows(); err != nil {
		return nil, err
	}
	m.clock = func() string { return a.now().In(a.book.Zone()).Format("15:04") }
	if m.Last != nil {
		m.Last.Controls = slices.DeleteFunc(slices.Clone(m.Last.Controls), func(c hazards.Control) bool {
			_, err := m.known.Person(c.Owner)
			return err != nil // forgotten since
		})
		for _, c := range m.Last.Crew {
			if m.offered(c) {
				m.plans[c.Worker] = c
			}
		}
	}
	people, err := a.crew()
	for _, id := range m.People {
		m.crew = append(m.crew, choice{value: id, label: id + "  " + people.byHandle[id].Name})
	}
	slices.SortStableFunc(m.crew, func(x, y choice) int { return m.place(x.value) - m.place(y.value) })
	return m, err
}

// place is where somebody stood on the last sheet; everybody else comes behind.
func (m *morning) place(worker string) int {
	if m.Last == nil {
		return 0
	}
	i := slices.IndexFunc(m.Last.Crew, func(c hazards.CrewLine) bool { return c.Worker == worker })
	if i < 0 {
		return len(m.Last.Crew)
	}
	return i
}

// tailgateFlow begins with the block; the rest of the questions is the block's.
func (a *app) tailgateFlow() flow {
	var m *morning
	return func(said answers) ([]question, error) {
		block, err := a.tailgateBlock()
		if err != nil || said["block"] == "" {
			return []question{block}, err
		}
		if m == nil || m.Block.ID != said["block"] {
			if m, err = a.morningAt(said["block"]); err != nil {
				return nil, err
			}
		}
		return append([]question{block}, m.questions(said)...), nil
	}
}

// tailgateBlock asks for the block; the one of the newest sheet is offered.
func (a *app) tailgateBlock() (question, error) {
	cards, err := a.cards(a.askedToday())
	if err != nil {
		return question{}, err
	}
	newest, from := "", ""
	var at int64
	for _, c := range cards {
		t, ok, err := a.lastTailgate(c.ID)
		if err != nil {
			return question{}, err
		}
		if ok && t.happened.Unix() > at {
			at, newest, from = t.happened.Unix(), c.ID, "the last sheet, "+t.Sheet.Day
		}
	}
	q, err := a.blockQuestion("Which block is it today?", newest, from)
	return q, firstError(err, someBlock(q))
}

// questions lists what is asked on the block.
func (m *morning) questions(said answers) []question {
	qs := []question{{id: askCrew, title: "Who stands here now? Mark everybody, with or without a saw", choices: m.planned(), many: true}}
	if said[askCrew] == "" {
		return qs
	}
	if stale := m.carried(said); len(stale) > 0 {
		qs = append(qs, question{id: askStale, title: "As on the sheet of " + m.Last.Day + ". Mark what is no longer true", choices: stale, many: true, optional: true})
	}
	qs = append(qs, m.plansAsked(said)...)
	qs = append(qs, m.fit(said)...)
	qs = append(qs, m.saws(said)...)
	for _, q := range hazards.Questions() {
		qs = append(qs, m.asked(q, said)...)
	}
	qs = append(qs, m.readings(said)...)
	for _, e := range m.Asks {
		qs = append(qs, m.orDontKnow(question{id: hazards.AskKey(e.Event), title: e.Question, help: e.About(), choices: answersTo(true)}, said)...)
	}
	return append(qs, m.last(said)...)
}

// planned shows beside everybody what was planned for them last.
func (m *morning) planned() []choice {
	list := slices.Clone(m.crew)
	for i, c := range list {
		if p, ok := m.plans[c.value]; ok {
			list[i].label += ": " + planWords(p)
		}
	}
	return list
}

func planWords(p hazards.CrewLine) string {
	if !p.Saws() {
		return p.Level.String()
	}
	return fmt.Sprintf("saw %s, %s, %s%s", p.Saw, p.Group, p.Level, note(", watched by ", p.WatchedBy))
}

// carried lists what stays as on the last sheet unless it is marked: the plan of everybody who is here, and stable answers.
func (m *morning) carried(said answers) []choice {
	if m.Last == nil {
		return nil
	}
	var out []choice
	for _, w := range said.list(askCrew) {
		if p, ok := m.plans[w]; ok {
			out = append(out, choice{value: planPrefix + w, label: w + ": " + planWords(p)})
		}
	}
	for _, q := range m.mayStay() {
		if text, ok := m.stable(q); ok {
			out = append(out, choice{value: q.ID, label: q.Text + " " + text})
		}
	}
	return out
}

// mayStay are the questions whose answers may stay as they were on the last sheet.
func (m *morning) mayStay() []hazards.Question {
	if m.FireClass == "" {
		return hazards.Questions()
	}
	return append(hazards.Questions(), readingOf(hazards.FireClassBy))
}

// stable is the answer of the last sheet, where the question is one that is carried and the card is still the same.
func (m *morning) stable(q hazards.Question) (string, bool) {
	if m.Last == nil || !q.Carried || m.Last.BlockEdition != m.Block.Edition {
		return "", false
	}
	s := m.Last.Said(q.ID)
	return s.Carried().String(), s.Is != hazards.DontKnow
}

// plansAsked asks for the plan of everybody who has none, or whose plan is no longer true.
func (m *morning) plansAsked(said answers) []question {
	var qs []question
	for _, w := range said.list(askCrew) {
		if _, ok := m.plans[w]; ok && !slices.Contains(said.list(askStale), planPrefix+w) {
			continue
		}
		level := question{id: planPrefix + w, title: "How does " + m.name(w) + " work today?", choices: plainChoices(levelWords())}
		if len(m.Saws) > 0 && len(m.free(w, said)) == 0 {
			level.choices, level.help = plainChoices([]string{training.NoSaw.String()}), "every saw is used by somebody else"
		}
		qs = append(qs, level)
		if said[level.id] == "" || said[level.id] == training.NoSaw.String() {
			continue
		}
		qs = append(qs, question{id: "saw of " + w, title: "Which saw does " + m.name(w) + " use?", choices: plainChoices(m.free(w, said)), check: m.sawOf(w, said)},
			question{id: "group of " + w, title: "For which work?", choices: plainChoices(m.Groups)})
		if said[level.id] == training.InSight.String() && len(m.watchers(said, w)) > 0 {
			qs = append(qs, question{id: "watch of " + w, title: "Who watches " + m.name(w) + ", and does not saw?", choices: m.watchers(said, w)})
		}
	}
	return qs
}

func plainChoices(ids []string) []choice {
	var out []choice
	for _, id := range ids {
		out = append(out, choice{value: id, label: id})
	}
	return out
}

// name writes somebody of the crew with the short id behind.
func (m *morning) name(worker string) string {
	for _, c := range m.crew {
		if c.value == worker {
			return strings.TrimSpace(strings.TrimPrefix(c.label, c.value)) + " (" + c.value + ")"
		}
	}
	return worker
}

// here are those who stand here today.
func (m *morning) here(said answers) []choice {
	return slices.DeleteFunc(slices.Clone(m.crew), func(c choice) bool { return !slices.Contains(said.list(askCrew), c.value) })
}

// watchers are those here who could watch somebody: nobody watches themselves.
func (m *morning) watchers(said answers, worker string) []choice {
	return slices.DeleteFunc(m.here(said), func(c choice) bool { return c.value == worker })
}

// fit asks everybody by name; where not all are fit, who is not.
func (m *morning) fit(said answers) []question {
	qs := []question{{id: askFit, title: "Ask each one by name: is every one of them fit for work today?", help: strings.Join(eachOf(said.list(askCrew), m.name), ", "), choices: yesOrNo()}}
	if said[askFit] == hazards.No {
		qs = append(qs, question{id: askUnfit, title: "Who is not fit for work, or not sure? Mark them", choices: m.here(said), many: true})
	}
	return qs
}

// saws asks for the checks of every saw that is used: those on which all is in order are marked, and every other saw is
// asked about check by check.
func (m *morning) saws(said answers) []question {
	var qs []question
	if more := m.spare(said); len(more) > 0 {
		qs = append(qs, question{id: askSpare, title: "Which saws are here besides, as a spare? Mark them", choices: plainChoices(more), many: true, optional: true})
	}
	ids := m.standing(said)
	if len(ids) == 0 {
		return qs
	}
	var checks []string
	for _, q := range hazards.SawChecks() {
		if q.ID != hazards.SawTagged { // the title asks that
			checks = append(checks, q.Text)
		}
	}
	fine := question{id: askSawsFine, title: "Check each saw before its first use. Mark those on which every point is in order and which are not tagged out",
		help: strings.Join(checks, " "), choices: plainChoices(ids), many: true, optional: true}
	qs = append(qs, fine)
	if _, answered := said[askSawsFine]; !answered {
		return qs
	}
	for _, id := range ids {
		if slices.Contains(said.list(askSawsFine), id) {
			continue
		}
		for _, q := range hazards.SawChecks() {
			qs = append(qs, m.orDontKnow(question{id: id + " " + q.ID, title: "Saw " + id + ": " + q.Text, choices: answersTo(false)}, said)...)
		}
	}
	return qs
}

// spare lists the saws that nobody uses as planned.
func (m *morning) spare(said answers) []string {
	used := m.used(said)
	return slices.DeleteFunc(slices.Clone(m.Saws), func(id string) bool { return slices.Contains(used, id) })
}

// standing lists the saws that are here: those in use and the spare ones.
func (m *morning) standing(said answers) []string {
	ids := m.used(said)
	for _, id := range said.list(askSpare) {
		if !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// used lists the saws in the plans of those who are here, each once.
func (m *morning) used(said answers) []string {
	var ids []string
	for _, w := range said.list(askCrew) {
		if c := m.line(w, said); c.Saw != "" && !slices.Contains(ids, c.Saw) {
			ids = append(ids, c.Saw)
		}
	}
	return ids
}

// line is what is planned for a worker today, as far as it has been said.
func (m *morning) line(w string, said answers) hazards.CrewLine {
	c, ok := m.plans[w]
	if ok && !slices.Contains(said.list(askStale), planPrefix+w) {
		return c
	}
	c = hazards.CrewLine{Worker: w, Saw: said["saw of "+w], Group: said["group of "+w], WatchedBy: said["watch of "+w]}
	for l := training.NoSaw; l <= training.Unsupervised; l++ {
		if l.String() == said[planPrefix+w] {
			c.Level = l
		}
	}
	return c
}
