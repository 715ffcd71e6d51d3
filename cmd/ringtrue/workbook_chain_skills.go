package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// standingOrder is the order in which the answer tells of standings: what stops first.
var standingOrder = []training.Word{training.Restricted, training.Lapsed, training.Due, training.SignedOff, training.ToDecide, training.UnderTraining}

// skills says first how many skills stood how, with the reason where one is restricted, and last of each skill what its
// standing rested on.
func (c *chain) skills(rows []standingRow) {
	var order, why []string
	of, next := map[string][]string{}, map[string]string{}
	for _, r := range rows {
		if r.Standing == string(training.Restricted) {
			why = append(why, r.Skill+": "+strings.Join(r.Reasons, "; "))
		}
		order, of[r.Standing] = append(order, r.Skill), append(of[r.Standing], r.Skill)
		if day := untilText(r); day != "" && (next[r.Standing] == "" || day < next[r.Standing]) {
			next[r.Standing] = day
		}
		s, _, _ := c.std.Skill(r.Skill)
		lines := append([]string{strings.Join(r.Reasons, "; ")}, c.behind[r.Skill]...)
		c.add(chainRow{step: stepSkills, what: "skill", of: r.Skill + " " + s.Title, state: r.Standing, words: strings.Join(lines, "\n")})
	}
	for _, word := range standingOrder {
		list := of[string(word)]
		if len(list) == 0 {
			continue
		}
		words := runs(list, order) + note("; the first changes on ", next[string(word)])
		if word == training.Restricted {
			words = strings.Join(why, "\n")
		}
		c.add(chainRow{step: stepMay, what: "skills", of: fmt.Sprintf("%d of %d", len(list), len(rows)), state: string(word), words: words})
	}
}

// lineOf says in a line what an entry means for its skill.
func (c *chain) lineOf(l evidenceLine, happened time.Time) string {
	what := l.What
	if l.Kind == training.KindObservation {
		what = lookWords(l.Data)
	}
	return fmt.Sprintf("%s  %s; %s, entry %s", happened.In(c.book.Zone()).Format(time.DateOnly), what, c.people.handle(l.By), l.Entry)
}

// lookWords says how a look ended, and of its criteria only what was not met and what was measured.
func lookWords(data []byte) string {
	var o training.Observation
	if err := ledger.Decode(data, &o); err != nil {
		return "look; the record cannot be read: " + err.Error()
	}
	how := "unannounced"
	if o.Announced {
		how = "announced"
	}
	var missed, unseen, measured []string
	for _, m := range o.Marks {
		switch {
		case m.Seen == training.Missed:
			missed = append(missed, m.Criterion+note(" ", m.Value))
		case m.Seen != training.Met:
			unseen = append(unseen, m.Criterion)
		case m.Value != "":
			measured = append(measured, m.Criterion+" "+m.Value)
		}
	}
	return fmt.Sprintf("look %s, %s", o.Outcome, how) + note(", block ", o.Block) + note("; MISSED: ", strings.Join(missed, ", ")) + note("; not seen: ", strings.Join(unseen, ", ")) +
		note("; ", strings.Join(measured, ", ")) + note("; ", o.Note)
}

// runs writes a list of skills for short: neighbours in the order of the curriculum as "1.1 to 1.4".
func runs(list, order []string) string {
	if len(list) == len(order) && len(list) > 1 {
		return fmt.Sprintf("all %d", len(list))
	}
	var out []string
	for i := 0; i < len(list); {
		at, n := slices.Index(order, list[i]), 1
		for i+n < len(list) && at+n < len(order) && order[at+n] == list[i+n] {
			n++
		}
		if n > 2 {
			out = append(out, list[i]+" to "+list[i+n-1])
		} else {
			out = append(out, list[i:i+n]...)
		}
		i += n
	}
	return strings.Join(out, ", ")
}
