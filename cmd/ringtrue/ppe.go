package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newPPECmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "ppe", Short: "Protective equipment: who holds what"}
	c.AddCommand(newIssueCmd(a), newRegisterCmd(a), newInspectCmd(a), newReturnCmd(a), newPPEListCmd(a))
	return c
}

type issueOptions struct {
	worker, item string
	training.Issue
	at string
}

func newIssueCmd(a *app) *cobra.Command {
	var o issueOptions
	c := &cobra.Command{
		Use:   "issue WORKER ITEM",
		Short: "Issue a piece of equipment, or register a worker's own",
		Long: `Issue a piece of protective equipment. Cut protection made for chain saws is not made for a clearing-saw blade.
No regulator publishes a service life: --replace-by needs --source, who states that day.`,
		Example: `  ringtrue ppe issue ana boots --size 41 --standard "CSA Z195" --made 2026-01
  ringtrue ppe issue ana helmet --own --standard "EN 397" --replace-by 2028-05-01 --source "maker's leaflet"`,
		Args: a.orAsked(exactly(2, "WORKER ITEM"), 1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			var err error
			asked := len(args) < 2
			if asked {
				o, err = a.askIssue(o, args)
			} else {
				o.worker, o.item = args[0], args[1]
			}
			if err != nil {
				return err
			}
			d, item, err := a.issue(o)
			if err == nil && asked {
				err = a.dropDraft("ppe issue")
			}
			if err != nil {
				return err
			}
			var notes []string
			if item.Note != "" {
				notes = append(notes, item.Note)
			}
			return a.recorded(d, fmt.Sprintf("%s holds: %s", d.who.Name, item.Title), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Size, "size", "", "size")
	f.StringVar(&o.Standard, "standard", "", "standard marked on it")
	f.StringVar(&o.Serial, "serial", "", "number on it")
	f.StringVar(&o.Made, "made", "", "when it was made, as marked on it")
	f.StringVar(&o.InUse, "in-use", "", "first day in use, where that was before")
	f.StringVar(&o.ReplaceBy, "replace-by", "", "first day it may no longer be used")
	f.StringVar(&o.Source, "source", "", "who states that day")
	f.BoolVar(&o.Own, "own", false, "the worker's own")
	f.StringVar(&o.at, "at", "", "when it was issued")
	return c
}

// issue records a piece of equipment.
func (a *app) issue(o issueOptions) (d deed, item training.Item, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	std, err := a.standards(a.knownNow(d.day))
	p.add(err)
	item, ok := std.Item(o.item)
	if !ok {
		var ids []string
		for _, i := range std.PPE {
			ids = append(ids, i.ID)
		}
		next := "items are: " + strings.Join(ids, ", ")
		if near := nearestID(o.item, ids); near != "" {
			next = "nearest: " + near + "; all: " + strings.Join(ids, ", ")
		}
		p.addf(next, "no item %q in curriculum %s", o.item, std.Curriculum.Edition)
	}
	_, err = parseDay("replace-by", o.ReplaceBy)
	p.add(err)
	p.add(madeBy(o.Made, d.day))
	used, err := parseDay("in-use", o.InUse)
	p.add(err)
	if used != civil.None && used > d.day {
		p.addf("leave it out: the day of issue counts", "--in-use %s is in the future", o.InUse)
	}
	if o.ReplaceBy != "" && o.Source == "" {
		p.add(usage("add --source, as \"maker's leaflet\"", "--replace-by needs --source: nobody publishes a service life for all"))
	}
	if err = p.err(); err != nil {
		return d, item, err
	}
	o.Issue.Item = o.item
	d, err = a.keep(d, training.KindIssue, o.Issue)
	return d, item, err
}

// madeBy checks a day or month of manufacture, which lies back.
func madeBy(text string, today civil.Day) error {
	if text == "" {
		return nil
	}
	day, err := civil.Parse(text)
	if err != nil {
		day, err = civil.Parse(text + "-01")
	}
	if err != nil {
		return usage("write a month or day, as 2026-01 or 2026-01-15", "--made %q is not a month or day that exists", text)
	}
	if day > today {
		return refuse("write what is marked on it", "--made %s is in the future", text)
	}
	return nil
}

// piece is an issued piece of equipment and what became of it.
type piece struct {
	ref    training.Ref
	worker string
	issued time.Time
	training.Issue
	returned  string // condition, once returned
	condemned string // why, once condemned
	looked    civil.Day
	replaceBy civil.Day
}

// usable reports whether a piece may be used on a day. A look that is due is shown, but stops nobody: the daily look
// before use is the one that counts.
func (p piece) usable(day civil.Day) bool {
	return p.returned == "" && p.condemned == "" && !p.old(day)
}

func (p piece) old(day civil.Day) bool { return p.replaceBy != civil.None && day >= p.replaceBy }

func (p piece) unseen(day civil.Day, lookDays int) bool { return day-p.looked > civil.Day(lookDays) }

// pieces lists the equipment issued to a worker, as known and true at the moment asked; "" = everybody's.
func (a *app) pieces(worker string, asked training.Asked) ([]piece, error) {
	issued, err := a.book.Topic(a.ctx, asked, worker, training.KindIssue)
	if err != nil {
		return nil, err
	}
	returned, err := a.book.Topic(a.ctx, asked, worker, training.KindReturn)
	if err != nil {
		return nil, err
	}
	looked, err := a.book.Topic(a.ctx, asked, worker, training.KindInspection)
	if err != nil {
		return nil, err
	}
	var list []piece
	at := map[training.Ref]int{}
	for _, f := range issued {
		if f.Struck || f.At > asked.On {
			continue
		}
		p := piece{ref: f.Entry, replaceBy: civil.None}
		h, err := a.book.Entry(a.ctx, f.Entry, &p.Issue)
		if err != nil {
			return nil, err
		}
		p.worker, p.issued, p.looked = h.Worker, h.Happened, f.Day
		if d, err := civil.Parse(p.ReplaceBy); err == nil {
			p.replaceBy = d
		}
		at[f.Entry] = len(list)
		list = append(list, p)
	}
	for _, f := range slices.Concat(looked, returned) {
		if f.Struck || f.At > asked.On {
			continue
		}
		if err := a.lookAt(f, list, at); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// lookAt takes an inspection or a return into the list.
func (a *app) lookAt(f training.Fact, list []piece, at map[training.Ref]int) error {
	var rec training.Return // an inspection has the same names
	h, err := a.book.Entry(a.ctx, f.Entry, &rec)
	if err != nil {
		return err
	}
	ref, err := a.book.Ref(rec.Issue)
	if err != nil {
		return err
	}
	i, ok := at[ref]
	if !ok {
		return nil
	}
	if h.Kind == training.KindReturn {
		list[i].returned = rec.Condition
	} else {
		list[i].looked = f.Day
	}
	if rec.Condition == condemned {
		list[i].condemned = rec.Reason
	}
	return nil
}

func newReturnCmd(a *app) *cobra.Command {
	var condition, reason, at string
	c := &cobra.Command{
		Use:     "return WORKER ITEM",
		Short:   "Take a piece of equipment back, or out of use",
		Example: "  ringtrue ppe return ana boots --condition serviceable\n  ringtrue ppe return ana helmet --condition condemned --reason \"shell cracked\"",
		Args:    exactly(2, "WORKER ITEM"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, err := a.giveBack(args[0], args[1], condition, reason, at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("%s returned %s, %s", d.who.Name, args[1], condition))
		},
	}
	c.Flags().StringVar(&condition, "condition", "serviceable", "serviceable or condemned")
	c.Flags().StringVar(&reason, "reason", "", "why it was condemned")
	c.Flags().StringVar(&at, "at", "", "when it came back")
	return c
}

// giveBack records a return. ITEM is the kind of item, or the entry that issued the piece where there are several.
func (a *app) giveBack(worker, item, condition, reason, at string) (deed, error) {
	d, issued, err := a.aboutPiece(worker, item, condition, reason, at)
	if err != nil {
		return d, err
	}
	return a.keep(d, training.KindReturn, training.Return{Issue: a.book.Name(issued), Condition: condition, Reason: reason})
}

// aboutPiece begins what is recorded about a piece that a worker holds, with the entry that issued it.
func (a *app) aboutPiece(worker, item, condition, reason, at string) (d deed, issued training.Ref, err error) {
	var p problems
	d = a.deedAbout(&p, worker, at)
	p.add(conditionOf(condition, reason))
	if err = p.err(); err != nil {
		return d, 0, err
	}
	issued, err = a.held(d.who, item, a.knownNow(d.day))
	return d, issued, err
}

// held finds the one piece of an item that a worker holds.
func (a *app) held(who store.Person, item string, asked training.Asked) (training.Ref, error) {
	list, err := a.pieces(who.ID, asked)
	if err != nil {
		return 0, err
	}
	var found []training.Ref
	var names []string
	for _, p := range list {
		if p.returned == "" && (p.Item == item || a.book.Short(p.ref) == item) {
			found = append(found, p.ref)
			names = append(names, a.book.Short(p.ref))
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return 0, refuse("see: ringtrue ppe list "+who.Handle, "%s holds no %s", who.Name, item)
	}
	return 0, refuse("name the entry instead of the item: "+strings.Join(names, ", "), "%s holds several pieces: %s", who.Name, item)
}

// pieceLine is a piece as the list shows it.
type pieceLine struct {
	Entry     string `json:"entry"`
	Worker    string `json:"worker"`
	Item      string `json:"item"`
	Size      string `json:"size"`
	Standard  string `json:"standard"`
	Serial    string `json:"serial"`
	Issued    string `json:"issued"`
	Made      string `json:"made"`
	InUse     string `json:"in_use"`
	ReplaceBy string `json:"replace_by"`
	Source    string `json:"source"`
	Looked    string `json:"looked"` // last look
	State     string `json:"state"`  // held, look due, replace, returned, condemned
}

func newPPEListCmd(a *app) *cobra.Command {
	var q questionTimes
	var lacking string
	c := &cobra.Command{
		Use:     "list [WORKER]",
		Short:   "List equipment held, overdue and returned, or what people lack for a task",
		Example: "  ringtrue ppe list\n  ringtrue ppe list ana --on 2026-07-14\n  ringtrue ppe list --lacks light-brush",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			asked, err := a.question(q)
			if err != nil {
				return err
			}
			who := store.Everything
			if len(args) == 1 {
				person, err := a.person(args[0])
				if err != nil {
					return err
				}
				who = person.ID
			}
			if lacking != "" {
				return a.ppeLacks(who, lacking, asked)
			}
			return a.ppeList(who, asked)
		},
	}
	questionFlags(c, &q)
	c.Flags().StringVar(&lacking, "lacks", "", "list what each worker lacks for this task group")
	return c
}

func (a *app) ppeList(worker string, asked training.Asked) error {
	list, err := a.pieceLines(worker, asked)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/ppe/1", "rows": list})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	var rows [][]string
	for _, l := range list {
		rows = append(rows, []string{l.Entry, people.handle(l.Worker), l.Item, l.Size, l.Standard, l.Serial, l.Issued, l.Looked, l.ReplaceBy, l.State})
	}
	a.table([]string{"ENTRY", "WORKER", "ITEM", "SIZE", "STANDARD", "NUMBER", "ISSUED", "LAST LOOK", "REPLACE BY", "STATE"}, rows)
	return nil
}

func (a *app) pieceLines(worker string, asked training.Asked) ([]pieceLine, error) {
	h, err := a.house(asked)
	if err != nil {
		return nil, err
	}
	list, err := a.pieces(worker, asked)
	lines := []pieceLine{}
	for _, p := range list {
		lines = append(lines, pieceLine{a.book.Short(p.ref), p.worker, p.Item, p.Size, p.Standard, p.Serial, civil.Of(p.issued, a.book.Zone()).String(),
			p.Made, p.InUse, p.ReplaceBy, p.Source, p.looked.String(), p.state(asked.Day, h.Int(house.InspectionDays))})
	}
	return lines, err
}

// state says in a word how a piece stands on a day.
func (p piece) state(day civil.Day, lookDays int) string {
	switch {
	case p.condemned != "":
		return condemned
	case p.returned != "":
		return "returned"
	case p.old(day):
		return "replace"
	case p.unseen(day, lookDays):
		return "look due"
	}
	return "held"
}

// lackLine is what one worker lacks for a task group.
type lackLine struct {
	Worker string   `json:"worker"`
	Lacks  []string `json:"lacks"`
}

// ppeLacks lists who lacks what of the equipment a task group asks for.
func (a *app) ppeLacks(worker, group string, asked training.Asked) error {
	std, err := a.standards(asked)
	if err != nil {
		return err
	}
	g, err := std.group(group)
	if err != nil {
		return err
	}
	list, err := a.crewList(asked)
	if err != nil {
		return err
	}
	lines := []lackLine{}
	for _, w := range list {
		if w.Left != "" || (worker != store.Everything && worker != w.Worker) {
			continue
		}
		lacks, err := a.lacks(w.Worker, g, asked)
		if err != nil {
			return err
		}
		if lacks != nil {
			lines = append(lines, lackLine{w.Worker, lacks})
		}
	}
	return a.printLacks(g, lines)
}

func (a *app) printLacks(g training.Group, lines []lackLine) error {
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/ppe-lacks/1", "group": g.ID, "needs": g.PPE, "rows": lines})
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{people.handle(l.Worker), strings.Join(l.Lacks, ", ")})
	}
	a.table([]string{"WORKER", "LACKS FOR " + g.ID}, rows)
	return nil
}
