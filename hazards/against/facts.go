package against

import (
	"math"
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// Facts are what the book knew at one moment of the day of one use. Moments are Unix seconds; each list is in the order in which it
// happened. Nothing in them was recorded later, and nothing had been struck by then.
type Facts struct {
	Checks []Check // of that day, on all blocks
	Joins  []Join  // of the worker, that day
	Person []Spell // of the worker; the first from the beginning of the use's span or earlier
	Downs  []Down  // what kept the saw out of use
}

// Check is one check of a day with the answers that followed from it.
type Check struct {
	Entry   training.Ref
	Block   string
	Answers []Answer // that of the check first, then one for each change
}

// Answer is what a check, or a change of its day, said from a moment on.
type Answer struct {
	Entry   training.Ref
	From    int64
	Hold    bool
	Word    hazards.Verdict
	MovedTo string // block to which the crew went, "" = it stayed
	Crew    []hazards.CrewLine
	Saws    []hazards.SawUse
	Stops   []Stop // findings that stop a person
}

// Stop is a finding that stops one person.
type Stop struct{ Worker, Finding string }

// StopsOf gathers the findings of an assessment that stop a person.
func StopsOf(a hazards.Assessment) []Stop {
	var stops []Stop
	for _, f := range a.Findings {
		if f.Effect == hazards.StopPerson {
			stops = append(stops, Stop{f.Subject, f.ID})
		}
	}
	return stops
}

// Join is one acknowledgement of a check by the worker.
type Join struct {
	Entry training.Ref
	Block string
	At    int64
	Saw   string // "" = without one
}

// Spell is what the book held of a worker from a moment on.
type Spell struct {
	From     int64
	Oriented bool
	Groups   []Held // of saw work
}

// Held is what a worker might do in one task group. Lack is the entry that keeps the level from being higher, 0 = something is missing.
type Held struct {
	Group      string
	Level      training.Level
	Release    training.Ref // in force, 0 = none
	Lack       training.Ref
	Restricted []Skill // restricted skills that the group needs
}

// Skill is a restricted skill with the entry that restricted it.
type Skill struct {
	ID    string
	Entry training.Ref
}

// Down is a span in which a saw was out of use: tagged, with a defect that stops it, or retired.
type Down struct {
	Entry   training.Ref
	From    int64
	Until   int64 // first second no longer, Open = not cleared
	Retired bool
}

// Open is the end of what has not ended.
const Open = math.MaxInt64

// placed lists the checks that bear on a use: those of its block, or to which a crew of another block moved; without a block those of
// blocks that the worker joined, else those with the worker, else with the saw, on the sheet.
func (f Facts) placed(u Use) []Check {
	pick := func(is func(Check) bool) []Check {
		return slices.DeleteFunc(slices.Clone(f.Checks), func(c Check) bool { return !is(c) })
	}
	if u.Block != "" {
		return pick(func(c Check) bool { return c.Block == u.Block || c.movedTo(u.Block) })
	}
	joined := pick(func(c Check) bool {
		return slices.ContainsFunc(f.Joins, func(j Join) bool { return j.Block == c.Block })
	})
	if len(joined) > 0 {
		return joined
	}
	if named := pick(func(c Check) bool { _, on := c.Answers[0].line(u.Worker); return on }); u.Worker != "" && len(named) > 0 {
		return named
	}
	return pick(func(c Check) bool { return c.Answers[0].lists(u.Saw) })
}

func (c Check) movedTo(block string) bool {
	return slices.ContainsFunc(c.Answers, func(a Answer) bool { return a.MovedTo == block })
}

// line is the line of a worker on the sheet.
func (a Answer) line(worker string) (hazards.CrewLine, bool) {
	i := slices.IndexFunc(a.Crew, func(c hazards.CrewLine) bool { return c.Worker == worker })
	if i < 0 {
		return hazards.CrewLine{}, false
	}
	return a.Crew[i], true
}

// lists reports whether a saw is on the sheet.
func (a Answer) lists(saw string) bool {
	return slices.ContainsFunc(a.Saws, func(s hazards.SawUse) bool { return s.ID == saw })
}

// steps are the moments within the span of a use at which something may change, its beginning and end with them.
func (d day) steps() []int64 {
	all := []int64{d.use.From, d.use.Until}
	for _, c := range d.checks {
		for _, a := range c.Answers {
			all = append(all, a.From)
		}
	}
	for _, j := range d.facts.Joins {
		all = append(all, j.At)
	}
	for _, s := range d.facts.Person {
		all = append(all, s.From)
	}
	for _, o := range d.facts.Downs {
		all = append(all, o.From, o.Until)
	}
	all = slices.DeleteFunc(all, func(t int64) bool { return t < d.use.From || t > d.use.Until })
	slices.Sort(all)
	return slices.Compact(all)
}
