package main

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
	"golang.org/x/text/unicode/norm"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training/spelling"
)

// Person ids begin with "p": their facts stand between these two subjects.
const firstPerson, lastPerson = "p", "q"

// people are those whose names the book holds.
type people struct {
	list     []store.Person
	byID     map[string]store.Person
	byHandle map[string]store.Person
}

func (a *app) crew() (*people, error) {
	if a.people != nil {
		return a.people, nil
	}
	list, err := a.book.People(a.ctx)
	if err != nil {
		return nil, err
	}
	a.people = newPeople(list)
	return a.people, nil
}

func newPeople(list []store.Person) *people {
	p := &people{list: list, byID: map[string]store.Person{}, byHandle: map[string]store.Person{}}
	for _, one := range list {
		p.byID[one.ID], p.byHandle[one.Handle] = one, one
	}
	return p
}

// name writes a person for a reader: "Ana Ruiz (ana)"; without a name the id alone.
func (p *people) name(id string) string {
	if one, ok := p.byID[id]; ok {
		return fmt.Sprintf("%s (%s)", one.Name, one.Handle)
	}
	return id
}

// handle writes a person for short.
func (p *people) handle(id string) string {
	if one, ok := p.byID[id]; ok {
		return one.Handle
	}
	return id
}

// namedPerson is how a recorded text names a person: an entry holds no names.
var namedPerson = regexp.MustCompile(`\{([^{}]+)\}`)

// inText writes everybody named in a recorded text for short.
func (p *people) inText(s string) string {
	return namedPerson.ReplaceAllStringFunc(s, func(m string) string { return p.handle(m[1 : len(m)-1]) })
}

// asPrinted is a person as answers name them, "ana ruiz (ana)".
var asPrinted = regexp.MustCompile(`^(.*?)\s*\(\s*(\S+)\s*\)$`)

// printed finds a person as answers name them. The short id counts, and what stands before it belongs to that name: who wrote
// the id of one behind the name of another meant nobody knows whom.
func (p *people) printed(want string) (store.Person, bool) {
	m := asPrinted.FindStringSubmatch(want)
	if m == nil {
		return store.Person{}, false
	}
	one, ok := p.byHandle[m[2]]
	return one, ok && strings.Contains(plain(one.Name), m[1])
}

// person finds a worker by short id, person id, full name, or one word of the name if only one person has it;
// capitals, accents and spaces around do not matter.
func (a *app) person(text string) (store.Person, error) {
	p, err := a.crew()
	if err != nil {
		return store.Person{}, err
	}
	if one, ok := p.byHandle[text]; ok {
		return one, nil
	}
	if one, ok := p.byID[text]; ok {
		return one, nil
	}
	want := plain(text)
	for _, one := range p.list {
		if one.Handle == want || plain(one.Name) == want {
			return one, nil
		}
	}
	if one, ok := p.printed(want); ok {
		return one, nil
	}
	var found []store.Person
	for _, one := range p.list {
		if slices.Contains(strings.Fields(plain(one.Name)), want) {
			found = append(found, one)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		if one, ok, err := a.forgotten(text); ok || err != nil {
			return one, err
		}
		return store.Person{}, refuse(p.suggest(want), "no worker %q in this book", text)
	}
	return store.Person{}, refuse("use the short id: "+handles(found), "%q may be several workers", text)
}

// forgotten finds a person whose name was erased, by person id: questions may still be asked about them, nothing is
// recorded any more.
func (a *app) forgotten(id string) (store.Person, bool, error) {
	if a.writing {
		return store.Person{}, false, nil
	}
	gone, err := a.book.IsForgotten(a.ctx, id)
	return store.Person{ID: id, Name: id, Handle: id}, gone, err
}

func handles(ps []store.Person) string {
	var hs []string
	for _, p := range ps {
		hs = append(hs, p.Handle)
	}
	return strings.Join(hs, ", ")
}

func (p *people) suggest(want string) string {
	var names []string
	for _, one := range p.list {
		names = append(names, one.Handle)
	}
	if near := spelling.Nearest(want, names); near != "" {
		return "nearest: " + near + "; all: ringtrue worker list"
	}
	return "see: ringtrue worker list"
}

// stripMarks is made for each use: a chain keeps a state, and books are read side by side in tests.
func stripMarks() transform.Transformer {
	return transform.Chain(norm.NFD, runes.Remove(runes.In(unicode.Mn)), runes.Remove(runes.In(unicode.Bidi_Control)), norm.NFC)
}

// plain folds capitals, accents and spaces away.
func plain(s string) string {
	t, _, err := transform.String(stripMarks(), s)
	if err != nil {
		t = s
	}
	return strings.ToLower(strings.Join(strings.Fields(t), " "))
}
