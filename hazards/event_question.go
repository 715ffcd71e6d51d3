package hazards

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// TopicEvent is the topic of a question that an event put on the sheets.
const TopicEvent = "event"

// EventQuestion is something that stands on the day sheets of a block until it is done: the question of an event that is not closed, an
// action that nobody has said is done, or what a close told for tomorrow. Event names what asks, as people write it: the number of the
// event's entry, or that of an action or a close behind its prefix (see ActionAsks, TomorrowAsks). Block is "" where it is asked on every
// block; From is when it began, "2026-07-14 13:50" by the book's clock: no sheet for an earlier moment has to answer. What is closed may
// still stand on a sheet written before.
type EventQuestion struct {
	Event    string
	Kind     string // of an event
	Block    string
	From     string
	Question string
	Owner    string // who sees to an action, as texts name people
	Due      string // day by which an action is due
	Closed   bool
}

// Prefixes of what asks, beside events, which have none.
const (
	ActionAsks   = "action-"
	TomorrowAsks = "tomorrow-"
)

// eventKey begins the name of a question of an event on the sheet.
const eventKey = "event-"

// AskKey is the name under which a question stands on the sheet: "event-13", "action-14", "tomorrow-15.1".
func AskKey(event string) string {
	if strings.HasPrefix(event, ActionAsks) || strings.HasPrefix(event, TomorrowAsks) {
		return event
	}
	return eventKey + event
}

// AskedIn is what a name on the sheet asks for, the other way round; ok is false for any other name.
func AskedIn(key string) (event string, ok bool) {
	for _, prefix := range []string{ActionAsks, TomorrowAsks} {
		if rest, is := strings.CutPrefix(key, prefix); is {
			return key, rest != ""
		}
	}
	event, ok = strings.CutPrefix(key, eventKey)
	return event, ok && event != ""
}

// DoneQuestion asks whether something is done that was to be done.
func DoneQuestion(what string) string {
	what = strings.TrimRight(oneLine(strings.TrimSpace(what)), ".?! ")
	if most := maxText - len("Is this done: ?"); len(what) > most {
		what = strings.ToValidUTF8(what[:most-3], "") + "..."
	}
	return "Is this done: " + what + "?"
}

// On reports whether a sheet has to answer the question.
func (e EventQuestion) On(s Sheet) bool {
	return !e.Closed && (e.Block == "" || e.Block == s.Block) && s.Day+" "+s.At >= e.From
}

// About says where the question comes from: what asks, of which day, who sees to it, and the entry.
func (e EventQuestion) About() string {
	day, _, _ := strings.Cut(e.From, " ")
	if entry, is := strings.CutPrefix(e.Event, ActionAsks); is {
		return "action of " + e.Owner + ", due " + e.Due + ", entry " + entry
	}
	if entry, is := strings.CutPrefix(e.Event, TomorrowAsks); is {
		return "told at the end of " + day + ", entry " + entry
	}
	return strings.ReplaceAll(e.Kind, "-", " ") + " of " + day + ", entry " + e.Event
}

// EventAnswer is the answer to such a question: yes, no, not applicable or don't know yet. No, and what nobody knows, needs a control
// with an owner. It is never carried forward. Question and About are "" as long as the sheet has not been held against the book.
type EventAnswer struct {
	Event    string `json:"event"`
	Question string `json:"question"`
	About    string `json:"about"` // where it comes from, with the entry
	Said
}

// sayable is how every such question is answered.
func (e EventAnswer) sayable() Question {
	return Question{ID: AskKey(e.Event), Kind: YesNo, NA: true, Text: orWords(e.Question, "answer the question above it")}
}

func orWords(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// eventAnswers reads the answers to the questions of events. Of those in asks that are due, none may be missing or blank; without any
// in asks, each that stands there is taken.
func (r *reader) eventAnswers(n, root *yaml.Node, s Sheet, asks []EventQuestion) []EventAnswer {
	names := r.eventNames(n, asks)
	found := map[string]*yaml.Node{}
	if !blank(n) {
		found = r.fields(n, "asked", names)
	}
	parent := n
	if parent == nil {
		parent = root
	}
	var out []EventAnswer
	for _, name := range names {
		event, _ := AskedIn(name)
		a := EventAnswer{Event: event}
		e, known := askedBy(asks, a.Event)
		if blank(found[name]) && known && !e.On(s) {
			continue
		}
		if known {
			a.Question, a.About = e.Question, e.About()
		}
		q := a.sayable()
		if found[name] == nil {
			q.Text += " (write " + name + ": and the answer under asked:)"
		}
		a.Said = r.said(found[name], parent, q.ID, q)
		out = append(out, a)
	}
	return out
}

// eventNames lists the names that may stand under asked: those of asks, or, where none are told, those that stand there.
func (r *reader) eventNames(n *yaml.Node, asks []EventQuestion) []string {
	var names []string
	for _, e := range asks {
		names = append(names, AskKey(e.Event))
	}
	if asks != nil || blank(n) || n.Kind != yaml.MappingNode {
		return names
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name := n.Content[i].Value
		if _, asks := AskedIn(name); asks && len(name) <= maxText && !contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

func askedBy(asks []EventQuestion, event string) (EventQuestion, bool) {
	for _, e := range asks {
		if e.Event == event {
			return e, true
		}
	}
	return EventQuestion{}, false
}

// unanswered refuses a sheet that leaves out a question it has to answer, whoever made it.
func (in Input) unanswered() []error {
	var problems []error
	for _, e := range in.Asks {
		answered := false
		for _, a := range in.Sheet.Events {
			answered = answered || (a.Event == e.Event && a.Is != "")
		}
		if e.On(in.Sheet) && !answered {
			problems = append(problems, fmt.Errorf("%s is blank: %s (%s)", AskKey(e.Event), e.Question, e.About()))
		}
	}
	return problems
}

// events puts what was asked with its answer among the findings. No, and what nobody knows yet, needs a control with an owner on it
// before the saws start (company choice: what was decided yesterday is seen to, not watched).
func (d *day) events() {
	for _, a := range d.in.Sheet.Events {
		about, question := orWords(a.About, "entry "+a.Event), orWords(a.Question, "its question")
		says := "Asked because of an event (" + about + "): " + question + " Answer: "
		if AskKey(a.Event) == a.Event {
			says = "Still to be done (" + about + "): " + question + " Answer: "
		}
		switch a.Is {
		case DontKnow:
			says += "not known yet; " + d.name(a.Who) + " finds out by " + a.By + "."
			d.asks = append(d.asks, Open{AskKey(a.Event), d.id(a.Who), a.By})
		default:
			says += strings.TrimSuffix(a.Is+d.toldBy(a.Said), ".") + "."
		}
		d.asked(a, says)
	}
}

// asked adds the finding of one question that was asked.
func (d *day) asked(a EventAnswer, says string) {
	f := Finding{Topic: TopicEvent, ID: AskKey(a.Event), Effect: Watch, Of: OfSite, Line: says, What: says, Ends: endOf(a)}
	if a.Is != No && a.Is != DontKnow {
		d.find(f)
		return
	}
	f.Effect = NeedsControl
	d.pending = append(d.pending, pending{d.find(f), `"` + orWords(a.Question, "what was asked") + `"`, []string{AskKey(a.Event)}})
}

// endOf says what ends a question: it is asked until then.
func endOf(a EventAnswer) string {
	switch {
	case strings.HasPrefix(a.Event, ActionAsks):
		return "somebody says that the action is done, and what shows it"
	case strings.HasPrefix(a.Event, TomorrowAsks):
		return "somebody answers yes"
	}
	return "the event is closed"
}

// toldBy says who said an answer, where it is somebody else than who filled in the sheet.
func (d *day) toldBy(s Said) string {
	if s.At == "" {
		return ""
	}
	return ", " + d.name(s.Who) + " at " + s.At
}

// eventAnswers writes the questions of events: those answered already, and those that hints ask. Nothing is carried forward.
func (w *writer) eventAnswers(s Sheet, h Hints) {
	list := append([]EventAnswer(nil), s.Events...)
	for _, e := range h.Asks {
		if !hasEvent(list, e.Event) {
			list = append(list, EventAnswer{Event: e.Event, Question: e.Question, About: e.About()})
		}
	}
	if len(list) == 0 {
		return
	}
	w.text("\n# -- Asked because of what has happened --\n")
	w.comment("Each is asked every day until it is done or closed: yes, no, not applicable, or don't know yet - NAME by 07:30. No needs a control with an owner.")
	w.text("asked:\n")
	for _, a := range list {
		w.text("  ")
		w.comment("%s%s", orWords(a.Question, "The question of "+AskKey(a.Event)), inBrackets(a.About))
		answer := ""
		if a.Is != "" {
			answer = a.String()
		}
		w.text("  ")
		w.pair(scalar(AskKey(a.Event)), answer)
	}
}

func hasEvent(list []EventAnswer, event string) bool {
	for _, a := range list {
		if a.Event == event {
			return true
		}
	}
	return false
}

func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " [" + s + "]"
}

// CheckQuestion refuses the text of a question that could not stand on a sheet.
func CheckQuestion(text string) error {
	switch {
	case strings.TrimSpace(text) == "":
		return fmt.Errorf("the question is empty")
	case len(text) > maxText:
		return fmt.Errorf("the question has %d letters; at most %d fit on a sheet", len(text), maxText)
	case oneLine(text) != text:
		return fmt.Errorf("the question is more than one line of plain text")
	}
	return nil
}
