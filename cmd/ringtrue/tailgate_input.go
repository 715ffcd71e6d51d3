package main

import (
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// assessable gathers what the assessment of a sheet takes, with the fire days that it adds to the book.
func (a *app) assessable(sheet hazards.Sheet) (in hazards.Input, happened time.Time, fresh []hazards.FireDay, err error) {
	var p problems
	sheet = sheet.WithPeople(func(name string) string {
		who, err := a.person(name)
		p.add(err)
		return who.ID
	})
	happened, err = a.sheetTime(sheet)
	p.add(err)
	p.add(a.knownBlock(sheet.Block))
	p.add(a.sawsOnList(sheet))
	if err := p.err(); err != nil {
		return in, happened, nil, err
	}
	in, std, err := a.assessmentInput(sheet, happened)
	if err != nil {
		return in, happened, nil, err
	}
	for _, c := range sheet.Crew {
		if c.Group != "" {
			_, err := std.group(c.Group)
			p.add(err)
		}
	}
	if err := hazards.Check(in); err != nil {
		p.add(refuse("write a new sheet: ringtrue tailgate sheet --block "+sheet.Block, "%v", err))
	}
	fresh, err = freshFireDays(in)
	p.add(err)
	in.FireDays = append(in.FireDays, fresh...)
	return in, happened, fresh, p.err()
}

// sheetTime is the moment the sheet names, which may lie back but not ahead.
func (a *app) sheetTime(s hazards.Sheet) (time.Time, error) {
	at, err := time.ParseInLocation("2006-01-02 15:04", s.Day+" "+s.At, a.book.Zone())
	if err != nil {
		return at, refuse("write day: YYYY-MM-DD and at: HH:MM", "the sheet names no moment that exists: %s %s", s.Day, s.At)
	}
	if now := a.now(); at.After(now) {
		return at, refuse("check it when it is that late", "the sheet is for %s; it is %s now", a.local(at), a.local(now))
	}
	return at, nil
}

// assessmentInput gathers what an assessment depends on: the card, the people with what they may do, the rules.
func (a *app) assessmentInput(sheet hazards.Sheet, happened time.Time) (hazards.Input, standards, error) {
	day := civil.Of(happened, a.book.Zone())
	asked := training.Asked{Day: day, On: happened.Unix(), Known: a.knownNow(day).Known}
	if now := a.now(); civil.Of(now, a.book.Zone()) == day {
		asked.On = max(asked.On, now.Unix()) // a stop told after the sheet was filled in counts as well
	}
	in := hazards.Input{Sheet: sheet, Now: a.now().In(a.book.Zone())}
	std, err := a.standards(asked)
	if err != nil {
		return in, std, err
	}
	in.House = std.House
	if in.Block, _, err = a.card(sheet.Block, asked); err != nil {
		return in, std, err
	}
	for _, c := range sheet.Crew {
		w, err := a.worker(c, in.Block, std, asked)
		if err != nil {
			return in, std, err
		}
		in.People = append(in.People, w)
	}
	if in.Sheet.Events, in.Asks, err = a.eventsAnswered(sheet); err != nil {
		return in, std, err
	}
	in.Sheet.Controls = a.controlsAsked(sheet.Controls)
	if in.Absent, err = a.absent(sheet); err != nil {
		return in, std, err
	}
	if in.Devices, err = a.devices(); err != nil {
		return in, std, err
	}
	if err := a.place(&in, asked); err != nil {
		return in, std, err
	}
	if in.KnownSaws, err = a.knownSaws(sheet, asked); err != nil {
		return in, std, err
	}
	if in.Duties, err = a.dutiesHere(asked); err != nil {
		return in, std, err
	}
	in.Rules, err = a.rulesByTopic(asked)
	return in, std, err
}

// rulesByTopic cites the local rules of the book's place.
func (a *app) rulesByTopic(asked training.Asked) (map[string][]string, error) {
	edition, err := a.localRules(asked)
	if err != nil {
		return nil, err
	}
	out := map[string][]string{}
	for _, r := range edition.For(a.opening.Jurisdiction, "") {
		if r.Ended != "" {
			continue
		}
		cite := strings.TrimSpace(r.Instrument+" "+r.Clause) + inRound(unread(r.TextRead()))
		for _, topic := range append([]string{r.Topic}, r.Also...) {
			out[topic] = append(out[topic], cite)
		}
	}
	return out, nil
}

func unread(read bool) string {
	if read {
		return ""
	}
	return "not read in its text"
}

func inRound(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}
