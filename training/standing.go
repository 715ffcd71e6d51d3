package training

import "example.org/ringtrue/training/civil"

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

// Reason says in words why something stands as it does, and which entry says so (0: none does). Late is when that entry was
// recorded, in Unix seconds, where that was more than a day after it happened, else 0.
type Reason struct {
	Text  string
	Entry Ref
	Late  int64
}

// Standing is where a worker stands with a skill at a moment. Until is the day of the first later moment, within the day
// asked too, at which the word is another one if nothing more is recorded, or None. What the book already knew to have
// happened after the moment, and editions it knew to come into force, are recorded and so count for Until.
type Standing struct {
	Word    Word
	Until   civil.Day
	Reasons []Reason
	ByGap   bool // lapsed only by days away from the saw: one met return look renews
	SignOff Ref  // the sign-off in force or lapsed, 0 without
	Looked  bool // there is a complete look
	LastMet bool // the latest complete look was met
	Alone   bool // signed off by the only person who has seen a met look
}

// Held reports whether the skill counts as held.
func (s Standing) Held() bool { return s.Word == SignedOff || s.Word == Due }

// StandingOf answers where a worker stands with a skill, by the editions in force at the moment asked.
func StandingOf(c Case, a Asked) Standing { return c.walker(a).standing() }

// Missing lists what a sign-off of the skill still lacks; nil means that it may be signed off.
func Missing(c Case, a Asked) []string {
	t := c.walk(a)
	if len(t.restricted) > 0 {
		return append([]string{"the skill is restricted; a lift has to come first"}, t.missing()...)
	}
	return t.missing()
}

// Unseen lists the criteria of the skill that nobody has seen met in the looks that count, by their ids, where the house rules ask for
// every one; nil while no look counts, for then everything is still to be seen.
func Unseen(c Case, a Asked) []string {
	t := c.walk(a)
	looks := t.counting()
	if len(looks) == 0 {
		return nil
	}
	return t.unseen(looks)
}

// Looks returns the observations that a sign-off at the moment asked would name, oldest first: the newest that together are
// enough, or all that count where they are not.
func Looks(c Case, a Asked) []Fact {
	var looks []Fact
	for _, f := range c.walk(a).named() {
		looks = append(looks, *f)
	}
	return looks
}

// word gives the standing at the moment reached.
func (t *timeline) word() Word {
	switch {
	case len(t.restricted) > 0:
		return Restricted
	case t.signOff != nil && t.lapsed == civil.None && t.today >= t.warnDay():
		return Due
	case t.signOff != nil && t.lapsed == civil.None:
		return SignedOff
	case t.enough():
		return ToDecide
	case t.signOff != nil:
		return Lapsed
	}
	return UnderTraining
}

// nextDay is the next day at whose beginning time alone may change the standing, None if it does not.
func (t *timeline) nextDay(w Word) civil.Day {
	switch w {
	case SignedOff:
		return civil.Min(civil.Min(t.warnDay(), t.signOff.Until), t.gapEnd())
	case Due:
		return civil.Min(t.signOff.Until, t.gapEnd())
	case ToDecide:
		day := t.awayDay()
		for _, f := range t.counting() {
			day = civil.Min(day, t.expiry(f))
		}
		return day
	}
	return civil.None
}

// warnDay is the day from which a sign-off is due.
func (t *timeline) warnDay() civil.Day { return t.signOff.Until - civil.Day(t.rules.WarningDays) }

// awayDay is the day from which a sign-off could not be made for days away from the saw.
func (t *timeline) awayDay() civil.Day {
	if t.skill.Emergency || t.lastUse == civil.None {
		return civil.None
	}
	return t.lastUse + civil.Day(t.rules.CurrencyDays)
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
