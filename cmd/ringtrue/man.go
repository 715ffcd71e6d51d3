package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Manual pages are written from the tree of commands by a few lines of our own: roff needs three macros here, and the
// generator of the command library would bring a Markdown converter along.

// newManCmd is for packagers, so it is not listed.
func newManCmd(a *app) *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:     "man -o FOLDER",
		Short:   "Write the manual pages, one for each command and topic",
		Example: "  ringtrue man -o man1",
		Hidden:  true,
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if folder == "" {
				return usage("name a folder that is not there yet: ringtrue man -o man1", "-o is missing: where to")
			}
			names, err := writeManual(c.Root(), folder)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/man/1", "folder": folder, "files": names})
			}
			a.say("wrote %d manual pages to %s; read one: man %s", len(names), folder, filepath.Join(folder, names[0]))
			return nil
		},
	}
	c.Flags().StringVarP(&folder, "output", "o", "", "folder to write them to; it may not be there yet (required)")
	return c
}

// writeManual writes all pages into a new folder and gives their names. On failure nothing stays behind.
func writeManual(root *cobra.Command, folder string) ([]string, error) {
	if err := os.Mkdir(folder, 0o755); err != nil {
		return nil, refuse("name a folder that is not there yet, in one that is", "make the folder: %v", err)
	}
	var names []string
	for _, c := range manual(root) {
		name := pageName(c) + ".1"
		if err := os.WriteFile(filepath.Join(folder, name), manPage(c), 0o644); err != nil {
			_ = os.RemoveAll(folder)
			return nil, fmt.Errorf("write manual page %s: %w", name, err)
		}
		names = append(names, name)
	}
	return names, nil
}

// manual lists the commands that get a page: all that help lists, groups and topics included.
func manual(c *cobra.Command) []*cobra.Command {
	all := []*cobra.Command{c}
	for _, sub := range c.Commands() {
		if !sub.Hidden {
			all = append(all, manual(sub)...)
		}
	}
	return all
}

func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manPage writes one page. It bears no date, so that the same program writes the same page.
func manPage(c *cobra.Command) []byte {
	var b strings.Builder
	section := func(name string) { fmt.Fprintf(&b, ".SH %s\n", name) }
	fmt.Fprintf(&b, ".TH %s 1 \"\" ringtrue\n", roffQuoted(strings.ToUpper(pageName(c))))
	section("NAME")
	fmt.Fprintf(&b, "%s \\- %s\n", roff(pageName(c)), roff(c.Short))
	if !c.IsAdditionalHelpTopicCommand() {
		section("SYNOPSIS")
		fmt.Fprintf(&b, ".B %s\n", roff(c.UseLine()))
	}
	section("DESCRIPTION")
	b.WriteString(roffLines(firstText(c.Long, c.Short)))
	if c.HasAvailableSubCommands() {
		section("COMMANDS")
		for _, sub := range c.Commands() {
			if !sub.Hidden {
				fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(sub.CommandPath()), roff(sub.Short))
			}
		}
	}
	if !c.IsAdditionalHelpTopicCommand() {
		section("OPTIONS")
		manFlags(&b, c.NonInheritedFlags())
		manFlags(&b, c.InheritedFlags())
	}
	if c.Example != "" {
		section("EXAMPLES")
		b.WriteString(roffLines(c.Example))
	}
	section("SEE ALSO")
	fmt.Fprintf(&b, "%s\n", roff(strings.Join(seeAlso(c), ", ")))
	return []byte(b.String())
}

func manFlags(b *strings.Builder, flags *pflag.FlagSet) {
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		value, text := pflag.UnquoteUsage(f)
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		fmt.Fprintf(b, ".TP\n.B %s\n%s\n", roff(strings.TrimSpace(name+" "+value)), roff(text))
	})
}

// seeAlso names the page above and the page of exit statuses.
func seeAlso(c *cobra.Command) []string {
	pages := []string{"ringtrue-exit-codes(1)"}
	if c.HasParent() {
		pages = append(pages, pageName(c.Parent())+"(1)")
	}
	slices.Sort(pages)
	return pages
}

func firstText(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// roff escapes what would be read as a request: backslashes, hyphens that are to stay plain, a leading dot or quote.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}

func roffQuoted(s string) string { return `"` + strings.ReplaceAll(roff(s), `"`, `\(dq`) + `"` }

// roffLines keeps the lines of help as they are: examples and tables are aligned.
func roffLines(text string) string {
	var b strings.Builder
	b.WriteString(".nf\n")
	for line := range strings.SplitSeq(text, "\n") {
		fmt.Fprintln(&b, roff(line))
	}
	b.WriteString(".fi\n")
	return b.String()
}
