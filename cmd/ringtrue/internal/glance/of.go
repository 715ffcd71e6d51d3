package glance

import (
	"slices"
	"strings"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// Of makes the screen of an assessment.
func Of(a hazards.Assessment, m Morning) Screen {
	name := m.Name
	if name == nil {
		name = func(id string) string { return id }
	}
	named := a.Named(name)
	s := Screen{Word: wordOf(a), Block: a.Block, BlockName: m.BlockName, When: m.When, NotLookedAt: named.NotLookedAt, Again: eachPlain(named.WatchFor),
		Changed: m.Changed, Notes: m.Notes, Unsigned: m.Unsigned, Rest: m.Rest, Hurt: hurtOf(a, m.Card), Late: a.Late}
	if a.Answer != hazards.Hold {
		s.Ends, s.Sentence, s.Late = a.Ends, named.Sentence, ""
	} else {
		s.Again = nil // it is answered again anyhow
	}
	s.NotJoined, s.Nobody = eachTo(m.NotJoined, name), len(a.May) > 0 && len(m.NotJoined) == len(a.May)
	s.missed(m.Missed, name)
	s.stops(named)
	s.Ask = asks(named.Open)
	s.people(named)
	s.Controls = controlsOf(named, m.Controls, name)
	s.Watch = watchOf(named)
	s.decide(m.Decided, name)
	return s
}

// wordOf is the word of an assessment. One recorded before stops said what they mean is not yet where only an acceptance is missing.
func wordOf(a hazards.Assessment) Word {
	switch {
	case a.Answer == hazards.Go:
		return Go
	case a.Answer == hazards.GoWithControls:
		return WithControls
	case a.Means == hazards.NotYet:
		return NotYet
	case a.Means == hazards.Stopped:
		return Stopped
	}
	found := false
	for _, f := range a.Findings {
		if f.Effect == hazards.StopSite {
			found = true
			if meaning(f) == hazards.Stopped {
				return Stopped
			}
		}
	}
	if found {
		return NotYet
	}
	return Stopped
}

// meaning is what a stop means, as far as the finding says.
func meaning(f hazards.Finding) string {
	switch {
	case f.Means != "":
		return f.Means
	case f.Topic == hazards.TopicAcceptance:
		return hazards.NotYet
	}
	return hazards.Stopped
}

// decide puts a decision before the answer; the stricter of both is the word.
func (s *Screen) decide(d *Decision, name func(string) string) {
	if d == nil {
		return
	}
	one := *d
	one.By, one.Told, one.NotTold = name(d.By), eachTo(d.Told, name), eachTo(d.NotTold, name)
	s.Decided = &one
	if strictness(d.Word) > strictness(s.Word) {
		s.Computed, s.Word = s.Word, d.Word
	}
}

func strictness(w Word) int { return slices.Index([]Word{Go, WithControls, NotYet, Stopped}, w) }

// stops gathers what stops, with people and saws for whom the same is said in one row.
func (s *Screen) stops(a hazards.Assessment) {
	for _, f := range a.Findings {
		if f.Effect != hazards.StopSite && f.Effect != hazards.StopPerson && f.Effect != hazards.StopSaw {
			continue
		}
		one := Stop{Names: subjects(f), Text: line(f), Long: long(f), Do: f.Do, Until: f.Until}
		if f.Of == hazards.OfSaw {
			one.Names = withUsers(one.Names, a.May)
		}
		if meaning(f) == hazards.NotYet {
			s.Missing = addStop(s.Missing, one)
		} else {
			s.Stops = addStop(s.Stops, one)
		}
	}
}

// missed puts calls that have not come before everything else that stops. A call that the assessment knows of stands there already.
func (s *Screen) missed(calls []hazards.Missed, name func(string) string) {
	var due []string
	who := map[string][]string{}
	for _, c := range calls {
		due, who[c.Due] = addNew(due, c.Due), append(who[c.Due], name(c.Worker))
		s.Word, s.Ends, s.Sentence = Stopped, "", ""
	}
	for _, at := range due {
		s.Stops = append(s.Stops, Stop{Text: "No call from " + strings.Join(who[at], ", ") + ", due at " + at + ". Saws off; call, then go and look."})
	}
}

// addStop adds a row, or its names to the row that says the same.
func addStop(list []Stop, one Stop) []Stop {
	for i, s := range list {
		if s.Text == one.Text && len(s.Names)+len(one.Names) == 0 {
			return list
		}
		if s.Text == one.Text && s.Do == one.Do && s.Until == one.Until && len(s.Names) > 0 && len(one.Names) > 0 {
			list[i].Names, list[i].Long = addNew(s.Names, one.Names...), "" // it names only some of them
			return list
		}
	}
	return append(list, one)
}

// withUsers writes behind each saw who was to use it.
func withUsers(saws []string, may []hazards.May) []string {
	var out []string
	for _, id := range saws {
		for _, m := range may {
			if m.Saw == id {
				id = glued(id, m.Worker)
			}
		}
		out = append(out, id)
	}
	return out
}

// people says who may do what. Nobody who is stopped is left out: who stands in no row of a stop gets one.
func (s *Screen) people(a hazards.Assessment) {
	site := slices.ContainsFunc(a.Findings, func(f hazards.Finding) bool { return f.Effect == hazards.StopSite })
	for _, m := range a.May {
		switch {
		case site:
			s.NoSaw = addNew(s.NoSaw, m.Worker)
		case len(m.Stopped) > 0:
			if !s.names(m.Worker) {
				s.Stops = addStop(s.Stops, Stop{Names: []string{m.Worker}, Text: joined(m.Stopped)})
			}
			if m.Instead != "" && m.Instead != nothingInstead {
				s.Meanwhile = addTask(s.Meanwhile, m.Worker, Task{Instead: m.Instead})
			}
		case m.Level <= training.NoSaw:
			s.NoSaw = addNew(s.NoSaw, m.Worker)
		default:
			s.May = addTask(s.May, glued(m.Worker, m.Saw), Task{Group: m.Group, Level: m.Level, With: m.With, Only: m.Only})
		}
	}
}

// nothingInstead is what an assessment says of those who have nothing else to do with a saw; that they are stopped says it.
const nothingInstead = "no saw today"

// names reports whether a row of a stop names somebody.
func (s *Screen) names(who string) bool {
	in := func(row Stop) bool {
		return slices.ContainsFunc(row.Names, func(n string) bool { return holds(n, who) }) || holds(row.Text, who)
	}
	return slices.ContainsFunc(s.Stops, in) || slices.ContainsFunc(s.Missing, in)
}

// addTask adds somebody to those who may do the same.
func addTask(list []Task, who string, t Task) []Task {
	for i, one := range list {
		if one.Group == t.Group && one.Level == t.Level && one.With == t.With && one.Only == t.Only && one.Instead == t.Instead {
			list[i].Names = addNew(one.Names, who)
			return list
		}
	}
	t.Names = []string{who}
	return append(list, t)
}

// asks puts together what the same person finds out by the same time.
func asks(open []hazards.Open) []Ask {
	var out []Ask
	for _, o := range open {
		i := slices.IndexFunc(out, func(x Ask) bool { return x.Who == o.Who && x.By == o.By })
		if i < 0 {
			i, out = len(out), append(out, Ask{Who: o.Who, By: o.By})
		}
		out[i].Questions = addNew(out[i].Questions, o.Question)
	}
	return out
}

// watchOf lists what to watch, the same for several people or saws once; what only ranks as medium or low comes last.
func watchOf(a hazards.Assessment) []Stop {
	var rows, ranked []Stop
	for _, f := range a.Findings {
		if f.Effect != hazards.Watch {
			continue
		}
		one := Stop{Names: subjects(f), Text: firstSentence(line(f)), Long: firstSentence(long(f))}
		if f.LevelAfter == "" {
			rows = addStop(rows, one)
		} else {
			ranked = addStop(ranked, one)
		}
	}
	return append(rows, ranked...)
}

// hurtOf takes the card where it says what was recorded, else the lines.
func hurtOf(a hazards.Assessment, card hazards.Block) Hurt {
	if slices.Equal(card.ReadAloud(), a.Emergency) {
		return Hurt{Card: &card}
	}
	return Hurt{Lines: a.Emergency}
}
