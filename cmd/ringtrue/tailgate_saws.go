package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/training"
)

// sheetSaws lists the saws that a sheet names, each once.
func sheetSaws(s hazards.Sheet) []string {
	var ids []string
	for _, l := range s.Saws {
		ids = append(ids, l.ID)
	}
	for _, c := range s.Crew {
		if c.Saw != "" {
			ids = append(ids, c.Saw)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// sawsOnList refuses a sheet with saws that are not on the list, unless the book keeps no saws at all.
func (a *app) sawsOnList(s hazards.Sheet) error {
	list, err := a.saws(a.knownNow(1 << 20))
	if err != nil || len(list) == 0 {
		return err
	}
	var p problems
	known := sawIDs(list)
	for _, id := range sheetSaws(s) {
		if !slices.Contains(known, id) {
			p.addf(hint(id, known, "saw list"), "no saw %q is on the list of this book", id)
		}
	}
	return p.err()
}

// knownSaws gathers what the book knows of the saws on a sheet: tags count whether or not the book keeps a list.
func (a *app) knownSaws(s hazards.Sheet, asked training.Asked) ([]hazards.KnownSaw, error) {
	list, err := a.saws(a.knownNow(1 << 20))
	if err != nil {
		return nil, err
	}
	var known []hazards.KnownSaw
	tagged := false
	for _, id := range sheetSaws(s) {
		card, err := pickSaw(list, id)
		if err != nil {
			card = sawCard{}
			card.ID = id
		}
		k, err := a.knownSaw(card, asked)
		if err != nil {
			return nil, err
		}
		tagged = tagged || k.Tagged != ""
		known = append(known, k)
	}
	if len(list) == 0 && !tagged {
		return nil, nil
	}
	return known, nil
}

func (a *app) knownSaw(card sawCard, asked training.Asked) (hazards.KnownSaw, error) {
	k := hazards.KnownSaw{ID: card.ID, FixedThrottle: card.FixedThrottle, Vibration: card.Vibration, Noise: card.Noise}
	s, err := a.standOf(card, asked)
	if err != nil {
		return k, err
	}
	k.Retired = s.retired
	why, err := a.whyDown(s, func(id string) string { return "{" + id + "}" }) // a recorded answer holds no name
	if err != nil {
		return k, err
	}
	k.Tagged = strings.Join(why, "; ")
	if k.Screen, err = a.openScreen(s); err != nil {
		return k, err
	}
	if card.Edition == 0 || hasRules(s.rules, sawKeys) != nil {
		return k, nil // not on a list, or an edition of the house rules from before they told of upkeep
	}
	facts, err := a.sawFacts(card.ID, asked, fewestMonths)
	if err != nil {
		return k, err
	}
	due, err := a.dueOf(facts, s.rules, asked)
	upkeep.Sort(due)
	for _, d := range due {
		if d.State == upkeep.Overdue {
			k.Overdue = append(k.Overdue, strings.Join(d.What, ", "))
		}
	}
	return k, err
}

// sawHints lists the saws that may be put on a sheet: those that are not retired.
func (a *app) sawHints(asked training.Asked) ([]string, error) {
	list, err := a.saws(asked)
	if err != nil {
		return nil, err
	}
	var ids []string
	for _, card := range list {
		s, err := a.standOf(card, asked)
		if err != nil {
			return nil, err
		}
		if !s.retired {
			ids = append(ids, card.ID)
		}
	}
	return ids, nil
}

// openScreen says what is open on a saw that stops it in fire months only, "" where nothing is.
func (a *app) openScreen(s sawAt) (string, error) {
	for _, o := range s.open {
		if o.Stops {
			continue
		}
		w, err := a.openWords(training.Ref(o.Entry))
		if err != nil {
			return "", err
		}
		if kind, known := upkeep.DefectByID(w.id); known && kind.InFire {
			return a.sayOpen(o, w, func(id string) string { return "{" + id + "}" }), nil // a recorded answer holds no name
		}
	}
	return "", nil
}
