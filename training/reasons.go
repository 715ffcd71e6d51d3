package training

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/training/civil"
)

func (t *timeline) reasons(w Word) []Reason {
	switch w {
	case Restricted:
		return t.whyRestricted()
	case Lapsed, SignedOff, Due:
		why := t.whyLapsed
		if w != Lapsed {
			why = func() []Reason { return t.whySignedOff(w) }
		}
		return append(why(), t.whyVoid()...)
	case ToDecide:
		if t.signOff != nil {
			return slices.Concat(t.ranOut(), t.whyVoid(), t.evidence())
		}
	}
	return append(t.whyNoSignOff(), t.evidence()...)
}

// because is a reason that an entry gives.
func because(text string, f *Fact) Reason {
	r := Reason{Text: text, Entry: f.Entry}
	if f.Recorded-f.At > lateAfter {
		r.Late = f.Recorded
	}
	return r
}

// lateAfter is how many seconds after happening an entry counts as recorded late: answers show when both differ by more
// than a day.
const lateAfter = 24 * 3600

func (t *timeline) whySignedOff(w Word) []Reason {
	text := fmt.Sprintf("signed off on %s, until %s", t.signOff.Day, t.signOff.Until)
	if w == Due {
		text += ", renew"
	}
	reasons := []Reason{because(text, t.signOff)}
	if t.skill.Emergency || t.lastUse == civil.None {
		return reasons
	}
	used := "last used on " + t.lastUse.String()
	again, ends := t.usedAgain()
	if again != t.lastUse {
		used += " and again by " + again.String()
	}
	if ends < t.signOff.Until {
		used += fmt.Sprintf("; %d days away from the saw end it on %s", t.rules.CurrencyDays, ends)
	}
	return append(reasons, Reason{Text: used, Entry: t.lastUseFact})
}

// usedAgain follows the uses that the book already knows to come, as long as they keep the sign-off: the last of them, and
// the day on which days away from the saw then end it.
func (t *timeline) usedAgain() (last, ends civil.Day) {
	last = t.lastUse
	gap := civil.Day(t.rules.CurrencyDays)
	var days []civil.Day
	for i := range t.uses {
		if t.counts(&t.uses[i]) {
			days = append(days, t.uses[i].Day)
		}
	}
	for i := range t.facts {
		if f := &t.facts[i]; t.counts(f) && f.Kind == FactObservation && f.Outcome() != Incomplete {
			days = append(days, f.Day)
		}
	}
	slices.Sort(days)
	for _, d := range days {
		if d >= max(last+gap, t.signOff.Day) {
			break
		}
		last = d
	}
	return last, max(last+gap, t.signOff.Day)
}

func (t *timeline) whyLapsed() []Reason {
	reasons := t.ranOut()
	if t.byGap {
		return append(reasons, Reason{Text: "one met return look renews it to the old end"})
	}
	return append(reasons, t.evidence()...)
}

// ranOut says when a sign-off ran out, and by what.
func (t *timeline) ranOut() []Reason {
	text := "ran out on " + t.lapsed.String()
	if t.byGap {
		text += fmt.Sprintf(": %d days away from the saw", t.rules.CurrencyDays)
	}
	return []Reason{{Text: text}, because(fmt.Sprintf("signed off on %s, until %s", t.signOff.Day, t.signOff.Until), t.signOff)}
}

func (t *timeline) whyRestricted() []Reason {
	var reasons []Reason
	for _, f := range t.restricted {
		reasons = append(reasons, because(t.stopped(f), f))
	}
	if t.early != nil {
		reasons = append(reasons, because("the lift of "+t.early.Day.String()+" was recorded before that was told, and does not lift it", t.early))
	}
	if t.voidLift != nil {
		why := "the look it names was struck"
		if t.voidLift.Untrusted {
			why = "its signature is not trusted"
		}
		reasons = append(reasons, because("the lift of "+t.voidLift.Day.String()+" no longer counts: "+why, t.voidLift))
	}
	if n := len(t.looks); n > 0 {
		f := t.looks[n-1]
		return append(reasons, because("met again on "+f.Day.String()+"; a lift that names this look may follow", f))
	}
	return append(reasons, Reason{Text: "only a lift that names a later met look lets practice resume"})
}

// stopped says what restricted a skill; a missed critical criterion by its name.
func (t *timeline) stopped(f *Fact) string {
	if f.Kind != FactObservation {
		return "restricted on " + f.Day.String()
	}
	text := "a critical criterion was missed on " + f.Day.String()
	if ids := t.missedIn(f); ids != nil {
		text += ": " + strings.Join(ids, ", ")
	}
	if f.Struck {
		text += "; the look is struck, what it restricted is not"
	}
	return text
}

// missedIn names the critical criteria that a look missed; all that it missed where the skill has changed since.
func (t *timeline) missedIn(f *Fact) (ids []string) {
	var all []string
	for _, m := range t.marksOf(f) {
		if m.Seen != Missed {
			continue
		}
		all = append(all, m.Criterion)
		if c, ok := t.skill.Criterion(m.Criterion); ok && c.Critical {
			ids = append(ids, m.Criterion)
		}
	}
	if ids == nil {
		return all
	}
	return ids
}

// whyNoSignOff says what became of an earlier sign-off.
func (t *timeline) whyNoSignOff() []Reason {
	reasons := t.whyVoid()
	if t.withdrawn != nil {
		reasons = append(reasons, because("the sign-off was withdrawn on "+t.withdrawn.Day.String(), t.withdrawn))
	}
	if t.lifted != nil {
		reasons = append(reasons, because("the restriction was lifted on "+t.lifted.Day.String()+"; the level comes back with a new sign-off", t.lifted))
	}
	return reasons
}

// whyVoid says why sign-offs do not count that came after the one that does.
func (t *timeline) whyVoid() []Reason {
	var reasons []Reason
	for _, v := range t.voids {
		reasons = append(reasons, because(fmt.Sprintf("the sign-off of %s no longer counts: %s", v.signOff.Day, v.why), v.signOff))
	}
	return reasons
}

// evidence says what a sign-off lacks, or what it would rest on.
func (t *timeline) evidence() []Reason {
	var reasons []Reason
	for _, m := range t.missing() {
		reasons = append(reasons, Reason{Text: m})
	}
	if reasons != nil {
		return reasons
	}
	for _, f := range t.named() {
		how := "unannounced"
		if f.Announced() {
			how = "announced"
		}
		reasons = append(reasons, because(fmt.Sprintf("met on %s, %s", f.Day, how), f))
	}
	return reasons
}
