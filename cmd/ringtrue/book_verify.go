package main

import (
	"slices"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

// foundLine is one finding of verification.
type foundLine struct {
	Entry string `json:"entry"` // "" = the book as a whole
	Class string `json:"class"`
	What  string `json:"what"`
	Next  string `json:"next"`
}

type verifyOptions struct {
	against, proof, key string
	printed             printed
}

// handed names what was handed out before and is compared with the book.
func (o verifyOptions) handed() string {
	if o.printed != (printed{}) {
		return "the sheet"
	}
	return o.against
}

func newVerifyCmd(a *app) *cobra.Command {
	var o verifyOptions
	c := &cobra.Command{
		Use:   "verify",
		Short: "Recompute every hash and every derived row, and name what is damaged",
		Long: `Check the book against itself: every entry's bytes against its leaf hash and its place, every root, every derived row
and every name against the entries. It goes on past damage and names each damaged entry. Each finding is harmless (a
command mends it, no answer is wrong), damaged (the record is not what was written) or not trusted (nothing vouches for
it), and says what to do next.

With --against, it also checks that the book still holds everything that a seal, or a workbook written before, covers,
and names the first entry that differs. With --root and --entries, it does that for the root and number of entries that stand on
every printed sheet: the first 16 digits are enough.

Without a seal held outside, nobody can see that the newest entries were cut off, or that the whole book was written
anew. No seal shows that an entry is true, that nothing was left out, or that the clock was right.

With --proof, it checks a proof of one entry, and needs no book.

Exit status: 0 sound, 4 damaged or against the seal.`,
		Example: `  ringtrue book verify
  ringtrue book verify --against audit-2026-07.xlsx
  ringtrue book verify --against seal-2026-07-31.txt
  ringtrue book verify --entries 812 --root 9b8597be0dddf720
  ringtrue book verify --proof sign-off-ana.tlog-proof`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return a.verify(o) },
	}
	f := c.Flags()
	f.StringVar(&o.against, "against", "", "seal or workbook handed out before, to compare the book with")
	f.StringVar(&o.printed.root, "root", "", "root on a printed sheet, or its first 16 digits or more, to compare the book with")
	f.Int64Var(&o.printed.entries, "entries", 0, "with --root: entries that the sheet counts")
	f.StringVar(&o.printed.ledger, "ledger", "", "with --root: ledger that the sheet names (default: this device's own)")
	f.StringVar(&o.proof, "proof", "", "proof of one entry to check, without any book")
	f.StringVar(&o.key, "key", "", "with --proof: key that must have signed, as NAME+HASH+KEY")
	return c
}

func (a *app) verify(o verifyOptions) error {
	switch {
	case o.against != "" && o.printed != (printed{}):
		return usage("give one of them", "--against names a file, --root and --entries stand on a printed sheet")
	case o.proof != "" && o.handed() != "":
		return usage("give one of them", "--proof checks one entry without the book, --against the whole book")
	case o.key != "" && o.proof == "":
		return usage("add --proof FILE", "--key is the key of a proof")
	case o.proof != "":
		return a.checkProof(o.proof, o.key)
	}
	path, err := a.bookPath()
	if err != nil {
		return err
	}
	if a.book, err = store.Open(a.ctx, path, store.ForVerifying); err != nil {
		return err
	}
	if _, rec, err := a.book.Opening(a.ctx); err == nil {
		a.opening = rec
	}
	defer hurry()()
	rep, err := a.book.Verify(a.ctx)
	if err != nil {
		return err
	}
	then, err := a.compared(o)
	if err != nil {
		return err
	}
	return a.printReport(rep, o.handed(), then)
}

// sealCaution stands under every verification without a seal.
const sealCaution = "without a seal held outside, it cannot be seen whether the newest entries were cut off"

func (a *app) printReport(rep store.Report, against string, then []againstLine) error {
	found := make([]foundLine, 0, len(rep.Findings))
	for _, f := range rep.Findings {
		l := foundLine{Class: string(f.Class), What: f.What, Next: f.Next}
		if f.Seq > 0 {
			l.Entry = ledger.Ref(f.Origin, f.Seq)
		}
		found = append(found, l)
	}
	if err := a.printFound(rep, found, against, then); err != nil {
		return err
	}
	if !rep.Sound() || !keptAll(then) {
		return &failure{code: exitDamaged}
	}
	return nil
}

func (a *app) printFound(rep store.Report, found []foundLine, against string, then []againstLine) error {
	if a.json {
		object := map[string]any{"format": "ringtrue/verify/1", "sound": rep.Sound(), "entries": rep.Entries,
			"heads": headLines(rep.Heads), "findings": found, "note": sealCaution}
		if against != "" {
			object["against"] = append([]againstLine{}, then...)
		}
		return a.printJSON(object)
	}
	a.mark()
	a.say("%s: %d entries read, %d findings", verdict(rep), rep.Entries, len(found))
	for _, f := range found {
		where := "the book"
		if f.Entry != "" {
			where = "entry " + f.Entry
		}
		a.say("%s: %s: %s", f.Class, where, f.What)
	}
	for _, next := range nextSteps(found) {
		a.say("next: %s", next)
	}
	for _, h := range headLines(rep.Heads) {
		a.say("%s\t%d entries\troot %s", h.Origin, h.Size, h.Root)
	}
	if against == "" {
		a.say("%s", sealCaution)
		return nil
	}
	a.sayAgainst(against, then)
	return nil
}

// verdict is the worst that was found.
func verdict(rep store.Report) string {
	switch {
	case rep.Sound():
		return "sound"
	case slices.ContainsFunc(rep.Findings, func(f ledger.Finding) bool { return f.Class == ledger.Damaged }):
		return "DAMAGED"
	}
	return "NOT TRUSTED"
}

// nextSteps lists each next step once.
func nextSteps(found []foundLine) (steps []string) {
	for _, f := range found {
		if !slices.Contains(steps, f.Next) {
			steps = append(steps, f.Next)
		}
	}
	return steps
}
