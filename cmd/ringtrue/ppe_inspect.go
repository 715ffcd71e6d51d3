package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/training"
)

func newRegisterCmd(a *app) *cobra.Command {
	c := newIssueCmd(a)
	c.Use, c.Short = "register WORKER ITEM", "Register a worker's own piece of equipment"
	c.Long = "Register a piece that the worker brought. It counts as held, and is looked after, like an issued one.\n" +
		"Cut protection made for chain saws is not made for a clearing-saw blade."
	c.Example = `  ringtrue ppe register ana boots --size 41 --standard "CSA Z195"`
	own := c.Flags().Lookup("own")
	own.DefValue, own.Hidden = "true", true
	_ = own.Value.Set("true") // a boolean flag takes "true"
	return c
}

func newInspectCmd(a *app) *cobra.Command {
	var condition, reason, at string
	c := &cobra.Command{
		Use:   "inspect WORKER ITEM",
		Short: "Record a look at a piece of equipment, or condemn it",
		Example: `  ringtrue ppe inspect ana helmet --condition serviceable
  ringtrue ppe inspect ana trousers --condition condemned --reason "cut through the front"`,
		Args: exactly(2, "WORKER ITEM"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, err := a.inspect(args[0], args[1], condition, reason, at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("looked at %s of %s: %s", args[1], d.who.Name, condition))
		},
	}
	c.Flags().StringVar(&condition, "condition", "", "serviceable or condemned (required)")
	c.Flags().StringVar(&reason, "reason", "", "why it was condemned")
	c.Flags().StringVar(&at, "at", "", "when it was looked at")
	return c
}

// inspect records a look at a piece. Condemning is a stop: anybody may.
func (a *app) inspect(worker, item, condition, reason, at string) (deed, error) {
	d, issued, err := a.aboutPiece(worker, item, condition, reason, at)
	if err != nil {
		return d, err
	}
	if err := a.notCondemned(d, issued, condition); err != nil {
		return d, err
	}
	return a.keep(d, training.KindInspection, training.Inspection{Issue: a.book.Name(issued), Condition: condition, Reason: reason})
}

// notCondemned refuses to find a condemned piece serviceable: a look does not bring it back.
func (a *app) notCondemned(d deed, issued training.Ref, condition string) error {
	if condition != serviceable {
		return nil
	}
	list, err := a.pieces(d.who.ID, a.knownNow(d.day))
	if err != nil {
		return err
	}
	for _, p := range list {
		if p.ref == issued && p.condemned != "" {
			return refuse(fmt.Sprintf("take it out of use and issue another: ringtrue ppe issue %s %s; if it was condemned by mistake, that entry is struck: ringtrue evidence show %[1]s", d.who.Handle, p.Item),
				"a look does not make %s of %s serviceable: it was condemned (%s)", p.Item, d.who.Name, p.condemned)
		}
	}
	return nil
}

// conditionOf checks --condition and --reason.
func conditionOf(condition, reason string) error {
	var p problems
	if condition != serviceable && condition != condemned {
		p.add(usage("say --condition serviceable or condemned", "--condition %q is neither", condition))
	}
	if condition == condemned && strings.TrimSpace(reason) == "" {
		p.add(usage("add --reason", "condemned equipment needs a reason"))
	}
	return p.err()
}

// Conditions of a piece of equipment.
const (
	serviceable = "serviceable"
	condemned   = "condemned"
)
