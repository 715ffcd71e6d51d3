package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
)

func newHouseCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "house", Short: "House rules: the numbers this company chose"}
	c.AddCommand(newHouseShowCmd(a), newHouseAdoptCmd(a))
	return c
}

func newHouseShowCmd(a *app) *cobra.Command {
	var q questionTimes
	var changes bool
	c := &cobra.Command{
		Use:   "show",
		Short: "Show the house rules in force, each with its source",
		Long: `Show the house rules in force, each with its source. FLOOR is what no edition may be looser than, with its clause; where an
edition is looser all the same, the floor judges and VALUE shows it. NOTE says what the company has loosened, by whom and why,
and what clauses only advise. --changes lists every edition instead: who adopted it, when, what it changed and why.`,
		Example: "  ringtrue house show\n  ringtrue house show --changes\n  ringtrue house show --on 2026-07-14 --known 2026-07-14",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			if changes {
				return a.printHouseChanges(asked)
			}
			offered, err := house.Starter()
			if err != nil {
				return err
			}
			if err := a.offerStarter(store.KindHouse, offered.Edition, "ringtrue house adopt"); err != nil {
				return err
			}
			ref, err := a.edition(asked, store.KindHouse)
			if err != nil {
				return err
			}
			h, err := a.book.Entry(a.ctx, ref, nil)
			if err != nil {
				return err
			}
			people, err := a.crew()
			if err != nil {
				return err
			}
			held, err := a.adoptedHouse(ref)
			if err != nil {
				return err
			}
			lines := shownRules(std.House, a.floors(held.House, asked))
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/house/1", "edition": std.House.Edition, "adopted": a.moment(h.Happened.Unix()),
					"by": h.By, "numbers": lines})
			}
			a.mark()
			var rows [][]string
			for _, l := range lines {
				rows = append(rows, []string{l.Key, l.Value, l.What, l.Source, l.floorText(), a.whoChose(l.noteText())})
			}
			a.table([]string{"RULE", "VALUE", "WHAT", "SOURCE", "FLOOR", "NOTE"}, rows)
			if terminal(a.out) {
				fmt.Fprintf(a.out, "edition %s, adopted by %s on %s (entry %s)\n", std.House.Edition, people.name(h.By), a.local(h.Happened), a.book.Short(ref))
			}
			return nil
		},
	}
	questionFlags(c, &q)
	c.Flags().BoolVar(&changes, "changes", false, "list every edition: who, when, what it changed and why")
	return c
}

// shownRule is one house rule as it judges, with what binds and advises it. Company is the figure that a floor has replaced.
type shownRule struct {
	house.Number
	Company string           `json:"company,omitempty"`
	Floor   *house.Floor     `json:"floor,omitempty"`
	Advice  []house.Floor    `json:"advice,omitempty"`
	Looser  *house.Loosening `json:"looser,omitempty"`
}

func shownRules(h house.House, floors []house.Floor) []shownRule {
	raised, looser := map[string]house.Raised{}, map[string]house.Loosening{}
	for _, r := range h.Raised() {
		raised[r.Key] = r
	}
	for _, l := range h.Looser() {
		looser[l.Key] = l
	}
	var out []shownRule
	for _, n := range h.Numbers {
		line := shownRule{Number: n}
		if f, ok := house.Binds(floors, n.Key); ok {
			line.Floor = &f
		}
		if r, ok := raised[n.Key]; ok {
			line.Company, line.Floor = r.Company, &r.Floor
		}
		if l, ok := looser[n.Key]; ok {
			line.Looser = &l
		}
		for _, f := range floors {
			if f.Key == n.Key && f.Kind == house.Advice {
				line.Advice = append(line.Advice, f)
			}
		}
		out = append(out, line)
	}
	return out
}

func (l shownRule) floorText() string {
	if l.Floor == nil {
		return ""
	}
	return l.Floor.Words()
}

func (l shownRule) noteText() string {
	var parts []string
	if l.Floor != nil && l.Company != "" {
		parts = append(parts, "the floor judges; the edition says "+l.Company)
	}
	if l.Looser != nil {
		parts = append(parts, l.Looser.Words())
	}
	for _, f := range l.Advice {
		parts = append(parts, "advice: "+f.Words())
	}
	return strings.Join(parts, "; ")
}
