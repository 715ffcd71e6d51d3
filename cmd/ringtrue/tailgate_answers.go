package main

import (
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/page"
)

// answersOf lists what was answered at a check and what its day has changed about it, people by their short ids.
func (a *app) answersOf(day course) ([]hazards.Answered, error) {
	people, err := a.crew()
	if err != nil {
		return nil, err
	}
	before, err := a.sheetBefore(day.tailgate)
	if err != nil {
		return nil, err
	}
	if before != nil {
		shown := before.WithPeople(people.handle)
		before = &shown
	}
	var changes []hazards.Change
	for _, c := range day.changes {
		changes = append(changes, c.Delta.WithPeople(people.handle))
	}
	return hazards.ReadAgain(day.Sheet.WithPeople(people.handle), before, changes), nil
}

// sheetBefore is the sheet of the block's check before this one, nil where there was none.
func (a *app) sheetBefore(t tailgate) (*hazards.Sheet, error) {
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.BlockSubject(t.Block), store.KindTailgate)
	if err != nil {
		return nil, err
	}
	for i := len(facts) - 1; i >= 0; i-- {
		if f := facts[i]; !f.Struck && f.Entry != t.ref && f.At <= t.happened.Unix() && f.Recorded <= t.recorded.Unix() {
			old, err := a.tailgate(f.Entry)
			return &old.Sheet, err
		}
	}
	return nil, nil
}

// printAnswers prints every question of a check with its answer.
func (a *app) printAnswers(day course) error {
	rows, err := a.answersOf(day)
	if err != nil {
		return err
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	if !terminal(a.out) {
		return listing(a, nil, []string{"SECTION", "QUESTION", "ANSWER", "BY", "AT", "AS ON", "SINCE"}, rows, func(r hazards.Answered) []string {
			return []string{r.Section, r.Question, r.Answer, r.By, r.At, r.As, sinceWords(r.Since)}
		})
	}
	return a.paged(func() error {
		a.mark()
		a.say("%s, %s, filled in by %s (entry %s)", a.said("page.block", day.Block), a.local(day.happened), people.handle(day.Sheet.By), a.book.Short(day.ref))
		section := ""
		for _, r := range rows {
			if r.Section != section {
				section = r.Section
				a.say("\n%s", strings.ToUpper(a.word("section", section)))
			}
			a.answerLines(r)
		}
		return nil
	})
}

// answerLines prints one question, its answer with who said so, and what the day has changed about it.
func (a *app) answerLines(r hazards.Answered) {
	a.say("  %s", a.inWords(r.Question))
	switch {
	case r.Answer != "":
		a.say("      %s  (%s %s%s)", r.Answer, r.By, r.At, note("; as on ", r.As))
	case len(r.Since) == 0:
		a.say("      -  left blank")
	}
	for _, s := range r.Since {
		a.say("      since %s: %s  (%s)", s.At, firstText(s.Answer, "no longer here"), s.By)
	}
}

// sinceWords are the changes of a day in one cell.
func sinceWords(list []hazards.Answered) string {
	var words []string
	for _, s := range list {
		words = append(words, s.At+" "+firstText(s.Answer, "no longer here")+" ("+s.By+")")
	}
	return strings.Join(words, "; ")
}

// answersOnPaper are the answers as the supervisor's copy shows them.
func (a *app) answersOnPaper(day course) ([]page.Answered, error) {
	rows, err := a.answersOf(day)
	var out []page.Answered
	for _, r := range rows {
		if len(out) == 0 || out[len(out)-1].Title != r.Section {
			out = append(out, page.Answered{Title: r.Section})
		}
		last := &out[len(out)-1]
		last.Rows = append(last.Rows, page.AnswerRow{Question: r.Question, Answer: r.Answer, Said: strings.TrimSpace(r.By + " " + r.At), As: r.As, Since: sinceWords(r.Since)})
	}
	return out, err
}
