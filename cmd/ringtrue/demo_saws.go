package main

import (
	"fmt"
	"time"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/training"
)

// equipSaws puts a saw on the list for each member of a crew, with a new blade that is sharpened and set before use.
// A big demo has none: its saws stand on the sheets only.
func (w *world) equipSaws(c *demoCrew, day time.Time) error {
	if w.big() || c.saws > 0 {
		return nil
	}
	if err := w.acting(c.supervisor, w.at(day, "16:30")); err != nil {
		return err
	}
	for i := range c.members {
		id := sawOf(c, i)
		card := upkeep.Saw{ID: id, Spindle: "9000rpm", BladeMin: "200mm", BladeMax: "225mm", Bore: "20mm", Guard: "225 mm saw guard", Harness: "two shoulders, hip pad",
			Tank: "0.9L", Vibration: "4.0m/s2", Noise: "99dBA"}
		if _, _, _, err := w.addSaw(sawOptions{Saw: card, sizes: "200mm-225mm"}); err != nil {
			return err
		}
		blade := upkeep.BladeFitted{Diameter: "225mm", Bore: "20mm", Rated: "13500rpm", Teeth: 22}
		if _, _, _, _, err := w.changeBlade(bladeOptions{BladeFitted: blade, saw: id, fit: id + "-1"}); err != nil {
			return err
		}
		if _, _, _, err := w.fileBlade(filingOptions{saw: id, count: 1, after: "new-blade"}); err != nil {
			return err
		}
		if _, _, err := w.setTeeth(id, "", ""); err != nil {
			return err
		}
		c.saws++
	}
	return nil
}

// evening writes the lines of the saws and closes the day with everybody counted.
func (w *world) evening(c *demoCrew, day time.Time, t tailgate) error {
	if w.big() {
		return nil
	}
	if err := w.acting(c.supervisor, w.at(day, "16:40")); err != nil {
		return err
	}
	people, err := w.crew()
	if err != nil {
		return err
	}
	o := closeOptions{dayOptions: dayOptions{block: c.block, at: w.at(day, "16:30")}, all: true}
	for i, m := range t.Assessment.May {
		if m.Saw != "" && len(m.Stopped) == 0 {
			o.trigger = append(o.trigger, fmt.Sprintf("%s=%dmin", people.handle(m.Worker), 12*engineHours(day, i)+3*i))
		}
	}
	if err := w.sawLines(day, t); err != nil {
		return err
	}
	_, _, err = w.closeDay(o)
	return err
}

// engineHours is how long the saw of the i-th line of a sheet ran.
func engineHours(day time.Time, i int) int { return 4 + (day.Day()+i)%3 }

// sawLines writes one line for each saw that ran; Fridays have the weekly upkeep.
func (w *world) sawLines(day time.Time, t tailgate) error {
	for i, l := range t.Assessment.May {
		if l.Saw == "" || len(l.Stopped) > 0 || w.big() {
			continue
		}
		hours := engineHours(day, i)
		line := upkeep.Line{Saw: l.Saw, Daily: true, Weekly: day.Weekday() == time.Friday, Nut: 2, Refuels: hours, Filings: hours / 2,
			Litres: fmt.Sprintf("%d.%dL", hours-1, 3+i%5), Hours: fmt.Sprintf("%dh", hours), Area: fmt.Sprintf("0.%d%dha", 1+hours%2, i%10)}
		if _, _, _, _, err := w.upkeepLine(lineOptions{Line: line, at: w.at(day, "16:10")}); err != nil {
			return err
		}
	}
	return nil
}

// closeCall records one close call of the season, with an action that is done and checked, and a question that stays on
// the sheets until the event is closed.
func (w *world) closeCall(c *demoCrew, day time.Time) error {
	if err := w.acting(c.supervisor, w.at(day, "17:10")); err != nil {
		return err
	}
	_, refs, _, _, err := w.addEvent(eventOptions{Event: training.Event{Kind: "close-call", Block: c.block, What: "a bent stem sprang back past the guard, nobody near",
		Showed: "tension in bent stems is read too late"}, at: w.at(day, "14:20")})
	if err != nil {
		return err
	}
	event := w.book.Short(refs[0])
	_, refs, _, _, err = w.act(event, actOptions{what: "flag the bent stems before the saws start", owner: c.deputy, due: day.AddDate(0, 0, 7).Format("2006-01-02")})
	if err != nil {
		return err
	}
	action := w.book.Short(refs[0])
	if err := w.acting(c.deputy, w.at(day.AddDate(0, 0, 1), "06:30")); err != nil {
		return err
	}
	if _, _, _, _, err := w.act(action, actOptions{done: true, proof: "walked it with the crew"}); err != nil {
		return err
	}
	if err := w.acting(c.supervisor, w.at(day.AddDate(0, 0, 1), "06:31")); err != nil {
		return err
	}
	_, _, _, _, err = w.act(action, actOptions{checked: true})
	return err
}
