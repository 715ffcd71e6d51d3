package main

import (
	"slices"

	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// person says what the book held of the worker of a use: from the beginning of its span on, and anew at each entry about them within it.
func (r *useReader) person(u toldUse, f against.Facts, known int64) ([]against.Spell, error) {
	all, err := r.about(u.Worker)
	if err != nil {
		return nil, err
	}
	topics := r.asKnown(all, u.day, known)
	kind, err := r.ground(u, f)
	if err != nil {
		return nil, err
	}
	groups := groupsOf(u, f)
	var spells []against.Spell
	for _, at := range momentsOf(topics, u.Use) {
		s, err := r.spell(topics, kind, groups, training.Asked{Day: u.day, On: at, Known: known})
		if err != nil {
			return nil, err
		}
		spells = append(spells, s)
	}
	return spells, nil
}

// about are the facts about a worker, read once.
func (r *useReader) about(worker string) (store.Topics, error) {
	all, ok := r.people[worker]
	if ok {
		return all, nil
	}
	all, err := r.book.Facts(r.ctx, r.asked, worker)
	r.people[worker] = all
	return all, err
}

// groupsOf are the task groups that were planned for the worker of a use; nil where on some sheet none was, so that any may count.
func groupsOf(u toldUse, f against.Facts) []string {
	var groups []string
	for _, c := range f.Checks {
		for _, a := range c.Answers {
			for _, l := range a.Crew {
				if l.Worker != u.Worker {
					continue
				}
				if !l.Saws() {
					return nil
				}
				groups = append(groups, l.Group)
			}
		}
	}
	return groups
}

// settled reports whether the book has learned nothing more since a moment that bears on what the worker of a use might do then. What it
// knew then is then what it knows now.
func (r *useReader) settled(u toldUse, since int64) (bool, error) {
	later := func(f training.Fact) bool {
		when, struck := r.struck[f.Entry]
		return f.At <= u.Until && (f.Recorded > since || struck && when > since) ||
			slices.ContainsFunc(f.Cites, func(c training.Ref) bool { return r.struck[c] > since })
	}
	if slices.ContainsFunc(r.adopted, later) {
		return false, nil
	}
	all, err := r.about(u.Worker)
	for _, facts := range all {
		if slices.ContainsFunc(facts, later) {
			return false, err
		}
	}
	return err == nil, err
}

// asKnown are the facts of somebody as known at a moment. What they joined on that day is left out: what they might do is asked as it
// stood before they began, as the check asks it.
func (r *useReader) asKnown(all store.Topics, day civil.Day, known int64) store.Topics {
	topics := store.Topics{}
	for topic, facts := range all {
		var kept []training.Fact
		for _, f := range facts {
			joined := topic == store.KindJoin || f.Kind == training.FactUse
			if f.Recorded > known || joined && f.Day == day {
				continue
			}
			f.Struck = r.struckBy(f.Entry, known)
			f.Void = slices.ContainsFunc(f.Cites, func(c training.Ref) bool { return r.struckBy(c, known) })
			kept = append(kept, f)
		}
		topics[topic] = kept
	}
	return topics
}

// momentsOf are the beginning of a use's span and each moment within it at which an entry may change what its worker may do.
func momentsOf(topics store.Topics, u against.Use) []int64 {
	moments := []int64{u.From}
	for topic, facts := range topics {
		for _, f := range facts {
			bears := f.Kind != training.FactOther && f.Kind != training.FactUse || topic == training.KindOrientation || topic == training.KindNewAgain
			if bears && f.At > u.From && f.At <= u.Until {
				moments = append(moments, f.At)
			}
		}
	}
	slices.Sort(moments)
	return slices.Compact(moments)
}

// ground is the kind of the block of a use, "" where nobody says which block.
func (r *useReader) ground(u toldUse, f against.Facts) (string, error) {
	block := u.Block
	if block == "" && len(f.Joins) > 0 {
		block = f.Joins[0].Block
	}
	if block == "" {
		return "", nil
	}
	if kind, read := r.kinds[block]; read {
		return kind, nil
	}
	card, _, err := r.card(block, r.knownNow(u.day))
	r.kinds[block] = card.Kind
	return card.Kind, err
}

// spell says what somebody might do at a moment in some task groups, in all of saw work where they are nil.
func (r *useReader) spell(topics store.Topics, ground string, groups []string, asked training.Asked) (s against.Spell, err error) {
	std, err := r.standards(asked)
	if err != nil {
		return s, err
	}
	due, err := r.orientationDue(topics, ground, std.House, asked)
	if err != nil {
		return s, err
	}
	s = against.Spell{From: asked.On, Oriented: len(due) == 0}
	for _, g := range std.Groups {
		if !g.Saw || groups != nil && !slices.Contains(groups, g.ID) {
			continue
		}
		standings := standingsOf(topics, std, asked, &g)
		perm, err := r.permission(topics, g, standings, std, asked)
		if err != nil {
			return s, err
		}
		s.Groups = append(s.Groups, held(perm, standings))
	}
	return s, nil
}

// held is what a permission comes to.
func held(perm training.Permission, standings map[string]training.Standing) against.Held {
	h := against.Held{Group: perm.Group, Level: perm.Level, Release: perm.Release}
	if len(perm.Lacks) > 0 {
		h.Lack = perm.Lacks[0].Entry
	}
	for _, id := range restricted(standings) {
		st := standings[id]
		stop := against.Skill{ID: id}
		if len(st.Reasons) > 0 {
			stop.Entry = st.Reasons[0].Entry
		}
		h.Restricted = append(h.Restricted, stop)
	}
	return h
}

// downs says when the saw of a use was out of use, as known at a moment.
func (r *useReader) downs(u toldUse, known int64) (list []against.Down, err error) {
	all, ok := r.saws[u.Saw]
	if !ok {
		if all, err = r.book.Facts(r.ctx, r.asked, store.SawSubject(u.Saw)); err != nil {
			return nil, err
		}
		r.saws[u.Saw] = all
	}
	topics := r.asKnown(all, u.day, known)
	for _, f := range topics[store.KindRetire] {
		if !f.Struck {
			list = append(list, against.Down{Entry: f.Entry, From: f.At, Until: against.Open, Retired: true})
		}
	}
	events := sawEvents(topics)
	if len(events) == 0 {
		return list, nil
	}
	rules, err := r.house(training.Asked{Day: u.day, On: u.Until, Known: known})
	if err != nil {
		return nil, err
	}
	for _, s := range upkeep.StopSpans(events, rules) {
		list = append(list, against.Down{Entry: training.Ref(s.Entry), From: s.From, Until: s.Until})
	}
	return list, nil
}
