package training_test

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// TestMain asks more histories of the property tests than the library's 100. More on demand:
// go test ./training -run Slow -rapid.checks=100000
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.checks", "3000"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// slow is a second reading of what standing means, made from the words of the design and not from the code: no state carried
// along, every question asked of all facts again, days passed one by one, moments one by one. It shares with the code under
// test the types and calendar months, and nothing else.
type slow struct {
	skill  training.Skill
	rules  training.Rules
	marks  func(training.Ref) []training.Mark
	taught []training.Fact // known, of the module
	facts  []training.Fact // known on the skill, in the order in which they count
	joins  []training.Fact // known, with a saw
	used   map[civil.Day]bool
	good   map[training.Ref]bool // the sign-offs that count; whether one does depends only on what came before it
}

// editions are the readings of one record, each in force from a moment on.
type editions struct {
	from    []int64
	reading []slow
	dated   map[civil.Day][]int64 // the seconds of a day at which something is dated
}

func newSlow(c training.Case, known int64) editions {
	e := editions{dated: map[civil.Day][]int64{}}
	for _, r := range c.Readings {
		x := slowReading(r, c.Marks, known)
		e.from, e.reading = append(e.from, r.From), append(e.reading, x)
		if len(e.from) > 1 {
			e.dated[dayOf(r.From)] = append(e.dated[dayOf(r.From)], r.From)
		}
		for _, f := range slices.Concat(x.facts, x.taught, x.joins) {
			e.dated[dayOf(f.At)] = append(e.dated[dayOf(f.At)], f.At)
		}
	}
	return e
}

// at is the reading of the edition in force at a second: the last that had begun, else the first.
func (e editions) at(on int64) slow {
	x := e.reading[0]
	for i, from := range e.from {
		if from <= on {
			x = e.reading[i]
		}
	}
	return x
}

// slowReading keeps what was recorded by a moment; struck entries come marked.
func slowReading(r training.Reading, marks func(training.Ref) []training.Mark, known int64) slow {
	x := slow{skill: r.Skill, rules: r.Rules, marks: marks, used: map[civil.Day]bool{}, good: map[training.Ref]bool{}}
	for _, f := range r.History.Facts {
		if f.Recorded <= known {
			x.facts = append(x.facts, f)
			if complete(f) {
				x.used[f.Day] = true
			}
		}
	}
	for _, f := range r.History.Teaching {
		if f.Recorded <= known && !f.Struck {
			x.taught = append(x.taught, f)
		}
	}
	for _, u := range r.History.Uses {
		if u.Recorded <= known && !u.Struck {
			x.joins = append(x.joins, u)
			x.used[u.Day] = true
		}
	}
	slices.SortFunc(x.facts, func(a, b training.Fact) int {
		if after(a, b) {
			return 1
		}
		return -1
	})
	for _, f := range x.facts {
		x.good[f.Entry] = counts(x.facts, f)
	}
	return x
}

// after reports whether a has the word after b: happened, at the same second the stricter, then recorded, then seq.
func after(a, b training.Fact) bool {
	switch {
	case a.At != b.At:
		return a.At > b.At
	case rank(a) != rank(b):
		return rank(a) > rank(b)
	case a.Kind == training.FactSignOff && a.Until != b.Until:
		return a.Until < b.Until
	case a.Recorded != b.Recorded:
		return a.Recorded > b.Recorded
	}
	return a.Entry > b.Entry
}

// rank lists the kinds of facts, each stricter than those before it.
func rank(f training.Fact) int {
	switch {
	case wasMet(f), f.Kind == training.FactObservation && f.Outcome() == training.Incomplete:
		return 1
	case f.Kind == training.FactSignOff:
		return 2
	case f.Kind == training.FactLift:
		return 3
	case f.Kind == training.FactWithdrawal:
		return 4
	case f.Kind == training.FactObservation:
		return 5
	}
	return 6
}

// complete looks are those not struck in which everything critical was seen.
func complete(f training.Fact) bool {
	return f.Kind == training.FactObservation && !f.Struck && f.Outcome() != training.Incomplete
}

func wasMet(f training.Fact) bool {
	return f.Kind == training.FactObservation && f.Outcome() == training.OutcomeMet
}

// stops restrict: by hand, unless struck; by a missed critical criterion, struck or not.
func stops(f training.Fact) bool {
	return f.Kind == training.FactRestriction && !f.Struck ||
		f.Kind == training.FactObservation && f.Outcome() == training.CriticalMissed
}

func withdraws(f training.Fact) bool { return f.Kind == training.FactWithdrawal && !f.Struck }

// by gives what had happened by the end of a second of a day.
func (x slow) by(day civil.Day, on int64) []training.Fact {
	n := 0
	for n < len(x.facts) && x.facts[n].At <= on && x.facts[n].Day <= day {
		n++
	}
	return x.facts[:n]
}

// restricted: there is a stop that no lift has closed. A lift that counts names a met look later than the stop, and lifts only
// what was recorded before it.
func restricted(past []training.Fact) bool {
	return slices.ContainsFunc(past, func(stop training.Fact) bool {
		return stops(stop) && !slices.ContainsFunc(past, func(l training.Fact) bool {
			return l.Kind == training.FactLift && !l.Struck && !l.Void && told(stop, l) && slices.ContainsFunc(past, func(look training.Fact) bool {
				return wasMet(look) && !look.Struck && slices.Contains(l.Cites, look.Entry) && look.At > stop.At && after(l, look)
			})
		})
	})
}

// told reports whether a was recorded before b; within a second the ledger tells.
func told(a, b training.Fact) bool {
	if a.Recorded != b.Recorded {
		return a.Recorded < b.Recorded
	}
	return a.Entry < b.Entry
}

func before(past []training.Fact, f training.Fact) []training.Fact {
	return past[:slices.IndexFunc(past, func(g training.Fact) bool { return g.Entry == f.Entry })]
}

// counts: a sign-off that is not struck and none of whose named entries is, which has an end, was not made while the
// skill was restricted, and rests on no look from before a restriction.
func counts(past []training.Fact, s training.Fact) bool {
	if s.Kind != training.FactSignOff || s.Struck || s.Void || s.Until == civil.None {
		return false
	}
	then := before(past, s)
	stale := slices.ContainsFunc(then, func(look training.Fact) bool {
		return wasMet(look) && !look.Struck && slices.Contains(s.Cites, look.Entry) && slices.ContainsFunc(then, func(stop training.Fact) bool {
			return stops(stop) && !after(look, stop) && look.At <= stop.At
		})
	})
	return !restricted(then) && !stale
}

// inForce is the last sign-off that counts, unless a stop or a withdrawal came after it.
func (x slow) inForce(past []training.Fact) (s training.Fact, ok bool) {
	for _, f := range past {
		if x.good[f.Entry] {
			s, ok = f, true
		}
	}
	if ok && slices.ContainsFunc(past, func(f training.Fact) bool { return (stops(f) || withdraws(f)) && after(f, s) }) {
		return s, false
	}
	return s, ok
}

// run lets the days pass from a sign-off on, to the end of the last: the days on which it lapsed, and why it is
// lapsed at the end.
func (x slow) run(past []training.Fact, s training.Fact, last civil.Day) (lapses []civil.Day, byEnd, byGap bool) {
	lastUse := x.lastUseBefore(past, s)
	for d := s.Day; d <= last; d++ {
		if d > s.Day && x.used[d-1] {
			lastUse = d - 1
		}
		if d >= s.Until {
			return append(lapses, d), true, false
		}
		if !x.skill.Emergency && !byGap && int(d-lastUse) >= x.rules.CurrencyDays {
			lapses, byGap = append(lapses, d), true
		}
		if byGap && slices.ContainsFunc(past, func(f training.Fact) bool { return f.Day == d && wasMet(f) && !f.Struck && after(f, s) }) {
			byGap = false
		}
	}
	return lapses, false, byGap
}

// lastUseBefore is the last use by the time of a sign-off, or its own day if none is known.
func (x slow) lastUseBefore(past []training.Fact, s training.Fact) civil.Day {
	last := civil.None
	for _, f := range before(past, s) {
		if complete(f) {
			last = max(last, f.Day)
		}
	}
	for _, u := range x.joins {
		if u.At <= s.At {
			last = max(last, u.Day)
		}
	}
	if last == civil.None {
		return s.Day
	}
	return last
}

// lapses are the days on which any sign-off lapsed while it was the one in force.
func (x slow) lapses(past []training.Fact, today civil.Day) []civil.Day {
	var days []civil.Day
	for _, s := range past {
		if !x.good[s.Entry] {
			continue
		}
		last := today
		for _, f := range past {
			if after(f, s) && (stops(f) || withdraws(f) || x.good[f.Entry]) {
				last = min(last, f.Day)
			}
		}
		own, _, _ := x.run(past, s, last)
		days = append(days, own...)
	}
	return days
}

// looks are the observations that count today: met, later than every look not met, stop, withdrawal and lapse, and less than
// so many months old.
func (x slow) looks(past []training.Fact, today civil.Day) (list []training.Fact) {
	lapses := x.lapses(past, today)
	for _, look := range past {
		cut := slices.ContainsFunc(past, func(f training.Fact) bool {
			return after(f, look) && (stops(f) || withdraws(f) || complete(f) && !wasMet(f))
		}) || slices.ContainsFunc(lapses, func(d civil.Day) bool { return d > look.Day })
		if complete(look) && wasMet(look) && !cut && today < look.Day.AddMonths(x.rules.EvidenceMonths) {
			list = append(list, look)
		}
	}
	return list
}

// enough: at least N looks, on at least M days, at least U of them unannounced, together every criterion met at least once
// where the house rules ask for that.
func (x slow) enough(looks []training.Fact) bool {
	need := x.rules.Other
	if x.skill.Critical {
		need = x.rules.Critical
	}
	days, unannounced, met := map[civil.Day]bool{}, 0, map[string]bool{}
	for _, look := range looks {
		days[look.Day] = true
		if look.Code&training.Announced == 0 {
			unannounced++
		}
		for _, m := range x.marks(look.Entry) {
			met[m.Criterion] = met[m.Criterion] || m.Seen == training.Met
		}
	}
	covered := true
	for _, c := range x.skill.Criteria {
		covered = covered && met[c.ID]
	}
	return len(looks) >= need.Looks && len(days) >= need.Days && unannounced >= need.Unannounced && (covered || !x.rules.Coverage)
}

// inGap: a sign-off made now would not have run out by days away from the saw.
func (x slow) inGap(past []training.Fact, day civil.Day, on int64) bool {
	last := civil.None
	for _, f := range past {
		if complete(f) {
			last = max(last, f.Day)
		}
	}
	for _, u := range x.joins {
		if u.At <= on && u.Day <= day {
			last = max(last, u.Day)
		}
	}
	return x.skill.Emergency || last == civil.None || int(day-last) < x.rules.CurrencyDays
}

// mayBeSigned answers whether nothing is missing for a sign-off.
func (x slow) mayBeSigned(day civil.Day, on int64) bool {
	past := x.by(day, on)
	taught := slices.ContainsFunc(x.taught, func(f training.Fact) bool { return f.At <= on && f.Day <= day })
	return !restricted(past) && taught && !x.skill.Withdrawn && x.enough(x.looks(past, day)) && x.inGap(past, day, on)
}

func (x slow) word(day civil.Day, on int64) training.Word {
	past := x.by(day, on)
	if restricted(past) {
		return training.Restricted
	}
	s, signed := x.inForce(past)
	if signed {
		_, byEnd, byGap := x.run(past, s, day)
		switch {
		case !byEnd && !byGap && int(s.Until-day) <= x.rules.WarningDays:
			return training.Due
		case !byEnd && !byGap:
			return training.SignedOff
		}
	}
	switch {
	case x.mayBeSigned(day, on): // lapsed, but with such evidence since
		return training.ToDecide
	case signed:
		return training.Lapsed
	}
	return training.UnderTraining
}

// word is judged by the edition in force at the second.
func (e editions) word(on int64) training.Word { return e.at(on).word(dayOf(on), on) }

// moments are the seconds of a day at which a standing may become another one: its beginning, and whatever is dated then.
func (e editions) moments(d civil.Day) []int64 {
	list := append([]int64{int64(d) * 86400}, e.dated[d]...)
	slices.Sort(list)
	return slices.Compact(list)
}

// changes lists every change after a moment and up to another.
func (e editions) changes(from, until int64) (list []training.Change) {
	for d := dayOf(from); d <= dayOf(until); d++ {
		for _, at := range e.moments(d) {
			if at > from && at <= until && e.word(at) != e.word(at-1) {
				list = append(list, training.Change{At: at, Word: e.word(at)})
			}
		}
	}
	return list
}

// until is the day of the first moment after the one asked at which the standing is another one.
func (e editions) until(a training.Asked) civil.Day {
	now := e.word(a.On)
	last := e.lastDay(a.Day)
	for d := a.Day; d <= last; d++ {
		for _, at := range e.moments(d) {
			if at > a.On && e.word(at) != now {
				return d
			}
		}
	}
	return civil.None
}

// lastDay is a day after which time changes nothing: by then the last entry has happened and the last edition begun, every
// sign-off ended, every look too old, and the last use out of its gap.
func (e editions) lastDay(asked civil.Day) civil.Day {
	last, gap := asked, 0
	for i, x := range e.reading {
		if e.from[i] > 0 {
			last = max(last, dayOf(e.from[i]))
		}
		gap = max(gap, x.rules.CurrencyDays)
		for _, f := range slices.Concat(x.facts, x.taught, x.joins) {
			last = max(last, f.Day, f.Day.AddMonths(x.rules.EvidenceMonths))
			if f.Until != civil.None {
				last = max(last, f.Until)
			}
		}
	}
	return last + civil.Day(gap) + 1
}

// dayOf is the day of a second; the histories of these tests are told in UTC.
func dayOf(on int64) civil.Day { return civil.Day(on / 86400) }

// endOf is the last second of a day.
func endOf(d civil.Day) int64 { return int64(d+1)*86400 - 1 }

func endOfDay(d, known civil.Day) training.Asked {
	return training.Asked{Day: d, On: endOf(d), Known: endOf(known)}
}

func TestStandingAgreesWithSlowReading(t *testing.T) {
	seen := map[training.Word]int{}
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		for range 3 {
			a := h.drawAsked(t)
			c := h.asked(a.Known)
			e := newSlow(c, a.Known)
			st, changes := training.DayOf(c, a)
			require.Equal(t, e.word(a.On), st.Word, "asked %+v\n%s", a, h)
			require.Equal(t, e.changes(int64(a.Day)*86400-1, a.On), changes, "day row, asked %+v\n%s", a, h)
			require.Equal(t, e.until(a).String(), st.Until.String(), "until of %s, asked %+v\n%s", st.Word, a, h)
			require.Equal(t, st, training.StandingOf(c, a), "the same by itself as with the day's changes, asked %+v\n%s", a, h)
			e.at(a.On).requireRest(t, c, st, a)
			seen[st.Word]++
			for _, r := range st.Reasons {
				if strings.Contains(r.Text, "was recorded before that was told") {
					seen["restricted by a stop told after the lift"]++
				}
			}
			if st.Until != civil.None {
				seen[st.Word+" until"]++
			}
		}
	})
	for _, w := range []training.Word{training.UnderTraining, training.ToDecide, training.SignedOff, training.Due, training.Lapsed, training.Restricted,
		"restricted by a stop told after the lift", training.UnderTraining + " until", training.ToDecide + " until", training.SignedOff + " until", training.Due + " until", training.Lapsed + " until", training.Restricted + " until"} {
		require.Positive(t, seen[w], "no history led to %q: %v", w, seen)
	}
}

// What changed between two moments, by entries, by editions and by time alone.
func TestStepsAgreeWithSlowReading(t *testing.T) {
	steps := 0
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		from := h.drawAsked(t)
		until := from
		until.Day += civil.Day(rapid.IntRange(0, 150).Draw(t, "days"))
		until.On = endOf(until.Day)
		c := h.asked(from.Known)
		var got []training.Change
		for _, s := range training.StepsBetween(c, from, until) {
			now := training.Asked{Day: s.Day, On: s.At, Known: from.Known}
			require.Equal(t, training.StandingOf(c, now), s.Standing)
			require.Equal(t, dayOf(s.At), s.Day)
			got = append(got, training.Change{At: s.At, Word: s.Standing.Word})
		}
		require.Equal(t, newSlow(c, from.Known).changes(from.On, until.On), got, "from %+v until %+v\n%s", from, until, h)
		steps += len(got)
	})
	require.Positive(t, steps)
}

// One more met look never lowers an answer: what was to decide stays so, or is more.
func TestOneMoreMetLookNeverLowersAnAnswer(t *testing.T) {
	asked := 0
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		c := h.asked(a.Known)
		before := training.StandingOf(c, a)
		if before.Word != training.ToDecide && !before.Held() {
			return
		}
		asked++
		for i := range c.Readings {
			more := training.Fact{Entry: 5000, Kind: training.FactObservation, Code: uint8(training.OutcomeMet) | training.Announced, Day: a.Day, At: a.On, Recorded: a.Known, Until: civil.None}
			c.Readings[i].History.Facts = append(slices.Clone(c.Readings[i].History.Facts), more)
		}
		require.Equal(t, before.Word, training.StandingOf(c, a).Word, "asked %+v\n%s", a, h)
	})
	require.Positive(t, asked)
}

// A stop restricts at once, whenever it is told and whatever lift or sign-off has come since the day it speaks of.
func TestAStopToldLateRestrictsAtOnce(t *testing.T) {
	over := map[training.Word]int{}
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		a.Known = max(a.Known, a.On) + 300*86400
		c := h.asked(a.Known)
		over[training.StandingOf(c, a).Word]++
		stop := training.Fact{Entry: 5000, Kind: training.FactRestriction, Recorded: a.Known, Until: civil.None}
		if rapid.Bool().Draw(t, "seen") {
			stop.Kind, stop.Code = training.FactObservation, uint8(training.CriticalMissed)
		}
		stop.Day = a.Day - civil.Day(rapid.IntRange(0, 200).Draw(t, "days ago"))
		stop.At = min(int64(stop.Day)*86400+8*3600, a.On)
		stop.Day = dayOf(stop.At)
		for i := range c.Readings {
			c.Readings[i].History.Facts = append(slices.Clone(c.Readings[i].History.Facts), stop)
		}
		require.Equal(t, training.Restricted, training.StandingOf(c, a).Word, "asked %+v\n%s", a, h)
	})
	require.Positive(t, over[training.SignedOff], "no history had a sign-off to stop")
}

// requireRest compares what else a standing says, and what a sign-off would rest on.
func (x slow) requireRest(t *rapid.T, c training.Case, st training.Standing, a training.Asked) {
	require.Equal(t, x.mayBeSigned(a.Day, a.On), training.Missing(c, a) == nil, "missing, asked %+v", a)
	past := x.by(a.Day, a.On)
	x.requireLooks(t, x.looks(past, a.Day), training.Looks(c, a))
	latestMet, byOther := false, false
	for _, f := range past {
		if complete(f) {
			latestMet = wasMet(f)
		}
	}
	require.Equal(t, latestMet, st.LastMet, "latest look met")
	require.Equal(t, slices.ContainsFunc(past, complete), st.Looked, "looked at")
	s, signed := x.inForce(past)
	if !signed || st.Word == training.Restricted {
		require.Zero(t, st.SignOff)
		require.False(t, st.Alone || st.ByGap)
		return
	}
	require.Equal(t, s.Entry, st.SignOff)
	_, _, byGap := x.run(past, s, a.Day)
	require.Equal(t, byGap, st.ByGap)
	for _, f := range past {
		byOther = byOther || wasMet(f) && !f.Struck && f.By != s.By
	}
	require.Equal(t, st.Held() && !byOther, st.Alone)
}

// requireLooks: a sign-off names the newest looks that are enough, and one fewer would not be; all that count where they are not.
func (x slow) requireLooks(t *rapid.T, count, named []training.Fact) {
	require.Equal(t, entries(count[len(count)-len(named):]), entries(named))
	require.Equal(t, x.enough(count), x.enough(named))
	if x.enough(named) {
		require.False(t, x.enough(named[1:]), "fewer would be enough")
	} else {
		require.Equal(t, len(count), len(named))
	}
}

func entries(facts []training.Fact) []training.Ref {
	list := []training.Ref{}
	for _, f := range facts {
		list = append(list, f.Entry)
	}
	return list
}

func TestLaterKnowledgeNeverChangesAnAnswer(t *testing.T) {
	late := 0
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		all, then := h.asked(a.Known), h.asked(a.Known)
		known := func(facts []training.Fact) []training.Fact {
			kept := slices.DeleteFunc(slices.Clone(facts), func(f training.Fact) bool { return f.Recorded > a.Known })
			late += len(facts) - len(kept)
			return kept
		}
		for i := range then.Readings {
			r := &then.Readings[i].History
			r.Facts, r.Teaching, r.Uses = known(r.Facts), known(r.Teaching), known(r.Uses)
		}
		require.Equal(t, training.StandingOf(then, a), training.StandingOf(all, a))
		require.Equal(t, training.Missing(then, a), training.Missing(all, a))
		require.Equal(t, training.Looks(then, a), training.Looks(all, a))
	})
	require.Positive(t, late, "no history held an entry that was recorded later")
}

func TestReasonsAreNeverEmpty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		st := training.StandingOf(h.asked(a.Known), a)
		require.NotEmpty(t, st.Reasons, "%s\n%s", st.Word, h)
		for _, r := range st.Reasons {
			require.NotRegexp(t, ` on $| on ;|\(\)| since $| until $|, until ,`, r.Text, "%s", h)
		}
	})
}
