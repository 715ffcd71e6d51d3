package main

import (
	"bytes"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
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
	root.PersistentFlags().StringVar(&a.phraseFD, "passphrase-fd", "", "read the passphrase of a key from file descriptor `N` (default: from the terminal)")
	root.PersistentFlags().BoolVar(&a.plainly, "plain", false, "ask line by line, for screen readers")
	root.PersistentFlags().BoolVar(&a.json, "json", false, "print one JSON object")
	root.SetFlagErrorFunc(badFlag)
	root.AddCommand(
		newInitCmd(a), newDemoCmd(a),
		newBlockCmd(a), newWorkerCmd(a), newModuleCmd(a), newSkillCmd(a), newPPECmd(a), newSawCmd(a), newStandingCmd(a), newEvidenceCmd(a), newPlanCmd(a), newEventCmd(a), newTodayCmd(a), newHurtCmd(a),
		newTailgateCmd(a), newRulesCmd(a), newHouseCmd(a), newCalcCmd(a),
		newWorkbookCmd(a), newBookCmd(a), newKeyCmd(a), newManCmd(a),
	)
	root.AddCommand(helpTopics()...)
	root.SetHelpCommand(newHelpCmd())
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	guardGroups(root)
	completeFromBook(a, root)
	understandIDs(a, root)
	plainHelp := root.HelpFunc()
	root.SetHelpFunc(func(c *cobra.Command, args []string) {
		if rest := c.Flags().Args(); c.HasSubCommands() && len(rest) > 0 {
			a.misnamed = noCommand(c, rest[0])
			return
		}
		var text bytes.Buffer
		c.SetOut(&text)
		plainHelp(c, args)
		c.SetOut(nil)
		_, _ = io.WriteString(a.out, flowing(text.String(), columns(a.out)))
	})
	return root
}

// newHelpCmd is cobra's help but for exit 2 where there is nothing of that name.
func newHelpCmd() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Help about any command or topic",
		Example: "  ringtrue help skill observe\n  ringtrue help exit-codes",
		RunE: func(c *cobra.Command, args []string) error {
			of, rest, err := c.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return usage("see: ringtrue --help", "there is no command or topic %q", strings.Join(args, " "))
			}
			of.InitDefaultHelpFlag()
			return of.Help()
		},
	}
}

// nameOf is a command as people type it after the program's name, "" for the program itself.
func nameOf(c *cobra.Command) string {
	return strings.TrimSpace(strings.TrimPrefix(c.CommandPath(), c.Root().Name()))
}

// guardGroups makes every command without a Run of its own refuse unknown sub-commands with exit 2; plain Cobra
// prints help and exits 0 for `ringtrue worker typo`. Arguments that a command does not take end with 2 as well.
func guardGroups(c *cobra.Command) {
	for _, sub := range c.Commands() {
		guardGroups(sub)
	}
	if !c.HasSubCommands() {
		c.Args = understood(c.Args)
		return
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return c.Help()
		}
		return noCommand(c, args[0])
	}
	c.Args = cobra.ArbitraryArgs
}

// badFlag refuses a flag that is not understood, with the nearest; of a group, the command that it does not have comes first.
func badFlag(c *cobra.Command, err error) error {
	if rest := c.Flags().Args(); c.HasSubCommands() && len(rest) > 0 {
		return noCommand(c, rest[0])
	}
	next := "see: " + c.CommandPath() + " --help"
	if name, unknown := strings.CutPrefix(err.Error(), "unknown flag: --"); unknown {
		var known []string
		c.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
		if near := nearestID(name, known); near != "" {
			next = "nearest: --" + near + "; " + next
		}
	}
	return usage(next, "%s", err)
}

// understood turns what cobra says of arguments into a refusal with exit 2.
func understood(check cobra.PositionalArgs) cobra.PositionalArgs {
	if check == nil {
		return nil
	}
	return func(c *cobra.Command, args []string) error {
		err := check(c, args)
		if _, ours := err.(*failure); err == nil || ours {
			return err
		}
		return usage("see: "+c.CommandPath()+" --help", "%s does not take %q", nameOf(c), strings.Join(args, " "))
	}
}
