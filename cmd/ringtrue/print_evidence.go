package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/store/page"
	"example.org/ringtrue/training"
)

func newEvidencePrintCmd(a *app) *cobra.Command {
	var o printOptions
	var q questionTimes
	c := &cobra.Command{
		Use:   "print WORKER",
		Short: "Write what the book holds behind a worker's standing as a page to print",
		Long: `Write where a worker stood on a day, as known then, and every entry behind it, as one HTML file to print: struck entries as
struck, with who, when and why; equipment; and the head of the book.`,
		Example: "  ringtrue evidence print ben --on 2026-07-14 --known 2026-07-14 -o ben.html",
		Args:    exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			s, err := a.ready(o)
			if err != nil {
				return err
			}
			sheet, err := a.evidencePage(args[0], q, o)
			if err != nil {
				return err
			}
			return a.printSheet(sheet, o, s)
		},
	}
	printFlags(c, &o)
	questionFlags(c, &q)
	return c
}

// evidencePage gathers what the book held about a worker.
func (a *app) evidencePage(worker string, q questionTimes, o printOptions) (sheet page.Evidence, err error) {
	std, asked, err := a.standardsAsked(q)
	if err != nil {
		return sheet, err
	}
	who, err := a.person(worker)
	if err != nil {
		return sheet, err
	}
	ans, err := a.evidence(who.ID, std, asked)
	if err != nil {
		return sheet, err
	}
	head, err := a.standingAnswer(standingOptions{}, std, asked, []string{who.ID})
	if err != nil {
		return sheet, err
	}
	people, err := a.crew()
	if err != nil {
		return sheet, err
	}
	if sheet.Common, err = a.common(o); err != nil {
		return sheet, err
	}
	sheet.Worker, sheet.On, sheet.Known, sheet.Knows, sheet.Orientation = people.name(who.ID), ans.On, ans.Known, ans.Knows, head.Orient
	for _, r := range ans.Standings {
		s, _, _ := std.Skill(r.Skill)
		sheet.Standings = append(sheet.Standings, page.Standing{Skill: r.Skill, Title: s.Title, Word: r.Standing, Until: untilText(r), Reasons: r.Reasons})
	}
	for _, e := range ans.Entries {
		sheet.Entries = append(sheet.Entries, a.onPage(e, people))
	}
	for _, p := range ans.PPE {
		item, _ := std.Item(p.Item)
		sheet.Pieces = append(sheet.Pieces, page.Piece{State: p.State, Item: p.Item, Title: firstText(item.Title, p.Item), Standard: p.Standard, Ref: p.Entry})
	}
	return sheet, nil
}

// onPage is an entry with its looks taken apart, so that each part is said in the language of the sheet.
func (a *app) onPage(e evidenceLine, people *people) page.Entry {
	one := page.Entry{Ref: e.Entry, Skill: e.Skill, Happened: a.clock(e.Happened), Recorded: a.clock(e.Recorded), What: e.What, By: people.handle(e.By), Note: note("AGAINST: ", e.Against)}
	var look training.Observation
	if e.Kind == training.KindObservation && ledger.Decode(e.Data, &look) == nil {
		one.What, _, _ = strings.Cut(e.What, "; ")
		one.Note = look.Note
		for _, m := range look.Marks {
			one.Marks = append(one.Marks, page.Mark{Criterion: m.Criterion, Seen: m.Seen, Value: m.Value})
		}
	}
	if e.Struck != nil {
		one.Struck = &page.Struck{Ref: e.Struck.Entry, By: people.handle(e.Struck.By), Recorded: a.clock(e.Struck.Recorded), Reason: e.Struck.Reason}
	}
	return one
}

// clock writes an RFC 3339 moment by the book's clock.
func (a *app) clock(moment string) string {
	t, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		return strings.TrimSpace(moment)
	}
	return a.local(t)
}
