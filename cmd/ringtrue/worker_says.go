package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

func newWorkerSaysCmd(a *app) *cobra.Command {
	var at string
	c := &cobra.Command{
		Use:   "says ENTRY TEXT",
		Short: "What a worker says about an entry about them; it is printed beside the entry",
		Long: `Record a worker's own word on an entry about them: a look, a restriction, a missed call. Only that worker may say it (--as). It changes no
answer, and is printed beside the entry wherever that stands.`,
		Example: `  ringtrue worker says 412 "the radio was off" --as ana`,
		Args:    exactly(2, "ENTRY TEXT"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, err := a.says(args[0], args[1], at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("%s says on entry %s: %s", d.by.Name, args[0], args[1]))
		},
	}
	c.Flags().StringVar(&at, "at", "", clockHelp)
	return c
}

// says records a worker's statement on an entry about them.
func (a *app) says(text, says, at string) (deed, error) {
	var p problems
	d := a.deed(&p, a.todayAt(at))
	ref, ok, err := a.book.Find(a.ctx, text)
	if err != nil {
		return d, err
	}
	if strings.TrimSpace(says) == "" {
		p.add(usage("write it in quotes behind the entry", "nothing is said"))
	}
	if !ok {
		p.addf("see your entries: ringtrue evidence show "+orWord(d.by.Handle, "WORKER"), "there is no entry %s", text)
		return d, p.err()
	}
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return d, err
	}
	switch {
	case h.Worker == "":
		p.addf("see the entries about somebody: ringtrue evidence show WORKER", "entry %s is about nobody", text)
	case h.Kind == training.KindStatement:
		p.addf("name the entry that it is about", "entry %s is a statement itself", text)
	case d.by.ID != "" && h.Worker != d.by.ID:
		p.addf("let them say it: --as "+a.short(h.Worker), "entry %s is about %s; only they say something to it, not %s", text, a.short(h.Worker), d.by.Name)
	}
	if err := p.err(); err != nil {
		return d, err
	}
	d.who = d.by
	return a.keep(d, training.KindStatement, training.Statement{Entry: a.book.Name(ref), Says: strings.TrimSpace(says)})
}

// statement is what a worker said about an entry.
type statement struct {
	Entry string `json:"entry"`
	By    string `json:"by"`
	Says  string `json:"says"`
	On    string `json:"happened"`
}

// statementsOf gathers what a worker said, by the entry it is about, as known and true at a moment.
func (a *app) statementsOf(worker string, asked training.Asked) (map[training.Ref][]statement, error) {
	facts, err := a.book.Topic(a.ctx, asked, worker, training.KindStatement)
	if err != nil {
		return nil, err
	}
	said := map[training.Ref][]statement{}
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		var rec training.Statement
		h, err := a.book.Entry(a.ctx, f.Entry, &rec)
		if err != nil {
			return nil, err
		}
		about, err := a.book.Ref(rec.Entry)
		if err != nil {
			return nil, err
		}
		said[about] = append(said[about], statement{a.book.Short(f.Entry), h.By, rec.Says, a.moment(f.At)})
	}
	return said, nil
}

// addStatements puts what the worker said beside each line of evidence.
func (a *app) addStatements(lines []evidenceLine, worker string, asked training.Asked) error {
	said, err := a.statementsOf(worker, asked)
	for i, l := range lines {
		lines[i].Says = said[l.ref]
	}
	return err
}

// saysLines are the statements in words, for a place below the entry.
func saysLines(said []statement, people *people) (lines []string) {
	for _, s := range said {
		lines = append(lines, fmt.Sprintf("%s SAYS (entry %s): %s", people.handle(s.By), s.Entry, s.Says))
	}
	return lines
}

// saidOfCalls prints what somebody says of a call that did not come, behind the call.
func (a *app) saidOfCall(one callEntry, people *people) {
	said, err := a.statementsOf(one.worker, a.knownNow(1<<20))
	if err != nil {
		return // a damaged statement never hides the call; verify names it
	}
	for _, l := range saysLines(said[one.ref], people) {
		a.say("       %s", l)
	}
}

// personCard is what is stored about a worker beside the crew list's line.
type personCard struct {
	Employer string      `json:"employer"`
	Document string      `json:"document"`
	Contact  string      `json:"contact"`
	Young    string      `json:"young_until"` // first day no longer young, "" = is not
	Own      []pieceLine `json:"equipment"`
}

// personCard reads what the worker's entry and the person row say.
func (a *app) personCard(who store.Person, topics store.Topics, asked training.Asked) (card personCard, err error) {
	card.Contact = who.Contact
	for _, f := range topics[training.KindWorker] {
		if f.Struck || f.At > asked.On {
			continue
		}
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return card, err
		}
		field := func(name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }
		card.Employer, card.Document, card.Young = field("employer"), field("document"), field("young_until")
	}
	card.Own, err = a.pieceLines(who.ID, asked)
	return card, err
}

// isYoung reports whether somebody still counts as young on a day; youngUntil is the first day on which not.
func isYoung(youngUntil string, asked training.Asked) bool {
	return youngUntil != "" && asked.Day.String() < youngUntil
}

// personCardText says what a worker's card holds.
func (a *app) personCardText(c personCard, asked training.Asked) {
	if c.Employer != "" && c.Employer != "own" {
		a.say("%s, named in: %s", c.Employer, c.Document)
	}
	if isYoung(c.Young, asked) {
		a.say("YOUNG worker until %s: ringtrue rules list for what that asks here", c.Young)
	}
	if c.Contact != "" {
		a.say("reached by: %s", c.Contact)
	}
	for _, p := range c.Own {
		own := ""
		if p.Own {
			own = ", their own"
		}
		a.say("equipment: %s, %s%s%s (entry %s)", p.Item, p.State, own, note(", replace by ", p.ReplaceBy), p.Entry)
	}
}
