package fuel

import (
	"errors"
	"fmt"
	"math"
)

// Sources of the mix and of the day's arithmetic, for printing beside a result.
const (
	MixSource = "mix ratio counted on the petrol, not on the mixture (own calculation)"
	DaySource = "tanks, refuels and filings of a day: common practice, no source"
)

// OilIn returns the oil in a volume of mixture at so many parts of petrol to one of oil, in the unit of the volume.
func OilIn(mixture, ratio float64) float64 { return mixture / (ratio + 1) }

// Work is a day of one saw.
type Work struct {
	EngineHours float64 // hours the engine runs
	Burn        float64 // litres an engine hour
	Tank        float64 // litres
	Ratio       float64 // parts of petrol to one of oil
	Reserve     float64 // percent on top of what is burnt
}

// Need is what such a day takes.
type Need struct {
	Tanks   float64 // tanks burnt, with the fraction
	Refuels int     // stops to fill, having started full
	Mixture float64 // litres to carry, the reserve included
	Oil     float64 // litres of oil in that mixture
	Filings int     // planned filings, one at every second refuel; rock comes on top
}

// mostTanks is where a plan is no day's work any more, and counting would overflow (company choice).
const mostTanks = 1e6

// tankRounding keeps 6 tanks 6 where a division of decimals gives a hair more.
const tankRounding = 1e9

// Plan works out what a day of one saw takes. It refuses hours, a burn rate or a reserve below 0, and a tank or a
// ratio that is not above 0; every problem is named.
func (w Work) Plan() (Need, error) {
	if err := w.check(); err != nil {
		return Need{}, err
	}
	burnt := w.EngineHours * w.Burn
	n := Need{Tanks: burnt / w.Tank, Mixture: burnt * (1 + w.Reserve/100)}
	if !(n.Tanks <= mostTanks) {
		return Need{}, fmt.Errorf("%g tanks are no day's work; check hours, burn rate and tank", n.Tanks)
	}
	n.Oil = OilIn(n.Mixture, w.Ratio)
	n.Refuels = max(0, int(math.Ceil(math.Round(n.Tanks*tankRounding)/tankRounding))-1)
	n.Filings = n.Refuels / 2
	return n, nil
}

func (w Work) check() error {
	return errors.Join(
		atLeast("engine hours", w.EngineHours), atLeast("burn rate", w.Burn), atLeast("reserve", w.Reserve),
		above("tank", w.Tank), above("mix ratio", w.Ratio),
	)
}

func atLeast(what string, v float64) error {
	if v >= 0 {
		return nil
	}
	return fmt.Errorf("%s of %g is less than 0", what, v)
}

func above(what string, v float64) error {
	if v > 0 {
		return nil
	}
	return fmt.Errorf("%s of %g is not more than 0", what, v)
}
