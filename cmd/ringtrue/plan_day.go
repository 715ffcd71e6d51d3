package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/dayplan"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type planDayOptions struct {
	hours, walk, talk, breaks, plots, filing string
	tank, burn, ratio, reserve, can, slope   string
	area, strip, face, block, on             string
	crew                                     []string
	saws, rock                               int
	sawsSaid                                 bool // --saws was given
}

func newPlanDayCmd(a *app) *cobra.Command {
	var o planDayOptions
	c := &cobra.Command{
		Use:   "day",
		Short: "What a day of saws takes: tanks, refuels, filings, blades, fuel, oil, cans, the vehicle, time to the exposure values",
		Long: `Plan the fuel and blades of a day. Engine hours are the hours on site less the walk in and out, talk, breaks, plots and
filing. Burn rate and area per tank are those of the crew's own log once it holds enough days, with the middle half of the
values and the number of days behind them; until then the house figure. The walk and the steepest ground of a block come from its card;
tank, vibration and noise of a saw from its card. It plans fuel, not output: stop when tired.`,
		Example: `  ringtrue plan day --hours 9h --block B7 --crew ana=S11,ben=S12 --talk 20min --breaks 1h --face 200m
  ringtrue plan day --hours 9h --walk 30min --talk 20min --breaks 1h --plots 20min --saws 4 --rock 2 --slope 25%`,
		Args: exactly(0, "no arguments"),
		RunE: func(c *cobra.Command, _ []string) error {
			o.sawsSaid = c.Flags().Changed("saws")
			if err := a.read(); err != nil {
				return err
			}
			p, err := a.planDayOf(o)
			if err != nil {
				return err
			}
			return a.printPlanDay(p)
		},
	}
	f := c.Flags()
	f.StringVar(&o.hours, "hours", "", "time on site, as 9h (required)")
	f.StringVar(&o.walk, "walk", "", "walk in, one way, as 35min (default: the block's card)")
	f.StringVar(&o.talk, "talk", "", "tailgate and other talk, as 20min")
	f.StringVar(&o.breaks, "breaks", "", "breaks, as 1h")
	f.StringVar(&o.plots, "plots", "", "counting plots, as 20min")
	f.StringVar(&o.filing, "filing", "", "one filing, as 10min (default: house rule)")
	f.StringSliceVar(&o.crew, "crew", nil, "who has which saw, as ana=S11,ben=S12")
	f.IntVar(&o.saws, "saws", 0, "number of saws, where --crew does not say")
	f.IntVar(&o.rock, "rock", 0, "hits on rock expected for one saw")
	f.StringVar(&o.tank, "tank", "", "tank, as 0.9L (default: the saws' cards, the smallest; else house rule)")
	f.StringVar(&o.burn, "burn", "", "fuel an engine hour, as 0.9L/h (default: the log, or house rule)")
	f.StringVar(&o.area, "area", "", "area on one tank, as 300m2 (default: the log, or house rule)")
	f.StringVar(&o.ratio, "ratio", "", "parts of petrol to one of oil, as 50 (default: house rule)")
	f.StringVar(&o.reserve, "reserve", "", "reserve, as 20% (default: house rule)")
	f.StringVar(&o.can, "can", "", "size of a can, as 5L (default: house rule)")
	f.StringVar(&o.slope, "slope", "", "slope along the way to the fuel, as 25% or 14deg; the steepest ground stands on the block's card")
	f.StringVar(&o.strip, "strip", "", "width of a strip, as 3m (default: house rule)")
	f.StringVar(&o.face, "face", "", "length of the face, as 200m, for the fuel spots")
	f.StringVar(&o.block, "block", "", "block")
	f.StringVar(&o.on, "on", "", "day planned for (default: today)")
	return c
}

// planKeys are the house rules that a plan of the day rests on.
var planKeys = []string{house.PlanBurn, house.PlanTank, house.PlanRatio, house.PlanReserve, house.PlanFiling, house.PlanArea, house.PlanStrip, house.PlanBlades,
	house.RockBlade, house.PlanCan, house.CanMass, house.FuelReach, house.LearnDays, house.LearnLeast, house.PlanVibration, house.PlanNoise,
	house.VibrationAction, house.VibrationLimit, house.VibrationAdds, house.NoiseCriterion}

// dayPlan is a plan with all that it rests on.
type dayPlan struct {
	on        civil.Day
	block     string
	day       dayplan.Day
	plan      dayplan.Plan
	burn      dayplan.Learned
	area      dayplan.Learned
	regime    string
	transport []dayplan.Compared
	people    []dayplan.Trigger
	criterion string   // of the noise
	down      []string // saws of the crew that are out of use, and why
	house     house.House
}

// planDayOf gathers and plans a day.
func (a *app) planDayOf(o planDayOptions) (dayPlan, error) {
	var p problems
	d := dayPlan{block: o.block, on: civil.Of(a.now(), a.book.Zone())}
	if o.on != "" {
		day, err := parseDay("on", o.on)
		p.add(err)
		d.on = day
	}
	asked := a.knownNow(d.on)
	var err error
	if d.house, err = a.house(asked); err != nil {
		return d, err
	}
	p.add(hasRules(d.house, planKeys))
	p.add(a.knownBlock(o.block))
	people, cards, err := a.planCrew(o, asked)
	p.add(err)
	if len(p.found) == 0 {
		p.add(a.learned(&d, cards, asked))
	}
	d.down, err = a.sawsDown(cards, asked)
	p.add(err)
	if err := a.planFigures(&d, o, cards, asked, &p); err != nil {
		return d, err
	}
	if err := p.err(); err != nil {
		return d, err
	}
	if d.plan, err = d.day.Work(d.house); err != nil {
		return d, usage("see: ringtrue plan day --help", "%v", err)
	}
	if err := a.planTimes(&d, people, cards, asked); err != nil {
		return d, err
	}
	return d, a.planVehicle(&d, asked)
}

// planCrew reads who has which saw. Where only a number of saws is known, one person without a name stands for all.
func (a *app) planCrew(o planDayOptions, asked training.Asked) ([]dayplan.Person, []sawCard, error) {
	var p problems
	if len(o.crew) > 0 && o.sawsSaid {
		p.add(usage("give one of them", "--crew and --saws both say how many saws there are"))
	}
	list, err := a.saws(asked)
	p.add(err)
	var people []dayplan.Person
	var cards []sawCard
	for _, text := range o.crew {
		worker, saw, ok := strings.Cut(text, "=")
		if !ok {
			p.add(usage("write --crew ana=S11,ben=S12", "--crew %q does not say which saw", text))
			continue
		}
		who, err := a.person(strings.TrimSpace(worker))
		p.add(err)
		card, err := pickSaw(list, strings.TrimSpace(saw))
		p.add(err)
		if slices.ContainsFunc(people, func(x dayplan.Person) bool { return x.Worker == who.ID || x.Saw == card.ID }) && err == nil && who.ID != "" {
			p.add(usage("name each worker and each saw once", "--crew %q names somebody, or a saw, twice", text))
		}
		people, cards = append(people, dayplan.Person{Worker: who.ID, Saw: card.ID}), append(cards, card)
	}
	if len(o.crew) == 0 {
		people = append(people, dayplan.Person{})
	}
	return people, cards, p.err()
}

// planTimes says how long each may hold the trigger, by the function of the morning check and the noise rule of the book's place.
func (a *app) planTimes(d *dayPlan, people []dayplan.Person, cards []sawCard, asked training.Asked) error {
	places, err := a.places(asked)
	if err != nil {
		return err
	}
	in := hazards.Input{House: d.house, Places: places}
	for _, c := range cards {
		in.KnownSaws = append(in.KnownSaws, hazards.KnownSaw{ID: c.ID, Vibration: c.Vibration, Noise: c.Noise})
	}
	for _, one := range people {
		t := hazards.TimesOf(in, one.Saw)
		one.Vibration, one.Noise, d.criterion = t.Vibration, t.Noise, t.Criterion
		d.people = append(d.people, dayplan.TriggerTime(one, dayplan.Times{Action: t.Action, Limit: t.Limit, NoiseAction: t.NoiseAction, NoiseLimit: t.NoiseLimit}, d.plan.EngineHours))
	}
	return nil
}

// learned takes burn rate and area per tank from the log of the saws named, or of all.
func (a *app) learned(d *dayPlan, cards []sawCard, asked training.Asked) error {
	if len(cards) == 0 {
		all, err := a.saws(asked)
		if err != nil {
			return err
		}
		cards = all
	}
	log, err := a.sawLog(cards, d.house, asked)
	d.burn, d.area = dayplan.BurnRate(log, d.house), dayplan.AreaPerTank(log, d.house)
	return err
}

// figure is one number of the plan: what was said, else what counts otherwise. per turns the base unit into that of the plan.
type figure struct {
	flag, said, otherwise string
	of                    units.Dimension
	per                   float64
	to                    *float64
}

const anHour = 3600.0 // seconds

// planFigures fills in the figures of the day: what was said, else the cards, else the log and the house rules.
func (a *app) planFigures(d *dayPlan, o planDayOptions, cards []sawCard, asked training.Asked, p *problems) error {
	var card hazards.Block
	if o.block != "" {
		var err error
		if card, _, err = a.card(o.block, asked); err != nil {
			return err
		}
	}
	if o.hours == "" {
		p.add(usage("add --hours 9h", "--hours is missing: how long on site"))
	}
	h, day := d.house, &d.day
	*day = dayplan.Day{Hours: dayplan.Unread, Saws: max(len(cards), 1), Rock: o.rock, Burn: learnedOr(d.burn), Area: learnedOr(d.area)}
	if o.sawsSaid {
		day.Saws = o.saws
	}
	for _, f := range []figure{
		{"hours", o.hours, "", units.Time, anHour, &day.Hours}, {"walk", o.walk, orWord(card.Walk, "0min"), units.Time, anHour, &day.WalkIn},
		{"talk", o.talk, "0min", units.Time, anHour, &day.Talk}, {"breaks", o.breaks, "0min", units.Time, anHour, &day.Breaks},
		{"plots", o.plots, "0min", units.Time, anHour, &day.Plots}, {"filing", o.filing, h.Value(house.PlanFiling), units.Time, anHour, &day.FilingOf},
		{"tank", o.tank, smallestTank(cards, h), units.Volume, 1, &day.Tank}, {"can", o.can, h.Value(house.PlanCan), units.Volume, 1, &day.Can},
		{"burn", o.burn, "", units.Burn, 1, &day.Burn}, {"area", o.area, "", units.Area, 1, &day.Area},
		{"ratio", strings.TrimSuffix(o.ratio, ":1"), h.Value(house.PlanRatio), units.Count, 1, &day.Ratio},
		{"reserve", o.reserve, h.Value(house.PlanReserve), units.Share, 1, &day.Reserve},
		{"strip", o.strip, h.Value(house.PlanStrip), units.Length, 1, &day.Strip}, {"face", o.face, "0m", units.Length, 1, &day.Face},
		{"slope", o.slope, "0%", units.Slope, 1, &day.Slope}, {"block", "", orWord(card.SlopeMax, "0%"), units.Slope, 1, &day.Steepest},
	} {
		p.add(f.read())
	}
	if err := day.Check(); err != nil {
		p.add(usage("see: ringtrue plan day --help", "%v", err))
	}
	return nil
}

// learnedOr is what the log or the house says; nothing was learned where something else was wrong already.
func learnedOr(l dayplan.Learned) float64 {
	if l.From == "" {
		return dayplan.Unread
	}
	return l.Value
}

// sawsDown says of each saw of the crew that is out of use why it is, on the day planned for.
func (a *app) sawsDown(cards []sawCard, asked training.Asked) ([]string, error) {
	var down []string
	for _, c := range cards {
		if c.ID == "" {
			continue // the crew is refused for it
		}
		s, err := a.standOf(c, asked)
		if err != nil {
			return nil, err
		}
		why, err := a.whyDown(s, a.short)
		if err != nil {
			return nil, err
		}
		if s.retired {
			why = append(why, "it is retired")
		}
		if len(why) > 0 {
			down = append(down, "saw "+c.ID+" is OUT OF USE: "+strings.Join(why, "; "))
		}
	}
	return down, nil
}

// read takes the figure; where neither is given, what is there stays.
func (f figure) read() error {
	text := orWord(f.said, f.otherwise)
	if text == "" {
		return nil
	}
	q, err := units.Parse(text, f.of)
	if err != nil {
		*f.to = dayplan.Unread
		return usage("see: ringtrue plan day --help", "--%s: %v", f.flag, err)
	}
	*f.to = q.SI() / f.per
	return nil
}

// smallestTank is the tank that asks for the most refuels.
func smallestTank(cards []sawCard, h house.House) string {
	text := ""
	least := 0.0
	for _, c := range cards {
		if q, err := units.Parse(c.Tank, units.Volume); err == nil && (text == "" || q.SI() < least) {
			text, least = c.Tank, q.SI()
		}
	}
	return orWord(text, h.Value(house.PlanTank))
}

// planVehicle compares the fuel with what one vehicle may carry where the book is.
func (a *app) planVehicle(d *dayPlan, asked training.Asked) error {
	edition, err := a.localRules(asked)
	if err != nil {
		return err
	}
	var line []string
	for _, j := range edition.Line(a.opening.Jurisdiction) {
		line = append(line, j.Code)
	}
	d.regime = dayplan.Regime(line)
	d.transport = dayplan.Vehicle(d.regime, dayplan.Load{Litres: d.plan.Fuel, Cans: d.plan.Cans, CanSize: d.day.Can, CanMass: d.house.SI(house.CanMass)})
	return nil
}

// sawLog gathers each saw's days, as told, of the days that the house lets teach.
func (a *app) sawLog(cards []sawCard, h house.House, asked training.Asked) ([]dayplan.SawDay, error) {
	var log []dayplan.SawDay
	for _, c := range cards {
		facts, err := a.sawFacts(c.ID, asked, 2+h.Int(house.LearnDays)/28)
		if err != nil {
			return nil, err
		}
		days := map[civil.Day]*loggedDay{}
		for _, f := range toldOf(facts, asked.Day-civil.Day(h.Int(house.LearnDays)), asked.Day) {
			if days[f.Day] == nil {
				days[f.Day] = &loggedDay{}
			}
			if err := a.takeLog(days[f.Day], f); err != nil {
				return nil, err
			}
		}
		tank, err := units.Parse(orWord(c.Tank, h.Value(house.PlanTank)), units.Volume)
		if err != nil {
			return nil, err
		}
		for day, l := range days {
			log = append(log, dayplan.SawDay{Saw: c.ID, Day: day, Tank: tank.SI(),
				Hours: orElse(l.line.hours, l.single.hours), Litres: orElse(l.line.litres, l.single.litres), Area: orElse(l.line.area, l.single.area)})
		}
	}
	return log, nil
}

// toldOf lists the entries of a saw's days in [from, to), each once.
func toldOf(facts factsOfSaw, from, to civil.Day) []training.Fact {
	var list []training.Fact
	seen := map[training.Ref]bool{}
	for _, topics := range facts.months {
		for _, topic := range []string{store.KindUpkeep, store.KindRefuel, store.KindSawUse} {
			for _, f := range topics[topic] {
				if !f.Struck && f.Day >= from && f.Day < to && !seen[f.Entry] {
					seen[f.Entry] = true
					list = append(list, f)
				}
			}
		}
	}
	return list
}

// loggedDay is a saw's day as told by its line, and by single entries. The line tells of the whole day and goes first.
type loggedDay struct {
	line, single struct{ hours, litres, area float64 }
}

func orElse(line, single float64) float64 {
	if line > 0 {
		return line
	}
	return single
}

// takeLog adds what one entry tells of a saw's day. A join tells no figures.
func (a *app) takeLog(l *loggedDay, f training.Fact) error {
	h, err := a.book.Entry(a.ctx, f.Entry, nil)
	if err != nil {
		return err
	}
	into := &l.single
	if h.Kind == store.KindUpkeep {
		into = &l.line
	}
	into.hours += figureIn(h, "hours", units.Time) / anHour
	into.litres += figureIn(h, "litres", units.Volume)
	into.area += figureIn(h, "area", units.Area)
	return nil
}

// figureIn reads a quantity of an entry; 0 where it tells none.
func figureIn(h ledger.Header, name string, of units.Dimension) float64 {
	q, err := units.Parse(ledger.Text(ledger.Lookup(h.Data, name)), of)
	if err != nil {
		return 0
	}
	return q.SI()
}
