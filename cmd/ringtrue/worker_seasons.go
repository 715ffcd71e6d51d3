package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// seasonsHelp says what is asked of a person: the book can count only what it has seen.
const seasonsHelp = "seasons with a clearing saw before this company, and here before this book; 0 is none"

func newWorkerSeasonsCmd(a *app) *cobra.Command {
	var basis, at string
	c := &cobra.Command{
		Use:   "seasons WORKER N",
		Short: "Record how many seasons a person had worked with a clearing saw before",
		Long: `Record how many seasons a person had worked with a clearing saw before this company, and at it before this book was started.
Ask the person; 0 is none. It goes before what was told earlier, from the day of --at on. Who was never asked counts as new in the
morning check until this book itself knows better.`,
		Example: "  ringtrue worker seasons ana 0\n  ringtrue worker seasons ben 4 --basis \"his word; two companies\"",
		Args:    exactly(2, "WORKER N"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, n, err := a.tellSeasons(args[0], args[1], basis, at)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("%s: %s", d.who.Name, seasonsWords(&n)))
		},
	}
	c.Flags().StringVar(&basis, "basis", "", "who says so, or what it rests on")
	c.Flags().StringVar(&at, "at", "", "when it was told")
	return c
}

// tellSeasons records the seasons before.
func (a *app) tellSeasons(worker, text, basis, at string) (d deed, n int, err error) {
	var p problems
	d = a.deedAbout(&p, worker, at)
	before, err := seasonsOf(text)
	p.add(err)
	if err := p.err(); err != nil {
		return d, 0, err
	}
	if before == nil {
		return d, 0, usage("write a number: ringtrue worker seasons "+d.who.Handle+" 0", "how many seasons is missing")
	}
	d, err = a.keep(d, training.KindSeasons, training.Seasons{Before: *before, Basis: strings.TrimSpace(basis)})
	return d, *before, err
}

// seasonsOf reads a number of seasons as typed; "" is not told.
func seasonsOf(text string) (*int, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return nil, nil
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		return nil, usage("write a number of seasons, as 4; 0 is none", "seasons: %q is not a whole number", text)
	}
	if err := training.CheckSeasons(n); err != nil {
		return nil, usage("write a number of seasons, as 4; 0 is none", "seasons: %v", err)
	}
	return &n, nil
}

// seasonsWords says what was told, or that nobody asked.
func seasonsWords(before *int) string {
	switch {
	case before == nil:
		return "seasons with a clearing saw before this book: never asked, so counted as new"
	case *before == 0:
		return "no season with a clearing saw before this book"
	case *before == 1:
		return "1 season with a clearing saw before this book"
	}
	return fmt.Sprintf("%d seasons with a clearing saw before this book", *before)
}

// seasonsTold is what was told last of the seasons before, by facts of the kinds worker and seasons; nil where nobody was asked.
func (a *app) seasonsTold(facts []training.Fact, asked training.Asked) (*int, error) {
	facts = slices.Clone(facts)
	training.Sort(facts)
	for i := len(facts) - 1; i >= 0; i-- {
		if f := facts[i]; f.Struck || f.At > asked.On {
			continue
		}
		before, err := a.seasonsIn(facts[i].Entry)
		if before != nil || err != nil {
			return before, err
		}
	}
	return nil, nil
}

// seasonsLater are the facts of kind seasons of each worker.
func (a *app) seasonsLater(asked training.Asked) (map[string][]training.Fact, error) {
	facts, err := a.listed(asked, training.KindSeasons)
	if err != nil {
		return nil, err
	}
	of := map[string][]training.Fact{}
	for _, f := range facts {
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return nil, err
		}
		of[h.Worker] = append(of[h.Worker], f)
	}
	return of, nil
}

// seasonsIn reads the seasons before in one entry.
func (a *app) seasonsIn(entry training.Ref) (*int, error) {
	h, err := a.book.Entry(a.ctx, entry, nil)
	if err != nil {
		return nil, err
	}
	if h.Kind == training.KindSeasons {
		var rec training.Seasons
		_, err := a.book.Entry(a.ctx, entry, &rec)
		return &rec.Before, err
	}
	var rec training.Worker
	_, err = a.book.Entry(a.ctx, entry, &rec)
	return rec.SeasonsBefore, err
}

// experience counts what somebody has done with a clearing saw before the day asked.
func (a *app) experience(w *hazards.Worker, topics store.Topics, std standards, asked training.Asked) error {
	var days []civil.Day
	for _, g := range std.Groups {
		for _, f := range topics[store.UseTopic(g.ID)] {
			if !f.Struck {
				days = append(days, f.Day)
			}
		}
	}
	before, err := a.seasonsTold(slices.Concat(topics[training.KindWorker], topics[training.KindSeasons]), asked)
	e := training.ExperienceOf(days, before, asked.Day, std.House.Int(house.FirstMonthDays))
	w.SawDays, w.Seasons, w.NeverAsked = e.SawDays, e.Seasons, !e.Asked
	return err
}
