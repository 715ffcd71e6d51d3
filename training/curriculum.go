// Package training holds what the book knows about people and competence, as types and pure functions.
//
// It keeps four things apart that paper runs together: attendance (was taught), observation (one look at one worker
// doing one skill), decision (sign-off, release, withdrawal, lift) and restriction (may not use the skill from now
// on). Functions take records, rules and a day and return a value with its reasons; nothing here reads files,
// clocks or databases. Unknown always counts as not held.
package training

import (
	"slices"

	"example.org/ringtrue/hazards/units"
)

// Curriculum is one edition of what is taught and looked at. It stands in full in the ledger.
type Curriculum struct {
	Edition string   `json:"edition" yaml:"edition"`
	Modules []Module `json:"modules" yaml:"modules"`
	Groups  []Group  `json:"groups" yaml:"groups"`
	PPE     []Item   `json:"ppe" yaml:"ppe"`
}

// Module is taught content with the skills that show it was learnt. Needs names modules to be taught before it;
// Covers names regulation topics ("1910.266(i)(3)(ii)", ...).
type Module struct {
	ID     string   `json:"id" yaml:"id"`
	Title  string   `json:"title" yaml:"title"`
	Needs  []string `json:"needs" yaml:"needs"`
	Covers []string `json:"covers" yaml:"covers"`
	Skills []Skill  `json:"skills" yaml:"skills"`
}

// Skill is an observable ability. Gate skills come before any saw time; emergency skills have no currency gap
// because drills keep them. A withdrawn skill stays readable and is never signed off again; Replaces names an older
// skill whose sign-off counts for it. Look says where the observer stands and how a look is staged, "" in editions from before it.
type Skill struct {
	ID        string      `json:"id" yaml:"id"`
	Title     string      `json:"title" yaml:"title"`
	Critical  bool        `json:"critical" yaml:"critical"`
	Gate      bool        `json:"gate" yaml:"gate"`
	Emergency bool        `json:"emergency" yaml:"emergency"`
	Withdrawn bool        `json:"withdrawn" yaml:"withdrawn"`
	Replaces  string      `json:"replaces" yaml:"replaces"`
	Look      string      `json:"look,omitempty" yaml:"look,omitempty"`
	Criteria  []Criterion `json:"criteria" yaml:"criteria"`
}

// Criterion is one observable point of a skill. A measured one has Of (the dimension) and Min or Max or both, as
// quantities with unit; a seen one has none. Source is a published source or "common practice, no source".
type Criterion struct {
	ID       string          `json:"id" yaml:"id"` // a short word, unique within its skill, as typed in --met and --value
	Text     string          `json:"text" yaml:"text"`
	Critical bool            `json:"critical" yaml:"critical"`
	Of       units.Dimension `json:"of" yaml:"of"`
	Min      string          `json:"min" yaml:"min"`
	Max      string          `json:"max" yaml:"max"`
	Source   string          `json:"source" yaml:"source"`
}

// Measured reports whether the criterion is judged by a value.
func (c Criterion) Measured() bool { return c.Of != "" }

// Group is a task group: a kind of work for which people are released. Skills are those it needs, beyond the gate
// skills that all saw work needs. Saw says whether it is work with a running saw.
type Group struct {
	ID     string   `json:"id" yaml:"id"`
	Title  string   `json:"title" yaml:"title"`
	Saw    bool     `json:"saw" yaml:"saw"`
	Skills []string `json:"skills" yaml:"skills"`
	PPE    []string `json:"ppe" yaml:"ppe"` // items everybody doing this work must hold
}

// Item is a kind of protective equipment. Standards are numbers of published standards; Note says what a reader
// must not assume.
type Item struct {
	ID        string   `json:"id" yaml:"id"`
	Title     string   `json:"title" yaml:"title"`
	Body      string   `json:"body" yaml:"body"` // part of the body it protects
	Standards []string `json:"standards" yaml:"standards"`
	Note      string   `json:"note" yaml:"note"`
}

// Skill finds a skill and its module; ok is false for unknown ids.
func (c Curriculum) Skill(id string) (s Skill, m Module, ok bool) {
	for _, m := range c.Modules {
		for _, s := range m.Skills {
			if s.ID == id {
				return s, m, true
			}
		}
	}
	return Skill{}, Module{}, false
}

// Module finds a module by id.
func (c Curriculum) Module(id string) (Module, bool) {
	for _, m := range c.Modules {
		if m.ID == id {
			return m, true
		}
	}
	return Module{}, false
}

// Group finds a task group by id.
func (c Curriculum) Group(id string) (Group, bool) {
	for _, g := range c.Groups {
		if g.ID == id {
			return g, true
		}
	}
	return Group{}, false
}

// Item finds a kind of protective equipment by id.
func (c Curriculum) Item(id string) (Item, bool) {
	for _, i := range c.PPE {
		if i.ID == id {
			return i, true
		}
	}
	return Item{}, false
}

// GateSkills lists the skills that come before any saw time, in curriculum order.
func (c Curriculum) GateSkills() []string {
	var ids []string
	for _, m := range c.Modules {
		for _, s := range m.Skills {
			if s.Gate && !s.Withdrawn {
				ids = append(ids, s.ID)
			}
		}
	}
	return ids
}

// Criterion finds a criterion of the skill by its id.
func (s Skill) Criterion(id string) (Criterion, bool) {
	for _, c := range s.Criteria {
		if c.ID == id {
			return c, true
		}
	}
	return Criterion{}, false
}

// Uses reports whether doing the group's work uses a skill: it is one the group needs, or a gate skill of saw work.
func (g Group) Uses(s Skill) bool { return (g.Saw && s.Gate) || slices.Contains(g.Skills, s.ID) }

// InOrder lists the modules so that each stands behind those it needs, otherwise in the order of the curriculum.
// Modules in a circle of prerequisites, which the catalogue's lint refuses, come last.
func (c Curriculum) InOrder() []Module {
	var out []Module
	placed := map[string]bool{}
	ready := func(m Module) bool {
		return !placed[m.ID] && !slices.ContainsFunc(m.Needs, func(n string) bool { return !placed[n] })
	}
	for len(out) < len(c.Modules) {
		i := slices.IndexFunc(c.Modules, ready)
		if i < 0 {
			break
		}
		out = append(out, c.Modules[i])
		placed[c.Modules[i].ID] = true
	}
	for _, m := range c.Modules {
		if !placed[m.ID] {
			out = append(out, m)
		}
	}
	return out
}
