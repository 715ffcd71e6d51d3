package main

import (
	"errors"
	"fmt"
	"time"

	"example.org/ringtrue/hazards/house"
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
	if _, err := w.orient(orientOptions{workers: []string{c.supervisor}, block: c.block, topics: demoTopics, lang: "en", test: "walked the block together"}); err != nil {
		return err
	}
	for i, m := range c.members {
		if err := w.prepareMember(c, m, i, day); err != nil {
			return err
		}
	}
	return w.equipSaws(c, day)
}

// demoTopics is what everybody of the demo heard before first work.
const demoTopics = "supervisor, rights and refusal, rules, hazards, wires, working alone, violence, protective equipment, first aid, emergency, meeting point, radio call, the task"

// prepareMember teaches recruits, accepts the earlier training of experienced hands, and issues equipment.
func (w *world) prepareMember(c *demoCrew, m *demoMember, i int, day time.Time) error {
	m.passes = map[string]int{}
	if err := w.acting(c.supervisor, w.at(day, "12:30")); err != nil {
		return err
	}
	if _, err := w.orient(orientOptions{workers: []string{m.short}, block: c.block, topics: demoTopics, lang: "en", test: "showed the meeting point and made the radio call"}); err != nil {
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
			if s.Withdrawn || m.signed[s.ID] == day.Year() {
				continue
			}
			if m.passes[s.ID] < need || s.ID == m.failing {
				all = all && !w.used(s)
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
	_, _, _, err := w.release(releaseOptions{worker: m.short, group: gateGroup, level: "in hearing", loosen: true, slope: w.std.House.Value(house.SlopeStep3)})
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
	w.counts["struck"]++
	return w.strikeNow(strikeOptions{entry: w.book.Short(d.refs[0]), reason: "wrong person; nobody was taught M1 that day"})
}
