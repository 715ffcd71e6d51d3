package hazards

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/training"
)

// Change is what the day has changed about a sheet: other answers, people who came, left or are unwell, a saw check that turned out
// otherwise, and controls that are named now. People stand in it as on the sheet.
type Change struct {
	At      string     `json:"at"` // HH:MM
	By      string     `json:"by"`
	Answers []Answer   `json:"answers"`
	Arrived []string   `json:"arrived"`
	Left    []string   `json:"left"`
	Unwell  []string   `json:"unwell"`
	Checks  []SawCheck `json:"checks"`
	Ground  string     `json:"ground,omitempty"` // who has walked the ground now and answers its questions again; what is not among Answers is as before

	Controls   []Control `json:"controls,omitempty"` // named from now on
	AcceptedBy string    `json:"accepted_by,omitempty"`
}

// SawCheck is one check of a saw answered anew.
type SawCheck struct {
	Saw string `json:"saw"`
	Answer
}

// WithPeople returns the change with every worker in it put through to, as Sheet.WithPeople does.
func (c Change) WithPeople(to func(string) string) Change {
	name := func(w *string) {
		if *w != "" {
			*w = to(*w)
		}
	}
	name(&c.By)
	name(&c.Ground)
	name(&c.AcceptedBy)
	c.Controls = slices.Clone(c.Controls)
	for i := range c.Controls {
		name(&c.Controls[i].Owner)
	}
	c.Answers = append([]Answer{}, withPeople(c.Answers, name)...) // an entry holds no nulls
	for _, list := range []*[]string{&c.Arrived, &c.Left, &c.Unwell} {
		*list = append([]string{}, *list...)
		for i := range *list {
			name(&(*list)[i])
		}
	}
	c.Checks = append([]SawCheck{}, c.Checks...)
	for i := range c.Checks {
		name(&c.Checks[i].Who)
	}
	return c
}

// After returns the sheet as it is after a change. Who arrives is there without a saw until a sheet plans one. The error joins what
// does not fit: somebody who is there already, or is not there, and saws that are not on the sheet.
func (s Sheet) After(c Change) (Sheet, error) {
	s.GroundBy, s.GroundAt = s.groundSeen() // another answer, or a later hour, sees no ground
	if c.Ground != "" {
		s.GroundBy, s.GroundAt = c.Ground, c.At
	}
	s.At, s.By, s.Started = c.At, c.By, ""
	s.Crew, s.Saws = slices.Clone(s.Crew), slices.Clone(s.Saws)
	s.Answers, s.Readings, s.FireDays = slices.Clone(s.Answers), slices.Clone(s.Readings), nil
	s.Events = slices.Clone(s.Events)
	var problems []error
	for _, a := range c.Answers {
		if _, asked := AskedIn(a.Question); asked {
			problems = append(problems, s.answerEvent(a))
			continue
		}
		s.answer(a)
	}
	for _, w := range c.Arrived {
		if s.lineAt(w) >= 0 {
			problems = append(problems, fmt.Errorf("%s is on the sheet already", w))
			continue
		}
		s.Crew = append(s.Crew, CrewLine{Worker: w, Level: training.NoSaw, Fit: Said{Is: Yes}})
	}
	for _, w := range c.Unwell {
		if i := s.lineAt(w); i >= 0 {
			s.Crew[i].Fit = Said{Is: No}
			continue
		}
		problems = append(problems, fmt.Errorf("%s is not on the sheet", w))
	}
	for _, w := range c.Left {
		if i := s.lineAt(w); i >= 0 {
			s.Crew = slices.Delete(s.Crew, i, i+1)
			continue
		}
		problems = append(problems, fmt.Errorf("%s is not on the sheet", w))
	}
	for _, k := range c.Checks {
		problems = append(problems, s.check(k))
	}
	s.Controls = slices.Clone(s.Controls)
	for _, k := range c.Controls {
		s.control(k)
	}
	if c.AcceptedBy != "" {
		s.AcceptedBy = c.AcceptedBy
	}
	return s, errors.Join(problems...)
}

// answer puts an answer in the place of the one before, or among the readings.
func (s *Sheet) answer(a Answer) {
	for _, list := range [][]Answer{s.Answers, s.Readings} {
		for i := range list {
			if list[i].Question == a.Question {
				list[i].Said = a.Said
				return
			}
		}
	}
	s.Readings = append(s.Readings, a)
}

// answerEvent puts an answer in the place of the one before to what is asked until it is done.
func (s *Sheet) answerEvent(a Answer) error {
	for i := range s.Events {
		if AskKey(s.Events[i].Event) == a.Question {
			s.Events[i].Said = a.Said
			return nil
		}
	}
	return fmt.Errorf("%s is not on the sheet", a.Question)
}

// control puts a control in the place of the one of its kind for the same factor, or behind the others.
func (s *Sheet) control(k Control) {
	for i, was := range s.Controls {
		if was.For == k.For && was.Kind == k.Kind {
			s.Controls[i] = k
			return
		}
	}
	s.Controls = append(s.Controls, k)
}

func (s *Sheet) lineAt(worker string) int {
	return slices.IndexFunc(s.Crew, func(c CrewLine) bool { return c.Worker == worker })
}

func (s *Sheet) check(k SawCheck) error {
	i := slices.IndexFunc(s.Saws, func(w SawLine) bool { return w.ID == k.Saw })
	if i < 0 {
		return fmt.Errorf("saw %s is not on the sheet", k.Saw)
	}
	checks := slices.Clone(s.Saws[i].Checks)
	for j := range checks {
		if checks[j].Question == k.Question {
			checks[j].Said = k.Said
		}
	}
	s.Saws[i].Checks = checks
	return nil
}

// controlKey finds the keys of a control written on one line.
var controlKey = regexp.MustCompile(`(?:^|[\s,;{])(` + strings.Join(controlKeys, "|") + `)\s*[=:]`)

// ParseControl reads a control as it stands on the sheet, on one line: "for=wet-icy kind=organised what=along the strip owner=ana". Each key
// stands once; a value goes on to the next key.
func ParseControl(text string) (Control, error) {
	n := &yaml.Node{Kind: yaml.MappingNode}
	scalar := func(v string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: v} }
	found := controlKey.FindAllStringSubmatchIndex(text, -1)
	if len(found) == 0 || strings.Trim(text[:found[0][2]], " {") != "" {
		return Control{}, fmt.Errorf("write %s=... each once", strings.Join(controlKeys, "=... "))
	}
	for i, at := range found {
		end := len(text)
		if i+1 < len(found) {
			end = found[i+1][2]
		}
		n.Content = append(n.Content, scalar(text[at[2]:at[3]]), scalar(strings.Trim(text[at[1]:end], " \t,;}\"")))
	}
	r := &reader{}
	out := r.controls(&yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{n}})
	var problems []error
	for _, p := range r.problems {
		problems = append(problems, errors.New(strings.TrimPrefix(p.text, "controls: ")))
	}
	if err := errors.Join(problems...); err != nil || len(out) != 1 {
		return Control{}, err
	}
	return out[0], nil
}

// ParseSawCheck reads the answer to one check of a saw, as it would stand on the sheet.
func ParseSawCheck(saw, check, text string) (SawCheck, error) {
	for _, q := range sawChecks {
		if q.ID == check {
			said, err := parseSaid(Known{}, q, text)
			return SawCheck{saw, Answer{q.ID, said}}, err
		}
	}
	return SawCheck{}, fmt.Errorf("%q is not a check of a saw%s", check, perhaps(check, ids(sawChecks)))
}
