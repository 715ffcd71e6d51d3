package hazards

import (
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training"
)

// Verdict is the answer of a morning.
type Verdict string

// Verdicts.
const (
	Go             Verdict = "go"
	GoWithControls Verdict = "go with controls"
	Hold           Verdict = "hold"
)

// Effect is what a finding does.
type Effect string

// Effects, the strongest first.
const (
	StopSite     Effect = "stop site"
	StopPerson   Effect = "stop person"
	StopSaw      Effect = "stop saw"
	NeedsControl Effect = "control"
	Watch        Effect = "watch" // standing controls; assess again when it changes
)

// What a finding is about.
const (
	OfSite   = "site"
	OfGround = "ground"
	OfPerson = "person"
	OfSaw    = "saw"
)

// What a stop means.
const (
	Stopped = "stopped" // nothing on paper changes it
	NotYet  = "not yet" // somebody must be named, filed or asked
)

// Caution stands beside every level.
const Caution = "The level ranks what to talk about first; it does not say that work is safe."

// AfterTheFact is what a late sheet is.
const AfterTheFact = "entered after the fact, not an assessment before work"

// NotLookedAt lists what this version does not look at. What a sheet leaves blank comes before it in an answer.
var NotLookedAt = []string{"fuel and day plan", "road travel"}

// Finding is one thing the check found. Levels, severity, probability and points are set for scored topics only.
// Reasons holds the three strongest, Lower what would take points off them. Subject is the first of Subjects. Means is set where the
// finding stops something. Line, Do and What say the same finding at three lengths: one line of a screen, what to do about it, and all
// of it. Until is the clock time, HH:MM, before which a stop cannot end.
type Finding struct {
	Topic             string   `json:"topic"`
	ID                string   `json:"id"`
	What              string   `json:"what"`
	Effect            Effect   `json:"effect"`
	Of                string   `json:"of"`
	Subject           string   `json:"subject,omitempty"`  // person or saw
	Subjects          []string `json:"subjects,omitempty"` // all persons or saws that it names
	Means             string   `json:"means,omitempty"`    // Stopped or NotYet
	Line              string   `json:"line,omitempty"`
	Do                string   `json:"do,omitempty"`
	Until             string   `json:"until,omitempty"`
	Severity          int      `json:"severity,omitempty"`
	LevelBefore       string   `json:"level_before,omitempty"`
	LevelAfter        string   `json:"level_after,omitempty"`
	ProbabilityBefore string   `json:"probability_before,omitempty"`
	ProbabilityAfter  string   `json:"probability_after,omitempty"`
	PointsBefore      int      `json:"points_before,omitempty"`
	PointsAfter       int      `json:"points_after,omitempty"`
	Drives            string   `json:"drives,omitempty"` // fuel: ignition, vapour, fire spread or spill
	Reasons           []string `json:"reasons,omitempty"`
	Lower             []string `json:"lower,omitempty"`
	Controls          []string `json:"controls,omitempty"` // named today, each with its owner
	Rules             []string `json:"rules,omitempty"`    // local rules to read
	House             string   `json:"house,omitempty"`    // house rules that decide, with edition and source, and other sources
	Ends              string   `json:"ends,omitempty"`     // what would end it

	Looser []house.Loosening `json:"looser,omitempty"` // house rules that the company has made looser
}

// KeepsTo is what narrows what somebody may do, thing by thing.
func (m May) KeepsTo() []string {
	if m.Only == "" {
		return nil
	}
	return strings.Split(m.Only, "; ")
}

// May says what one worker who is here may do today and what that rests on, or what stops them and what they may do
// instead. Only narrows what they may do. Level is no saw for everybody who is stopped.
type May struct {
	Worker  string         `json:"worker"`
	Saw     string         `json:"saw,omitempty"`
	Group   string         `json:"group,omitempty"`
	Level   training.Level `json:"level"`
	With    string         `json:"with,omitempty"` // who watches
	Only    string         `json:"only,omitempty"` // what they keep to today
	RestsOn []string       `json:"rests_on,omitempty"`
	Stopped []string       `json:"stopped,omitempty"`
	Instead string         `json:"instead,omitempty"`
}

// SawUse says whether a saw that is here may be used.
type SawUse struct {
	ID     string   `json:"id"`
	Use    bool     `json:"use"`
	WhyNot []string `json:"why_not,omitempty"`
}

// Open is a question that nobody could answer yet.
type Open struct {
	Question string `json:"question"`
	Who      string `json:"who"`
	By       string `json:"by"`
}

// Assessment is the answer with everything it rests on. It can be recorded as it is: people stand in it as ids, in
// texts as {id}. Named turns it into what is read and printed.
type Assessment struct {
	Answer       Verdict   `json:"answer"`
	Sentence     string    `json:"sentence"`
	Means        string    `json:"means,omitempty"`   // of a hold: Stopped where any stop is, else NotYet
	NotYet       []string  `json:"not_yet,omitempty"` // what is missing before work may start, and who sees to it
	Caution      string    `json:"caution"`
	Late         string    `json:"late,omitempty"`
	Block        string    `json:"block"`
	BlockEdition int       `json:"block_edition"`
	Day          string    `json:"day"`
	At           string    `json:"at"`
	By           string    `json:"by"`
	AcceptedBy   string    `json:"accepted_by"`
	House        string    `json:"house"` // edition of the house rules
	Findings     []Finding `json:"findings"`
	May          []May     `json:"may"`
	Saws         []SawUse  `json:"saws"`
	Open         []Open    `json:"open"`
	Ends         string    `json:"ends"`      // clock time at which the answer ends at the latest
	WatchFor     []string  `json:"watch_for"` // answer again when one of these comes
	Emergency    []string  `json:"emergency"` // to read aloud
	NotLookedAt  []string  `json:"not_looked_at"`
}
