package page

import (
	"slices"
	"strings"

	"example.org/ringtrue/store/page/words"
)

// Tailgate is a recorded check, people by the names under which they are printed. Sentences are English as recorded.
type Tailgate struct {
	Common
	Supervisor  bool // reasons too
	Block       string
	BlockName   string
	When        string // day and clock time of the check
	Answer      string // "go", "go with controls" or "hold"
	Sentence    string
	Findings    []Finding
	Open        []Open
	May         []May
	Visitors    []Visitor
	Later       []Later // who came after the check
	SawsUp      []string
	SawsDown    []SawDown
	Emergency   []string // to read aloud
	WatchFor    []string
	NotLookedAt []string
	Closing     string // who decides, beside cited rules
	Knows       string // how far the book knew
	Entry       string
	Recorded    string // by whom, and whether they signed
	Answers     []Answered
	Decided     Decided // what was decided since, which leads; empty where nothing was
	MovedTo     string  // block to which the crew has gone, whose emergency text stands here; "" = it has not
}

// Answered are the questions of one section of the sheet with their answers, on the supervisor's copy.
type Answered struct {
	Title string
	Rows  []AnswerRow
}

// AnswerRow is one question with its answer. Said is by whom and when, As the sheet before on which it was the same, Since what the day
// has changed about it; each may be "".
type AnswerRow struct{ Question, Answer, Said, As, Since string }

// Visitor is somebody on the block who does not work there, by what they are, and who stays with them.
type Visitor struct{ Name, With string }

// Later is somebody who joined after the check, when, and who briefed them.
type Later struct{ Name, Clock, BriefedBy string }

// Decided is what was decided during the day, by whom and when, and what was computed apart from it. Answer of the sheet is then the
// stricter of the two, and Checked is that of the check itself, made at CheckedAt.
type Decided struct{ Clock, By, Words, Computed, ComputedAt, Checked, CheckedAt string }

// Effects of findings.
const (
	stopSite   = "stop site"
	stopPerson = "stop person"
	stopSaw    = "stop saw"
	control    = "control"
	watch      = "watch"
)

// Finding is one thing the check found. Subject is a person where it is about one.
type Finding struct {
	Topic, Effect, Subject, What string
	Before, After                string // levels, "" where not scored
	Reasons, Lower, Controls     []string
	Ends, House                  string
	Rules                        []string
}

// Open is a question nobody could answer yet; Question is its id.
type Open struct{ Question, Who, By string }

// May says what one person may do, or that they are stopped and what they may do instead.
type May struct {
	Name, Saw, Group, Level, With string
	Only                          string // what they keep to
	RestsOn, Stopped              []string
	Instead                       string
}

// SawDown is a saw that is not to be used, and why.
type SawDown struct {
	ID  string
	Why []string
}

// HTML makes the sheet. The crew's copy says what each may do and what the crew sees to; why somebody is stopped, and the
// figures of single persons, stay on the supervisor's.
func (t Tailgate) HTML(s *words.Speaker) ([]byte, error) {
	return fill("tailgate", "page.tailgate", t.Common, t, s)
}

// Stops lists what stops. On the crew's copy what stops a person stands in the table only, without its reason.
func (t Tailgate) Stops() []Finding {
	if t.Supervisor {
		return t.of(stopSite, stopPerson, stopSaw)
	}
	return t.of(stopSite, stopSaw)
}

// Controls lists what somebody has to see to.
func (t Tailgate) Controls() []Finding { return t.of(control) }

// Watches lists what holds as it is until something changes; on the crew's copy what concerns all and was not scored.
func (t Tailgate) Watches() []Finding {
	all := t.of(watch)
	if t.Supervisor {
		return all
	}
	return slices.DeleteFunc(all, func(f Finding) bool { return f.Subject != "" || f.scored() })
}

// Standing lists the scored topics that standing controls are enough for, where the crew's copy says so in one line.
func (t Tailgate) Standing() []Finding {
	if t.Supervisor {
		return nil
	}
	return slices.DeleteFunc(t.of(watch), func(f Finding) bool { return !f.scored() })
}

// Task is a control finding on the crew's copy. Scored ones of one topic that need the same controls are one task for
// all they are about.
type Task struct {
	Finding
	For []string // people, empty where it is not scored for people
}

// Tasks lists the control findings for the crew's copy.
func (t Tailgate) Tasks() []Task {
	var out []Task
	for _, f := range t.Controls() {
		same := func(o Task) bool {
			return len(o.For) > 0 && o.Topic == f.Topic && o.After == f.After && slices.Equal(o.Controls, f.Controls)
		}
		i := slices.IndexFunc(out, same)
		switch personal := f.scored() && f.Subject != ""; {
		case personal && i >= 0:
			out[i].For = append(out[i].For, f.Subject)
		case personal:
			out = append(out, Task{f, []string{f.Subject}})
		default:
			out = append(out, Task{Finding: f})
		}
	}
	return out
}

func (f Finding) scored() bool { return f.After != "" }

func (t Tailgate) of(effects ...string) []Finding {
	var out []Finding
	for _, f := range t.Findings {
		if slices.Contains(effects, f.Effect) {
			out = append(out, f)
		}
	}
	return out
}

// fewRules keeps the sheet to a page; rules list shows all (company choice).
const fewRules = 4

// Rules lists the local rules to read, each once, the first few; More says how many there are beyond them.
func (t Tailgate) Rules() []string { return t.cited()[:min(fewRules, len(t.cited()))] }

// More is the number of rules beyond those of Rules.
func (t Tailgate) More() int { return len(t.cited()) - len(t.Rules()) }

func (t Tailgate) cited() []string {
	var all []string
	for _, f := range t.Findings {
		for _, r := range f.Rules {
			if !slices.Contains(all, r) {
				all = append(all, r)
			}
		}
	}
	return all
}

// oneColumn is how many people stand below each other on the crew's copy before a second column is begun, so that twelve
// fit a page (company choice).
const oneColumn = 6

// Columns are the people in the order of the sheet, in two columns on the crew's copy where they are many.
func (t Tailgate) Columns() [][]May {
	if t.Supervisor || len(t.May) <= oneColumn {
		return [][]May{t.May}
	}
	half := (len(t.May) + 1) / 2
	return [][]May{t.May[:half], t.May[half:]}
}

// Hold reports whether no saw starts.
func (t Tailgate) Hold() bool { return t.Answer == "hold" }

// Own is the finding's sentence without the person it is about, whose name stands before it. A reason, in small letters,
// loses its full stop.
func (f Finding) Own() string {
	own, ok := strings.CutPrefix(f.What, f.Subject+": ")
	switch {
	case !ok || f.Subject == "":
		return f.What
	case strings.ToUpper(own[:1]) == own[:1]:
		return own
	}
	return strings.TrimSuffix(own, ".")
}

// Named reports whether the person's name stands before the sentence.
func (f Finding) Named() bool { return f.Own() != f.What }
