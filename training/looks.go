package training

import (
	"slices"
	"strings"
)

// LookNeed is what one worker still needs looks at.
type LookNeed struct {
	Worker    string
	Saws      bool                // has been out with a saw, or is released for it: goes first
	Skills    []string            // in the order in which to look
	Observers map[string][]string // by skill, who may look at this worker
	Unseen    map[string][]string // by skill, the criteria that looks so far did not show (see Unseen)
}

// PlannedLook is one look to make: at whom, by whom, at what. By is "" where nobody may look at these skills of this worker.
type PlannedLook struct {
	Worker  string
	By      string
	Skills  []string
	Watch   []string // what looks so far did not show of these skills: "3.3 steers"
	Minutes int
	Later   int // further skills of the worker that want looks after this one
}

// LookMinutes is how long a look takes for each skill: company choice, no source. MostInLook is how many skills one look covers when the days
// are not short: company choice, no source.
const (
	LookMinutes = 5
	MostInLook  = 8
)

// PlanLooks makes one look of what each worker needs first, at most so many skills each (0: all of them, split by observer where nobody may
// see them all). People who saw come first. The observer is who may see most of the skills; of equals who has the fewest minutes so far.
func PlanLooks(needs []LookNeed, most int) []PlannedLook {
	needs = slices.Clone(needs)
	slices.SortStableFunc(needs, func(a, b LookNeed) int { return rankSaws(a) - rankSaws(b) })
	var plan []PlannedLook
	load := map[string]int{}
	for _, n := range needs {
		for left := n.Skills; len(left) > 0; {
			look := nextLook(n, left, most, load)
			load[look.By] += look.Minutes
			left = slices.DeleteFunc(slices.Clone(left), func(s string) bool { return slices.Contains(look.Skills, s) })
			if look.Later = len(left); most == 0 {
				look.Later = 0
			}
			plan = append(plan, look)
			if most > 0 && look.By != "" {
				break
			}
		}
	}
	return plan
}

func rankSaws(n LookNeed) int {
	if n.Saws {
		return 0
	}
	return 1
}

// nextLook is the look that covers the first skills left; skills that nobody may look at come together, last.
func nextLook(n LookNeed, left []string, most int, load map[string]int) PlannedLook {
	covers := map[string][]string{}
	var who []string
	for _, s := range left {
		for _, o := range n.Observers[s] {
			if !slices.Contains(who, o) {
				who = append(who, o)
			}
			if most == 0 || len(covers[o]) < most {
				covers[o] = append(covers[o], s)
			}
		}
	}
	if len(who) == 0 {
		return PlannedLook{Worker: n.Worker, Skills: left, Watch: n.watch(left)}
	}
	best := who[0]
	for _, o := range who[1:] {
		if len(covers[o]) > len(covers[best]) || len(covers[o]) == len(covers[best]) && load[o] < load[best] {
			best = o
		}
	}
	return PlannedLook{Worker: n.Worker, By: best, Skills: covers[best], Watch: n.watch(covers[best]), Minutes: LookMinutes * len(covers[best])}
}

// watch names what earlier looks left open of these skills.
func (n LookNeed) watch(skills []string) (list []string) {
	for _, s := range skills {
		if unseen := n.Unseen[s]; len(unseen) > 0 {
			list = append(list, s+" "+strings.Join(unseen, ", "))
		}
	}
	return list
}
