package main

import (
	"slices"
	"strings"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// endingReleases: releases that have run out within the last 30 days, or do so within 30 days.
func (a *app) endingReleases(w onList, topics store.Topics, std standards, asked training.Asked) ([]todo, error) {
	var list []todo
	for _, g := range std.Groups {
		last, ok := lastRelease(topics[store.ReleaseTopic(g.ID)], asked)
		if !ok || last.Until == civil.None || last.Until > asked.Day+soonDays || last.Until <= asked.Day-soonDays {
			continue
		}
		var rec training.Release
		if _, err := a.book.Entry(a.ctx, last.Entry, &rec); err != nil {
			return nil, err
		}
		what, rank := "release for ", rankSoon
		if rec.Opening {
			what = "opening release for "
		}
		verb := " ends on "
		if last.Until <= asked.Day {
			verb, rank = " ended on ", rankOverdue
		}
		list = append(list, todo{Rank: rank, What: what + g.ID + verb + rec.Until, Who: w.Worker, Next: "ringtrue skill release " + w.Short + " " + g.ID})
	}
	return list, nil
}

// lastRelease is the newest release among facts of a task group, unless it was ended.
func lastRelease(facts []training.Fact, asked training.Asked) (last training.Fact, ok bool) {
	for _, f := range facts {
		if !f.Struck && !f.Void && f.At <= asked.On {
			last, ok = f, f.Kind == training.FactRelease
		}
	}
	return last, ok
}

// youngEnds: who no longer counts as young within 30 days: the duties of the place change.
func youngEnds(w onList, asked training.Asked) []todo {
	day, err := civil.Parse(w.Young)
	if err != nil || day <= asked.Day || day > asked.Day+soonDays {
		return nil
	}
	return []todo{{Rank: rankSoon, What: "no longer a young worker from " + w.Young + " on", Who: w.Worker, Next: "ringtrue worker show " + w.Short}}
}

// equipmentGone: condemned pieces still with somebody, and what is missing of a task group for which they are released.
func (a *app) equipmentGone(w onList, topics store.Topics, std standards, asked training.Asked) ([]todo, error) {
	pieces, err := a.pieces(w.Worker, asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	var gone []string
	for _, p := range pieces {
		if p.condemned != "" && p.returned == "" {
			gone = append(gone, p.Item)
		}
	}
	if gone != nil {
		list = append(list, todo{Rank: rankOverdue, What: "condemned equipment to take back: " + strings.Join(gone, ", "), Who: w.Worker, Next: "ringtrue ppe return " + w.Short + " ITEM --condition condemned --reason TEXT"})
	}
	lacks, err := a.lacksReleased(w.Worker, topics, std, asked)
	if lacks != nil {
		list = append(list, todo{Rank: rankToday, What: "equipment missing: " + strings.Join(lacks, ", "), Who: w.Worker, Next: "ringtrue ppe issue " + w.Short + " ITEM"})
	}
	return list, err
}

// lacksReleased lists what a worker lacks of the equipment of every task group for which a release is in force.
func (a *app) lacksReleased(worker string, topics store.Topics, std standards, asked training.Asked) (all []string, err error) {
	for _, g := range std.Groups {
		perm, err := a.permission(topics, g, nil, std, asked)
		if err != nil {
			return nil, err
		}
		if perm.Release == 0 {
			continue
		}
		lacks, err := a.lacks(worker, g, asked)
		if err != nil {
			return nil, err
		}
		for _, item := range lacks {
			if !slices.Contains(all, item) {
				all = append(all, item)
			}
		}
	}
	return all, nil
}
