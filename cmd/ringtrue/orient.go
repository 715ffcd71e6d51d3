package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type orientOptions struct {
	workers                       []string
	block, topics, lang, test, at string
	again                         string
}

func newOrientCmd(a *app) *cobra.Command {
	var o orientOptions
	c := &cobra.Command{
		Use:   "orient WORKER...",
		Short: "Record orientation before first work on a kind of ground, or that it is due again",
		Long: `Record that workers were shown the ground, the people, the hazards and the emergency plan before first work, in which
language, and how understanding was tested. Orientation holds for blocks of the same kind. With --again it is due once
more, because hazards have changed.`,
		Example: `  ringtrue worker orient ana --block B7 --topics "supervisor, hazards, wires, meeting point, radio call" --language es --understood "showed meeting point, radio call"
  ringtrue worker orient ana ben --again "the road washed out; new meeting point"`,
		Args: atLeast(1, "WORKER..."),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.workers = args
			d, err := a.orient(o)
			if err != nil {
				return err
			}
			named, err := a.named(args)
			if err != nil {
				return err
			}
			what := strings.Join(named, ", ") + " oriented on block " + o.block
			if o.again != "" {
				what = strings.Join(named, ", ") + " new again: " + o.again
			}
			notes, err := a.leftOutNotes(args, o, d)
			if err != nil {
				return err
			}
			return a.recorded(d, what, notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.block, "block", "", "block on which it was (required)")
	f.StringVar(&o.topics, "topics", "", "what was covered, with commas between; all = what the rules of the place name (required)")
	f.StringVar(&o.lang, "language", "", "language used (required)")
	f.StringVar(&o.test, "understood", "", "how understanding was tested (required)")
	f.StringVar(&o.again, "again", "", "orientation is due again: why")
	f.StringVar(&o.at, "at", "", "when it was")
	return c
}

// orient records orientations, or that they are due again.
func (a *app) orient(o orientOptions) (deed, error) {
	var p problems
	d := a.deed(&p, o.at)
	kind, data, err := a.orientData(o, d.day)
	p.add(err)
	if kind == training.KindOrientation {
		a.mustBeNamed(&p, d, training.DutyTeach)
	}
	var es []ledger.Entry
	for _, w := range o.workers {
		who, err := a.person(w)
		p.add(err)
		if err == nil && who.ID == d.by.ID && kind == training.KindOrientation {
			own, err := a.onOwnWord(who.ID, d)
			p.add(err)
			if err == nil && !own {
				p.addf("name who did it with --as", "%s cannot orient themselves", who.Name)
			}
		}
		es = append(es, entry(kind, d.happened, d.by.ID, who.ID, "", data))
	}
	if err := p.err(); err != nil {
		return d, err
	}
	return a.keepAll(d, es)
}

// onOwnWord reports whether somebody works on their own word at the moment of a deed: then nobody else is there yet who could show
// them the ground.
func (a *app) onOwnWord(worker string, d deed) (bool, error) {
	asked := training.Asked{Day: d.day, On: d.happened.Unix(), Known: a.knownNow(d.day).Known}
	topics, err := a.book.Facts(a.ctx, asked, worker)
	if err != nil {
		return false, err
	}
	for _, facts := range topics {
		for _, f := range facts {
			if f.Kind != training.FactRelease || f.Struck || f.At > asked.On || f.Until != civil.None && f.Until <= d.day {
				continue
			}
			var rec training.Release
			if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil || rec.OwnWord {
				return err == nil, err
			}
		}
	}
	return false, nil
}

func (a *app) orientData(o orientOptions, day civil.Day) (kind string, data any, err error) {
	if o.again != "" {
		return training.KindNewAgain, training.NewAgain{Reason: o.again}, nil
	}
	var p problems
	for flag, v := range map[string]string{"block": o.block, "topics": o.topics, "language": o.lang, "understood": o.test} {
		if strings.TrimSpace(v) == "" {
			p.add(usage("see: ringtrue worker orient --help", "orientation needs --%s", flag))
		}
	}
	p.add(a.knownBlock(o.block))
	card, _, err := a.card(o.block, a.knownNow(0))
	p.add(err)
	topics, err := a.topicsMeant(o.topics, day)
	p.add(err)
	return training.KindOrientation, training.Orientation{Block: o.block, Kind: card.Kind, Topics: topics, Language: o.lang, Understood: o.test}, p.err()
}

// topicsMeant are topics as typed, with what the rules of the place name in place of the word all.
func (a *app) topicsMeant(typed string, day civil.Day) ([]string, error) {
	var out []string
	for _, w := range words(typed) {
		if !strings.EqualFold(w, "all") {
			out = append(out, w)
			continue
		}
		duties, err := a.dutiesHere(a.knownNow(day))
		if err != nil {
			return nil, err
		}
		named := hazards.AskedBeforeWork(duties)
		if len(named) == 0 {
			return nil, refuse("write what was covered", "--topics all: the rules of this place, as far as they were read, name no topics")
		}
		out = append(out, named...)
	}
	return out, nil
}

// leftOutNotes says of each worker just oriented what the place asks and nobody has told them.
func (a *app) leftOutNotes(workers []string, o orientOptions, d deed) ([]string, error) {
	if o.again != "" {
		return nil, nil
	}
	asked := a.knownNow(d.day)
	var notes []string
	for _, name := range workers {
		who, err := a.person(name)
		if err != nil {
			return nil, err
		}
		topics, err := a.book.Facts(a.ctx, asked, who.ID)
		if err != nil {
			return nil, err
		}
		lacks, cite, err := a.leavesOut(who.ID, topics, asked)
		if err != nil {
			return nil, err
		}
		if lacks != nil {
			notes = append(notes, fmt.Sprintf("%s still has to hear before work, by %s: %s", who.Handle, cite, strings.Join(lacks, "; ")))
		}
	}
	return notes, nil
}

// orientationDue says why a worker needs orientation before working on a kind of ground, nil if not.
func (a *app) orientationDue(topics store.Topics, kind string, h house.House, asked training.Asked) ([]string, error) {
	arrival := training.Arrival{LastSawUse: lastSawUse(topics, asked)}
	for _, f := range topics[training.KindOrientation] {
		if f.Struck {
			continue
		}
		var rec training.Orientation
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		arrival.Orientations = append(arrival.Orientations, training.Oriented{At: f.At, Day: f.Day, Kind: rec.Kind})
	}
	for _, f := range topics[training.KindNewAgain] {
		if f.Struck {
			continue
		}
		var rec training.NewAgain
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		arrival.Changes = append(arrival.Changes, training.Changed{At: f.At, Day: f.Day, Why: rec.Reason})
	}
	return training.OrientationDue(arrival, kind, asked, h.Int(house.AwayDays)), nil
}

// lastSawUse is the last day on which a worker joined a check with a saw or was observed. Who never did either, as a boss or a first
// aider may not, is away when they join no check.
func lastSawUse(topics store.Topics, asked training.Asked) civil.Day {
	last, joined := civil.None, civil.None
	for topic, facts := range topics {
		last = max(last, training.LastSawUse(facts, asked))
		for _, f := range facts {
			if topic == store.KindJoin && !f.Struck && f.At <= asked.On {
				joined = max(joined, f.Day)
			}
		}
	}
	if last == civil.None {
		return joined
	}
	return last
}

func newTicketCmd(a *app) *cobra.Command {
	var until, doc, at string
	c := &cobra.Command{
		Use:     "ticket WORKER WHAT",
		Short:   "Record a ticket with its end: first-aid, driving, and so on",
		Example: `  ringtrue worker ticket ana first-aid --until 2027-03-01 --doc "certificate 4471"`,
		Args:    exactly(2, "WORKER WHAT"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, err := a.ticket(args[0], args[1], until, doc, at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("%s holds a ticket: %s%s", d.who.Name, args[1], note(", until ", until)))
		},
	}
	c.Flags().StringVar(&until, "until", "", "first day it is no longer valid")
	c.Flags().StringVar(&doc, "doc", "", "the document (required)")
	c.Flags().StringVar(&at, "at", "", "when it was shown")
	return c
}

// ticket records a certificate.
func (a *app) ticket(worker, what, until, doc, at string) (d deed, err error) {
	var p problems
	d = a.deedAbout(&p, worker, at)
	_, err = parseDay("until", until)
	p.add(err)
	if strings.TrimSpace(doc) == "" {
		p.add(usage(`add --doc "certificate 4471"`, "a ticket needs its document: --doc"))
	}
	if slug(what) != what {
		p.add(usage("write it as first-aid or driving", "%q is not a name for a ticket", what))
	}
	if err = p.err(); err != nil {
		return d, err
	}
	return a.keep(d, training.KindTicket, training.Ticket{What: what, Until: until, Document: doc})
}

// ticketLine is a ticket as the book holds it.
type ticketLine struct {
	Entry    string `json:"entry"`
	What     string `json:"what"`
	Until    string `json:"until"`
	Document string `json:"document"`
	Valid    bool   `json:"valid"`
}

// tickets lists the newest ticket of each kind that a worker holds.
func (a *app) tickets(topics store.Topics, asked training.Asked) ([]ticketLine, error) {
	list := []ticketLine{}
	at := map[string]int{}
	for _, f := range topics[training.KindTicket] {
		if f.Struck || f.At > asked.On {
			continue
		}
		var rec training.Ticket
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		end, err := civil.Parse(rec.Until)
		l := ticketLine{a.book.Short(f.Entry), rec.What, rec.Until, rec.Document, err != nil || asked.Day < end}
		if i, ok := at[rec.What]; ok {
			list[i] = l
			continue
		}
		at[rec.What] = len(list)
		list = append(list, l)
	}
	return list, nil
}
