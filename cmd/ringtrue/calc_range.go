package main

import (
	"errors"
	"fmt"
	"math"

	"example.org/ringtrue/hazards/units"
)

// calcRule refuses a value that cannot be meant and says what can. The value comes in the base unit of its quantity; like is the quantity
// as typed, for its unit alone.
type calcRule func(v float64, like units.Quantity) error

func calcNotNegative(v float64, _ units.Quantity) error {
	if v < 0 {
		return errors.New("is negative")
	}
	return nil
}

// absoluteZero is 0 K in °C.
const absoluteZero = -273.15

func calcAboveZeroKelvin(v float64, _ units.Quantity) error {
	if v <= absoluteZero {
		return errors.New("is not above absolute zero")
	}
	return nil
}

// calcHair lets the end of a range pass that a change of unit has moved.
const calcHair = 1e-9

// calcBetween is a range, ends included.
func calcBetween(low, high float64) calcRule {
	return func(v float64, like units.Quantity) error {
		if hair := calcHair * math.Max(1, math.Abs(v)); v < low-hair || v > high+hair {
			return fmt.Errorf("is out of range: %s", units.Span(low, high, like))
		}
		return nil
	}
}

// Ranges of what can be meant; beyond them a slip of the pen or of a unit is more likely (company choice, all of them). Where a formula
// was published for a narrower range, that is asked for by the formula itself.
var (
	meantPercent   = calcBetween(-6000, 6000)   // %, a hair beyond 89 degrees
	meantDewPoint  = calcBetween(-60, 55)       // °C, as air
	meantNoonAir   = calcBetween(-60, 60)       // °C
	meantWind      = calcBetween(0, 90)         // m/s
	meantDayRain   = calcBetween(0, 2)          // m in 24 hours
	meantDuff      = calcBetween(0, 2000)       // duff moisture code
	meantDrought   = calcBetween(0, 3000)       // drought code
	meantLevel     = calcBetween(40, 140)       // dB: a quiet room to the ceiling of NIOSH 98-126
	meantExposure  = calcBetween(0, 48*3600)    // s of noise at one level; G-16a ends at 32 h
	meantRating    = calcBetween(0, 50)         // dB taken off by a protector
	meantWalk      = calcBetween(0, 200e3)      // m
	meantClimb     = calcBetween(0, 9000)       // m
	meantDiameter  = calcBetween(0.1, 0.5)      // m, blades of clearing saws are 0.2 to 0.35
	meantSpindle   = calcBetween(0, 20000.0/60) // revolutions a second
	meantBlade     = calcBetween(0.01, 5)       // kg
	meantHours     = calcBetween(0, 24*3600)    // s
	meantBurn      = calcBetween(0, 20)         // L/h
	meantTank      = calcBetween(0.05, 20)      // L
	meantRatio     = calcBetween(1, 200)        // parts of petrol to one of oil
	meantReserve   = calcBetween(0, 200)        // %
	meantPetrol    = calcBetween(0.1, 5000)     // L on one vehicle
	meantCan       = calcBetween(0.1, 1000)     // L
	meantCanMass   = calcBetween(0, 200)        // kg
	meantPlot      = calcBetween(1, 10000)      // m²
	meantOnPlot    = calcBetween(0, 10000)      // stems
	meantApart     = calcBetween(0.1, 100)      // m between stems
	meantDensity   = calcBetween(1, 1e6)        // stems per hectare, the same range
	meantPlotSlope = calcBetween(0, 300)        // %
)
