package hazards

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Limits of a day sheet.
const (
	MaxSheet = 256 << 10 // bytes
	maxText  = 500       // bytes of one answer
)

// Keys of the sheet and of its lines, in the order in which they are written.
var (
	sheetKeys = []string{"format", "block", "block-edition", "day", "at", "by", "accepted-by", "coordinates", "started", "ground-by", "ground-at",
		"crew", "visitors", "saws", "answers", "asked", "readings", "fire-days", "controls", "end"}
	crewKeys    = []string{"worker", "saw", "group", "level", "watched-by", "fit", "trigger", "ears"}
	sawKeys     = append(append([]string{"id"}, ids(sawChecks)...), "vibration", "noise", "noise-c")
	visitorKeys = []string{"name", "with"}
	controlKeys = []string{"for", "kind", "what", "owner"}
)

// ParseSheet reads a filled day sheet. Name stands before every message. It is strict: unknown keys, blank or unknown
// answers, values without unit, people and saws named twice, an end line that is missing or counts otherwise are all refused, every
// problem at once, each as "NAME:LINE: …" on its own line, in the order of the file; a sheet of format 1 with ErrFormat alone. Asks are the questions of events that the book knows: those that
// the sheet has to answer may not be missing, and no others may stand there; without asks, each that stands there is taken.
func ParseSheet(name string, text []byte, asks ...EventQuestion) (Sheet, error) {
	return ParseSheetFor(name, text, Known{}, asks...)
}

// ParseSheetFor is ParseSheet for a sheet that names what a book knows: what is not known is refused on its line, together
// with every other problem. The sheet keeps the names as they were typed.
func ParseSheetFor(name string, text []byte, known Known, asks ...EventQuestion) (Sheet, error) {
	r := &reader{name: name, known: known}
	root, err := r.document(text)
	if err != nil {
		return Sheet{}, err
	}
	if err := r.format(root); err != nil {
		return Sheet{}, err
	}
	s := r.sheet(root, asks)
	if err := r.err(); err != nil {
		return Sheet{}, err
	}
	return s, nil
}

func (r *reader) sheet(root *yaml.Node, asks []EventQuestion) Sheet {
	f := r.fields(root, "sheet", sheetKeys)
	r.need(f["format"], root, "format", "write "+SheetFormat)
	s := Sheet{
		Block:        r.listed(f["block"], root, "block", "which block is it?", r.known.Block),
		BlockEdition: r.edition(f["block-edition"], root),
		Day:          r.day(f["day"], root),
		At:           r.clock(f["at"], root, "at", true),
		By:           r.who(f["by"], root, "by", "who fills this in?"),
		AcceptedBy:   r.whoMay(f["accepted-by"], "accepted-by"),
		Coordinates:  r.need(f["coordinates"], root, "coordinates", "read them from the map or the receiver, and back"),
		Started:      r.clock(f["started"], root, "started", false),
		GroundBy:     r.whoMay(f["ground-by"], "ground-by"),
		GroundAt:     r.clock(f["ground-at"], root, "ground-at", false),
		Visitors:     r.visitors(f["visitors"]),
		Saws:         r.saws(f["saws"]),
		Answers:      r.answers(f["answers"], root),
		Controls:     r.controls(f["controls"]),
	}
	s.Readings, s.FireDays = r.readings(f["readings"], root, s), r.fireDays(f["fire-days"])
	s.Crew = r.crew(f["crew"], root, s.Saws, s.Day)
	s.Events = r.eventAnswers(f["asked"], root, s, asks)
	r.whole(f, root)
	return s
}

func (r *reader) edition(n, root *yaml.Node) int {
	t := r.need(n, root, "block-edition", "copy it from the block card")
	if t == "" {
		return 0
	}
	e, err := strconv.Atoi(t)
	if err != nil || e < 1 {
		r.say(n.Line, "block-edition is %q; write the number on the block card", t)
	}
	return e
}

func (r *reader) day(n, root *yaml.Node) string {
	t := r.need(n, root, "day", "which day is it?")
	if t == "" {
		return ""
	}
	d, err := civil.Parse(t)
	if err != nil {
		r.say(n.Line, "day: %v", err)
	}
	return d.String()
}

func (r *reader) clock(n, root *yaml.Node, where string, needed bool) string {
	t := r.text(n, where)
	if t == "" {
		if needed {
			r.say(lineIn(n, root), "%s is blank: what is the time?", where)
		}
		return ""
	}
	c, err := clockTime(t)
	if err != nil {
		r.say(n.Line, "%s: %v", where, err)
	}
	return c
}

// clockTime reads HH:MM, and H:MM as HH:MM.
func clockTime(s string) (string, error) {
	t, err := time.Parse("15:04", s)
	if err != nil || len(s) > len("15:04") {
		return "", fmt.Errorf("%q is not a clock time; write for example 06:40", s)
	}
	return t.Format("15:04"), nil
}

func (r *reader) crew(n, root *yaml.Node, saws []SawLine, day string) []CrewLine {
	var out []CrewLine
	here := once{}
	for _, item := range r.items(n, "crew") {
		c := r.crewLine(item, day)
		if before := here.again(r.same(c.Worker), c.Worker, item.Line); before != "" {
			r.say(item.Line, "crew: %s is named twice, %s", c.Worker, before)
		}
		if before := here.again("saw "+strings.ToLower(c.Saw), c.Saw, item.Line); before != "" {
			r.say(item.Line, "crew: saw %s is used by two people, %s", c.Saw, before)
		}
		if c.Saw != "" && !hasSaw(saws, c.Saw) {
			r.say(item.Line, "crew: saw %s has no line under saws", c.Saw)
			r.hold(item.Line, "crew: saw", c.Saw, r.known.Saw)
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		r.say(lineIn(n, root), "crew is blank: who stands here now?")
	}
	return out
}

func hasSaw(saws []SawLine, id string) bool {
	for _, s := range saws {
		if s.ID == id {
			return true
		}
	}
	return false
}

func (r *reader) crewLine(n *yaml.Node, day string) CrewLine {
	f := r.fields(n, "crew", crewKeys)
	c := CrewLine{
		Worker:    r.who(f["worker"], n, "crew: worker", "who is it?"),
		Saw:       r.text(f["saw"], "crew: saw"),
		Group:     r.text(f["group"], "crew: group"),
		WatchedBy: r.whoMay(f["watched-by"], "crew: watched-by"),
		Fit:       r.said(f["fit"], n, "crew: "+sayName(f["worker"])+"fit", fitQuestion),
		Trigger:   r.maybe(f["trigger"], "crew: trigger", triggerQuestion),
		Ears:      r.ears(f["ears"]),
	}
	r.group(lineIn(f["group"], n), day, c.Group)
	c.Level = r.level(f["level"], n)
	if c.Level == 0 {
		return c
	}
	switch {
	case c.Saws() && c.Saw == "":
		r.say(n.Line, "crew: %s is planned %s, but with no saw; name the saw, or write no saw as level", c.Worker, c.Level)
	case c.Saws() && c.Group == "":
		r.say(n.Line, "crew: %s is planned %s, but for no task group", c.Worker, c.Level)
	case !c.Saws() && c.Saw != "":
		r.say(n.Line, "crew: %s is planned no saw, but saw %s is named", c.Worker, c.Saw)
	}
	return c
}

func sayName(n *yaml.Node) string {
	if blank(n) || n.Kind != yaml.ScalarNode {
		return ""
	}
	return strings.TrimSpace(n.Value) + ", "
}

var levels = []training.Level{training.NoSaw, training.InSight, training.InHearing, training.PeriodicCheck, training.Unsupervised}

func levelWords() []string {
	var out []string
	for _, l := range levels {
		out = append(out, l.String())
	}
	return out
}

func (r *reader) level(n, parent *yaml.Node) training.Level {
	t := r.need(n, parent, "crew: level", "write "+strings.Join(levelWords(), ", "))
	if t == "" {
		return 0
	}
	var l training.Level
	if err := l.UnmarshalText([]byte(t)); err != nil {
		r.say(n.Line, "crew: %q is not a level%s; write %s", t, perhaps(t, levelWords()), strings.Join(levelWords(), ", "))
		return 0
	}
	return l
}

func (r *reader) visitors(n *yaml.Node) []Visitor {
	var out []Visitor
	for _, item := range r.items(n, "visitors") {
		f := r.fields(item, "visitors", visitorKeys)
		out = append(out, Visitor{
			Name: r.need(f["name"], item, "visitors: name", "who is it?"),
			With: r.who(f["with"], item, "visitors: with", "who do they stay with?"),
		})
	}
	return out
}

func (r *reader) saws(n *yaml.Node) []SawLine {
	var out []SawLine
	here := once{}
	for _, item := range r.items(n, "saws") {
		f := r.fields(item, "saws", sawKeys)
		s := SawLine{ID: r.listed(f["id"], item, "saws: id", "which saw is it?", r.known.Saw), Vibration: r.maybe(f["vibration"], "saws: vibration", vibrationQuestion),
			Noise: r.weighted(f["noise"], "saws: noise", "dBA"), NoiseC: r.weighted(f["noise-c"], "saws: noise-c", "dBC")}
		if before := here.again(strings.ToLower(s.ID), s.ID, item.Line); before != "" {
			r.say(item.Line, "saws: saw %s stands twice, %s", s.ID, before)
		}
		for _, q := range sawChecks {
			s.Checks = append(s.Checks, Answer{q.ID, r.said(f[q.ID], item, "saw "+orWords(s.ID, "without an id")+", "+q.ID, q)})
		}
		out = append(out, s)
	}
	return out
}

func (r *reader) answers(n, root *yaml.Node) []Answer {
	if blank(n) {
		r.say(lineIn(n, root), "answers are blank: answer every question")
		return nil
	}
	f := r.fields(n, "answers", ids(questions))
	var out []Answer
	for _, q := range questions {
		if blank(f[q.ID]) && contains(r.known.Blank, q.ID) {
			continue
		}
		out = append(out, Answer{q.ID, r.said(f[q.ID], n, q.ID, q)})
	}
	return out
}

func (r *reader) controls(n *yaml.Node) []Control {
	var out []Control
	for _, item := range r.items(n, "controls") {
		f := r.fields(item, "controls", controlKeys)
		c := Control{
			For:   r.need(f["for"], item, "controls: for", "which factor does it act on?"),
			What:  r.need(f["what"], item, "controls: what", "what is done?"),
			Owner: r.who(f["owner"], item, "controls: owner", "who sees to it?"),
		}
		if word := r.need(f["kind"], item, "controls: kind", "write "+strings.Join(risk.KindWords(), ", ")); word != "" {
			k, err := risk.ParseKind(word)
			if err != nil {
				r.say(f["kind"].Line, "controls: %v%s", err, perhaps(word, risk.KindWords()))
			}
			c.Kind = k
		}
		if c.For != "" {
			r.controlFor(f["for"].Line, c)
		}
		out = append(out, c)
	}
	return out
}

// controlFor refuses controls that name nothing they could act on.
func (r *reader) controlFor(line int, c Control) {
	names := controllable()
	if _, asked := AskedIn(c.For); asked {
		return
	}
	switch {
	case isExperience(c.For):
		r.say(line, "controls: nothing lowers %s; change the ground or the task", c.For)
	case !contains(names, c.For):
		r.say(line, "controls: %q is not a factor%s; factors are %s", c.For, perhaps(c.For, names), strings.Join(names, ", "))
	}
}
