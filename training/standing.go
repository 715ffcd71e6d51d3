package training

import (
	"fmt"

	"example.org/ringtrue/training/civil"
)

// Word is a worker's standing in one skill.
type Word string

// The six standings. Held means signed off or due; everything else, and unknown, is not held.
const (
	UnderTraining Word = "under training"
	ToDecide      Word = "to decide" // the evidence is complete, nobody has decided; works as under training
	SignedOff     Word = "signed off"
	Due           Word = "due" // signed off, and its end is near
	Lapsed        Word = "lapsed"
	Restricted    Word = "restricted"
)

// Reason says in words why something stands as it does, and which entry says so (0: none does).
type Reason struct {
	Text  string
	Entry Ref
}

// Standing is where a worker stands with a skill at a moment. Until is the first day, that of the moment included, at
// whose end the word is another one if nothing more is recorded, or None. What the book already knew to have happened
// after the moment is recorded, and so counts for Until.
type Standing struct {
	Word    Word
	Until   civil.Day
	Reasons []Reason
	ByGap   bool // lapsed only by days away from the saw: one met return look renews
	SignOff Ref  // the sign-off in force or lapsed, 0 without
	LastMet bool // the latest complete look was met
	Alone   bool // signed off by the only person who has seen a met look
}

// Held reports whether the skill counts as held.
func (s Standing) Held() bool { return s.Word == SignedOff || s.Word == Due }

// StandingOf answers where a worker stands with a skill, by the rules in force at the moment asked.
func StandingOf(s Skill, h History, r Rules, a Asked) Standing {
	t := walk(s, h, r, a)
	word, next := t.word()
	st := Standing{Word: word, Reasons: t.reasons(word), ByGap: t.byGap, LastMet: t.latest == OutcomeMet}
	if t.signOff != nil {
		st.SignOff = t.signOff.Entry
		st.Alone = st.Held() && t.alone()
	}
	st.Until = t.until(word, next)
	return st
}

// Missing lists what a sign-off of the skill still lacks; nil means that it may be signed off.
func Missing(s Skill, h History, r Rules, a Asked) []string {
	t := walk(s, h, r, a)
	if len(t.restricted) > 0 {
		return append([]string{"the skill is restricted; a lift has to come first"}, t.missing()...)
	}
	return t.missing()
}

// Looks returns the observations a sign-off would rest on at the moment asked, oldest first.
func Looks(s Skill, h History, r Rules, a Asked) []Fact {
	var looks []Fact
	for _, f := range walk(s, h, r, a).last() {
		looks = append(looks, *f)
	}
	return looks
}

// word gives the standing at the end of today and the day on which time alone changes it, None if it does not.
func (t *timeline) word() (Word, civil.Day) {
	switch {
	case len(t.restricted) > 0:
		return Restricted, civil.None
	case t.signOff != nil && t.lapsed != civil.None:
		return Lapsed, civil.None
	case t.signOff != nil:
		end, warn := t.signOff.Until, t.warnDay()
		if t.today >= warn {
			return Due, civil.Min(end, t.gapEnd())
		}
		return SignedOff, civil.Min(warn, t.gapEnd())
	case t.missing() == nil:
		return ToDecide, t.evidenceEnd()
	}
	return UnderTraining, civil.None
}

// warnDay is the day from which a sign-off is due.
func (t *timeline) warnDay() civil.Day { return t.signOff.Until - civil.Day(t.rules.WarningDays) }

// until walks on, day of change after day of change, until the word is another one.
func (t *timeline) until(word Word, next civil.Day) civil.Day {
	for {
		day := civil.Min(next, t.nextTeaching())
		if len(t.facts) > 0 {
			day = civil.Min(day, t.facts[0].Day)
		}
		if day == civil.None {
			return civil.None
		}
		t.walkToEndOf(day)
		var now Word
		if now, next = t.word(); now != word {
			return day
		}
	}
}

func (t *timeline) reasons(w Word) []Reason {
	switch w {
	case Restricted:
		return t.whyRestricted()
	case Lapsed:
		return append(t.whyLapsed(), t.whyVoid()...)
	case SignedOff, Due:
		return append(t.whySignedOff(w), t.whyVoid()...)
	}
	return append(t.whyNoSignOff(), t.evidence()...)
}

// alone reports whether nobody but the signer has seen a met look.
func (t *timeline) alone() bool {
	for _, m := range t.met {
		if m.By != t.signOff.By {
			return false
		}
	}
	return true
}

func (t *timeline) whySignedOff(w Word) []Reason {
	text := fmt.Sprintf("signed off on %s, until %s", t.signOff.Day, t.signOff.Until)
	if w == Due {
		text += ", renew"
	}
	reasons := []Reason{{text, t.signOff.Entry}}
	if gap := t.gapEnd(); gap != civil.None && t.lastUse != civil.None {
		reasons = append(reasons, Reason{fmt.Sprintf("last used on %s; %d days away from the saw end it on %s", t.lastUse, t.rules.CurrencyDays, gap), t.lastUseFact})
	}
	return reasons
}

func (t *timeline) whyLapsed() []Reason {
	signed := Reason{fmt.Sprintf("signed off on %s, until %s", t.signOff.Day, t.signOff.Until), t.signOff.Entry}
	if t.byGap {
		away := Reason{fmt.Sprintf("ran out on %s: %d days away from the saw", t.lapsed, t.rules.CurrencyDays), 0}
		return []Reason{away, signed, {Text: "one met return look renews it to the old end"}}
	}
	reasons := []Reason{{Text: "ran out on " + t.lapsed.String()}, signed}
	return append(reasons, t.evidence()...)
}

func (t *timeline) whyRestricted() []Reason {
	var reasons []Reason
	for _, f := range t.restricted {
		text := "restricted on " + f.Day.String()
		if f.Kind == FactObservation {
			text = "a critical criterion was missed on " + f.Day.String()
			if f.Struck {
				text += "; the look is struck, what it restricted is not"
			}
		}
		reasons = append(reasons, Reason{text, f.Entry})
	}
	if t.voidLift != nil {
		reasons = append(reasons, Reason{"the lift of " + t.voidLift.Day.String() + " no longer counts: the look it names was struck", t.voidLift.Entry})
	}
	if last := t.last(); len(last) > 0 {
		f := last[len(last)-1]
		return append(reasons, Reason{"met again on " + f.Day.String() + "; a lift that names this look may follow", f.Entry})
	}
	return append(reasons, Reason{Text: "only a lift that names a later met look lets practice resume"})
}

// whyNoSignOff says what became of an earlier sign-off.
func (t *timeline) whyNoSignOff() []Reason {
	reasons := t.whyVoid()
	if t.withdrawn != nil {
		reasons = append(reasons, Reason{"the sign-off was withdrawn on " + t.withdrawn.Day.String(), t.withdrawn.Entry})
	}
	if t.lifted != nil {
		reasons = append(reasons, Reason{"the restriction was lifted on " + t.lifted.Day.String() + "; the level comes back with a new sign-off", t.lifted.Entry})
	}
	return reasons
}

// whyVoid says why the last sign-off does not count, if it does not.
func (t *timeline) whyVoid() []Reason {
	if t.void == nil {
		return nil
	}
	return []Reason{{fmt.Sprintf("the sign-off of %s no longer counts: %s", t.void.Day, t.voidWhy), t.void.Entry}}
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
	for _, f := range t.last() {
		how := "unannounced"
		if f.Announced() {
			how = "announced"
		}
		reasons = append(reasons, Reason{fmt.Sprintf("met on %s, %s", f.Day, how), f.Entry})
	}
	return reasons
}
