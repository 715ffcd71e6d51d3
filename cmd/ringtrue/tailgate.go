package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
)

func newTailgateCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "tailgate",
		Short: "The daily hazard check before the saws start",
		Long: `The daily hazard check before the saws start. A day goes: check (it asks at a terminal; or sheet, fill in, check --from),
join, then change and checkin as the day brings them, close. show and print read it again.

It ranks what to talk about first; it does not say that work is safe.`,
	}
	c.AddCommand(newSheetCmd(a), newCheckCmd(a), newJoinCmd(a), newChangeCmd(a), newCheckInCmd(a), newCloseCmd(a), newTailgateShowCmd(a), newTailgatePrintCmd(a))
	return c
}

// tailgateRecord is a check as it stands in the ledger: the sheet with people as ids, and the answer.
type tailgateRecord struct {
	Block      string             `json:"block"`
	Sheet      hazards.Sheet      `json:"sheet"`
	Assessment hazards.Assessment `json:"assessment"`
	Knows      string             `json:"knows"`   // how far the book knew
	Changed    []string           `json:"changed"` // answers that differ from the check before it on that day
}

// tailgate is a recorded check.
type tailgate struct {
	ref      training.Ref
	by       string
	happened time.Time
	recorded time.Time
	tailgateRecord
}

func (a *app) tailgate(ref training.Ref) (tailgate, error) {
	t := tailgate{ref: ref}
	h, err := a.book.Entry(a.ctx, ref, &t.tailgateRecord)
	t.by, t.happened, t.recorded = h.By, h.Happened, h.Recorded
	return t, err
}

// lastTailgate reads only the newest check of a block.
func (a *app) lastTailgate(block string) (t tailgate, ok bool, err error) {
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return t, false, err
	}
	for i := len(facts) - 1; i >= 0; i-- {
		if facts[i].Struck {
			continue
		}
		why, err := a.book.Distrusted(a.ctx, facts[i].Entry)
		if err != nil {
			return t, false, err
		}
		if why != "" { // what permits nothing is no answer; book verify and tailgate show ENTRY name it
			fmt.Fprintf(a.err, "ringtrue: the check of entry %s does not count: %s\n", a.book.Short(facts[i].Entry), why)
			continue
		}
		t, err = a.tailgate(facts[i].Entry)
		return t, err == nil, err
	}
	return t, false, nil
}
