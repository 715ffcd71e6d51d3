package rules

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/ringtrue/training/spelling"
)

var (
	codeForm = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	idForm   = regexp.MustCompile(`^[a-z]+(-[a-z0-9.]+)+$`)
)

// linter gathers findings; names and ids remember who has taken them.
type linter struct {
	edition Edition
	names   map[string]string // code or alias → jurisdiction
	ids     map[string]string // rule id → jurisdiction
	found   []error
}

// Lint checks an edition and returns all findings, in the edition's order; none means that it may be offered.
func Lint(e Edition) []error {
	l := &linter{edition: e, names: map[string]string{}, ids: map[string]string{}}
	if e.Edition == "" {
		l.say("local rules: the edition has no name")
	}
	if !isDay(e.Compiled) {
		l.say("local rules: %q is not the day on which the edition was compiled; write YYYY-MM-DD", e.Compiled)
	}
	if len(e.Jurisdictions) == 0 {
		l.say("local rules: the edition has no jurisdictions")
	}
	for _, j := range e.Jurisdictions {
		l.jurisdiction(j)
	}
	return l.found
}

func (l *linter) say(format string, args ...any) {
	l.found = append(l.found, fmt.Errorf(format, args...))
}

func isDay(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}

func (l *linter) jurisdiction(j Jurisdiction) {
	at := fmt.Sprintf("local rules of %q", j.Code)
	for _, name := range append([]string{j.Code}, j.Aliases...) {
		l.name(at, name, j.Code)
	}
	l.texts(at, []field{{"title", j.Title, true}, {"authority", j.Authority, true}, {"note", j.Note, false}})
	l.parent(at, j)
	l.thinning(at, j)
	l.sought(at, j)
	for _, r := range j.Rules {
		l.rule(at, j.Code, r)
	}
	l.floors(at, j)
}

func (l *linter) name(at, name, code string) {
	if !codeForm.MatchString(name) {
		l.say("%s: %q is not a code; use lower-case letters and hyphens", at, name)
	}
	if owner, taken := l.names[name]; taken {
		l.say("%s: code or alias %q is taken by %q", at, name, owner)
		return
	}
	l.names[name] = code
}

// parent asks that the line of parents ends. Parents are named by code, not by alias.
func (l *linter) parent(at string, j Jurisdiction) {
	if j.Parent == "" {
		return
	}
	line := l.edition.Line(j.Code)
	for _, up := range line {
		if up.Parent == j.Code {
			l.say("%s: parent %q leads back to it", at, j.Parent)
			return
		}
	}
	if p, ok := l.edition.Find(j.Parent); !ok || p.Code != j.Parent {
		l.say("%s: parent %q is not the code of a jurisdiction; nearest: %s", at, j.Parent, l.edition.NearestCode(j.Parent))
	}
}

func (l *linter) rule(at, code string, r Rule) {
	at = fmt.Sprintf("%s, rule %q", at, r.ID)
	l.id(at, code, r.ID)
	l.texts(at, []field{
		{"instrument", r.Instrument, true}, {"clause", r.Clause, false}, {"duty", r.Duty, true},
		{"reference", r.Reference, true}, {"version", r.Version, false}, {"note", r.Note, false},
	})
	l.topics(at, append([]string{r.Topic}, r.Also...))
	for _, k := range r.Kept {
		if !slices.Contains(Records, k) {
			l.say("%s: %q is not a record that a book keeps; nearest: %s", at, k, spelling.Closest(k, Records))
		}
	}
	if !slices.Contains(Marks, r.Read) {
		l.say("%s: mark %q is not known; one of %s", at, r.Read, strings.Join(Marks, ", "))
	}
	if r.HeadingOnly && r.Read == Memory {
		l.say("%s: a heading cannot have been seen where all is from memory", at)
	}
	l.readOn(at, r)
	l.demands(at, r)
	if r.Scope && len(r.Kept) > 0 {
		l.say("%s: it asks nothing (scope), and yet names records that bear on it", at)
	}
	if r.Ended != "" && !isDay(r.Ended) {
		l.say("%s: %q is not the day on which it ended; write YYYY-MM-DD", at, r.Ended)
	}
}

// readOn asks for the day of reading wherever something was read, and for none where nothing was.
func (l *linter) readOn(at string, r Rule) {
	switch {
	case r.Read == Memory && r.ReadOn != "":
		l.say("%s: it is from memory, and yet read on %s", at, r.ReadOn)
	case r.Read == Memory:
	case !isDay(r.ReadOn):
		l.say("%s: %q is not the day on which it was read; write YYYY-MM-DD", at, r.ReadOn)
	case isDay(l.edition.Compiled) && r.ReadOn > l.edition.Compiled:
		l.say("%s: read on %s, after the edition was compiled", at, r.ReadOn)
	}
}

// thinning asks whether the place's rules reach thinning without harvest, and what says so.
func (l *linter) thinning(at string, j Jurisdiction) {
	if !slices.Contains(Coverages, j.Thinning) {
		l.say("%s: thinning %q is not known; one of %s", at, j.Thinning, strings.Join(Coverages, ", "))
	}
	l.texts(at, []field{{"thinning_why", j.ThinningWhy, true}})
}

// sought asks that a topic said to be not found has no rule, and that the search has its day.
func (l *linter) sought(at string, j Jurisdiction) {
	l.topics(at, j.Sought)
	for _, t := range j.Sought {
		if slices.ContainsFunc(j.About(t), Rule.Asks) {
			l.say("%s: %q is said to be not found, and yet there is a rule about it", at, t)
		}
	}
	if searched := j.SoughtOn != "" || len(j.Sought) > 0; searched && !isDay(j.SoughtOn) {
		l.say("%s: %q is not the day of the search; write YYYY-MM-DD", at, j.SoughtOn)
	}
}

func (l *linter) id(at, code, id string) {
	if !idForm.MatchString(id) || !strings.HasPrefix(id, code+"-") {
		l.say("%s: the id must begin with %q and hold only a-z, 0-9, dots and hyphens", at, code+"-")
	}
	switch owner, taken := l.ids[id]; {
	case taken && owner == code:
		l.say("%s: the id stands twice", at)
	case taken:
		l.say("%s: the id is reused; it belongs to a rule of %q", at, owner)
	default:
		l.ids[id] = code
	}
}

func (l *linter) topics(at string, topics []string) {
	for i, t := range topics {
		if !slices.Contains(Topics, t) {
			l.say("%s: topic %q is not known; nearest: %s", at, t, spelling.Closest(t, Topics))
		}
		if slices.Contains(topics[:i], t) {
			l.say("%s: topic %q is named twice", at, t)
		}
	}
}

// field is a text of the edition, by the name of its key.
type field struct {
	key, text string
	needed    bool
}

// texts asks for one-line texts: a tab or line break inside would shift the columns of a list.
func (l *linter) texts(at string, fields []field) {
	for _, f := range fields {
		if f.needed && strings.TrimSpace(f.text) == "" {
			l.say("%s: %s is missing", at, f.key)
		}
		if !utf8.ValidString(f.text) || strings.ContainsFunc(f.text, unicode.IsControl) {
			l.say("%s: %s holds a line break, a tab or another character that is not text", at, f.key)
		}
	}
}
