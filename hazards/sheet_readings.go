package hazards

import (
	"errors"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

// Keys of a line of noon readings.
var fireKeys = []string{"day", "temp", "rh", "wind", "rain", "start", "codes", "source"}

// readings reads the questions that may stay blank, of a sheet so far as it is read. What is blank is not on the sheet.
func (r *reader) readings(n, root *yaml.Node, s Sheet) []Answer {
	if blank(n) {
		r.fireClass(nil, root, s)
		return nil
	}
	f := r.fields(n, "readings", ids(readings))
	r.fireClass(f[FireClass], n, s)
	var out []Answer
	for _, q := range readings {
		if blank(f[q.ID]) {
			continue
		}
		a := r.said(f[q.ID], n, q.ID, q)
		if q.Kind == Clock && a.Is == Told && s.At != "" && a.Value > s.At {
			r.say(f[q.ID].Line, "%s: %s is after the sheet itself at %s", q.ID, a.Value, s.At)
		}
		out = append(out, Answer{q.ID, a})
	}
	r.together(f, n)
	return out
}

// fireClass refuses a blank fire class in the months in which one is asked.
func (r *reader) fireClass(n, parent *yaml.Node, s Sheet) {
	if !blank(n) || r.known.FireClass == nil {
		return
	}
	if why := r.known.FireClass(s.Block, s.Day); why != "" {
		r.say(lineIn(n, parent), "%s is blank: %s (asked %s)", FireClass, asked[FireClass].Text, why)
	}
}

// together refuses readings that mean nothing alone.
func (r *reader) together(f map[string]*yaml.Node, n *yaml.Node) {
	need := func(id, with, why string) {
		if !blank(f[id]) && blank(f[with]) {
			r.say(lineIn(f[id], n), "%s: %s is blank: %s", id, with, why)
		}
	}
	need(ThunderGap, ThunderLast, "when was it heard?")
	need(WalkClimb, WalkOut, "how far is it?")
	class := f[FireClass]
	if blank(class) || class.Kind != yaml.ScalarNode {
		return
	}
	word, _, _ := strings.Cut(strings.TrimSpace(class.Value), " - ")
	if strings.EqualFold(word, NotApplicable) || strings.EqualFold(word, "n/a") || dontKnowForm.MatchString(class.Value) {
		return
	}
	if _, known := fire.Rank(word); !known {
		r.say(class.Line, "%s: %q is not a class%s; write %s", FireClass, word, perhaps(word, fire.ClassNames()), strings.Join(fire.ClassNames(), ", "))
	}
	need(FireClass, FireClassAt, "a class needs the time at which it was read")
	need(FireClass, FireClassBy, "a class needs its source")
}

// fireDays reads the lines of noon readings.
func (r *reader) fireDays(n *yaml.Node) []FireDay {
	var out []FireDay
	seen := map[string]bool{}
	for _, item := range r.items(n, "fire-days") {
		f := r.fields(item, "fire-days", fireKeys)
		d := FireDay{
			Day: r.need(f["day"], item, "fire-days: day", "whose noon is it?"), Temp: r.quantity(f["temp"], item, "fire-days: temp", fireQuestions[0]),
			RH: r.quantity(f["rh"], item, "fire-days: rh", fireQuestions[1]), Wind: r.quantity(f["wind"], item, "fire-days: wind", fireQuestions[2]),
			Rain: r.quantity(f["rain"], item, "fire-days: rain", fireQuestions[3]), Codes: r.text(f["codes"], "fire-days: codes"),
			Source: r.need(f["source"], item, "fire-days: source", "which station or forecast is it from?"),
		}
		r.fireLine(f, item, &d)
		if seen[d.Day] {
			r.say(item.Line, "fire-days: %s stands twice", d.Day)
		}
		seen[d.Day] = true
		out = append(out, d)
	}
	return out
}

// fireLine completes a line: its day, whether it starts the season, the agency's codes.
func (r *reader) fireLine(f map[string]*yaml.Node, item *yaml.Node, d *FireDay) {
	if d.Day != "" {
		day, err := civil.Parse(d.Day)
		if err != nil {
			r.say(f["day"].Line, "fire-days: day: %v", err)
		}
		d.Day = day.String()
	}
	if t := r.text(f["start"], "fire-days: start"); t != "" {
		word, known := yesNo[strings.ToLower(t)]
		if !known {
			r.say(f["start"].Line, "fire-days: start: %q is no answer; write yes on the first day of the season, else leave it out", t)
		}
		d.Start = word == Yes
	}
	if d.Codes == "" {
		return
	}
	if _, err := fire.ParseCodes(d.Codes); err != nil {
		r.say(f["codes"].Line, "fire-days: codes: %v", err)
	}
	if d.Start {
		r.say(item.Line, "fire-days: a season starts with the start-up codes or with the agency's, not with both")
	}
}

// quantity reads a value that must be there, with its unit.
func (r *reader) quantity(n, parent *yaml.Node, where string, q Question) string {
	t := r.need(n, parent, where, "write a value with its unit ("+q.Such+")")
	if t == "" {
		return ""
	}
	return r.bounded(n.Line, where, t, q)
}

// maybe reads a value that may be left out.
func (r *reader) maybe(n *yaml.Node, where string, q Question) string {
	t := r.text(n, where)
	if t == "" {
		return ""
	}
	return r.bounded(n.Line, where, t, q)
}

func (r *reader) bounded(line int, where, t string, q Question) string {
	if _, err := inRange(t, q); err != nil {
		r.say(line, "%s: %v; write a value with its unit (%s)", where, err, q.Such)
	}
	return t
}

// What may be told of a person's day and of a saw (company choice: what can be meant).
var (
	triggerQuestion   = Question{ID: "trigger", Of: units.Time, Such: "3h", Max: 16 * hour}
	vibrationQuestion = Question{ID: "vibration", Of: units.Acceleration, Such: "4.5m/s2", Max: 40}
	noiseQuestion     = Question{ID: "noise", Of: units.Level, Such: "101dBA", Min: 40, Max: 140}
)

// weighted reads a sound level with the weighting asked for.
func (r *reader) weighted(n *yaml.Node, where, unit string) string {
	t := r.maybe(n, where, noiseQuestion)
	if t == "" {
		return ""
	}
	if q, err := units.Parse(t, units.Level); err == nil && q.Unit != unit {
		r.say(n.Line, "%s: write the level in %s", where, unit)
	}
	return t
}

// ears reads a hearing protector, "csa_muff 25".
func (r *reader) ears(n *yaml.Node) string {
	t := r.text(n, "crew: ears")
	if t == "" {
		return ""
	}
	if _, _, err := parseEars(t); err != nil {
		r.say(n.Line, "crew: ears: %v", err)
	}
	return t
}

// readings writes the questions that may stay blank, and the lines of noon readings.
func (w *writer) readings(s Sheet, h Hints) {
	w.text("\n# What stays blank below was not looked at, and the answer says so.\nreadings:\n")
	section := ""
	for _, q := range readings {
		if q.Section != section {
			section = q.Section
			w.text("\n  # -- " + section + " --\n")
		}
		if q.ID == FireClass && h.FireClass != "" {
			w.text("  ")
			w.comment("%s", mustAnswer)
		}
		w.question(q, answerText(s.Readings, q.ID), s, h.Last)
	}
	w.comment("Noon readings (noon standard time, wind at 10 m in the open), one line a day, so that the fire index can be carried.")
	w.comment("- {day: 2026-07-13, temp: 24C, rh: 35%%, wind: 12km/h, rain: 0mm, source: }")
	w.comment("On the first day of the season add start: yes, or the agency's codes of the day before, codes: 88.1 45.2 310.")
	w.text("fire-days:\n")
	for _, f := range s.FireDays {
		w.text("  - " + f.line() + "\n")
	}
}

func (f FireDay) line() string {
	words := []string{"day: " + f.Day, "temp: " + inFlow(f.Temp), "rh: " + inFlow(f.RH), "wind: " + inFlow(f.Wind), "rain: " + inFlow(f.Rain)}
	if f.Start {
		words = append(words, "start: yes")
	}
	if f.Codes != "" {
		words = append(words, "codes: "+inFlow(f.Codes))
	}
	return "{" + strings.Join(append(words, "source: "+inFlow(f.Source)), ", ") + "}"
}

// ParseAnswer reads the answer to one question or reading, or to what is asked until it is done (event-13), as it would stand on the sheet.
func ParseAnswer(question, text string) (Answer, error) {
	return ParseAnswerFor(Known{}, question, text)
}

// ParseAnswerFor is ParseAnswer for a book: an answer that names somebody whom it does not know is refused.
func ParseAnswerFor(known Known, question, text string) (Answer, error) {
	if event, ok := AskedIn(question); ok {
		said, err := parseSaid(known, EventAnswer{Event: event}.sayable(), text)
		return Answer{question, said}, err
	}
	q, there := questionByID(question)
	if !there {
		names := append(ids(questions), ids(readings)...)
		return Answer{}, fmt.Errorf("%q is not a question%s", question, perhaps(question, names))
	}
	said, err := parseSaid(known, q, text)
	return Answer{q.ID, said}, err
}

// parseSaid reads one answer outside a sheet.
func parseSaid(known Known, q Question, text string) (Said, error) {
	r := &reader{known: known}
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
	s := r.said(n, n, q.ID, q)
	if len(r.problems) > 0 {
		return Said{}, errors.New(r.problems[0].text)
	}
	return s, nil
}

// ParseClock reads a clock time, HH:MM or H:MM, as HH:MM.
func ParseClock(text string) (string, error) { return clockTime(text) }

// CheckWords refuses words that could not stand on a sheet: more than one line, signs that nobody sees, or too many.
func CheckWords(text string) error {
	r := &reader{}
	r.text(&yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}, "what you wrote")
	if len(r.problems) > 0 {
		return errors.New(r.problems[0].text)
	}
	return nil
}
