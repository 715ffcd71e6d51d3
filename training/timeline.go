package training

import (
	"slices"

	"example.org/ringtrue/training/civil"
)

// History is what the book holds about one worker and one skill: the facts on the skill itself, in any order, and
// the uses (joined a tailgate with a saw under a task group that needs the skill) in the order of Sort. What was
// recorded after the moment asked is passed over. Teaching are the attendances and credits of the skill's module, in
// any order.
type History struct {
	Facts    []Fact
	Uses     []Fact
	Teaching []Fact
}

// timeline is where a worker stands with a skill after walking through its facts up to the end of today.
type timeline struct {
	skill Skill
	rules Rules
	asked Asked
	today civil.Day
	on    int64  // second of today
	facts []Fact // not yet walked, in order
	uses  []Fact // not yet walked, in order
	teach []Fact // all of them
	marks func(Ref) []Mark

	looks       []*Fact // observations that may still be evidence, oldest first; all met
	met         []*Fact // every met look, struck ones aside, for lifts to name
	restricted  []*Fact // open restrictions
	lastStop    *Fact   // the last restriction, lifted or not
	lifted      *Fact   // the lift that closed the last restriction, until a sign-off follows
	voidLift    *Fact   // a lift that would close an open restriction, but the look it names was struck
	early       *Fact   // a lift that would close an open restriction, but was recorded before it
	signOff     *Fact   // the sign-off that counts
	voids       []void  // sign-offs since that do not count
	withdrawn   *Fact   // the withdrawal that ended the last sign-off
	cut         string  // what last put earlier looks out of count, "" if nothing did
	cutDay      civil.Day
	latest      Outcome // of the latest complete look, 0 without
	lapsed      civil.Day
	byGap       bool
	lastUse     civil.Day
	lastUseFact Ref
}

// void is a sign-off that does not count, and why.
type void struct {
	signOff *Fact
	why     string
}

// walk runs through the facts that had happened by the moment asked. Struck facts come marked.
func walk(s Skill, h History, r Rules, marks func(Ref) []Mark, a Asked) *timeline {
	t := &timeline{skill: s, rules: r, asked: a, facts: h.Facts, uses: h.Uses, teach: h.Teaching, marks: marks, lapsed: civil.None, lastUse: civil.None}
	if !sorted(t.facts) {
		t.facts = slices.Clone(t.facts)
		Sort(t.facts)
	}
	t.looks, t.met = make([]*Fact, 0, len(t.facts)), make([]*Fact, 0, len(t.facts))
	t.walkTo(a.Day, a.On)
	return t
}

// walkTo takes what happened by a day and a second of it, and lets pass the time until then.
func (t *timeline) walkTo(day civil.Day, on int64) {
	for len(t.facts) > 0 && t.facts[0].At <= on && t.facts[0].Day <= day {
		f := &t.facts[0]
		t.facts = t.facts[1:]
		if f.Recorded > t.asked.Known {
			continue
		}
		t.useTo(f.Day, f.At)
		t.lapseBy(f.Day)
		t.take(f)
	}
	t.useTo(day, on)
	t.lapseBy(day)
	t.today, t.on = day, on
}

// taught reports whether the module was attended or credited by now.
func (t *timeline) taught() bool {
	_, ok := TaughtBy(t.teach, Asked{t.today, t.on, t.asked.Known})
	return ok
}

// nextEntry is the second of the next fact that may change the standing, never without one. A join with a saw can do so only
// where nothing but being away stands against a decision.
func (t *timeline) nextEntry() int64 {
	next := int64(never)
	if len(t.facts) > 0 {
		next = t.facts[0].At
	}
	for i := range t.teach {
		if t.teach[i].At > t.on {
			next = min(next, t.teach[i].At)
		}
	}
	if len(t.uses) > 0 && (t.signOff == nil || t.lapsed != civil.None) {
		next = min(next, t.nextUse())
	}
	return next
}

// nextUse is the second of the next use after a time away that stands against a decision.
func (t *timeline) nextUse() int64 {
	if !t.away() || len(t.counting()) < t.rules.For(t.skill).Looks {
		return never
	}
	for i := range t.uses {
		if u := &t.uses[i]; t.counts(u) {
			return u.At
		}
	}
	return never
}

// counts reports whether a use is one: known, and not struck.
func (t *timeline) counts(u *Fact) bool { return !u.Struck && u.Recorded <= t.asked.Known }

// useTo takes the uses until then. Only one that comes after a gap can find the sign-off lapsed; its end is seen to by
// whoever takes the next fact.
func (t *timeline) useTo(day civil.Day, on int64) {
	n, gap := 0, civil.Day(t.rules.CurrencyDays)
	for ; n < len(t.uses) && t.uses[n].At <= on && t.uses[n].Day <= day; n++ {
		u := &t.uses[n]
		if !t.counts(u) {
			continue
		}
		if t.lastUse == civil.None || u.Day-t.lastUse >= gap {
			t.lapseBy(u.Day)
		}
		t.lastUse, t.lastUseFact = u.Day, u.Entry
	}
	t.uses = t.uses[n:]
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

// gapEnd is the day on which days away from the saw end the sign-off: None for skills without a gap and when it has
// lapsed already. Days before the sign-off count too, but it cannot lapse before it was made. Where no use is known
// they count from the sign-off.
func (t *timeline) gapEnd() civil.Day {
	if t.skill.Emergency || t.lapsed != civil.None {
		return civil.None
	}
	from := t.lastUse
	if from == civil.None {
		from = t.signOff.Day
	}
	return max(from+civil.Day(t.rules.CurrencyDays), t.signOff.Day)
}

func (t *timeline) lapse(day civil.Day, byGap bool) {
	t.lapsed, t.byGap = day, byGap
	t.looks = slices.DeleteFunc(t.looks, func(f *Fact) bool { return f.Day < day })
	t.cut, t.cutDay = "it ran out", day
}

func (t *timeline) take(f *Fact) {
	if f.Kind == FactObservation {
		t.look(f)
		return
	}
	if f.Struck {
		return
	}
	switch f.Kind {
	case FactSignOff:
		t.signed(f)
	case FactWithdrawal:
		t.withdraw(f)
	case FactRestriction:
		t.restrict(f, "the restriction")
	case FactLift:
		t.lift(f)
	}
}

// look takes one observation. A struck one is no evidence, but what it restricted stays restricted.
func (t *timeline) look(f *Fact) {
	if f.Outcome() == CriticalMissed {
		t.restrict(f, "the miss")
	}
	if f.Struck || f.Outcome() == Incomplete {
		return
	}
	t.lastUse, t.lastUseFact = f.Day, f.Entry
	t.latest = f.Outcome()
	if f.Outcome() != OutcomeMet {
		t.looks, t.cut, t.cutDay = nil, "the miss", f.Day
		return
	}
	t.looks = append(t.looks, f)
	t.met = append(t.met, f)
	if t.signOff != nil && t.byGap {
		t.lapsed, t.byGap = civil.None, false // the return look renews to the old end
	}
}

func (t *timeline) signed(f *Fact) {
	if why := t.against(f); why != "" {
		t.voids = append(t.voids, void{f, why})
		return
	}
	t.signOff, t.voids, t.withdrawn, t.lifted, t.lapsed, t.byGap = f, nil, nil, nil, civil.None, false
}

// against says why a sign-off does not count, or "". One that was made in ignorance of a restriction, as another
// laptop may, gives nothing back when that is lifted: the level comes back by a sign-off on looks after the miss.
func (t *timeline) against(f *Fact) string {
	switch {
	case f.Untrusted:
		return "its signature is not trusted"
	case f.Void:
		return "an entry it names was struck"
	case f.Until == civil.None:
		return "it names no end"
	case len(t.restricted) > 0:
		return "the skill was restricted then"
	case t.lastStop != nil && slices.ContainsFunc(t.met, func(m *Fact) bool { return m.At <= t.lastStop.At && slices.Contains(f.Cites, m.Entry) }):
		return "it names a look from before the restriction on " + t.lastStop.Day.String()
	}
	return ""
}

// end ends a sign-off and puts earlier looks out of count.
func (t *timeline) end(f *Fact, cut string) {
	t.signOff, t.looks, t.lapsed, t.byGap = nil, nil, civil.None, false
	t.cut, t.cutDay = cut, f.Day
}

func (t *timeline) withdraw(f *Fact) {
	if t.signOff != nil {
		t.withdrawn = f
	}
	t.end(f, "the withdrawal")
}

func (t *timeline) restrict(f *Fact, cut string) {
	t.end(f, cut)
	t.restricted, t.lastStop = append(t.restricted, f), f
	t.withdrawn, t.lifted, t.voidLift, t.early = nil, nil, nil, nil
}

// lift closes the restrictions that were recorded before it and open before a met look it names.
func (t *timeline) lift(f *Fact) {
	if f.Void {
		t.voidLift = f
		return
	}
	open := len(t.restricted)
	t.restricted = slices.DeleteFunc(t.restricted, func(r *Fact) bool {
		later := slices.ContainsFunc(t.met, func(m *Fact) bool { return r.At < m.At && slices.Contains(f.Cites, m.Entry) })
		if later && recordedAfter(r, f) {
			t.early = f
			return false
		}
		return later
	})
	if open > 0 && len(t.restricted) == 0 {
		t.lifted = f
	}
}

// recordedAfter reports whether a was recorded after b.
func recordedAfter(a, b *Fact) bool {
	return a.Recorded > b.Recorded || a.Recorded == b.Recorded && a.Entry > b.Entry
}
