package main

import (
	"slices"
	"strconv"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/weather"
)

// readEarlier is the answer that the fire class was not read just now.
const readEarlier = "earlier"

// wind asks for the wind by what it does to the trees, one key for each force.
func (m *morning) wind(q question, said answers) []question {
	const most = 9 // beyond it the number makes no difference to anybody (company choice)
	for n := range most + 1 {
		f, _ := weather.ForceOf(n)
		label := f.Trees
		if n == most {
			label += ", or worse"
		}
		q.choices = append(q.choices, choice{strconv.Itoa(n), label, strconv.Itoa(n)})
	}
	q.title = "What does the wind do to the trees?"
	q.choices = append(q.choices, choice{dontKnow, hazards.DontKnow, "?"})
	return m.orDontKnow(q, said)
}

// fireClass asks for the class as it is read now, or for one read earlier with its time, and where it is read.
func (m *morning) fireClass(q question, said answers) []question {
	q.choices = classes()
	q.help = "as read just now; " + m.whyFireClass()
	q.choices = append(q.choices, choice{readEarlier, "read earlier today: asks which, and when", "r"}, choice{hazards.NotApplicable, hazards.NotApplicable, "-"}, choice{dontKnow, hazards.DontKnow + ": counts as the worst", "?"})
	qs := m.orDontKnow(q, said)
	at := readingOf(hazards.FireClassAt)
	if said[q.id] == readEarlier {
		qs = append(qs, question{id: q.id + " " + readEarlier, title: "Which class did it say?", choices: classes()},
			question{id: at.ID, title: at.Text, help: "clock time, as 0640", check: m.begun})
	}
	if _, isClass := fire.Rank(said[q.id]); isClass || said[q.id] == readEarlier {
		qs = append(qs, m.asked(m.classSource(), said)...)
	}
	return qs
}

// classSource asks where the class is read. It may stay as on the last sheet where that is shown with what stays.
func (m *morning) classSource() hazards.Question {
	if m.FireClass == "" {
		return afresh(readingOf(hazards.FireClassBy))
	}
	return readingOf(hazards.FireClassBy)
}

func classes() []choice { return plainChoices(fire.ClassNames()) }

func (m *morning) whyFireClass() string {
	if m.FireClass == "" {
		return "not asked today, but it counts"
	}
	return "asked " + m.FireClass
}

func readingOf(id string) hazards.Question {
	list := hazards.Readings()
	return list[slices.IndexFunc(list, func(q hazards.Question) bool { return q.ID == id })]
}

// behind are readings that only say more about another one; they are asked behind it.
var behind = map[string]string{hazards.ThunderLast: hazards.ThunderGap, hazards.WalkOut: hazards.WalkClimb}

// offeredReadings are those to pick from: what has to be answered, and what is asked behind another one, is not among them.
func (m *morning) offeredReadings() []hazards.Question {
	return slices.DeleteFunc(hazards.Readings(), func(q hazards.Question) bool {
		switch q.ID {
		case hazards.FireClassAt, hazards.FireClassBy, hazards.ThunderGap, hazards.WalkClimb:
			return true
		}
		return q.ID == hazards.FireClass && m.FireClass != ""
	})
}

// readings asks for the fire class in its months, then which other readings there are, and then for those.
func (m *morning) readings(said answers) []question {
	var list []choice
	var qs, picked []question
	if m.FireClass != "" {
		qs = m.asked(readingOf(hazards.FireClass), said)
	}
	for _, r := range m.offeredReadings() {
		list = append(list, choice{value: r.ID, label: r.Text})
		if !slices.Contains(said.list(askReadings), r.ID) {
			continue
		}
		picked = append(picked, m.asked(afresh(r), said)...)
		if more, ok := behind[r.ID]; ok && said[r.ID] != "" && said[r.ID] != hazards.No && said[r.ID] != dontKnow {
			q := m.asked(afresh(readingOf(more)), said)
			q[0].optional = true
			picked = append(picked, q...)
		}
	}
	which := question{id: askReadings, title: "Which of these do you know? Mark them; the others count as not looked at", choices: list, many: true, optional: true}
	return append(append(qs, which), picked...)
}

func afresh(q hazards.Question) hazards.Question {
	q.Carried = false
	return q
}

// read are the readings that were asked and answered, in the order of the sheet, at a clock time.
func (m *morning) read(said answers, at string) []hazards.Answer {
	asked := map[string]bool{}
	for _, q := range m.readings(said) {
		asked[q.id] = true
	}
	var list []hazards.Answer
	for _, q := range hazards.Readings() {
		if asked[q.ID] && said[q.ID] != "" {
			list = append(list, hazards.Answer{Question: q.ID, Said: saidOf(q.ID, said)})
		}
	}
	return m.classRead(list, said, at)
}

// classRead completes the fire class: the one read earlier, or the time of one read just now, and where it is read.
func (m *morning) classRead(list []hazards.Answer, said answers, at string) []hazards.Answer {
	i := slices.IndexFunc(list, func(a hazards.Answer) bool { return a.Question == hazards.FireClass })
	if i < 0 || list[i].Is != hazards.Told {
		return slices.DeleteFunc(list, func(a hazards.Answer) bool {
			return a.Question == hazards.FireClassAt || a.Question == hazards.FireClassBy
		})
	}
	told := func(id, value string) hazards.Answer {
		return hazards.Answer{Question: id, Said: hazards.Said{Is: hazards.Told, Value: value}}
	}
	if said[hazards.FireClass] == readEarlier {
		list[i] = told(hazards.FireClass, said[hazards.FireClass+" "+readEarlier])
		at = said[hazards.FireClassAt]
	}
	rest := slices.DeleteFunc(slices.Clone(list[i+1:]), func(a hazards.Answer) bool {
		return a.Question == hazards.FireClassAt || a.Question == hazards.FireClassBy
	})
	by := m.answerOf(m.classSource(), said)
	return append(append(list[:i+1:i+1], told(hazards.FireClassAt, at), by), rest...)
}
