package main

import (
	"time"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// eventState is an event with its actions.
type eventState struct {
	ref      training.Ref
	by       string
	happened time.Time
	training.Event
	actions []training.ActionState
	closed  bool
}

// events reads all events with what became of them, as known at the moment asked.
func (a *app) events(asked training.Asked) ([]*eventState, error) {
	var list []*eventState
	byRef := map[string]*eventState{}
	err := a.eachListed(asked, training.KindEvent, func(ref training.Ref) error {
		e := &eventState{ref: ref}
		h, err := a.book.Entry(a.ctx, ref, &e.Event)
		e.by, e.happened = h.By, h.Happened
		list, byRef[a.book.Name(ref)] = append(list, e), e
		return err
	})
	if err != nil || len(list) == 0 {
		return nil, err
	}
	return list, a.eventActions(asked, byRef)
}

// eachListed calls f for the entries of a kind in the book's own lists that are not struck.
func (a *app) eachListed(asked training.Asked, kind string, f func(training.Ref) error) error {
	facts, err := a.listed(asked, kind)
	if err != nil {
		return err
	}
	for _, one := range facts {
		if one.Struck || one.At > asked.On {
			continue
		}
		if err := f(one.Entry); err != nil {
			return err
		}
	}
	return nil
}

// actionPlace is where an action stands among the actions of its event.
type actionPlace struct {
	event *eventState
	n     int
}

func (a *app) eventActions(asked training.Asked, events map[string]*eventState) error {
	place := map[string]actionPlace{}
	err := a.eachListed(asked, training.KindAction, func(ref training.Ref) error {
		var rec training.Action
		if _, err := a.book.Entry(a.ctx, ref, &rec); err != nil {
			return err
		}
		e, ok := events[rec.Event]
		if !ok {
			return nil // its event is struck
		}
		due, err := civil.Parse(rec.Due)
		e.actions = append(e.actions, training.ActionState{Ref: a.book.Name(ref), Event: rec.Event, What: rec.What, Owner: rec.Owner, Due: due, Done: civil.None})
		place[a.book.Name(ref)] = actionPlace{e, len(e.actions) - 1}
		return err
	})
	if err != nil {
		return err
	}
	at := func(action string) *training.ActionState {
		p, ok := place[action]
		if !ok {
			return nil
		}
		return &p.event.actions[p.n]
	}
	if err := a.actionsDone(asked, at); err != nil {
		return err
	}
	return a.eachListed(asked, training.KindEventClosed, func(ref training.Ref) error {
		var rec training.EventClosed
		_, err := a.book.Entry(a.ctx, ref, &rec)
		if e, ok := events[rec.Event]; ok {
			e.closed = true
		}
		return err
	})
}

func (a *app) actionsDone(asked training.Asked, at func(string) *training.ActionState) error {
	err := a.eachListed(asked, training.KindActionDone, func(ref training.Ref) error {
		var rec training.ActionDone
		h, err := a.book.Entry(a.ctx, ref, &rec)
		if s := at(rec.Action); s != nil {
			s.Done = civil.Of(h.Happened, a.book.Zone())
		}
		return err
	})
	if err != nil {
		return err
	}
	return a.eachListed(asked, training.KindActionChecked, func(ref training.Ref) error {
		var rec training.ActionChecked
		_, err := a.book.Entry(a.ctx, ref, &rec)
		if s := at(rec.Action); s != nil {
			s.Checked = true
		}
		return err
	})
}
