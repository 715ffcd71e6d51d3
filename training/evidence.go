package training

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/training/civil"
)

// counting are the looks that serve as evidence today: all that were met since the last miss, restriction, withdrawal or
// lapse, those that have become too old left out. One more met look never takes away from them.
func (t *timeline) counting() []*Fact {
	looks := t.looks
	for len(looks) > 0 && t.expiry(looks[0]) <= t.today {
		looks = looks[1:]
	}
	return looks
}

// expiry is the first day on which a look is too old.
func (t *timeline) expiry(f *Fact) civil.Day { return f.Day.AddMonths(t.rules.EvidenceMonths) }

// enough reports whether nothing is missing for a sign-off.
func (t *timeline) enough() bool {
	looks := t.counting()
	return !t.skill.Withdrawn && t.suffice(looks) && !t.away() && t.taught() && len(t.unseen(looks)) == 0
}

// suffice reports whether looks are enough by number, days, and those that were not announced.
func (t *timeline) suffice(looks []*Fact) bool {
	need := t.rules.For(t.skill)
	if len(looks) < need.Looks {
		return false
	}
	days, unannounced := spread(looks)
	return days >= need.Days && unannounced >= need.Unannounced
}

// away reports whether a sign-off made now would have run out by days away from the saw. Where no use is known they count
// from the sign-off.
func (t *timeline) away() bool {
	return !t.skill.Emergency && t.lastUse != civil.None && t.today-t.lastUse >= civil.Day(t.rules.CurrencyDays)
}

// unseen lists the criteria that none of the looks met, where the house rules ask for every one.
func (t *timeline) unseen(looks []*Fact) []string {
	if !t.rules.Coverage {
		return nil
	}
	var ids []string
	for _, c := range t.skill.Criteria {
		if !slices.ContainsFunc(looks, func(f *Fact) bool { return t.metIn(f, c.ID) }) {
			ids = append(ids, c.ID)
		}
	}
	return ids
}

func (t *timeline) metIn(f *Fact, criterion string) bool {
	return slices.ContainsFunc(t.marksOf(f), func(m Mark) bool { return m.Criterion == criterion && m.Seen == Met })
}

func (t *timeline) marksOf(f *Fact) []Mark {
	if t.marks == nil {
		return nil
	}
	return t.marks(f.Entry)
}

// named are the looks that a sign-off names: the newest that together are enough, or all that count where they are not.
func (t *timeline) named() []*Fact {
	looks := t.counting()
	for i := len(looks) - 1; i >= 0; i-- {
		if t.suffice(looks[i:]) && len(t.unseen(looks[i:])) == 0 {
			return looks[i:]
		}
	}
	return looks
}

// missing lists what stands against a sign-off, nil if nothing does.
func (t *timeline) missing() []string {
	var lacks []string
	if t.skill.Withdrawn {
		lacks = append(lacks, "the skill was withdrawn from the curriculum")
	}
	if !t.taught() {
		lacks = append(lacks, "the module was neither attended nor credited")
	}
	need, looks := t.rules.For(t.skill), t.counting()
	if len(looks) < need.Looks {
		lacks = append(lacks, fmt.Sprintf("%d of %d met observations%s%s", len(looks), need.Looks, t.since(), t.tooOld()))
	}
	days, unannounced := spread(looks)
	if days < need.Days {
		lacks = append(lacks, dayLack(looks, days, need.Days))
	}
	if unannounced < need.Unannounced {
		lacks = append(lacks, countLack(unannounced, need.Unannounced, "unannounced"))
	}
	if unseen := t.unseen(looks); len(unseen) > 0 && len(looks) > 0 {
		lacks = append(lacks, "not met yet in a look that counts: "+strings.Join(unseen, ", "))
	}
	if len(looks) >= need.Looks && t.away() { // a look that is lacking would be a use as well
		lacks = append(lacks, fmt.Sprintf("last used on %s, %d days ago or more; a met return look comes first", t.lastUse, t.rules.CurrencyDays))
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
	return fmt.Sprintf(", %d already %d months old", n, t.rules.EvidenceMonths)
}

func spread(looks []*Fact) (days, unannounced int) {
	last := civil.None
	for _, f := range looks { // in order
		if f.Day != last {
			days, last = days+1, f.Day
		}
		if !f.Announced() {
			unannounced++
		}
	}
	return days, unannounced
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
