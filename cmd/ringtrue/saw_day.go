package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

const clockHelp = "when; a clock time alone is today's"

type useOptions struct{ saw, worker, hours, area, block, at string }

func newSawUseCmd(a *app) *cobra.Command {
	var o useOptions
	c := &cobra.Command{
		Use:   "use SAW --worker WORKER",
		Short: "Record who had a saw on a day",
		Long: `Record who had a saw. Joining a tailgate check with a saw records it by itself; this is for other days, and for engine
hours and area. A use against what the book said (a hold, a tag, a restriction, nobody joined) is kept as told, and said at
once. With a clock time it is held to what was said then, with a day alone, or told after the close, to the day.`,
		Example: "  ringtrue saw use S11 --worker ana --hours 5.5h --area 0.2ha --block B7 --at 2026-05-05",
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw = args[0]
			d, who, refs, err := a.useSaw(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, who.Name+" had saw "+d.saw.ID)
		},
	}
	f := c.Flags()
	f.StringVar(&o.worker, "worker", "", "who had it (required)")
	f.StringVar(&o.hours, "hours", "", "engine hours, as 5.5h")
	f.StringVar(&o.area, "area", "", "area thinned, as 0.2ha or 2000m2")
	f.StringVar(&o.block, "block", "", "block on which it was")
	f.StringVar(&o.at, "at", "", clockHelp)
	return c
}

// useSaw records who had a saw.
func (a *app) useSaw(o useOptions) (d sawDoing, who store.Person, refs []training.Ref, err error) {
	var p problems
	d = a.doing(o.saw, o.at, &p)
	if o.worker == "" {
		p.add(usage("add --worker WORKER", "say who had it: --worker is missing"))
	} else {
		who, err = a.person(o.worker)
		p.add(err)
	}
	if err := upkeep.CheckWork(o.hours, o.area); err != nil {
		p.add(usage("see: ringtrue saw use --help", "%v", err))
	}
	p.add(a.knownBlock(o.block))
	if err = p.err(); err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindSawUse, d.happened, d.by.ID, who.ID, "", upkeep.Use{Saw: d.saw.ID, Block: o.block, Hours: o.hours, Area: o.area, Day: a.onlyDay(o.at)})})
	return
}

// onlyDay reports whether --at tells a day without a clock time.
func (a *app) onlyDay(at string) bool {
	_, _, isDay, ok := readMoment(a.todayAt(at), a.now().In(a.book.Zone()))
	return ok && isDay
}

type lineOptions struct {
	upkeep.Line
	at string
}

func newSawUpkeepCmd(a *app) *cobra.Command {
	var o lineOptions
	c := &cobra.Command{
		Use:   "upkeep SAW",
		Short: "Record the day of a saw in one line: upkeep done, and counts",
		Long: fmt.Sprintf(`Record what was done on a saw on a day, in one line. --daily and --weekly say that all of it was done, but for what
--left names; counts are those of the whole day. Nothing is asked at each refuelling; record a defect when it is found.

daily items:  %s
weekly items: %s`, strings.Join(upkeep.ItemIDs(false), ", "), strings.Join(upkeep.ItemIDs(true), ", ")),
		Example: `  ringtrue saw upkeep S11 --daily --nut 2 --refuels 5 --litres 4.6L --filings 2 --hours 5.5h --area 0.2ha
  ringtrue saw upkeep S11 --daily --weekly --left plug --at 2026-05-08`,
		Args: a.orAsked(exactly(1, "SAW"), 0),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.runLine(o, args)
		},
	}
	f := c.Flags()
	f.BoolVar(&o.Daily, "daily", false, "the daily upkeep was done")
	f.BoolVar(&o.Weekly, "weekly", false, "the weekly upkeep was done")
	f.StringSliceVar(&o.Left, "left", nil, "items that were left out, with commas between")
	f.IntVar(&o.Nut, "nut", 0, "wrench checks of the blade nut")
	f.IntVar(&o.Refuels, "refuels", 0, "refuellings")
	f.StringVar(&o.Litres, "litres", "", "mixture filled in, all of the day, as 4.6L")
	f.IntVar(&o.Filings, "filings", 0, "filings")
	f.IntVar(&o.Rock, "rock", 0, "hits on rock")
	f.StringVar(&o.Hours, "hours", "", "engine hours, as 5.5h")
	f.StringVar(&o.Area, "area", "", "area thinned, as 0.2ha")
	f.StringVar(&o.Note, "note", "", "anything to add")
	f.StringVar(&o.at, "at", "", clockHelp)
	return c
}

// runLine records what the flags say; at a terminal it asks where they say nothing.
func (a *app) runLine(o lineOptions, args []string) error {
	if err := a.write(); err != nil {
		return err
	}
	if len(args) > 0 {
		o.Saw = args[0]
	}
	asked := o.missing() && a.attended()
	if asked {
		var err error
		if o, err = a.askLine(o); err != nil {
			return err
		}
	}
	d, what, refs, notes, err := a.upkeepLine(o)
	if err == nil && asked {
		err = a.dropDraft("saw upkeep")
	}
	if err != nil {
		return err
	}
	return a.done(d.by, refs, d.happened, what, notes...)
}

// upkeepLine records the line of a saw's day.
func (a *app) upkeepLine(o lineOptions) (d sawDoing, what string, refs []training.Ref, notes []string, err error) {
	var p problems
	d = a.doing(o.Saw, o.at, &p)
	l := o.Line
	l.Saw, l.Left = d.saw.ID, append([]string{}, o.Left...)
	if err := l.Check(d.saw.Tank); err != nil {
		p.add(usage("see: ringtrue saw upkeep --help", "%v", err))
	}
	if !l.Daily && !l.Weekly && l.Refuels+l.Filings+l.Rock+l.Nut == 0 && l.Litres+l.Hours+l.Area+l.Note == "" {
		p.add(usage("add --daily, --weekly or counts", "the line says nothing"))
	}
	if err = p.err(); err != nil {
		return
	}
	if d.blade.Blade != "" {
		l.Blade, l.First = d.blade.Blade, a.book.Name(d.blade.first)
	}
	if notes, err = a.lineNotes(d, l); err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindUpkeep, d.happened, d.by.ID, "", "", l)})
	return d, "day of saw " + d.saw.ID + ": " + lineWords(l), refs, notes, err
}

// lineNotes asks about what is odd in a line, and says when it is not the first of that day.
func (a *app) lineNotes(d sawDoing, l upkeep.Line) ([]string, error) {
	var notes []string
	facts, err := a.book.Topic(a.ctx, d.asked, store.SawMonthSubject(d.asked.Day, d.saw.ID), store.KindUpkeep)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		if !f.Struck && f.Day == d.asked.Day {
			notes = append(notes, fmt.Sprintf("there is a line of that day already, entry %s: counts add up; strike one if it is the same", a.book.Short(f.Entry)))
		}
	}
	if ask := upkeep.TooManyFilings(l.Refuels, l.Filings, l.Rock, d.saw.rules); ask != "" {
		notes = append(notes, ask)
	}
	if l.Filings > 0 && l.Blade == "" {
		notes = append(notes, "no blade is recorded on the saw, so the filing belongs to none")
	}
	if want := d.saw.rules.Int(house.NutChecks); l.Daily && l.Nut < want {
		notes = append(notes, fmt.Sprintf("%d of %d wrench checks of the nut", l.Nut, want))
	}
	return notes, nil
}

// lineWords says in short what a line holds.
func lineWords(l upkeep.Line) string {
	var parts []string
	if l.Daily {
		parts = append(parts, "daily")
	}
	if l.Weekly {
		parts = append(parts, "weekly")
	}
	if len(l.Left) > 0 {
		parts = append(parts, "but "+strings.Join(l.Left, ", "))
	}
	for _, c := range []struct {
		n    int
		word string
	}{{l.Nut, "nut checks"}, {l.Refuels, "refuels"}, {l.Filings, "filings"}, {l.Rock, "hits on rock"}} {
		if c.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", c.n, c.word))
		}
	}
	for _, text := range []string{l.Litres, l.Hours, l.Area, l.Note} {
		if text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, ", ")
}

type refuelOptions struct {
	saw, litres, at string
	count           int
}

func newSawRefuelCmd(a *app) *cobra.Command {
	var o refuelOptions
	c := &cobra.Command{
		Use:   "refuel SAW",
		Short: "Record refuellings of a saw, where the day's line does not tell of them",
		Long: `Record refuellings. One line a day (saw upkeep) is enough; do not record them twice. A tagged or retired saw is not
fuelled; where it was, that is kept and said at once. At each refuelling: engine off and cooled, the nut by hand, a look at blade and guard.`,
		Example: "  ringtrue saw refuel S11 --litres 0.9L\n  ringtrue saw refuel S11 --count 5 --litres 4.5L",
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw = args[0]
			d, refs, err := a.refuel(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf("saw %s refuelled%s%s", d.saw.ID, times(o.count), note(", ", o.litres)),
				"the nut by hand; a look at blade and guard; a defect: ringtrue saw defect "+d.saw.ID)
		},
	}
	c.Flags().IntVar(&o.count, "count", 1, "how many times")
	c.Flags().StringVar(&o.litres, "litres", "", "mixture filled in, all together, as 0.9L")
	c.Flags().StringVar(&o.at, "at", "", clockHelp)
	return c
}

// refuel records refuellings of a saw.
func (a *app) refuel(o refuelOptions) (sawDoing, []training.Ref, error) {
	var p problems
	d := a.doing(o.saw, o.at, &p)
	if err := (upkeep.Fill{Refuels: o.count, Litres: o.litres, Tank: d.saw.Tank}).Check(); err != nil {
		p.add(usage("see: ringtrue saw refuel --help", "%v", err))
	}
	if o.count == 0 {
		p.add(usage("write --count 1 or more", "--count 0 is no refuelling"))
	}
	if err := p.err(); err != nil {
		return d, nil, err
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindRefuel, d.happened, d.by.ID, "", "", upkeep.Refuel{Saw: d.saw.ID, Count: o.count, Litres: o.litres})})
	return d, refs, err
}

// times says how often, where it was more than once.
func times(n int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf(", %d times", n)
}
