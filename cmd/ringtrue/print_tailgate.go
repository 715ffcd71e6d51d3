package main

import (
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store/page"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// Copies of a check.
const (
	crewCopy       = "crew"
	supervisorCopy = "supervisor"
)

type tailgatePrint struct {
	printOptions
	copy  string
	blank bool
	block string
}

func newTailgatePrintCmd(a *app) *cobra.Command {
	var o tailgatePrint
	c := &cobra.Command{
		Use:   "print [ENTRY]",
		Short: "Write a check, or a blank day sheet, as a page to print",
		Long: `Write a recorded check as one HTML file to print or to show: the crew's copy says what each may do, with a line to sign;
reasons stay on the supervisor's copy. With --blank it is a day sheet to fill in on paper when no machine runs; what stops
is marked on it. The file needs no network and no program beside a browser.`,
		Example: "  ringtrue tailgate print --block B7 -o crew.html\n  ringtrue tailgate print 412 --copy supervisor -o reasons.html\n" +
			"  ringtrue tailgate print --block B7 --lang es -o cuadrilla.html\n  ringtrue tailgate print --blank --block B7 --lang fr --paper a4 -o papier.html",
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			return a.tailgatePrint(o, args)
		},
	}
	printFlags(c, &o.printOptions)
	f := c.Flags()
	f.StringVar(&o.block, "block", "", "the last check of this block, or the block of a blank sheet")
	f.StringVar(&o.copy, "copy", crewCopy, "whose copy: crew or supervisor")
	f.BoolVar(&o.blank, "blank", false, "a day sheet to fill in on paper")
	return c
}

func (a *app) tailgatePrint(o tailgatePrint, args []string) error {
	var p problems
	s, err := a.ready(o.printOptions)
	p.add(err)
	if o.copy != crewCopy && o.copy != supervisorCopy {
		p.add(usage("write --copy crew or --copy supervisor", "--copy: %q is nobody's copy", o.copy))
	}
	if o.blank && len(args) > 0 {
		p.add(usage("name the block with --block", "a blank sheet is for a block, not for an entry"))
	}
	if err := p.err(); err != nil {
		return err
	}
	var sheet printable
	if o.blank {
		sheet, err = a.blankPage(o)
	} else {
		sheet, err = a.checkPage(o, args)
	}
	if err != nil {
		return err
	}
	return a.printSheet(sheet, o.printOptions, s)
}

// checkPage is a recorded check with what its day has changed since.
func (a *app) checkPage(o tailgatePrint, args []string) (sheet page.Tailgate, err error) {
	t, err := a.findTailgate(args, o.block)
	if err != nil {
		return sheet, err
	}
	asked := a.knownNow(1 << 20)
	if err := a.notStruck(t, asked); err != nil {
		return sheet, err
	}
	card, _, err := a.card(t.Block, asked)
	if err != nil {
		return sheet, err
	}
	people, err := a.crew()
	if err != nil {
		return sheet, err
	}
	day, err := a.course(t, asked)
	if err != nil {
		return sheet, err
	}
	if sheet.Common, err = a.common(o.printOptions); err != nil {
		return sheet, err
	}
	if sheet.Supervisor = o.copy == supervisorCopy; sheet.Supervisor {
		if sheet.Answers, err = a.answersOnPaper(day); err != nil {
			return sheet, err
		}
	}
	sheet.Block, sheet.BlockName, sheet.When, sheet.Knows = t.Block, card.Name, a.local(t.happened), t.Knows
	sheet.Entry, sheet.Recorded = a.book.Short(t.ref), a.signedText(t.ref, people.name(t.by))
	fillCheck(&sheet, day.answer(), people)
	if err := a.fillDecided(&sheet, day, people); err != nil {
		return sheet, err
	}
	sheet.Visitors, sheet.Later = a.othersThere(day, people)
	return sheet, nil
}

// fillDecided puts the word of the day on a sheet, led by what was decided, and the emergency text of where the crew is.
func (a *app) fillDecided(sheet *page.Tailgate, day course, people *people) error {
	w := a.wordOf(day)
	sheet.Answer = string(w.Answer)
	if w.Changed() {
		sheet.Decided = page.Decided{Clock: w.Decided.At, By: people.handle(w.Decided.By), Words: w.Decided.Words, Computed: string(w.Computed), ComputedAt: w.At,
			Checked: string(day.Assessment.Answer), CheckedAt: day.Assessment.At}
	}
	if day.place() == day.Block {
		return nil
	}
	card, err := a.emergencyCard(day)
	sheet.MovedTo, sheet.Emergency = day.place(), card.ReadAloud()
	return err
}

// othersThere are those on the block who stand in no line of the check: its visitors, and who came after it.
func (a *app) othersThere(day course, people *people) (visitors []page.Visitor, later []page.Later) {
	for _, v := range day.Sheet.Visitors {
		visitors = append(visitors, page.Visitor{Name: v.Name, With: people.handle(v.With)})
	}
	for _, j := range day.joined {
		_, clock, _ := strings.Cut(a.clock(j.Happened), " ") // the day is that of the check
		switch {
		case j.Visitor != "":
			visitors = append(visitors, page.Visitor{Name: j.Visitor, With: people.handle(j.BriefedBy)})
		case j.Late:
			later = append(later, page.Later{Name: people.name(j.Worker), Clock: clock, BriefedBy: people.handle(j.BriefedBy)})
		}
	}
	return visitors, later
}

// notStruck refuses a check that never was.
func (a *app) notStruck(t tailgate, asked training.Asked) error {
	by, struck, err := a.book.StruckBy(a.ctx, t.ref, asked.Known)
	if err != nil || !struck {
		return err
	}
	return refuse("print the check that stands: ringtrue tailgate print --block "+t.Block+" -o FILE.html",
		"the check of entry %s is struck by entry %s", a.book.Short(t.ref), a.book.Short(by))
}

// fillCheck puts the answer on a sheet.
func fillCheck(sheet *page.Tailgate, a hazards.Assessment, people *people) {
	named := a.Named(people.handle)
	sheet.Answer, sheet.Sentence, sheet.Caution, sheet.Closing = string(named.Answer), named.Sentence, named.Caution, rules.Closing
	sheet.Emergency, sheet.WatchFor, sheet.NotLookedAt = named.Emergency, named.WatchFor, named.NotLookedAt
	for _, f := range named.Findings {
		one := page.Finding{Topic: f.Topic, Effect: string(f.Effect), What: f.What, Before: f.LevelBefore, After: f.LevelAfter,
			Reasons: f.Reasons, Lower: f.Lower, Controls: f.Controls, Ends: f.Ends, House: f.House, Rules: f.Rules}
		if f.Of == hazards.OfPerson {
			one.Subject = f.Subject
		}
		sheet.Findings = append(sheet.Findings, one)
	}
	for _, q := range named.Open {
		sheet.Open = append(sheet.Open, page.Open{Question: q.Question, Who: q.Who, By: q.By})
	}
	for i, m := range named.May {
		sheet.May = append(sheet.May, page.May{Name: people.name(a.May[i].Worker), Saw: m.Saw, Group: m.Group, Level: m.Level.String(), With: m.With, Only: m.Only,
			RestsOn: m.RestsOn, Stopped: m.Stopped, Instead: m.Instead})
	}
	for _, saw := range named.Saws {
		if saw.Use {
			sheet.SawsUp = append(sheet.SawsUp, saw.ID)
			continue
		}
		sheet.SawsDown = append(sheet.SawsDown, page.SawDown{ID: saw.ID, Why: saw.WhyNot})
	}
}

// Empty lines of a blank sheet: a crew of twelve with eight saws, and room for controls (company choice).
const (
	blankPeople   = 12
	blankSawRows  = 8
	blankControls = 6
)

// blankPage is a day sheet for a block with nothing filled in.
func (a *app) blankPage(o tailgatePrint) (sheet page.Blank, err error) {
	if o.block == "" {
		return sheet, usage("see: ringtrue block list", "a blank sheet is for a block: --block is missing")
	}
	if err := a.knownBlock(o.block); err != nil {
		return sheet, err
	}
	today := civil.Of(a.now(), a.book.Zone())
	card, _, err := a.card(o.block, a.knownNow(today))
	if err != nil {
		return sheet, err
	}
	h, err := a.sheetHints(card, true, today)
	if err != nil {
		return sheet, err
	}
	if sheet.Common, err = a.common(o.printOptions); err != nil {
		return sheet, err
	}
	fillBlank(&sheet, card, h)
	return sheet, nil
}

// fillBlank puts the card and the questions on a blank sheet.
func fillBlank(sheet *page.Blank, card hazards.Block, h hazards.Hints) {
	sheet.Block, sheet.BlockName, sheet.Edition = card.ID, card.Name, strconv.Itoa(card.Edition)
	sheet.Slope, sheet.Trees, sheet.Walk, sheet.Ambulance = card.SlopeMax, card.TreeHeight, card.Walk, card.Ambulance
	must, may := hazards.Questions(), hazards.Readings()
	if h.FireClass != "" {
		must, may = append(must, fireClassQuestions()...), withoutFireClass(may)
	}
	sheet.Sections, sheet.Readings = sections(must), sections(may)
	sheet.Groups = h.Groups
	for _, q := range hazards.SawChecks() {
		sheet.Saws = append(sheet.Saws, onPaper(q))
	}
	for l := training.NoSaw; l <= training.Unsupervised; l++ {
		sheet.Levels = append(sheet.Levels, l.String())
	}
	sheet.Emergency, sheet.Caution = card.ReadAloud(), hazards.Caution
	sheet.PeopleLines, sheet.SawLines, sheet.ControlLines = blankPeople, blankSawRows, blankControls
	for _, e := range h.Asks {
		sheet.Asked = append(sheet.Asked, strings.TrimSpace(e.Question)+" ("+e.About()+")")
	}
}

// sections gathers questions under the heads of the walk through a morning.
func sections(list []hazards.Question) []page.Section {
	var out []page.Section
	for _, q := range list {
		if len(out) == 0 || out[len(out)-1].Title != q.Section {
			out = append(out, page.Section{Title: q.Section})
		}
		last := &out[len(out)-1]
		last.Questions = append(last.Questions, onPaper(q))
	}
	return out
}

func onPaper(q hazards.Question) page.Question {
	return page.Question{ID: q.ID, Text: q.Text, Stop: q.StopsIf(), Such: q.Such, YesNo: q.Kind == hazards.YesNo, None: q.None, NA: q.NA}
}
