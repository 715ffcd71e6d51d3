package main

import (
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/training"
)

// morningPlan is what is bad about a morning.
type morningPlan struct {
	thunder bool
	wet     bool
	rough   bool
	full    bool // fire class and trigger times are told too
}

// tailgateOf is the morning check of a crew. Thunder holds the first check of some mornings; an hour later it is over.
func (w *world) tailgateOf(c *demoCrew, day time.Time, n int) error {
	plan := morningPlan{wet: w.chance(25), rough: w.chance(30)}
	if err := w.thunder(c, day, n, plan); err != nil {
		return err
	}
	t, err := w.morning(c, day, plan)
	if err != nil || t.Assessment.Answer == hazards.Hold {
		return err
	}
	if err := w.joinAll(c, day, t); err != nil {
		return err
	}
	if err := w.plantAt(noon, c, day, n, t); err != nil {
		return err
	}
	if err := w.evening(c, day, t); err != nil {
		return err
	}
	return w.plantAt(dusk, c, day, n, t)
}

// thunder holds a first check on some mornings, and on the one on which somebody is to saw all the same.
func (w *world) thunder(c *demoCrew, day time.Time, n int, plan morningPlan) error {
	var t tailgate
	planted := w.plants(c, day) && n == plantHoldDay
	if w.chance(4) || planted {
		plan.thunder = true
		var err error
		if t, err = w.morning(c, day, plan); err != nil {
			return err
		}
		w.tell("%s: thunder held %s on block %s", day.Format("2 Jan 2006"), c.name, c.block)
	}
	return w.plantAt(dawn, c, day, n, t)
}

// morning fills in a sheet, writes it as a file would be, reads it back and checks it.
func (w *world) morning(c *demoCrew, day time.Time, plan morningPlan) (tailgate, error) {
	clock := "07:40"
	if plan.thunder {
		clock = "06:40"
	}
	if err := w.acting(c.supervisor, w.at(day, clock)); err != nil {
		return tailgate{}, err
	}
	s, h, err := w.filledSheet(c, day, clock, plan)
	if err != nil {
		return tailgate{}, err
	}
	read, err := hazards.ParseSheet("demo sheet", hazards.WriteSheet(s, h))
	if err != nil {
		return tailgate{}, err
	}
	t, err := w.checkSheet(read)
	w.counts["checks"]++
	if t.Assessment.Answer == hazards.Hold {
		w.counts["holds"]++
	}
	return t, err
}

func (w *world) filledSheet(c *demoCrew, day time.Time, clock string, plan morningPlan) (hazards.Sheet, hazards.Hints, error) {
	card, _, err := w.card(c.block, w.knownNow(0))
	if err != nil {
		return hazards.Sheet{}, hazards.Hints{}, err
	}
	s := hazards.Sheet{Block: card.ID, BlockEdition: card.Edition, Day: day.Format("2006-01-02"), At: clock, By: c.supervisor, AcceptedBy: c.supervisor,
		Coordinates: card.Lat + ", " + card.Lon}
	s.Crew = append(s.Crew, hazards.CrewLine{Worker: c.supervisor, Level: training.NoSaw, Fit: said(hazards.Yes)})
	if err := w.crewLines(c, &s); err != nil {
		return s, hazards.Hints{}, err
	}
	for _, q := range hazards.Questions() {
		s.Answers = append(s.Answers, hazards.Answer{Question: q.ID, Said: w.goodAnswer(q, c, card, plan)})
	}
	s.Readings = demoReadings(plan)
	if plan.full {
		for i := range s.Crew {
			if s.Crew[i].Saws() {
				s.Crew[i].Trigger, s.Crew[i].Ears = "90min", "csa_muff 25"
			}
		}
	}
	s.Controls = demoControls(plan, c)
	return s, hazards.Hints{Block: card}, nil
}

// demoReadings are what the demo's crews look at beside the questions that have to be answered.
func demoReadings(plan morningPlan) []hazards.Answer {
	said := map[string]hazards.Said{hazards.Temperature: told("17C"), hazards.KitDistance: told("100m"),
		hazards.FireClass: told("low"), hazards.FireClassAt: told("06:10"), hazards.FireClassBy: told("agency page")}
	if plan.full {
		said[hazards.FireClass] = told("moderate")
	}
	var list []hazards.Answer
	for _, q := range hazards.Readings() {
		if s, ok := said[q.ID]; ok {
			list = append(list, hazards.Answer{Question: q.ID, Said: s})
		}
	}
	return list
}

// afternoon is the rest of a day: a call, rain with what was decided, and the close with everybody counted.
func (w *world) afternoon(c *demoCrew, day time.Time, t tailgate) error {
	at := func(clock string) dayOptions { return dayOptions{block: c.block, at: w.at(day, clock)} }
	if err := w.acting(c.supervisor, w.at(day, "16:40")); err != nil {
		return err
	}
	if _, _, _, _, err := w.checkIn(checkInOptions{dayOptions: at("10:30"), workers: []string{c.deputy}, how: "by radio"}); err != nil {
		return err
	}
	_, _, err := w.change(changeOptions{dayOptions: at("11:00"), what: "rain", words: "a shower", decision: "saws off until the rock has dried", told: []string{"all"}})
	if err != nil {
		return err
	}
	o := closeOptions{dayOptions: at("16:30"), all: true, closeCalls: []string{"a bent stem sprang back, nobody near"}, tomorrow: []string{"flag the bent stems first"}}
	people, err := w.crew()
	if err != nil {
		return err
	}
	for _, m := range sawing(t) {
		o.trigger = append(o.trigger, people.handle(m.Worker)+"=80min")
	}
	if err := w.sawLines(day, t); err != nil {
		return err
	}
	_, _, err = w.closeDay(o)
	return err
}

// demoControls are what the supervisor sees to on such a morning.
func demoControls(plan morningPlan, c *demoCrew) []hazards.Control {
	list := []hazards.Control{
		{For: slope.Steepest, Kind: risk.Organised, What: "strips along the contour, from the bottom up", Owner: c.supervisor},
	}
	if plan.wet {
		list = append(list, hazards.Control{For: slope.WetOrIcy, Kind: risk.Organised, What: "start on the dry side, short steps", Owner: c.deputy})
	}
	if plan.rough {
		list = append(list, hazards.Control{For: slope.RoughGround, Kind: risk.TakenAway, What: "the worst holes are flagged out", Owner: c.deputy})
	}
	return list
}

// crewLines plans everybody at the level they may work at. One person watches two in sight; others wait without saw.
func (w *world) crewLines(c *demoCrew, s *hazards.Sheet) error {
	watched := 0
	for i, m := range c.members {
		level, err := w.allowed(m.short)
		if err != nil {
			return err
		}
		line := hazards.CrewLine{Worker: m.short, Level: min(level, training.InHearing), Group: gateGroup, Saw: sawOf(c, i), Fit: said(hazards.Yes)}
		if line.Level == training.InSight {
			watched++
			line.WatchedBy = c.supervisor
		}
		if line.Level <= training.NoSaw || (line.Level == training.InSight && watched > 2) {
			line = hazards.CrewLine{Worker: m.short, Level: training.NoSaw, Fit: said(hazards.Yes)}
		}
		if line.Saw != "" {
			s.Saws = append(s.Saws, goodSaw(line.Saw))
		}
		s.Crew = append(s.Crew, line)
	}
	if len(s.Saws) == 0 {
		s.Saws = append(s.Saws, goodSaw(sawOf(c, 0))) // nobody may saw yet; one is along for instruction
	}
	return nil
}

func sawOf(c *demoCrew, i int) string { return "S" + c.name[len("crew "):] + "-" + string(rune('A'+i)) }

func said(word string) hazards.Said { return hazards.Said{Is: word} }

func told(value string) hazards.Said { return hazards.Said{Is: hazards.Told, Value: value} }

func goodSaw(id string) hazards.SawLine {
	l := hazards.SawLine{ID: id}
	for _, q := range hazards.SawChecks() {
		l.Checks = append(l.Checks, hazards.Answer{Question: q.ID, Said: said(opposite(q.Bad))})
	}
	return l
}

func opposite(bad string) string {
	if bad == hazards.Yes {
		return hazards.No
	}
	return hazards.Yes
}

// demoValues are what the demo's crews answer where a value or words are asked.
var demoValues = map[string]string{
	hazards.CallBy: "radio 4", hazards.CallAnswered: "06:30", hazards.CheckIn: "30min", hazards.NeighbourDist: "30m",
	"largest-stem": "5cm", hazards.FuelCan: "5L", hazards.WindForce: "3",
}

// goodAnswer answers a question as a good morning would, except for what the plan says.
func (w *world) goodAnswer(q hazards.Question, c *demoCrew, card hazards.Block, plan morningPlan) hazards.Said {
	bad := map[string]bool{hazards.Thunder: plan.thunder, slope.WetOrIcy: plan.wet, slope.RoughGround: plan.rough}
	switch {
	case bad[q.ID]:
		return said(q.Bad)
	case q.Kind == hazards.YesNo:
		return said(opposite(q.Bad))
	case q.Kind == hazards.Person:
		return told(c.deputy)
	case demoValues[q.ID] != "":
		return told(demoValues[q.ID])
	case q.ID == hazards.TallestStem:
		return told(card.TreeHeight)
	case q.Of == "slope":
		return told(card.SlopeMax)
	}
	return told("20m")
}

// joinAll lets everybody acknowledge; now and then one comes late and is briefed.
func (w *world) joinAll(c *demoCrew, day time.Time, t tailgate) error {
	who := []string{c.supervisor}
	for _, m := range c.members {
		who = append(who, m.short)
	}
	if err := w.acting(c.supervisor, w.at(day, "07:50")); err != nil {
		return err
	}
	_, _, _, _, _, err := w.join(joinOptions{workers: who, entry: w.book.Short(t.ref)})
	return err
}
