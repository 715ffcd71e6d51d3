package main

import (
	"fmt"
	"time"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

// looksAtOnce is how many skills one look covers.
const looksAtOnce = 8

// looksOf makes today's look at a member: the gate skills in the first days, then the skills with the fewest looks.
func (w *world) looksOf(c *demoCrew, m *demoMember, day time.Time, n int) error {
	skills := w.leastSeen(m, n < 2)
	if len(skills) == 0 {
		return nil
	}
	by := c.supervisor
	if m.passes[skills[0]]%2 == 1 {
		by = c.second(m)
	}
	if critical := w.firstCritical(skills); critical != "" && (w.failsToday(m, n) || w.mustFail(m, n)) {
		return w.fail(c, m, day, by, critical)
	}
	if err := w.look(c, m, day, by, skills, m.passes[skills[0]] == 0, lookMet); err != nil {
		return err
	}
	for _, s := range skills {
		m.passes[s]++
	}
	return nil
}

// firstCritical is the first critical skill of a list that the crew's work uses, so that missing it stops somebody; "" without one.
func (w *world) firstCritical(skills []string) string {
	for _, id := range skills {
		if s, _, ok := w.std.Skill(id); ok && s.Critical && w.used(s) {
			return id
		}
	}
	return ""
}

// used reports whether the work that the demo releases people for uses a skill.
func (w *world) used(s training.Skill) bool {
	g, _ := w.std.Group(gateGroup)
	return g.Uses(s)
}

// failsToday decides by luck whether today's look misses a critical criterion; recruits miss more.
func (w *world) failsToday(m *demoMember, n int) bool {
	share := 1
	if m.recruit {
		share = 6
	}
	return n > 3 && n < 50 && m.failing == "" && w.chance(share)
}

// leastSeen picks the skills that have had the fewest looks this season, those that the crew's work uses first.
func (w *world) leastSeen(m *demoMember, gate bool) []string {
	most := looksAtOnce
	if gate {
		most += 2
	}
	for pass := range w.looksASeason() {
		picked := w.seenSoOften(m, pass, gate)
		if len(picked) > 0 {
			return picked[:min(most, len(picked))]
		}
	}
	return nil
}

func (w *world) seenSoOften(m *demoMember, pass int, gate bool) (used []string) {
	var others []string
	for _, mod := range w.std.Modules {
		for _, s := range mod.Skills {
			switch {
			case s.Withdrawn || m.passes[s.ID] != pass || s.ID == m.failing || gate && !s.Gate:
			case w.used(s):
				used = append(used, s.ID)
			default:
				others = append(others, s.ID)
			}
		}
	}
	return append(used, others...)
}

// lookKind is how a demo look ends.
type lookKind int

const (
	lookMet lookKind = iota
	lookCritical
)

// look records one look. One in fifty is typed up only some days later, but none that stops somebody.
func (w *world) look(c *demoCrew, m *demoMember, day time.Time, by string, skills []string, announced bool, kind lookKind) error {
	hour, minute := 9+w.luck.IntN(6), w.luck.IntN(60)
	if kind == lookCritical {
		hour = 16 // late in the day: who is stopped has been sawing until then
	}
	at := w.at(day, fmt.Sprintf("%02d:%02d", hour, minute))
	o := lookOptions{worker: m.short, skills: skills, met: []string{"all"}, announced: map[bool]string{true: "yes", false: "no"}[announced], block: c.block, at: at}
	for _, id := range skills {
		s, _, err := w.std.skill(id)
		if err != nil {
			return err
		}
		w.measure(&o, s, kind)
	}
	typed := w.at(day, "17:30")
	if w.chance(2) && kind != lookCritical { // a stop is told at once
		typed = w.at(day.AddDate(0, 0, 2), "17:45")
		w.counts["late"]++
	}
	return w.typedAt(by, typed, func() error {
		_, err := w.observe(o)
		w.counts["looks"]++
		return err
	})
}

// typedAt runs f with the clock at a moment. The ledger's own time never runs back, so an entry typed late pulls the
// clock of the day forward.
func (w *world) typedAt(by, at string, f func() error) error {
	if err := w.acting(by, at); err != nil {
		return err
	}
	return f()
}

// measure gives every measured criterion a value inside its range, and lets one criterion be missed where asked.
func (w *world) measure(o *lookOptions, s training.Skill, kind lookKind) {
	missed := false
	for _, c := range s.Criteria {
		name := s.ID + ":" + c.ID
		if !missed && kind == lookCritical && c.Critical {
			o.missed = append(o.missed, name)
			missed = true
			continue
		}
		if c.Measured() {
			o.values = append(o.values, name+"="+middleOf(c))
		}
	}
}

// middleOf is a value in the middle of a criterion's range, or at its one end.
func middleOf(c training.Criterion) string {
	lo, errLo := units.Parse(c.Min, c.Of)
	hi, errHi := units.Parse(c.Max, c.Of)
	if errLo == nil && errHi == nil && lo.Unit == hi.Unit {
		return units.Quantity{Value: (lo.Value + hi.Value) / 2, Unit: lo.Unit, Dim: c.Of}.String()
	}
	if c.Min != "" {
		return c.Min
	}
	return c.Max
}

// fail is a look with a missed critical criterion: the skill is restricted at once.
func (w *world) fail(c *demoCrew, m *demoMember, day time.Time, by, skill string) error {
	if err := w.look(c, m, day, by, []string{skill}, false, lookCritical); err != nil {
		return err
	}
	m.failing, m.since, m.passes[skill] = skill, day, 0
	w.failed = w.failed || w.plants(c, day) && m == c.members[len(c.members)-1]
	delete(m.signed, skill)
	w.counts["restrictions"]++
	w.tell("%s: %s missed a critical criterion of %s and was restricted", day.Format("2 Jan 2006"), m.short, skill)
	return nil
}

// recover shows a restricted skill again after some days, and lifts the restriction on that look.
func (w *world) recover(c *demoCrew, m *demoMember, day time.Time) error {
	if day.Sub(m.since) < 3*24*time.Hour {
		return nil
	}
	skill := m.failing
	if err := w.look(c, m, day, c.supervisor, []string{skill}, true, lookMet); err != nil {
		return err
	}
	n, err := w.book.Size(w.ctx, w.book.Origin())
	if err != nil {
		return err
	}
	if _, _, err := w.lift(m.short, skill, fmt.Sprint(n), "shown again in sight", ""); err != nil {
		return err
	}
	m.failing, m.passes[skill] = "", 1
	w.counts["lifts"]++
	w.tell("%s: %s showed %s again; the restriction was lifted", day.Format("2 Jan 2006"), m.short, skill)
	return nil
}
