package against

import (
	"slices"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// moment is one use at one moment: the answer in force, if there was one, and what is gathered about it.
type moment struct {
	day
	t      int64
	answer *Answer
	said   Said
}

// at says what the book said of the use at a moment.
func (d day) at(t int64) Said {
	m := moment{day: d, t: t, answer: d.inForce(t)}
	m.site()
	m.saw()
	if d.use.Worker != "" {
		m.joined()
		m.person()
	}
	m.said.order()
	return m.said
}

func (m *moment) no(code Code, entry training.Ref, of string) {
	m.said.add([]Reason{{code, entry, of}})
}

// inForce is the newest answer by a moment. Of checks on several blocks it is one of the block that the worker joined last.
func (d day) inForce(t int64) *Answer {
	block := ""
	for _, j := range d.facts.Joins {
		if j.At <= t {
			block = j.Block
		}
	}
	if !slices.ContainsFunc(d.checks, func(c Check) bool { return c.Block == block }) {
		block = ""
	}
	var in *Answer
	for _, c := range d.checks {
		for i, a := range c.Answers {
			if a.From <= t && (block == "" || c.Block == block) && (in == nil || a.From >= in.From) {
				in = &c.Answers[i]
			}
		}
	}
	return in
}

// site says whether there was a check, and whether it held. Where no check of that day names the saw, an entry without a worker says nothing
// of the site.
func (m *moment) site() {
	switch {
	case m.answer == nil && (m.use.Worker != "" || len(m.checks) > 0):
		m.no(NoCheck, 0, m.use.Block)
	case m.answer == nil:
	default:
		m.said.Check, m.said.Answer = m.answer.Entry, m.answer.Word
		if m.answer.Hold {
			m.no(OnHold, m.answer.Entry, "")
		}
	}
}

func (m *moment) saw() {
	for _, o := range m.facts.Downs {
		if o.From > m.t || m.t >= o.Until {
			continue
		}
		code := Tagged
		if o.Retired {
			code = Retired
		}
		m.no(code, o.Entry, m.use.Saw)
		if m.said.Tag == 0 {
			m.said.Tag = o.Entry
		}
	}
	if m.answer == nil || m.said.Tag != 0 {
		return
	}
	i := slices.IndexFunc(m.answer.Saws, func(s hazards.SawUse) bool { return s.ID == m.use.Saw })
	switch {
	case i < 0:
		m.no(NotLookedAt, m.answer.Entry, m.use.Saw)
	case !m.answer.Saws[i].Use:
		m.no(SawDown, m.answer.Entry, m.use.Saw)
	}
}

// joined says whether the worker had acknowledged a check there, and with a saw.
func (m *moment) joined() {
	var last *Join
	for i, j := range m.facts.Joins {
		if j.At <= m.t && slices.ContainsFunc(m.checks, func(c Check) bool { return c.Block == j.Block }) {
			last = &m.facts.Joins[i]
		}
	}
	switch {
	case last == nil && m.answer != nil:
		m.no(NotJoined, 0, "")
	case last == nil: // there was no check to join
	default:
		m.said.Join, m.said.With = last.Entry, last.Saw
		if last.Saw == "" {
			m.no(JoinedWithout, last.Entry, "")
		}
	}
}

// person says whether the worker was fit, oriented, and might saw as planned.
func (m *moment) person() {
	line, planned := hazards.CrewLine{}, false
	if m.answer != nil {
		line, planned = m.answer.line(m.use.Worker)
	}
	if planned && line.Fit.Is != hazards.Yes {
		m.no(Unfit, m.answer.Entry, "")
	}
	i := len(m.facts.Person) - 1
	for i > 0 && m.facts.Person[i].From > m.t {
		i--
	}
	spell := Spell{}
	if i >= 0 {
		spell = m.facts.Person[i]
	}
	if !spell.Oriented {
		m.no(NotOriented, 0, "")
	}
	m.level(spell, line)
	m.stopped()
}

// level compares the level planned, or the best the worker holds where none was planned, with what the worker might do.
func (m *moment) level(spell Spell, line hazards.CrewLine) {
	held := spell.held(line)
	m.said.Level, m.said.Group, m.said.Release = max(held.Level, training.NoSaw), held.Group, held.Release
	for _, s := range held.Restricted {
		m.no(Restricted, s.Entry, s.ID)
		m.said.Restriction = s.Entry
	}
	switch {
	case len(held.Restricted) > 0:
	case m.said.Level == training.NoSaw, line.Saws() && line.Level > held.Level:
		m.no(NotReleased, held.Lack, held.Group)
	}
	if level := m.workedAt(line, held); level == training.InSight && line.WatchedBy == "" {
		m.no(NotWatched, 0, "")
	}
}

// workedAt is the level at which somebody worked: as planned, else the highest held.
func (m *moment) workedAt(line hazards.CrewLine, held Held) training.Level {
	if line.Saws() {
		return min(line.Level, held.Level)
	}
	return held.Level
}

// held is what counts in the group planned, or in the group with the highest level.
func (s Spell) held(line hazards.CrewLine) Held {
	best := Held{Group: line.Group}
	for _, h := range s.Groups {
		switch {
		case line.Saws() && line.Group != "":
			if h.Group == line.Group {
				return h
			}
		case best.Level == 0 || h.Level > best.Level:
			best = h
		}
	}
	return best
}

// What the findings of a check that stop a person come to here. Those that follow from the book itself (a restriction, a release,
// orientation) are asked of the book as known, and not of the check.
var findings = map[string]Code{
	"restricted": "", "no-release": "", "level": "", "orientation": "", "unfit": "", "not-on-list": "",
	"slope-release": NotReleased, "not-watched": NotWatched, "too-many-watched": NotWatched,
}

// stopped adds what else the check stopped the worker for.
func (m *moment) stopped() {
	if m.answer == nil {
		return
	}
	for _, s := range m.answer.Stops {
		if s.Worker != m.use.Worker {
			continue
		}
		code, known := findings[s.Finding]
		switch {
		case !known:
			m.no(StoppedThere, m.answer.Entry, s.Finding)
		case code != "" && !m.said.has(code):
			m.no(code, m.answer.Entry, s.Finding)
		}
	}
}
