package risk

import (
	"errors"
	"fmt"
	"sort"
)

// The score ranks what to talk about first; it is no probability and does not say that work is safe. Chance is the
// sum of the weights of the factors present, after what is left of each when its best control has acted. Harm starts
// at a severity fixed per topic. Chance and harm are kept apart until the matrix joins them. All of it is a company
// choice, checked against eighteen worked mornings.

// Weights of a factor: how well it is known to matter.
const (
	Weak     = 1 // one guidance source, or common practice
	Moderate = 2 // two or more guidance sources that do not copy each other
	Strong   = 3 // an injury study or recorded cases, and guidance that agrees
)

// Factor is something that raises the chance of harm and can be known before the start. Experience factors belong to
// a person: only the largest counts and no control lowers it. Away, Technical and Organised say what each kind of
// control would be; "" where none is known.
type Factor struct {
	ID         string
	Words      string // as said to the crew
	Weight     int    // Weak, Moderate or Strong
	Experience bool
	Source     string // and whether it was read
	Away       string
	Technical  string
	Organised  string
}

// Control acts on the one factor it names. Several may name the same factor; only the best counts.
type Control struct {
	Factor string
	Kind   Kind
}

// Line is what one factor adds. By is the best control that acted, or 0.
type Line struct {
	Factor Factor
	Left   int // points after the best control
	By     Kind
}

// Rated is a sum of points with the probability and the level that follow from it.
type Rated struct {
	Points      int
	Probability byte // 'A' to 'D'
	Level       Level
}

// Score is one topic scored for one piece of ground, person or site. Lines holds every factor that counts, the one
// with most points left first.
type Score struct {
	Severity      int // 1 to 4, 1 the worst
	Before, After Rated
	Lines         []Line
}

// Probability turns points into a probability letter: 0-2 D, 3-5 C, 6-8 B, 9 and more A (company choice). E and F
// are never given to work that is done today.
func Probability(points int) byte {
	switch {
	case points >= 9:
		return 'A'
	case points >= 6:
		return 'B'
	case points >= 3:
		return 'C'
	}
	return 'D'
}

// Severity is the start value, one step worse when help comes later than the house figure, never below 1.
func Severity(start int, helpLate bool) int {
	if helpLate && start > 1 {
		return start - 1
	}
	return start
}

// Rate scores the factors at a severity of 1 to 4, before and after the controls. It refuses a severity outside
// that, a weight outside 1 to 3, and a factor that stands twice; every problem is named.
func Rate(severity int, factors []Factor, controls []Control) (Score, error) {
	s := Score{Severity: severity}
	if err := check(factors); err != nil {
		return s, err
	}
	best := bestKinds(controls)
	for _, f := range counted(factors) {
		l := Line{Factor: f, Left: f.Weight}
		if k := best[f.ID]; !f.Experience && k.Leaves(f.Weight) < f.Weight {
			l.Left, l.By = k.Leaves(f.Weight), k
		}
		s.Before.Points += f.Weight
		s.After.Points += l.Left
		s.Lines = append(s.Lines, l)
	}
	sortLines(s.Lines)
	return s, errors.Join(s.Before.rate(severity), s.After.rate(severity))
}

func (r *Rated) rate(severity int) error {
	r.Probability = Probability(r.Points)
	l, err := Of(severity, r.Probability)
	r.Level = l
	return err
}

func check(factors []Factor) error {
	var problems []error
	seen := make(map[string]bool, len(factors))
	for _, f := range factors {
		if f.Weight < Weak || f.Weight > Strong {
			problems = append(problems, fmt.Errorf("factor %s weighs %d; weights are 1, 2 and 3", f.ID, f.Weight))
		}
		if seen[f.ID] {
			problems = append(problems, fmt.Errorf("factor %s stands twice", f.ID))
		}
		seen[f.ID] = true
	}
	return errors.Join(problems...)
}

// counted drops every experience factor but the largest.
func counted(factors []Factor) []Factor {
	largest := -1
	for i, f := range factors {
		if f.Experience && (largest < 0 || f.Weight > factors[largest].Weight) {
			largest = i
		}
	}
	var out []Factor
	for i, f := range factors {
		if !f.Experience || i == largest {
			out = append(out, f)
		}
	}
	return out
}

func bestKinds(controls []Control) map[string]Kind {
	best := make(map[string]Kind, len(controls))
	for _, c := range controls {
		if old := best[c.Factor]; c.Kind != 0 && (old == 0 || c.Kind < old) {
			best[c.Factor] = c.Kind
		}
	}
	return best
}

func sortLines(lines []Line) {
	sort.SliceStable(lines, func(i, j int) bool {
		a, b := lines[i], lines[j]
		if a.Left != b.Left {
			return a.Left > b.Left
		}
		return a.Factor.Weight > b.Factor.Weight
	})
}

// Strongest returns the three factors with most points left; those taken away are not among them.
func (s Score) Strongest() []Line {
	var out []Line
	for _, l := range s.Lines {
		if l.Left > 0 && len(out) < 3 {
			out = append(out, l)
		}
	}
	return out
}

// Lower says what would take points off this factor: the strongest kind known for it that leaves fewer points than
// are left now. It is "" where nothing would.
func (l Line) Lower() string {
	f := l.Factor
	if f.Experience {
		return "no control lowers this: change the ground or the task"
	}
	for _, c := range []struct {
		kind Kind
		what string
	}{{TakenAway, f.Away}, {Technical, f.Technical}, {Organised, f.Organised}} {
		if c.what != "" && c.kind.Leaves(f.Weight) < l.Left {
			return c.what
		}
	}
	return ""
}
