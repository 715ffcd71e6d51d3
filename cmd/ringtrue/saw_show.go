package main

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// Words for how a saw stands.
const (
	sawInUse   = "in use"
	sawStopped = "out of use"
	sawRetired = "retired"
)

func (s sawAt) word() string {
	switch {
	case s.retired:
		return sawRetired
	case upkeep.Stopped(s.open):
		return sawStopped
	}
	return sawInUse
}

// sawLine is a saw as the list shows it.
type sawLine struct {
	upkeep.Saw
	Added string `json:"added"` // "" = tagged without being on the list
	State string `json:"state"` // in use, out of use, retired
	Blade string `json:"blade"` // the one that is on
	Had   string `json:"had"`   // person id of who had it last
	On    string `json:"on"`    // day on which they had it
}

func newSawListCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "list",
		Short:   "List the saws: how they stand, the blade that is on, who had them last",
		Example: "  ringtrue saw list\n  ringtrue saw list --on 2026-07-14",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			asked, err := a.question(q)
			if err != nil {
				return err
			}
			lines, err := a.sawLines(asked)
			if err != nil {
				return err
			}
			return a.printSaws(lines)
		},
	}
	questionFlags(c, &q)
	return c
}

func (a *app) sawLines(asked training.Asked) ([]sawLine, error) {
	list, err := a.saws(asked)
	if err != nil {
		return nil, err
	}
	lines := []sawLine{}
	for _, card := range list {
		s, err := a.standOf(card, asked)
		if err != nil {
			return nil, err
		}
		b, err := a.currentBlade(s)
		if err != nil {
			return nil, err
		}
		l := sawLine{Saw: s.Saw, Added: s.added.String(), State: s.word(), Blade: b.Blade}
		used, err := a.sawUses(s, asked, 1)
		if err != nil {
			return nil, err
		}
		if len(used) > 0 {
			l.Had, l.On = used[0].Worker, used[0].Day
		}
		lines = append(lines, l)
	}
	tagged, err := a.taggedOffList(asked)
	return append(lines, tagged...), err
}

// taggedOffList lists saws that are out of use without being on the list, by the id they were tagged by.
func (a *app) taggedOffList(asked training.Asked) ([]sawLine, error) {
	all, err := topicsUnder(a.ctx, a.book, asked, store.SawSubject(""))
	if err != nil {
		return nil, err
	}
	rules, err := a.house(asked)
	var lines []sawLine
	for _, id := range slices.Sorted(maps.Keys(all)) {
		f := factsOfSaw{id: id, life: all[id]}
		if !f.listed(asked) && upkeep.Stopped(upkeep.Open(sawEvents(f.life), rules, asked.On)) {
			lines = append(lines, sawLine{Saw: upkeep.Saw{ID: id}, State: sawStopped})
		}
	}
	return lines, err
}

func (a *app) printSaws(lines []sawLine) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	header := []string{"SAW", "STATE", "SPINDLE", "BLADES", "BLADE ON", "OWNER", "LAST WITH", "ON"}
	return listing(a, map[string]any{"format": "ringtrue/saws/1", "rows": lines}, header, lines, func(l sawLine) []string {
		if l.Added == "" {
			l.State += ", " + offList
		}
		return []string{l.ID, l.State, l.Spindle, sizesOf(l.Saw), l.Blade, handleOf(people, l.Owner), handleOf(people, l.Had), l.On}
	})
}

func handleOf(p *people, id string) string {
	if id == "" {
		return ""
	}
	return p.handle(id)
}

func sizesOf(s upkeep.Saw) string {
	if s.BladeMin == s.BladeMax {
		return s.BladeMin
	}
	return s.BladeMin + "-" + s.BladeMax
}

// useLine is one day on which somebody had a saw.
type useLine struct {
	Day    string `json:"day"`
	Worker string `json:"worker"`
	Block  string `json:"block"`
	Hours  string `json:"hours"`
	Area   string `json:"area"`
	Entry  string `json:"entry"`
}

// sawUses lists who had a saw by the moment asked, the newest first, at most so many.
func (a *app) sawUses(s sawAt, asked training.Asked, most int) ([]useLine, error) {
	list := []useLine{}
	for m := range months(s.firstUse(), asked.Day) {
		facts, err := a.book.Topic(a.ctx, asked, store.SawMonthSubject(m, s.ID), store.KindSawUse)
		if err != nil {
			return nil, err
		}
		for _, f := range slices.Backward(facts) {
			if f.Struck || f.At > asked.On {
				continue
			}
			l, err := a.sawUse(f)
			if err != nil {
				return nil, err
			}
			if list = append(list, l); len(list) == most {
				return list, nil
			}
		}
	}
	return list, nil
}

func (a *app) sawUse(f training.Fact) (useLine, error) {
	h, err := a.book.Entry(a.ctx, f.Entry, nil)
	field := func(name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }
	return useLine{Day: f.Day.String(), Worker: h.Worker, Block: field("block"), Hours: field("hours"), Area: field("area"), Entry: a.book.Short(f.Entry)}, err
}

// lineLine is a saw's day as recorded.
type lineLine struct {
	Day   string `json:"day"`
	By    string `json:"by"`
	Entry string `json:"entry"`
	upkeep.Line
}

// sawDayLines lists the newest lines of a saw, at most so many.
func (a *app) sawDayLines(s sawAt, asked training.Asked, most int) ([]lineLine, error) {
	list := []lineLine{}
	for m := range months(s.firstUse(), asked.Day) {
		facts, err := a.book.Topic(a.ctx, asked, store.SawMonthSubject(m, s.ID), store.KindUpkeep)
		if err != nil {
			return nil, err
		}
		for _, f := range slices.Backward(facts) {
			if f.Struck || f.At > asked.On {
				continue
			}
			if len(list) == most {
				return list, nil
			}
			l := lineLine{Day: f.Day.String(), Entry: a.book.Short(f.Entry)}
			h, err := a.book.Entry(a.ctx, f.Entry, &l.Line)
			if err != nil {
				return nil, err
			}
			l.By = h.By
			list = append(list, l)
		}
	}
	return list, nil
}

// sawHappening is something that was wrong with a saw, or was done about it.
type sawHappening struct {
	Entry    string   `json:"entry"`
	Kind     string   `json:"kind"`
	Happened string   `json:"happened"`
	Recorded string   `json:"recorded"`
	By       string   `json:"by"`
	Found    string   `json:"found_by,omitempty"` // person id of who found a defect
	What     string   `json:"what"`
	Clears   []string `json:"clears"`
	ref      training.Ref
	at       int64
}

// sawEventLines lists the defects, tags, clearings and the like of a saw in their order.
func (a *app) sawEventLines(s sawAt, asked training.Asked) ([]sawHappening, error) {
	list := []sawHappening{}
	for _, topic := range []string{store.KindDefect, store.KindTag, store.KindClear, store.KindLookAgain, store.KindRetire} {
		for _, f := range s.topics[topic] {
			if f.Struck || f.At > asked.On {
				continue
			}
			l, err := a.sawEventOf(f)
			if err != nil {
				return nil, err
			}
			list = append(list, l)
		}
	}
	slices.SortStableFunc(list, func(a, b sawHappening) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.ref, b.ref)) })
	return list, nil
}

func (a *app) sawEventOf(f training.Fact) (sawHappening, error) {
	h, err := a.book.Entry(a.ctx, f.Entry, nil)
	if err != nil {
		return sawHappening{}, err
	}
	field := func(name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }
	l := sawHappening{Entry: a.book.Short(f.Entry), Kind: h.Kind, Happened: a.moment(f.At), Recorded: a.moment(f.Recorded), By: h.By, Clears: []string{}, ref: f.Entry, at: f.At}
	for _, c := range f.Cites {
		l.Clears = append(l.Clears, a.book.Short(c))
	}
	switch h.Kind {
	case store.KindDefect, store.KindTag:
		w, werr := a.openWords(f.Entry)
		l.What, err = w.text, werr
		if h.Kind == store.KindDefect {
			l.Found = w.who
		}
	case store.KindClear:
		l.What = "cleared: " + field("done") + note(", replaced: ", field("part"))
	case store.KindLookAgain:
		l.What = "looked at again" + note(": ", field("note"))
	default:
		l.What = "retired: " + field("reason")
	}
	return l, err
}

// Newest days that saw show prints (company choice).
const shownDays = 10

// sawAnswer is all of one saw.
type sawAnswer struct {
	Format string         `json:"format"`
	On     string         `json:"on"`
	Saw    upkeep.Saw     `json:"saw"`
	Added  string         `json:"added"`
	State  string         `json:"state"`
	Why    []string       `json:"why"` // out of use because
	Blades []bladeLine    `json:"blades"`
	Uses   []useLine      `json:"uses"`
	Days   []lineLine     `json:"days"`
	Events []sawHappening `json:"events"`
	Due    []dueLine      `json:"due"`
	Knows  string         `json:"knows"`
}

func newSawShowCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "show SAW",
		Short:   "Show a saw: card, blades, who had it, upkeep, defects and clearings, what is due",
		Example: "  ringtrue saw show S11\n  ringtrue saw show S11 --on 2026-07-14T10:40 --known 2026-07-14T10:40",
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			asked, err := a.question(q)
			if err != nil {
				return err
			}
			ans, err := a.showSaw(args[0], asked)
			if err != nil {
				return err
			}
			return a.printSaw(ans)
		},
	}
	questionFlags(c, &q)
	return c
}

func (a *app) showSaw(id string, asked training.Asked) (sawAnswer, error) {
	s, err := a.sawOn(id, asked)
	if err != nil {
		return sawAnswer{}, err
	}
	ans := sawAnswer{Format: "ringtrue/saw/1", On: a.askedText(asked.On), Saw: s.Saw, Added: s.added.String(), State: s.word(), Why: []string{}}
	why, err := a.whyDown(s, a.short)
	if err != nil {
		return ans, err
	}
	ans.Why = append(ans.Why, why...)
	if ans.Blades, err = a.bladeLines(s, asked); err != nil {
		return ans, err
	}
	if ans.Uses, err = a.sawUses(s, asked, shownDays); err != nil {
		return ans, err
	}
	if ans.Days, err = a.sawDayLines(s, asked, shownDays); err != nil {
		return ans, err
	}
	if ans.Events, err = a.sawEventLines(s, asked); err != nil {
		return ans, err
	}
	if ans.Due, err = a.sawDue([]string{s.ID}, asked); err != nil {
		return ans, err
	}
	ans.Knows, err = a.knows()
	return ans, err
}

func (a *app) printSaw(ans sawAnswer) error {
	if a.json {
		return a.printJSON(ans)
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	s := ans.Saw
	a.mark()
	a.say("saw %s, %s%s, as of %s", s.ID, ans.State, note(", own saw of ", handleOf(people, s.Owner)), ans.On)
	lines(a, "OUT OF USE", ans.Why)
	for _, d := range ans.Due {
		a.say("  %s: %s: %s", d.State, strings.Join(d.What, ", "), d.Why)
	}
	a.say("  spindle up to %s, blades %s%s%s%s%s", s.Spindle, sizesOf(s), note(", bore ", s.Bore), note(", tank ", s.Tank), note(", guard: ", s.Guard), note(", harness: ", s.Harness))
	if edge := edgeNote(s.BladeMax, s.Spindle); edge != "" {
		a.say("  %s", edge)
	}
	for _, b := range ans.Blades {
		a.say("  blade %s, %s: %s, rated %s, fitted %s, settings %d, filings %d", b.Blade, b.State, orWord(b.Diameter, "size not said"), b.Rated, b.Fitted, b.Settings, b.Filings)
	}
	a.printSawDays(ans, people)
	a.say("%s", ans.Knows)
	return nil
}

func (a *app) printSawDays(ans sawAnswer, people *people) {
	for _, u := range ans.Uses {
		a.say("  %s  with %s%s%s%s (entry %s)", u.Day, people.handle(u.Worker), note(", block ", u.Block), note(", ", u.Hours), note(", ", u.Area), u.Entry)
	}
	for _, d := range ans.Days {
		a.say("  %s  %s; by %s (entry %s)", d.Day, lineWords(d.Line), people.handle(d.By), d.Entry)
	}
	for _, e := range ans.Events {
		a.say("  %s  %s%s%s; by %s (entry %s)", e.Happened[:16], e.What, note(", found by ", handleOf(people, e.Found)), note(", of entry ", strings.Join(e.Clears, ", ")), people.handle(e.By), e.Entry)
	}
}
