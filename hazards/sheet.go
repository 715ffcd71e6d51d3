package hazards

import (
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training"
)

// SheetFormat is the first line of a day sheet. A later layout gets a later number. Format 1 had no end line, and let dead trees, heavy
// rain, wind and fire class stay blank. Format 2 did not ask who helps if the first aider is hurt, for a stop signal, who else is there,
// how far the nearest wire is, and about throttle and handles of a saw.
const SheetFormat = "ringtrue/day-sheet/3"

// What an answer can be.
const (
	Yes           = "yes"
	No            = "no"
	NotApplicable = "not applicable"
	DontKnow      = "don't know yet" // counts as the worst; names who finds out by when
	Told          = "told"           // a value, clock time, worker or words
)

// Said is one answer as given. Value is set when Is is Told, Who and By when it is DontKnow.
type Said struct {
	Is    string `json:"is"`
	Value string `json:"value,omitempty"`
	Who   string `json:"who,omitempty"`
	By    string `json:"by,omitempty"` // HH:MM
	At    string `json:"at,omitempty"` // HH:MM, when Who says so otherwise than who filled the sheet at its time
}

// String writes the answer as it stands on the sheet.
func (s Said) String() string {
	word := s.Is
	switch s.Is {
	case Told:
		word = s.Value
	case DontKnow:
		return DontKnow + " - " + s.Who + " by " + s.By
	}
	if s.At != "" {
		word += " - " + s.Who + " at " + s.At
	}
	return word
}

// Carried is the answer as it stands on another day's sheet: who said so then, and when, is not told of that day.
func (s Said) Carried() Said {
	if s.Is != DontKnow {
		s.Who, s.At = "", ""
	}
	return s
}

// Answer is the answer to one question.
type Answer struct {
	Question string `json:"question"`
	Said
}

// CrewLine is one worker who stands here today and what is planned for them. Saw, Group and WatchedBy may be "".
type CrewLine struct {
	Worker    string         `json:"worker"`
	Saw       string         `json:"saw"`
	Group     string         `json:"group"`
	Level     training.Level `json:"level"`
	WatchedBy string         `json:"watched_by"`
	Fit       Said           `json:"fit"`
	Trigger   string         `json:"trigger,omitempty"` // time at the trigger planned, "3h"; "" = not planned
	Ears      string         `json:"ears,omitempty"`    // hearing protector, "METHOD RATING"
}

// Saws reports whether saw work is planned for this line.
func (c CrewLine) Saws() bool { return c.Level > training.NoSaw }

// OutOfSight reports whether the line is planned where nobody sees the worker all the time.
func (c CrewLine) OutOfSight() bool { return c.Level > training.InSight }

// Visitor is somebody on the block who does not work there, and whom they stay with.
type Visitor struct {
	Name string `json:"name"`
	With string `json:"with"`
}

// SawLine is one saw that is here today with its checks.
type SawLine struct {
	ID        string   `json:"id"`
	Checks    []Answer `json:"checks"`
	Vibration string   `json:"vibration,omitempty"` // as told for this saw, "4.5m/s2"
	Noise     string   `json:"noise,omitempty"`     // at the ear, "101dBA"
	NoiseC    string   `json:"noise_c,omitempty"`   // the same C-weighted, for methods that need it
}

// Control is what is done about one factor, and who sees to it.
type Control struct {
	For   string    `json:"for"` // id of the factor or question
	Kind  risk.Kind `json:"kind"`
	What  string    `json:"what"`
	Owner string    `json:"owner"`
}

// Sheet is one filled day sheet. People stand on it as they were typed; WithPeople turns them into ids and back.
// Answers are in the order of Questions.
type Sheet struct {
	Block        string        `json:"block"`
	BlockEdition int           `json:"block_edition"` // of the block card it was written from
	Day          string        `json:"day"`           // YYYY-MM-DD
	At           string        `json:"at"`            // HH:MM in the book's zone
	By           string        `json:"by"`
	AcceptedBy   string        `json:"accepted_by"`
	Coordinates  string        `json:"coordinates"`         // as read back today
	Started      string        `json:"started"`             // HH:MM, when work had begun before the sheet was entered
	GroundBy     string        `json:"ground_by,omitempty"` // who answered for the ground, when it was not By at At
	GroundAt     string        `json:"ground_at,omitempty"` // HH:MM, when
	Crew         []CrewLine    `json:"crew"`
	Visitors     []Visitor     `json:"visitors"`
	Saws         []SawLine     `json:"saws"`
	Answers      []Answer      `json:"answers"`
	Controls     []Control     `json:"controls"`
	Events       []EventAnswer `json:"events,omitempty"`    // answers to questions that events put on the sheets
	Readings     []Answer      `json:"readings,omitempty"`  // those that were answered, in the order of Readings
	FireDays     []FireDay     `json:"fire_days,omitempty"` // noon readings entered with this sheet
}

// Said returns the answer to a question. A question that is not on the sheet counts as not known.
func (s Sheet) Said(question string) Said {
	if a, ok := s.answered(question); ok {
		return a
	}
	return notAsked
}

// answered finds the answer to a question or reading, wherever on the sheet it was recorded: dead trees, heavy rain and wind force
// were readings once.
func (s Sheet) answered(question string) (a Said, ok bool) {
	for _, list := range [][]Answer{s.Answers, s.Readings} {
		for _, a := range list {
			if a.Question == question {
				return a.Said, true
			}
		}
	}
	return Said{}, false
}

// later are the questions that could stay blank on sheets of format 1, or that formats 1 and 2 did not ask, and laterChecks the checks
// of a saw. Where one is missing from a sheet recorded then, nobody looked, and the answer says so.
var (
	later       = []string{HeavyRain, WindForce, DeadTrees, AiderHurt, StopSignal, WhoElse}
	laterChecks = []string{SawThrottle, SawHandles}
)

func cameLater(id string) bool { return contains(later, id) }

// Blanks lists what a sheet of an earlier format left blank or was not asked that has to be answered since, checks of saws with it.
func (s Sheet) Blanks() []string {
	var list []string
	for _, id := range later {
		if _, ok := s.answered(id); !ok {
			list = append(list, id)
		}
	}
	for _, check := range laterChecks {
		if s.lacksCheck(check) {
			list = append(list, check)
		}
	}
	return list
}

func (s Sheet) lacksCheck(check string) bool {
	for _, line := range s.Saws {
		if !line.Asked(check) {
			return true
		}
	}
	return false
}

// Said returns the answer to a check of this saw. A check that is not on the line counts as not known.
func (s SawLine) Said(check string) Said { return said(s.Checks, check) }

// Asked reports whether a check stands on the line.
func (s SawLine) Asked(check string) bool {
	for _, a := range s.Checks {
		if a.Question == check {
			return true
		}
	}
	return false
}

// groundSeen says who answered for the ground and when: light decides whether that counts.
func (s Sheet) groundSeen() (by, at string) {
	if s.GroundAt != "" && s.GroundAt <= s.At {
		return s.GroundBy, s.GroundAt
	}
	return s.By, s.At
}

func said(answers []Answer, id string) Said {
	for _, a := range answers {
		if a.Question == id {
			return a.Said
		}
	}
	return notAsked
}

// notAsked is how an answer counts that is nowhere on a sheet.
var notAsked = Said{Is: DontKnow, Who: "nobody", By: "no time"}

// controlsFor returns the controls that name one of the factors.
func (s Sheet) controlsFor(factors ...string) []Control {
	var out []Control
	for _, c := range s.Controls {
		for _, f := range factors {
			if c.For == f {
				out = append(out, c)
			}
		}
	}
	return out
}

// WithPeople returns the sheet with every worker named on it put through to: handles into ids before it is recorded,
// ids into handles to carry it forward. Empty names stay empty; visitors keep their names.
func (s Sheet) WithPeople(to func(string) string) Sheet {
	name := func(w *string) {
		if *w != "" {
			*w = to(*w)
		}
	}
	name(&s.By)
	name(&s.AcceptedBy)
	name(&s.GroundBy)
	s.Crew = append([]CrewLine(nil), s.Crew...)
	for i := range s.Crew {
		name(&s.Crew[i].Worker)
		name(&s.Crew[i].WatchedBy)
		name(&s.Crew[i].Fit.Who)
	}
	s.Visitors = append([]Visitor(nil), s.Visitors...)
	for i := range s.Visitors {
		name(&s.Visitors[i].With)
	}
	s.Saws = append([]SawLine(nil), s.Saws...)
	for i := range s.Saws {
		s.Saws[i].Checks = withPeople(s.Saws[i].Checks, name)
	}
	s.Answers, s.Readings = withPeople(s.Answers, name), withPeople(s.Readings, name)
	s.Events = append([]EventAnswer(nil), s.Events...)
	for i := range s.Events {
		name(&s.Events[i].Who)
	}
	s.Controls = append([]Control(nil), s.Controls...)
	for i := range s.Controls {
		name(&s.Controls[i].Owner)
	}
	return s
}

func withPeople(answers []Answer, name func(*string)) []Answer {
	out := append([]Answer(nil), answers...)
	for i := range out {
		name(&out[i].Who)
		if q, ok := questionByID(out[i].Question); ok && q.Kind == Person && out[i].Is == Told {
			name(&out[i].Value)
		}
	}
	return out
}
