package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
	"example.org/ringtrue/training/spelling"
)

func newPPECmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "ppe", Short: "Protective equipment: who holds what"}
	c.AddCommand(newIssueCmd(a), newReturnCmd(a), newPPEListCmd(a))
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
		Args: exactly(2, "WORKER ITEM"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker, o.item = args[0], args[1]
			who, by, item, refs, err := a.issue(o)
			if err != nil {
				return err
			}
			h, err := a.happened(o.at)
			if err != nil {
				return err
			}
			var notes []string
			if item.Note != "" {
				notes = append(notes, item.Note)
			}
			return a.done(by, refs, h, fmt.Sprintf("%s holds: %s", who.Name, item.Title), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Size, "size", "", "size")
	f.StringVar(&o.Standard, "standard", "", "standard marked on it")
	f.StringVar(&o.Serial, "serial", "", "number on it")
	f.StringVar(&o.Made, "made", "", "when it was made, as marked on it")
	f.StringVar(&o.ReplaceBy, "replace-by", "", "first day it may no longer be used")
	f.StringVar(&o.Source, "source", "", "who states that day")
	f.BoolVar(&o.Own, "own", false, "the worker's own")
	f.StringVar(&o.at, "at", "", "when it was issued")
	return c
}

// issue records a piece of equipment.
func (a *app) issue(o issueOptions) (who, by store.Person, item training.Item, refs []training.Ref, err error) {
	var p problems
	who, err = a.person(o.worker)
	p.add(err)
	by, err = a.actor()
	p.add(err)
	happened, err := a.happened(o.at)
	p.add(err)
	std, err := a.standards(a.knownNow(civil.Of(happened, a.book.Zone())))
	p.add(err)
	item, ok := std.Item(o.item)
	if !ok {
		var ids []string
		for _, i := range std.PPE {
			ids = append(ids, i.ID)
		}
		next := "items are: " + strings.Join(ids, ", ")
		if near := spelling.Nearest(o.item, ids); near != "" {
			next = "nearest: " + near + "; all: " + strings.Join(ids, ", ")
		}
		p.addf(next, "no item %q in curriculum %s", o.item, std.Curriculum.Edition)
	}
	_, err = parseDay("replace-by", o.ReplaceBy)
	p.add(err)
	if o.ReplaceBy != "" && o.Source == "" {
		p.add(usage("add --source, as \"maker's leaflet\"", "--replace-by needs --source: nobody publishes a service life for all"))
	}
	if err = p.err(); err != nil {
		return
	}
	o.Issue.Item = o.item
	refs, err = a.append([]ledger.Entry{entry(training.KindIssue, happened, by.ID, who.ID, "", o.Issue)})
	return
}

// piece is an issued piece of equipment and what became of it.
type piece struct {
	ref    training.Ref
	worker string
	issued time.Time
	training.Issue
	returned  string // condition, once returned
	replaceBy civil.Day
}

// usable reports whether a piece may be used on a day.
func (p piece) usable(day civil.Day) bool {
	return p.returned == "" && (p.replaceBy == civil.None || day < p.replaceBy)
}

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
		p.worker, p.issued = h.Worker, h.Happened
		if d, err := civil.Parse(p.ReplaceBy); err == nil {
			p.replaceBy = d
		}
		at[f.Entry] = len(list)
		list = append(list, p)
	}
	for _, f := range returned {
		if f.Struck || f.At > asked.On {
			continue
		}
		var rec training.Return
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		ref, err := a.book.Ref(rec.Issue)
		if err != nil {
			return nil, err
		}
		if i, ok := at[ref]; ok {
			list[i].returned = rec.Condition
		}
	}
	return list, nil
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
			who, by, refs, err := a.giveBack(args[0], args[1], condition, reason, at)
			if err != nil {
				return err
			}
			h, err := a.happened(at)
			if err != nil {
				return err
			}
			return a.done(by, refs, h, fmt.Sprintf("%s returned %s, %s", who.Name, args[1], condition))
		},
	}
	c.Flags().StringVar(&condition, "condition", "serviceable", "serviceable or condemned")
	c.Flags().StringVar(&reason, "reason", "", "why it was condemned")
	c.Flags().StringVar(&at, "at", "", "when it came back")
	return c
}

// giveBack records a return. ITEM is the kind of item, or the entry that issued the piece where there are several.
func (a *app) giveBack(worker, item, condition, reason, at string) (who, by store.Person, refs []training.Ref, err error) {
	var p problems
	who, err = a.person(worker)
	p.add(err)
	by, err = a.actor()
	p.add(err)
	happened, err := a.happened(at)
	p.add(err)
	if condition != "serviceable" && condition != "condemned" {
		p.add(usage("say serviceable or condemned", "--condition %q is neither", condition))
	}
	if condition == "condemned" && strings.TrimSpace(reason) == "" {
		p.add(usage("add --reason", "condemned equipment needs a reason"))
	}
	if err = p.err(); err != nil {
		return
	}
	issued, err := a.held(who, item, a.knownNow(civil.Of(happened, a.book.Zone())))
	if err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(training.KindReturn, happened, by.ID, who.ID, "", training.Return{Issue: a.book.Name(issued), Condition: condition, Reason: reason})})
	return
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
	ReplaceBy string `json:"replace_by"`
	Source    string `json:"source"`
	State     string `json:"state"` // held, overdue, returned, condemned
}

func newPPEListCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "list [WORKER]",
		Short:   "List equipment held, overdue and returned",
		Example: "  ringtrue ppe list\n  ringtrue ppe list ana --on 2026-07-14",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			asked, err := a.asked(q)
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
			return a.ppeList(who, asked)
		},
	}
	questionFlags(c, &q)
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
		rows = append(rows, []string{l.Entry, people.handle(l.Worker), l.Item, l.Size, l.Standard, l.Serial, l.Issued, l.ReplaceBy, l.State})
	}
	a.table([]string{"ENTRY", "WORKER", "ITEM", "SIZE", "STANDARD", "NUMBER", "ISSUED", "REPLACE BY", "STATE"}, rows)
	return nil
}

func (a *app) pieceLines(worker string, asked training.Asked) ([]pieceLine, error) {
	list, err := a.pieces(worker, asked)
	lines := []pieceLine{}
	for _, p := range list {
		state := "held"
		switch {
		case p.returned == "condemned":
			state = "condemned"
		case p.returned != "":
			state = "returned"
		case !p.usable(asked.Day):
			state = "overdue"
		}
		lines = append(lines, pieceLine{a.book.Short(p.ref), p.worker, p.Item, p.Size, p.Standard, p.Serial, civil.Of(p.issued, a.book.Zone()).String(), p.ReplaceBy, p.Source, state})
	}
	return lines, err
}
