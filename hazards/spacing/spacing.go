// Package spacing answers how far everybody else must be from a running clearing saw.
//
// Published distances differ because they answer different questions: how far things are thrown (about 25 ft seen),
// how far others stay away (10, 15, 20 m), how far a falling stem reaches (two tree lengths). So the largest one that
// applies wins, and it says why. Where the height of the tallest stem is not known the answer says so; it is never
// taken to be enough.
package spacing

import (
	"fmt"
	"strconv"

	"example.org/ringtrue/hazards/house"
)

// NotMeasured is said where no height of the tallest stem was told.
const NotMeasured = "tree length not measured today"

// Limit is one more distance that applies, such as a clause read for this jurisdiction: metres, tree lengths, or
// both. Source says where it stands.
type Limit struct {
	Metres      float64
	TreeLengths float64
	Source      string
}

// Need is the distance that wins, in metres, and why. Measured is false where tree lengths could not be counted.
type Need struct {
	Metres   float64
	Why      string
	Measured bool
}

// rounding lets 50 ft pass as 50 ft after conversion.
const rounding = 1e-9

// Needed returns the largest of the stand-off, the tree lengths times the tallest stem, and the local limits. Tallest
// is the height of the tallest stem to be cut in metres, 0 where it is not known.
func Needed(tallest float64, h house.House, local ...Limit) Need {
	limits := append([]Limit{
		{Metres: h.SI(house.StandOff), Source: h.Cite(house.StandOff)},
		{TreeLengths: h.SI(house.TreeLengths), Source: h.Cite(house.TreeLengths)},
	}, local...)
	n := Need{Measured: tallest > 0}
	for _, l := range limits {
		n.take(l.Metres, "stand-off", l.Source)
		n.take(l.TreeLengths*tallest, fmt.Sprintf("%s lengths of a %s m stem", trim(l.TreeLengths), trim(tallest)), l.Source)
	}
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
