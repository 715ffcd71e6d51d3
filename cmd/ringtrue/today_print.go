package main

import (
	"fmt"
	"slices"
	"strings"
)

// What waits is shown at a terminal in two lines each: what it is, then the command that sees to it. What waits for several people in
// the same words is said once.

// rankWords say how urgent something is: before the thing, and in the count of all of them.
var rankWords = map[int]struct{ heads, counts string }{
	rankStopped: {"STOPPED", "stopped"}, rankToday: {"TODAY", "before work today"}, rankOverdue: {"OVERDUE", "overdue"},
	rankDecide: {"DECIDE", "to decide"}, rankSoon: {"SOON", "soon"},
}

// Room on a screen (company choice): how many of a list are named before the rest is counted, and up to how many all are.
const (
	namedFirst = 4
	namedAll   = 6
)

// waitingFor is a thing that waits for some people.
type waitingFor struct {
	todo
	who  []string // person ids
	days []string // of the same thing on several days
}

// todayText prints what waits for a screen.
func (a *app) todayText(list []todo, people *people) {
	if len(list) == 0 {
		return
	}
	counts := map[int]int{}
	for _, t := range list {
		counts[t.Rank]++
	}
	var parts []string
	for rank := rankStopped; rank <= rankSoon; rank++ {
		if counts[rank] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", counts[rank], rankWords[rank].counts))
		}
	}
	a.say("what waits: %s", strings.Join(parts, ", "))
	for _, t := range together(list, people) {
		who := ""
		if len(t.days) > 1 {
			t.What = t.About + " " + few(t.days)
		}
		if len(t.who) > 0 && len(t.days) < 2 {
			who = few(eachOf(t.who, people.name)) + ": "
		}
		a.say("%-8s  %s%s", rankWords[t.Rank].heads, who, fewer(t.What))
		a.say("            %s", t.Next)
	}
}

// together joins what waits for several people in the same words, with WORKER in their command, at the place of the first.
func together(list []todo, people *people) []waitingFor {
	var out []waitingFor
	for _, t := range list {
		if i := slices.IndexFunc(out, func(o waitingFor) bool { return t.Day != "" && o.About == t.About && o.Rank == t.Rank }); i >= 0 {
			out[i].days = append(out[i].days, t.Day)
			out[i].Next = t.Next // of the newest
			continue
		}
		i := slices.IndexFunc(out, func(o waitingFor) bool {
			return t.Who != "" && len(o.who) > 0 && o.Rank == t.Rank && o.What == t.What &&
				forAnyone(o.Next, people.handle(o.who[0])) == forAnyone(t.Next, people.handle(t.Who))
		})
		if i >= 0 {
			out[i].who = append(out[i].who, t.Who)
			continue
		}
		out = append(out, waitingFor{t, present(t.Who), present(t.Day)})
	}
	for i, o := range out {
		if len(o.who) > 1 {
			out[i].Next = forAnyone(o.Next, people.handle(o.who[0]))
		}
	}
	return out
}

// forAnyone is a command with WORKER in the place of a short id.
func forAnyone(command, handle string) string {
	return strings.TrimSpace(strings.Replace(command+" ", " "+handle+" ", " WORKER ", 1))
}

// few names the first of a long list and counts the rest.
func few(list []string) string {
	if len(list) <= namedAll {
		return strings.Join(list, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(list[:namedFirst], ", "), len(list)-namedFirst)
}

// fewer shortens the list of ids or names that ends a text, "ran out: 1.1, 1.2, 1.3, ...", where it is long.
func fewer(text string) string {
	what, list, ok := strings.Cut(text, ": ")
	items := strings.Split(list, ", ")
	if !ok || len(items) <= namedAll || slices.ContainsFunc(items, func(i string) bool { return strings.Contains(i, " ") }) {
		return text
	}
	return what + ": " + few(items)
}
