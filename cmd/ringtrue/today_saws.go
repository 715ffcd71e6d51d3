package main

import (
	"maps"
	"slices"
	"strings"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
)

// waitingTags: every saw that is out of use, on the list of saws or not, and cleared ones that somebody else has yet to look at.
func (a *app) waitingTags(std standards, asked training.Asked) ([]todo, error) {
	all, err := topicsUnder(a.ctx, a.book, asked, store.SawSubject(""))
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, id := range slices.Sorted(maps.Keys(all)) {
		if anyBy(all[id][store.KindRetire], asked) {
			continue
		}
		stops, looks, err := a.openOn(id, upkeep.Open(sawEvents(all[id]), std.House, asked.On))
		if err != nil {
			return nil, err
		}
		if stops != nil {
			list = append(list, todo{Rank: rankStopped, What: "saw " + id + " is out of use: " + strings.Join(stops, "; "), Next: "ringtrue saw clear " + id + " --done WHAT"})
		}
		if looks != nil {
			list = append(list, todo{Rank: rankToday, What: "saw " + id + " was cleared and waits for a second look: " + strings.Join(looks, "; "), Next: "ringtrue saw due " + id})
		}
	}
	return list, nil
}

// openOn says what stops a saw, and what on it waits for a second look.
func (a *app) openOn(saw string, items []upkeep.OpenItem) (stops, looks []string, err error) {
	for _, o := range items {
		due, err := a.openDue(saw, o)
		if err != nil {
			return nil, nil, err
		}
		switch {
		case o.Stops:
			stops = append(stops, due.Why)
		case o.SeenBy != 0:
			looks = append(looks, due.Why)
		}
	}
	return stops, looks, nil
}

// waitingUpkeep: upkeep that is overdue, because a saw was used without it.
func (a *app) waitingUpkeep(std standards, asked training.Asked) ([]todo, error) {
	if hasRules(std.House, sawKeys) != nil {
		return nil, nil // an edition of the house rules from before they told of upkeep
	}
	lines, err := a.sawDue(nil, asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, l := range lines {
		if upkeep.State(l.State) == upkeep.Overdue {
			list = append(list, todo{Rank: rankOverdue, What: "saw " + l.Saw + ": " + strings.Join(l.What, ", "), Next: "ringtrue saw due " + l.Saw})
		}
	}
	return list, nil
}
