package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
)

// foreseen is what the check of a morning would say. Nothing of it is recorded.
type foreseen struct {
	sheet  hazards.Sheet
	answer hazards.Assessment
	err    error // why it could not be recorded as it stands
}

// foresee assesses a morning as answered so far. The last answer is kept, as the same morning is asked about more than once.
func (a *app) foresee(m *morning) func(answers) foreseen {
	var text string
	var last foreseen
	return func(said answers) foreseen {
		sheet, err := a.answered(m, said)
		if err == nil && string(sheet) == text {
			return last
		}
		text, last = string(sheet), foreseen{err: err}
		if err == nil {
			last = a.assessed(sheet)
		}
		return last
	}
}

func (a *app) assessed(text []byte) (f foreseen) {
	sheet, err := a.readSheet("the answers", text)
	if err != nil {
		return foreseen{err: err}
	}
	in, _, _, err := a.assessable(sheet)
	if err != nil {
		return foreseen{err: err}
	}
	people, err := a.crew()
	return foreseen{in.Sheet.WithPeople(people.name), hazards.Assess(in).Named(people.handle), err}
}

// answered writes the answers as the day sheet of this moment.
func (a *app) answered(m *morning, said answers) ([]byte, error) {
	by, err := a.actor()
	if err != nil {
		return nil, err
	}
	now := a.now().In(a.book.Zone())
	return hazards.WriteSheet(m.sheetOf(said, now.Format("2006-01-02"), now.Format("15:04"), by.Handle), hazards.Hints{Block: m.Block}), nil
}

// sheetLines are the line numbers of a sheet that nobody has seen.
var sheetLines = regexp.MustCompile(`(?m)^the answers:\d+: `)

// recordMorning is the last question, behind what will be recorded: the answer, what stops first, who with their ids. Where it cannot be
// recorded as it stands there is no yes.
func (m *morning) recordMorning(said answers) question {
	q := recordIt("It ranks what to talk about first; it does not say that work is safe.")
	f := m.foresee(said)
	if f.err != nil {
		q.title, q.help = "It cannot be recorded as it stands. Go back with esc, or stop", "what you answered is kept"
		q.choices = []choice{{hazards.No, "stop; nothing is recorded", "n"}}
		q.preview = fmt.Sprintf("What stands in the way:\n%s", sheetLines.ReplaceAllString(f.err.Error(), ""))
		return q
	}
	q.help = strings.ToUpper(string(f.answer.Answer)) + ". " + q.help // the preview may have scrolled away
	q.preview = f.text()
	return q
}

// text says in few lines what will be recorded. What only has to be watched is counted, not told.
func (f foreseen) text() string {
	s := f.sheet
	lines := []string{fmt.Sprintf("To be recorded: block %s, %s %s, by %s", s.Block, s.Day, s.At, s.By), strings.ToUpper(string(f.answer.Answer))}
	watched := 0
	for _, one := range f.answer.Findings {
		if one.Effect == hazards.Watch {
			watched++
			continue
		}
		lines = append(lines, strings.ToUpper(string(one.Effect))+": "+one.What)
	}
	if watched > 0 {
		lines = append(lines, fmt.Sprintf("and to watch: %d", watched))
	}
	for _, c := range s.Controls {
		lines = append(lines, fmt.Sprintf("control: %s: %s (%s), %s sees to it", c.For, c.What, c.Kind, c.Owner))
	}
	for _, c := range s.Crew {
		lines = append(lines, "here: "+c.Worker+": "+planWords(c)+f.stopped(c)+unfitWord(c))
	}
	for _, v := range s.Visitors {
		lines = append(lines, "visitor: "+v.Name+", with "+v.With)
	}
	return strings.Join(append(lines, "decides and accepts: "+s.AcceptedBy), "\n")
}

// stopped says what somebody may not do as planned; the lines of the answer stand in the order of the crew.
func (f foreseen) stopped(c hazards.CrewLine) string {
	i := slices.IndexFunc(f.sheet.Crew, func(one hazards.CrewLine) bool { return one.Worker == c.Worker })
	if i < 0 || i >= len(f.answer.May) || len(f.answer.May[i].Stopped) == 0 {
		return ""
	}
	return "; STOPPED" + note(", instead: ", f.answer.May[i].Instead)
}

func unfitWord(c hazards.CrewLine) string {
	if c.Fit.Is == hazards.Yes {
		return ""
	}
	return "; NOT FIT"
}
