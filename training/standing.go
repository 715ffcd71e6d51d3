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

// Standing is where a worker stands with a skill at a moment. Until is the first day on which the word changes if
// nothing more is recorded, or None.
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
	st := t.standing(h.Taught)
	st.LastMet = t.latest == OutcomeMet
	st.Alone = st.Held() && t.alone()
	return st
}

// Missing lists what a sign-off of the skill still lacks; nil means that it may be signed off.
func Missing(s Skill, h History, r Rules, a Asked) []string {
	t := walk(s, h, r, a)
	if len(t.restricted) > 0 {
		return append([]string{"the skill is restricted; a lift has to come first"}, t.missing(h.Taught)...)
	}
	return t.missing(h.Taught)
}

// Looks returns the observations a sign-off would rest on at the moment asked, oldest first.
func Looks(s Skill, h History, r Rules, a Asked) []Fact {
	t := walk(s, h, r, a)
	return t.last()
}

func (t *timeline) standing(taught bool) Standing {
	switch {
	case len(t.restricted) > 0:
		return Standing{Word: Restricted, Until: civil.None, Reasons: t.whyRestricted()}
	case t.signOff != nil && t.lapsed != civil.None:
		return t.lapsedStanding(taught)
	case t.signOff != nil:
		return t.signedOffStanding()
	}
	missing := t.missing(taught)
	if missing == nil {
		return Standing{Word: ToDecide, Until: t.evidenceEnd(), Reasons: append(t.whyNoSignOff(), t.evidence()...)}
	}
	reasons := t.whyNoSignOff()
	for _, m := range missing {
		reasons = append(reasons, Reason{Text: m})
	}
	return Standing{Word: UnderTraining, Until: civil.None, Reasons: reasons}
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

func (t *timeline) signedOffStanding() Standing {
	end := t.signOff.Until
	warn := end - civil.Day(t.rules.WarningDays)
	gap := t.gapEnd()
	st := Standing{Word: SignedOff, Until: civil.Min(warn, gap), SignOff: t.signOff.Entry}
	text := fmt.Sprintf("signed off on %s, until %s", t.signOff.Day, end)
	if t.asked.Day >= warn {
		st.Word, st.Until, text = Due, civil.Min(end, gap), text+", renew"
	}
	st.Reasons = []Reason{{text, t.signOff.Entry}}
	if gap != civil.None {
		st.Reasons = append(st.Reasons, Reason{fmt.Sprintf("last used on %s; %d days away from the saw end it on %s", t.lastUse, t.rules.CurrencyDays, gap), t.lastUseFact})
	}
	return st
}

func (t *timeline) lapsedStanding(taught bool) Standing {
	st := Standing{Word: Lapsed, Until: civil.None, ByGap: t.byGap, SignOff: t.signOff.Entry}
	signed := Reason{fmt.Sprintf("signed off on %s, until %s", t.signOff.Day, t.signOff.Until), t.signOff.Entry}
	if t.byGap {
		away := Reason{fmt.Sprintf("ran out on %s: %d days away from the saw", t.lapsed, t.rules.CurrencyDays), 0}
		st.Reasons = []Reason{away, signed, {Text: "one met return look renews it to the old end"}}
		return st
	}
	st.Reasons = []Reason{{Text: "ran out on " + t.lapsed.String()}, signed}
	for _, m := range t.missing(taught) {
		st.Reasons = append(st.Reasons, Reason{Text: m})
	}
	return st
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
	if last := t.last(); len(last) > 0 {
		f := last[len(last)-1]
		return append(reasons, Reason{"met again on " + f.Day.String() + "; a lift that names this look may follow", f.Entry})
	}
	return append(reasons, Reason{Text: "only a lift that names a later met look lets practice resume"})
}

// whyNoSignOff says what became of an earlier sign-off.
func (t *timeline) whyNoSignOff() []Reason {
	var reasons []Reason
	if t.void != nil {
		reasons = append(reasons, Reason{fmt.Sprintf("the sign-off of %s no longer counts: an entry it names was struck", t.void.Day), t.void.Entry})
	}
	if t.ended != nil && t.ended.Kind == FactWithdrawal {
		reasons = append(reasons, Reason{"the sign-off was withdrawn on " + t.ended.Day.String(), t.ended.Entry})
	}
	if t.lifted != nil {
		reasons = append(reasons, Reason{"the restriction was lifted on " + t.lifted.Day.String() + "; the level comes back with a new sign-off", t.lifted.Entry})
	}
	return reasons
}

func (t *timeline) evidence() []Reason {
	var reasons []Reason
	for _, f := range t.last() {
		how := "unannounced"
		if f.Announced() {
			how = "announced"
		}
		reasons = append(reasons, Reason{fmt.Sprintf("met on %s, %s", f.Day, how), f.Entry})
	}
	return reasons
}
