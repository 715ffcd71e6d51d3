package main

import (
	"github.com/spf13/cobra"
)

// newRootCmd lists every command; nothing registers itself elsewhere.
func newRootCmd(a *app) *cobra.Command {
	root := &cobra.Command{
		Use:   "ringtrue",
		Short: "A record book for crews that thin young forest with clearing saws",
		Long: `ringtrue keeps one book for a thinning crew: what each worker was taught, what was seen of
their skill, who decided what they may do, what protective equipment they hold, and the
tailgate check of each morning. It never says that work is safe.`,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.PersistentFlags().StringVar(&a.path, "book", "", "the book (default $RINGTRUE_BOOK, else in the user data folder)")
	root.PersistentFlags().StringVar(&a.as, "as", "", "who acts: a worker of the book")
	root.PersistentFlags().BoolVar(&a.json, "json", false, "print one JSON object")
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return usage("see: "+c.CommandPath()+" --help", "%s: %s", c.CommandPath(), err)
	})
	root.AddCommand(
		newInitCmd(a), newDemoCmd(a),
		newBlockCmd(a), newWorkerCmd(a), newModuleCmd(a), newSkillCmd(a), newPPECmd(a), newStandingCmd(a), newEvidenceCmd(a),
		newTailgateCmd(a), newRulesCmd(a), newHouseCmd(a), newCalcCmd(a),
		newWorkbookCmd(a), newBookCmd(a),
	)
	guardGroups(root)
	return root
}

// guardGroups makes every command without a Run of its own refuse unknown sub-commands with exit 2; plain Cobra
// prints help and exits 0 for `ringtrue worker typo`.
func guardGroups(c *cobra.Command) {
	for _, sub := range c.Commands() {
		guardGroups(sub)
	}
	if !c.HasSubCommands() || c.Runnable() {
		return
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return c.Help()
		}
		next := "see: " + c.CommandPath() + " --help"
		if near := c.SuggestionsFor(args[0]); len(near) > 0 {
			next = "nearest: " + c.CommandPath() + " " + near[0]
		}
		return usage(next, "%s: unknown command %q", c.CommandPath(), args[0])
	}
	c.Args = cobra.ArbitraryArgs
}
