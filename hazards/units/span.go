package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// people's words for what is measured, where the name of the dimension is none of theirs.
var spoken = map[Dimension]string{
	Burn: "fuel burnt in an hour", Rotation: "turning speed", Acceleration: "vibration", Mass: "weight", Power: "effort in watts", Density: "stems on an area",
}

// Spoken says what a dimension measures in words for a sentence.
func Spoken(d Dimension) string {
	if word, ok := spoken[d]; ok {
		return word
	}
	return string(d)
}

// wrongUnit refuses a unit that is none of the dimension. Parts of a whole and pieces have no unit to choose.
func wrongUnit(name string, d Dimension) error {
	switch d {
	case Share:
		return fmt.Errorf("%q does not stand behind a percentage; write for example %s", name, Example(d))
	case Count:
		return fmt.Errorf("%q does not stand behind a plain number; write for example %s", name, Example(d))
	}
	return fmt.Errorf("%q is not a unit of %s; use %s", name, Spoken(d), Names(d))
}

// Of writes a value in the base unit of a dimension as a quantity in one of its units.
func Of(si float64, d Dimension, unit string) Quantity {
	q := Quantity{Value: si, Unit: unit, Dim: d}
	switch u := table[d][unit]; {
	case d == Slope && unit == "deg":
		q.Value = DegreesOfPercent(si)
	case d == Temperature && unit == "F":
		q.Value = si*1.8 + 32
	case u.factor != 0:
		q.Value = si / u.factor
	}
	return q
}

// Span writes from where to where a quantity lies, in the unit of like and to three digits: "0 to 100 %", "0 to 12 h". The ends are in
// the base unit.
func Span(low, high float64, like Quantity) string {
	from, to := Of(low, like.Dim, like.Unit), Of(high, like.Dim, like.Unit)
	return strings.TrimSpace(fmt.Sprintf("%s to %s %s", short(from.Value), short(to.Value), like.Unit))
}

// short writes a number to three digits and in full where it has more before the point.
func short(v float64) string {
	if v == 0 || math.Abs(v) >= 100 {
		return strconv.FormatFloat(math.Round(v)+0, 'f', -1, 64)
	}
	digits := math.Pow10(2 - int(math.Floor(math.Log10(math.Abs(v)))))
	return strconv.FormatFloat(math.Round(v*digits)/digits, 'f', -1, 64)
}
