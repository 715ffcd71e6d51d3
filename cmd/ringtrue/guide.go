package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/visible"
	"example.org/ringtrue/training/spelling"
)

// Guided entry asks for what a command line leaves open, and then the same operation runs that the flags lead to. It
// asks only where a person sits at a terminal; in a pipe a missing argument stays an error. Nothing is recorded before
// the last question, "record it?", is answered yes.

// question is one thing to ask. Preset is what the last entry said, and From where that stands; what has to be asked
// afresh has none. Check returns the answer as understood, or says what is wrong with it.
type question struct {
	id, title, help string
	choices         []choice // to pick from; none = words are typed
	many            bool     // several may be picked
	search          bool     // typing narrows the choices
	optional        bool     // may stay blank
	preset, from    string
	check           func(string) (string, error)
	preview         string // what is shown above it once, line by line
}

// choice is one answer to pick. Key gives it at once; without one its place in the list does.
type choice struct{ value, label, key string }

// answers are what is known so far, by the id of the question; several picked ones have commas between.
type answers map[string]string

func (s answers) list(id string) []string {
	if s[id] == "" {
		return nil
	}
	return strings.Split(s[id], ",")
}

// flow lists all questions in order, as far as the answers so far tell which there are.
type flow func(answers) ([]question, error)

// recordQuestion is the last of every flow. Its answer is never kept in a draft.
const recordQuestion = "record"

// guide is a guided entry under way.
type guide struct {
	flow  flow
	said  answers
	order []string // questions answered by hand, in order
	was   answers  // what was answered before going back
	draft *draft
}

// wasYours is where an answer comes from that was taken back.
const wasYours = "your answer before"

// next is the first question without an answer; ok is false once all are answered.
func (g *guide) next() (q question, ok bool, err error) {
	if old := g.draft.existing; old != nil {
		return question{id: resumeQuestion, title: "Go on with the entry that was stopped?", help: old.summary(), choices: yesOrNo()}, true, nil
	}
	all, err := g.flow(g.said)
	if err != nil {
		return q, false, err
	}
	for _, q := range all {
		if _, answered := g.said[q.id]; !answered {
			if old, there := g.was[q.id]; there {
				q.preset, q.from = old, wasYours
			}
			return q.visible(), true, nil
		}
	}
	return q, false, nil
}

// visible is the question with all that is hidden in its texts shown; the values behind the choices stay as they are.
func (q question) visible() question {
	q.title, q.help, q.preview = visible.String(q.title), visible.String(q.help), visible.String(q.preview)
	q.choices = slices.Clone(q.choices)
	for i := range q.choices {
		q.choices[i].label = visible.String(q.choices[i].label)
	}
	return q
}

// answer takes an answer to a question, or says what is wrong with it.
func (g *guide) answer(q question, text string) error {
	understood, err := q.understand(text)
	if err != nil {
		return err
	}
	if q.id == resumeQuestion {
		g.resume(understood == "yes")
		return nil
	}
	g.said[q.id] = understood
	g.order = append(g.order, q.id)
	g.draft.save(g)
	return nil
}

// back takes the last answer back, to be asked again, and tells which; ok is false where there is none.
func (g *guide) back() (last string, ok bool) {
	if len(g.order) == 0 {
		return "", false
	}
	last = g.order[len(g.order)-1]
	g.order = g.order[:len(g.order)-1]
	g.was[last] = g.said[last]
	delete(g.said, last)
	g.draft.save(g)
	return last, true
}

// resume takes the answers of the draft, or leaves them.
func (g *guide) resume(goOn bool) {
	old := g.draft.existing
	g.draft.existing = nil
	if goOn {
		maps.Copy(g.said, old.Answers)
		g.order = old.Order
	}
}

// understand reads an answer: stray spaces, capitals and accents do not matter where something is picked.
func (q question) understand(text string) (string, error) {
	text = strings.Join(strings.Fields(text), " ")
	switch {
	case text == "" && q.preset != "":
		text = q.preset
	case text == "" && !q.optional:
		return "", errors.New("this needs an answer" + note(": ", q.keysSaid()))
	}
	if len(q.choices) > 0 && text != "" {
		var err error
		if text, err = q.picked(text); err != nil {
			return "", err
		}
	}
	if q.check == nil || text == "" {
		return text, nil
	}
	return q.check(text)
}

// picked finds the choices meant: by value, by key or place in the list, or by words of the label that fit only one.
func (q question) picked(text string) (string, error) {
	var values []string
	for _, name := range q.names(text) {
		v, err := q.pick(name)
		if err != nil {
			return "", err
		}
		if !slices.Contains(values, v) {
			values = append(values, v)
		}
	}
	return strings.Join(values, ","), nil
}

// names takes apart what was typed for several choices, with commas or spaces between; ids may hold spaces themselves.
func (q question) names(text string) []string {
	if !q.many {
		return []string{text}
	}
	var names []string
	for part := range strings.SplitSeq(text, ",") {
		if _, err := q.pick(part); err == nil {
			names = append(names, part)
			continue
		}
		names = append(names, strings.Fields(part)...)
	}
	return names
}

func (q question) pick(name string) (string, error) {
	want := plain(name)
	var ids []string
	for _, c := range q.choices {
		if plain(c.value) == want {
			return c.value, nil
		}
		ids = append(ids, c.value)
	}
	if !q.search {
		for i, c := range q.choices {
			if plain(q.keyOf(i)) == want || (c.key != "" && plain(c.label) == want) {
				return c.value, nil
			}
		}
	}
	if id, ok := q.typedAs(name); ok {
		return id, nil
	}
	if found := q.matching(name); len(found) == 1 {
		return found[0].value, nil
	}
	if near := spelling.Nearest(want, ids); near != "" {
		return "", fmt.Errorf("%q is none of these; nearest: %s", name, near)
	}
	return "", fmt.Errorf("%q is none of these%s", name, note(": ", q.keysSaid()))
}

// typedAs finds the one id that is meant, typed as on a command line: "m 3" is M3, "3,3" is 3.3.
func (q question) typedAs(name string) (id string, ok bool) {
	for _, c := range q.choices {
		if bare(name) == "" || bare(c.value) != bare(name) {
			continue
		}
		if ok {
			return "", false
		}
		id, ok = c.value, true
	}
	return id, ok
}

// matching are the choices whose id or label holds what was typed, those whose id begins with it first.
func (q question) matching(typed string) []choice {
	want, id := plain(typed), bare(typed)
	var first, then []choice
	for _, c := range q.choices {
		switch {
		case strings.HasPrefix(plain(c.value), want), id != "" && strings.HasPrefix(bare(c.value), id):
			first = append(first, c)
		case strings.Contains(plain(c.label), want):
			then = append(then, c)
		}
	}
	return append(first, then...)
}

// quickKeys are the keys of choices that have none of their own, in order.
const quickKeys = "123456789abcdefghijklmnopqrstuvw"

func (q question) keyOf(i int) string {
	switch {
	case q.choices[i].key != "":
		return q.choices[i].key
	case !q.search && i < len(quickKeys):
		return quickKeys[i : i+1]
	}
	return ""
}

// keysSaid tells which keys answer: "1 to 4, n or ?". It is empty where an answer is typed.
func (q question) keysSaid() string {
	var digits, letters, own []string
	for i, c := range q.choices {
		switch key := q.keyOf(i); {
		case key == "":
		case c.key != "":
			own = append(own, key)
		case key <= "9":
			digits = append(digits, key)
		default:
			letters = append(letters, key)
		}
	}
	keys := slices.Concat(fromTo(digits), fromTo(letters), own)
	if n := len(keys); n > 1 {
		keys = append(keys[:n-2], keys[n-2]+" or "+keys[n-1])
	}
	return strings.Join(keys, ", ")
}

// fromTo writes keys that follow one another by their ends.
func fromTo(keys []string) []string {
	if n := len(keys); n > 2 {
		return []string{keys[0] + " to " + keys[n-1]}
	}
	return keys
}

// attended reports whether somebody sits there to be asked.
func (a *app) attended() bool {
	in, ok := a.in.(*os.File)
	return ok && !a.json && terminal(in) && terminal(a.err)
}

// orAsked lets arguments be missing where they can be asked for.
func (a *app) orAsked(check cobra.PositionalArgs, most int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		err := check(c, args)
		if err != nil && len(args) <= most && a.attended() {
			return nil
		}
		return err
	}
}

// ask asks for everything that flow wants beyond what is known, and leaves the book open for writing, as it is by then.
// The draft of an entry that was stopped today is offered first.
func (a *app) ask(command string, known answers, f flow) (answers, error) {
	if err := a.write(); err != nil {
		return nil, err
	}
	d, err := a.draft(command, known)
	if err != nil {
		return nil, err
	}
	g := &guide{flow: f, said: answers{}, was: answers{}, draft: d}
	maps.Copy(g.said, known)
	show := a.askPlainly
	if a.canPaint() {
		show = a.askOnScreen
	}
	if err := show(g); err != nil {
		return nil, err
	}
	a.close()
	a.book = nil // others may have written meanwhile
	return g.said, a.write()
}

// keptFor says how long answers wait.
const keptFor = "what you answered is kept until the end of the day, a tailgate check for two hours; the same command goes on with it"

// stopped is what control-C leads to at any question.
func stopped() error {
	return &failure{exitInterrupted, "stopped; nothing was recorded", keptFor}
}

// notRecorded ends a guided entry whose last question was answered no.
func notRecorded() error {
	return refuse(keptFor, "nothing was recorded, as you said")
}

// yesOrNo are the choices of a question that is answered with one key.
func yesOrNo() []choice { return []choice{{"yes", "yes", "y"}, {"no", "no", "n"}} }

// recordIt is the last question; summary says what will be recorded.
func recordIt(summary string) question {
	return question{id: recordQuestion, title: "Record it?", help: summary, choices: yesOrNo()}
}

// checked is a check that leaves the answer as it is.
func checked(check func(string) error) func(string) (string, error) {
	return func(text string) (string, error) { return text, inOneLine(check(text)) }
}
