package house

import (
	"fmt"

	"example.org/ringtrue/hazards/units"
)

// Adopted is an edition with who adopted it and since when it holds. By is how a text names the person, an id in an entry.
type Adopted struct {
	House House
	By    string
	Day   string // YYYY-MM-DD
}

// Loosening is a house figure that is looser than the one the book began with, with who chose it and why.
type Loosening struct {
	Key     string `json:"key"`
	Company string `json:"company"` // as written, with its unit
	Starter string `json:"starter"`
	By      string `json:"by"`
	Day     string `json:"day"` // YYYY-MM-DD
	Reason  string `json:"reason"`
}

// Words says the loosening in one line; who chose it stands as {id}.
func (l Loosening) Words() string {
	return fmt.Sprintf("company figure %s, starter %s, by {%s} on %s: %s", l.Company, l.Starter, l.By, l.Day, l.reason())
}

func (l Loosening) reason() string {
	if l.Reason == "" {
		return "no reason recorded"
	}
	return l.Reason
}

// Since returns the edition with what of it is looser than at the beginning. History holds every edition up to this one, the oldest
// first and this one last. A rule that the first edition lacks is compared with the starter edition of this program.
func (h House) Since(history []Adopted) House {
	out := h.copied()
	if len(history) == 0 {
		return out
	}
	for _, n := range out.Numbers {
		first, has := history[0].House.find(n.Key)
		if !has {
			first, _ = Definition(n.Key)
		}
		was, err := units.Parse(first.Value, first.Of)
		if err != nil || !Looser(n.Key, out.SI(n.Key), was.SI()) {
			continue
		}
		by := chosen(history, n.Key)
		out.looser[n.Key] = Loosening{Key: n.Key, Company: n.Value, Starter: first.Value, By: by.By, Day: by.Day, Reason: by.House.Reason}
	}
	return out
}

// chosen is the edition with which the newest figure of a rule came.
func chosen(history []Adopted, key string) Adopted {
	i := len(history) - 1
	for i > 0 && history[i-1].House.Has(key) && history[i-1].House.SI(key) == history[i].House.SI(key) {
		i--
	}
	return history[i]
}

// Looser returns what the company has loosened, in the order of the numbers.
func (h House) Looser() []Loosening {
	var out []Loosening
	for _, n := range h.Numbers {
		if l, ok := h.looser[n.Key]; ok {
			out = append(out, l)
		}
	}
	return out
}

// Ways in which a figure can change.
const (
	Stricter   = "stricter"
	Loosened   = "looser"
	Other      = "changed" // words, and numbers of which neither way is stricter
	Came       = "new"
	Dropped    = "left out"
	SourceOnly = "source"
)

// Change is what one edition did to one rule. Was and Is are as written; "" where the rule is not there.
type Change struct {
	Key string `json:"key"`
	Was string `json:"was"`
	Is  string `json:"is"`
	Way string `json:"way"` // one of the ways above
}

// Changes lists what differs between two editions, in the order of the newer one and then what it left out.
func Changes(old, now House) []Change {
	var out []Change
	for _, n := range now.Numbers {
		if c := (Change{Key: n.Key, Was: old.Value(n.Key), Is: n.Value, Way: way(n, old, now)}); c.Way != "" {
			out = append(out, c)
		}
	}
	for _, n := range old.Numbers {
		if !now.Has(n.Key) {
			out = append(out, Change{Key: n.Key, Was: n.Value, Way: Dropped})
		}
	}
	return out
}

// way says how a number of the newer edition differs; "" where it does not.
func way(n Number, old, now House) string {
	before, had := old.find(n.Key)
	switch {
	case !had:
		return Came
	case before.Value == n.Value && before.Source == n.Source:
		return ""
	case before.Value == n.Value:
		return SourceOnly
	case Looser(n.Key, now.SI(n.Key), old.SI(n.Key)):
		return Loosened
	case Looser(n.Key, old.SI(n.Key), now.SI(n.Key)):
		return Stricter
	}
	return Other
}

// Keeping is the edition with the figures that a company has chosen itself: those of its edition now that are not as in its first
// one. It returns their keys. All three must have come through Parse or Ready; none is changed.
func (h House) Keeping(first, now House) (House, []string) {
	out := h.copied()
	var kept []string
	for i, n := range out.Numbers {
		own, has := now.find(n.Key)
		if !has || own.Value == n.Value || own.Of != n.Of || own.Value == first.Value(n.Key) {
			continue
		}
		out.Numbers[i].Value, out.Numbers[i].Source = own.Value, own.Source
		out.si[n.Key] = now.SI(n.Key)
		kept = append(kept, n.Key)
	}
	return out, kept
}
