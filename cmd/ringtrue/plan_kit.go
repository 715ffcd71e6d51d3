package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/dayplan"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type kitOptions struct {
	kit, walk, block, note, on, at   string
	issued, used, restocked, counted string
	saws, people                     int
	noRoad                           bool
}

func newPlanKitCmd(a *app) *cobra.Command {
	var o kitOptions
	c := &cobra.Command{
		Use:   "kit",
		Short: "Spare kit for a walk out, against what is in the kit; or record what was issued, used, restocked",
		Long: `Say what the spare kit needs by the minutes of walking out to the vehicle, and compare it with what is in the kit. A part that
stops work is carried one tier earlier. "short" is fewer than needed; "low" is fewer than needed once as many are used as in the
last days of the house rule kit-days. With --issued, --used, --restocked or --counted the change is recorded instead.

parts: ` + strings.Join(dayplan.PartIDs(), ", "),
		Example: `  ringtrue plan kit --block B7 --saws 4 --people 5
  ringtrue plan kit --walk 35min --saws 2 --people 3 --kit north
  ringtrue plan kit --issued blade=4,file=2,nut=1,plug=2 --kit north
  ringtrue plan kit --used plug=1 --kit north --note "saw S11"`,
		Args: exactly(0, "no arguments"),
		RunE: func(*cobra.Command, []string) error {
			if o.issued+o.used+o.restocked+o.counted != "" {
				return a.runKitChange(o)
			}
			return a.runKit(o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.kit, "kit", unnamedKit, "which kit")
	f.StringVar(&o.walk, "walk", "", "walk out to the vehicle, as 35min (default: the block's card)")
	f.StringVar(&o.block, "block", "", "block")
	f.BoolVar(&o.noRoad, "no-road", false, "no road: by air or boat")
	f.IntVar(&o.saws, "saws", 1, "saws at work")
	f.IntVar(&o.people, "people", 1, "people on the ground")
	f.StringVar(&o.on, "on", "", "day asked about (default: today)")
	f.StringVar(&o.issued, "issued", "", "parts given out with the kit, as blade=4,file=2")
	f.StringVar(&o.used, "used", "", "parts used up")
	f.StringVar(&o.restocked, "restocked", "", "parts filled up again")
	f.StringVar(&o.counted, "counted", "", "parts counted: what was thought to be there no longer matters")
	f.StringVar(&o.note, "note", "", "anything to add to a change")
	f.StringVar(&o.at, "at", "", "when a change was; a clock time alone is today's")
	return c
}

// runKitChange records what happened to parts of a kit.
func (a *app) runKitChange(o kitOptions) error {
	if err := a.write(); err != nil {
		return err
	}
	by, happened, refs, notes, err := a.changeKit(o)
	if err != nil {
		return err
	}
	return a.done(by, refs, happened, "kit "+o.kit+" changed", notes...)
}

// changeKit records one entry for each kind of change.
func (a *app) changeKit(o kitOptions) (by store.Person, happened time.Time, refs []training.Ref, notes []string, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(a.todayAt(o.at))
	p.add(err)
	p.add(kitName(o.kit))
	var es []ledger.Entry
	for _, c := range []struct{ change, said string }{
		{dayplan.Issued, o.issued}, {dayplan.Restocked, o.restocked}, {dayplan.Used, o.used}, {dayplan.Counted, o.counted},
	} {
		if c.said == "" {
			continue
		}
		parts, err := dayplan.ParseAmounts(c.said, c.change == dayplan.Counted)
		if err != nil {
			p.add(usage("see: ringtrue plan kit --help", "--%s: %v", c.change, err))
		}
		rec := dayplan.KitRecord{Kit: o.kit, Change: c.change, Parts: parts, Note: o.note}
		es = append(es, entry(store.KindKit, happened, by.ID, "", "", rec))
		notes = append(notes, c.change+" "+c.said)
	}
	if err = p.err(); err != nil {
		return
	}
	if refs, err = a.append(es); err != nil {
		return
	}
	stock, err := a.kitStock(o.kit, a.knownNow(civil.Of(happened, a.book.Zone())), 0)
	for _, id := range dayplan.PartIDs() {
		if stock[id].Have < 0 {
			notes = append(notes, fmt.Sprintf("more %s were used than were known to be in the kit; count it: ringtrue plan kit --counted %s=N --kit %s", id, id, o.kit))
		}
	}
	return
}

func kitName(kit string) error {
	if strings.TrimSpace(kit) == "" || strings.ContainsAny(kit, "/~") || len(kit) > mostOfAName {
		return usage("write a short name, as north", "--kit %q is no name", kit)
	}
	return nil
}

// unnamedKit is the kit that is meant where none is named.
const unnamedKit = "crew"

// knownKit refuses to ask about a kit by a name under which nothing was ever recorded.
func (a *app) knownKit(kit string) error {
	all, err := topicsUnder(a.ctx, a.book, a.knownNow(1<<20), store.KitSubject(""))
	if err != nil || kit == unnamedKit || len(all[kit]) > 0 {
		return err
	}
	names := slices.Sorted(maps.Keys(all))
	next := "kits are: " + orWord(strings.Join(names, ", "), "none yet; record one: ringtrue plan kit --issued blade=4 --kit "+kit)
	if near := nearestID(kit, names); near != "" {
		next = "nearest: " + near + "; " + next
	}
	return refuse(next, "nothing was ever recorded of a kit %q", kit)
}

// kitStock adds up a kit by the moment asked; Used counts what was used in the days before.
func (a *app) kitStock(kit string, asked training.Asked, days int) (map[string]dayplan.Stock, error) {
	facts, err := a.book.Topic(a.ctx, asked, store.KitSubject(kit), store.KindKit)
	if err != nil {
		return nil, err
	}
	var events []dayplan.KitEvent
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		e := dayplan.KitEvent{Day: int(f.Day)}
		if _, err := a.book.Entry(a.ctx, f.Entry, &e.KitRecord); err != nil {
			return nil, err
		}
		events = append(events, e)
	}
	return dayplan.StockOf(events, int(asked.Day)-days), nil
}

// kitLine is one part of a kit.
type kitLine struct {
	Part      string `json:"part"`
	What      string `json:"what"`
	Needed    int    `json:"needed"`
	Have      int    `json:"have"`
	Used      int    `json:"used"` // in the days of the house rule kit-days
	State     string `json:"state"`
	Per       string `json:"per"`
	StopsWork bool   `json:"stops_work"`
	Source    string `json:"source"`
}

// runKit compares a kit with what a walk out needs.
func (a *app) runKit(o kitOptions) error {
	if err := a.read(); err != nil {
		return err
	}
	out, h, asked, err := a.kitAsked(o)
	if err != nil {
		return err
	}
	stock, err := a.kitStock(o.kit, asked, h.Int(house.KitDays))
	if err != nil {
		return err
	}
	lines := []kitLine{}
	for _, l := range dayplan.CompareKit(out, stock, h) {
		lines = append(lines, kitLine{l.ID, l.Words, l.Wanted, max(0, l.Have), l.Used, l.State, l.Per, l.StopsWork, l.Source})
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/plan-kit/1", "kit": o.kit, "on": asked.Day.String(), "walk_minutes": out.Minutes, "no_road": out.NoRoad,
			"tier": out.Tier(h), "saws": out.Saws, "people": out.People, "house": h.Edition, "rows": lines})
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		stops := ""
		if l.StopsWork {
			stops = "stops work"
		}
		rows = append(rows, []string{l.Part, l.What, fmt.Sprint(l.Needed), fmt.Sprint(l.Have), fmt.Sprint(l.Used), l.State, stops})
	}
	a.table([]string{"PART", "WHAT", "NEEDED", "HAVE", "USED LATELY", "STATE", "NOTE"}, rows)
	return nil
}

// kitKeys are the house rules of the spare kit.
var kitKeys = []string{house.KitWalk1, house.KitWalk2, house.KitWalk3, house.KitDays}

// kitAsked reads where and for how many the kit is needed.
func (a *app) kitAsked(o kitOptions) (dayplan.Out, house.House, training.Asked, error) {
	var p problems
	out := dayplan.Out{NoRoad: o.noRoad, Saws: o.saws, People: o.people}
	day, err := parseDay("on", o.on)
	p.add(err)
	if day == civil.None {
		day = civil.Of(a.now(), a.book.Zone())
	}
	asked := a.knownNow(day)
	h, err := a.house(asked)
	p.add(err)
	p.add(hasRules(h, kitKeys))
	p.add(kitName(o.kit))
	p.add(a.knownKit(o.kit))
	p.add(a.knownBlock(o.block))
	for _, n := range []struct {
		flag  string
		value int
	}{{"saws", o.saws}, {"people", o.people}} {
		if n.value < 1 || n.value > 200 {
			p.add(usage("write 1 to 200", "--%s %d cannot be meant", n.flag, n.value))
		}
	}
	card, _, err := a.card(o.block, asked)
	p.add(err)
	walk := orWord(o.walk, card.Walk)
	if walk == "" && !o.noRoad {
		p.add(usage("add --walk 35min, --block, or --no-road", "how far is the walk out: --walk is missing"))
	}
	if walk != "" {
		q, err := units.Parse(walk, units.Time)
		if err == nil && (q.SI() < 0 || q.SI() > 24*anHour) {
			err = fmt.Errorf("%s is no walk out", q)
		}
		if err != nil {
			p.add(usage("write --walk 35min", "--walk: %v", err))
		}
		out.Minutes = q.SI() / 60
	}
	return out, h, asked, p.err()
}
