// Package exposure adds up a day of noise and of hand-arm vibration, and derates hearing protectors.
//
// Noise is told as A-weighted levels with the time at each. Two criteria are kept apart because they are eight times
// apart at 100 dBA: OSHA (90 dBA for 8 hours, 5 dB exchange) is law in the USA, NIOSH (85 dBA, 3 dB) is a
// recommendation; other countries mostly use 85 dBA and 3 dB with limits of their own. A criterion is never mixed:
// level and exchange rate come together.
//
// Vibration is told as the total value of three axes in m/s² with the time at each. Minutes to the action value come
// first; the limit is only ever "never beyond". Declared values of a machine are uncertain by 40 % and more.
//
// A sum here is a plan for the day or what was told of it; it is not a measurement.
package exposure

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/units"
)

// Exposure is a noise level or a vibration and how long somebody was in it.
type Exposure struct {
	Of  units.Quantity // dBA, or an acceleration
	For units.Quantity // a time
}

// Hours is how long it lasted.
func (e Exposure) Hours() float64 {
	if e.For.Unit == "h" {
		return e.For.Value
	}
	return e.For.SI() / 3600
}

// String writes the exposure as it is read: "95dBA:2h".
func (e Exposure) String() string { return e.Of.String() + ":" + e.For.String() }

// ParseNoise reads an A-weighted level and a time, "95dBA:2h". A level without its weighting is refused: 97 dBC and
// 97 dBA are not the same noise. Errors join what is wrong with either part.
func ParseNoise(s string) (Exposure, error) {
	e, err := parse(s, units.Level, "95dBA:2h")
	if err == nil && e.Of.Unit != "dBA" {
		return Exposure{}, fmt.Errorf("%q is not A-weighted; write the level in dBA, for example 95dBA:2h", s)
	}
	return e, err
}

// ParseVibration reads an acceleration and a time, "5m/s2:3h". Errors join what is wrong with either part.
func ParseVibration(s string) (Exposure, error) { return parse(s, units.Acceleration, "5m/s2:3h") }

func parse(s string, d units.Dimension, example string) (Exposure, error) {
	of, long, ok := strings.Cut(s, ":")
	if !ok {
		return Exposure{}, fmt.Errorf("%q has no time; write for example %s", s, example)
	}
	q, errOf := notNegative(of, d)
	t, errFor := notNegative(long, units.Time)
	if err := errors.Join(errOf, errFor); err != nil {
		return Exposure{}, err
	}
	return Exposure{q, t}, nil
}

func notNegative(s string, d units.Dimension) (units.Quantity, error) {
	q, err := units.Parse(s, d)
	if err == nil && q.Value < 0 {
		err = fmt.Errorf("%q is negative; write for example %s", s, units.Example(d))
	}
	return q, err
}
