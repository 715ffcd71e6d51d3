package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type joinOptions struct {
	workers, visitors     []string
	block, entry, briefed string
	at                    string
}

func newJoinCmd(a *app) *cobra.Command {
	var o joinOptions
	c := &cobra.Command{
		Use:   "join [WORKER...]",
		Short: "Record that people heard the check and the emergency text and acknowledged it",
		Long: `Record acknowledgements of today's check. People on the sheet join with the saw and task planned for them; somebody
who comes later is named with who briefed them, and joins without a saw: for saw work they have to be on a sheet.
A visitor is joined by what they are, not by name, with who briefed them and stays with them.
A join is the supervisor's statement that it was acknowledged in person; nobody signs by it.`,
		Example: "  ringtrue tailgate join ana ben jon\n  ringtrue tailgate join luis --at 08:40 --briefed-by okafor\n" +
			"  ringtrue tailgate join --visitor \"the client's forester\" --briefed-by okafor --block B7",
		Args: cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.workers = args
			by, t, refs, happened, notes, err := a.join(o)
			if err != nil {
				return err
			}
			word, err := a.wordBefore(t)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, fmt.Sprintf("%s%s joined the check of block %s", word, strings.Join(append(args, o.visitors...), ", "), t.Block), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.block, "block", "", "block of the check (default: where the workers are on the sheet)")
	f.StringVar(&o.entry, "check", "", "entry of the check (default: the last one of that day)")
	f.StringVar(&o.briefed, "briefed-by", "", "who briefed those who came late, and stays with a visitor")
	f.StringArrayVar(&o.visitors, "visitor", nil, "a visitor, by what they are; repeatable")
	f.StringVar(&o.at, "at", "", "when they joined; a clock time alone is today's")
	return c
}

// join records who acknowledged a check.
func (a *app) join(o joinOptions) (by store.Person, t tailgate, refs []training.Ref, happened time.Time, notes []string, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(a.todayAt(o.at))
	p.add(err)
	who := make([]store.Person, len(o.workers))
	for i, w := range o.workers {
		who[i], err = a.person(w)
		p.add(err)
	}
	if len(o.workers)+len(o.visitors) == 0 {
		p.add(usage("see: ringtrue tailgate join --help", "nobody is named: WORKER... or --visitor"))
	}
	if len(o.visitors) > 0 && o.briefed == "" {
		p.add(usage("add --briefed-by WORKER", "a visitor needs somebody who briefed them and stays with them"))
	}
	var briefer store.Person
	if o.briefed != "" {
		briefer, err = a.person(o.briefed)
		p.add(err)
	}
	if err = p.err(); err != nil {
		return
	}
	if t, err = a.checkToJoin(o, who, civil.Of(happened, a.book.Zone())); err != nil {
		return
	}
	var es []ledger.Entry
	es, notes, err = a.joinEntries(t, who, by, briefer, happened)
	if err != nil {
		return
	}
	es = append(es, a.visitorEntries(t, o.visitors, by, briefer, happened)...)
	refs, err = a.append(es)
	return
}

// todayAt lets a clock time alone stand for today.
func (a *app) todayAt(at string) string {
	if clock, ok := meantClock(strings.TrimSpace(at)); ok {
		return civil.Of(a.now(), a.book.Zone()).String() + "T" + clock
	}
	return at
}

// checkToJoin finds the check: the one named, or the last one of that day, on the block named or where the first
// worker is on the sheet.
func (a *app) checkToJoin(o joinOptions, who []store.Person, day civil.Day) (tailgate, error) {
	if o.entry != "" {
		return a.findTailgate([]string{o.entry}, "")
	}
	if o.block != "" {
		if err := a.knownBlock(o.block); err != nil {
			return tailgate{}, err
		}
	}
	cards, err := a.cards(a.knownNow(day))
	if err != nil {
		return tailgate{}, err
	}
	var found []tailgate
	for _, c := range cards {
		if o.block != "" && o.block != c.ID {
			continue
		}
		t, ok, err := a.lastTailgate(c.ID)
		if err != nil {
			return tailgate{}, err
		}
		if ok && t.Sheet.Day == day.String() && (o.block != "" || o.briefed != "" || onSheet(t.Sheet, who[0].ID)) {
			found = append(found, t)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		if len(who) == 0 {
			return tailgate{}, refuse("check a sheet first: ringtrue tailgate check --from day.yaml", "there is no check on %s", day)
		}
		return tailgate{}, refuse("check a sheet first: ringtrue tailgate check --from day.yaml; or name who briefed the late with --briefed-by", "no check of %s has %s on its sheet", day, who[0].Name)
	}
	return tailgate{}, refuse("name the block: --block", "%d blocks have a check on %s", len(found), day)
}

func onSheet(s hazards.Sheet, worker string) bool {
	return slices.ContainsFunc(s.Crew, func(c hazards.CrewLine) bool { return c.Worker == worker })
}

// joinEntries builds the acknowledgements. A check that holds is nothing to join; somebody stopped joins without a
// saw.
func (a *app) joinEntries(t tailgate, who []store.Person, by, briefer store.Person, happened time.Time) ([]ledger.Entry, []string, error) {
	var p problems
	if t.Assessment.Answer == hazards.Hold {
		p.addf("mend what stops and check again", "the answer of entry %s is hold; nobody starts on it", a.book.Short(t.ref))
	}
	if happened.Before(t.happened) {
		p.addf("say when with --at", "the check was at %s, after %s", a.local(t.happened), a.local(happened))
	}
	joined, err := a.joins(t.ref)
	p.add(err)
	var es []ledger.Entry
	var notes []string
	for _, w := range who {
		if slices.ContainsFunc(joined, func(j joinLine) bool { return j.Worker == w.ID }) {
			p.addf("nothing to do for them", "%s has joined this check already", w.Name)
		}
		j := store.Join{Tailgate: a.book.Name(t.ref), Block: t.Block, How: "acknowledged to the recorder, in person"}
		if !onSheet(t.Sheet, w.ID) {
			j.Late, j.BriefedBy = true, briefer.ID
			if briefer.ID == "" {
				p.addf("name who briefed them: --briefed-by", "%s is not on the sheet", w.Name)
			}
			notes = append(notes, w.Handle+" came late and was briefed; without a saw until on a sheet")
		}
		for _, m := range t.Assessment.May {
			if m.Worker == w.ID && len(m.Stopped) == 0 && m.Saw != "" {
				j.Saw, j.Group, j.Level = m.Saw, m.Group, m.Level.String()
			} else if m.Worker == w.ID && len(m.Stopped) > 0 {
				notes = append(notes, w.Handle+" joins without a saw: "+strings.Join(m.Stopped, "; "))
			}
		}
		es = append(es, entry(store.KindJoin, happened, by.ID, w.ID, "", j))
	}
	return es, notes, p.err()
}

// visitorEntries builds an entry for each visitor. They stand there by what they are; names never enter entries.
func (a *app) visitorEntries(t tailgate, visitors []string, by, briefer store.Person, happened time.Time) []ledger.Entry {
	var es []ledger.Entry
	for _, v := range visitors {
		es = append(es, entry(store.KindJoin, happened, by.ID, "", "", store.Join{Tailgate: a.book.Name(t.ref), Block: t.Block, Late: true, BriefedBy: briefer.ID, Visitor: v,
			How: "acknowledged to the recorder, in person; stays with who briefed them"}))
	}
	return es
}

// joinLine is one acknowledgement.
type joinLine struct {
	Entry     string `json:"entry"`
	Worker    string `json:"worker"`
	Saw       string `json:"saw"`
	Group     string `json:"group"`
	Level     string `json:"level"`
	Happened  string `json:"happened"`
	Late      bool   `json:"late"`
	BriefedBy string `json:"briefed_by"`
	By        string `json:"by"`
	Visitor   string `json:"visitor,omitempty"` // what a visitor is
}

// joins lists who has joined a check.
func (a *app) joins(ref training.Ref) ([]joinLine, error) { return a.joinsBy(ref, a.knownNow(1<<20)) }

// joinsBy lists who had joined a check, as known at the moment asked.
func (a *app) joinsBy(ref training.Ref, asked training.Asked) ([]joinLine, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.TailgateSubject(a.book.Name(ref)), store.KindJoin)
	if err != nil {
		return nil, err
	}
	return a.joinLines(facts, asked)
}

// joinLines reads the acknowledgements behind facts that happened by the moment asked.
func (a *app) joinLines(facts []training.Fact, asked training.Asked) ([]joinLine, error) {
	list := []joinLine{}
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		var j store.Join
		h, err := a.book.Entry(a.ctx, f.Entry, &j)
		if err != nil {
			return nil, err
		}
		list = append(list, joinLine{a.book.Short(f.Entry), h.Worker, j.Saw, j.Group, j.Level, a.moment(f.At), j.Late, j.BriefedBy, h.By, j.Visitor})
	}
	return list, nil
}
