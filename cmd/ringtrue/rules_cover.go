package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/training"
)

// coverLine is one duty against what the book holds.
type coverLine struct {
	Rule    string        `json:"rule"`
	Duty    string        `json:"duty"`
	Read    string        `json:"read"` // how far the rule was read
	Holds   string        `json:"holds"`
	Why     []string      `json:"why"`
	Entries []string      `json:"entries"` // what is held, short
	Missing []missingLine `json:"missing"`
}

// missingLine is one thing that a duty asks for and the book does not hold, and of whom; nobody is named where it is the crew's.
type missingLine struct {
	Of    string   `json:"of"`
	Kind  string   `json:"kind"` // "record", "topic", "field" or "age"
	What  string   `json:"what"`
	Words string   `json:"words"`
	Who   []string `json:"who"`
}

func newRulesCoverCmd(a *app) *cobra.Command {
	var place string
	c := &cobra.Command{
		Use:   "cover [PLACE]",
		Short: "The duties of a place, one by one, against what this book holds",
		Long: `List each duty of a place about training, records, first aid and working alone against what this book holds about the
people on the crew list today. What a duty asks for is looked up record by record: the topics of an orientation, the
language and how understanding was tested, by whom and when, what a ticket or a call plan says.

  record held            everything asked for stands in the book; the entries are named
  part held              some of it; what is missing is named, and for whom
  none held              nothing of it
  nobody it concerns     nobody is new, young, or has worked alone in the last 12 months
  cannot be judged here  a book cannot tell

Whoever came to the company in the last 30 days, or after the book had these rules, counts as new. A record held is not
compliance: who decides is the authority, and the text may have changed.`,
		Example: "  ringtrue rules cover\n  ringtrue rules cover us",
		Args:    atMostOne("PLACE"),
		RunE: func(_ *cobra.Command, args []string) error {
			place, err := placeMeant(args, place)
			if err != nil {
				return err
			}
			if err := a.read(); err != nil {
				return err
			}
			asked, err := a.asked(questionTimes{})
			if err != nil {
				return err
			}
			edition, err := a.localRules(asked)
			if err != nil {
				return err
			}
			if place == "" {
				place = a.opening.Jurisdiction
			}
			if _, ok := edition.Find(place); !ok {
				return unknownPlace(edition, place, "hold the book against duties", "rules cover")
			}
			return a.runCover(edition, place, asked)
		},
	}
	c.Flags().StringVar(&place, "jurisdiction", "", "the same as PLACE (default: the book's)")
	return c
}

// coverTopics are those whose duties a book may hold something towards even where no record is named.
var coverTopics = []string{"training", "records", "first-aid"}

// covered lists the rules to hold the book against: of those topics, then whatever else names records.
func covered(edition rules.Edition, place string) []rules.Rule {
	var list []rules.Rule
	seen := map[string]bool{}
	take := func(of []rules.Rule, wanted func(rules.Rule) bool) {
		for _, r := range of {
			if !seen[r.ID] && r.Asks() && wanted(r) {
				seen[r.ID], list = true, append(list, r)
			}
		}
	}
	for _, topic := range coverTopics {
		take(edition.For(place, topic), func(r rules.Rule) bool { return !r.HeadingOnly || len(r.Asked()) > 0 })
	}
	take(edition.For(place, ""), func(r rules.Rule) bool { return len(r.Asked()) > 0 })
	return list
}

func (a *app) runCover(edition rules.Edition, place string, asked training.Asked) error {
	people, crew, err := a.heldRecords(asked)
	if err != nil {
		return err
	}
	known, err := a.crew()
	if err != nil {
		return err
	}
	lines := []coverLine{}
	for _, r := range covered(edition, place) {
		lines = append(lines, coverLineOf(rules.CoverBy(r, people, crew), known.handle))
	}
	return a.printCover(place, lines)
}

func coverLineOf(c rules.Cover, handle func(string) string) coverLine {
	l := coverLine{Rule: c.Rule.ID, Duty: c.Rule.Duty, Read: c.Rule.How(), Holds: c.Holds, Why: []string{}, Entries: append([]string{}, c.Entries...), Missing: []missingLine{}}
	for _, m := range c.Missing {
		l.Missing = append(l.Missing, missingLine{m.Of, m.Kind, m.What, m.Words(), eachOf(m.Who, handle)})
	}
	l.Why = missingWords(l.Missing)
	return l
}

// missingWords says what is missing, once for all who lack the same: "ana, ben: working alone or apart; the task, shown and tried".
func missingWords(list []missingLine) []string {
	words := []string{}
	var whos []string
	for _, m := range list {
		who := strings.Join(m.Who, ", ")
		if i := slices.Index(whos, who); i >= 0 {
			words[i] += "; " + m.Words
			continue
		}
		whos = append(whos, who)
		if who != "" {
			who += ": "
		}
		words = append(words, who+m.Words)
	}
	return words
}

func (a *app) printCover(place string, lines []coverLine) error {
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/rules-cover/1", "jurisdiction": place, "rows": lines, "closing": rules.Closing})
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l.Rule, l.Holds, strings.Join(l.Why, " | "), few(l.Entries), l.Duty})
	}
	a.table([]string{"RULE", "THIS BOOK", "MISSING", "ENTRIES", "DUTY"}, rows)
	a.remark("%s", rules.Closing)
	return nil
}
