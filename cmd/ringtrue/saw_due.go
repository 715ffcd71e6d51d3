package main

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
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
	facts, err := a.factsFor(ids, asked)
	if err != nil {
		return nil, err
	}
	var due []upkeep.Due
	for _, f := range facts {
		more, err := a.dueOf(f, h, asked)
		if err != nil {
			return nil, err
		}
		due = append(due, more...)
	}
	upkeep.Sort(due)
	return a.dueLines(due), nil
}

// factsFor reads the facts of the saws named, or of all.
func (a *app) factsFor(ids []string, asked training.Asked) ([]factsOfSaw, error) {
	if len(ids) == 0 {
		return a.allSawFacts(asked)
	}
	list, err := a.saws(asked)
	if err != nil {
		return nil, err
	}
	var p problems
	var facts []factsOfSaw
	for _, id := range ids {
		card, err := pickSaw(list, id)
		p.add(err)
		if err == nil {
			one, err := a.sawFacts(card.ID, asked)
			p.add(err)
			facts = append(facts, one)
		}
	}
	return facts, p.err()
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

// factsOfSaw are what stays with a saw, and what was written of it day by day: of the year before the one asked, where that
// is needed, and of that year.
type factsOfSaw struct {
	id    string
	life  store.Topics
	years []store.Topics
}

// sawFacts reads the facts of one saw, both years.
func (a *app) sawFacts(id string, asked training.Asked) (factsOfSaw, error) {
	f := factsOfSaw{id: id}
	var err error
	if f.life, err = a.book.Facts(a.ctx, asked, store.SawSubject(id)); err != nil {
		return f, err
	}
	for _, year := range []int{asked.Day.Year() - 1, asked.Day.Year()} {
		topics, err := a.book.Facts(a.ctx, asked, store.SawYearSubject(year, id))
		if err != nil {
			return f, err
		}
		f.years = append(f.years, topics)
	}
	return f, nil
}

// allSawFacts reads the facts of all saws side by side, on two connections; the year before only for those saws whose answer needs
// it.
func (a *app) allSawFacts(asked training.Asked) ([]factsOfSaw, error) {
	other, err := a.book.Further(a.ctx)
	if err != nil {
		return nil, err
	}
	type subjects struct {
		topics map[string]store.Topics
		err    error
	}
	second := make(chan subjects, 1)
	go func() {
		topics, err := topicsUnder(a.ctx, other, asked, store.SawSubject(""))
		second <- subjects{topics, err}
	}()
	year, err := topicsUnder(a.ctx, a.book, asked, store.SawYearSubject(asked.Day.Year(), ""))
	life := <-second
	if err = firstError(err, life.err); err != nil {
		return nil, err
	}
	var list []factsOfSaw
	for _, id := range slices.Sorted(maps.Keys(life.topics)) {
		f := factsOfSaw{id: id, life: life.topics[id]}
		if !anyBy(f.life[store.KindSaw], asked) {
			continue // tagged, but not on the list
		}
		if t, ok := year[id]; ok {
			f.years = []store.Topics{t}
		}
		if !f.yearIsEnough(asked) {
			before, err := a.book.Facts(a.ctx, asked, store.SawYearSubject(asked.Day.Year()-1, id))
			if err != nil {
				return nil, err
			}
			f.years = append([]store.Topics{before}, f.years...)
		}
		list = append(list, f)
	}
	return list, nil
}

// topicsUnder reads every subject that begins with a prefix, by what follows it.
func topicsUnder(ctx context.Context, b *store.Book, asked training.Asked, prefix string) (map[string]store.Topics, error) {
	all := map[string]store.Topics{}
	for subject, t := range b.FactsBetween(ctx, asked, prefix, prefix+"~") {
		if t.Err != nil {
			return nil, t.Err
		}
		all[strings.TrimPrefix(subject, prefix)] = t.Topics
	}
	return all, nil
}

// yearIsEnough reports whether this year holds a whole daily and a whole weekly upkeep, and all of the blade that is on.
func (f factsOfSaw) yearIsEnough(asked training.Asked) bool {
	if len(f.years) == 0 {
		return false
	}
	var done uint8
	for _, l := range f.years[0][store.KindUpkeep] {
		if !l.Struck && l.At <= asked.On && l.Code&store.LineLeft == 0 {
			done |= l.Code & (store.LineDaily | store.LineWeekly)
		}
	}
	_, first, on := currentFact(f.life, asked.On)
	return done == store.LineDaily|store.LineWeekly && (!on || first.Day.Year() == asked.Day.Year())
}

// dueOf lists what one saw needs.
func (a *app) dueOf(facts factsOfSaw, h house.House, asked training.Asked) ([]upkeep.Due, error) {
	if anyBy(facts.life[store.KindRetire], asked) {
		return nil, nil
	}
	history, err := a.sawHistory(facts, h, asked)
	if err != nil {
		return nil, err
	}
	due := upkeep.DueOn(history, h, asked.Day)
	for _, o := range upkeep.Open(sawEvents(facts.life), h, asked.On) {
		d, err := a.openDue(facts.id, o)
		if err != nil {
			return nil, err
		}
		due = append(due, d)
	}
	return due, nil
}

// openDue puts what is open on a saw among what it needs.
func (a *app) openDue(saw string, o upkeep.OpenItem) (upkeep.Due, error) {
	w, err := a.openWords(training.Ref(o.Entry))
	if err != nil {
		return upkeep.Due{}, err
	}
	d := upkeep.Due{Saw: saw, State: upkeep.DueNow, What: []string{w.id}, Since: a.dayOf(o.At), Last: civil.None, Why: a.sayOpen(o, w, a.short), Entry: o.Entry, Rank: 3}
	switch {
	case o.Stops:
		d.State, d.Rank = upkeep.StopsNow, 0
	case o.SeenBy != 0:
		d.What, d.Rank = []string{"look-again"}, 1
	}
	return d, nil
}

func (a *app) dayOf(unix int64) civil.Day { return civil.Of(time.Unix(unix, 0), a.book.Zone()) }

// sawHistory turns the facts of a saw into what package upkeep asks for. Its card is read only for maker's hours.
func (a *app) sawHistory(facts factsOfSaw, h house.House, asked training.Asked) (upkeep.History, error) {
	s := upkeep.History{LineDay: civil.None}
	s.Saw.ID = facts.id
	counts := func(f training.Fact) bool { return !f.Struck && f.At <= asked.On }
	if err := a.takeCard(&s, facts, counts); err != nil {
		return s, err
	}
	var people, lines []upkeep.Ran
	for _, topics := range facts.years {
		for _, f := range topics[store.KindSawUse] {
			if counts(f) {
				people = ran(people, f.Day, float64(f.Code)/10)
			}
		}
		s.Fuel = append(s.Fuel, fuellings(topics, counts)...)
		for _, f := range topics[store.KindUpkeep] {
			if !counts(f) {
				continue
			}
			hours, err := a.takeLine(&s, f)
			if err != nil {
				return s, err
			}
			if f.Code&store.LineUsed != 0 {
				lines = ran(lines, f.Day, hours)
			}
		}
	}
	s.Used = either(people, lines)
	var err error
	s.Blade, err = a.bladeHistory(facts, h, asked)
	return s, err
}

func (a *app) takeCard(s *upkeep.History, facts factsOfSaw, counts func(training.Fact) bool) error {
	var newest training.Fact
	for _, f := range facts.life[store.KindSaw] {
		if !counts(f) {
			continue
		}
		if newest.Entry == 0 {
			s.Added = f.Day
		}
		newest = f
	}
	if newest.Code != store.CardService {
		return nil
	}
	_, err := a.book.Entry(a.ctx, newest.Entry, &s.Saw)
	return err
}

// ran adds hours to the last day of a list, or a new day to its end.
func ran(list []upkeep.Ran, day civil.Day, hours float64) []upkeep.Ran {
	if n := len(list); n > 0 && list[n-1].Day == day {
		list[n-1].Hours += hours
		return list
	}
	return append(list, upkeep.Ran{Day: day, Hours: hours})
}

// either joins the days of two lists. A day's line tells of the whole day, so its hours are not added to those of the people
// who had the saw; the larger of both counts.
func either(a, b []upkeep.Ran) []upkeep.Ran {
	out := make([]upkeep.Ran, 0, len(a)+len(b))
	for len(a) > 0 || len(b) > 0 {
		switch {
		case len(b) == 0 || len(a) > 0 && a[0].Day < b[0].Day:
			out, a = append(out, a[0]), a[1:]
		case len(a) == 0 || b[0].Day < a[0].Day:
			out, b = append(out, b[0]), b[1:]
		default:
			out = append(out, upkeep.Ran{Day: a[0].Day, Hours: max(a[0].Hours, b[0].Hours)})
			a, b = a[1:], b[1:]
		}
	}
	return out
}

// takeLine takes one day's line into the history of a saw, and gives its engine hours where the saw is serviced by them. Only
// such lines, and those that leave something out, are read whole.
func (a *app) takeLine(s *upkeep.History, f training.Fact) (hours float64, err error) {
	if f.Day != s.LineDay {
		s.LineDay, s.Checks = f.Day, 0
	}
	s.Checks += store.NutChecks(f.Code)
	done := upkeep.Done{Day: f.Day}
	if f.Code&store.LineLeft != 0 || s.Saw.Service != "" {
		var l upkeep.Line
		h, err := a.book.Entry(a.ctx, f.Entry, &l)
		if err != nil {
			return 0, err
		}
		done.Left, hours = l.Left, figureIn(h, "hours", units.Time)/anHour
	}
	if f.Code&store.LineDaily != 0 {
		s.Daily = append(s.Daily, done)
	}
	if f.Code&store.LineWeekly != 0 {
		s.Weekly = append(s.Weekly, done)
	}
	return hours, nil
}

// fuellings gathers refuels, filings and hits on rock, those of one entry together, in the order in which they happened.
func fuellings(topics store.Topics, counts func(training.Fact) bool) []upkeep.Fuelling {
	rest := [][]training.Fact{topics[store.KindRefuel], topics[store.KindFiling], topics[store.KindRock]}
	list := make([]upkeep.Fuelling, 0, len(rest[0])+len(rest[1]))
	for {
		next := -1
		for i, facts := range rest {
			if len(facts) > 0 && (next < 0 || earlier(facts[0], rest[next][0])) {
				next = i
			}
		}
		if next < 0 {
			return list
		}
		f := rest[next][0]
		one := upkeep.Fuelling{At: f.At}
		for i, into := range []*int{&one.Refuels, &one.Filings, &one.Rock} {
			if len(rest[i]) > 0 && rest[i][0].Entry == f.Entry {
				*into = int(rest[i][0].Code)
				rest[i] = rest[i][1:]
			}
		}
		if counts(f) {
			list = append(list, one)
		}
	}
}

// earlier orders facts by happening, then by place in the ledger.
func earlier(a, b training.Fact) bool {
	return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Recorded, b.Recorded), cmp.Compare(a.Entry, b.Entry)) < 0
}

// bladeHistory is the blade on a saw with its settings and filings. Filings of the years read count.
func (a *app) bladeHistory(facts factsOfSaw, h house.House, asked training.Asked) (upkeep.Blade, error) {
	last, first, ok := currentFact(facts.life, asked.On)
	if !ok {
		return upkeep.Blade{}, nil
	}
	b := upkeep.Blade{On: true, Fitted: first.Day, LastSetting: civil.None}
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
	if !b.Wants(h) {
		return b, nil // nobody asks for its id
	}
	var rec upkeep.BladeFitted
	_, err := a.book.Entry(a.ctx, last.Entry, &rec)
	b.ID = rec.Blade
	return b, err
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
