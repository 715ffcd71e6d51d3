// Package dayplan works out what a day of clearing saws takes: engine hours, tanks, refuellings, filings, blades, fuel and
// oil, cans and the vehicle that carries them, places for fuel along the face, time to the exposure values, and the
// spare kit for the walk out. It puts together the formulas of packages fuel, exposure and slope.
//
// The arithmetic is common practice, no source. Engine hours are what is left of the hours on site after walking in and
// out, talk, breaks, plots and filing; filing depends on refuels, and those on engine hours, so the fewest filings that
// agree with each other are taken. A tank is counted as burnt evenly, everybody starts full.
//
// Burn rate and area per tank come from the crew's own log once it holds enough days: the median, and between which
// values the middle half of them lie. Until then the house figure counts. No figure is carried over from dense stands to
// thin ones: the log goes first.
//
// A plan is for fuel and blades. It is no target of output, and it says nothing about whether work is safe: stop when
// tired.
package dayplan

import (
	"errors"
	"fmt"
	"math"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
)

// Source names what the plan rests on, for printing beside it.
const Source = "tanks, refuels, filings, blades and reserve of a day: common practice, no source; mix ratio counted on the petrol (own calculation)"

// Day is a day as planned. Times are in hours, volumes in litres, lengths in metres, the slope in percent.
type Day struct {
	Hours    float64 // on site
	WalkIn   float64 // one way, from the road to the ground; counted twice
	Talk     float64 // tailgate and other talk
	Breaks   float64
	Plots    float64 // counting plots
	Saws     int     // saws at work, one person each
	Rock     int     // hits on rock expected for one saw
	Tank     float64
	Burn     float64 // L an engine hour
	Ratio    float64 // parts of petrol to one of oil
	Reserve  float64 // percent
	Can      float64 // size of one can
	Area     float64 // m² on one tank
	Strip    float64 // width of a strip
	Face     float64 // length of the face, 0 = not said
	Slope    float64 // percent, along the way to the fuel
	Steepest float64 // percent, of the ground
	FilingOf float64 // hours one filing takes
}

// Plan is what the day takes. PerSaw is for one saw, Crew for all of them; volumes of the crew include the reserve.
type Plan struct {
	EngineHours float64
	PerSaw      fuel.Need
	Filings     int     // one saw, rock included
	Blades      int     // one saw, the one fitted counted
	Fuel        float64 // crew, litres of mixture
	Oil         float64 // crew, litres in that mixture
	Cans        int     // crew
	Area        float64 // crew, m² for the tanks burnt
	Spots       []float64
	Reach       float64 // m, the longest walk to fuel on this slope
	Notes       []string
}

// rounding keeps 3 cans 3 where a division of decimals gives a hair more.
const rounding = 1e9

func up(v float64) int { return int(math.Ceil(math.Round(v*rounding) / rounding)) }

// Work plans a day. The error names every figure that cannot be meant.
func (d Day) Work(h house.House) (Plan, error) {
	if err := d.check(false); err != nil {
		return Plan{}, err
	}
	filings, need, err := d.settle()
	if err != nil {
		return Plan{}, err
	}
	saws := float64(d.Saws)
	p := Plan{EngineHours: d.engine(filings), PerSaw: need, Filings: filings, Fuel: need.Mixture * saws, Oil: need.Oil * saws, Area: need.Tanks * d.Area * saws}
	p.Blades = h.Int(house.PlanBlades) + d.Rock/max(1, h.Int(house.RockBlade))
	p.Cans = up(p.Fuel / d.Can)
	p.Reach = Reach(h.SI(house.FuelReach), d.Slope)
	p.Spots = Spots(d.Face, p.Reach)
	p.Notes = d.notes(h)
	return p, nil
}

// engine is the time the engine runs with so many filings, never below 0.
func (d Day) engine(filings int) float64 {
	return math.Max(0, d.Hours-2*d.WalkIn-d.Talk-d.Breaks-d.Plots-float64(filings)*d.FilingOf)
}

// settle finds the fewest filings that agree with the refuels of the engine hours they leave.
func (d Day) settle() (filings int, need fuel.Need, err error) {
	for filings = 0; ; filings++ {
		need, err = fuel.Work{EngineHours: d.engine(filings), Burn: d.Burn, Tank: d.Tank, Ratio: d.Ratio, Reserve: d.Reserve}.Plan()
		if err != nil || need.Filings+d.Rock <= filings {
			return filings, need, err
		}
	}
}

// Longest day and largest figures that can be meant: company choice, wide on purpose.
const (
	mostHours = 18.0
	mostSaws  = 200
	mostRock  = 100
	mostFace  = 20000.0
	mostSlope = 200.0
)

// Unread is a figure of a Day that could not be read, or is not known yet.
var Unread = math.NaN()

// Check names every figure that cannot be meant, as Work does. Figures that are Unread are passed over, so that the rest is said
// together with why those were not read.
func (d Day) Check() error { return d.check(true) }

func (d Day) check(passUnread bool) error {
	var problems []error
	in := func(what string, v, low, high float64) {
		if !(v >= low && v <= high) && !(passUnread && math.IsNaN(v)) {
			problems = append(problems, fmt.Errorf("%s: %g is not between %g and %g", what, v, low, high))
		}
	}
	in("hours on site", d.Hours, 0, mostHours)
	in("walk in, hours", d.WalkIn, 0, mostHours)
	in("talk, hours", d.Talk, 0, mostHours)
	in("breaks, hours", d.Breaks, 0, mostHours)
	in("plots, hours", d.Plots, 0, mostHours)
	in("time of one filing, hours", d.FilingOf, 0, 2)
	in("saws", float64(d.Saws), 1, mostSaws)
	in("hits on rock", float64(d.Rock), 0, mostRock)
	in("tank, L", d.Tank, 0.2, 3)
	in("burn rate, L/h", d.Burn, 0.05, 5)
	in("mix ratio", d.Ratio, 10, 200)
	in("reserve, percent", d.Reserve, 0, 200)
	in("can, L", d.Can, 0.5, 60)
	in("area on one tank, m²", d.Area, 1, 20000)
	in("strip, m", d.Strip, 0.5, 50)
	in("face, m", d.Face, 0, mostFace)
	in("slope along the way, percent", d.Slope, 0, mostSlope)
	in("steepest slope, percent", d.Steepest, 0, mostSlope)
	if err := errors.Join(problems...); err != nil {
		return err
	}
	if left := d.engine(0); left <= 0 {
		return fmt.Errorf("nothing is left for the saws: %.1f h on site, %.1f h of walking in and out, talk, breaks and plots", d.Hours, 2*d.WalkIn+d.Talk+d.Breaks+d.Plots)
	}
	return nil
}

func (d Day) notes(h house.House) []string {
	var notes []string
	if d.Steepest > h.SI(house.SlopeLimit)+1e-9 {
		notes = append(notes, fmt.Sprintf("the ground is steeper than the house limit: no saw there; %s", h.Cite(house.SlopeLimit)))
	}
	if fuel.TooBig(d.Can, h) {
		notes = append(notes, "the can is larger than may be carried by hand: "+h.Cite(house.FuelContainer))
	}
	return append(notes, "fuel spots: bare soil, in the shade, out of the strip along water, "+
		h.Value(house.FuelIgnition)+" from anything that ignites, "+h.Value(house.FuelStart)+" from where the saw is started",
		"this plans fuel, not output: stop when tired")
}
