package hazards

import (
	"fmt"
	"sort"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/risk"
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
	out.Saws = d.sawUse()
	out.May = d.may()
	out.Answer = d.verdict()
	order(out.Findings)
	out.Sentence = d.sentence()
}

// triggers are what ends every answer (common practice, no source).
var triggers = []string{
	"thunder or lightning", "rain, frost or thaw", "somebody comes, leaves or is unwell", "a saw is swapped", "a call is not answered",
	"ground, stems or slope change, or the crew moves", "an incident or a close call",
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
	return fmt.Sprintf("Hold at %s on the answers given. No saw starts on %s. %s", d.out.At, d.out.Block, strings.Join(why, " "))
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

var effectRank = map[Effect]int{StopSite: 0, StopPerson: 1, StopSaw: 2, NeedsControl: 3, Watch: 4}

// levelRank orders what is said first; a finding without a level comes before those with one.
var levelRank = map[string]int{risk.High.String(): 1, risk.Serious.String(): 2, risk.Medium.String(): 3, risk.Low.String(): 4}

// order sorts findings by effect and then level, never by points: sums of different topics are not compared.
func order(fs []Finding) {
	rank := func(f Finding) int { return 10*effectRank[f.Effect] + levelRank[f.LevelAfter] }
	sort.SliceStable(fs, func(i, j int) bool { return rank(fs[i]) < rank(fs[j]) })
}
