package main

import (
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

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
	Looked    string `json:"looked"`           // last look
	State     string `json:"state"`            // held, look due, replace, returned, condemned
	Rating    string `json:"rating,omitempty"` // of hearing protection, METHOD and dB
	Own       bool   `json:"own"`              // the worker's own piece
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
	people, err := a.crew()
	if err != nil {
		return err
	}
	header := []string{"ENTRY", "WORKER", "ITEM", "SIZE", "STANDARD", "NUMBER", "ISSUED", "LAST LOOK", "REPLACE BY", "STATE"}
	return listing(a, map[string]any{"format": "ringtrue/ppe/1", "rows": list}, header, list, func(l pieceLine) []string {
		return []string{l.Entry, people.handle(l.Worker), l.Item, l.Size, strings.Join(notEmpty(l.Standard, l.Rating), ", "), l.Serial, l.Issued, l.Looked, l.ReplaceBy, l.State}
	})
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
			p.Made, p.InUse, p.ReplaceBy, p.Source, p.looked.String(), p.state(asked.Day, h.Int(house.InspectionDays)), p.Rating, p.Own})
	}
	return lines, err
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
	people, err := a.crew()
	if err != nil {
		return err
	}
	header := []string{"WORKER", "LACKS FOR " + g.ID}
	return listing(a, map[string]any{"format": "ringtrue/ppe-lacks/1", "group": g.ID, "needs": g.PPE, "rows": lines}, header, lines, func(l lackLine) []string {
		return []string{people.handle(l.Worker), strings.Join(l.Lacks, ", ")}
	})
}
