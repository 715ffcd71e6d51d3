package main

import (
	"slices"
	"time"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// actor is who records: --as, else the owner of the book.
func (a *app) actor() (store.Person, error) {
	if a.as != "" {
		return a.person(a.as)
	}
	p, err := a.crew()
	if err != nil {
		return store.Person{}, err
	}
	if owner, ok := p.byID[a.opening.Owner]; ok {
		return owner, nil
	}
	return store.Person{}, refuse("say who acts: --as WORKER", "the owner of the book has no name in it any more")
}

// appointed is an appointment as recorded, with who it names.
type appointed struct {
	ref    training.Ref
	worker string
	training.Appointment
	from, until civil.Day
	recorded    time.Time
}

// appointments are everybody's, those known and not struck by the moment asked, in the order in which they were made.
func (a *app) appointments(asked training.Asked) ([]appointed, error) {
	return a.appointmentsOf(store.Everything, asked)
}

// appointmentsOf are those of one person.
func (a *app) appointmentsOf(worker string, asked training.Asked) ([]appointed, error) {
	facts, err := a.book.Topic(a.ctx, asked, worker, training.KindAppointment)
	if err != nil {
		return nil, err
	}
	var list []appointed
	for _, f := range facts {
		if f.Struck {
			continue
		}
		one, err := a.appointment(f.Entry)
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return a.ended(list, worker, asked)
}

func (a *app) appointment(ref training.Ref) (appointed, error) {
	if known, ok := a.editions[ref]; ok {
		return known.(appointed), nil
	}
	one := appointed{ref: ref}
	h, err := a.book.Entry(a.ctx, ref, &one.Appointment)
	if err != nil {
		return one, err
	}
	one.worker, one.recorded = h.Worker, h.Recorded
	if one.from, err = civil.Parse(one.From); err != nil {
		return one, err
	}
	one.until = civil.None
	if one.Until != "" {
		if one.until, err = civil.Parse(one.Until); err != nil {
			return one, err
		}
	}
	a.editions[ref] = one
	return one, nil
}

// may reports whether a person is appointed to a duty for a skill on a day ("" = for anything).
func may(list []appointed, worker, duty, skill string, day civil.Day) bool {
	return slices.ContainsFunc(list, func(p appointed) bool {
		return p.worker == worker && slices.Contains(p.Duties, duty) && p.from <= day && (p.until == civil.None || day < p.until) &&
			(skill == "" || len(p.Skills) == 0 || slices.Contains(p.Skills, skill))
	})
}

// listed gives the facts of one kind that stand in the book's own lists.
func (a *app) listed(asked training.Asked, kind string) ([]training.Fact, error) {
	return a.book.Topic(a.ctx, asked, store.Everything, kind)
}

// knownNow asks for everything the book knows now about a day.
func (a *app) knownNow(day civil.Day) training.Asked {
	return training.Asked{Day: day, On: day.End(a.book.Zone()).Unix() - 1, Known: 1<<62 - 1}
}
