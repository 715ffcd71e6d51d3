package training

import (
	"math"

	"example.org/ringtrue/training/civil"
)

// Change is a standing reached at a moment.
type Change struct {
	At   int64 // Unix seconds
	Word Word
}

// Step is a standing reached at a moment, with its reasons.
type Step struct {
	At       int64 // Unix seconds
	Day      civil.Day
	Standing Standing
}

// DayOf answers where a worker stands with a skill at the moment asked, and lists the changes of standing of that day up to
// then, in order: those that an entry made, those that an edition made, and at 00:00 those that only time made.
func DayOf(c Case, a Asked) (Standing, []Change) {
	w := c.walker(Asked{Day: a.Day - 1, On: c.start(a.Day) - 1, Known: a.Known})
	var changes []Change
	for w.next(a) {
		changes = append(changes, Change{w.t.on, w.word})
	}
	return w.standing(), changes
}

// StepsBetween lists every change of standing after the moment from and up to the moment until, in order: those that an
// entry or an edition made and those that only time made.
func StepsBetween(c Case, from, until Asked) []Step {
	var steps []Step
	for w := c.walker(from); w.next(until); {
		now := Asked{Day: w.t.today, On: w.t.on, Known: from.Known}
		steps = append(steps, Step{now.On, now.Day, StandingOf(c, now)})
	}
	return steps
}

// never is later than every moment that can be asked about.
const never = math.MaxInt64

// walker goes from one change of a case's standing to the next.
type walker struct {
	c     Case
	known int64
	at    int // the reading in force
	t     *timeline
	word  Word
}

func (c Case) walker(a Asked) *walker {
	w := &walker{c: c, known: a.Known, at: c.reading(a.On)}
	w.t = c.walkBy(w.at, a)
	w.word = w.t.word()
	return w
}

// next goes on to the next moment at which the standing is another one. Where there is none by the moment until, it goes
// there and reports false.
func (w *walker) next(until Asked) bool {
	for before := w.word; ; {
		on := w.nextMoment()
		if on > until.On {
			w.t.walkTo(until.Day, until.On)
			return false
		}
		w.goTo(on)
		if w.word = w.t.word(); w.word != before {
			return true
		}
	}
}

// nextMoment is the next second at which the standing may change, never if there is none.
func (w *walker) nextMoment() int64 {
	on := w.t.nextEntry()
	if w.at+1 < len(w.c.Readings) {
		on = min(on, w.c.Readings[w.at+1].From)
	}
	if day := w.t.nextDay(w.word); day != civil.None {
		on = min(on, w.c.start(day))
	}
	return on
}

// goTo passes the time to a second; where another edition comes into force by then, it reads all of it.
func (w *walker) goTo(on int64) {
	day := w.c.dayOf(on)
	if at := w.c.reading(on); at != w.at {
		w.at = at
		w.t = w.c.walkBy(at, Asked{Day: day, On: on, Known: w.known})
		return
	}
	w.t.walkTo(day, on)
}

// standing answers for the moment reached, and goes on to the next change to tell until when.
func (w *walker) standing() Standing {
	t := w.t
	st := Standing{Word: w.word, ByGap: t.byGap, Looked: t.latest != 0, LastMet: t.latest == OutcomeMet}
	if t.signOff != nil {
		st.SignOff = t.signOff.Entry
		st.Alone = st.Held() && t.alone()
	}
	st.Reasons = t.reasons(w.word)
	st.Until = civil.None
	if w.next(Asked{Day: math.MaxInt32, On: never - 1}) {
		st.Until = w.t.today
	}
	return st
}
