package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/ringtrue/training"
)

// At a terminal the standing of one worker begins with what it comes to, stops first, and the skills follow in that order.

// wordOrder is the order in which standings are looked at, the most urgent first, with the words that head them.
var wordOrder = append(slices.Clone(matrixHeads), []struct {
	word training.Word
	says string
}{{training.UnderTraining, "under training"}, {training.SignedOff, "signed off"}}...)

// urgentFirst says which skills stand how, and gives the rows in that order.
func (a *app) urgentFirst(rows []standingRow, std standards) []standingRow {
	var out []standingRow
	for _, w := range wordOrder {
		var ids []string
		for _, r := range rows {
			if r.Standing == string(w.word) {
				ids, out = append(ids, r.Skill), append(out, r)
			}
		}
		if len(ids) > 0 && len(rows) > 1 {
			a.say("%-15s %s", w.says, modulesWhole(ids, std))
		}
	}
	return out
}

// modulesWhole lists skills, those of a whole module by its id: "M1, M2, 3.1".
func modulesWhole(ids []string, std standards) string {
	var out []string
	for _, m := range std.Modules {
		var in, all []string
		for _, s := range m.Skills {
			if s.Withdrawn {
				continue
			}
			all = append(all, s.ID)
			if slices.Contains(ids, s.ID) {
				in = append(in, s.ID)
			}
		}
		if len(in) == len(all) && len(in) > 1 {
			in = []string{m.ID}
		}
		out = append(out, in...)
	}
	return fmt.Sprintf("%s: %s", howMany(len(ids), "skill"), strings.Join(out, ", "))
}

// howMany is a number with its noun.
func howMany(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// aboutSkill is a reason about one skill, with or without the entry that says so.
var aboutSkill = regexp.MustCompile(`^(gate )?skill (\S+?)(:| is| was) (.*?)( \(entry [^)]*\))?$`)

// sameOnce says a reason that several skills share once, at the place of the first, with all their ids.
func sameOnce(reasons []string) []string {
	of, ids := map[string]string{}, map[string][]string{} // by what is the same
	same := make([]string, len(reasons))
	for i, r := range reasons {
		if m := aboutSkill.FindStringSubmatch(r); m != nil {
			same[i] = m[1] + strings.TrimPrefix(m[3], ":") + " " + m[4]
			of[same[i]] = m[1] + "skills %s: " + m[4]
			ids[same[i]] = append(ids[same[i]], m[2])
		}
	}
	var out []string
	for i, r := range reasons {
		switch list := ids[same[i]]; {
		case len(list) < 2:
			out = append(out, r)
		case slices.Index(same, same[i]) == i:
			out = append(out, fmt.Sprintf(of[same[i]], strings.Join(list, ", ")))
		}
	}
	return out
}

// fewestAlike is how many skills with the same standing for the same reasons are said together (company choice).
const fewestAlike = 3

// apartAndAlike takes out the rows that several skills share, word for word.
func apartAndAlike(rows []standingRow) (apart []standingRow, alike [][]standingRow) {
	same := map[string][]standingRow{}
	words := func(r standingRow) string { return r.Standing + "\n" + strings.Join(r.Reasons, "\n") }
	for _, r := range rows {
		if r.Until == nil && len(r.Changes) == 0 {
			same[words(r)] = append(same[words(r)], r)
		}
	}
	for _, r := range rows {
		list := same[words(r)]
		switch {
		case r.Until != nil || len(r.Changes) > 0 || len(list) < fewestAlike:
			apart = append(apart, r)
		case list[0].Skill == r.Skill:
			alike = append(alike, list)
		}
	}
	return apart, alike
}

// alikeText prints rows that skills share.
func (a *app) alikeText(alike [][]standingRow, std standards) {
	for _, list := range alike {
		ids := make([]string, len(list))
		for i, r := range list {
			ids[i] = r.Skill
		}
		a.say("%-15s %s", list[0].Standing, modulesWhole(ids, std))
		for _, why := range list[0].Reasons {
			a.say("      - %s", why)
		}
	}
}
