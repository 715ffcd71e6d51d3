package main

import (
	"time"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training"
)

// houseEdition is one edition in the list of all, with what it changed of the one before.
type houseEdition struct {
	Edition  string         `json:"edition"`
	Entry    string         `json:"entry"`
	By       string         `json:"by"`
	Since    string         `json:"since"`
	Recorded string         `json:"recorded"`
	Reason   string         `json:"reason"`
	Changes  []houseChanged `json:"changes"`

	name string
}

// houseChanged is one change, with the source that the new figure came with.
type houseChanged struct {
	house.Change
	Source string `json:"source"`
}

// printHouseChanges lists every edition up to the one in force, the oldest first.
func (a *app) printHouseChanges(asked training.Asked) error {
	list, err := a.houseEditions(asked)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/house-changes/1", "editions": list})
	}
	a.mark()
	var rows [][]string
	for _, e := range list {
		if len(e.Changes) == 0 {
			rows = append(rows, []string{e.Edition, e.Since, e.name, "", "", "", "", "came with the book"})
		}
		for _, c := range e.Changes {
			rows = append(rows, []string{e.Edition, e.Since, e.name, c.Key, c.Was, c.Is, c.Way, e.why(c)})
		}
	}
	a.table([]string{"EDITION", "SINCE", "BY", "RULE", "WAS", "IS", "WHICH IS", "WHY"}, rows)
	return nil
}

// houseEditions reads the editions with what each changed.
func (a *app) houseEditions(asked training.Asked) ([]houseEdition, error) {
	history, err := a.houseHistory(asked)
	if err != nil {
		return nil, err
	}
	people, err := a.crew()
	if err != nil {
		return nil, err
	}
	var out []houseEdition
	for i, one := range history {
		h, err := a.book.Entry(a.ctx, one.ref, nil)
		if err != nil {
			return nil, err
		}
		e := houseEdition{Edition: one.House.Edition, Entry: a.book.Name(one.ref), By: one.By, Since: a.moment(h.Happened.Unix()),
			Recorded: h.Recorded.Format(time.RFC3339), Reason: one.House.Reason, Changes: []houseChanged{}, name: people.handle(one.By)}
		if i > 0 {
			for _, c := range house.Changes(history[i-1].House, one.House) {
				e.Changes = append(e.Changes, houseChanged{c, sourceOf(one.House, c.Key)})
			}
		}
		out = append(out, e)
	}
	return out, nil
}

func sourceOf(h house.House, key string) string {
	for _, n := range h.Numbers {
		if n.Key == key {
			return n.Source
		}
	}
	return ""
}

// why is the reason given, else the source of the new figure.
func (e houseEdition) why(c houseChanged) string {
	if e.Reason != "" {
		return e.Reason
	}
	return c.Source
}
