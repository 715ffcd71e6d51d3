package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// adoption is an edition of the curriculum or of the house rules that may be adopted. Only one of the two is there.
type adoption struct {
	d          deed
	kind       string
	edition    string
	what       string // "curriculum starter-2"
	curriculum *training.Curriculum
	house      *house.House
	notes      []string
}

// adoptFlags are those of both adopt commands.
type adoptFlags struct {
	at                string
	starter, try, yes bool
}

func (o *adoptFlags) on(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.at, "at", "", "since when it holds; may lie ahead, and a day ahead begins at 00:00")
	f.BoolVar(&o.starter, "starter", false, "take what this program offers; says first what each worker would newly lack")
	f.BoolVar(&o.try, "try", false, "only say what each worker would newly lack; nothing is recorded")
	f.BoolVar(&o.yes, "yes", false, "adopt it without being asked")
}

// deedAhead begins a deed that may lie ahead: an edition may be adopted for looks from a day on.
func (a *app) deedAhead(p *problems, at string) deed {
	now := a.now().In(a.book.Zone()).Truncate(time.Second)
	t, day, isDay, ok := readMoment(at, now)
	if at == "" || !ok || !t.After(now) || day <= civil.Of(now, a.book.Zone()) {
		return a.deed(p, at)
	}
	d := a.deed(p, "")
	d.happened, d.day = t.Truncate(time.Second), day
	if isDay {
		d.happened = day.Start(a.book.Zone())
	}
	return d
}

// adopt says what an edition would take from each worker and records it, unless only that was asked for. What the program offers is
// recorded only on a yes.
func (a *app) adopt(one adoption, o adoptFlags) error {
	lost, err := a.lostBy(one)
	if err != nil {
		return err
	}
	said := a.lossLines(one, lost)
	if o.try && a.json {
		return a.printJSON(adoptionAnswer{"ringtrue/adoption/1", one.edition, one.d.happened.Format(time.RFC3339), append([]string{}, one.notes...), lost})
	}
	if o.try || o.starter && !o.yes {
		if !a.json {
			a.mark()
			a.say("%s, from %s on", one.what, a.local(one.d.happened))
			for _, l := range slices.Concat(one.notes, said) {
				a.say("  %s", l)
			}
		}
		if o.try {
			a.say("nothing is recorded")
			return nil
		}
		if err := a.confirmed(one); err != nil {
			return err
		}
		said, one.notes = nil, nil
	}
	d, err := a.keepAll(one.d, []ledger.Entry{one.entry()})
	if err != nil {
		return err
	}
	return a.recorded(d, "adopted "+one.what, slices.Concat(one.notes, said)...)
}

func (one adoption) entry() ledger.Entry {
	var data any = one.curriculum
	if one.house != nil {
		data = one.house
	}
	return ledger.Entry{Kind: one.kind, Happened: one.d.happened, By: one.d.by.ID, Data: data, Catalogue: true}
}

// confirmed asks at a terminal; elsewhere --yes is the answer.
func (a *app) confirmed(one adoption) error {
	if !a.attended() {
		return refuse("if this may be so: add --yes; for looks from a day on: --at DAY", "adopt %s: nobody has said yes to what it changes", one.what)
	}
	fmt.Fprintf(a.err, "Adopt %s? y or n\n", one.what)
	line, err := a.line(a.lines())
	if err != nil {
		return err
	}
	if !slices.Contains([]string{"y", "yes"}, strings.ToLower(strings.TrimSpace(line))) {
		return refuse("the same command offers it again", "nothing was recorded, as you said")
	}
	return nil
}

// adoptionAnswer is what an edition would take from each worker, for --try --json.
type adoptionAnswer struct {
	Format  string       `json:"format"` // ringtrue/adoption/1
	Edition string       `json:"edition"`
	Since   string       `json:"since"`
	Changes []string     `json:"changes"`
	Workers []workerLoss `json:"workers"` // those who lose something
}

// offerStarter says on the side that the program offers another edition than any that the book has adopted of a kind.
func (a *app) offerStarter(kind, offered, command string) error {
	facts, err := a.listed(a.knownNow(1<<20), kind)
	if err != nil {
		return err
	}
	for _, f := range facts {
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return err
		}
		if ledger.Text(ledger.Lookup(h.Data, "edition")) == offered {
			return nil
		}
	}
	fmt.Fprintf(a.err, "this program offers %s, which the book has not adopted; what it would change: %s --starter --try\n", offered, command)
	return nil
}
