package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// Skills that a fitting is a look at, and their criteria that it measures.
const (
	skillBalance = "3.2"
	skillHandles = "3.3"
)

type harnessOptions struct {
	saw, worker, hook, height, tilt, elbow, wrist, release, tank, announced, block, note, at string
	met, missed                                                                              []string
}

func newSawHarnessCmd(a *app) *cobra.Command {
	var o harnessOptions
	c := &cobra.Command{
		Use:   "harness SAW WORKER",
		Short: "Record how saw and harness were fitted to one worker, as a look at skills 3.2 and 3.3",
		Long: `Record a fitting: hook below the hip bone, blade above the ground, its tilt from level, elbow and wrist, all with a full
tank. It counts as measured criteria of a look at skill 3.2, and with --elbow, --release or --met of one at 3.3; who looks is
named to observe, as for any look. The ranges alone: ringtrue calc harness.`,
		Example: `  ringtrue saw harness S11 ana --hook 12cm --height 35cm --tilt 2deg --tank full --elbow 125deg --wrist 5deg --announced yes --block B7 --as luis
  ringtrue saw harness S11 ana --hook 12cm --height 35cm --tilt 0deg --tank full --elbow 125deg --release 2s --met 3.3:elbows,3.3:steers --announced no`,
		Args: exactly(2, "SAW WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw, o.worker = args[0], args[1]
			l, refs, notes, err := a.fitHarness(o)
			if err != nil {
				return err
			}
			return a.done(l.by, refs, l.happened, fmt.Sprintf("fitted saw %s to %s: %s", o.saw, l.who.Name, strings.TrimPrefix(l.text(a), "observed "+l.who.Name+": ")), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.hook, "hook", "", "hook below the hip bone, as 12cm (required)")
	f.StringVar(&o.height, "height", "", "blade above the ground at rest, as 35cm (required)")
	f.StringVar(&o.tilt, "tilt", "", "blade from level, as 2deg (required)")
	f.StringVar(&o.elbow, "elbow", "", "elbow at work, as 125deg")
	f.StringVar(&o.wrist, "wrist", "", "bend of the wrist at the handle, as 5deg")
	f.StringVar(&o.release, "release", "", "time to drop the saw by the quick release, as 2s")
	f.StringVar(&o.tank, "tank", "", "full: it is fitted with a full tank (required)")
	f.StringSliceVar(&o.met, "met", nil, "other criteria seen and met, as 3.3:steers")
	f.StringSliceVar(&o.missed, "missed", nil, "other criteria missed")
	f.StringVar(&o.announced, "announced", "", "yes or no: did the worker know of the look beforehand (required)")
	f.StringVar(&o.block, "block", "", "block on which it was")
	f.StringVar(&o.note, "note", "", "anything to add")
	f.StringVar(&o.at, "at", "", clockHelp)
	return c
}

// fitHarness records a fitting and the looks that it is, together.
func (a *app) fitHarness(o harnessOptions) (l look, refs []training.Ref, notes []string, err error) {
	var p problems
	d := a.doing(o.saw, o.at, &p)
	if err = p.err(); err != nil {
		return
	}
	looks, notes, err := a.harnessLook(o, d)
	if err != nil {
		return
	}
	err = a.book.Batch(a.ctx, func() error {
		looks.another = true // a fitting is a look of its own
		if l, err = a.observe(looks); err != nil {
			return err
		}
		rec := upkeep.Fitting{Saw: d.saw.ID, Hook: o.hook, Height: o.height, Tilt: o.tilt, Elbow: o.elbow, Wrist: o.wrist, Block: o.block}
		fitted, err := a.append([]ledger.Entry{entry(store.KindFitting, l.happened, l.by.ID, l.who.ID, "", rec)})
		refs = slices.Concat(l.refs, fitted)
		return err
	})
	return l, refs, slices.Concat(l.notes, notes), err
}

// harnessLook turns a fitting into the look that it is.
func (a *app) harnessLook(o harnessOptions, d sawDoing) (lookOptions, []string, error) {
	var p problems
	for _, f := range []struct{ name, said string }{{"hook", o.hook}, {"height", o.height}, {"tilt", o.tilt}} {
		if f.said == "" {
			p.add(usage("see: ringtrue saw harness --help", "--%s is missing", f.name))
		}
	}
	p.add(fullTank(o.tank))
	keys := []string{house.BladeTilt, house.WristBend}
	p.add(hasRules(d.saw.rules, keys))
	level, err := within("tilt", o.tilt, d.saw.rules, house.BladeTilt)
	p.add(err)
	straight, err := within("wrist", o.wrist, d.saw.rules, house.WristBend)
	p.add(err)
	if err := p.err(); err != nil {
		return lookOptions{}, nil, err
	}
	look := lookOptions{worker: o.worker, skills: []string{skillBalance}, announced: o.announced, block: o.block, at: a.todayAt(o.at),
		met: slices.Concat([]string{skillBalance + ":full-tank"}, o.met), missed: slices.Clone(o.missed),
		values: []string{skillBalance + ":hook=" + o.hook, skillBalance + ":height=" + o.height}}
	where := &look.met
	if !level {
		where = &look.missed
	}
	*where = append(*where, skillBalance+":level")
	look.note = harnessNote(o, d.saw.ID)
	var notes []string
	if !level {
		notes = append(notes, "the blade hangs "+o.tilt+" from level; "+d.saw.rules.Cite(house.BladeTilt))
	}
	if !straight {
		notes = append(notes, "the wrist bends "+o.wrist+"; "+d.saw.rules.Cite(house.WristBend))
	}
	return withHandles(look, o), eachOf(notes, a.whoChose), nil
}

// withHandles adds skill 3.3 where the fitting tells of it.
func withHandles(look lookOptions, o harnessOptions) lookOptions {
	about := o.elbow != "" || o.release != ""
	for _, name := range slices.Concat(o.met, o.missed) {
		about = about || strings.HasPrefix(name, skillHandles+":")
	}
	if !about {
		return look
	}
	look.skills = append(look.skills, skillHandles)
	if o.elbow != "" {
		look.values = append(look.values, skillHandles+":elbow="+o.elbow)
	}
	if o.release != "" {
		look.values = append(look.values, skillHandles+":quick-release="+o.release)
	}
	return look
}

func harnessNote(o harnessOptions, saw string) string {
	return "fitting of saw " + saw + note(", tilt ", o.tilt) + note(", wrist ", o.wrist) + note("; ", o.note)
}

func fullTank(said string) error {
	switch plain(said) {
	case "full":
		return nil
	case "":
		return usage("fill the tank and say --tank full", "--tank is missing: hook and balance are set with a full tank")
	}
	return refuse("fill the tank and measure again", "the tank is %s; hook and balance are set with a full tank", said)
}

// within compares an angle, which may be left out, with the most the house allows.
func within(flag, said string, h house.House, key string) (bool, error) {
	if said == "" {
		return true, nil
	}
	q, err := units.Parse(said, units.Angle)
	if err != nil {
		return false, usage("write it as 5deg", "--%s: %v", flag, err)
	}
	if q.SI() < -90 || q.SI() > 90 {
		return false, usage("write it as 5deg", "--%s: %s cannot be meant", flag, q)
	}
	return max(q.SI(), -q.SI()) <= h.SI(key)+1e-9, nil
}
