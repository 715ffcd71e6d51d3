package main

import (
	"slices"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
)

// edition gives the ref of the edition of a kind in force at the moment asked, as then known: the last one adopted
// by then. Days before the first edition, and a book that knew nothing yet, are judged by the first.
func (a *app) edition(asked training.Asked, kind string) (training.Ref, error) {
	facts, err := a.editionsUpTo(asked, kind)
	if err != nil {
		return 0, err
	}
	return facts[len(facts)-1].Entry, nil
}

// editionsUpTo lists the editions of a kind up to the one in force, which is the last.
func (a *app) editionsUpTo(asked training.Asked, kind string) ([]training.Fact, error) {
	facts, err := a.listed(asked, kind)
	if err == nil && len(facts) == 0 {
		facts, err = a.listed(a.knownNow(asked.Day), kind)
		facts = facts[:min(len(facts), 1)]
	}
	if err != nil || len(facts) == 0 {
		return nil, firstError(err, refuse("see what the book holds: ringtrue book verify", "the book holds no %s", kind))
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

// standards are the curriculum and the house rules in force at a moment, and the numbers standing needs.
type standards struct {
	training.Curriculum
	House house.House
	Rules training.Rules
}

func (a *app) standards(asked training.Asked) (standards, error) {
	var s standards
	var err error
	if s.Curriculum, err = a.curriculum(asked); err != nil {
		return s, err
	}
	if s.House, err = a.house(asked); err != nil {
		return s, err
	}
	s.Rules, err = training.RulesOf(s.House)
	return s, err
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
