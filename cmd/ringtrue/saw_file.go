package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// after says what a filing may follow.
var after = []string{"refuel", afterRock, "new-blade", afterSetting}

// afterRock is a filing that tells of a saw that ran: rock is hit by a blade that turns.
const afterRock = "rock"

// afterSetting is a filing that followed a setting of the same minute.
const afterSetting = "set"

type filingOptions struct {
	saw, after, at string
	count          int
}

func newSawFileCmd(a *app) *cobra.Command {
	var o filingOptions
	c := &cobra.Command{
		Use:     "file SAW",
		Short:   "Record filings of the blade that is on, where the day's line does not tell of them",
		Long:    "Record filings. About every second refuelling and after each hit on rock; a new blade is filed before use. After rock look for\ncracks and tap the blade first. More filings than refuellings and rock make sense of are asked about, and kept.",
		Example: "  ringtrue saw file S11\n  ringtrue saw file S11 --after rock",
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw = args[0]
			d, refs, notes, err := a.fileBlade(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf("filed blade %s of saw %s%s", d.blade.Blade, d.saw.ID, times(o.count)), notes...)
		},
	}
	c.Flags().IntVar(&o.count, "count", 1, "how many times")
	c.Flags().StringVar(&o.after, "after", "refuel", "what it followed: "+strings.Join(after, ", "))
	c.Flags().StringVar(&o.at, "at", "", clockHelp)
	return c
}

// fileBlade records filings of the blade that is on a saw.
func (a *app) fileBlade(o filingOptions) (d sawDoing, refs []training.Ref, notes []string, err error) {
	var p problems
	d = a.doing(o.saw, o.at, &p)
	if o.count < 1 || (upkeep.Line{Filings: o.count}).Check("") != nil {
		p.add(usage("write --count 1 or more", "%d filings cannot be meant", o.count))
	}
	if !slices.Contains(after, o.after) {
		p.add(usage("write one of "+strings.Join(after, ", "), "--after %q is not known", o.after))
	}
	p.add(bladeIsOn(d))
	if err = p.err(); err != nil {
		return
	}
	today, err := a.fuelDay(d)
	if err != nil {
		return
	}
	rock := today.Rock
	if o.after == afterRock {
		rock = max(rock, o.count)
	}
	if ask := upkeep.TooManyFilings(today.Refuels, today.Filings+o.count, rock, d.saw.rules); ask != "" {
		notes = append(notes, "that day so far: "+ask)
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindFiling, d.happened, d.by.ID, "", "", upkeep.Filing{Saw: d.saw.ID, Blade: d.blade.Blade, First: a.book.Name(d.blade.first), Count: o.count, After: o.after})})
	return
}

func bladeIsOn(d sawDoing) error {
	if d.saw.ID == "" || d.blade.Blade != "" {
		return nil
	}
	return refuse("fit it first: ringtrue saw blade "+d.saw.ID+" --fit BLADE --rated SPEED", "no blade is recorded on saw %s", d.saw.ID)
}

// fuelDay adds up what the book holds of a saw's refuels, filings and rock on the day asked.
func (a *app) fuelDay(d sawDoing) (upkeep.Fuelling, error) {
	topics, err := a.book.Facts(a.ctx, d.asked, store.SawMonthSubject(d.asked.Day, d.saw.ID))
	if err != nil {
		return upkeep.Fuelling{}, err
	}
	var sum upkeep.Fuelling
	for _, f := range fuellings(topics, func(f training.Fact) bool { return f.Day == d.asked.Day }) {
		sum.Refuels, sum.Filings, sum.Rock = sum.Refuels+f.Refuels, sum.Filings+f.Filings, sum.Rock+f.Rock
	}
	return sum, nil
}

func newSawSetCmd(a *app) *cobra.Command {
	var width, at string
	c := &cobra.Command{
		Use:     "set SAW",
		Short:   "Record that the teeth of the blade that is on were set",
		Long:    "Record a setting. About three in a blade's life, the first at fitting; check with the gauge, to the maker's width.",
		Example: "  ringtrue saw set S11 --width 0.6mm",
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, refs, err := a.setTeeth(args[0], width, at)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf("set the teeth of blade %s of saw %s%s", d.blade.Blade, d.saw.ID, note(", ", width)))
		},
	}
	c.Flags().StringVar(&width, "width", "", "set as checked with the gauge, as 0.6mm")
	c.Flags().StringVar(&at, "at", "", clockHelp)
	return c
}

// setTeeth records a setting of the blade that is on a saw.
func (a *app) setTeeth(saw, width, at string) (sawDoing, []training.Ref, error) {
	var p problems
	d := a.doing(saw, at, &p)
	if err := upkeep.CheckSet(width); err != nil {
		p.add(usage("write --width 0.6mm", "--width: %v", err))
	}
	p.add(bladeIsOn(d))
	if err := p.err(); err != nil {
		return d, nil, err
	}
	rec := upkeep.Setting{Saw: d.saw.ID, Blade: d.blade.Blade, First: a.book.Name(d.blade.first), Width: width}
	refs, err := a.append([]ledger.Entry{entry(store.KindSetting, d.happened, d.by.ID, "", "", rec)})
	return d, refs, err
}
