package main

import (
	"errors"
	"os"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
)

func newCheckCmd(a *app) *cobra.Command {
	var from, lang string
	var o depth
	c := &cobra.Command{
		Use:   "check [--from SHEET]",
		Short: "Assess a filled day sheet, record the answer and say who may do what",
		Long: `Assess a filled day sheet: go, go with controls, or hold, with reasons. The answer is recorded with the sheet. It
ranks what to talk about first; it does not say that work is safe.

Without --from, at a terminal, it asks: what was stable on the block's last sheet is shown with its day, everything else
is asked afresh. Control-C keeps the answers for two hours and records nothing.

The answer is one screen; --why gives its reasons, clauses and house rules, --full everything.

Exit status: 0 go or go with controls, 3 hold, 1 refused (nothing recorded).`,
		Example: "  ringtrue tailgate check --from day.yaml\n  ringtrue tailgate check --from day.yaml --json",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if _, err := o.subject(args, 0); err != nil {
				return err
			}
			if from == "" && !a.attended() {
				return usage("write one first: ringtrue tailgate sheet --block B7 -o day.yaml", "--from is missing: which sheet")
			}
			if err := firstError(a.speak(lang), a.write()); err != nil {
				return err
			}
			check := a.askTailgate
			if from != "" {
				check = func() (tailgate, error) { return a.check(from) }
			}
			t, err := check()
			if err != nil {
				return err
			}
			if err := a.paged(func() error { return a.printTailgate(t, o) }); err != nil {
				return err
			}
			if t.Assessment.Answer == hazards.Hold {
				return answerNo()
			}
			return nil
		},
	}
	c.Flags().StringVar(&from, "from", "", "the filled sheet (in a pipe required)")
	langFlag(c, &lang)
	depthFlags(c, &o)
	return c
}

// check reads, assesses and records a day sheet.
func (a *app) check(path string) (tailgate, error) {
	text, err := readSmall(path, hazards.MaxSheet)
	if err != nil {
		return tailgate{}, err
	}
	return a.checkSheetText(path, text)
}

// checkSheetText assesses and records the text of a filled sheet; name stands before every problem.
func (a *app) checkSheetText(name string, text []byte) (tailgate, error) {
	sheet, err := a.readSheet(name, text)
	if err != nil {
		return tailgate{}, err
	}
	return a.checkSheet(sheet)
}

// readSheet reads the text of a filled sheet with what the book knows; name stands before every problem.
func (a *app) readSheet(name string, text []byte) (sheet hazards.Sheet, err error) {
	as, err := a.onSheets()
	if err != nil {
		return sheet, err
	}
	asks, err := a.eventQuestions(as)
	if err != nil {
		return sheet, err
	}
	known, err := a.sheetKnows()
	if err != nil {
		return sheet, err
	}
	sheet, err = hazards.ParseSheetFor(name, text, known, asks...)
	switch {
	case errors.Is(err, hazards.ErrFormat):
		return sheet, refuse("write one: ringtrue tailgate sheet --block BLOCK -o day.yaml", "%v", err)
	case err != nil:
		return sheet, refuse("mend the sheet and check it again; nothing was recorded", "%v", err)
	}
	return sheet, nil
}

func readSmall(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, refuse("name the filled sheet with --from", "read the sheet: %v", err)
	}
	if !info.Mode().IsRegular() { // reading a pipe would wait for ever
		return nil, refuse("name the filled sheet with --from", "read the sheet: %s is not a file", path)
	}
	if info.Size() > limit {
		return nil, refuse("a day sheet is a small text file", "read the sheet: %s has %d bytes, more than %d", path, info.Size(), limit)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, refuse("name the filled sheet with --from", "read the sheet: %v", err)
	}
	return text, nil
}

// checkSheet assesses and records a sheet that has been read.
func (a *app) checkSheet(sheet hazards.Sheet) (tailgate, error) {
	in, happened, fresh, err := a.assessable(sheet)
	if err != nil {
		return tailgate{}, err
	}
	return a.recordTailgate(in, happened, fresh)
}

func (a *app) recordTailgate(in hazards.Input, happened time.Time, fresh []hazards.FireDay) (tailgate, error) {
	rec := tailgateRecord{Block: in.Sheet.Block, Sheet: in.Sheet, Assessment: hazards.Assess(in), Changed: []string{}}
	rec.Sheet.Visitors = append([]hazards.Visitor{}, rec.Sheet.Visitors...) // an entry holds no nulls
	rec.Sheet.Controls = append([]hazards.Control{}, rec.Sheet.Controls...)
	var err error
	if rec.Knows, err = a.knows(); err != nil {
		return tailgate{}, err
	}
	last, ok, err := a.lastTailgate(in.Sheet.Block)
	if err != nil {
		return tailgate{}, err
	}
	if ok && last.Sheet.Day == in.Sheet.Day {
		marked := func(id string) string { return "{" + id + "}" } // as in the texts of an assessment
		rec.Changed = append(rec.Changed, hazards.Changed(last.Sheet.WithPeople(marked), in.Sheet.WithPeople(marked))...)
	}
	es := append(a.fireEntries(fresh, in.Sheet.By, happened), entry(store.KindTailgate, happened, in.Sheet.By, "", "", rec))
	refs, err := a.append(es)
	if err != nil {
		return tailgate{}, err
	}
	return a.tailgate(refs[len(refs)-1])
}
