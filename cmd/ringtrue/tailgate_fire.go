package main

import (
	"strconv"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// place completes an assessment's input with what depends on where it is: the line of jurisdictions, and what the
// book keeps of the fire station.
func (a *app) place(in *hazards.Input, asked training.Asked) (err error) {
	if in.Places, err = a.places(asked); err != nil {
		return err
	}
	in.FireDays, err = a.fireDays(in.Sheet.FireStation(), asked)
	return err
}

// places are the codes of the book's jurisdiction and of those whose rules follow, its own first.
func (a *app) places(asked training.Asked) (codes []string, err error) {
	edition, err := a.localRules(asked)
	for _, j := range edition.Line(a.opening.Jurisdiction) {
		codes = append(codes, j.Code)
	}
	return codes, err
}

// fireClassAsked says why the fire class of a block may not stay blank on a day, "" where it may, or where the sheet is refused for its
// block or day.
func (a *app) fireClassAsked(block, on string) string {
	day, err := civil.Parse(on)
	if err != nil {
		return ""
	}
	asked := a.knownNow(day)
	card, known, err := a.card(block, asked)
	if err != nil || !known {
		return ""
	}
	places, err := a.places(asked)
	if err != nil {
		return "where the rules cannot be read: " + err.Error()
	}
	h, err := a.house(asked)
	if err != nil {
		return "where the house rules cannot be read: " + err.Error()
	}
	return hazards.FireClassAsked(places, card.Lat, h, day)
}

// fireDays lists what the book keeps of a station's days, as known then.
func (a *app) fireDays(station string, asked training.Asked) ([]hazards.FireDay, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.FireSubject(station), store.KindFireDay)
	if err != nil {
		return nil, err
	}
	var list []hazards.FireDay
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		var one hazards.FireDay
		if _, err := a.book.Entry(a.ctx, f.Entry, &one); err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// freshFireDays are the days that a sheet adds to the book.
func freshFireDays(in hazards.Input) ([]hazards.FireDay, error) {
	latitude, err := strconv.ParseFloat(in.Block.Lat, 64)
	if err != nil {
		latitude = fire.DefaultLatitude
	}
	fresh, err := hazards.NewFireDays(in.Sheet, in.FireDays, latitude, in.House)
	if err != nil {
		return nil, refuse("mend the sheet and check it again; nothing was recorded", "%v", err)
	}
	return fresh, nil
}

// fireEntries builds an entry for each day. Noon readings happened at noon of their day, a class when the sheet says so.
func (a *app) fireEntries(fresh []hazards.FireDay, by string, told time.Time) []ledger.Entry {
	var es []ledger.Entry
	for _, f := range fresh {
		happened := told
		if day, err := civil.Parse(f.Day); err == nil && f.HasReadings() {
			happened = day.Noon(a.book.Zone())
		}
		es = append(es, entry(store.KindFireDay, happened, by, "", "", f))
	}
	return es
}
