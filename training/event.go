package training

import (
	"slices"

	"example.org/ringtrue/training/civil"
)

// Kinds of entries about events.
const (
	KindEvent         = "event"
	KindAction        = "action"
	KindActionDone    = "action-done"
	KindActionChecked = "action-checked"
	KindEventClosed   = "event-closed"
)

// EventKinds are what can be told: a close call, a refusal of unsafe work, a drill, an incident.
var EventKinds = []string{"close-call", "refusal", "drill", "incident"}

// Event is something that happened and what it showed. ToldBy may stay "" (unnamed).
type Event struct {
	Kind     string `json:"kind"`
	Block    string `json:"block"`
	What     string `json:"what"`
	Showed   string `json:"showed"`
	ToldBy   string `json:"told_by"`
	Question string `json:"question"` // to be asked on the next day sheets, "" = none

	Answers []string `json:"answers,omitempty"` // uses of a saw against what the book said that it answers for, each "origin#seq"
}

// Action is something to be done because of an event, by somebody, by a day.
type Action struct {
	Event string `json:"event"` // "origin#seq"
	What  string `json:"what"`
	Owner string `json:"owner"` // person id
	Due   string `json:"due"`
}

// ActionDone says that an action was done, and what shows it.
type ActionDone struct {
	Action string `json:"action"`
	Proof  string `json:"proof"`
}

// ActionChecked says that somebody other than the owner has looked at what was done.
type ActionChecked struct {
	Action string `json:"action"`
}

// EventClosed ends an event; what it taught stays.
type EventClosed struct {
	Event  string `json:"event"`
	Lesson string `json:"lesson"`
}

// ActionState is an action with what became of it.
type ActionState struct {
	Ref     string
	Event   string
	What    string
	Owner   string
	Due     civil.Day
	Done    civil.Day // None: not done
	Checked bool
}

// Overdue reports whether an action is past its day and not done.
func (a ActionState) Overdue(day civil.Day) bool { return a.Done == civil.None && day > a.Due }

// CannotClose lists the actions that stand against closing an event: not done, or not checked by somebody else.
func CannotClose(actions []ActionState) []string {
	var why []string
	for _, a := range actions {
		switch {
		case a.Done == civil.None:
			why = append(why, "not done: "+a.What)
		case !a.Checked:
			why = append(why, "done, but not checked by somebody else: "+a.What)
		}
	}
	return why
}

// KnownEventKind reports whether a kind of event is one that can be told.
func KnownEventKind(kind string) bool { return slices.Contains(EventKinds, kind) }
