package hazards

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// TopicEvent is the topic of a question that an event put on the sheets.
const TopicEvent = "event"

// EventQuestion is a question that an event puts on the day sheets until it is closed. Event is the number of its entry as
// people write it. Block is "" where it is asked on every block; From is when the event happened, "2026-07-14 13:50" by the
// book's clock: no sheet for an earlier moment has to answer. A closed one may still stand on a sheet written before.
type EventQuestion struct {
	Event    string
	Kind     string
	Block    string
	From     string
	Question string
	Closed   bool
}

// On reports whether a sheet has to answer the question.
func (e EventQuestion) On(s Sheet) bool {
	return !e.Closed && (e.Block == "" || e.Block == s.Block) && s.Day+" "+s.At >= e.From
}

// About says where the question comes from: kind, day and entry of the event.
func (e EventQuestion) About() string {
	day, _, _ := strings.Cut(e.From, " ")
	return strings.ReplaceAll(e.Kind, "-", " ") + " of " + day + ", entry " + e.Event
}

// EventAnswer is the answer to a question of an event: yes, no, not applicable or don't know yet. No answer is the bad one by itself: it
// is read out and recorded, and who decides looks at it. It is never carried forward. Question and About are "" as long as the
// sheet has not been held against the book.
type EventAnswer struct {
	Event    string `json:"event"`
	Question string `json:"question"`
	About    string `json:"about"` // kind, day and entry of the event
	Said
}

// eventKey begins the name of a question of an event on the sheet.
const eventKey = "event-"

// sayable is how every question of an event is answered.
func (e EventAnswer) sayable() Question {
	return Question{ID: eventKey + e.Event, Kind: YesNo, NA: true, Text: orWords(e.Question, "answer the question above it")}
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
		a := EventAnswer{Event: strings.TrimPrefix(name, eventKey)}
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
		names = append(names, eventKey+e.Event)
	}
	if asks != nil || blank(n) || n.Kind != yaml.MappingNode {
		return names
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if name := n.Content[i].Value; len(name) > len(eventKey) && len(name) <= maxText && strings.HasPrefix(name, eventKey) && !contains(names, name) {
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
			problems = append(problems, fmt.Errorf("%s%s is blank: %s (%s)", eventKey, e.Event, e.Question, e.About()))
		}
	}
	return problems
}

// events puts the questions of events with their answers among the findings. Nobody but people can say which answer is the bad one, so
// they stop nothing by themselves; who decides reads them with the rest.
func (d *day) events() {
	for _, a := range d.in.Sheet.Events {
		says := "Asked because of an event (" + orWords(a.About, "entry "+a.Event) + "): " + orWords(a.Question, "its question") + " Answer: "
		switch a.Is {
		case DontKnow:
			says += "not known yet; " + d.name(a.Who) + " finds out by " + a.By + "."
			d.asks = append(d.asks, Open{eventKey + a.Event, d.id(a.Who), a.By})
		default:
			says += strings.TrimSuffix(a.Is+d.toldBy(a.Said), ".") + "."
		}
		d.find(Finding{Topic: TopicEvent, ID: eventKey + a.Event, Effect: Watch, Of: OfSite, Line: says, What: says, Ends: "the event is closed"})
	}
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
	w.comment("Each is asked every day until its event is closed: yes, no, not applicable, or don't know yet - NAME by 07:30.")
	w.text("asked:\n")
	for _, a := range list {
		w.text("  ")
		w.comment("%s%s", orWords(a.Question, "The question of event "+a.Event), inBrackets(a.About))
		answer := ""
		if a.Is != "" {
			answer = a.String()
		}
		w.text("  ")
		w.pair(scalar(eventKey+a.Event), answer)
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
