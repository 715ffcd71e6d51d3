package main

import (
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
)

// worker gathers what the book knows about somebody on the sheet.
func (a *app) worker(c hazards.CrewLine, card hazards.Block, std standards, asked training.Asked) (hazards.Worker, error) {
	w := hazards.Worker{ID: c.Worker}
	people, err := a.crew()
	if err != nil {
		return w, err
	}
	w.Handle = people.handle(c.Worker)
	list, err := a.appointmentsOf(c.Worker, asked)
	if err != nil {
		return w, err
	}
	w.FirstAid = may(list, c.Worker, training.DutyFirstAid, "", asked.Day)
	w.Appointed = may(list, c.Worker, training.DutyObserve, "", asked.Day) || may(list, c.Worker, training.DutyTeach, "", asked.Day)
	topics, err := a.book.Facts(a.ctx, asked, c.Worker)
	if err != nil {
		return w, err
	}
	if err := a.experience(&w, topics, std, asked); err != nil {
		return w, err
	}
	if w.Orient, err = a.orientationDue(topics, card.Kind, std.House, asked); err != nil {
		return w, err
	}
	if err := a.asNew(&w, topics, asked); err != nil {
		return w, err
	}
	if w.FirstAid, err = a.firstAider(w.FirstAid, topics, asked); err != nil {
		return w, err
	}
	if c.Group == "" || !c.Saws() {
		return w, nil
	}
	err = a.withSaw(&w, c.Group, topics, std, asked)
	return w, err
}

// withSaw adds what counts for somebody who saws in a task group: what they may do there, what they lack, and their last look. A
// group that the curriculum does not have is refused elsewhere.
func (a *app) withSaw(w *hazards.Worker, group string, topics store.Topics, std standards, asked training.Asked) error {
	g, known := std.Group(group)
	if !known {
		return nil
	}
	standings := standingsOf(topics, std, asked, &g)
	perm, err := a.permission(topics, g, standings, std, asked)
	if err != nil {
		return err
	}
	for i, why := range a.reasons(perm.Reasons) {
		perm.Reasons[i].Text = why // with the entry that says so
	}
	w.Permissions = map[string]training.Permission{g.ID: perm}
	if err := a.forStems(w, topics, std, asked); err != nil {
		return err
	}
	w.Restricted = restricted(standings)
	if w.Lacks, err = a.lacks(w.ID, g, asked); err != nil {
		return err
	}
	w.MissedLook, err = a.missedLook(topics, std, asked)
	return err
}

// clumpsGroup stands for bent stems where a curriculum has no group of their own.
const clumpsGroup = "clumps"

// forStems adds what a worker may do with stems that need two cuts, and with bent ones, whatever group is planned: the stems of the day
// are held against it.
func (a *app) forStems(w *hazards.Worker, topics store.Topics, std standards, asked training.Asked) error {
	bent := hazards.Tension
	if _, known := std.Group(bent); !known {
		bent = clumpsGroup
	}
	if err := a.mayAlso(w, hazards.TwoCut, hazards.TwoCut, topics, std, asked); err != nil {
		return err
	}
	return a.mayAlso(w, hazards.Tension, bent, topics, std, asked)
}

// mayAlso adds under a name what a worker may do in a group of the curriculum.
func (a *app) mayAlso(w *hazards.Worker, name, group string, topics store.Topics, std standards, asked training.Asked) error {
	g, known := std.Group(group)
	if _, there := w.Permissions[name]; there || !known {
		return nil
	}
	perm, err := a.permission(topics, g, standingsOf(topics, std, asked, &g), std, asked)
	w.Permissions[name] = perm
	return err
}

// absent lists the ids of people of the book whom a sheet names without having them on its crew.
func (a *app) absent(sheet hazards.Sheet) ([]string, error) {
	people, err := a.crew()
	var list []string
	sheet.WithPeople(func(id string) string {
		if _, known := people.byID[id]; known && !onSheet(sheet, id) && !slices.Contains(list, id) {
			list = append(list, id)
		}
		return id
	})
	return list, err
}

// firstAider: who is named as first aider is one unless the first-aid ticket in the book has run out.
func (a *app) firstAider(named bool, topics store.Topics, asked training.Asked) (bool, error) {
	tickets, err := a.tickets(topics, asked)
	for _, t := range tickets {
		if t.What == training.DutyFirstAid && !t.Valid {
			named = false
		}
	}
	return named, err
}

// restricted lists the restricted skills among standings.
func restricted(standings map[string]training.Standing) []string {
	var ids []string
	for id, st := range standings {
		if st.Word == training.Restricted {
			ids = append(ids, id)
		}
	}
	return sorted(ids)
}

// lacks lists the equipment of a task group that a worker does not hold, or may no longer use.
func (a *app) lacks(worker string, g training.Group, asked training.Asked) ([]string, error) {
	list, err := a.pieces(worker, asked)
	if err != nil {
		return nil, err
	}
	var lacks []string
	for _, item := range g.PPE {
		holds := slices.ContainsFunc(list, func(p piece) bool { return p.Item == item && p.usable(asked.Day) })
		if !holds {
			lacks = append(lacks, item)
		}
	}
	return lacks, nil
}

// cuttingModules are the modules on cutting and kickback, whose last look counts for the morning (company choice).
var cuttingModules = []string{"M6", "M7"}

// missedLook reports whether the last look at cutting or kickback missed a point that was not critical.
func (a *app) missedLook(topics store.Topics, std standards, asked training.Asked) (bool, error) {
	var last training.Fact
	for _, id := range cuttingModules {
		m, _ := std.Module(id)
		for _, s := range m.Skills {
			for _, f := range topics[s.ID] {
				if f.Kind == training.FactObservation && !f.Struck && f.At <= asked.On && f.At >= last.At {
					last = f
				}
			}
		}
	}
	if last.Entry == 0 {
		return false, nil
	}
	var o training.Observation
	if _, err := a.book.Entry(a.ctx, last.Entry, &o); err != nil {
		return false, err
	}
	return slices.ContainsFunc(o.Marks, func(m training.Mark) bool { return m.Seen == training.Missed }), nil
}
