// Package glance is one look at a check: what a crew reads on one screen before the saws start.
//
// What stands there, in this order, each only where there is something to say:
//
//	the word        go, go with controls, not yet or stopped; block, day and time; what was decided on the ground comes before it
//	the sentence    who decides and when the answer ends, and once what it does not say
//	stops           what stops, and what is still missing before work may start; people and saws by name
//	not looked at   directly below what stops
//	who may do what people with equal work in one line; who is stopped, what they may do meanwhile
//	controls        one line each, with its owner
//	watch           what to watch, and what makes the crew check again
//	hurt            the text to read aloud
//	the rest        two lines: where reasons, everything and the print are
//
// Of makes the typed Screen from an assessment; it chooses no words. Screen.Lines says it in a language and fits it to a size. What is
// equal for several people or saws is one row that names all of them. No ids of questions, house rules, clauses or entries stand on it.
//
// What does not fit goes in this order: blank lines, what to watch, the detail of controls, the end of a long list of what nobody looked
// at. Stops, people and the text to read aloud are never cut: a screen that cannot hold them is longer. A person who is stopped always
// stands on it by name.
//
// Assessments recorded before findings had a line of their own are shown by their long sentences, without house rules in brackets.
// Width is counted in cells, not letters.
package glance

import (
	"time"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// Word is the answer as a crew reads it.
type Word string

// Words, the mildest first.
const (
	Go           Word = "go"
	WithControls Word = "go with controls"
	NotYet       Word = "not yet" // somebody must be named, filed or asked
	Stopped      Word = "stopped" // nothing on paper changes it
)

// Morning is what a screen takes beside the assessment.
type Morning struct {
	Name      func(id string) string // how a person is called; "" = by the id
	BlockName string
	When      time.Time         // of the check, in the zone of the book
	Controls  []hazards.Control // as on the sheet, owners by id
	Card      hazards.Block     // card of the block; used where it says what was recorded to be read aloud
	Decided   *Decision         // what was decided on the ground since, nil = nothing
	Missed    []hazards.Missed  // calls that have not come by now, people by id
	Changed   []string          // answers that differ from the check before
	NotJoined []string          // ids of those who have not acknowledged the check
	Notes     []string          // sentences about the day, already in words
	Unsigned  bool              // nobody signed the answer
	Rest      Rest
}

// Decision is what somebody decided on the ground, apart from what was computed. People stand in it as ids.
type Decision struct {
	At      time.Time
	By      string
	What    string // what happened, in words
	Text    string
	Word    Word // stricter than what was computed, "" = not
	Told    []string
	NotTold []string
}

// Rest are the commands that show what the screen leaves out; "" = none.
type Rest struct{ Why, Full, Print string }

// Screen is one look, before words and width. Names are as people are called, saws by their ids.
type Screen struct {
	Word        Word
	Computed    Word // where a decision was stricter, else ""
	Block       string
	BlockName   string
	When        time.Time
	Ends        string // HH:MM, "" under a stop
	Decided     *Decision
	Sentence    string // as recorded; "" under a stop
	Late        string
	Stops       []Stop // what stops
	Missing     []Stop // what is missing before work may start
	Ask         []Ask
	NotLookedAt []string
	May         []Task
	NoSaw       []string // here without a saw; under a stop of the site everybody
	Meanwhile   []Task
	Controls    []Control
	Watch       []Stop
	Again       []string
	Changed     []string
	NotJoined   []string
	Nobody      bool // nobody at all has joined
	Notes       []string
	Hurt        Hurt
	Unsigned    bool
	Rest        Rest
}

// Stop is one reason to stop, for the site where it names nobody.
type Stop struct {
	Names []string
	Text  string // its line as recorded
	Long  string // all of it, for a language that has no words for the line
	Do    string
	Until string // HH:MM
}

// Ask is what somebody finds out by when.
type Ask struct {
	Who, By   string
	Questions []string // ids
}

// Task is what people may do who may do the same.
type Task struct {
	Names   []string
	Group   string
	Level   training.Level
	With    string
	Only    string // what they keep to: stems, ground, the words of a release
	Instead string // in place of group and level, for those who are stopped
}

// Control is what is done, about which topics, for whom, and who sees to it.
type Control struct {
	Topics  []string
	Names   []string
	Text    string
	Long    string // as in Stop
	Do      string
	Owner   string
	Accepts string // who accepts by name what no control acts on
}

// Hurt is the text to read aloud: the card, or the lines as recorded.
type Hurt struct {
	Card  *hazards.Block
	Lines []string
}

// Size is a screen in cells. Lines keeps one row for the line on which people type.
type Size struct{ Wide, High int }

// Plain is the size of a pipe and of paper.
var Plain = Size{Wide: 80, High: 24}
