package main

import (
	"errors"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/training/spelling"
)

// rulesSource hands in the edition to read and the place whose rules are meant when none is named, "" for all.
type rulesSource func() (edition rules.Edition, place string, err error)

// bookRules reads the edition the book has adopted, and its place. Where there is no book it reads what the program
// carries, and knows no place.
func (a *app) bookRules() (rules.Edition, string, error) {
	path, err := a.bookPath()
	if err != nil {
		return rules.Edition{}, "", err
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		e, err := rules.Starter()
		return e, "", err
	}
	if err := a.read(); err != nil {
		return rules.Edition{}, "", err
	}
	asked, err := a.asked(questionTimes{})
	if err != nil {
		return rules.Edition{}, "", err
	}
	e, err := a.localRules(asked)
	return e, a.opening.Jurisdiction, err
}

func newRulesCmd(a *app) *cobra.Command { return rulesCmd(a, a.bookRules) }

func rulesCmd(a *app, source rulesSource) *cobra.Command {
	c := &cobra.Command{
		Use:   "rules",
		Short: "Local rules: which clause to read, by province, state or country",
		Long: `References to regulations and official guidance: clause, duty in our own words, where to read it, and whether
its text was read. It is a list to read by, never an answer that anybody complies.`,
	}
	c.AddCommand(newRulesListCmd(a, source), newRulesShowCmd(a, source), newRulesGapsCmd(a, source), newRulesCoverCmd(a), newRulesAdoptCmd(a))
	return c
}

func newRulesListCmd(a *app, source rulesSource) *cobra.Command {
	var place, topic string
	c := &cobra.Command{
		Use:   "list [PLACE]",
		Short: "List the rules of a place, its own first, then those it stands under",
		Long: `List the rules of a province, state or country: its own first, then those of the places it stands under. Without
PLACE the book's place is listed, and outside a book all places, each with its code. The column TEXT says "read" only where the duty was
read in the source, or on an official page that quotes or explains it, and "read long ago" where that is more than
two years back.

EXIT STATUS
  0 listed, also when nothing is found   1 refused   2 unknown place or topic`,
		Example: `  ringtrue rules list bc
  ringtrue rules list us-wa --topic fuel
  ringtrue rules list --topic spacing --json`,
		Args: atMostOne("PLACE"),
		RunE: func(_ *cobra.Command, args []string) error {
			place, err := placeMeant(args, place)
			if err != nil {
				return err
			}
			answer, err := listRules(source, place, topic)
			if err != nil {
				return err
			}
			return a.printRules(answer, a.ruleTable)
		},
	}
	c.Flags().StringVar(&place, "jurisdiction", "", "the same as PLACE: province, state or country, as bc, us-wa, se")
	c.Flags().StringVar(&topic, "topic", "", "one of "+strings.Join(rules.Topics, ", "))
	return c
}

func newRulesShowCmd(a *app, source rulesSource) *cobra.Command {
	return &cobra.Command{
		Use:   "show ID",
		Short: "Show one rule: duty, where to read it, how far it was read, who decides",
		Long: `Show one rule whole.

EXIT STATUS
  0 shown   1 no such rule   2 command line not understood`,
		Example: "  ringtrue rules show us-1910.266-d-6-ii",
		Args:    exactly(1, "ID"),
		RunE: func(_ *cobra.Command, args []string) error {
			answer, err := showRule(source, args[0])
			if err != nil {
				return err
			}
			return a.printRules(answer, a.ruleSheet)
		},
	}
}

// rulesAnswer is what both verbs print. Jurisdiction and Topic are what was asked for, "" for all.
type rulesAnswer struct {
	Format       string      `json:"format"`
	Edition      string      `json:"edition"`
	Compiled     string      `json:"compiled"`
	Jurisdiction string      `json:"jurisdiction"`
	Topic        string      `json:"topic"`
	Places       []rulePlace `json:"jurisdictions"`
	Rules        []ruleLine  `json:"rules"`
	FireLadders  []string    `json:"fire_ladders"` // regions whose fire restrictions are in this program
	Closing      string      `json:"closing"`
	Reason       string      `json:"reason,omitempty"` // why the company adopted the edition, where something binds less
}

type rulePlace struct {
	Code      string   `json:"code"`
	Aliases   []string `json:"aliases"`
	Title     string   `json:"title"`
	Parent    string   `json:"parent"`
	Authority string   `json:"authority"`
	Note      string   `json:"note"`

	Thinning    string   `json:"thinning"`
	ThinningWhy string   `json:"thinning_why"`
	Sought      []string `json:"sought"`
	SoughtOn    string   `json:"sought_on"`
}

type ruleLine struct {
	Jurisdiction string `json:"jurisdiction"`
	rules.Rule
	TextRead bool   `json:"text_read"`
	How      string `json:"how"`

	AdoptedBy string `json:"adopted_by,omitempty"` // short id of who put the company's row in place
}

func newRulesAnswer(e rules.Edition) rulesAnswer {
	return rulesAnswer{Format: "ringtrue/rules/1", Edition: e.Edition, Compiled: e.Compiled, Places: []rulePlace{},
		Rules: []ruleLine{}, FireLadders: fire.Regions(), Closing: rules.Closing, Reason: e.Reason}
}

// add takes up a place with those of its rules that are given.
func (r *rulesAnswer) add(j rules.Jurisdiction, found ...rules.Rule) {
	r.Places = append(r.Places, rulePlace{j.Code, j.Aliases, j.Title, j.Parent, j.Authority, j.Note,
		j.Thinning, j.ThinningWhy, append([]string{}, j.Sought...), j.SoughtOn})
	for _, f := range found {
		r.Rules = append(r.Rules, ruleLine{Jurisdiction: j.Code, Rule: f, TextRead: f.TextRead(), How: f.How()})
	}
}

// listRules answers `rules list`.
func listRules(source rulesSource, place, topic string) (rulesAnswer, error) {
	e, own, err := source()
	if err != nil {
		return rulesAnswer{}, err
	}
	line, err := rulePlaces(e, place, own)
	var p problems
	p.add(err)
	p.add(knownTopic(topic))
	if err := p.err(); err != nil {
		return rulesAnswer{}, err
	}
	answer := newRulesAnswer(e)
	answer.Topic = rules.Normal(topic)
	if place != "" || own != "" {
		answer.Jurisdiction = line[0].Code
	}
	for _, j := range line {
		answer.add(j, j.About(answer.Topic)...)
	}
	return answer, nil
}

// rulePlaces is the line of the place asked for, else of the book's own, else every place.
func rulePlaces(e rules.Edition, asked, own string) ([]rules.Jurisdiction, error) {
	switch {
	case asked == "" && own == "":
		return e.Jurisdictions, nil
	case asked == "":
		asked = own
		if _, ok := e.Find(own); !ok {
			return nil, refuse("name one: ringtrue rules list "+e.NearestCode(own),
				"list the rules of the book's place: %q is not in edition %s of the local rules", own, e.Edition)
		}
	}
	line := e.Line(asked)
	if line == nil {
		return nil, unknownPlace(e, asked, "list rules", "rules list")
	}
	return line, nil
}

// placeMeant is the place named as an argument or by --jurisdiction, which say the same.
func placeMeant(args []string, flag string) (string, error) {
	switch {
	case len(args) == 0:
		return flag, nil
	case strings.TrimSpace(args[0]) == "":
		return "", usage("write it as bc or us-wa", "PLACE is empty")
	case flag != "" && rules.Normal(flag) != rules.Normal(args[0]):
		return "", usage("name one of them", "PLACE %q and --jurisdiction %q name two places", args[0], flag)
	}
	return args[0], nil
}

// unknownPlace refuses a place that an edition does not have, with the nearest that it has.
func unknownPlace(e rules.Edition, typed, attempted, command string) error {
	near := e.NearestCode(typed)
	return usage("nearest: ringtrue "+command+" "+near+"; all places: ringtrue rules gaps --all",
		"%s: %q is not a place in edition %s of the local rules; nearest: %s", attempted, typed, e.Edition, near)
}

func knownTopic(topic string) error {
	for _, t := range append([]string{""}, rules.Topics...) {
		if rules.Normal(topic) == t {
			return nil
		}
	}
	near := spelling.Closest(rules.Normal(topic), rules.Topics)
	return usage("topics: "+strings.Join(rules.Topics, ", "), "list rules: --topic %q is not a topic; nearest: %s", topic, near)
}

// showRule answers `rules show`.
func showRule(source rulesSource, id string) (rulesAnswer, error) {
	e, _, err := source()
	if err != nil {
		return rulesAnswer{}, err
	}
	r, j, ok := e.Rule(rules.Normal(id))
	if !ok {
		return rulesAnswer{}, refuse("nearest: ringtrue rules show "+e.NearestID(id)+"; all: ringtrue rules list",
			"show rule: %q is not in edition %s of the local rules", id, e.Edition)
	}
	answer := newRulesAnswer(e)
	answer.Jurisdiction = j.Code
	answer.add(j, r)
	return answer, nil
}
