package rules

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/spelling"
)

// floors checks the numbers of a place, each and against one another.
func (l *linter) floors(at string, j Jurisdiction) {
	for i, f := range j.Floors {
		at := fmt.Sprintf("%s, floor of %q", at, f.Key)
		l.texts(at, []field{{"applied", f.Applied, false}, {"note", f.Note, false}})
		l.number(at, f)
		l.binding(at, f, j)
		for _, other := range j.Floors[:i] {
			if f.contradicts(other) {
				l.say("%s: %s by rule %q contradicts %s by rule %q", at, f.Least+f.Most, f.Rule, other.Least+other.Most, other.Rule)
			}
		}
	}
}

// number checks the house rule, the side on which its number binds, and the unit.
func (l *linter) number(at string, f Floor) {
	n, known := house.Definition(f.Key)
	switch {
	case !known:
		l.say("%s: no house rule of that name; nearest: %s", at, spelling.Closest(f.Key, house.Keys()))
		return
	case n.Strict == "":
		l.say("%s: neither way is stricter for this house rule, so nothing can be its floor", at)
		return
	case (f.Least == "") == (f.Most == ""):
		l.say("%s: write one of least and most", at)
		return
	case n.Strict == "higher" && f.Most != "":
		l.say("%s: at most %s is the looser side; more is stricter here, so write least", at, f.Most)
	case n.Strict == "lower" && f.Least != "":
		l.say("%s: at least %s is the looser side; less is stricter here, so write most", at, f.Least)
	}
	switch q, err := units.Parse(f.Least+f.Most, n.Of); {
	case err != nil:
		l.say("%s: %v", at, err)
	case q.SI() <= 0 && n.Of != units.Temperature:
		l.say("%s: %s is not more than nothing", at, q)
	}
}

// binding checks the rule that the number comes from, and whether it may bind.
func (l *linter) binding(at string, f Floor, j Jurisdiction) {
	if f.Kind != house.Binding && f.Kind != house.Advice {
		l.say("%s: kind %q is not known; floor or advice", at, f.Kind)
	}
	if !slices.Contains(WrittenFor, f.For) {
		l.say("%s: what it is written for, %q, is not known; one of %s", at, f.For, strings.Join(WrittenFor, ", "))
	}
	i := slices.IndexFunc(j.Rules, func(r Rule) bool { return r.ID == f.Rule })
	if i < 0 {
		l.say("%s: it has no clause: this place has no rule %q; nearest: %s", at, f.Rule, l.edition.NearestID(f.Rule))
		return
	}
	if why := f.unbinding(j.Rules[i]); why != "" && f.Kind == house.Binding {
		l.say("%s: it is no more than advice: %s", at, why)
	}
}

// contradicts reports whether two rows of one place cannot both stand: one clause said twice, or two numbers that both bind and differ.
func (f Floor) contradicts(o Floor) bool {
	if f.Key != o.Key {
		return false
	}
	if f.Rule == o.Rule {
		return true
	}
	a, ok := house.Floor{Key: f.Key, Value: f.Least + f.Most}.SI()
	b, also := house.Floor{Key: o.Key, Value: o.Least + o.Most}.SI()
	return f.Kind == house.Binding && o.Kind == house.Binding && ok && also && (house.Looser(f.Key, a, b) || house.Looser(f.Key, b, a))
}
