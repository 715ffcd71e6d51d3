package training

import (
	"math"
	"time"

	"example.org/ringtrue/training/civil"
)

// Case is what a question about one worker and one skill is asked of: the record, as the editions in force read it one
// after the other. Every moment is judged by the reading in force then, all of the past included.
type Case struct {
	Zone     *time.Location   // of the book's days; nil = UTC
	Readings []Reading        // by From, at least one; those known by the moment asked
	Marks    func(Ref) []Mark // what a look saw, by its entry; nil = nobody can tell, so no criterion counts as met
}

// Reading is the record as one edition of curriculum and house rules reads it, from a moment on.
type Reading struct {
	From    int64 // Unix seconds; the first reads what came before it as well
	Skill   Skill
	Rules   Rules
	History History
}

// Judged makes a case that one edition judges throughout.
func Judged(s Skill, h History, r Rules) Case {
	return Case{Readings: []Reading{{From: math.MinInt64, Skill: s, Rules: r, History: h}}}
}

// reading is the place of the reading in force at a second.
func (c *Case) reading(on int64) int {
	i := 0
	for i+1 < len(c.Readings) && c.Readings[i+1].From <= on {
		i++
	}
	return i
}

func (c *Case) zone() *time.Location {
	if c.Zone == nil {
		return time.UTC
	}
	return c.Zone
}

func (c *Case) start(d civil.Day) int64 { return d.Start(c.zone()).Unix() }

func (c *Case) dayOf(at int64) civil.Day { return civil.Of(time.Unix(at, 0), c.zone()) }

// walk takes what had happened by the moment asked, as the reading in force then has it.
func (c *Case) walk(a Asked) *timeline { return c.walkBy(c.reading(a.On), a) }

func (c *Case) walkBy(reading int, a Asked) *timeline {
	r := &c.Readings[reading]
	return walk(r.Skill, r.History, r.Rules, c.Marks, a)
}
