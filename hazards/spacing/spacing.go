// Package spacing answers how far everybody else must be from a running clearing saw.
//
// Published distances differ because they answer different questions: how far things are thrown (about 25 ft seen),
// how far others stay away (10, 15, 20 m), how far a falling stem reaches (two tree lengths). So the largest one that
// applies wins, and it says why. A distance in a clause of the place comes with the edition as a floor of one of the two rules
// (house.House.Under). Where the height of the tallest stem is not known the answer says so; it is never taken to be enough.
package spacing

import (
	"fmt"
	"strconv"

	"example.org/ringtrue/hazards/house"
)

// NotMeasured is said where no height of the tallest stem was told.
const NotMeasured = "tree length not measured today"

// Need is the distance that wins, in metres, and why. Measured is false where tree lengths could not be counted.
type Need struct {
	Metres   float64
	Why      string
	Measured bool
}

// rounding lets 50 ft pass as 50 ft after conversion.
const rounding = 1e-9

// Needed returns the larger of the stand-off and the tree lengths times the tallest stem. Tallest is the height of the
// tallest stem to be cut in metres, 0 where it is not known.
func Needed(tallest float64, h house.House) Need {
	lengths := h.SI(house.TreeLengths)
	n := Need{Measured: tallest > 0}
	n.take(h.SI(house.StandOff), "stand-off", h.Cite(house.StandOff))
	n.take(lengths*tallest, fmt.Sprintf("%s lengths of a %s m stem", trim(lengths), trim(tallest)), h.Cite(house.TreeLengths))
	if !n.Measured {
		n.Why += "; " + NotMeasured
	}
	return n
}

func (n *Need) take(metres float64, what, source string) {
	if metres > n.Metres {
		n.Metres, n.Why = metres, what+", "+source
	}
}

// Short reports whether a kept distance in metres falls short of what is needed.
func (n Need) Short(kept float64) bool { return kept < n.Metres-rounding }

func trim(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
