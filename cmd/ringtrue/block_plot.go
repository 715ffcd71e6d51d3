package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/stand"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

type plotOptions struct {
	block, stems, area, places, note, at string
}

func newBlockPlotCmd(a *app) *cobra.Command {
	var o plotOptions
	c := &cobra.Command{
		Use:   "plot BLOCK",
		Short: "Record counts on small plots, and whether their places were chosen beforehand; or list them",
		Long: `Record the stems counted on the plots of a block: plots of 50 m2 have a radius of 3.99 m, one stem on one is 200 a hectare.
--places says when their places were chosen: an honest sample was chosen beforehand. Without --stems what was recorded is listed.
The arithmetic alone: ringtrue calc plot.`,
		Example: "  ringtrue block plot B7 --stems 12,9,14 --area 50m2 --places beforehand\n  ringtrue block plot B7",
		Args:    exactly(1, "BLOCK"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.block = args[0]
			if o.stems == "" {
				return a.listPlots(o.block)
			}
			return a.recordPlots(o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.stems, "stems", "", "stems counted on each plot, as 12,9,14")
	f.StringVar(&o.area, "area", "50m2", "area of each plot")
	f.StringVar(&o.places, "places", "", `when the places were chosen: "beforehand" or "on the spot" (required)`)
	f.StringVar(&o.note, "note", "", "anything to add")
	f.StringVar(&o.at, "at", "", clockHelp)
	return c
}

// recordPlots records the counts on the plots of a block.
func (a *app) recordPlots(o plotOptions) error {
	if err := a.write(); err != nil {
		return err
	}
	var p problems
	by, err := a.actor()
	p.add(err)
	happened, err := a.happened(a.todayAt(o.at))
	p.add(err)
	p.add(a.knownBlock(o.block))
	rec := stand.Plots{Block: o.block, Area: o.area, Places: o.places, Note: o.note}
	rec.Stems, err = plotCounts(o.stems)
	p.add(err)
	if !slices.Contains([]string{stand.Beforehand, stand.OnTheSpot}, o.places) {
		p.add(usage(`say --places beforehand, or "on the spot"`, "--places %q does not say when the places were chosen", o.places))
	}
	e, err := estimate(rec)
	if err != nil {
		p.add(usage("write --area 50m2", "%v", err))
	}
	if err := p.err(); err != nil {
		return err
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindPlots, happened, by.ID, "", "", rec)})
	if err != nil {
		return err
	}
	return a.done(by, refs, happened, fmt.Sprintf("%d plots on block %s: %s", len(rec.Stems), o.block, stemsText(e)), "places chosen "+o.places)
}

func plotCounts(text string) ([]int, error) {
	var list []int
	for _, one := range strings.Split(text, ",") {
		n, err := calcWhole(one, meantOnPlot)
		if err != nil {
			return nil, usage("write --stems 12,9,14", "--stems: %v", err)
		}
		list = append(list, n)
	}
	return list, nil
}

func estimate(rec stand.Plots) (stand.Estimate, error) {
	q, err := units.Parse(rec.Area, units.Area)
	if err == nil {
		err = meantPlot(q.SI(), q)
	}
	if err != nil {
		return stand.Estimate{}, fmt.Errorf("--area %s: %w", rec.Area, err)
	}
	if len(rec.Stems) == 0 {
		return stand.Estimate{}, nil // told already
	}
	return stand.Stems(rec.Stems, q.SI())
}

func stemsText(e stand.Estimate) string {
	if !e.Spread {
		return fmt.Sprintf("%.0f stems/ha; one plot says nothing about the spread", e.PerHectare)
	}
	return fmt.Sprintf("%.0f stems/ha, 95 %% interval %.0f to %.0f", e.PerHectare, math.Max(0, e.Low), e.High)
}

// plotLine is one recorded count.
type plotLine struct {
	Entry  string   `json:"entry"`
	Day    string   `json:"day"`
	By     string   `json:"by"`
	Places string   `json:"places"`
	Area   string   `json:"area"`
	Stems  []int    `json:"stems"`
	PerHa  float64  `json:"stems_per_ha"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Note   string   `json:"note"`
	text   string
}

func (a *app) listPlots(block string) error {
	if err := a.read(); err != nil {
		return err
	}
	if err := a.knownBlock(block); err != nil {
		return err
	}
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.BlockSubject(block), store.KindPlots)
	if err != nil {
		return err
	}
	lines := []plotLine{}
	for _, f := range facts {
		if f.Struck {
			continue
		}
		var rec stand.Plots
		h, err := a.book.Entry(a.ctx, f.Entry, &rec)
		if err != nil {
			return err
		}
		e, err := estimate(rec)
		if err != nil {
			return err
		}
		l := plotLine{Entry: a.book.Short(f.Entry), Day: f.Day.String(), By: h.By, Places: rec.Places, Area: rec.Area, Stems: rec.Stems, PerHa: e.PerHectare, Note: rec.Note, text: stemsText(e)}
		if e.Spread {
			l.Low, l.High = &e.Low, &e.High
		}
		lines = append(lines, l)
	}
	return a.printPlots(block, lines)
}

func (a *app) printPlots(block string, lines []plotLine) error {
	header := []string{"ENTRY", "DAY", "BY", "PLACES CHOSEN", "PLOTS", "AREA", "STEMS", "NOTE"}
	return listing(a, map[string]any{"format": "ringtrue/plots/1", "block": block, "rows": lines}, header, lines, func(l plotLine) []string {
		return []string{l.Entry, l.Day, a.short(l.By), l.Places, fmt.Sprint(len(l.Stems)), l.Area, l.text, l.Note}
	})
}
