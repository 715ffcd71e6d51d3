package main

import (
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// eventQuestions lists the questions that events have put on the day sheets, as known now; name writes an event.
func (a *app) eventQuestions(name func(training.Ref) string) ([]hazards.EventQuestion, error) {
	events, err := a.events(a.knownNow(1 << 20))
	if err != nil {
		return nil, err
	}
	asks := []hazards.EventQuestion{} // not nil: that there are none is known
	for _, e := range events {
		if e.Question != "" {
			asks = append(asks, hazards.EventQuestion{Event: name(e.ref), Kind: e.Kind, Block: e.Block, Question: e.Question, Closed: e.closed,
				From: e.happened.In(a.book.Zone()).Format("2006-01-02 15:04")})
		}
	}
	return asks, nil
}

// sheetQuestions are those that stand on a new sheet of a block and day.
func (a *app) sheetQuestions(block, day string) ([]hazards.EventQuestion, error) {
	all, err := a.eventQuestions(a.book.Short)
	var asks []hazards.EventQuestion
	for _, e := range all {
		if e.On(hazards.Sheet{Block: block, Day: day, At: "23:59"}) {
			asks = append(asks, e)
		}
	}
	return asks, err
}

// eventQuestion writes the question of an event as the ledger does, "event-13" as "event-ORIGIN#13"; others stay as they are.
func (a *app) eventQuestion(question string) string {
	event, ok := strings.CutPrefix(question, "event-")
	if !ok {
		return question
	}
	ref, found, err := a.book.Find(a.ctx, event)
	if err != nil || !found {
		return question // it is refused as none of the sheet
	}
	return "event-" + a.book.Name(ref)
}

// eventsAnswered writes the events on a sheet as the ledger does, each with its question, and lists what has to be answered.
func (a *app) eventsAnswered(s hazards.Sheet) (answers []hazards.EventAnswer, asks []hazards.EventQuestion, err error) {
	if asks, err = a.eventQuestions(a.book.Name); err != nil {
		return nil, nil, err
	}
	var p problems
	for _, one := range s.Events {
		ref, ok, err := a.book.Find(a.ctx, one.Event)
		p.add(err)
		known := false
		for _, e := range asks {
			if ok && e.Event == a.book.Name(ref) {
				known, one.Event, one.Question = true, e.Event, e.Question
				e.Event = a.book.Short(ref)
				one.About = e.About()
			}
		}
		if !known {
			p.addf("see: ringtrue event list", "asked: event %s asks nothing in this book", one.Event)
		}
		answers = append(answers, one)
	}
	return answers, asks, p.err()
}
