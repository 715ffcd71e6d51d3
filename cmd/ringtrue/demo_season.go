package main

import (
	"errors"
	"fmt"
	"time"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// A season has seasonDays working days, Monday to Friday, from the first Monday of May.
const seasonDays = 66

// In a demo with more people than this a crew checks every other Monday instead of every day, and looks at each skill
// once more a season: checks are what takes time to make.
const dailyChecksUpTo = 60

func (w *world) big() bool { return w.options.workers > dailyChecksUpTo }

// looksASeason is how often each skill of a member is looked at.
func (w *world) looksASeason() int {
	if w.big() {
		return 4
	}
	return 3
}

// season makes one season.
func (w *world) season(year int) error {
	start := firstMonday(year, time.May, w.zone)
	if err := w.book.Batch(w.ctx, func() error { return w.prepare(year, start.AddDate(0, 0, -7)) }); err != nil {
		return err
	}
	for n := range seasonDays {
		day := start.AddDate(0, 0, n/5*7+n%5)
		err := w.book.Batch(w.ctx, func() error {
			for i, c := range w.crews {
				if err := w.day(c, day, n, n+i); err != nil {
					return fmt.Errorf("%s, %s: %w", day.Format("2006-01-02"), c.name, err)
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func firstMonday(year int, month time.Month, zone *time.Location) time.Time {
	d := time.Date(year, month, 1, 0, 0, 0, 0, zone)
	for d.Weekday() != time.Monday {
		d = d.AddDate(0, 0, 1)
	}
	return d
}

// prepare is the week before the season: hiring, naming, teaching, equipment.
func (w *world) prepare(year int, day time.Time) error {
	if err := w.hire(day); err != nil {
		return err
	}
	for _, c := range w.crews {
		if err := w.prepareCrew(c, year, day); err != nil {
			return err
		}
	}
	return nil
}

func (w *world) prepareCrew(c *demoCrew, year int, day time.Time) error {
	if err := w.acting("", w.at(day, "11:00")); err != nil {
		return err
	}
	until := fmt.Sprintf("%d-04-20", year+1)
	for _, n := range []struct{ who, duties string }{{c.supervisor, "teach,observe,sign,first-aid"}, {c.deputy, "observe,first-aid"}} {
		_, err := w.appoint(appointOptions{worker: n.who, duties: n.duties, until: until, basis: "years of work in the trade and a first-aid ticket, invented"})
		if err != nil {
			return err
		}
	}
	if err := w.acting("", w.at(day, "11:10")); err != nil {
		return err
	}
	if _, err := w.orient(orientOptions{workers: []string{c.supervisor}, block: c.block, topics: "hazards, wires, meeting point, radio call", lang: "en", test: "walked the block together"}); err != nil {
		return err
	}
	for i, m := range c.members {
		if err := w.prepareMember(c, m, i, day); err != nil {
			return err
		}
	}
	return w.equipSaws(c, day)
}

// prepareMember teaches recruits, accepts the earlier training of experienced hands, and issues equipment.
func (w *world) prepareMember(c *demoCrew, m *demoMember, i int, day time.Time) error {
	m.passes = map[string]int{}
	if err := w.acting(c.supervisor, w.at(day, "12:30")); err != nil {
		return err
	}
	if _, err := w.orient(orientOptions{workers: []string{m.short}, block: c.block, topics: "supervisor, hazards, wires, meeting point, radio call", lang: "en", test: "showed the meeting point and made the radio call"}); err != nil {
		return err
	}
	fresh := len(m.signed) == 0 && m.release == 0
	if !fresh {
		return nil
	}
	m.release = 1
	for n, mod := range w.std.Modules {
		at := w.at(day.AddDate(0, 0, n%4), fmt.Sprintf("%02d:%02d", 13+n/4%3, (7*i)%60))
		if err := w.acting(c.supervisor, at); err != nil {
			return err
		}
		var err error
		if m.recruit {
			_, err = w.attend(attendOptions{workers: []string{m.short}, module: mod.ID, lang: "en", test: "showed it, and said it back"})
		} else {
			_, err = w.credit(m.short, mod.ID, "earlier course, content compared with ours", fmt.Sprintf("certificate %d, invented", 1000+w.luck.IntN(9000)), "")
		}
		if err != nil {
			return err
		}
	}
	return w.equip(m)
}

func (w *world) equip(m *demoMember) error {
	for _, item := range w.std.PPE {
		standard := ""
		if len(item.Standards) > 0 {
			standard = item.Standards[0]
		}
		_, _, err := w.issue(issueOptions{worker: m.short, item: item.ID, Issue: training.Issue{Size: fmt.Sprint(38 + w.luck.IntN(8)), Standard: standard, Made: fmt.Sprintf("%d-11", w.clock.Year()-1), Own: w.chance(20)}})
		if err != nil {
			return err
		}
	}
	return nil
}

// leave records that somebody left between seasons.
func (w *world) leave(short string, day time.Time) error {
	who, err := w.person(short)
	if err != nil {
		return err
	}
	by, err := w.actor()
	if err != nil {
		return err
	}
	_, err = w.append([]ledger.Entry{entry(training.KindLeave, w.clock, by.ID, who.ID, "", training.Leave{From: day.Format("2006-01-02"), Reason: "did not come back"})})
	return err
}

// day is one working day of a crew: the morning, looks, what follows from them, now and then a correction.
func (w *world) day(c *demoCrew, day time.Time, n, turn int) error {
	if !w.big() || n%10 == 0 {
		if err := w.tailgateOf(c, day, n); err != nil {
			return err
		}
	}
	for i, m := range c.members {
		recovering := m.failing != ""
		if recovering {
			if err := w.recover(c, m, day); err != nil {
				return err
			}
		}
		if !recovering && ((turn+i)%3 == 0 || n < 2) {
			if err := w.looksOf(c, m, day, n); err != nil {
				return err
			}
		}
	}
	if n == 20 && c == w.crews[0] {
		if err := w.closeCall(c, day); err != nil {
			return err
		}
	}
	return w.decide(c, day)
}

// looksAtOnce is how many skills one look covers.
const looksAtOnce = 7

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
	if critical := w.firstCritical(skills); critical != "" && w.failsToday(m, n) {
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

// firstCritical is the first critical skill of a list, "" without one.
func (w *world) firstCritical(skills []string) string {
	for _, id := range skills {
		if s, _, ok := w.std.Skill(id); ok && s.Critical {
			return id
		}
	}
	return ""
}

// failsToday decides by luck whether today's look misses a critical criterion; recruits miss more.
func (w *world) failsToday(m *demoMember, n int) bool {
	share := 1
	if m.recruit {
		share = 6
	}
	return n > 3 && n < 50 && m.failing == "" && w.chance(share)
}

// leastSeen picks the skills that have had the fewest looks this season.
func (w *world) leastSeen(m *demoMember, gate bool) []string {
	var picked []string
	for pass := range w.looksASeason() {
		for _, mod := range w.std.Modules {
			for _, s := range mod.Skills {
				if m.passes[s.ID] == pass && s.ID != m.failing && (!gate || s.Gate) && len(picked) < looksAtOnce+2 && (gate || len(picked) < looksAtOnce) {
					picked = append(picked, s.ID)
				}
			}
		}
		if len(picked) > 0 {
			return picked
		}
	}
	return nil
}

// lookKind is how a demo look ends.
type lookKind int

const (
	lookMet lookKind = iota
	lookCritical
)

// look records one look. One in forty is typed up only some days later.
func (w *world) look(c *demoCrew, m *demoMember, day time.Time, by string, skills []string, announced bool, kind lookKind) error {
	at := w.at(day, fmt.Sprintf("%02d:%02d", 9+w.luck.IntN(6), w.luck.IntN(60)))
	o := lookOptions{worker: m.short, skills: skills, met: []string{"all"}, announced: map[bool]string{true: "yes", false: "no"}[announced], block: c.block, at: at}
	for _, id := range skills {
		s, _, err := w.std.skill(id)
		if err != nil {
			return err
		}
		w.measure(&o, s, kind)
	}
	typed := w.at(day, "17:30")
	if w.chance(2) {
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

// decide signs off what is complete and releases who has everything, on Fridays.
func (w *world) decide(c *demoCrew, day time.Time) error {
	if day.Weekday() != time.Friday {
		return nil
	}
	for _, m := range c.members {
		if err := w.decideOn(c, m, day); err != nil {
			return err
		}
	}
	if w.chance(10) {
		return w.mistake(c, day)
	}
	return nil
}

func (w *world) decideOn(c *demoCrew, m *demoMember, day time.Time) error {
	if err := w.acting(c.supervisor, w.at(day, "18:10")); err != nil {
		return err
	}
	all := true
	for _, mod := range w.std.Modules {
		for _, s := range mod.Skills {
			need := w.std.Rules.For(s).Looks
			if m.signed[s.ID] == day.Year() {
				continue
			}
			if m.passes[s.ID] < need || s.ID == m.failing {
				all = false
				continue
			}
			if err := w.signed1(c, m, s.ID, day); err != nil {
				return err
			}
		}
	}
	if !all || m.release == day.Year() {
		return nil
	}
	_, _, err := w.release(releaseOptions{worker: m.short, group: gateGroup, level: "in hearing", slope: w.std.House.Value(house.SlopeStep2)})
	if answeredNo(err) {
		return nil // something ran out this week; next Friday
	}
	m.release = day.Year()
	return err
}

func (w *world) signed1(c *demoCrew, m *demoMember, skill string, day time.Time) error {
	_, _, _, err := w.sign(m.short, skill, "")
	if answeredNo(err) {
		m.passes[skill]-- // it ran out meanwhile, and earlier looks no longer count: one more look
		return nil
	}
	if err != nil {
		return err
	}
	m.signed[skill] = day.Year()
	w.counts["sign-offs"]++
	return nil
}

// answeredNo reports whether a decision was refused because something is missing.
func answeredNo(err error) bool {
	f, ok := errors.AsType[*failure](err)
	return ok && f.code == exitNo
}

// mistake enters a teaching for the wrong person and strikes it the same evening.
func (w *world) mistake(c *demoCrew, day time.Time) error {
	m := c.members[w.luck.IntN(len(c.members))]
	if err := w.acting(c.supervisor, w.at(day, "18:30")); err != nil {
		return err
	}
	d, err := w.attend(attendOptions{workers: []string{m.short}, module: "M1", lang: "en", test: "said it back", at: w.at(day, "08:00")})
	if err != nil {
		return err
	}
	if err := w.acting(c.supervisor, w.at(day, "18:40")); err != nil {
		return err
	}
	_, _, _, _, err = w.strike(w.book.Short(d.refs[0]), "wrong person; nobody was taught M1 that day", "")
	w.counts["struck"]++
	return err
}
