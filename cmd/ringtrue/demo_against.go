package main

import (
	"fmt"
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/against"
)

// The demo plants six uses of a saw against what the book said, one of each of six kinds, in the last season of its first crew. What is
// planted is written down where it is made, so that a test can hold what is found against it. A big demo has no saws and no such days.

// plantedUse is one use that the demo made on purpose.
type plantedUse struct {
	Kind  against.Code `json:"kind"`
	Entry string       `json:"entry"`
}

// hourOf is when in a day a use is planted.
type hourOf int

const (
	dawn hourOf = iota // before the check
	noon               // between check and close
	dusk               // after the close
)

// plantHoldDay is the day of the season on which thunder is planted.
const plantHoldDay = 12

// planting is how one use is planted: from a day of the season on, at an hour, as soon as the day lends itself to it.
type planting struct {
	kind   against.Code
	from   int
	hour   hourOf
	monday bool
	plant  func(w *world, c *demoCrew, day time.Time, t tailgate) (use string, err error) // "" = not today
}

var plantings = []planting{
	{against.Restricted, 9, dusk, false, (*world).plantRestricted},
	{against.OnHold, plantHoldDay, dawn, false, (*world).plantOnHold},
	{against.Unfit, 16, noon, false, (*world).plantUnfit},
	{against.Tagged, 22, dusk, false, (*world).plantTagged},
	{against.NotOriented, 30, dusk, false, (*world).plantNotOriented},
	{against.NoCheck, 35, dawn, true, (*world).plantNoCheck},
}

// plants reports whether this is a day on which the demo plants.
func (w *world) plants(c *demoCrew, day time.Time) bool {
	return !w.big() && c == w.crews[0] && day.Year() == lastSeason
}

// plantAt plants what is due at an hour of a day.
func (w *world) plantAt(hour hourOf, c *demoCrew, day time.Time, n int, t tailgate) error {
	if !w.plants(c, day) {
		return nil
	}
	for _, p := range plantings {
		if p.hour != hour || n < p.from || w.isPlanted(p.kind) || p.monday && day.Weekday() != time.Monday {
			continue
		}
		use, err := p.plant(w, c, day, t)
		if err != nil {
			return fmt.Errorf("plant %s: %w", p.kind, err)
		}
		if use != "" {
			w.planted = append(w.planted, plantedUse{p.kind, use})
			return nil
		}
	}
	return nil
}

func (w *world) isPlanted(kind against.Code) bool {
	for _, p := range w.planted {
		if p.Kind == kind {
			return true
		}
	}
	return false
}

// unplanted refuses a demo whose season never lent itself to one of the kinds.
func (w *world) unplanted() error {
	for _, p := range plantings {
		if !w.big() && !w.isPlanted(p.kind) {
			return fmt.Errorf("no day of the season lent itself to a use of the kind %q", p.kind)
		}
	}
	return nil
}

// mustFail lets the youngest member of the first crew miss a critical point once, so that somebody is restricted in every demo.
func (w *world) mustFail(m *demoMember, n int) bool {
	c := w.crews[0]
	return !w.big() && w.clock.Year() == lastSeason && n > 7 && !w.failed && m.failing == "" && m == c.members[len(c.members)-1]
}

// sawing lists who may saw by a check, with their saws.
func sawing(t tailgate) (list []hazards.May) {
	for _, m := range t.Assessment.May {
		if m.Saw != "" && len(m.Stopped) == 0 {
			list = append(list, m)
		}
	}
	return list
}

// ran records that somebody had a saw at a clock time of a day, told a quarter of an hour later.
func (w *world) ran(c *demoCrew, worker, saw string, day time.Time, at, told string) (string, error) {
	if err := w.acting(c.supervisor, w.at(day, told)); err != nil {
		return "", err
	}
	_, _, refs, err := w.useSaw(useOptions{saw: saw, worker: worker, block: c.block, at: w.at(day, at)})
	if err != nil {
		return "", err
	}
	return w.book.Short(refs[0]), nil
}

// plantOnHold: thunder holds the first check, and the deputy cuts a strip all the same.
func (w *world) plantOnHold(c *demoCrew, day time.Time, t tailgate) (string, error) {
	if t.Assessment.Answer != hazards.Hold {
		return "", nil
	}
	return w.ran(c, c.deputy, sawOf(c, 0), day, "07:00", "07:15")
}

// plantUnfit: somebody is unwell at noon, and saws again an hour later.
func (w *world) plantUnfit(c *demoCrew, day time.Time, t tailgate) (string, error) {
	can := sawing(t)
	if len(can) < 2 {
		return "", nil // without a second saw the whole site would hold
	}
	who, err := w.handleOf(can[len(can)-1].Worker)
	if err != nil {
		return "", err
	}
	if err := w.acting(c.supervisor, w.at(day, "13:05")); err != nil {
		return "", err
	}
	_, one, err := w.change(changeOptions{dayOptions: dayOptions{block: c.block, at: w.at(day, "13:00")}, what: "unwell", unwell: []string{who}, words: "dizzy after the break",
		decision: "rests in the truck, no saw today", told: []string{"all"}})
	if err != nil || one.Assessment.Answer == hazards.Hold {
		return "", err
	}
	return w.ran(c, who, can[len(can)-1].Saw, day, "14:00", "14:15")
}

// plantTagged: a saw is tagged out after the close, used all the same, then mended.
func (w *world) plantTagged(c *demoCrew, day time.Time, t tailgate) (string, error) {
	can := sawing(t)
	if len(can) == 0 {
		return "", nil
	}
	saw := can[0].Saw
	who, err := w.handleOf(can[0].Worker)
	if err != nil {
		return "", err
	}
	if err := w.acting(c.supervisor, w.at(day, "17:00")); err != nil {
		return "", err
	}
	if _, _, _, err := w.tagSaw(tagOptions{saw: saw, reason: "smells of fuel", told: "in person"}); err != nil {
		return "", err
	}
	use, err := w.ran(c, who, saw, day, "17:10", "17:15")
	if err != nil {
		return "", err
	}
	if err := w.acting("", w.at(day, "17:20")); err != nil {
		return "", err
	}
	_, _, _, err = w.clearSaw(clearOptions{saw: saw, done: "new seal in the cap, dry after a night", part: "cap seal"})
	return use, err
}

// plantNotOriented: the meeting point has moved, and somebody saws before they were shown the new one.
func (w *world) plantNotOriented(c *demoCrew, day time.Time, t tailgate) (string, error) {
	can := sawing(t)
	if len(can) == 0 {
		return "", nil
	}
	who, err := w.handleOf(can[0].Worker)
	if err != nil {
		return "", err
	}
	if err := w.acting(c.supervisor, w.at(day, "16:50")); err != nil {
		return "", err
	}
	if _, err := w.orient(orientOptions{workers: []string{who}, again: "the landing has moved, and the meeting point with it"}); err != nil {
		return "", err
	}
	use, err := w.ran(c, who, can[0].Saw, day, "17:05", "17:15")
	if err != nil {
		return "", err
	}
	if err := w.acting(c.supervisor, w.at(day, "17:20")); err != nil {
		return "", err
	}
	_, err = w.orient(orientOptions{workers: []string{who}, block: c.block, topics: "the new meeting point, radio call", lang: "en", test: "walked there and called"})
	return use, err
}

// plantRestricted: somebody who is restricted takes another's saw after the close.
func (w *world) plantRestricted(c *demoCrew, day time.Time, t tailgate) (string, error) {
	can := sawing(t)
	for _, m := range c.members {
		if m.failing != "" && m.since.Before(day) && len(can) > 0 {
			return w.ran(c, m.short, can[0].Saw, day, "17:05", "17:15")
		}
	}
	return "", nil
}

// plantNoCheck: on Monday it is told that the deputy was out alone on Saturday.
func (w *world) plantNoCheck(c *demoCrew, day time.Time, _ tailgate) (string, error) {
	saturday := day.AddDate(0, 0, -2)
	if err := w.acting(c.supervisor, w.at(day, "06:20")); err != nil {
		return "", err
	}
	_, _, refs, err := w.useSaw(useOptions{saw: sawOf(c, 0), worker: c.deputy, block: c.block, at: w.at(saturday, "10:00")})
	if err != nil {
		return "", err
	}
	return w.book.Short(refs[0]), nil
}

func (w *world) handleOf(id string) (string, error) {
	people, err := w.crew()
	if err != nil {
		return "", err
	}
	return people.handle(id), nil
}
