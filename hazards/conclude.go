package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training"
)

// conclude draws the answer from the findings.
func (d *day) conclude() {
	s, out := d.in.Sheet, &d.out
	out.Block, out.BlockEdition, out.Day, out.At = s.Block, s.BlockEdition, s.Day, s.At
	out.By, out.AcceptedBy, out.House = d.id(s.By), d.id(s.AcceptedBy), d.in.House.Edition
	out.Caution, out.Late = Caution, d.lateness()
	out.Emergency, out.NotLookedAt = d.in.Block.ReadAloud(), append(d.notLooked, NotLookedAt...)
	out.WatchFor = append(out.WatchFor, triggers...)
	d.endBy(d.in.House.Value(house.AnswerEnds))
	out.Ends = d.ends
	out.Open = []Open{}
	for _, q := range append(questions[:len(questions):len(questions)], readings...) {
		if a := d.answers[q.ID]; a.Is == DontKnow {
			out.Open = append(out.Open, Open{q.ID, d.id(a.Who), a.By})
		}
	}
	out.Open = append(out.Open, d.asks...)
	d.together()
	out.Saws = d.sawUse()
	out.May = d.may()
	order(out.Findings)
	out.Answer = d.verdict()
	if out.Answer == Hold {
		out.Means, out.NotYet = d.whichHold(), d.missing()
	}
	out.Sentence = d.sentence()
}

// triggers are what ends every answer (common practice, no source): of the sky and the ground, and of people. Two lines, so that a
// quiet morning stays short.
var triggers = []string{
	"thunder or lightning; rain, frost or thaw; ground, stems or slope change, or the crew moves",
	"somebody comes, leaves or is unwell; a saw is swapped; a call is not answered; an incident or a close call",
}

func (d *day) siteStops() []string {
	var out []string
	for _, f := range d.out.Findings {
		if f.Effect == StopSite {
			out = append(out, f.What)
		}
	}
	return out
}

func (d *day) verdict() Verdict {
	planned, able, usable := 0, 0, 0
	for _, m := range d.out.May {
		if m.Level > training.NoSaw {
			able++
		}
	}
	for _, c := range d.in.Sheet.Crew {
		if c.Saws() {
			planned++
		}
	}
	for _, s := range d.out.Saws {
		if s.Use {
			usable++
		}
	}
	everybody := len(d.stopped) > 0 && len(d.stopped) >= len(d.in.Sheet.Crew)
	switch {
	case len(d.siteStops()) > 0, planned > 0 && able == 0, len(d.out.Saws) > 0 && usable == 0, everybody:
		return Hold
	}
	for _, f := range d.out.Findings {
		if f.Effect == NeedsControl {
			return GoWithControls
		}
	}
	return Go
}

// lateness says so when the sheet was entered after work had begun, or when its day was over.
func (d *day) lateness() string {
	s, now := d.in.Sheet, d.in.Now
	today, clock := now.Format("2006-01-02"), now.Format("15:04")
	over := today > s.Day || (today == s.Day && clock > d.in.House.Value(house.AnswerEnds))
	begun := s.Started != "" && (s.At >= s.Started || (today == s.Day && clock >= s.Started))
	if over || begun {
		return AfterTheFact
	}
	return ""
}

// sentence is the one that is read aloud first.
func (d *day) sentence() string {
	var words []string
	if d.out.Late != "" {
		words = append(words, "This was "+AfterTheFact+".")
	}
	if d.out.Answer == Hold {
		return strings.Join(append(words, d.holdSentence()), " ")
	}
	people, saws := d.notFor()
	if people == "" && saws == "" {
		words = append(words, fmt.Sprintf("No stop found at %s on the answers given.", d.out.At))
	} else {
		words = append(words, fmt.Sprintf("No stop for the site found at %s on the answers given.", d.out.At))
	}
	if people != "" {
		words = append(words, "Not for: "+people+".")
	}
	if saws != "" {
		words = append(words, "Not with saw: "+saws+".")
	}
	return strings.Join(append(words, fmt.Sprintf("%s decides. Ends when an answer changes, at %s, or on leaving %s.",
		d.decider(), d.out.Ends, d.out.Block)), " ")
}

func (d *day) decider() string {
	if d.in.Sheet.AcceptedBy != "" {
		return d.name(d.in.Sheet.AcceptedBy)
	}
	return d.name(d.in.Sheet.By)
}

func (d *day) holdSentence() string {
	why := d.siteStops()
	if len(why) == 0 {
		why = []string{"Nobody may saw as planned."}
	}
	which := map[string]string{Stopped: "Stopped: nothing on paper changes it.", NotYet: "Not yet: something is missing."}[d.out.Means]
	return fmt.Sprintf("Hold at %s on the answers given. %s No saw starts on %s. %s", d.out.At, which, d.out.Block, strings.Join(why, " "))
}

func (d *day) notFor() (people, saws string) {
	var p, w []string
	for _, m := range d.out.May {
		if len(m.Stopped) > 0 {
			p = append(p, d.name(m.Worker))
		}
	}
	for _, s := range d.out.Saws {
		if !s.Use {
			w = append(w, s.ID)
		}
	}
	return strings.Join(p, ", "), strings.Join(w, ", ")
}

// whichHold is what a hold means: stopped where anything stops the site that no paper changes. Where nobody is left who may saw, one
// person who only waits for something is enough for not yet.
func (d *day) whichHold() string {
	site, waits := false, false
	for _, f := range d.out.Findings {
		site = site || f.Effect == StopSite
		if f.Effect == StopSite && f.Means == Stopped {
			return Stopped
		}
	}
	if site {
		return NotYet
	}
	for _, c := range d.in.Sheet.Crew {
		waits = waits || (c.Saws() && d.onlyWaits(c))
	}
	if waits {
		return NotYet
	}
	return Stopped
}

// onlyWaits reports whether everything that stops somebody, or their saw, is not yet.
func (d *day) onlyWaits(c CrewLine) bool {
	for _, f := range d.out.Findings {
		theirs := f.Effect == StopPerson && contains(f.Subjects, d.id(c.Worker)) || f.Effect == StopSaw && contains(f.Subjects, c.Saw)
		if theirs && f.Means == Stopped {
			return false
		}
	}
	return true
}

// missing lists what stands between a hold and work apart from what nothing on paper changes: what is missing, and what to do about it.
func (d *day) missing() []string {
	var out []string
	for _, f := range d.out.Findings {
		if f.Means == NotYet && f.Line != "" {
			out = append(out, f.Line+notEmpty(": ", f.Do))
		}
	}
	return out
}

func notEmpty(before, text string) string {
	if text == "" {
		return ""
	}
	return before + text
}
