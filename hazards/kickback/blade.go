package kickback

import (
	"errors"
	"fmt"
	"math"
)

// BladeSource names what a blade's numbers rest on, for printing beside them.
const BladeSource = "edge speed π·D·n and energy ½·I·ω² with I = ½·m·r² of a solid disc (mechanics, own calculation)"

// LawnCeiling is the energy in joules that the cutting element of an electric grass trimmer may store (ISO 7112, and
// ISO 5395-2 for each pivoting element; read in restatements). It only gives the scale.
const LawnCeiling = 10.0

// EdgeSpeed returns the speed of the teeth in m/s of a blade of so many metres across at so many turns a second.
func EdgeSpeed(diameter, perSecond float64) float64 { return math.Pi * diameter * perSecond }

// StoredEnergy returns the energy in joules of a blade of so many kilograms whose teeth run at so many m/s, taken as
// a solid disc: m v² / 4.
func StoredEnergy(mass, edgeSpeed float64) float64 { return mass * edgeSpeed * edgeSpeed / 4 }

// Rated checks that a blade may run on a spindle: the highest speed marked on the blade is at least the highest
// speed of the spindle (from memory; common to the standards for saw blades). Speeds are in turns a second; 0 or less
// stands for unknown, which is refused like a blade that is too slow.
func Rated(blade, spindle float64) error {
	switch {
	case !(blade > 0) || !(spindle > 0):
		return errors.Join(known("blade", blade), known("spindle", spindle))
	case blade < spindle:
		return fmt.Errorf("the blade is marked for %.0f rpm and the spindle turns at up to %.0f rpm; do not run it", 60*blade, 60*spindle)
	}
	return nil
}

func known(what string, speed float64) error {
	if speed > 0 {
		return nil
	}
	return fmt.Errorf("the highest speed of the %s is not known; do not run it", what)
}
