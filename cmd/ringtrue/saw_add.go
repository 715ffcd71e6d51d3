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

type sawOptions struct {
	upkeep.Saw
	sizes, owner, fixed, at string
}

func newSawAddCmd(a *app) *cobra.Command {
	var o sawOptions
	c := &cobra.Command{
		Use:   "add SAW",
		Short: "Put a saw on the list, or record a new edition of its card",
		Long: `Put a saw on the list with what is marked on it. Adding a saw that is there already makes a new edition of its card:
what you do not name stays as it was. A worker's own saw names its owner. Figures for vibration and noise come from the
maker's declaration or a measurement; without them the house figures count.`,
		Example: `  ringtrue saw add S11 --spindle 9000rpm --blades 200mm-225mm
  ringtrue saw add S12 --spindle 9500rpm --blades 225mm --bore 20mm --guard "225 mm saw guard" --harness "two shoulders, hip pad" \
    --tank 0.9L --vibration 4.5m/s2 --noise 100dBA --owner ana`,
		Args: exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.ID = args[0]
			d, card, refs, err := a.addSaw(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, fmt.Sprintf("saw %s, card edition %d", card.ID, card.Edition), sawCardNotes(card)...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.Spindle, "spindle", "", "highest speed of the spindle, as 9000rpm")
	f.StringVar(&o.sizes, "blades", "", "blade sizes it takes, as 200mm-225mm")
	f.StringVar(&o.Bore, "bore", "", "bore of its blades, as 20mm")
	f.StringVar(&o.Guard, "guard", "", "which guard")
	f.StringVar(&o.Harness, "harness", "", "which harness")
	f.StringVar(&o.Tank, "tank", "", "size of the tank, as 0.9L")
	f.StringVar(&o.Service, "service", "", "maker's hours between weekly services, as 25h")
	f.StringVar(&o.Vibration, "vibration", "", "vibration declared or measured, as 4.5m/s2")
	f.StringVar(&o.Noise, "noise", "", "noise at the ear, as 100dBA")
	f.StringVar(&o.fixed, "fixed-throttle", "", "yes or no: can the throttle be fixed by a lever")
	f.StringVar(&o.owner, "owner", "", "worker whose own saw it is")
	f.StringVar(&o.at, "at", "", "since when")
	return c
}

// addSaw records the card of a saw.
func (a *app) addSaw(o sawOptions) (sawDoing, upkeep.Saw, []training.Ref, error) {
	var p problems
	var d sawDoing
	var err error
	d.by, err = a.actor()
	p.add(err)
	d.happened, err = a.happened(a.todayAt(o.at))
	p.add(err)
	list, err := a.saws(a.knownNow(1 << 20))
	if err != nil {
		return d, o.Saw, nil, err
	}
	card := o.Saw
	if o.sizes != "" {
		card.BladeMin, card.BladeMax, err = upkeep.ParseSizes(o.sizes)
		if err != nil {
			p.add(usage("write --blades 200mm-225mm", "--blades: %v", err))
			card.BladeMin, card.BladeMax = "200mm", "200mm" // so that it is said once
		}
	}
	if o.owner != "" {
		who, err := a.person(o.owner)
		p.add(err)
		card.Owner = who.ID
	}
	card, err = a.newerSaw(card, o.fixed, list)
	p.add(err)
	if err := card.Validate(); err != nil {
		p.add(usage("see: ringtrue saw add --help", "saw %s: %v", card.ID, err))
	}
	if err := p.err(); err != nil {
		return d, card, nil, err
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindSaw, d.happened, d.by.ID, "", "", card)})
	return d, card, refs, err
}

// newerSaw completes a card from the edition before, if there is one, and refuses an id that is retired or too like another.
func (a *app) newerSaw(card upkeep.Saw, fixed string, list []sawCard) (upkeep.Saw, error) {
	var p problems
	card.Edition = 1
	i := slices.IndexFunc(list, func(s sawCard) bool { return strings.EqualFold(s.ID, card.ID) })
	if i >= 0 {
		old := list[i].Saw
		if old.ID != card.ID {
			p.addf("write "+old.ID+", or give the saw another id", "%s differs from saw %s only in capitals", card.ID, old.ID)
		}
		s, err := a.standOf(list[i], a.knownNow(1<<20))
		if err != nil {
			return card, err
		}
		if s.retired {
			p.addf("give the saw another id", "saw %s is retired; its id is not given out again", old.ID)
		}
		card = laterSaw(old, card)
	}
	if fixed != "" {
		yes, err := yesNo("fixed-throttle", fixed)
		p.add(err)
		card.FixedThrottle = yes
	}
	return card, p.err()
}

func laterSaw(old, now upkeep.Saw) upkeep.Saw {
	now.Edition, now.FixedThrottle = old.Edition+1, old.FixedThrottle
	for _, f := range []struct{ to, from *string }{
		{&now.Spindle, &old.Spindle}, {&now.BladeMin, &old.BladeMin}, {&now.BladeMax, &old.BladeMax}, {&now.Bore, &old.Bore}, {&now.Guard, &old.Guard},
		{&now.Harness, &old.Harness}, {&now.Tank, &old.Tank}, {&now.Service, &old.Service}, {&now.Vibration, &old.Vibration}, {&now.Noise, &old.Noise}, {&now.Owner, &old.Owner},
	} {
		if *f.to == "" {
			*f.to = *f.from
		}
	}
	return now
}

func sawCardNotes(card upkeep.Saw) []string {
	notes := []string{fmt.Sprintf("spindle up to %s, blades %s to %s; a blade is marked for at least that speed", card.Spindle, card.BladeMin, card.BladeMax)}
	if edge := edgeNote(card.BladeMax, card.Spindle); edge != "" {
		notes = append(notes, edge)
	}
	return append(notes, "next: ringtrue saw blade "+card.ID+" --fit BLADE --rated SPEED --diameter SIZE")
}

func newSawRetireCmd(a *app) *cobra.Command {
	var reason, at string
	c := &cobra.Command{
		Use:     "retire SAW",
		Short:   "Take a saw out of use for good",
		Long:    "Take a saw out of use for good. Its record stays; its id is not given out again, and the tailgate check stops it.",
		Example: `  ringtrue saw retire S11 --reason "crankcase cracked"`,
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, refs, err := a.retireSaw(args[0], reason, at)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, "retired saw "+d.saw.ID)
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why (required)")
	c.Flags().StringVar(&at, "at", "", "when")
	return c
}

// retireSaw records that a saw is out of use for good.
func (a *app) retireSaw(saw, reason, at string) (sawDoing, []training.Ref, error) {
	var p problems
	d := a.doing(saw, at, &p)
	if d.saw.retired {
		p.addf("see: ringtrue saw show "+d.saw.ID, "saw %s is retired already", d.saw.ID)
	}
	if strings.TrimSpace(reason) == "" {
		p.add(usage("add --reason", "say why: --reason is empty"))
	}
	if err := p.err(); err != nil {
		return d, nil, err
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindRetire, d.happened, d.by.ID, "", "", upkeep.Retire{Saw: d.saw.ID, Reason: reason})})
	return d, refs, err
}
