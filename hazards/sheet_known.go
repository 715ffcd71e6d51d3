package hazards

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Known is what a sheet is read against. Each function says in its error why it does not know what was typed; one that is nil
// takes everything. Person gives the id of the person meant, so that nobody stands on a sheet under two names; a task group is one of
// the day of the sheet, "" where that cannot be read. FireClass says why the fire class of a block may not stay blank on a day (see FireClassAsked), ""
// where it may. Blank names questions that may stay blank, because they stand so on a sheet recorded before they had to be answered.
type Known struct {
	Person     func(typed string) (id string, err error)
	Block, Saw func(typed string) error
	Group      func(day, typed string) error
	FireClass  func(block, day string) string
	Blank      []string
}

// hold refuses what is typed and not known; "" is held against nothing.
func (r *reader) hold(line int, where, typed string, known func(string) error) {
	if typed == "" || known == nil {
		return
	}
	if err := known(typed); err != nil {
		r.say(line, "%s: %v", where, err)
	}
}

// group refuses a task group that is none on the day of the sheet.
func (r *reader) group(line int, day, typed string) {
	r.hold(line, "crew: group", typed, func(string) error {
		if r.known.Group == nil {
			return nil
		}
		return r.known.Group(day, typed)
	})
}

// listed reads text that may not be blank and has to be known.
func (r *reader) listed(n, parent *yaml.Node, where, hint string, known func(string) error) string {
	t := r.need(n, parent, where, hint)
	r.hold(lineIn(n, parent), where, t, known)
	return t
}

// person refuses somebody whom the book does not know.
func (r *reader) person(line int, where, typed string) {
	r.hold(line, where, typed, func(string) error {
		if r.known.Person == nil {
			return nil
		}
		_, err := r.known.Person(typed)
		return err
	})
}

// who reads the name of somebody who has to be there.
func (r *reader) who(n, parent *yaml.Node, where, hint string) string {
	t := r.need(n, parent, where, hint)
	r.person(lineIn(n, parent), where, t)
	return t
}

// whoMay reads the name of somebody, or nothing.
func (r *reader) whoMay(n *yaml.Node, where string) string {
	t := r.text(n, where)
	if t != "" {
		r.person(n.Line, where, t)
	}
	return t
}

// same is one word for a person however they are typed: their id, or without a book what is typed but for capitals and spaces.
func (r *reader) same(typed string) string {
	if r.known.Person != nil {
		if id, err := r.known.Person(typed); err == nil {
			return id
		}
	}
	return strings.ToLower(strings.Join(strings.Fields(typed), " "))
}

// once remembers where something stood first.
type once map[string]struct {
	line  int
	typed string
}

// again says where something stood before, or "" where it did not, or nothing was typed.
func (o once) again(key, typed string, line int) string {
	first, seen := o[key]
	switch {
	case typed == "":
		return ""
	case !seen:
		o[key] = struct {
			line  int
			typed string
		}{line, typed}
		return ""
	case first.typed != typed:
		return fmt.Sprintf("on line %d as %s", first.line, first.typed)
	}
	return fmt.Sprintf("first on line %d", first.line)
}

// twice refuses a sheet on which one person, or one saw, stands twice: the answer would be built on one of the two.
func (in Input) twice() []error {
	handle := map[string]string{}
	for _, p := range in.People {
		if p.Handle != "" {
			handle[p.ID], handle[p.Handle] = p.Handle, p.Handle
		}
	}
	var problems []error
	seen := map[string]bool{}
	for _, c := range in.Sheet.Crew {
		who := orWords(handle[c.Worker], c.Worker)
		if seen["worker "+who] {
			problems = append(problems, fmt.Errorf("crew: %s is named twice", who))
		}
		if c.Saw != "" && seen["saw "+c.Saw] {
			problems = append(problems, fmt.Errorf("crew: saw %s is used by two people", c.Saw))
		}
		seen["worker "+who], seen["saw "+c.Saw] = true, true
	}
	for _, s := range in.Sheet.Saws {
		if seen["line "+s.ID] {
			problems = append(problems, fmt.Errorf("saws: saw %s stands twice", s.ID))
		}
		seen["line "+s.ID] = true
	}
	return problems
}
