package main

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newSawDueCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:   "due [SAW...]",
		Short: "What saws need on a day, what stops work first",
		Long: `List what saws need on a day: saws that are out of use, then what is overdue because a saw was used without it, then what is
due before a saw is used again. Within each, what stops work comes first. A saw in the store is due, never overdue.`,
		Example: "  ringtrue saw due\n  ringtrue saw due S11 --on 2026-07-14 --known 2026-07-14",
		Args:    cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			asked, err := a.asked(q)
			if err != nil {
				return err
			}
			lines, err := a.sawDue(args, asked)
			if err != nil {
				return err
			}
			return a.printDue(lines, asked)
		},
	}
	questionFlags(c, &q)
	return c
}

// dueLine is one thing a saw needs.
type dueLine struct {
	Saw   string   `json:"saw"`
	State string   `json:"state"` // stopped, overdue, due
	What  []string `json:"what"`
	Since string   `json:"since"`
	Last  string   `json:"last"` // day on which it was last done
	Why   string   `json:"why"`
	Entry string   `json:"entry"` // of the defect, tag or clearing it is about
}

func (a *app) printDue(lines []dueLine, asked training.Asked) error {
	knows, err := a.knows()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/saw-due/1", "on": a.askedText(asked.On), "rows": lines, "knows": knows})
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l.Saw, l.State, strings.Join(l.What, ", "), l.Since, l.Last, l.Why})
	}
	a.table([]string{"SAW", "STATE", "WHAT", "SINCE", "LAST", "WHY"}, rows)
	if terminal(a.out) {
		a.say("%s", knows)
	}
	return nil
}

// sawDue lists what the saws named, or all that are not retired, need on the day asked.
func (a *app) sawDue(ids []string, asked training.Asked) ([]dueLine, error) {
	h, err := a.sawRules(asked)
	if err != nil {
		return nil, err
	}
	list, err := a.saws(asked)
	if err != nil {
		return nil, err
	}
	var p problems
	var cards []sawCard
	for _, id := range ids {
		s, err := pickSaw(list, id)
		p.add(err)
		cards = append(cards, s)
	}
	if len(ids) == 0 {
		cards = list
	}
	if err := p.err(); err != nil {
		return nil, err
	}
	facts, err := a.sawFacts(cards, asked)
	if err != nil {
		return nil, err
	}
	var due []upkeep.Due
	for _, c := range cards {
		more, err := a.dueOf(c, facts[c.ID], h, asked)
		if err != nil {
			return nil, err
		}
		due = append(due, more...)
	}
	upkeep.Sort(due)
	return a.dueLines(due), nil
}

func (a *app) dueLines(due []upkeep.Due) []dueLine {
	lines := []dueLine{}
	for _, d := range due {
		l := dueLine{Saw: d.Saw, State: string(d.State), What: d.What, Since: d.Since.String(), Last: d.Last.String(), Why: d.Why}
		if d.Entry != 0 {
			l.Entry = a.book.Short(training.Ref(d.Entry))
		}
		lines = append(lines, l)
	}
	return lines
}

// factsOfSaw are what stays with a saw, and what was written of it day by day in this year and the one before.
type factsOfSaw struct {
	life  store.Topics
	years []store.Topics
}

// manySaws is the number of saws from which it is faster to read all of them side by side.
const manySaws = 4

// sawFacts reads the facts of saws.
func (a *app) sawFacts(cards []sawCard, asked training.Asked) (map[string]factsOfSaw, error) {
	years := []int{asked.Day.Year() - 1, asked.Day.Year()}
	all := make(map[string]factsOfSaw, len(cards))
	if len(cards) < manySaws {
		for _, c := range cards {
			life, err := a.book.Facts(a.ctx, asked, store.SawSubject(c.ID))
			if err != nil {
				return nil, err
			}
			one := factsOfSaw{life: life}
			for _, y := range years {
				topics, err := a.book.Facts(a.ctx, asked, store.SawYearSubject(y, c.ID))
				if err != nil {
					return nil, err
				}
				one.years = append(one.years, topics)
			}
			all[c.ID] = one
		}
		return all, nil
	}
	read := func(prefix string, take func(id string, t store.Topics)) error {
		for subject, t := range a.book.FactsBetween(a.ctx, asked, prefix, prefix+"~") {
			if t.Err != nil {
				return t.Err
			}
			take(strings.TrimPrefix(subject, prefix), t.Topics)
		}
		return nil
	}
	err := read(store.SawSubject(""), func(id string, t store.Topics) { all[id] = factsOfSaw{life: t} })
	for _, y := range years {
		if err == nil {
			err = read(store.SawYearSubject(y, ""), func(id string, t store.Topics) {
				one := all[id]
				one.years = append(one.years, t)
				all[id] = one
			})
		}
	}
	return all, err
}

// dueOf lists what one saw needs.
func (a *app) dueOf(c sawCard, facts factsOfSaw, h house.House, asked training.Asked) ([]upkeep.Due, error) {
	if anyBy(facts.life[store.KindRetire], asked) {
		return nil, nil
	}
	history, err := a.sawHistory(c, facts, asked)
	if err != nil {
		return nil, err
	}
	due := upkeep.DueOn(history, h, asked.Day)
	for _, o := range upkeep.Open(sawEvents(facts.life), h, asked.On) {
		d, err := a.openDue(c.ID, o)
		if err != nil {
			return nil, err
		}
		due = append(due, d)
	}
	return due, nil
}

// openDue puts what is open on a saw among what it needs.
func (a *app) openDue(saw string, o upkeep.OpenItem) (upkeep.Due, error) {
	ref := training.Ref(o.Entry)
	why, err := a.openText(o, a.short)
	if err != nil {
		return upkeep.Due{}, err
	}
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return upkeep.Due{}, err
	}
	d := upkeep.Due{Saw: saw, State: upkeep.DueNow, What: []string{"tag"}, Since: a.dayOf(o.At), Last: civil.None, Why: why, Entry: o.Entry, Rank: 3}
	if h.Kind == store.KindDefect {
		var rec upkeep.Defect
		if _, err := a.book.Entry(a.ctx, ref, &rec); err != nil {
			return d, err
		}
		d.What = []string{rec.What}
	}
	switch {
	case o.Stops:
		d.State, d.Rank = upkeep.StopsNow, 0
	case o.SeenBy != 0:
		d.What, d.Rank = []string{"look-again"}, 1
	}
	return d, nil
}

func (a *app) dayOf(unix int64) civil.Day { return civil.Of(time.Unix(unix, 0), a.book.Zone()) }

// sawHistory turns the facts of a saw into what package upkeep asks for.
func (a *app) sawHistory(c sawCard, facts factsOfSaw, asked training.Asked) (upkeep.History, error) {
	s := upkeep.History{Saw: c.Saw, Added: c.added, LineDay: civil.None}
	counts := func(f training.Fact) bool { return !f.Struck && f.At <= asked.On }
	for _, topics := range facts.years {
		s.Used = append(s.Used, usedDays(topics, counts)...)
		s.Fuel = append(s.Fuel, fuellings(topics, counts)...)
		for _, f := range topics[store.KindUpkeep] {
			if !counts(f) {
				continue
			}
			if err := a.takeLine(&s, f); err != nil {
				return s, err
			}
		}
	}
	var err error
	s.Blade, err = a.bladeHistory(facts, asked)
	return s, err
}

// usedDays lists the days of use with their engine hours. A day's line tells of the whole day, so its hours are not added to
// those of the people who had the saw; the larger of both counts.
func usedDays(topics store.Topics, counts func(training.Fact) bool) []upkeep.Ran {
	lines := map[training.Ref]bool{}
	for _, f := range topics[store.KindUpkeep] {
		lines[f.Entry] = true
	}
	var list []upkeep.Ran
	var people, line float64
	for _, f := range topics[store.KindSawUse] {
		if !counts(f) {
			continue
		}
		if n := len(list); n == 0 || list[n-1].Day != f.Day {
			list = append(list, upkeep.Ran{Day: f.Day})
			people, line = 0, 0
		}
		if hours := float64(f.Code) / 10; lines[f.Entry] {
			line += hours
		} else {
			people += hours
		}
		list[len(list)-1].Hours = max(people, line)
	}
	return list
}

// takeLine takes one day's line into the history of a saw. Only lines that leave something out are read whole.
func (a *app) takeLine(s *upkeep.History, f training.Fact) error {
	if f.Day != s.LineDay {
		s.LineDay, s.Checks = f.Day, 0
	}
	s.Checks += store.NutChecks(f.Code)
	done := upkeep.Done{Day: f.Day}
	if f.Code&store.LineLeft != 0 {
		var l upkeep.Line
		if _, err := a.book.Entry(a.ctx, f.Entry, &l); err != nil {
			return err
		}
		done.Left = l.Left
	}
	if f.Code&store.LineDaily != 0 {
		s.Daily = append(s.Daily, done)
	}
	if f.Code&store.LineWeekly != 0 {
		s.Weekly = append(s.Weekly, done)
	}
	return nil
}

// fuellings gathers refuels, filings and hits on rock, those of one entry together, in the order in which they happened.
func fuellings(topics store.Topics, counts func(training.Fact) bool) []upkeep.Fuelling {
	var list []upkeep.Fuelling
	at := map[training.Ref]int{}
	for _, topic := range []string{store.KindRefuel, store.KindFiling, store.KindRock} {
		for _, f := range topics[topic] {
			if !counts(f) {
				continue
			}
			i, ok := at[f.Entry]
			if !ok {
				i = len(list)
				at[f.Entry] = i
				list = append(list, upkeep.Fuelling{At: f.At})
			}
			switch topic {
			case store.KindRefuel:
				list[i].Refuels += int(f.Code)
			case store.KindFiling:
				list[i].Filings += int(f.Code)
			case store.KindRock:
				list[i].Rock += int(f.Code)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b upkeep.Fuelling) int { return cmp.Compare(a.At, b.At) })
	return list
}

// bladeHistory is the blade on a saw with its settings and filings. Filings of the years read count.
func (a *app) bladeHistory(facts factsOfSaw, asked training.Asked) (upkeep.Blade, error) {
	last, first, ok := currentFact(facts.life, asked.On)
	if !ok {
		return upkeep.Blade{}, nil
	}
	var rec upkeep.BladeFitted
	if _, err := a.book.Entry(a.ctx, last.Entry, &rec); err != nil {
		return upkeep.Blade{}, err
	}
	b := upkeep.Blade{ID: rec.Blade, Fitted: first.Day, LastSetting: civil.None}
	var setAt int64
	for _, f := range facts.life[store.KindSetting] {
		if !f.Struck && f.At <= asked.On && rootOf(f) == first.Entry {
			b.Settings, b.LastSetting, setAt = b.Settings+1, f.Day, f.At
		}
	}
	for _, topics := range facts.years {
		for _, f := range topics[store.KindFiling] {
			if f.Struck || f.At > asked.On || rootOf(f) != first.Entry {
				continue
			}
			b.Filings += int(f.Code)
			if f.At >= setAt {
				b.SinceSet += int(f.Code)
			}
		}
	}
	return b, nil
}

// waitingSaws lists for today what keeps saws out of use, and what is overdue on them.
func (a *app) waitingSaws(_ standards, asked training.Asked) ([]todo, error) {
	h, err := a.house(asked)
	if err != nil || hasRules(h, sawKeys) != nil {
		return nil, err
	}
	lines, err := a.sawDue(nil, asked)
	if err != nil {
		return nil, err
	}
	var list []todo
	for _, l := range lines {
		switch upkeep.State(l.State) {
		case upkeep.StopsNow:
			list = append(list, todo{Rank: rankStopped, What: "saw " + l.Saw + " is out of use: " + l.Why, Next: "ringtrue saw clear " + l.Saw + " --done WHAT"})
		case upkeep.Overdue:
			list = append(list, todo{Rank: rankOverdue, What: "saw " + l.Saw + ": " + strings.Join(l.What, ", "), Next: "ringtrue saw due " + l.Saw})
		}
	}
	return list, nil
}
