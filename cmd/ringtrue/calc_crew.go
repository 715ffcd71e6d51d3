package main

import (
	"fmt"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/stand"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/agree"
)

var calcFuel = calculation{
	name:  "fuel",
	short: "Tanks, refuels, mixture and oil of a day for one saw",
	long: `tanks is what is burnt, refuels the stops after starting full; fuel_l is mixture with the reserve, oil_l the oil in
it. The ratio is parts of petrol to one of oil. filings is one at every second refuel; rock comes on top.`,
	example: "ringtrue calc fuel --engine-hours 6h --burn 0.9L/h --tank 0.9L --ratio 50 --reserve 20",
	define: func(in *calcInputs) calcFunc {
		hours := in.quantity("engine-hours", units.Time, "6h", "time the engine runs", meantHours)
		burn := in.quantity("burn", units.Burn, "0.9L/h", "fuel burnt in an engine hour", meantBurn)
		tank := in.quantity("tank", units.Volume, "0.9L", "size of the tank", meantTank)
		ratio := in.number("ratio", ":1", "50", "parts of petrol to one of oil", meantRatio)
		reserve := in.number("reserve", "%", "20", "reserve in percent", meantReserve)
		return func() (calcAnswer, error) {
			return fuelDay(fuel.Work{EngineHours: calcAs(*hours, "h"), Burn: burn.SI(), Tank: tank.SI(), Ratio: *ratio, Reserve: *reserve})
		}
	},
}

func fuelDay(w fuel.Work) (calcAnswer, error) {
	a := calcAnswer{source: []string{fuel.MixSource, fuel.DaySource}}
	n, err := w.Plan()
	if err != nil {
		return a, err
	}
	a.add("tanks", n.Tanks, "tanks", 1)
	a.add("refuels", n.Refuels, "refuels", 0)
	a.add("fuel_l", n.Mixture, "L", 2)
	a.add("oil_l", n.Oil, "L", 3)
	a.add("filings", n.Filings, "filings", 0)
	a.note("fuel_l is mixture, the reserve included; oil_l is the oil in it")
	return a, nil
}

var calcPlot = calculation{
	name:  "plot",
	short: "Stems per hectare from counts on small plots",
	long: `low and high are the ends of the 95 % interval of the mean (Student's t), none for one plot. --area is that of each
plot. With --slope the radius to lay out is given as well, on the level and along the slope. --places says when the places were
chosen: an honest sample was chosen beforehand.`,
	example: "ringtrue calc plot --stems 12,9,14 --area 50m2\nringtrue calc plot --stems 12,9,14 --area 50m2 --slope 30% --places beforehand",
	define: func(in *calcInputs) calcFunc {
		stems := in.counts("stems", 0, "12,9,14", "stems counted on each plot", meantOnPlot)
		area := in.quantity("area", units.Area, "50m2", "area of each plot", meantPlot)
		layout := plotLayout(in, area)
		return func() (calcAnswer, error) {
			a, err := plots(*stems, area.SI())
			layout(&a)
			return a, err
		}
	},
}

func plots(stems []int, area float64) (calcAnswer, error) {
	a := calcAnswer{source: []string{stand.Source}}
	e, err := stand.Stems(stems, area)
	if err != nil {
		return a, err
	}
	a.add("stems_per_ha", e.PerHectare, "stems/ha", 0)
	if !e.Spread {
		a.add("low", nil, "stems/ha", 0)
		a.add("high", nil, "stems/ha", 0)
		a.note("one plot says nothing about the spread")
		return a, nil
	}
	a.add("low", e.Low, "stems/ha", 0)
	a.add("high", e.High, "stems/ha", 0)
	if e.Low < 0 {
		a.note("the interval reaches below 0: too few plots")
	}
	return a, nil
}

var calcAgreement = calculation{
	name:  "agreement",
	short: "How far two observers agree: shares and Cohen's kappa",
	long: `--table counts the cases by what the two said: yes-yes, yes-no, no-yes, no-no. kappa is none where chance alone
would make them agree every time.`,
	example: "ringtrue calc agreement --table 20,5,10,15",
	define: func(in *calcInputs) calcFunc {
		table := in.counts("table", 4, "20,5,10,15", "cases yes-yes, yes-no, no-yes, no-no", calcNotNegative)
		in.check(func() error {
			if in.understood("table") && agreementOf(*table) == (agree.Table{}) {
				return fmt.Errorf("--table: holds no case; write for example 20,5,10,15")
			}
			return nil
		})
		return func() (calcAnswer, error) { return agreement(agreementOf(*table)) }
	},
}

// agreementOf takes the four counts of --table.
func agreementOf(c []int) agree.Table {
	return agree.Table{YesYes: c[0], YesNo: c[1], NoYes: c[2], NoNo: c[3]}
}

func agreement(table agree.Table) (calcAnswer, error) {
	a := calcAnswer{source: []string{agree.KappaSource}}
	r, err := agree.Cohen(table)
	if err != nil {
		return a, err
	}
	a.add("observed", r.Observed, "", 2)
	a.add("expected", r.Expected, "", 2)
	if r.Defined {
		a.add("kappa", r.Kappa, "", 2)
	} else {
		a.add("kappa", nil, "", 2)
		a.note("kappa is not defined where chance alone would make them agree every time")
	}
	return a, nil
}

var calcProportion = calculation{
	name:    "proportion",
	short:   "95 % interval of a share seen in a few cases (Wilson)",
	long:    "low and high are the ends of the score interval without continuity correction.",
	example: "ringtrue calc proportion --successes 81 --trials 263",
	define: func(in *calcInputs) calcFunc {
		successes := in.whole("successes", "81", "cases that counted", calcNotNegative)
		trials := in.whole("trials", "263", "cases in all", calcBetween(1, calcMostCount))
		in.check(func() error {
			if in.understood("successes", "trials") && *successes > *trials {
				return fmt.Errorf("--successes: %d is more than the %d trials; write at most that", *successes, *trials)
			}
			return nil
		})
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{agree.WilsonSource}}
			low, high, err := agree.Wilson(*successes, *trials)
			a.add("low", low, "", 4)
			a.add("high", high, "", 4)
			return a, err
		}
	},
}
