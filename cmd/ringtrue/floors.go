package main

import (
	"slices"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// house returns the house rules in force at the moment asked, as then known: under the floors, and with what the company has
// loosened. Who loosened it stands as {id}, because answers are recorded; whoChose puts the names in.
func (a *app) house(asked training.Asked) (house.House, error) {
	ref, err := a.edition(asked, store.KindHouse)
	if err != nil {
		return house.House{}, err
	}
	last, err := a.adoptedHouse(ref)
	if err != nil {
		return house.House{}, err
	}
	history, err := a.houseHistory(asked)
	if err != nil { // an older edition is damaged; the one in force judges without it
		history = []adoptedAt{last}
	}
	key := judgedBy{last.ref, len(history), a.rulesRef(asked)}
	if h, ok := a.judged[key]; ok {
		return h, nil
	}
	adopted := make([]house.Adopted, len(history))
	for i, one := range history {
		adopted[i] = one.Adopted
	}
	h := last.House.Since(adopted).Under(a.floors(last.House, asked))
	a.judged[key] = h
	return h, nil
}

// judgedBy says what house rules under floors depend on: the edition, how many there were up to it, and the local rules.
type judgedBy struct {
	house    training.Ref
	editions int
	rules    training.Ref
}

// adoptedAt is an edition of the house rules, with its entry.
type adoptedAt struct {
	house.Adopted
	ref training.Ref
}

// houseHistory lists the editions of the house rules up to the one in force, in the order in which they came into force.
func (a *app) houseHistory(asked training.Asked) ([]adoptedAt, error) {
	facts, err := a.editionsUpTo(asked, store.KindHouse)
	if err != nil {
		return nil, err
	}
	out := make([]adoptedAt, len(facts))
	for i, f := range facts {
		if out[i], err = a.adoptedHouse(f.Entry); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// adoptedHouse reads an edition of the house rules once, as it was recorded.
func (a *app) adoptedHouse(ref training.Ref) (adoptedAt, error) {
	if known, ok := a.editions[ref]; ok {
		return known.(adoptedAt), nil
	}
	var h house.House
	entry, err := a.book.Entry(a.ctx, ref, &h)
	if err != nil {
		return adoptedAt{}, err
	}
	if h, err = h.Ready(); err != nil {
		return adoptedAt{}, err
	}
	one := adoptedAt{house.Adopted{House: h, By: entry.By, Day: civil.Of(entry.Happened, a.book.Zone()).String()}, ref}
	a.editions[ref] = one
	return one, nil
}

// rulesRef names the edition of the local rules in force, 0 where none can be found.
func (a *app) rulesRef(asked training.Asked) training.Ref {
	ref, err := a.edition(asked, store.KindRules)
	if err != nil {
		return 0
	}
	return ref
}

// floors are the numbers that bind an edition: those recorded with it, else those that this program offers; and those of the place's
// rules that the book holds. Rules that are damaged or older than floors leave the program's own in force.
func (a *app) floors(h house.House, asked training.Asked) []house.Floor {
	bound := slices.Clone(h.Floors)
	if len(bound) == 0 {
		bound = slices.Concat(starterFloors(), starterRules().Floors(a.opening.Jurisdiction))
	}
	if held, err := a.localRules(asked); err == nil {
		bound = append(bound, held.Floors(a.opening.Jurisdiction)...)
	}
	return bound
}

// floorsNow are those that a new edition is recorded with.
func (a *app) floorsNow(asked training.Asked) []house.Floor {
	held, err := a.localRules(asked)
	if err != nil || !held.HasFloors() {
		held = starterRules()
	}
	return append(starterFloors(), held.Floors(a.opening.Jurisdiction)...)
}

// starterFloors are those of the starter edition.
func starterFloors() []house.Floor {
	h, _ := house.Starter() // embedded, and read by its tests
	return h.Floors
}

// starterRules are the local rules that the program offers.
func starterRules() rules.Edition {
	e, _ := rules.Starter() // embedded, and read by its tests
	return e
}

// whoChose puts names for the people whom a text about house rules names by {id}. What else stands in braces stays.
func (a *app) whoChose(text string) string {
	if a.book == nil || !namedPerson.MatchString(text) {
		return text
	}
	people, err := a.crew()
	if err != nil {
		return text
	}
	return namedPerson.ReplaceAllStringFunc(text, func(m string) string {
		if one, ok := people.byID[m[1:len(m)-1]]; ok {
			return one.Handle
		}
		return m
	})
}
