package hazards

import (
	"fmt"
	"strings"
)

// Answered is one question of a check as it is read again later, blank ones too. People stand in it as on the sheet.
type Answered struct {
	Section  string     `json:"section"`
	ID       string     `json:"id"`       // of the question; of people, saws and lines of the sheet what they are about
	Question string     `json:"question"` // in words
	Answer   string     `json:"answer"`   // as on the sheet; "" = left blank, or there only since
	By       string     `json:"by"`       // who said so, else who filled in the sheet
	At       string     `json:"at"`       // HH:MM; "" where the answer was left blank
	As       string     `json:"as"`       // day and time of the sheet before, where a question that may be carried forward was answered the same there; else "" = fresh
	Since    []Answered `json:"since"`    // what the day has changed about it, in the order in which it happened; "" as answer = no longer there
}

// Sections of what stands on a sheet beside its questions.
const (
	OnSheet   = "The sheet"
	WhoIsHere = "Who is here"
	SawsHere  = "The saws that are here"
	BecauseOf = "Asked because of what has happened"
	AtNoon    = "Noon readings"
	DoneAbout = "What you do about it"
)

// ReadAgain lists everything that was answered on a sheet, in its order, with what the changes of its day made of it. Before is the
// block's sheet before this one, nil where there was none. A change that does not fit changes what it can.
func ReadAgain(s Sheet, before *Sheet, changes []Change) []Answered {
	rows := s.lines()
	for i := range rows {
		rows[i].As = s.asBefore(rows[i], before)
	}
	last := rows
	for _, c := range changes {
		s, _ = s.After(c)
		now := s.lines()
		rows = since(rows, last, now, c)
		last = now
	}
	return rows
}

// since puts what a change made of each line behind it.
func since(rows, last, now []Answered, c Change) []Answered {
	for _, n := range now {
		old, there := rowLike(last, n)
		if there && (old.Answer == n.Answer) {
			continue
		}
		if i := placeOf(rows, n); i >= 0 {
			rows[i].Since = append(rows[i].Since, n)
			continue
		}
		rows = append(rows, Answered{Section: n.Section, ID: n.ID, Question: n.Question, Since: []Answered{n}})
	}
	for _, o := range last {
		if _, there := rowLike(now, o); !there {
			gone := Answered{Section: o.Section, ID: o.ID, Question: o.Question, By: c.By, At: c.At, Since: []Answered{}}
			rows[placeOf(rows, o)].Since = append(rows[placeOf(rows, o)].Since, gone)
		}
	}
	return rows
}

func placeOf(rows []Answered, like Answered) int {
	for i, r := range rows {
		if r.Section == like.Section && r.ID == like.ID {
			return i
		}
	}
	return -1
}

func rowLike(rows []Answered, like Answered) (Answered, bool) {
	if i := placeOf(rows, like); i >= 0 {
		return rows[i], true
	}
	return Answered{}, false
}

// asBefore is the sheet before, where a question that may be carried forward was answered the same on it.
func (s Sheet) asBefore(row Answered, before *Sheet) string {
	q, known := questionByID(row.ID)
	if before == nil || !known || !q.Carried || before.Block != s.Block || before.BlockEdition != s.BlockEdition {
		return ""
	}
	old, there := before.answered(q.ID)
	now, _ := s.answered(q.ID)
	if !there || now.Is == "" || old.Carried() != now.Carried() {
		return ""
	}
	return before.Day + " " + before.At
}

// lines lists a sheet as it is read again.
func (s Sheet) lines() []Answered {
	rows := []Answered{
		s.line(OnSheet, "accepted-by", "Who decides, and accepts what is left after controls?", s.AcceptedBy),
		s.line(OnSheet, "coordinates", "Emergency coordinates read back", s.Coordinates),
		s.line(OnSheet, "started", "Work had begun before this, at", s.Started),
	}
	rows = append(rows, s.people()...)
	rows = append(rows, s.sawLines()...)
	for _, q := range questions {
		said, _ := s.answered(q.ID)
		rows = append(rows, s.said(q.Section, q.ID, q.Text, said))
	}
	for _, e := range s.Events {
		rows = append(rows, s.said(BecauseOf, eventKey+e.Event, e.Question+inBrackets(e.About), e.Said))
	}
	for _, q := range readings {
		said, _ := s.answered(q.ID)
		rows = append(rows, s.said(q.Section, q.ID, q.Text, said))
	}
	for _, f := range s.FireDays {
		rows = append(rows, s.line(AtNoon, f.Day, f.Day, f.words()+", "+f.Source))
	}
	for i, c := range s.Controls {
		rows = append(rows, s.line(DoneAbout, fmt.Sprintf("control-%d", i+1), c.For, fmt.Sprintf("%s (%s), %s sees to it", c.What, c.Kind, c.Owner)))
	}
	return rows
}

// people lists who is here: whether fit, as said by name, and what was planned, with who watches.
func (s Sheet) people() []Answered {
	var rows []Answered
	for _, c := range s.Crew {
		rows = append(rows, s.line(WhoIsHere, c.Worker, c.Worker, join([]string{c.Level.String(), c.Group, prefixed("saw ", c.Saw), prefixed("watched by ", c.WatchedBy),
			prefixed("at the trigger ", c.Trigger), prefixed("ears ", c.Ears)})), s.said(WhoIsHere, c.Worker+" fit", c.Worker+": "+fitQuestion.Text, c.Fit))
	}
	for _, v := range s.Visitors {
		rows = append(rows, s.line(WhoIsHere, "visitor "+v.Name, "visitor: "+v.Name, "with "+v.With))
	}
	return rows
}

func (s Sheet) sawLines() []Answered {
	var rows []Answered
	for _, w := range s.Saws {
		for _, q := range sawChecks {
			rows = append(rows, s.said(SawsHere, w.ID+" "+q.ID, "saw "+w.ID+": "+q.Text, w.Said(q.ID)))
		}
		if told := join([]string{prefixed("vibration ", w.Vibration), prefixed("noise ", w.Noise), prefixed("noise ", w.NoiseC)}); told != "" {
			rows = append(rows, s.line(SawsHere, w.ID+" told", "saw "+w.ID+": figures told", told))
		}
	}
	return rows
}

// line is what stands on the sheet by the hand of who filled it in.
func (s Sheet) line(section, id, question, answer string) Answered {
	a := Answered{Section: section, ID: id, Question: question, Answer: answer, Since: []Answered{}}
	if answer != "" {
		a.By, a.At = s.By, s.At
	}
	return a
}

// said is an answer by whoever said so.
func (s Sheet) said(section, id, question string, said Said) Answered {
	who, at := said.Who, said.At
	said = said.Carried()
	a := s.line(section, id, question, strings.TrimSpace(said.String()))
	if at != "" {
		a.By, a.At = who, at
	}
	return a
}
