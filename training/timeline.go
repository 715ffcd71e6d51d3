package training

import (
	"slices"

	"example.org/ringtrue/training/civil"
)

// History is what the book holds about one worker and one skill, in any order: facts on the skill itself, and the
// uses (joined a tailgate with a saw under a task group that needs the skill). Taught says whether the skill's
// module was attended or credited by the moment asked.
type History struct {
	Facts  []Fact
	Uses   []Fact
	Taught bool
}

// timeline is where a worker stands with a skill after walking through its facts up to the moment asked.
type timeline struct {
	skill Skill
	rules Rules
	asked Asked

	looks       []Fact  // observations that may still be evidence, oldest first; none is incomplete
	met         []Fact  // every met look, struck ones aside, for lifts to name
	restricted  []Fact  // open restrictions
	lifted      *Fact   // the lift that closed the last restriction
	signOff     *Fact   // the sign-off that counts
	void        *Fact   // the last sign-off that does not count because named evidence was struck
	ended       *Fact   // what ended the last sign-off or put looks out of count: a miss, restriction or withdrawal
	latest      Outcome // of the latest complete look, 0 without
	lapsed      civil.Day
	byGap       bool
	lastUse     civil.Day
	lastUseFact Ref
}

// walk runs through the facts that had happened by the moment asked. The store has already left out what was not
// known; struck facts come marked.
func walk(s Skill, h History, r Rules, a Asked) *timeline {
	t := &timeline{skill: s, rules: r, asked: a, lapsed: civil.None, lastUse: civil.None}
	facts, uses := slices.Clone(h.Facts), h.Uses
	Sort(facts)
	for _, f := range facts {
		if f.At > a.On {
			break
		}
		uses = t.use(uses, f.At)
		t.lapseBy(f.Day)
		t.take(f)
	}
	t.use(uses, a.On)
	t.lapseBy(a.Day)
	return t
}

// use takes the uses up to a moment and returns the rest. Uses come sorted.
func (t *timeline) use(uses []Fact, upTo int64) []Fact {
	for len(uses) > 0 && uses[0].At <= upTo {
		if u := uses[0]; !u.Struck {
			t.lapseBy(u.Day)
			t.used(u)
		}
		uses = uses[1:]
	}
	return uses
}

func (t *timeline) used(f Fact) {
	if t.lastUse == civil.None || f.Day >= t.lastUse {
		t.lastUse, t.lastUseFact = f.Day, f.Entry
	}
}

// lapseBy lets a sign-off lapse if its end or the currency gap was reached by day. A lapse by the gap that also
// reaches the end is one by the end.
func (t *timeline) lapseBy(day civil.Day) {
	if t.signOff == nil {
		return
	}
	end := t.signOff.Until
	if gap := t.gapEnd(); gap != civil.None && gap <= day && gap < end {
		t.lapse(gap, true)
	}
	if end <= day && (t.lapsed == civil.None || t.byGap) {
		t.lapse(end, false)
	}
}

// gapEnd is the day on which days away from the saw end the sign-off, None for skills without a gap, before any
// use, and when the sign-off has lapsed already.
func (t *timeline) gapEnd() civil.Day {
	if t.skill.Emergency || t.lastUse == civil.None || t.lapsed != civil.None {
		return civil.None
	}
	return t.lastUse + civil.Day(t.rules.CurrencyDays)
}

func (t *timeline) lapse(day civil.Day, byGap bool) {
	t.lapsed, t.byGap = day, byGap
	t.looks = slices.DeleteFunc(t.looks, func(f Fact) bool { return f.Day < day })
}

func (t *timeline) take(f Fact) {
	switch f.Kind {
	case FactObservation:
		t.look(f)
	case FactSignOff:
		t.signed(f)
	case FactWithdrawal:
		if !f.Struck {
			t.end(f)
		}
	case FactRestriction:
		if !f.Struck {
			t.restrict(f)
		}
	case FactLift:
		if !f.Struck && !f.Void {
			t.lift(f)
		}
	}
}

// look takes one observation. A struck one is no evidence, but what it restricted stays restricted.
func (t *timeline) look(f Fact) {
	if f.Outcome() == CriticalMissed {
		t.restrict(f)
	}
	if f.Struck || f.Outcome() == Incomplete {
		return
	}
	t.used(f)
	t.latest = f.Outcome()
	if f.Outcome() != OutcomeMet {
		t.looks, t.ended = nil, &f
		return
	}
	t.looks = append(t.looks, f)
	t.met = append(t.met, f)
	if t.signOff != nil && t.byGap {
		t.lapsed, t.byGap = civil.None, false // the return look renews to the old end
	}
}

func (t *timeline) signed(f Fact) {
	switch {
	case f.Struck:
	case f.Void:
		t.void = &f
	default:
		t.signOff, t.void, t.lapsed, t.byGap = &f, nil, civil.None, false
	}
}

func (t *timeline) end(f Fact) {
	t.signOff, t.looks, t.ended, t.lapsed, t.byGap = nil, nil, &f, civil.None, false
}

func (t *timeline) restrict(f Fact) {
	t.end(f)
	t.restricted, t.lifted = append(t.restricted, f), nil
}

// lift closes the restrictions that were open before the met look it names.
func (t *timeline) lift(f Fact) {
	i := slices.IndexFunc(t.met, func(m Fact) bool { return slices.Contains(f.Cites, m.Entry) })
	if i < 0 {
		return
	}
	look := t.met[i]
	t.restricted = slices.DeleteFunc(t.restricted, func(r Fact) bool { return r.At < look.At })
	t.lifted = &f
}
