package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

type clearOptions struct {
	saw, done, part, with, note, at string
	entries                         []string
	again                           bool
}

func newSawClearCmd(a *app) *cobra.Command {
	var o clearOptions
	c := &cobra.Command{
		Use:   "clear SAW",
		Short: "Put a saw back into use, saying what was done; or look again at one its finder cleared",
		Long: `Clear what is open on a saw: all of it, or the entries named. The owner of the book clears, or somebody named for it
(worker appoint NAME --may clear), and not who found the defect. In a crew of two the finder may clear after a part was
replaced, naming the other with --with; that person, or another, looks at the saw again within a day with --look-again,
or it counts as out of use again. What of this holds is a house rule. A cracked blade is scrapped before it is cleared.`,
		Example: `  ringtrue saw clear S11 --done "new guard fitted, screws tight" --part guard
  # two people, far from the road
  ringtrue saw clear S11 --done "new guard fitted" --part guard --with ben --as ana
  ringtrue saw clear S11 --look-again --as ben`,
		Args: exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw = args[0]
			do, said := a.clearSaw, "cleared saw "
			if o.again {
				do, said = a.lookAgain, "looked again at saw "
			}
			d, refs, notes, err := do(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, said+d.saw.ID, notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.done, "done", "", "what was done (required)")
	f.StringVar(&o.part, "part", "", "part that was replaced")
	f.StringVar(&o.with, "with", "", "the other one of a crew of two, where the finder clears")
	f.StringSliceVar(&o.entries, "entry", nil, "only these defects or tags, by entry")
	f.BoolVar(&o.again, "look-again", false, "a second person has looked at what the finder cleared")
	f.StringVar(&o.note, "note", "", "what the second person saw")
	f.StringVar(&o.at, "at", "", clockHelp)
	return c
}

// pickTagged finds a saw on the list, or one that was tagged without being on it: that tag too ends only by being cleared.
func (a *app) pickTagged(list []sawCard, id string) (sawCard, error) {
	card, unlisted := pickSaw(list, id)
	if unlisted == nil {
		return card, nil
	}
	life, err := a.book.Facts(a.ctx, a.knownNow(1<<20), store.SawSubject(id))
	if err == nil && len(sawEvents(life)) == 0 {
		err = unlisted
	}
	card.ID = id
	return card, err
}

// clearSaw records a clearing, if the house rules let this person.
func (a *app) clearSaw(o clearOptions) (d sawDoing, refs []training.Ref, notes []string, err error) {
	var p problems
	d = a.doingOn(o.saw, o.at, &p, a.pickTagged)
	what, err := a.toClear(d, o.entries)
	p.add(err)
	second, err := a.other(o.with)
	p.add(err)
	if err = p.err(); err != nil {
		return
	}
	by := upkeep.Clearing{By: d.by.ID, Done: o.done, Part: o.part, Second: second.ID}
	if by.Named, err = a.clears(d.by.ID, d.asked); err != nil {
		return
	}
	if by.Crew, err = a.crewWith(d.saw.ID, d.asked); err != nil {
		return
	}
	if by.Finders, err = a.finders(what); err != nil {
		return
	}
	again, err := upkeep.MayClear(by, d.saw.rules)
	if err != nil {
		p.add(refuse("let somebody named to clear do it: --as NAME, or name one: ringtrue worker appoint NAME --may clear --basis WHY", "saw %s is not cleared: %v", d.saw.ID, err))
	}
	p.add(a.scrapFirst(d, what))
	if err = p.err(); err != nil {
		return
	}
	rec := upkeep.Clear{Saw: d.saw.ID, Clears: a.refNames(what), Done: o.done, Part: o.part, Again: again, Second: second.ID}
	if again {
		notes = append(notes, fmt.Sprintf("%s, or another, looks at it again by %s, or it counts as out of use again: ringtrue saw clear %s --look-again",
			second.Name, a.local(d.happened.Add(secondLook(d.saw.rules))), d.saw.ID))
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindClear, d.happened, d.by.ID, "", "", rec)})
	return d, refs, append(a.clearedNotes(what), notes...), err
}

func secondLook(h house.House) time.Duration {
	return time.Duration(h.SI(house.SecondLook)) * time.Second
}

func (a *app) clearedNotes(what []upkeep.OpenItem) []string {
	var notes []string
	for _, o := range what {
		if w, err := a.openWords(training.Ref(o.Entry)); err == nil {
			notes = append(notes, "entry "+a.book.Short(training.Ref(o.Entry))+": "+w.text)
		}
	}
	return notes
}

func (a *app) other(name string) (store.Person, error) {
	if name == "" {
		return store.Person{}, nil
	}
	return a.person(name)
}

// toClear picks what is open on a saw, or of that the entries named.
func (a *app) toClear(d sawDoing, entries []string) ([]upkeep.OpenItem, error) {
	if d.saw.ID == "" {
		return nil, nil
	}
	if len(d.saw.open) == 0 {
		return nil, refuse("see: ringtrue saw show "+d.saw.ID, "nothing is open on saw %s", d.saw.ID)
	}
	if len(entries) == 0 {
		return d.saw.open, nil
	}
	var p problems
	var picked []upkeep.OpenItem
	for _, text := range entries {
		ref, ok, err := a.book.Find(a.ctx, text)
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(d.saw.open, func(o upkeep.OpenItem) bool { return ok && o.Entry == int64(ref) })
		if i < 0 {
			p.addf("see: ringtrue saw show "+d.saw.ID, "entry %s is nothing that is open on saw %s", text, d.saw.ID)
			continue
		}
		picked = append(picked, d.saw.open[i])
	}
	return picked, p.err()
}

func (a *app) refNames(what []upkeep.OpenItem) []string {
	names := make([]string, len(what))
	for i, o := range what {
		names[i] = a.book.Name(training.Ref(o.Entry))
	}
	return names
}

// clears reports whether a person may clear saws: the owner of the book, or somebody named for it that day.
func (a *app) clears(person string, asked training.Asked) (bool, error) {
	if person == a.opening.Owner {
		return true, nil
	}
	list, err := a.appointmentsOf(person, a.knownNow(asked.Day))
	return may(list, person, training.DutyClear, "", asked.Day), err
}

// finders lists who found, or tagged, what is to be cleared.
func (a *app) finders(what []upkeep.OpenItem) ([]string, error) {
	var people []string
	for _, o := range what {
		w, err := a.openWords(training.Ref(o.Entry))
		if err != nil {
			return nil, err
		}
		people = append(people, w.who)
	}
	return people, nil
}

// crewWith counts the people on that day's last check that has the saw on its sheet; 0 where there is none.
func (a *app) crewWith(saw string, asked training.Asked) (int, error) {
	cards, err := a.cards(asked)
	if err != nil {
		return 0, err
	}
	for _, c := range cards {
		facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(c.ID), store.KindTailgate)
		if err != nil {
			return 0, err
		}
		for _, f := range slices.Backward(facts) {
			if f.Struck || f.Day != asked.Day {
				continue
			}
			t, err := a.tailgate(f.Entry)
			if err != nil {
				return 0, err
			}
			for _, s := range t.Sheet.Saws {
				if s.ID == saw {
					return len(t.Sheet.Crew), nil
				}
			}
			break
		}
	}
	return 0, nil
}

// scrapFirst refuses to clear a cracked or bent blade that has not been scrapped.
func (a *app) scrapFirst(d sawDoing, what []upkeep.OpenItem) error {
	var p problems
	for _, o := range what {
		h, err := a.book.Entry(a.ctx, training.Ref(o.Entry), nil)
		if err != nil {
			return err
		}
		var rec upkeep.Defect
		if h.Kind != store.KindDefect || ledger.Decode(h.Data, &rec) != nil || rec.Blade == "" {
			continue
		}
		kind, _ := upkeep.DefectByID(rec.What)
		blade, err := a.blade(rec.Blade, a.knownNow(1<<20))
		if err != nil {
			return err
		}
		if kind.Scrap && !blade.scrapped && a.book.Name(blade.first) == rec.First {
			p.addf(fmt.Sprintf("scrap it first: ringtrue saw blade %s --scrap %s --reason %q", d.saw.ID, rec.Blade, kind.Words),
				"blade %s of saw %s is not scrapped: %s; it never runs again", rec.Blade, d.saw.ID, kind.Words)
		}
	}
	return p.err()
}

// lookAgain records that a second person looked at what the finder cleared.
func (a *app) lookAgain(o clearOptions) (d sawDoing, refs []training.Ref, notes []string, err error) {
	var p problems
	d = a.doing(o.saw, o.at, &p)
	if o.done+o.part+o.with != "" || len(o.entries) > 0 {
		p.add(usage("a look again takes --note and --at only", "--look-again stands alone: it clears nothing new"))
	}
	if err = p.err(); err != nil {
		return
	}
	var clearings []string
	for _, f := range d.saw.topics[store.KindClear] {
		if f.Struck || f.At > d.asked.On || f.Code != store.ClearAgain || !a.waitsFor(d.saw, f) {
			continue
		}
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return d, nil, nil, err
		}
		if h.By == d.by.ID {
			p.addf("the second look is somebody else's: --as WORKER", "%s cleared saw %s in entry %s", d.by.Name, d.saw.ID, a.book.Short(f.Entry))
		}
		clearings = append(clearings, a.book.Name(f.Entry))
	}
	if len(clearings) == 0 {
		p.addf("see: ringtrue saw show "+d.saw.ID, "nothing on saw %s waits for a second look", d.saw.ID)
	}
	if err = p.err(); err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindLookAgain, d.happened, d.by.ID, "", "", upkeep.LookAgain{Saw: d.saw.ID, Clears: clearings, Note: o.note})})
	return d, refs, []string{"clearing of entry " + strings.Join(a.shorts(clearings), ", ")}, err
}

// waitsFor reports whether something that a clearing cleared still waits for the second look.
func (a *app) waitsFor(s sawAt, clearing training.Fact) bool {
	return slices.ContainsFunc(s.open, func(o upkeep.OpenItem) bool {
		return o.SeenBy != 0 && slices.Contains(clearing.Cites, training.Ref(o.Entry))
	})
}
