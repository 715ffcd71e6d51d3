package main

import (
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// asking is how what is asked names entries and people: short on a sheet, in full in the ledger.
type asking struct {
	entry  func(training.Ref) string
	person func(id string) string
}

// onSheets is how a sheet names them; inLedger is how an entry does.
func (a *app) onSheets() (asking, error) {
	people, err := a.crew()
	if err != nil {
		return asking{}, err
	}
	return asking{a.book.Short, people.handle}, nil
}

func (a *app) inLedger() asking {
	return asking{a.book.Name, func(id string) string { return "{" + id + "}" }}
}

// eventQuestions lists all that is asked on day sheets until it is done, as known now: questions of events, actions, and what was told for
// tomorrow. What is done is there too, closed.
func (a *app) eventQuestions(as asking) ([]hazards.EventQuestion, error) {
	events, err := a.events(a.knownNow(1 << 20))
	if err != nil {
		return nil, err
	}
	asks := []hazards.EventQuestion{} // not nil: that there are none is known
	for _, e := range events {
		asks = append(asks, a.eventAsks(e, as)...)
	}
	told, err := a.toldForTomorrow(as)
	return append(asks, told...), err
}

// eventAsks are the question of an event and its actions.
func (a *app) eventAsks(e *eventState, as asking) []hazards.EventQuestion {
	var asks []hazards.EventQuestion
	from := e.happened.In(a.book.Zone()).Format("2006-01-02 15:04")
	if e.Question != "" {
		asks = append(asks, hazards.EventQuestion{Event: as.entry(e.ref), Kind: e.Kind, Block: e.Block, Question: e.Question, Closed: e.closed, From: from})
	}
	for _, s := range e.actions {
		if ref, err := a.book.Ref(s.Ref); err == nil {
			asks = append(asks, hazards.EventQuestion{Event: hazards.ActionAsks + as.entry(ref), Kind: e.Kind, Block: e.Block, From: from, Question: hazards.DoneQuestion(s.What),
				Owner: as.person(s.Owner), Due: s.Due.String(), Closed: e.closed || s.Done != civil.None})
		}
	}
	return asks
}

// toldForTomorrow are the lines that closes told for tomorrow, each until a later sheet of the block answers yes or not applicable.
func (a *app) toldForTomorrow(as asking) ([]hazards.EventQuestion, error) {
	asked := a.knownNow(1 << 20)
	cards, err := a.cards(asked)
	if err != nil {
		return nil, err
	}
	var asks []hazards.EventQuestion
	for _, card := range cards {
		more, err := a.toldOn(card.ID, as, asked)
		if err != nil {
			return nil, err
		}
		asks = append(asks, more...)
	}
	return asks, nil
}

// toldOn are those of one block. A line told twice at the end of one day, after a short head count, is asked once.
func (a *app) toldOn(block string, as asking, asked training.Asked) ([]hazards.EventQuestion, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(block), store.KindClose)
	if err != nil {
		return nil, err
	}
	var asks []hazards.EventQuestion
	at := map[string]int{}   // day and text to place
	said := map[string]int{} // as the ledger names it, to place
	first := int64(1<<62 - 1)
	for _, f := range facts {
		if f.Struck {
			continue
		}
		var rec closeRecord
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		for i, text := range rec.Tomorrow {
			n := "." + strconv.Itoa(i+1)
			q := hazards.EventQuestion{Event: hazards.TomorrowAsks + as.entry(f.Entry) + n, Block: block, Question: hazards.DoneQuestion(text), From: time.Unix(f.At, 0).In(a.book.Zone()).Format("2006-01-02 15:04")}
			key := f.Day.String() + " " + text
			if _, again := at[key]; !again {
				at[key] = len(asks)
				asks = append(asks, q)
				first = min(first, f.At)
			} else {
				asks[at[key]] = q
			}
			said[hazards.TomorrowAsks+a.book.Name(f.Entry)+n] = at[key]
		}
	}
	if len(asks) == 0 {
		return nil, nil
	}
	return asks, a.answeredOn(block, asked, first, func(event string) {
		if i, known := said[event]; known {
			asks[i].Closed = true
		}
	})
}

// answeredOn calls done for each question answered with yes or not applicable on a sheet of a block from a moment on, or during its day.
func (a *app) answeredOn(block string, asked training.Asked, from int64, done func(event string)) error {
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return err
	}
	for _, f := range facts {
		if f.Struck || f.At < from {
			continue
		}
		t, err := a.tailgate(f.Entry)
		if err != nil {
			return err
		}
		day, err := a.course(t, asked)
		if err != nil {
			return err
		}
		for _, e := range day.sheet().Events {
			if e.Is == hazards.Yes || e.Is == hazards.NotApplicable {
				done(e.Event)
			}
		}
	}
	return nil
}

// sheetQuestions are those that stand on a new sheet of a block and day.
func (a *app) sheetQuestions(block, day string) ([]hazards.EventQuestion, error) {
	as, err := a.onSheets()
	if err != nil {
		return nil, err
	}
	all, err := a.eventQuestions(as)
	var asks []hazards.EventQuestion
	for _, e := range all {
		if e.On(hazards.Sheet{Block: block, Day: day, At: "23:59"}) {
			asks = append(asks, e)
		}
	}
	return asks, err
}

// eventQuestion writes a question that is asked until it is done as the ledger does, "event-13" as "event-ORIGIN#13"; others stay as
// they are.
func (a *app) eventQuestion(question string) string {
	event, ok := hazards.AskedIn(question)
	if !ok {
		return question
	}
	if full, found := a.askedInFull(event); found {
		return hazards.AskKey(full)
	}
	return question // it is refused as none of the sheet
}

// askedInFull names what asks with the whole name of its entry.
func (a *app) askedInFull(event string) (string, bool) {
	prefix, entry, n := "", event, ""
	for _, p := range []string{hazards.ActionAsks, hazards.TomorrowAsks} {
		if rest, is := strings.CutPrefix(event, p); is {
			prefix, entry = p, rest
		}
	}
	if i := strings.LastIndex(entry, "."); prefix == hazards.TomorrowAsks && i >= 0 {
		entry, n = entry[:i], entry[i:]
	}
	ref, found, err := a.book.Find(a.ctx, entry)
	if err != nil || !found {
		return event, false
	}
	return prefix + a.book.Name(ref) + n, true
}

// eventsAnswered writes what was asked on a sheet as the ledger does, each with its question, and lists what has to be answered.
func (a *app) eventsAnswered(s hazards.Sheet) (answers []hazards.EventAnswer, asks []hazards.EventQuestion, err error) {
	if asks, err = a.eventQuestions(a.inLedger()); err != nil {
		return nil, nil, err
	}
	var p problems
	for _, one := range s.Events {
		full, ok := a.askedInFull(one.Event)
		known := false
		for _, e := range asks {
			if ok && e.Event == full {
				known, one.Event, one.Question = true, e.Event, e.Question
				e.Event = a.askedInShort(e.Event)
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

// askedInShort is what asks as people write it, without this device's own name.
func (a *app) askedInShort(event string) string {
	return strings.Replace(event, a.book.Origin()+"#", "", 1)
}

// controlsAsked writes the controls of a sheet that act on what was asked as the ledger does.
func (a *app) controlsAsked(list []hazards.Control) []hazards.Control {
	out := append([]hazards.Control(nil), list...)
	for i := range out {
		out[i].For = a.eventQuestion(out[i].For)
	}
	return out
}
