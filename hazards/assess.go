// Package hazards is the pre-start assessment, the tailgate: it puts the answers of a morning together and says go, go
// with controls, or hold, with its reasons.
//
// What stops. Plain stops - thunder, wind that takes the fall, wires in reach, hung-up and wind-thrown trees, fog or
// dusk that hides neighbours, no tested way to call, no first aider, a tagged saw, a person without a needed release -
// do not depend on any score, and a stop never also scores. "Don't know yet" counts as the worst answer.
//
// What is scored. Only kickback, footing and fuel, chance and harm apart; see package risk. Everything else is compared
// with a limit. High left after controls is a hold for the person or the ground it belongs to. Serious is go with
// controls: a control with an owner wherever one can act on a factor that is there, and accepted by name; until then it is a
// hold for acceptance. Medium and Low are the
// standing controls, or go with controls where only the controls named brought the level down. Sums of different
// topics are never compared.
//
// What needs somebody. A control without anybody who is here to see to it holds as long, and says so: not yet. Telling and wearing
// control nothing, so a control of those kinds is as none.
//
// What is compared. Weather, fire danger, daylight, reach of help, noise and vibration are compared with limits, most of them
// house rules; each such finding names the rule with its edition and what would end it. What a sheet leaves blank of these is
// taken from the block card and the book where they know it, and else listed as not looked at. Of what kills - see plainStops, and
// rain, dead trees, wind, stems and one above another - not known counts as the worst; a number that only an instrument gives is told
// by a coarse word, or by who finds out until when. Daylight is computed from the block's coordinates. More answers never take a stop
// away.
//
// What the answer is. Hold if a finding stops the site, or if nobody who was to saw may saw, or every saw that is here
// is stopped; go with controls if a finding needs one; else go. It never says that work is safe.
//
// Everything comes in as an argument and nothing goes out but the answer: no clock, file, flag or printing. Texts name
// people as {id}, so that a stored answer holds no name; Assessment.Named puts the names in.
package hazards

import (
	"errors"
	"fmt"
	"time"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

// Worker is what the book knows about somebody named on the sheet. Unknown people may be left out altogether.
type Worker struct {
	ID          string // as in the ledger; the sheet may name people by it or by Handle
	Handle      string
	Permissions map[string]training.Permission // by task group; a group that is not there is not released
	Orient      []string                       // why orientation is due before work here; empty = it is not
	Lacks       []string                       // protective equipment missing or overdue for the group planned
	Restricted  []string                       // restricted skills that the group planned needs
	FirstAid    bool                           // first aider today
	Appointed   bool                           // may watch others who work in sight
	SawDays     int                            // days with a saw at this company before today
	Seasons     int                            // season with a saw, this one counted
	NeverAsked  bool                           // nobody asked for the seasons before; only what the book holds counts
	MissedLook  bool                           // a point missed in the last look at cutting or kickback
	Unknown     bool                           // not on the crew list; counts as not held
	Wears       Worn                           // hearing protection that the book holds; asked for at the end of a day
	New         bool                           // new to the place, as its duties mean it (training.NewHere)
	Young       bool                           // counts as young under the rules of the place
	Heard       []string                       // topics of all their orientations, as written
}

// KnownSaw is what the book knows about a saw.
type KnownSaw struct {
	ID            string
	Tagged        string   // why it is tagged out, "" = it is not
	Retired       bool     // out of use for good
	Screen        string   // what is open about its spark screen, "" = nothing; it stops the saw in fire season
	Overdue       []string // what upkeep is overdue, in words
	FixedThrottle bool     // the throttle can be fixed by a lever
	Vibration     string   // declared or measured, "4.5m/s2"; "" = not told
	Noise         string   // at the ear, "101dBA"; "" = not told
}

// Device is another device whose book this one has met.
type Device struct {
	Name string
	Met  string // day of the last meeting, YYYY-MM-DD
}

// Input is everything an assessment depends on. House must have come through house.Parse or Ready, and then under the floors of its
// place (house.House.Under).
type Input struct {
	Sheet     Sheet
	Block     Block // the card in force
	People    []Worker
	KnownSaws []KnownSaw          // empty where the book keeps no saws
	House     house.House         // the edition in force
	Rules     map[string][]string // local rules to read, by topic
	Duties    []rules.Duty        // what the rules of the place ask records to show; none in editions from before
	Devices   []Device
	Now       time.Time       // when the sheet is entered, in the book's zone
	Absent    []string        // ids of people whom the sheet names but who are not on its crew
	Places    []string        // codes of the jurisdiction and of those whose rules follow, its own first
	FireDays  []FireDay       // what the book keeps of the sheet's fire station, this sheet's own lines with them
	During    During          // what has happened since the morning
	Asks      []EventQuestion // questions of events that are open
}

// During is what the day itself has brought and what no answer on the sheet says.
type During struct {
	MovedTo  string   // block to which the crew has gone
	Incident string   // clock time of an incident that nobody has closed, HH:MM
	Missed   []Missed // calls that did not come and were not made good
}

// Missed is a call that did not come.
type Missed struct {
	Worker string
	Due    string // HH:MM
}

// Topics of findings. Rules are looked up by them.
const (
	TopicKickback   = "kickback"
	TopicFooting    = "slope"
	TopicFuel       = "fuel"
	TopicSpacing    = "spacing"
	TopicEmergency  = "emergency"
	TopicFirstAid   = "first-aid"
	TopicCrew       = "training"
	TopicPPE        = "ppe"
	TopicSaws       = "saws"
	TopicAcceptance = "acceptance"
	TopicBook       = "book"
	TopicWeather    = "weather"
	TopicFire       = "fire"
	TopicNoise      = "noise"
	TopicVibration  = "vibration"
)

// Check refuses a sheet that the answer must not be built on: for another block, from another edition of the block
// card, for a day that has not come, with somebody or a saw on it twice, or without an answer that an event asks for. Every
// reason is in the error.
func Check(in Input) error {
	var problems []error
	s, b := in.Sheet, in.Block
	if s.Block != b.ID {
		problems = append(problems, fmt.Errorf("the sheet is for block %s, not for %s", s.Block, b.ID))
	}
	if s.BlockEdition < b.Edition {
		problems = append(problems, fmt.Errorf("the sheet was written from edition %d of the block card; edition %d is in force: write a new sheet",
			s.BlockEdition, b.Edition))
	}
	if s.BlockEdition > b.Edition {
		problems = append(problems, fmt.Errorf("the sheet names edition %d of the block card; this book knows edition %d", s.BlockEdition, b.Edition))
	}
	if today := in.Now.Format(time.DateOnly); s.Day > today {
		problems = append(problems, fmt.Errorf("the sheet is for %s; today is %s", s.Day, today))
	}
	return errors.Join(append(append(problems, in.twice()...), in.unanswered()...)...)
}

// Assess answers for one sheet that Check has passed. The same input gives the same answer.
func Assess(in Input) Assessment {
	d := newDay(in)
	d.during()
	d.stops()
	d.wires()
	d.aiderHurt()
	d.agreed()
	d.alone()
	d.emergency()
	d.spacing()
	d.steepness()
	d.oneAbove()
	d.limits()
	d.books()
	d.loosened()
	d.weather()
	d.fire()
	d.light()
	d.reach()
	d.fireTools()
	d.saws()
	d.crew()
	d.stemSize()
	d.bentStems()
	d.steepUnlimited()
	d.exposures()
	d.blanks()
	d.events()
	d.score()
	d.file()
	d.accept()
	d.conclude()
	return d.out
}

// day is one assessment under way.
type day struct {
	in      Input
	out     Assessment
	people  map[string]Worker
	answers map[string]Said
	downs   map[string][]string // why a saw stays down
	stopped map[string][]string // why a person stops
	pending []pending
	abouts  []about // whom and which saws each finding names, in the order of the findings

	otherwise map[string]string // what somebody may do who stops because of a level or a stem
	keepTo    map[string]string // what somebody keeps to who is not stopped
	filing    []string          // saws to be filed before those who use them start
	late      bool              // help comes later than the house figure

	notLooked []string // topics nobody looked at
	asks      []Open   // questions of events not known yet
	ends      string   // clock time at which the answer ends before the house figure, "" = not before
	fireHigh  bool     // the fire class is high or above
}

// pending is a finding that needs a control on one of these factors, with an owner, and acceptance by name.
type pending struct {
	finding int
	words   string
	factors []string
}

func newDay(in Input) *day {
	d := &day{
		in: in, people: make(map[string]Worker, 2*len(in.People)), answers: make(map[string]Said, len(asked)),
		downs: map[string][]string{}, stopped: map[string][]string{}, otherwise: map[string]string{}, keepTo: map[string]string{},
		out: Assessment{Findings: make([]Finding, 0, len(asked)/2)},
	}
	for _, p := range in.People {
		if !p.Unknown {
			d.people[p.ID], d.people[p.Handle] = p, p
		}
	}
	delete(d.people, "")
	for _, q := range questions {
		if _, there := in.Sheet.answered(q.ID); there || !cameLater(q.ID) {
			d.answers[q.ID] = in.Sheet.Said(q.ID)
		}
	}
	for _, a := range in.Sheet.Readings {
		d.answers[a.Question] = a.Said
	}
	d.fromBook()
	help, known := in.Block.HelpAfter()
	d.late = !known || help > in.House.SI(house.HelpWithin)
	return d
}

// bad reports whether a yes-no question was answered the bad way, or not yet.
func (d *day) bad(id string) bool {
	q, _ := questionByID(id)
	is := d.answers[id].Is
	return is == q.Bad || is == DontKnow
}

// value returns a told value in its base unit; ok is false where none was told. A coarse word counts by its severe end.
func (d *day) value(id string) (si float64, ok bool) {
	a := d.answers[id]
	if a.Is != Told {
		return 0, false
	}
	q, _ := questionByID(id)
	v, err := units.Parse(q.plain(a.Value), q.Of)
	if err != nil {
		return 0, false
	}
	return v.SI(), true
}

// unknown reports whether a value counts as the worst: not known yet, or not readable.
func (d *day) unknown(id string) bool {
	_, told := d.value(id)
	return !told && d.answers[id].Is != NotApplicable
}

// id is how a person is recorded: their id, or the name as typed for somebody unknown.
func (d *day) id(worker string) string {
	if p, ok := d.people[worker]; ok {
		return p.ID
	}
	return worker
}

// name stands for a person in a text.
func (d *day) name(worker string) string {
	if p, ok := d.people[worker]; ok {
		return "{" + p.ID + "}"
	}
	if contains(d.in.Absent, worker) {
		return "{" + worker + "}"
	}
	return worker
}

// remark says behind a reason that it is not known yet, and who finds out.
func (d *day) remark(id string) string {
	if a := d.answers[id]; a.Is == DontKnow {
		return fmt.Sprintf(" (not known yet, so it counts; %s finds out by %s)", d.name(a.Who), a.By)
	}
	return ""
}

// about says whom and which saws a finding names, as on the sheet. Their names stand in its texts as theirs and thoseSaws until
// findings that say the same are one.
type about struct{ people, saws []string }

const (
	theirs    = "{*}"
	thoseSaws = "{#}"
)

// find adds a finding and returns its place.
func (d *day) find(f Finding) int { return d.findAbout(f, about{}) }

func (d *day) findAbout(f Finding, a about) int {
	f.Rules = d.in.Rules[f.Topic]
	d.out.Findings = append(d.out.Findings, f)
	d.abouts = append(d.abouts, a)
	return len(d.out.Findings) - 1
}

// stopPerson adds a finding that stops one person. Line is it in a few words, do what ends it.
func (d *day) stopPerson(worker string, f Finding, why string) {
	d.stopped[worker] = append(d.stopped[worker], why)
	f.Effect, f.Of, f.What = StopPerson, OfPerson, theirs+": "+why+"."
	if f.Line == "" {
		f.Line = theirs + ": " + why
	}
	d.findAbout(f, about{people: []string{worker}})
}

// stopSaw adds a finding that stops one saw.
func (d *day) stopSaw(saw, id, means, do, why string) {
	d.downs[saw] = append(d.downs[saw], why)
	d.findAbout(Finding{Topic: TopicSaws, ID: id, Effect: StopSaw, Of: OfSaw, Means: means, Do: do,
		Line: "saw " + thoseSaws + ": " + why, What: "Saw " + thoseSaws + " stays down: " + why + "."}, about{saws: []string{saw}})
}

// means is that of a stop, or NotYet where the answer behind it is not known yet.
func (d *day) means(id, means string) string {
	if d.answers[id].Is == DontKnow {
		return NotYet
	}
	return means
}

// findsOut is what to do about a stop, or who finds out where the answer behind it is not known yet.
func (d *day) findsOut(id, do string) string {
	if a := d.answers[id]; a.Is == DontKnow {
		return d.name(a.Who) + " finds out by " + a.By
	}
	return do
}

// rule is a house rule in its base unit, or what the starter edition has where the edition in force came before it.
func (d *day) rule(key string, starter float64) float64 {
	if d.in.House.Has(key) {
		return d.in.House.SI(key)
	}
	return starter
}
