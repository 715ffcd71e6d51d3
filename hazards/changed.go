package hazards

import "strings"

// Changed lists what differs between two sheets of one day, one line each: the answers, who is here and with what,
// the saws, the controls, and who accepted. It is empty when nothing differs.
func Changed(before, after Sheet) []string {
	var out []string
	was, is := before.facts(), after.facts()
	for _, f := range is {
		if old := factOf(was, f.name); old != f.said {
			out = append(out, f.name+": "+orNothing(old)+", now "+f.said)
		}
	}
	for _, f := range was {
		if factOf(is, f.name) == "" {
			out = append(out, f.name+": "+f.said+", now nothing")
		}
	}
	if seen := after.seenWords(); after.GroundAt != "" && seen != before.seenWords() {
		out = append(out, "ground answered again: "+seen)
	}
	return out
}

func (s Sheet) seenWords() string {
	by, at := s.groundSeen()
	return by + " at " + at
}

type fact struct{ name, said string }

func factOf(facts []fact, name string) string {
	for _, f := range facts {
		if f.name == name {
			return f.said
		}
	}
	return ""
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

// facts writes the sheet as named facts, in the order of the sheet. Facts that say nothing are left out.
func (s Sheet) facts() []fact {
	out := []fact{{"accepted by", s.AcceptedBy}, {"coordinates read back", s.Coordinates}, {"work began", s.Started}}
	for _, c := range s.Crew {
		words := []string{c.Level.String(), c.Group, c.Saw, "fit: " + c.Fit.String()}
		if c.WatchedBy != "" {
			words = append(words, "watched by "+c.WatchedBy)
		}
		words = append(words, prefixed("trigger ", c.Trigger), prefixed("ears ", c.Ears))
		out = append(out, fact{"worker " + c.Worker, join(words)})
	}
	for _, v := range s.Visitors {
		out = append(out, fact{"visitor " + v.Name, "with " + v.With})
	}
	for _, w := range s.Saws {
		out = append(out, fact{"saw " + w.ID, join([]string{"here", prefixed("vibration ", w.Vibration), prefixed("noise ", w.Noise), prefixed("noise ", w.NoiseC)})})
		for _, c := range w.Checks {
			out = append(out, fact{"saw " + w.ID + ", " + c.Question, c.String()})
		}
	}
	for _, a := range append(s.Answers[:len(s.Answers):len(s.Answers)], s.Readings...) {
		out = append(out, fact{a.Question, a.String()})
	}
	for _, e := range s.Events {
		out = append(out, fact{"question of event " + e.Event, e.String()})
	}
	for _, f := range s.FireDays {
		out = append(out, fact{"fire day " + f.Day, f.words()})
	}
	for _, c := range s.Controls {
		out = append(out, fact{"control for " + c.For + " (" + c.Kind.String() + ", " + c.What + ")", c.Owner + " sees to it"})
	}
	return dropSilent(out)
}

func dropSilent(facts []fact) []fact {
	var out []fact
	for _, f := range facts {
		if f.said != "" {
			out = append(out, f)
		}
	}
	return out
}

// prefixed is a word with its name before it, "" where nothing is said.
func prefixed(name, said string) string {
	if said == "" {
		return ""
	}
	return name + said
}

func join(words []string) string {
	var out []string
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return strings.Join(out, ", ")
}
