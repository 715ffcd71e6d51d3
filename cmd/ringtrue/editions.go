package main

import (
	"slices"
	"time"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// edition gives the ref of the edition of a kind in force at the moment asked, as then known: the last one adopted
// by then. Days before the first edition, and a book that knew nothing yet, are judged by the first.
func (a *app) edition(asked training.Asked, kind string) (training.Ref, error) {
	facts, err := a.adopted(asked, kind)
	if err != nil {
		return 0, err
	}
	return lastAdopted(facts, asked.On).Entry, nil
}

// adopted lists the editions of a kind that were known by the moment asked, in the order in which they come into force;
// the first alone where none was known yet.
func (a *app) adopted(asked training.Asked, kind string) ([]training.Fact, error) {
	facts, err := a.listed(asked, kind)
	if err == nil && len(facts) == 0 {
		facts, err = a.listed(a.knownNow(asked.Day), kind)
		facts = facts[:min(len(facts), 1)]
	}
	if err == nil && len(facts) == 0 {
		err = refuse("see what the book holds: ringtrue book verify", "the book holds no %s", kind)
	}
	return facts, err
}

// lastAdopted is the last edition that had begun by a second, or the first.
func lastAdopted(adopted []training.Fact, on int64) training.Fact {
	in := adopted[0]
	for _, f := range adopted {
		if f.At <= on {
			in = f
		}
	}
	return in
}

// editionsUpTo lists the editions of a kind up to the one in force, which is the last.
func (a *app) editionsUpTo(asked training.Asked, kind string) ([]training.Fact, error) {
	facts, err := a.adopted(asked, kind)
	if err != nil {
		return nil, err
	}
	begun := slices.DeleteFunc(slices.Clone(facts), func(f training.Fact) bool { return f.At > asked.On })
	if len(begun) == 0 {
		return facts[:1], nil
	}
	return begun, nil
}

// readEdition reads a catalogue entry once.
func readEdition[T any](a *app, asked training.Asked, kind string) (T, error) {
	var v T
	ref, err := a.edition(asked, kind)
	if err != nil {
		return v, err
	}
	if known, ok := a.editions[ref]; ok {
		return known.(T), nil
	}
	if _, err := a.book.Entry(a.ctx, ref, &v); err != nil {
		return v, err
	}
	a.editions[ref] = v
	return v, nil
}

func (a *app) curriculum(asked training.Asked) (training.Curriculum, error) {
	return readEdition[training.Curriculum](a, asked, store.KindCurriculum)
}

func (a *app) localRules(asked training.Asked) (rules.Edition, error) {
	return readEdition[rules.Edition](a, asked, store.KindRules)
}

// standards are the curriculum and the house rules in force at a moment, and the numbers standing needs; with them those
// in force later that the book already knew of.
type standards struct {
	training.Curriculum
	House house.House
	Rules training.Rules
	turns []turn
	zone  *time.Location
	marks func(training.Ref) []training.Mark // what a look saw
}

// turn is what judges standing from a second on.
type turn struct {
	from       int64
	curriculum training.Curriculum
	rules      training.Rules
}

func (a *app) standards(asked training.Asked) (standards, error) {
	return a.standardsFrom(asked, asked.Day.Start(a.book.Zone()).Unix()-1)
}

// standardsFrom also reads the editions in force between a second and the moment asked.
func (a *app) standardsFrom(asked training.Asked, from int64) (standards, error) {
	s := standards{zone: a.book.Zone(), marks: a.marksOf(a.book)}
	var err error
	if s.Curriculum, err = a.curriculum(asked); err != nil {
		return s, err
	}
	if s.House, err = a.house(asked); err != nil {
		return s, err
	}
	if s.Rules, err = training.RulesOf(s.House); err != nil {
		return s, err
	}
	s.turns, err = a.turns(asked, from)
	return s, err
}

// turns lists the editions that judge standing from a second on, in order, as known by the moment asked.
func (a *app) turns(asked training.Asked, from int64) ([]turn, error) {
	begin := []int64{from}
	for _, kind := range []string{store.KindCurriculum, store.KindHouse} {
		facts, err := a.adopted(asked, kind)
		if err != nil {
			return nil, err
		}
		for _, f := range facts {
			if f.At > from {
				begin = append(begin, f.At)
			}
		}
	}
	slices.Sort(begin)
	var list []turn
	for _, at := range slices.Compact(begin) {
		then := training.Asked{Day: civil.Of(time.Unix(at, 0), a.book.Zone()), On: at, Known: asked.Known}
		c, err := a.curriculum(then)
		if err != nil {
			return nil, err
		}
		h, err := a.house(then)
		if err != nil {
			return nil, err
		}
		r, err := training.RulesOf(h)
		if err != nil {
			return nil, err
		}
		list = append(list, turn{at, c, r})
	}
	return list, nil
}

// of gathers what the questions about one worker and skill are asked of, from the worker's facts.
func (s standards) of(topics store.Topics, skill string) training.Case {
	c := training.Case{Zone: s.zone, Marks: s.marks, Readings: make([]training.Reading, 0, len(s.turns))}
	for _, t := range s.turns {
		sk, m, known := t.curriculum.Skill(skill)
		if !known { // not taught yet
			c.Readings = append(c.Readings, training.Reading{From: t.from, Skill: training.Skill{ID: skill, Withdrawn: true}, Rules: t.rules})
			continue
		}
		c.Readings = append(c.Readings, training.Reading{From: t.from, Skill: sk, Rules: t.rules, History: historyOf(topics, sk, m, t.curriculum)})
	}
	return c
}

// readBy are the same standards, with looks read from another connection.
func (s standards) readBy(a *app, b *store.Book) standards {
	s.marks = a.marksOf(b)
	return s
}

// marksOf reads what looks saw, each once. A look that cannot be read saw nothing; the command then ends by naming it.
func (a *app) marksOf(b *store.Book) func(training.Ref) []training.Mark {
	read := map[training.Ref][]training.Mark{}
	return func(look training.Ref) []training.Mark {
		if marks, ok := read[look]; ok {
			return marks
		}
		var o training.Observation
		if _, err := b.Entry(a.ctx, look, &o); err != nil {
			a.unreadable.Store(&err)
		}
		read[look] = o.Marks
		return o.Marks
	}
}

// skill finds a skill of the curriculum in force, or refuses with the nearest id.
func (s standards) skill(id string) (training.Skill, training.Module, error) {
	if sk, m, ok := s.Skill(id); ok {
		return sk, m, nil
	}
	var ids []string
	for _, m := range s.Modules {
		for _, sk := range m.Skills {
			ids = append(ids, sk.ID)
		}
	}
	return training.Skill{}, training.Module{}, refuse(hint(id, ids, "skill list"), "no skill %q in curriculum %s", id, s.Curriculum.Edition)
}

// module finds a module, or refuses with the nearest id.
func (s standards) module(id string) (training.Module, error) {
	if m, ok := s.Module(id); ok {
		return m, nil
	}
	var ids []string
	for _, m := range s.Modules {
		ids = append(ids, m.ID)
	}
	return training.Module{}, refuse(hint(id, ids, "module list"), "no module %q in curriculum %s", id, s.Curriculum.Edition)
}

// group finds a task group, or refuses with the nearest id.
func (s standards) group(id string) (training.Group, error) {
	if g, ok := s.Group(id); ok {
		return g, nil
	}
	var ids []string
	for _, g := range s.Groups {
		ids = append(ids, g.ID)
	}
	return training.Group{}, refuse(hint(id, ids, "skill list --groups"), "no task group %q in curriculum %s", id, s.Curriculum.Edition)
}

func hint(word string, known []string, list string) string {
	if near := nearestID(word, known); near != "" {
		return "nearest: " + near + "; all: ringtrue " + list
	}
	return "see: ringtrue " + list
}
