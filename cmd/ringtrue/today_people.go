package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// waitingPeople: restrictions, gate skills, orientation, decisions to make and told by phone, what has run out or does soon.
func (a *app) waitingPeople(std standards, asked training.Asked) ([]todo, error) {
	crew, err := a.crewList(asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, w := range crew {
		if w.Left != "" {
			continue
		}
		topics, err := a.book.Facts(a.ctx, asked, w.Worker)
		if err != nil {
			return nil, err
		}
		list = append(list, a.waitingSkills(w, topics, std, asked)...)
		more, err := a.waitingPapers(w, topics, std, asked)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
		list = append(list, youngEnds(w, asked)...)
		for _, gather := range []func(onList, store.Topics, standards, training.Asked) ([]todo, error){a.endingReleases, a.equipmentGone} {
			more, err := gather(w, topics, std, asked)
			if err != nil {
				return nil, err
			}
			list = append(list, more...)
		}
	}
	return list, nil
}

func (a *app) waitingSkills(w onList, topics store.Topics, std standards, asked training.Asked) []todo {
	standings := standingsOf(topics, std, asked, nil)
	by := map[training.Word][]string{}
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			by[standings[s.ID].Word] = append(by[standings[s.ID].Word], s.ID)
		}
	}
	list := waitingGates(w, topics, std, standings, asked)
	for _, k := range []struct {
		word training.Word
		rank int
		what string
	}{{training.Restricted, rankStopped, "restricted"}, {training.Lapsed, rankOverdue, "ran out"}, {training.ToDecide, rankDecide, "to decide"}, {training.Due, rankSoon, "renew soon"}} {
		if ids := by[k.word]; len(ids) > 0 {
			list = append(list, todo{Rank: k.rank, What: k.what + ": " + strings.Join(ids, ", "), Who: w.Worker, Next: "ringtrue standing " + w.Short})
		}
	}
	return list
}

// waitingGates: gate skills without a met latest look. They stop whoever is released for saw work or has been out with a saw; whoever is
// only learning has them before the first cutting.
func waitingGates(w onList, topics store.Topics, std standards, standings map[string]training.Standing, asked training.Asked) []todo {
	var lacks []string
	for _, id := range std.GateSkills() {
		if st := standings[id]; !st.LastMet && !st.Held() && st.Word != training.Restricted {
			lacks = append(lacks, id)
		}
	}
	if lacks == nil {
		return nil
	}
	sawed, learns := sawWork(topics, std, asked)
	next := "ringtrue plan training --worker " + w.Short
	switch {
	case sawed:
		return []todo{{Rank: rankStopped, What: "no saw: gate skills not met: " + strings.Join(lacks, ", "), Who: w.Worker, Next: next}}
	case learns:
		return []todo{{Rank: rankToday, What: "before first cutting, gate skills not met: " + strings.Join(lacks, ", "), Who: w.Worker, Next: next}}
	}
	return nil
}

// sawWork reports whether somebody was released for saw work or joined a check with a saw, and whether training has begun.
func sawWork(topics store.Topics, std standards, asked training.Asked) (sawed, learns bool) {
	for _, g := range std.Groups {
		if g.Saw && (anyBy(topics[store.UseTopic(g.ID)], asked) || anyBy(topics[store.ReleaseTopic(g.ID)], asked)) {
			sawed = true
		}
	}
	for _, facts := range topics {
		for _, f := range facts {
			begun := f.Kind == training.FactAttendance || f.Kind == training.FactCredit || f.Kind == training.FactObservation
			learns = learns || (begun && !f.Struck && f.At <= asked.On)
		}
	}
	return sawed, learns
}

// waitingPapers: orientation, tickets, appointments and equipment that have run out or do soon, and decisions told by phone.
func (a *app) waitingPapers(w onList, topics store.Topics, std standards, asked training.Asked) ([]todo, error) {
	var list []todo
	due, err := a.orientationDue(topics, "", std.House, asked)
	if err != nil {
		return nil, err
	}
	lacks, cite, err := a.leavesOut(w.Worker, topics, asked)
	if err != nil {
		return nil, err
	}
	if what := orientationWaits(due, lacks, cite); what != "" {
		list = append(list, todo{Rank: rankToday, What: what, Who: w.Worker, Next: "ringtrue worker orient " + w.Short})
	}
	papers, err := a.planPapers(w.Worker, topics, asked)
	if err != nil {
		return nil, err
	}
	var look, replace []string
	for _, p := range papers {
		switch {
		case p.What != "equipment":
			list = append(list, todo{Rank: rankOverdue, What: p.What + " " + p.Of + ": " + strings.Join(p.Why, "; "), Who: w.Worker, Next: "ringtrue plan training --worker " + w.Short})
		case strings.HasPrefix(strings.Join(p.Why, ""), "replace"):
			replace = append(replace, p.Of)
		default:
			look = append(look, p.Of)
		}
	}
	if replace != nil {
		list = append(list, todo{Rank: rankOverdue, What: "equipment to replace: " + strings.Join(replace, ", "), Who: w.Worker, Next: "ringtrue ppe list " + w.Short})
	}
	if look != nil {
		list = append(list, todo{Rank: rankOverdue, What: "equipment to look at: " + strings.Join(look, ", "), Who: w.Worker, Next: "ringtrue ppe list " + w.Short})
	}
	for _, gather := range []func(onList, store.Topics, training.Asked) ([]todo, error){a.endingSoon, a.awaitingSignature} {
		more, err := gather(w, topics, asked)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
	}
	return list, nil
}

// orientationWaits says why orientation waits: it is due, or leaves out what the place asks that new and young people hear before work.
func orientationWaits(due, lacks []string, cite string) string {
	switch {
	case due != nil && lacks != nil:
		return "orientation before work: " + strings.Join(due, "; ") + "; " + cite + " asks for: " + strings.Join(lacks, "; ")
	case due != nil:
		return "orientation before work: " + strings.Join(due, "; ")
	case lacks != nil:
		return "orientation leaves out what " + cite + " asks before work: " + strings.Join(lacks, "; ")
	}
	return ""
}

// endingSoon: tickets, appointments and equipment that run out within 30 days.
func (a *app) endingSoon(w onList, topics store.Topics, asked training.Asked) ([]todo, error) {
	soon := func(day civil.Day) bool { return day != civil.None && day > asked.Day && day <= asked.Day+soonDays }
	var list []todo
	tickets, err := a.tickets(topics, asked)
	if err != nil {
		return nil, err
	}
	for _, t := range tickets {
		if end, err := civil.Parse(t.Until); err == nil && t.Valid && soon(end) {
			list = append(list, todo{Rank: rankSoon, What: "ticket " + t.What + " runs out on " + t.Until, Who: w.Worker, Next: "ringtrue worker ticket " + w.Short + " " + t.What})
		}
	}
	appointments, err := a.appointments(asked)
	if err != nil {
		return nil, err
	}
	for _, p := range appointments {
		if p.worker == w.Worker && soon(p.until) && !renewed(appointments, p, p.until) {
			list = append(list, todo{Rank: rankSoon, What: "no longer named as " + strings.Join(p.Duties, ", ") + " from " + p.Until + " on", Who: w.Worker, Next: "ringtrue worker appoint " + w.Short})
		}
	}
	pieces, err := a.pieceLines(w.Worker, asked)
	if err != nil {
		return nil, err
	}
	for _, p := range pieces {
		if end, err := civil.Parse(p.ReplaceBy); err == nil && (p.State == "held" || p.State == "look due") && soon(end) {
			list = append(list, todo{Rank: rankSoon, What: "equipment to replace by " + p.ReplaceBy + ": " + p.Item, Who: w.Worker, Next: "ringtrue ppe issue " + w.Short + " " + p.Item})
		}
	}
	return list, nil
}

// awaitingSignature: decisions told by phone that their decider has not entered.
func (a *app) awaitingSignature(w onList, topics store.Topics, asked training.Asked) ([]todo, error) {
	var list []todo
	for _, f := range topics[training.KindTold] {
		if f.Struck || f.At > asked.On {
			continue
		}
		var told training.Told
		if _, err := a.book.Entry(a.ctx, f.Entry, &told); err != nil {
			return nil, err
		}
		if entered(topics, told, f, asked) {
			continue
		}
		what, err := a.toldWords(told, f, w, asked)
		if err != nil {
			return nil, err
		}
		list = append(list, todo{Rank: rankDecide, What: what, Who: told.Decider, Next: "ringtrue evidence show " + w.Short})
	}
	return list, nil
}

// toldWords says that a decision told by phone waits, or that it waited too long and is to be asked anew.
func (a *app) toldWords(told training.Told, f training.Fact, w onList, asked training.Asked) (string, error) {
	h, err := a.house(asked)
	if err != nil {
		return "", err
	}
	what, entry := told.Decision+" of "+told.Of+" for "+w.Short+", told by phone", " (entry "+a.book.Short(f.Entry)+")"
	if !h.Has(house.ToldDays) {
		return what + ", awaits signature" + entry, nil
	}
	end := f.Day + civil.Day(h.Int(house.ToldDays))
	if asked.Day >= end {
		return fmt.Sprintf("%s on %s, was not signed within %s and counts for nothing: ask anew, or strike it%s", what, f.Day, h.Value(house.ToldDays), entry), nil
	}
	return fmt.Sprintf("%s, awaits signature, last day %s%s", what, end-1, entry), nil
}

// entered reports whether a decision told by phone has been entered since.
func entered(topics store.Topics, told training.Told, at training.Fact, asked training.Asked) bool {
	topic, kind := told.Of, training.FactSignOff
	switch told.Decision {
	case training.KindLift:
		kind = training.FactLift
	case training.KindRelease:
		topic, kind = store.ReleaseTopic(told.Of), training.FactRelease
	}
	return slices.ContainsFunc(topics[topic], func(f training.Fact) bool {
		return f.Kind == kind && !f.Struck && f.At >= at.At && f.At <= asked.On
	})
}
