package training

import "example.org/ringtrue/training/civil"

// Step is a standing reached at a moment, with its reasons.
type Step struct {
	At       int64 // Unix seconds
	Day      civil.Day
	Standing Standing
}

// StepsBetween lists every change of standing after the moment from and up to the moment until, in order: those that
// an entry made and those that only time made. dayStart gives the first second of a day in the book's zone.
func StepsBetween(s Skill, h History, r Rules, from, until Asked, dayStart func(civil.Day) int64) []Step {
	var steps []Step
	now := from
	st := StandingOf(s, h, r, now)
	for {
		next := nextMoment(h, st, now, until, dayStart)
		if next == nil {
			return steps
		}
		now = *next
		after := StandingOf(s, h, r, now)
		if after.Word != st.Word {
			steps = append(steps, Step{now.On, now.Day, after})
		}
		st = after
	}
}

// nextMoment is the next moment at which the standing may change: the next fact, or the day on which it runs out.
func nextMoment(h History, st Standing, now, until Asked, dayStart func(civil.Day) int64) *Asked {
	next := Asked{Day: until.Day, On: until.On + 1, Known: until.Known}
	for _, list := range [][]Fact{h.Facts, h.Teaching} {
		for _, f := range list {
			if f.At > now.On && f.At < next.On {
				next.On, next.Day = f.At, f.Day
			}
		}
	}
	if st.Until != civil.None && st.Until > now.Day && dayStart(st.Until) < next.On {
		next.On, next.Day = dayStart(st.Until), st.Until
	}
	if next.On > until.On {
		return nil
	}
	return &next
}
