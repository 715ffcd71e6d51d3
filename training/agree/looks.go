package agree

import (
	"cmp"
	"slices"

	"example.org/ringtrue/training/civil"
)

// Look is one observer's look at one worker: what was said of each criterion that was seen (true = met).
type Look struct {
	Worker, Observer string
	Day              civil.Day
	Met              map[string]bool
}

// Pair is two observers' looks at the same worker and skill.
type Pair struct{ First, Second Look }

// Pairs joins looks at one skill in pairs: the same worker, different observers, at most within days apart. Each look
// stands in at most one pair; looks are taken in the order of their days.
func Pairs(looks []Look, within int) []Pair {
	sorted := slices.Clone(looks)
	slices.SortStableFunc(sorted, func(a, b Look) int { return cmp.Or(cmp.Compare(a.Worker, b.Worker), cmp.Compare(a.Day, b.Day)) })
	var pairs []Pair
	for i := 0; i+1 < len(sorted); i++ {
		a, b := sorted[i], sorted[i+1]
		if a.Worker == b.Worker && a.Observer != b.Observer && b.Day-a.Day <= civil.Day(within) {
			pairs = append(pairs, Pair{a, b})
			i++
		}
	}
	return pairs
}

// Count makes the table of one criterion over pairs: cases in which both observers saw it.
func Count(pairs []Pair, criterion string) Table {
	var t Table
	for _, p := range pairs {
		a, seenA := p.First.Met[criterion]
		b, seenB := p.Second.Met[criterion]
		switch {
		case !seenA || !seenB:
		case a && b:
			t.YesYes++
		case a:
			t.YesNo++
		case b:
			t.NoYes++
		default:
			t.NoNo++
		}
	}
	return t
}

// Cases is the number of cases in a table, Same those on which both said the same.
func (t Table) Cases() int { return t.YesYes + t.YesNo + t.NoYes + t.NoNo }

// Same counts the cases on which both said the same.
func (t Table) Same() int { return t.YesYes + t.NoNo }
