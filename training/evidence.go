package training

import (
	"fmt"

	"example.org/ringtrue/training/civil"
)

// counting are the looks in a row that may serve as evidence on the day asked: all met, since the last miss,
// restriction, withdrawal or lapse, none too old.
func (t *timeline) counting() []*Fact {
	looks := t.looks
	for len(looks) > 0 && t.expiry(looks[0]) <= t.today {
		looks = looks[1:]
	}
	return looks
}

func (t *timeline) expiry(f *Fact) civil.Day { return f.Day.AddMonths(t.rules.EvidenceMonths) }

// last are the looks a decision rests on: the last N that count.
func (t *timeline) last() []*Fact {
	looks := t.counting()
	if n := t.rules.For(t.skill).Looks; len(looks) > n {
		looks = looks[len(looks)-n:]
	}
	return looks
}

// evidenceEnd is the day on which complete evidence becomes too old.
func (t *timeline) evidenceEnd() civil.Day {
	last := t.last()
	if len(last) == 0 {
		return civil.None
	}
	return t.expiry(last[0])
}

// missing lists what the evidence lacks, nil if it is complete.
func (t *timeline) missing() []string {
	var lacks []string
	if t.skill.Withdrawn {
		lacks = append(lacks, "the skill was withdrawn from the curriculum")
	}
	if !t.taught() {
		lacks = append(lacks, "the module was neither attended nor credited")
	}
	need, last := t.rules.For(t.skill), t.last()
	if len(last) < need.Looks {
		lacks = append(lacks, fmt.Sprintf("%d of %d met observations%s%s", len(last), need.Looks, t.since(), t.tooOld()))
	}
	days, unannounced := spread(last)
	if days < need.Days {
		lacks = append(lacks, dayLack(last, days, need.Days))
	}
	if unannounced < need.Unannounced {
		lacks = append(lacks, countLack(unannounced, need.Unannounced, "unannounced"))
	}
	return lacks
}

// since says from when on looks count, if something put earlier ones out of count.
func (t *timeline) since() string {
	if t.cut == "" {
		return ""
	}
	return fmt.Sprintf(" since %s on %s", t.cut, t.cutDay)
}

// tooOld says how many looks would count but for their age.
func (t *timeline) tooOld() string {
	n := len(t.looks) - len(t.counting())
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(", %d more than %d months old", n, t.rules.EvidenceMonths)
}

func spread(looks []*Fact) (days, unannounced int) {
	seen := map[civil.Day]bool{}
	for _, f := range looks {
		seen[f.Day] = true
		if !f.Announced() {
			unannounced++
		}
	}
	return len(seen), unannounced
}

func dayLack(looks []*Fact, days, need int) string {
	if days == 1 && len(looks) > 1 {
		all := "all"
		if len(looks) == 2 {
			all = "both"
		}
		return fmt.Sprintf("%s on %s, %d days needed", all, looks[0].Day, need)
	}
	return fmt.Sprintf("on %d of %d days", days, need)
}

func countLack(have, need int, what string) string {
	if have == 0 {
		return "none " + what
	}
	return fmt.Sprintf("%d of %d %s", have, need, what)
}
