package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/page"
	sheetwords "example.org/ringtrue/store/page/words"
)

// printOptions are the flags that every printable sheet has.
type printOptions struct {
	out     string
	replace bool
	lang    string
	paper   string
}

func printFlags(c *cobra.Command, o *printOptions) {
	f := c.Flags()
	f.StringVarP(&o.out, "output", "o", "", "HTML file to write (required)")
	f.BoolVar(&o.replace, "replace", false, "replace a file that is there")
	f.StringVar(&o.paper, "paper", string(page.Letter), "size of the page: "+strings.Join(page.Papers(), " or "))
	langFlag(c, &o.lang)
}

// langFlag is --lang of what people read aloud or on paper.
func langFlag(c *cobra.Command, lang *string) {
	c.Flags().StringVar(lang, "lang", sheetwords.English, "language: "+strings.Join(sheetwords.Languages(), ", "))
}

// speaker finds the language of a sheet or an answer.
func speaker(lang string) (*sheetwords.Speaker, error) {
	s, err := sheetwords.In(lang)
	if err != nil {
		return nil, usage("write --lang "+strings.Join(sheetwords.Languages(), ", --lang "), "--lang: %v", err)
	}
	return s, nil
}

// printable is a sheet that package page makes.
type printable interface {
	HTML(*sheetwords.Speaker) ([]byte, error)
}

// ready checks what every sheet needs before anything is read for it: the language, the paper and where it goes.
func (a *app) ready(o printOptions) (*sheetwords.Speaker, error) {
	var p problems
	s, err := speaker(o.lang)
	p.add(err)
	if !slices.Contains(page.Papers(), o.paper) {
		p.add(usage("write --paper "+strings.Join(page.Papers(), " or --paper "), "--paper: %q is not a size of paper of the sheets", o.paper))
	}
	if o.out == "" {
		p.add(usage("add -o FILE.html", "where to write: -o is missing"))
		return s, p.err()
	}
	p.add(a.mayWrite(o.out, o.replace))
	return s, p.err()
}

// printSheet makes a sheet and writes it; the file appears only when it is complete.
func (a *app) printSheet(sheet printable, o printOptions, s *sheetwords.Speaker) error {
	text, err := sheet.HTML(s)
	if err != nil {
		return err
	}
	if err := writeWhole(o.out, text); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/print/1", "file": o.out, "lang": s.Lang(), "paper": o.paper})
	}
	a.mark()
	a.say("wrote %s; open it in a browser and print it, or take it along", o.out)
	return nil
}

// common is what stands on every sheet of this book.
func (a *app) common(o printOptions) (page.Common, error) {
	c := page.Common{Paper: page.Paper(o.paper), Company: a.opening.Company, Demo: a.opening.Demo, Printed: a.local(a.now())}
	heads, err := a.book.Heads(a.ctx)
	if err != nil {
		return c, err
	}
	for _, h := range headLines(heads) {
		c.Heads = append(c.Heads, page.Head{Ledger: h.Origin, Entries: h.Size, Root: h.Root})
	}
	return c, nil
}
