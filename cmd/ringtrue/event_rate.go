package main

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// ratesAnswer is how often something was told in a span beside what was done in it, for --json. Rates are null without saw time,
// hectares where nobody told any.
type ratesAnswer struct {
	From       string     `json:"from"`
	Until      string     `json:"until"` // counted too
	Kinds      []rateLine `json:"kinds"`
	SawHours   float64    `json:"saw_hours"`   // at the trigger, as told at the close of the days
	SawDays    int        `json:"saw_days"`    // somebody joined a check with a saw
	HoursTold  int        `json:"hours_told"`  // of these days, those whose time was told
	Checks     int        `json:"checks"`      // made
	JoinedDays int        `json:"joined_days"` // somebody joined a check
	Hectares   *float64   `json:"hectares"`    // as told with the saws
	Cautions   []string   `json:"cautions"`    // what the rates do not say
	known      training.Asked
}

type rateLine struct {
	Kind   string   `json:"kind"`
	Events int      `json:"events"`
	Per    *float64 `json:"per_1000_saw_hours"`
}

// eventSpan is the span of days that --from and --until name, both counted. Without the one it begins with the book, without the other it
// ends today; it is nil without both.
func (a *app) eventSpan(from, until string, asked training.Asked) (*ratesAnswer, civil.Day, civil.Day, error) {
	if from == "" && until == "" {
		return nil, 0, 0, nil
	}
	var p problems
	first, err := parseDay("from", from)
	p.add(err)
	last, err := parseDay("until", until)
	p.add(err)
	if err := p.err(); err != nil {
		return nil, 0, 0, err
	}
	if first == civil.None {
		first = a.opened
	}
	if last == civil.None {
		last = asked.Day
	}
	if last < first {
		return nil, 0, 0, usage("name the earlier day with --from", "--until %s lies before %s", last, first)
	}
	return &ratesAnswer{From: first.String(), Until: last.String(), Cautions: []string{}, known: asked}, first, last, nil
}

// rates counts what was told and what was done in a span of days, both counted.
func (a *app) rates(r *ratesAnswer, events []*eventState, first, last civil.Day) error {
	if err := a.daysDone(r, first, last); err != nil {
		return err
	}
	var told []string
	for _, e := range events {
		told = append(told, e.Kind)
	}
	few := false
	for _, one := range training.EventRates(told, r.SawHours) {
		l := rateLine{Kind: one.Kind, Events: one.Events}
		if one.Defined {
			l.Per = &one.PerThousand
		}
		few = few || one.Few
		r.Kinds = append(r.Kinds, l)
	}
	if few {
		r.Cautions = append(r.Cautions, fmt.Sprintf("fewer than %d events of a kind make a rate that means little: chance alone moves it by a third and more", training.FewEvents))
	}
	if r.HoursTold < r.SawDays {
		r.Cautions = append(r.Cautions, fmt.Sprintf("saw time was told for %d of %d days that somebody worked with a saw: the true rate is lower", r.HoursTold, r.SawDays))
	}
	r.Cautions = append(r.Cautions, "a rate falls as well when people stop telling; it is no target, and it does not say that work is safe")
	return a.hectares(r, first, last)
}

// personDay is one person's day.
type personDay struct{ worker, day string }

// daysDone counts the checks of all blocks, who joined them, and the time at the trigger told when they were closed.
func (a *app) daysDone(r *ratesAnswer, first, last civil.Day) error {
	cards, err := a.cards(r.known)
	if err != nil {
		return err
	}
	joined, sawed, told := map[personDay]bool{}, map[personDay]bool{}, map[personDay]bool{}
	for _, c := range cards {
		checks, err := a.book.Topic(a.ctx, r.known, store.BlockSubject(c.ID), store.KindTailgate)
		if err != nil {
			return err
		}
		for _, f := range checks {
			if f.Struck || f.At > r.known.On || f.Day < first || f.Day > last {
				continue
			}
			r.Checks++
			if err := a.dayDone(r, f, joined, sawed, told); err != nil {
				return err
			}
		}
	}
	r.JoinedDays, r.SawDays = len(joined), len(sawed)
	for one := range sawed {
		if told[one] {
			r.HoursTold++
		}
	}
	return nil
}

// dayDone adds the day of one check.
func (a *app) dayDone(r *ratesAnswer, check training.Fact, joined, sawed, told map[personDay]bool) error {
	topics, err := a.book.Facts(a.ctx, r.known, store.TailgateSubject(a.book.Name(check.Entry)))
	if err != nil {
		return err
	}
	list, err := a.joinLines(topics[store.KindJoin], r.known)
	if err != nil {
		return err
	}
	for _, j := range list {
		if j.Worker == "" {
			continue // a visitor
		}
		one := personDay{j.Worker, check.Day.String()}
		joined[one] = true
		if j.Saw != "" {
			sawed[one] = true
		}
	}
	times, err := happenings(a, topics[store.KindExposure], r.known, func(_ event, x exposureRecord) exposureRecord { return x })
	for _, x := range times {
		if q, err := units.Parse(x.Trigger, units.Time); err == nil {
			r.SawHours += q.SI() / anHour
			told[personDay{x.Worker, check.Day.String()}] = true
		}
	}
	return err
}

// squareMetres in a hectare.
const squareMetres = 10_000

// hectares adds up the area told with the saws, by their day's line or else by single entries.
func (a *app) hectares(r *ratesAnswer, first, last civil.Day) error {
	cards, err := a.saws(r.known)
	if err != nil {
		return err
	}
	span := r.known
	span.Day = last
	area := 0.0
	for _, c := range cards {
		facts, err := a.sawFacts(c.ID, span, monthsFrom(first, last))
		if err != nil {
			return err
		}
		days := map[civil.Day]*loggedDay{}
		for _, f := range toldOf(facts, first, last+1) {
			if f.At > r.known.On {
				continue
			}
			if days[f.Day] == nil {
				days[f.Day] = &loggedDay{}
			}
			if err := a.takeLog(days[f.Day], f); err != nil {
				return err
			}
		}
		for _, day := range slices.Sorted(maps.Keys(days)) { // in order, so that the sum is the same each time
			l := days[day]
			area += orElse(l.line.area, l.single.area)
		}
	}
	if area > 0 {
		ha := area / squareMetres
		r.Hectares = &ha
	}
	return nil
}

// monthsFrom is how many calendar months a span of days touches.
func monthsFrom(first, last civil.Day) int {
	n := 0
	for range months(first, last) {
		n++
	}
	return n
}

// printRates prints the rates under the list.
func (a *app) printRates(r *ratesAnswer) {
	a.say("")
	a.say("%s to %s, both counted", r.From, r.Until)
	var rows [][]string
	for _, l := range r.Kinds {
		per := "not defined: no saw time was told"
		if l.Per != nil {
			per = decimal(*l.Per, 1)
		}
		rows = append(rows, []string{l.Kind, strconv.Itoa(l.Events), per})
	}
	a.table([]string{"KIND", "EVENTS", "PER 1,000 SAW HOURS"}, rows)
	a.say("beside: %s saw hours, %d checks, %d days joined, %d of them with a saw, %s",
		decimal(r.SawHours, 1), r.Checks, r.JoinedDays, r.SawDays, areaWords(r.Hectares))
	for _, c := range r.Cautions {
		a.remark("%s", c)
	}
}

func areaWords(ha *float64) string {
	if ha == nil {
		return "hectares not told"
	}
	return decimal(*ha, 2) + " ha"
}

func decimal(v float64, places int) string { return strconv.FormatFloat(v, 'f', places, 64) }
