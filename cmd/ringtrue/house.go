package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

func newHouseCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "house", Short: "House rules: the numbers this company chose"}
	c.AddCommand(newHouseShowCmd(a), newHouseAdoptCmd(a))
	return c
}

func newHouseShowCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "show",
		Short:   "Show the house rules in force, each with its source",
		Example: "  ringtrue house show\n  ringtrue house show --on 2026-07-14 --known 2026-07-14",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			ref, err := a.edition(asked, "house")
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
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/house/1", "edition": std.House.Edition, "adopted": a.moment(h.Happened.Unix()),
					"by": h.By, "numbers": std.House.Numbers})
			}
			a.mark()
			var rows [][]string
			for _, n := range std.House.Numbers {
				rows = append(rows, []string{n.Key, n.Value, n.What, n.Source})
			}
			a.table([]string{"RULE", "VALUE", "WHAT", "SOURCE"}, rows)
			if terminal(a.out) {
				fmt.Fprintf(a.out, "edition %s, adopted by %s on %s (entry %s)\n", std.House.Edition, people.name(h.By), a.local(h.Happened), a.book.Short(ref))
			}
			return nil
		},
	}
	questionFlags(c, &q)
	return c
}
