package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/store"
)

// What is done about a finding is decided each morning, after that morning's answers have shown it. What was done about the same
// thing on the block before stands there as words to pick, so that nobody types them again with gloves on: none is marked, and
// who sees to it is always asked.

// askControls is the question which of what was found something is done about.
const askControls = "new-controls"

// newControls asks what is done about what needs a control or stops, of what kind it is, and who sees to it.
func (m *morning) newControls(said answers) []question {
	list := m.actionable(said)
	if len(list) == 0 {
		return nil
	}
	qs := []question{{id: askControls, title: "As answered, these need a control or stop. Mark those you do something about", choices: list, many: true, optional: true}}
	for _, id := range said.list(askControls) {
		how := ""
		for _, c := range list {
			if c.value == id {
				how = strings.TrimPrefix(c.label, id+": ")
			}
		}
		qs = append(qs, m.controlAsked(id, how, said)...)
	}
	return qs
}

// controlAsked asks what is done about one thing. Words of before bring their kind along; of new ones it is asked.
func (m *morning) controlAsked(id, how string, said answers) []question {
	words := question{id: controlID(id, "what"), title: "What is done about " + id + "?", help: "a few words; known for it: " + how, check: inWords}
	owner := question{id: controlID(id, "owner"), title: "Who sees to it?", choices: m.here(said)}
	kind := question{id: controlID(id, ""), title: "What kind of control is it, for " + id + "?", help: how, choices: kinds()}
	offered := m.doneBefore(id)
	if len(offered) == 0 {
		return []question{words, kind, owner}
	}
	pick := words
	pick.check = nil
	pick.help = "done about it here before; known for it: " + how
	pick.choices = append(offered, choice{dontKnow, "something else", "?"})
	if said[pick.id] != dontKnow {
		return []question{pick, owner}
	}
	words.id = controlID(id, "in words")
	return []question{pick, words, kind, owner}
}

func controlID(id, part string) string { return strings.TrimSpace("control " + id + " " + part) }

// controlSaid is the control as answered; ok is false while its questions are open.
func (m *morning) controlSaid(id string, said answers) (c hazards.Control, ok bool) {
	c = hazards.Control{For: id, What: said[controlID(id, "what")], Owner: said[controlID(id, "owner")]}
	if kind, err := risk.ParseKind(said[controlID(id, "")]); err == nil { // the question took nothing else
		c.Kind, c.What = kind, firstText(said[controlID(id, "in words")], c.What)
		return c, true
	}
	i := slices.IndexFunc(m.before, func(old hazards.Control) bool { return old.For == id && old.What == c.What })
	if i >= 0 {
		c.Kind = m.before[i].Kind
	}
	return c, i >= 0
}

// Words of before that are offered: from so many of the block's newest sheets, and so many for one thing (company choice).
const (
	sheetsBefore = 30
	wordsBefore  = 5
)

// doneBefore lists what was done about something on the block, the newest first.
func (m *morning) doneBefore(id string) []choice {
	var out []choice
	for _, c := range m.before {
		if c.For == id && len(out) < wordsBefore {
			out = append(out, choice{value: c.What, label: c.What + " (" + c.Kind.String() + ")"})
		}
	}
	return out
}

// controlsBefore reads the controls of the newest sheets of a block, the newest first and each wording once.
func (a *app) controlsBefore(block string) ([]hazards.Control, error) {
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return nil, err
	}
	var list []hazards.Control
	sheets := 0
	for i := len(facts) - 1; i >= 0 && sheets < sheetsBefore; i-- {
		if facts[i].Struck {
			continue
		}
		sheets++
		t, err := a.tailgate(facts[i].Entry)
		if err != nil {
			return nil, err
		}
		for _, c := range t.Sheet.Controls {
			known := slices.ContainsFunc(list, func(old hazards.Control) bool { return old.For == c.For && plain(old.What) == plain(c.What) })
			if !known {
				list = append(list, c)
			}
		}
	}
	return list, nil
}

// actionable lists what a control can act on, of what stops or needs one on the answers without new controls.
func (m *morning) actionable(said answers) []choice {
	f := m.foresee(without(said, askControls))
	var out []choice
	add := func(id, how string) {
		there := slices.ContainsFunc(out, func(c choice) bool { return c.value == id })
		if slices.Contains(hazards.Controllable(), id) && id != kickback.DullBlade && !there {
			out = append(out, choice{value: id, label: id + ": " + how})
		}
	}
	for _, one := range f.answer.Findings {
		if one.Effect == hazards.Watch || one.Effect == hazards.StopSaw {
			continue
		}
		for _, l := range one.Lower {
			id, how, _ := strings.Cut(l, ": ")
			add(id, how)
		}
		add(one.ID, one.What)
	}
	return out
}

// without leaves an answer out.
func without(said answers, id string) answers {
	rest := answers{}
	for k, v := range said {
		if k != id {
			rest[k] = v
		}
	}
	return rest
}

// kinds are the kinds of control, with what each does to the chance.
func kinds() []choice {
	return []choice{
		{value: risk.TakenAway.String(), label: "taken away: it is gone from the work"},
		{value: risk.Technical.String(), label: "technical: a thing stands between"},
		{value: risk.Organised.String(), label: "organised: the work is done another way"},
		{value: risk.Training.String(), label: "training: told; lowers no chance"},
		{value: risk.PPE.String(), label: "equipment worn; lowers no chance"},
	}
}
