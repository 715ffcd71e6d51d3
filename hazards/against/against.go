// Package against finds the uses of a saw that stand against what the book said at that moment: a hold, a tag, a restriction, a missing
// release, nobody joined. A use is a fact and is never refused; what stood against it is said beside it, twice where the two differ: by
// what the book knew when the use was recorded, and by what it knows now.
//
// Facts come in, a typed list goes out: no book, clock, printing or words. One function serves the command that records a use, the day's
// list, the screens of a check and of a worker, and the auditor's sheet.
//
// When. Some uses are told of a moment, others of a span: time at the trigger of a day, the line of a saw. One of a moment stands against
// what was said at that moment. One of a span stands against it only where the time in which nothing stood against it is shorter than the saw
// ran; where nobody said how long it ran, only if there was no such time at all. So a stop at noon does not reach back to the morning.
//
// What. Of the worker: joined, with a saw, oriented, fit, not restricted, released at the level planned, watched where in sight asks for it.
// Of the saw: not tagged, not retired, looked at that morning. Of the site: a check, and not on hold. An entry that names no worker (the line
// of a saw, fuel) is held to what its saw and the site were told only. Unknown counts as not held, as everywhere.
//
// The rules are company choice: they repeat what the check itself stops, package hazards names the sources.
package against

import (
	"cmp"
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// Use is one recorded use of a saw. From and Until are Unix seconds; equal, they are a moment, else the use lies somewhere between.
type Use struct {
	Entry  training.Ref
	Kind   Kind
	Worker string // person id, "" = the entry names nobody
	Saw    string
	Block  string // "" = not told
	From   int64
	Until  int64
	Ran    int64 // seconds at the trigger or of the engine, 0 = not told
}

// Kind says by what kind of entry a use was told.
type Kind string

// Kinds of uses.
const (
	Had       Kind = "had it"          // somebody had the saw
	Trigger   Kind = "time at trigger" // of a day, told when it was closed
	Line      Kind = "line of the saw" // its day in one line, with fuel, hours or hits on rock
	Refuelled Kind = "refuelled"
	HitRock   Kind = "filed after rock" // rock is hit by a saw that runs
)

// Code is one way in which the book said no.
type Code string

// Codes, in the order in which they are told: what stopped the site, the saw, the person, then what was left out.
const (
	OnHold        Code = "hold"
	Tagged        Code = "tagged"
	Retired       Code = "retired"
	SawDown       Code = "saw down"        // a check of that morning kept it down
	NotLookedAt   Code = "saw not checked" // it is not on the sheet
	Restricted    Code = "restricted"
	NotReleased   Code = "not released" // may not saw, or not at the level planned
	NotOriented   Code = "not oriented"
	Unfit         Code = "unfit"
	StoppedThere  Code = "stopped by the check" // for another reason: equipment, a score
	NoCheck       Code = "no check"
	NotJoined     Code = "not joined"
	NotWatched    Code = "not watched"
	JoinedWithout Code = "joined without a saw"
)

// Codes lists every code in the order in which they are told.
var Codes = []Code{OnHold, Tagged, Retired, SawDown, NotLookedAt, Restricted, NotReleased, NotOriented, Unfit, StoppedThere, NoCheck, NotJoined, NotWatched, JoinedWithout}

// Reason is one no with the entry that said it, 0 where something is missing. Of is the skill, the task group, or the finding it is about.
type Reason struct {
	Code  Code
	Entry training.Ref
	Of    string
}

// Said is what the book said of one use, by what it knew at one moment. Without reasons it said yes.
type Said struct {
	Level       training.Level // at which the worker might work, 0 where the use names none
	Group       string         // task group of that level
	Release     training.Ref
	Restriction training.Ref
	Join        training.Ref
	With        string // saw joined with, "" = without one
	Check       training.Ref
	Answer      hazards.Verdict // "" = no check
	Tag         training.Ref    // what kept the saw out of use
	Reasons     []Reason
}

// Against reports whether anything stood against the use.
func (s Said) Against() bool { return len(s.Reasons) > 0 }

// has reports whether a code is among the reasons.
func (s Said) has(codes ...Code) bool {
	return slices.ContainsFunc(s.Reasons, func(r Reason) bool { return slices.Contains(codes, r.Code) })
}

// Told is a use with the facts of its day, twice: as the book knew them when the use was recorded, and as it knows them now.
type Told struct {
	Use
	Then, Now Facts
}

// Case is a use with what the book said of it.
type Case struct {
	Use
	Then, Now Said
}

// Against reports whether anything stands, or stood, against the use.
func (c Case) Against() bool { return c.Then.Against() || c.Now.Against() }

// Differs reports whether something else stands against it now than when it was recorded.
func (c Case) Differs() bool { return !slices.EqualFunc(c.Then.Reasons, c.Now.Reasons, same) }

// Waits reports whether the use wants an answer: something stands against it now, or somebody had stopped it then, whatever became of
// that stop. What was only missing then and was entered since (a join, a check on paper) wants none.
func (c Case) Waits() bool {
	return c.Now.Against() || c.Then.has(OnHold, Tagged, Retired, SawDown, Restricted, StoppedThere)
}

// Telling is what tells against the use: what stands now, or what stood then where nothing does now.
func (c Case) Telling() Said {
	if c.Now.Against() {
		return c.Now
	}
	return c.Then
}

func same(a, b Reason) bool { return a.Code == b.Code && a.Of == b.Of }

// Find says of every use what the book said: first those that something stands against, then the others, each in the order in which they
// happened.
func Find(uses []Told) []Case {
	cases := make([]Case, len(uses))
	for i, u := range uses {
		cases[i] = Case{Use: u.Use, Then: Of(u.Use, u.Then), Now: Of(u.Use, u.Now)}
	}
	slices.SortStableFunc(cases, func(a, b Case) int {
		if a.Against() != b.Against() {
			if a.Against() {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.Until, b.Until), cmp.Compare(a.Entry, b.Entry))
	})
	return cases
}

// Of says what the book said of one use by facts as known at one moment.
func Of(u Use, f Facts) Said {
	d := day{use: u, facts: f, checks: f.placed(u)}
	if u.Until <= u.From {
		return d.at(u.From)
	}
	return d.between()
}

// day is one use with the checks of its place.
type day struct {
	use    Use
	facts  Facts
	checks []Check
}

// between puts together what was said within the span of a use. Everything known is a step in time, so what holds at the beginning of a
// piece between two steps holds all through it. Before the first check nothing but that is told, where a check followed.
func (d day) between() Said {
	var free int64
	var good *Said
	var bad, end Said
	steps := d.steps()
	checked := d.inForce(steps[len(steps)-1]) != nil
	for i, from := range steps[:len(steps)-1] {
		end = d.at(from)
		switch {
		case !end.Against():
			free += steps[i+1] - from
			if good == nil {
				first := end
				good = &first
			}
		case checked && end.has(NoCheck):
			bad.add([]Reason{{NoCheck, 0, d.use.Block}})
		default:
			bad.add(end.Reasons)
		}
	}
	if good != nil && (!bad.Against() || free >= max(1, d.use.Ran)) {
		return *good
	}
	end.Reasons = bad.madeGood(end)
	end.order()
	return end
}

// madeGood are the reasons without what was only not there yet: a check or a join that came before the end of the span. Where nothing else
// stood against the use they stay.
func (s Said) madeGood(end Said) []Reason {
	stayed := slices.DeleteFunc(slices.Clone(s.Reasons), func(r Reason) bool {
		return (r.Code == NoCheck || r.Code == NotJoined || r.Code == JoinedWithout) && !end.has(r.Code)
	})
	if len(stayed) == 0 {
		return s.Reasons
	}
	return stayed
}

// add takes reasons that are not there yet.
func (s *Said) add(more []Reason) {
	for _, r := range more {
		if !slices.Contains(s.Reasons, r) {
			s.Reasons = append(s.Reasons, r)
		}
	}
}

// order puts the reasons into the order of Codes.
func (s *Said) order() {
	slices.SortStableFunc(s.Reasons, func(a, b Reason) int {
		return cmp.Or(cmp.Compare(slices.Index(Codes, a.Code), slices.Index(Codes, b.Code)), cmp.Compare(a.Entry, b.Entry), cmp.Compare(a.Of, b.Of))
	})
}
