// Package slope deals with steep ground: how long people need to walk on it, and what makes a fall more likely there.
//
// A slope is told in percent, 100 × rise / run along the direction of travel, negative downhill; degrees are turned
// into percent at the edge by hazards/units, because papers have printed one for the other (15 % for 15 degrees,
// which is 26.8 %). Walking speed follows Tobler 1993, whole walks Naismith 1892. Both are times of fit walkers on a
// path in daylight: nobody carries a saw, fuel or a casualty in them, and the slowest person governs. No published
// speed for a carry-out was found, so that one is for the supervisor to enter, not for a formula.
package slope

import "math"

// Sources of the two walking rules, for printing beside a result.
const (
	ToblerSource   = "Tobler 1993, Three presentations on geographical analysis and modeling, NCGIA TR 93-1 (table read in restatements)"
	NaismithSource = "Naismith 1892: 1 h per 5 km plus 1 h per 600 m of climb (read in restatements)"
)

const (
	toblerTop   = 6.0  // km/h, Tobler 1993
	toblerDecay = 3.5  // Tobler 1993
	toblerBest  = 0.05 // the fastest slope is 5 % downhill, Tobler 1993

	// OffPath multiplies Tobler's speed away from a path (Tobler 1993, read in restatements).
	OffPath = 0.6

	// Steep is the slope in percent, up or down, beyond which Tobler's function has no support in data (judgement
	// in the restatements read). It still answers there.
	Steep = 50.0

	naismithKmh   = 5.0   // Naismith 1892, 3 miles an hour
	naismithClimb = 600.0 // metres of climb in an hour, Naismith 1892, 2000 ft
)

// Tobler returns the walking speed in km/h on a slope of so many percent, negative downhill. It is never zero, and
// is largest, 6 km/h, at 5 % downhill.
func Tobler(percent float64) float64 {
	return toblerTop * math.Exp(-toblerDecay*math.Abs(percent/100+toblerBest))
}

// Pace returns the seconds a metre takes at a speed in km/h above zero.
func Pace(kmh float64) float64 { return 3.6 / kmh }

// ToblerMinutes returns the minutes for a distance in metres on one slope of so many percent.
func ToblerMinutes(metres, percent float64) float64 { return metres * Pace(Tobler(percent)) / 60 }

// NaismithMinutes returns the least minutes for a distance and a climb, both in metres, neither negative. Descent
// counts nothing.
func NaismithMinutes(metres, climb float64) float64 {
	return 60 * (metres/1000/naismithKmh + climb/naismithClimb)
}
