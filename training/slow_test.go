package training_test

import (
	"flag"
	"fmt"
	"os"
	"slices"
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

// slow is a second reading of what standing means: no state carried along, every question asked of all facts again,
// days passed one by one. It shares with the code under test the types and calendar months, and nothing else.
type slow struct {
	skill  training.Skill
	rules  training.Rules
	taught []training.Fact // known, of the module
	facts  []training.Fact // known on the skill, in the order in which they count
	joins  []training.Fact // known, with a saw
	used   map[civil.Day]bool
}

// newSlow keeps what was recorded by a moment; struck entries come marked.
func newSlow(s training.Skill, h training.History, r training.Rules, known int64) slow {
	x := slow{skill: s, rules: r, used: map[civil.Day]bool{}}
	for _, f := range h.Facts {
		if f.Recorded <= known {
			x.facts = append(x.facts, f)
			if complete(f) {
				x.used[f.Day] = true
			}
		}
	}
	for _, f := range h.Teaching {
		if f.Recorded <= known && !f.Struck {
			x.taught = append(x.taught, f)
		}
	}
	for _, u := range h.Uses {
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

// restricted: there is a stop that no lift has closed. A lift that counts names a met look later than the stop.
func restricted(past []training.Fact) bool {
	return slices.ContainsFunc(past, func(stop training.Fact) bool {
		return stops(stop) && !slices.ContainsFunc(past, func(l training.Fact) bool {
			return l.Kind == training.FactLift && !l.Struck && !l.Void && slices.ContainsFunc(past, func(look training.Fact) bool {
				return wasMet(look) && !look.Struck && slices.Contains(l.Cites, look.Entry) && look.At > stop.At && after(l, look)
			})
		})
	})
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
func inForce(past []training.Fact) (s training.Fact, ok bool) {
	for _, f := range past {
		if counts(past, f) {
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
		if !counts(past, s) {
			continue
		}
		last := today
		for _, f := range past {
			if after(f, s) && (stops(f) || withdraws(f) || counts(past, f)) {
				last = min(last, f.Day)
			}
		}
		own, _, _ := x.run(past, s, last)
		days = append(days, own...)
	}
	return days
}

// evidence: the last N complete looks are all met, later than every stop, withdrawal and lapse, none too old, on
// enough days, enough of them unannounced. (A miss among them is not met; one before them does not matter.)
func (x slow) evidence(past []training.Fact, today civil.Day) bool {
	need := x.rules.Other
	if x.skill.Critical {
		need = x.rules.Critical
	}
	var looks []training.Fact
	for _, f := range past {
		if complete(f) {
			looks = append(looks, f)
		}
	}
	if len(looks) < need.Looks {
		return false
	}
	lapses := x.lapses(past, today)
	days, unannounced := map[civil.Day]bool{}, 0
	for _, look := range looks[len(looks)-need.Looks:] {
		cut := slices.ContainsFunc(past, func(f training.Fact) bool { return (stops(f) || withdraws(f)) && after(f, look) }) ||
			slices.ContainsFunc(lapses, func(d civil.Day) bool { return d > look.Day })
		if !wasMet(look) || cut || today >= look.Day.AddMonths(x.rules.EvidenceMonths) {
			return false
		}
		days[look.Day] = true
		if look.Code&training.Announced == 0 {
			unannounced++
		}
	}
	return len(days) >= need.Days && unannounced >= need.Unannounced
}

// mayBeSigned answers whether nothing is missing for a sign-off.
func (x slow) mayBeSigned(day civil.Day, on int64) bool {
	past := x.by(day, on)
	taught := slices.ContainsFunc(x.taught, func(f training.Fact) bool { return f.At <= on && f.Day <= day })
	return !restricted(past) && taught && !x.skill.Withdrawn && x.evidence(past, day)
}

func (x slow) word(day civil.Day, on int64) training.Word {
	past := x.by(day, on)
	if restricted(past) {
		return training.Restricted
	}
	if s, ok := inForce(past); ok {
		_, byEnd, byGap := x.run(past, s, day)
		switch {
		case byEnd || byGap:
			return training.Lapsed
		case int(s.Until-day) <= x.rules.WarningDays:
			return training.Due
		}
		return training.SignedOff
	}
	if x.mayBeSigned(day, on) {
		return training.ToDecide
	}
	return training.UnderTraining
}

// until asks every following day, three years long, what the standing is at its end.
func (x slow) until(a training.Asked) civil.Day {
	now := x.word(a.Day, a.On)
	for d := a.Day; d < a.Day+3*366; d++ {
		if x.word(d, endOf(d)) != now {
			return d
		}
	}
	return civil.None
}

// endOf is the last second of a day; the histories of these tests are told in UTC.
func endOf(d civil.Day) int64 { return int64(d+1)*86400 - 1 }

func endOfDay(d, known civil.Day) training.Asked {
	return training.Asked{Day: d, On: endOf(d), Known: endOf(known)}
}

func TestStandingAgreesWithSlowReading(t *testing.T) {
	seen := map[training.Word]int{}
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		for range 4 {
			a := h.drawAsked(t)
			hist := h.asked(a.Known)
			x := newSlow(h.skill, hist, h.rules, a.Known)
			st := training.StandingOf(h.skill, hist, h.rules, a)
			require.Equal(t, x.word(a.Day, a.On), st.Word, "asked %+v\n%s", a, h)
			require.Equal(t, x.until(a).String(), st.Until.String(), "until of %s, asked %+v\n%s", st.Word, a, h)
			require.Equal(t, x.mayBeSigned(a.Day, a.On), training.Missing(h.skill, hist, h.rules, a) == nil, "missing, asked %+v\n%s", a, h)
			x.requireRest(t, st, a)
			seen[st.Word]++
			if st.Until != civil.None {
				seen[st.Word+" until"]++
			}
		}
	})
	for _, w := range []training.Word{training.UnderTraining, training.ToDecide, training.SignedOff, training.Due, training.Lapsed, training.Restricted,
		training.UnderTraining + " until", training.ToDecide + " until", training.SignedOff + " until", training.Due + " until", training.Lapsed + " until", training.Restricted + " until"} {
		require.Positive(t, seen[w], "no history led to %q: %v", w, seen)
	}
}

// requireRest compares what else a standing says.
func (x slow) requireRest(t *rapid.T, st training.Standing, a training.Asked) {
	past := x.by(a.Day, a.On)
	latestMet, byOther := false, false
	for _, f := range past {
		if complete(f) {
			latestMet = wasMet(f)
		}
	}
	require.Equal(t, latestMet, st.LastMet, "latest look met")
	s, signed := inForce(past)
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

func TestLaterKnowledgeNeverChangesAnAnswer(t *testing.T) {
	late := 0
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		all := h.asked(a.Known)
		var then training.History
		for _, f := range all.Teaching {
			if f.Recorded <= a.Known {
				then.Teaching = append(then.Teaching, f)
			}
		}
		for _, f := range all.Facts {
			if f.Recorded <= a.Known {
				then.Facts = append(then.Facts, f)
			}
		}
		for _, u := range all.Uses {
			if u.Recorded <= a.Known {
				then.Uses = append(then.Uses, u)
			}
		}
		late += len(all.Facts) - len(then.Facts)
		require.Equal(t, training.StandingOf(h.skill, then, h.rules, a), training.StandingOf(h.skill, all, h.rules, a))
		require.Equal(t, training.Missing(h.skill, then, h.rules, a), training.Missing(h.skill, all, h.rules, a))
		require.Equal(t, training.Looks(h.skill, then, h.rules, a), training.Looks(h.skill, all, h.rules, a))
	})
	require.Positive(t, late, "no history held an entry that was recorded later")
}

func TestReasonsAreNeverEmpty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawHistory(t)
		a := h.drawAsked(t)
		st := training.StandingOf(h.skill, h.asked(a.Known), h.rules, a)
		require.NotEmpty(t, st.Reasons, "%s\n%s", st.Word, h)
		for _, r := range st.Reasons {
			require.NotRegexp(t, ` on $| on ;|\(\)| since $| until $|, until ,`, r.Text, "%s", h)
		}
	})
}
