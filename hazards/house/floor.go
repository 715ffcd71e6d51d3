package house

import (
	"fmt"
	"math"
	"sync"

	"example.org/ringtrue/hazards/units"
)

// Kinds of a Floor.
const (
	Binding = "floor"  // no house figure is looser
	Advice  = "advice" // shown beside the house rule and binds nothing
)

// Floor is a number that comes from somewhere else than the company: a clause of a place, or a published figure that the starter
// edition takes for a floor. One of kind Binding is never loosened by a house figure: the stricter of the two judges. Value is written
// with its unit, in any unit of the rule's dimension; which way is stricter follows from the rule.
type Floor struct {
	Key    string `json:"key" yaml:"key"`
	Value  string `json:"value" yaml:"value"`
	Place  string `json:"place,omitempty" yaml:"-"` // code of the place (hazards/rules); "" = wherever the book is kept
	Clause string `json:"clause" yaml:"clause"`     // instrument with its clause, or the publication
	Status string `json:"status" yaml:"status"`     // how far it was read, in words: "read in the text", "read in a restatement"
	Read   string `json:"read" yaml:"read"`         // where to read it
	Kind   string `json:"kind" yaml:"-"`            // Binding or Advice
	Note   string `json:"note,omitempty" yaml:"note"`
}

// definitions are the starter's numbers by key. What a rule measures and which way is stricter comes from here and never from an
// edition, which a company may have written so that nothing is looser.
var definitions = sync.OnceValue(func() map[string]Number {
	h, err := Starter()
	if err != nil {
		panic(err) // embedded, and read by the tests
	}
	out := make(map[string]Number, len(h.Numbers))
	for _, n := range h.Numbers {
		out[n.Key] = n
	}
	return out
})

// Definition returns a rule as the starter edition has it; ok is false for a key that this program does not know.
func Definition(key string) (n Number, ok bool) {
	n, ok = definitions()[key]
	return n, ok
}

// Keys lists the house rules of this program, in the starter's order.
func Keys() []string {
	h, _ := Starter() // embedded, and read by the tests
	keys := make([]string, len(h.Numbers))
	for i, n := range h.Numbers {
		keys[i] = n.Key
	}
	return keys
}

// Looser reports whether value a of a rule is looser than b, both in the base unit; never where neither way is stricter. A
// hair's breadth that a change of unit makes is not looser.
func Looser(key string, a, b float64) bool {
	hair := 1e-9 * math.Max(1, math.Abs(b))
	switch n, _ := Definition(key); n.Strict {
	case "lower":
		return a > b+hair
	case "higher":
		return a < b-hair
	}
	return false
}

// SI reads the floor in the base unit of its rule; ok is false for an unknown rule, one of which neither way is stricter, and a value
// that does not read.
func (f Floor) SI() (si float64, ok bool) {
	n, known := Definition(f.Key)
	if !known || n.Strict == "" {
		return 0, false
	}
	q, err := units.Parse(f.Value, n.Of)
	return q.SI(), err == nil
}

// Bound writes the floor as a demand: "at least 10m", "at most 5gal".
func (f Floor) Bound() string {
	if n, _ := Definition(f.Key); n.Strict == "lower" {
		return "at most " + f.Value
	}
	return "at least " + f.Value
}

// Words names the floor with its clause and how far that was read.
func (f Floor) Words() string { return fmt.Sprintf("%s (%s, %s)", f.Bound(), f.Clause, f.Status) }

// Raised is a number that a floor has made stricter. Company is what the edition says; "" where it lacks the rule.
type Raised struct {
	Key     string `json:"key"`
	Company string `json:"company"`
	Floor   Floor  `json:"floor"`
}

// Under returns the edition with each number at least as strict as every binding floor, and remembers which were raised and why. A
// rule that the edition lacks, or has in a dimension of its own making, is taken from the floor. Floors that do not read are passed
// over: they are refused where they come from. The edition must have come through Parse or Ready; it is not changed.
func (h House) Under(floors []Floor) House {
	out := h.copied()
	for _, f := range floors {
		si, ok := f.SI()
		if f.Kind != Binding || !ok {
			continue
		}
		n, has := out.find(f.Key)
		def, _ := Definition(f.Key)
		if has && n.Of == def.Of && !Looser(f.Key, out.SI(f.Key), si) {
			continue
		}
		out.raise(f, si, def)
	}
	return out
}

// raise puts the floor in the place of the number.
func (h *House) raise(f Floor, si float64, def Number) {
	company := h.Company(f.Key)
	def.Value, def.Source = f.Value, "floor: "+f.Clause+", "+f.Status
	if i, has := h.index[f.Key]; has {
		h.Numbers[i] = def
	} else {
		h.index[f.Key] = len(h.Numbers)
		h.Numbers = append(h.Numbers, def)
	}
	h.si[f.Key] = si
	h.raised[f.Key] = Raised{Key: f.Key, Company: company, Floor: f}
}

// Raised returns what floors have made stricter, in the order of the numbers.
func (h House) Raised() []Raised {
	var out []Raised
	for _, n := range h.Numbers {
		if r, ok := h.raised[n.Key]; ok {
			out = append(out, r)
		}
	}
	return out
}

// Company is the company's own figure of a rule, which a floor may have replaced; "" where the edition lacks the rule.
func (h House) Company(key string) string {
	if r, ok := h.raised[key]; ok {
		return r.Company
	}
	return h.Value(key)
}

// Below returns an error for each number of the edition that is looser than a binding floor; each names the floor, its clause and
// where to read it.
func (h House) Below(floors []Floor) []error {
	var problems []error
	for _, n := range h.Numbers {
		for _, f := range strictest(floors, n.Key) {
			if si, _ := f.SI(); Looser(n.Key, h.SI(n.Key), si) {
				problems = append(problems, fmt.Errorf("house rule %s: %s is looser than its floor, %s; read it: %s", n.Key, n.Value, f.Words(), f.Read))
			}
		}
	}
	return problems
}

// strictest returns the one strictest of the floors that bind a rule; none where nothing does.
func strictest(floors []Floor, key string) []Floor {
	var best []Floor
	for _, f := range floors {
		si, ok := f.SI()
		if f.Key != key || f.Kind != Binding || !ok {
			continue
		}
		if len(best) == 0 {
			best = []Floor{f}
		} else if was, _ := best[0].SI(); Looser(key, was, si) {
			best = []Floor{f}
		}
	}
	return best
}

// Binds returns the strictest floor of a rule; ok is false where none binds.
func Binds(floors []Floor, key string) (f Floor, ok bool) {
	if best := strictest(floors, key); len(best) > 0 {
		return best[0], true
	}
	return Floor{}, false
}
