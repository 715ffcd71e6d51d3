package main

import (
	"fmt"
	"slices"
	"strings"
)

// lossLines says what workers would newly lack and what brings it back; what several share stands once, with their names.
func (a *app) lossLines(one adoption, lost []workerLoss) []string {
	if len(lost) == 0 {
		return []string{"nobody newly lacks anything"}
	}
	people, err := a.crew()
	if err != nil {
		return nil
	}
	names := map[string][]string{}
	var order []string
	for _, l := range lost {
		text := strings.Join(l.words(), "\n")
		if names[text] == nil {
			order = append(order, text)
		}
		names[text] = append(names[text], people.name(l.Worker))
	}
	var lines []string
	for _, text := range order {
		lines = append(lines, strings.Join(names[text], ", ")+":")
		for line := range strings.SplitSeq(text, "\n") {
			lines = append(lines, "  "+line)
		}
	}
	return lines
}

// words says what one worker would newly lack: levels first, because they decide about tomorrow morning.
func (l workerLoss) words() []string {
	var lines []string
	for _, g := range alikeGroups(l.Groups) {
		lines = append(lines, fmt.Sprintf("%s becomes %s: %s", g[0].Was, g[0].Is, strings.Join(eachOf(g, func(g groupLost) string { return g.Group }), ", ")))
	}
	if looks := allOf(l.Groups, func(g groupLost) []string { return g.Looks }); len(looks) > 0 {
		lines = append(lines, "a saw again after one met look at each gate skill: "+strings.Join(looks, ", "))
	}
	if offs := allOf(l.Groups, func(g groupLost) []string { return g.SignOffs }); len(offs) > 0 {
		lines = append(lines, "the level again after sign-offs of: "+strings.Join(offs, ", "))
	}
	for _, s := range l.Skills {
		switch {
		case s.Is == "":
			lines = append(lines, fmt.Sprintf("%s: %s, taught no longer", s.Skill, s.Was))
		default:
			lines = append(lines, fmt.Sprintf("%s: %s becomes %s; lacks %s", s.Skill, s.Was, s.Is, strings.Join(s.Lacks, "; ")))
		}
	}
	if len(l.Gear) > 0 {
		lines = append(lines, "equipment to issue: "+strings.Join(l.Gear, ", "))
	}
	return lines
}

// alikeGroups puts task groups together that fall from the same level to the same.
func alikeGroups(groups []groupLost) [][]groupLost {
	by := map[string][]groupLost{}
	var order []string
	for _, g := range groups {
		k := g.Was + ">" + g.Is
		if by[k] == nil {
			order = append(order, k)
		}
		by[k] = append(by[k], g)
	}
	return eachOf(order, func(k string) []groupLost { return by[k] })
}

// allOf joins what groups name, each once, in their order.
func allOf(groups []groupLost, of func(groupLost) []string) []string {
	var out []string
	for _, g := range groups {
		for _, id := range of(g) {
			if !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	return out
}
