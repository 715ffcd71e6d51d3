package rules

import (
	"fmt"
	"reflect"
	"slices"

	"example.org/ringtrue/hazards/house"
)

// Change is one row of a place that differs between two editions.
type Change struct {
	ID   string // of a rule, or "floor of KEY"
	What string // one of Came, Changed, Dropped
}

// What happened to a row.
const (
	Came    = "new"
	Changed = "changed"
	Dropped = "left out"
)

// With is a new edition in which one place has the rows of j, which a company brought. Rows that say what they said before keep whose
// they are; all others are marked as the company's. The old edition stays as it is. A rule that j leaves out is among the changes, and
// is for the caller to refuse: its id must not be free for anything else.
func (e Edition) With(j Jurisdiction, name string, by Adoption) (Edition, []Change) {
	out := Edition{Edition: name, Compiled: max(e.Compiled, by.On), Jurisdictions: slices.Clone(e.Jurisdictions)}
	at := slices.IndexFunc(out.Jurisdictions, func(o Jurisdiction) bool { return o.Code == j.Code })
	if at < 0 {
		return out, nil
	}
	old := out.Jurisdictions[at]
	j.Rules = slices.Clone(j.Rules)
	var changes []Change
	for i, r := range j.Rules {
		was := slices.IndexFunc(old.Rules, func(o Rule) bool { return o.ID == r.ID })
		switch {
		case was < 0:
			changes = append(changes, Change{r.ID, Came})
		case old.Rules[was].same(r):
			j.Rules[i].Adopted = old.Rules[was].Adopted
			continue
		default:
			changes = append(changes, Change{r.ID, Changed})
		}
		j.Rules[i].Adopted = &by
	}
	for _, o := range old.Rules {
		if !slices.ContainsFunc(j.Rules, func(r Rule) bool { return r.ID == o.ID }) {
			changes = append(changes, Change{o.ID, Dropped})
		}
	}
	out.Jurisdictions[at] = j
	return out, append(changes, floorChanges(old, j)...)
}

// same reports whether two rows say the same, whoever they come from.
func (r Rule) same(o Rule) bool {
	r.Adopted, o.Adopted = nil, nil
	return reflect.DeepEqual(r, o)
}

func floorChanges(old, now Jurisdiction) []Change {
	var changes []Change
	find := func(list []Floor, f Floor) int {
		return slices.IndexFunc(list, func(o Floor) bool { return o.Key == f.Key && o.Rule == f.Rule })
	}
	for _, f := range now.Floors {
		switch was := find(old.Floors, f); {
		case was < 0:
			changes = append(changes, Change{"floor of " + f.Key, Came})
		case old.Floors[was] != f:
			changes = append(changes, Change{"floor of " + f.Key, Changed})
		}
	}
	for _, f := range old.Floors {
		if find(now.Floors, f) < 0 {
			changes = append(changes, Change{"floor of " + f.Key, Dropped})
		}
	}
	return changes
}

// Loosened says what of a place binds less in a later edition than before: numbers that are gone or allow more, and demands on records
// that are gone or ask for less.
func Loosened(before, after Edition, place string) []string {
	var out []string
	seen := map[string]bool{}
	for _, f := range before.Floors(place) {
		was, bound := house.Binds(before.Floors(place), f.Key)
		if !bound || seen[f.Key] {
			continue
		}
		seen[f.Key] = true
		now, still := house.Binds(after.Floors(place), f.Key)
		a, ok := was.SI()
		b, also := now.SI()
		switch {
		case !still:
			out = append(out, fmt.Sprintf("%s: no longer bound, was %s", f.Key, was.Value))
		case ok && also && house.Looser(f.Key, b, a):
			out = append(out, fmt.Sprintf("%s: %s, was %s", f.Key, now.Value, was.Value))
		}
	}
	return append(out, asksLess(before.Duties(place), after.Duties(place))...)
}

// asksLess names the rules whose demands are gone or ask for less.
func asksLess(before, after []Duty) []string {
	var out []string
	for _, was := range before {
		kept := slices.ContainsFunc(after, func(now Duty) bool {
			return now.Rule == was.Rule && now.Of == was.Of && now.Whom == was.Whom && (was.Days == 0 || now.Days != 0 && now.Days <= was.Days) &&
				among(was.Topics, now.Topics) && among(was.Fields, now.Fields) && (now.Seen || !was.Seen)
		})
		if says := was.Rule + ": asks less of " + was.Of + "s"; !kept && !slices.Contains(out, says) {
			out = append(out, says)
		}
	}
	return out
}

// among reports whether all of some words stand in others.
func among(some, all []string) bool {
	return !slices.ContainsFunc(some, func(w string) bool { return !slices.Contains(all, w) })
}

// LintPlace checks one place of an edition as Lint does, and passes over what others have.
func LintPlace(e Edition, code string) []error {
	l := &linter{edition: e, names: map[string]string{}, ids: map[string]string{}}
	for _, j := range e.Jurisdictions {
		if j.Code != code {
			l.jurisdiction(j)
		}
	}
	l.found = nil
	for _, j := range e.Jurisdictions {
		if j.Code == code {
			l.jurisdiction(j)
		}
	}
	return l.found
}
