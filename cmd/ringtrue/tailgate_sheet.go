package main

import (
	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training/civil"
)

func newSheetCmd(a *app) *cobra.Command {
	var block, out, day, lang string
	var blank bool
	c := &cobra.Command{
		Use:   "sheet",
		Short: "Write a day sheet to fill in, blank or carried forward",
		Long: `Write a day sheet for a block: commented YAML to fill in with any editor, or to print. Stable answers are carried
forward from the block's last sheet and marked with their day. Never carried: wires, hung-up, wind-thrown and dead trees,
public, neighbours, call test, first aider, weather, who is here, fit for work, and the questions of events that are not closed.`,
		Example: "  ringtrue tailgate sheet --block B7 -o day.yaml",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := firstError(a.speak(lang), a.read()); err != nil {
				return err
			}
			text, err := a.sheet(block, day, blank)
			if err != nil {
				return err
			}
			text = a.sheetWords(text)
			if out == "" || out == "-" {
				_, err := a.out.Write(text)
				return err
			}
			if err := a.mayCreate(out); err != nil {
				return err
			}
			if err := writeWhole(out, text); err != nil {
				return err
			}
			a.say("wrote %s; fill it in, then: ringtrue tailgate check --from %s", out, out)
			return nil
		},
	}
	f := c.Flags()
	f.StringVar(&block, "block", "", "block (required)")
	f.StringVarP(&out, "output", "o", "", "file to write (default: standard output)")
	f.StringVar(&day, "day", "", "day of the sheet (default: today)")
	f.BoolVar(&blank, "blank", false, "carry nothing forward")
	langFlag(c, &lang)
	return c
}

// sheet makes the text of a day sheet.
func (a *app) sheet(block, dayText string, blank bool) ([]byte, error) {
	if block == "" {
		return nil, usage("see: ringtrue block list", "a sheet is for a block: --block is missing")
	}
	if err := a.knownBlock(block); err != nil {
		return nil, err
	}
	card, _, err := a.card(block, a.knownNow(0))
	if err != nil {
		return nil, err
	}
	day, err := parseDay("day", dayText)
	if err != nil {
		return nil, err
	}
	if day == civil.None {
		day = civil.Of(a.now(), a.book.Zone())
	}
	h, err := a.sheetHints(card, blank, day)
	if err != nil {
		return nil, err
	}
	s := hazards.Sheet{Block: card.ID, BlockEdition: card.Edition, Day: day.String()}
	return hazards.WriteSheet(s, h), nil
}

// sheetHints gathers what helps to fill in the sheet.
func (a *app) sheetHints(card hazards.Block, blank bool, day civil.Day) (hazards.Hints, error) {
	h := hazards.Hints{Block: card, FireClass: a.fireClassAsked(card.ID, day.String())}
	asked := a.knownNow(day)
	list, err := a.crewList(asked)
	if err != nil {
		return h, err
	}
	people, err := a.crew()
	if err != nil {
		return h, err
	}
	for _, w := range list {
		if w.Left == "" {
			h.People = append(h.People, people.handle(w.Worker))
		}
	}
	std, err := a.standards(asked)
	if err != nil {
		return h, err
	}
	for _, g := range std.Groups {
		h.Groups = append(h.Groups, g.ID)
	}
	if h.Saws, err = a.sawHints(asked); err != nil {
		return h, err
	}
	if h.Asks, err = a.sheetQuestions(card.ID, day.String()); err != nil {
		return h, err
	}
	if blank {
		return h, nil
	}
	err = a.lastHints(&h, people)
	return h, err
}

// lastHints takes the block's last sheet, and its saws where the book keeps none.
func (a *app) lastHints(h *hazards.Hints, people *people) error {
	last, ok, err := a.lastTailgate(h.Block.ID)
	if err != nil || !ok {
		return err
	}
	shown := last.Sheet.WithPeople(people.handle)
	h.Last = &shown
	if len(h.Saws) > 0 {
		return nil
	}
	for _, s := range shown.Saws {
		h.Saws = append(h.Saws, s.ID)
	}
	return nil
}
