package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/rules"
)

// reachLine is one cell of the matrix of places and topics.
type reachLine struct {
	Jurisdiction string   `json:"jurisdiction"`
	Topic        string   `json:"topic"`
	Reached      string   `json:"reached"`
	On           string   `json:"on"` // the day of the newest reading or of the search, or ""
	Rules        []string `json:"rules"`
}

func newRulesGapsCmd(a *app, source rulesSource) *cobra.Command {
	var place string
	var all bool
	c := &cobra.Command{
		Use:   "gaps [PLACE]",
		Short: "Topic by topic, how far the rules of a place were read",
		Long: `Say for each topic how far a place's own rules were read: in the text, in a restatement, as a heading, from memory, or
nothing found. Without PLACE the book's place; with --all, and outside a book, all places, one line each. A topic read is not a
topic settled: rules of the places it stands under come on top, and the text may have changed.

EXIT STATUS
  0 listed   1 refused   2 unknown place`,
		Example: "  ringtrue rules gaps bc\n  ringtrue rules gaps --all",
		Args:    atMostOne("PLACE"),
		RunE: func(_ *cobra.Command, args []string) error {
			place, err := placeMeant(args, place)
			if err != nil {
				return err
			}
			places, err := reachPlaces(source, place, all)
			if err != nil {
				return err
			}
			return a.printReach(places)
		},
	}
	c.Flags().StringVar(&place, "jurisdiction", "", "the same as PLACE")
	c.Flags().BoolVar(&all, "all", false, "every place, one line each")
	return c
}

// reachPlaces is the one place asked for, else the book's own, else every place.
func reachPlaces(source rulesSource, asked string, all bool) ([]rules.Jurisdiction, error) {
	e, own, err := source()
	if err != nil {
		return nil, err
	}
	switch {
	case all && asked != "":
		return nil, usage("name a place, or --all", "tell what was read: of %s, or of all places?", asked)
	case asked == "":
		asked = own
	}
	if asked == "" || all {
		return e.Jurisdictions, nil
	}
	j, ok := e.Find(asked)
	if !ok {
		return nil, unknownPlace(e, asked, "tell what was read", "rules gaps")
	}
	return []rules.Jurisdiction{j}, nil
}

func (a *app) printReach(places []rules.Jurisdiction) error {
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/rules-gaps/1", "rows": reachLines(places), "closing": rules.Closing})
	}
	a.mark()
	if len(places) == 1 {
		a.reachTable(places[0])
	} else {
		a.reachOverview(places)
	}
	a.remark("%s", rules.Closing)
	return nil
}

func reachLines(places []rules.Jurisdiction) []reachLine {
	lines := []reachLine{}
	for _, j := range places {
		for _, c := range j.Reach() {
			lines = append(lines, reachLine{j.Code, c.Topic, string(c.How), c.On, append([]string{}, c.Rules...)})
		}
	}
	return lines
}

// reachTable is one place, topic by topic.
func (a *app) reachTable(j rules.Jurisdiction) {
	var rows [][]string
	for _, l := range reachLines([]rules.Jurisdiction{j}) {
		rows = append(rows, []string{l.Topic, l.Reached, l.On, strings.Join(l.Rules, ", ")})
	}
	a.table([]string{"TOPIC", "HOW FAR", "ON", "RULES"}, rows)
	a.remark("%s: %s; decides: %s", j.Code, j.Title, j.Authority)
}

// reachOverview is every place with how many topics were read in the text, and which were not.
func (a *app) reachOverview(places []rules.Jurisdiction) {
	var rows [][]string
	for _, j := range places {
		var missing []string
		for _, c := range j.Reach() {
			if c.How != rules.InText {
				missing = append(missing, c.Topic)
			}
		}
		read := fmt.Sprintf("%d of %d", len(rules.Topics)-len(missing), len(rules.Topics))
		rows = append(rows, []string{j.Code, read, strings.Join(missing, ", ")})
	}
	a.table([]string{"PLACE", "READ IN THE TEXT", "NOT READ IN THE TEXT"}, rows)
}
