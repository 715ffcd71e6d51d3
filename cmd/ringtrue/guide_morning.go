package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
)

// asked is a question of the sheet as the guide asks it: nothing where the last sheet still holds, one key for yes and no.
func (m *morning) asked(q hazards.Question, said answers) []question {
	if _, ok := m.stable(q); ok && !slices.Contains(said.list(askStale), q.ID) {
		return nil
	}
	out := question{id: q.ID, title: q.Text}
	switch {
	case q.ID == hazards.CallBy:
		return m.callBy(out, said)
	case q.ID == hazards.WindForce:
		return m.wind(out, said)
	case q.ID == hazards.Wires:
		out.choices = []choice{{hazards.No, "none was seen", "n"}, {hazards.Yes, "within reach: stops the site", "y"}}
		return m.orWords(out, q, choice{toType, "further off: asks how far", "d"}, said)
	case q.ID == hazards.Public:
		return m.others(out, said)
	case q.ID == hazards.WhoElse && said[hazards.Public] == hazards.No:
		return nil // one key said both
	case q.ID == hazards.WhoElse:
		out.choices = []choice{{hazards.No, "nobody", "n"}}
		return m.orWords(out, q, choice{toType, "somebody: asks who", "y"}, said)
	case q.ID == hazards.FireClass:
		return m.fireClass(out, said)
	case q.Kind == hazards.YesNo:
		out.choices = answersTo(q)
		if stop := q.StopsIf(); stop != "" {
			out.help = stop + " stops the site"
		}
	case q.Kind == hazards.Person:
		out.choices = append(m.here(said), choice{hazards.No, "nobody", "-"}, choice{dontKnow, hazards.DontKnow, "?"})
	default:
		out.help, out.check = typedHow(q), m.typed(q)
	}
	return m.orDontKnow(out, said)
}

// answersTo are the one-key answers to a yes-no question, less than all of it among them.
func answersTo(q hazards.Question) []choice {
	list := yesOrNo()
	if q.Part != "" {
		list = append(list, choice{q.Part, q.Part, q.Part[:1]})
	}
	if q.NA {
		list = append(list, choice{hazards.NotApplicable, hazards.NotApplicable, "-"})
	}
	return append(list, choice{dontKnow, hazards.DontKnow + ": counts as the worst until somebody finds out", "?"})
}

// typedHow says how an answer is written.
func typedHow(q hazards.Question) string {
	help := "a few words"
	switch q.Kind {
	case hazards.Value:
		help = "with its unit, as " + q.Such
	case hazards.Clock:
		help = "clock time, as 0640"
	}
	if q.Kind == hazards.Value && q.Bad != "" {
		help += ", " + q.Bad
	}
	if q.None {
		help += ", or no"
	}
	if q.NA {
		help += ", or not applicable"
	}
	return help + ", or ? for " + hazards.DontKnow
}

// others asks about who may walk in and who else is here by one key: nobody at all is the answer to both.
func (m *morning) others(out question, said answers) []question {
	out.choices = []choice{{hazards.No, "no, and nobody else works, drives or shoots here", "n"}, {hazards.Yes, "yes", "y"},
		{toType, "no, but somebody else works, drives or shoots here", "o"}, {dontKnow, hazards.DontKnow, "?"}}
	return m.orDontKnow(out, said)
}

// toType is the choice behind which an answer is typed.
const toType = "to type"

// orWords asks by one key, and behind the last one for what has to be typed.
func (m *morning) orWords(out question, q hazards.Question, last choice, said answers) []question {
	out.choices = append(out.choices, last, choice{dontKnow, hazards.DontKnow, "?"})
	qs := m.orDontKnow(out, said)
	if said[q.ID] == toType {
		qs = append(qs, m.orDontKnow(question{id: q.ID + " in words", title: q.Text, help: typedHow(q), check: m.typed(q)}, said)...)
	}
	return qs
}

// callBy asks what help is called with: what the block card names can be picked, and anything else be written.
func (m *morning) callBy(q question, said answers) []question {
	for part := range strings.SplitSeq(m.Block.Channel, ",") {
		if part = strings.TrimSpace(part); part != "" {
			q.choices = append(q.choices, choice{value: part, label: part})
		}
	}
	q.choices = append(q.choices, choice{hazards.No, "nothing", "-"}, choice{dontKnow, "something else", "?"})
	if said[q.id] != dontKnow {
		return []question{q}
	}
	return []question{q, {id: q.id + " in words", title: "What do you call with?", check: m.typed(hazards.Question{ID: hazards.CallBy, Kind: hazards.Words})}}
}

// orDontKnow asks, where somebody does not know yet, who finds out by when.
func (m *morning) orDontKnow(q question, said answers) []question {
	if said[q.id] != dontKnow {
		return []question{q}
	}
	return []question{q, {id: q.id + " who", title: "Who finds out?", help: q.title, choices: m.here(said)},
		{id: q.id + " by", title: "By when?", help: "clock time, as 0730", check: clockAnswer}}
}

// last are the questions before it is recorded: the place, visitors, who accepts.
func (m *morning) last(said answers) []question {
	place := m.Block.Lat + ", " + m.Block.Lon
	qs := []question{{id: askPlace, title: "Read the coordinates from the receiver or the map, then compare. The card says " + place + ": the same?", choices: yesOrNo()}}
	if said[askPlace] == hazards.No {
		qs = append(qs, question{id: "coordinates", title: "What does the receiver or the map say?", help: "as on the card: " + place, check: m.readBack})
	}
	qs = append(qs, m.visitors(said)...)
	if list := m.lastControls(); len(list) > 0 {
		qs = append(qs, question{id: "controls", title: "Done about it on " + m.Last.Day + ". Mark what is done again today, with its owner", choices: list, many: true, optional: true})
	}
	qs = append(qs, question{id: askBegun, title: "Had work begun before this was asked?", choices: yesOrNo()})
	if said[askBegun] == hazards.Yes {
		qs = append(qs, question{id: "started", title: "At what time did it begin?", help: "clock time, as 0640", check: m.begun})
	}
	if said[askBegun] == "" || (said[askBegun] == hazards.Yes && said["started"] == "") {
		return qs // what needs a control is not known before
	}
	qs = append(qs, m.newControls(said)...)
	qs = append(qs, question{id: "accepted-by", title: "Who decides, and accepts by name what is left after controls?", choices: m.here(said)})
	if said["accepted-by"] == "" {
		return qs
	}
	return append(qs, m.recordMorning(said))
}

// mostVisitors is more than a crew can look after (company choice).
const mostVisitors = 9

// visitors asks for each visitor and who stays with them, until there is no other.
func (m *morning) visitors(said answers) []question {
	qs := []question{{id: visitorID(1), title: "Is anybody on the block who does not work there?", help: "who, as: forester of the client; blank is nobody", optional: true, check: inWords}}
	for n := 1; n <= mostVisitors && said[visitorID(n)] != ""; n++ {
		qs = append(qs, question{id: visitorID(n) + " with", title: "Who stays with them?", help: said[visitorID(n)], choices: m.here(said)})
		if n == mostVisitors {
			break
		}
		qs = append(qs, question{id: visitorID(n + 1), title: "Is anybody else there who does not work there?", help: "blank is nobody", optional: true, check: inWords})
	}
	return qs
}

func visitorID(n int) string {
	if n == 1 {
		return "visitor"
	}
	return fmt.Sprintf("visitor %d", n)
}

// lastControls are those of the last sheet.
func (m *morning) lastControls() []choice {
	if m.Last == nil {
		return nil
	}
	var out []choice
	for _, c := range m.Last.Controls {
		out = append(out, choice{value: c.For + "/" + c.Kind.String(), label: c.For + ": " + c.What + ", " + c.Owner})
	}
	return out
}

// sheetOf puts the answers on a day sheet.
func (m *morning) sheetOf(said answers, day, at, by string) hazards.Sheet {
	s := hazards.Sheet{Block: m.Block.ID, BlockEdition: m.Block.Edition, Day: day, At: at, By: by, AcceptedBy: said["accepted-by"],
		Coordinates: said["coordinates"], Started: said["started"]}
	if said[askPlace] == hazards.Yes {
		s.Coordinates = m.Block.Lat + ", " + m.Block.Lon
	}
	for _, w := range said.list(askCrew) {
		c := m.line(w, said)
		c.Worker, c.Fit = w, hazards.Said{Is: hazards.Yes}
		if slices.Contains(said.list(askUnfit), w) {
			c.Fit.Is = hazards.No
		}
		s.Crew = append(s.Crew, c)
	}
	for n := 1; said[visitorID(n)] != ""; n++ {
		s.Visitors = append(s.Visitors, hazards.Visitor{Name: said[visitorID(n)], With: said[visitorID(n)+" with"]})
	}
	for _, id := range m.standing(said) {
		s.Saws = append(s.Saws, m.sawLine(id, said))
	}
	for _, q := range hazards.Questions() {
		s.Answers = append(s.Answers, m.answerOf(q, said))
	}
	s.Readings = m.read(said, at)
	for _, e := range m.Asks {
		s.Events = append(s.Events, hazards.EventAnswer{Event: e.Event, Question: e.Question, About: e.About(), Said: saidOf(hazards.AskKey(e.Event), said)})
	}
	for i, c := range m.lastControls() {
		if slices.Contains(said.list("controls"), c.value) {
			s.Controls = append(s.Controls, m.Last.Controls[i])
		}
	}
	for _, id := range said.list(askControls) {
		if c, ok := m.controlSaid(id, said); ok { // one that is still open stands on no sheet
			s.Controls = append(s.Controls, c)
		}
	}
	return s
}

// sawLine is one saw with its checks; on one that was marked all are as they should be.
func (m *morning) sawLine(id string, said answers) hazards.SawLine {
	l := hazards.SawLine{ID: id}
	if m.Last != nil {
		for _, old := range m.Last.Saws {
			if old.ID == id {
				l.Vibration, l.Noise, l.NoiseC = old.Vibration, old.Noise, old.NoiseC
			}
		}
	}
	for _, q := range hazards.SawChecks() {
		answer := saidOf(id+" "+q.ID, said)
		if slices.Contains(said.list(askSawsFine), id) {
			answer = hazards.Said{Is: hazards.Yes}
			if q.Bad == hazards.Yes {
				answer.Is = hazards.No
			}
		}
		l.Checks = append(l.Checks, hazards.Answer{Question: q.ID, Said: answer})
	}
	return l
}

// answerOf is the answer of today, or of the last sheet where that still holds.
func (m *morning) answerOf(q hazards.Question, said answers) hazards.Answer {
	if _, ok := m.stable(q); ok && !slices.Contains(said.list(askStale), q.ID) {
		return hazards.Answer{Question: q.ID, Said: m.Last.Said(q.ID).Carried()}
	}
	switch {
	case q.ID == hazards.Public && said[q.ID] == toType, q.ID == hazards.WhoElse && said[hazards.Public] == hazards.No:
		return hazards.Answer{Question: q.ID, Said: hazards.Said{Is: hazards.No}}
	}
	if (q.ID == hazards.CallBy && said[q.ID] == dontKnow) || said[q.ID] == toType {
		return hazards.Answer{Question: q.ID, Said: saidOf(q.ID+" in words", said)}
	}
	return hazards.Answer{Question: q.ID, Said: saidOf(q.ID, said)}
}

// saidOf is an answer as it stands on the sheet. Text that is written there is read again with the sheet.
func saidOf(id string, said answers) hazards.Said {
	switch text := said[id]; text {
	case hazards.Yes, hazards.No, hazards.NotApplicable:
		return hazards.Said{Is: text}
	case dontKnow:
		return hazards.Said{Is: hazards.DontKnow, Who: said[id+" who"], By: said[id+" by"]}
	default:
		return hazards.Said{Is: hazards.Told, Value: text}
	}
}

// tailgateCommand is the command whose answers are asked here.
const tailgateCommand = "tailgate check"

// askTailgate asks for a morning and records it as a day sheet does.
func (a *app) askTailgate() (tailgate, error) {
	said, err := a.ask(tailgateCommand, answers{}, a.tailgateFlow())
	if err != nil {
		return tailgate{}, err
	}
	if said[recordQuestion] != "yes" {
		return tailgate{}, notRecorded()
	}
	m, err := a.morningAt(said["block"])
	if err != nil {
		return tailgate{}, err
	}
	text, err := a.answered(m, said)
	if err != nil {
		return tailgate{}, err
	}
	t, err := a.checkSheetText("the answers", text)
	if err != nil {
		return t, err
	}
	return t, a.dropDraft(tailgateCommand)
}
