package catalogue

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/spelling"
)

func (l *linter) modules() {
	ids := names(l.curriculum.Modules, func(m training.Module) string { return m.ID })
	for n, m := range l.curriculum.Modules {
		at := "module " + m.ID
		l.id(at, m.ID, idForm)
		l.once(at, "module", ids, n)
		l.text(at, "title", m.Title)
		l.needs(at, m, ids)
		for i, clause := range m.Covers {
			l.once(at, "clause", m.Covers, i)
			l.clause(at, clause)
		}
		if len(m.Skills) == 0 {
			l.say(at, "it has no skills", "give it at least one skill that shows it was learnt")
		}
		for _, s := range m.Skills {
			l.skill(at, m, s)
		}
	}
}

func (l *linter) needs(at string, m training.Module, ids []string) {
	for i, need := range m.Needs {
		l.once(at, "module", m.Needs, i)
		if !slices.Contains(ids, need) {
			l.say(at, "needs module "+quoted(need)+", which is not known", "nearest: "+spelling.Closest(need, ids))
		}
	}
	if way := l.wayBack(m.ID); way != nil {
		l.say(at, "it needs itself, by way of "+strings.Join(way, ", "), "take one of these out of needs")
	}
}

// wayBack returns the shortest line of needed modules that leads from a module back to it, or nil.
func (l *linter) wayBack(id string) []string {
	ways, seen := [][]string{{id}}, map[string]bool{}
	for len(ways) > 0 {
		way := ways[0]
		ways = ways[1:]
		m, _ := l.curriculum.Module(way[len(way)-1])
		for _, need := range m.Needs {
			next := append(slices.Clone(way), need)
			if need == id {
				return next[1:]
			}
			if !seen[need] {
				seen[need] = true
				ways = append(ways, next)
			}
		}
	}
	return nil
}

func (l *linter) skill(at string, m training.Module, s training.Skill) {
	at += ", skill " + s.ID
	l.id(at, s.ID, idForm)
	l.reused(at, m.ID, s)
	l.text(at, "title", s.Title)
	if len(s.Criteria) == 0 {
		l.say(at, "it has no criteria", "write at least one point that can be seen or measured")
	}
	critical := false
	ids := names(s.Criteria, func(c training.Criterion) string { return c.ID })
	for i, c := range s.Criteria {
		critical = critical || c.Critical
		l.criterion(at, c)
		l.once(at, "criterion", ids, i)
	}
	l.critical(at, s, critical)
}

func (l *linter) reused(at, module string, s training.Skill) {
	earlier, taken := l.skills[s.ID]
	switch {
	case taken && earlier.Withdrawn != s.Withdrawn:
		l.say(at, "the id of a withdrawn skill is reused", "give the newer skill an id of its own and let it name the older one under replaces")
	case taken:
		l.say(at, "the id stands twice, also in module "+l.homes[s.ID], "give each skill an id of its own")
	default:
		l.skills[s.ID], l.homes[s.ID] = s, module
	}
}

func (l *linter) critical(at string, s training.Skill, hasCritical bool) {
	switch {
	case s.Critical && !hasCritical:
		l.say(at, "it is critical but none of its criteria is", "mark the criterion whose miss stops the skill as critical")
	case !s.Critical && hasCritical:
		l.say(at, "it has a critical criterion but is not critical itself", "set critical: true on the skill")
	}
}

func (l *linter) criterion(at string, c training.Criterion) {
	at += ", criterion " + c.ID
	l.id(at, c.ID, wordForm)
	l.text(at, "text", c.Text)
	l.text(at, "source", c.Source)
	switch hasRange := c.Min != "" || c.Max != ""; {
	case !c.Measured() && hasRange:
		l.say(at, "it has a range but does not say what is measured", "write of: length, angle, time or another quantity, or take min and max out")
	case !c.Measured():
	case units.Example(c.Of) == "":
		l.say(at, "quantity "+quoted(string(c.Of))+" is not known", "use length, angle, time, share, count, slope, rotation, volume, days or another quantity that can be typed with a unit")
	case !hasRange:
		l.say(at, "it is measured but has no range", "write min, max or both, for example "+units.Example(c.Of))
	default:
		l.span(at, c)
	}
}

// span asks that both ends of a range are of the criterion's quantity and in order.
func (l *linter) span(at string, c training.Criterion) {
	low, isLow := l.end(at, "min", c.Min, c.Of)
	high, isHigh := l.end(at, "max", c.Max, c.Of)
	if isLow && isHigh && low > high {
		l.say(at, "min "+c.Min+" is above max "+c.Max, "swap the two")
	}
}

func (l *linter) end(at, key, text string, of units.Dimension) (si float64, ok bool) {
	if text == "" {
		return 0, false
	}
	q, err := units.Parse(text, of)
	if err != nil {
		l.say(at, key+": "+err.Error(), "write it for example as "+units.Example(of))
		return 0, false
	}
	return q.SI(), true
}
