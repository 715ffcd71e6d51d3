package training_test

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pgregory.net/rapid"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// history is a made-up history with its strikes, from which the case known at a moment can be had.
type history struct {
	skill    training.Skill
	rules    training.Rules
	later    []edition // which come into force after the first
	teaching []training.Fact
	facts    []training.Fact
	uses     []training.Fact
	marks    map[training.Ref][]training.Mark
	struck   map[training.Ref]int64 // entry: when the strike was recorded
	last     civil.Day
}

// edition is one of curriculum and house rules that comes into force at a moment. Under some a skill is used by less work.
type edition struct {
	from  int64
	skill training.Skill
	rules training.Rules
	less  bool
}

// starterRules are the numbers of design and starter edition, written out here so that no expected value comes from
// the edition under test.
func starterRules() training.Rules {
	return training.Rules{
		Edition: "test", Critical: training.Evidence{Looks: 3, Days: 2, Unannounced: 1}, Other: training.Evidence{Looks: 1, Days: 1},
		MissesAllowed: 1, SignOffMonths: 12, EvidenceMonths: 12, WarningDays: 30, CurrencyDays: 90, OpeningDays: 42,
	}
}

// drawRules: the starter numbers, or short ones, in which more comes together in few facts.
func drawRules(t *rapid.T, short bool) training.Rules {
	r := starterRules()
	r.Coverage = rapid.Bool().Draw(t, "coverage")
	if short {
		r.SignOffMonths, r.EvidenceMonths, r.WarningDays, r.CurrencyDays = 3, rapid.SampledFrom([]int{1, 2}).Draw(t, "evidence months"), 10, rapid.SampledFrom([]int{15, 20}).Draw(t, "gap")
		r.Critical = training.Evidence{Looks: 2, Days: 2, Unannounced: 1}
	}
	if rapid.Bool().Draw(t, "own numbers") {
		n := rapid.IntRange(1, 4).Draw(t, "N")
		r.Critical = training.Evidence{Looks: n, Days: rapid.IntRange(1, n).Draw(t, "M"), Unannounced: rapid.IntRange(0, n).Draw(t, "U")}
	}
	if rapid.Bool().Draw(t, "yearly end") {
		r.YearlyMonth, r.YearlyDay = time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 31).Draw(t, "day of month")
	}
	return r
}

// drawSkill gives a skill with three criteria; a later edition may judge it otherwise.
func drawSkill(t *rapid.T) training.Skill {
	return training.Skill{
		ID: "7.1", Critical: rapid.Bool().Draw(t, "critical"), Emergency: rapid.IntRange(0, 3).Draw(t, "emergency") == 0,
		Withdrawn: rapid.IntRange(0, 19).Draw(t, "withdrawn") == 0,
		Criteria:  []training.Criterion{{ID: "stance", Critical: true}, {ID: "sector"}, {ID: "stop"}}[:rapid.IntRange(1, 3).Draw(t, "criteria")],
	}
}

// drawEditions: most histories have none later than the first.
func (h *history) drawEditions(t *rapid.T, short bool) {
	first := civil.Date(2026, 1, 5)
	from := int64(0)
	for range rapid.SampledFrom([]int{0, 0, 1, 1, 2}).Draw(t, "later editions") {
		day := first + civil.Day(rapid.IntRange(0, int(h.last-first)+90).Draw(t, "edition from"))
		from = max(from+1, int64(day)*86400+rapid.SampledFrom([]int64{0, 8 * 3600, 13 * 3600}).Draw(t, "edition at"))
		h.later = append(h.later, edition{from, drawSkill(t), drawRules(t, short), rapid.IntRange(0, 3).Draw(t, "used by less") == 0})
	}
}

func drawHistory(t *rapid.T) history {
	short := rapid.Bool().Draw(t, "short")
	h := history{rules: drawRules(t, short), skill: drawSkill(t), marks: map[training.Ref][]training.Mark{}, struck: map[training.Ref]int64{}}
	steps := []int{0, 0, 0, 1, 1, 2, 5, 12, 25, 60, 95, 200}
	if short {
		steps = []int{0, 0, 0, 1, 1, 2, 3, 7, 12, 19, 20, 21}
	}
	h.last = civil.Date(2026, 1, 5)
	second := int64(8 * 3600)
	for i := range rapid.IntRange(0, 16).Draw(t, "facts") {
		if step := rapid.SampledFrom(steps).Draw(t, "step"); step > 0 {
			h.last += civil.Day(step)
			second = rapid.SampledFrom([]int64{0, 8 * 3600, 86399}).Draw(t, "second")
		} else if rapid.Bool().Draw(t, "later the same day") {
			second = min(second+1800, 86399)
		}
		h.add(t, i, second)
	}
	h.drawUses(t)
	h.drawTeaching(t)
	h.drawEditions(t, short)
	for range rapid.SampledFrom([]int{0, 0, 1, 2, 4}).Draw(t, "strikes") {
		if len(h.facts) > 0 {
			f := rapid.SampledFrom(h.facts).Draw(t, "struck")
			h.struck[f.Entry] = f.Recorded + int64(rapid.SampledFrom([]int{1, 40, 150}).Draw(t, "struck after"))*86400
		}
	}
	return h
}

// kinds of facts to draw from, as often as they make histories worth asking.
var kinds = slices.Concat(
	slices.Repeat([]training.Fact{{Kind: training.FactObservation, Code: uint8(training.OutcomeMet)}}, 7),
	slices.Repeat([]training.Fact{{Kind: training.FactSignOff}}, 4),
	slices.Repeat([]training.Fact{{Kind: training.FactLift}}, 3),
	[]training.Fact{
		{Kind: training.FactObservation, Code: uint8(training.NotMet)}, {Kind: training.FactObservation, Code: uint8(training.CriticalMissed)},
		{Kind: training.FactObservation, Code: uint8(training.Incomplete)}, {Kind: training.FactWithdrawal}, {Kind: training.FactRestriction},
		{Kind: training.FactOther},
	},
)

func (h *history) add(t *rapid.T, i int, second int64) {
	f := rapid.SampledFrom(kinds).Draw(t, "kind")
	f.Day, f.At, f.Until = h.last, int64(h.last)*86400+second, civil.None
	f.Entry, f.By = training.Ref(100+i), rapid.Uint32Range(1, 2).Draw(t, "by")
	if rapid.Bool().Draw(t, "seq against order") {
		f.Entry = training.Ref(100 - i)
	}
	f.Recorded = f.At + int64(rapid.SampledFrom([]int{0, 0, 0, 1, 2, 5, 30, 120}).Draw(t, "recorded later by"))*86400
	if stops(f) && rapid.Bool().Draw(t, "told late") {
		back := civil.Day(rapid.SampledFrom([]int{1, 2, 3, 7, 12, 30}).Draw(t, "days late"))
		f.Day, f.At, f.Recorded = f.Day-back, f.At-int64(back)*86400, f.At
	}
	switch f.Kind {
	case training.FactObservation:
		if rapid.Bool().Draw(t, "announced") {
			f.Code |= training.Announced
		}
		for _, id := range []string{"stance", "sector", "stop"} {
			h.marks[f.Entry] = append(h.marks[f.Entry], training.Mark{Criterion: id, Seen: rapid.SampledFrom([]string{training.Met, training.Met, training.NotSeen, training.Missed}).Draw(t, id)})
		}
	case training.FactSignOff:
		f.Until = h.rules.SignOffEnd(f.Day)
		switch rapid.IntRange(0, 9).Draw(t, "end") {
		case 0:
			f.Until = f.Day + civil.Day(rapid.IntRange(1, 60).Draw(t, "short end"))
		case 1:
			f.Until = civil.None
		}
		f.Cites = h.drawCites(t, rapid.IntRange(1, 3).Draw(t, "named looks"))
	case training.FactLift:
		f.Cites = h.drawCites(t, 1)
	}
	h.facts = append(h.facts, f)
}

// drawCites names the last met looks, any entries at all, or one that is not there.
func (h *history) drawCites(t *rapid.T, n int) []training.Ref {
	var looks, all []training.Ref
	for _, f := range h.facts {
		all = append(all, f.Entry)
		if wasMet(f) {
			looks = append(looks, f.Entry)
		}
	}
	switch rapid.IntRange(0, 7).Draw(t, "cites") {
	case 0:
		return []training.Ref{9999}
	case 1:
		return nil
	case 2:
		if len(all) > 0 {
			return []training.Ref{rapid.SampledFrom(all).Draw(t, "any")}
		}
	}
	return looks[max(0, len(looks)-n):]
}

// drawUses: seasons of joins, some at the very second of a fact.
func (h *history) drawUses(t *rapid.T) {
	first := civil.Date(2026, 1, 1)
	for range rapid.IntRange(0, 3).Draw(t, "seasons") {
		day := first + civil.Day(rapid.IntRange(0, int(h.last-first)+60).Draw(t, "season from"))
		for range rapid.IntRange(1, 12).Draw(t, "joins") {
			u := training.Fact{Kind: training.FactUse, Entry: training.Ref(1000 + len(h.uses)), Day: day, At: int64(day)*86400 + 8*3600, Until: civil.None}
			u.Recorded = u.At + int64(rapid.SampledFrom([]int{0, 0, 0, 40}).Draw(t, "typed later by"))*86400
			u.Struck = rapid.IntRange(0, 19).Draw(t, "struck join") == 0
			h.uses = append(h.uses, u)
			day += civil.Day(rapid.SampledFrom([]int{0, 1, 3, 7, 19, 20, 85, 90}).Draw(t, "next join"))
		}
	}
	training.Sort(h.uses)
}

// drawTeaching: most were taught before the first look, some only later, twice, not at all, or by an entry that is
// typed late or struck.
func (h *history) drawTeaching(t *rapid.T) {
	first := civil.Date(2026, 1, 5)
	for i := range rapid.SampledFrom([]int{1, 1, 1, 1, 2, 0}).Draw(t, "times taught") {
		day := first + civil.Day(rapid.SampledFrom([]int{-30, -30, -30, 0, 1, 3, 20, 100}).Draw(t, "taught on"))
		f := training.Fact{Kind: rapid.SampledFrom([]training.FactKind{training.FactAttendance, training.FactCredit}).Draw(t, "how taught"), Entry: training.Ref(500 + i),
			Day: day, At: int64(day)*86400 + rapid.SampledFrom([]int64{0, 8 * 3600, 15 * 3600}).Draw(t, "taught at"), Until: civil.None}
		f.Recorded = f.At + int64(rapid.SampledFrom([]int{0, 0, 0, 40}).Draw(t, "teaching typed later by"))*86400
		if rapid.IntRange(0, 9).Draw(t, "struck teaching") == 0 {
			h.struck[f.Entry] = f.Recorded + 30*86400
		}
		h.teaching = append(h.teaching, f)
	}
}

// asked gives the whole case, later entries included, with the strikes known by a moment marked.
func (h history) asked(known int64) training.Case {
	is := func(e training.Ref) bool { at, ok := h.struck[e]; return ok && at <= known }
	out := training.History{Uses: h.uses}
	for _, f := range h.teaching {
		f.Struck = is(f.Entry)
		out.Teaching = append(out.Teaching, f)
	}
	for _, f := range h.facts {
		f.Struck, f.Void = is(f.Entry), slices.ContainsFunc(f.Cites, is)
		out.Facts = append(out.Facts, f)
	}
	c := training.Judged(h.skill, out, h.rules)
	c.Marks = func(look training.Ref) []training.Mark { return h.marks[look] }
	for _, e := range h.later {
		read := out
		if e.less {
			read.Uses = nil
		}
		c.Readings = append(c.Readings, training.Reading{From: e.from, Skill: e.skill, Rules: e.rules, History: read})
	}
	return c
}

// drawAsked asks about some day during or after the history, by its end or in its midst, with all or less knowledge.
func (h history) drawAsked(t *rapid.T) training.Asked {
	first := civil.Date(2026, 1, 5)
	day := first + civil.Day(rapid.IntRange(0, int(h.last-first)+120).Draw(t, "on"))
	if len(h.facts) > 0 && rapid.Bool().Draw(t, "on the day of a fact") {
		day = rapid.SampledFrom(h.facts).Draw(t, "that fact").Day
	}
	a := endOfDay(day, day+3000)
	if rapid.IntRange(0, 3).Draw(t, "in the midst") == 0 {
		a.On = int64(day)*86400 + rapid.SampledFrom([]int64{0, 8 * 3600, 8*3600 + 1800, 8*3600 + 1799, 86398}).Draw(t, "clock")
	}
	if rapid.Bool().Draw(t, "known less") {
		a.Known = endOf(day + civil.Day(rapid.SampledFrom([]int{-20, 0, 0, 3, 35}).Draw(t, "known")))
	}
	return a
}

// String writes the history for a failed test.
func (h history) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "skill %+v\nrules %+v\nteaching %+v, struck %v, marks %v\n", h.skill, h.rules, h.teaching, h.struck, h.marks)
	for _, e := range h.later {
		fmt.Fprintf(&b, "from %s second %d, less used %v: skill %+v\nrules %+v\n", civil.Day(e.from/86400), e.from%86400, e.less, e.skill, e.rules)
	}
	for _, f := range append(slices.Clone(h.facts), h.uses...) {
		fmt.Fprintf(&b, "%d kind %d %s announced %v, %s second %d, recorded %s, until %s, by %d, cites %v, struck %v\n",
			f.Entry, f.Kind, f.Outcome(), f.Announced(), f.Day, f.At%86400, civil.Day(f.Recorded/86400), f.Until, f.By, f.Cites, f.Struck)
	}
	return b.String()
}
