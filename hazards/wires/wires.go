// Package wires says how far a stem that is cut has to stand from a power wire.
//
// A stem falls one length, and may be thrown or roll another; the tip must then still be outside the limit of approach of the voltage.
// Hence two lengths and the limit (a company procedure in British Columbia, read). A voltage that nobody has asked for counts as the
// highest of the table. The word of the line's owner goes before all of this.
package wires

// Limit is the limit of approach for a span of voltages: above Over, up to UpTo, in volts; Metres is how near anybody or anything may come.
type Limit struct {
	Over, UpTo float64
	Metres     float64
}

// limits is Table 19-1A of the B.C. Occupational Health and Safety Regulation, general limits of approach (read).
var limits = []Limit{
	{750, 75e3, 3},
	{75e3, 250e3, 4.5},
	{250e3, 550e3, 6},
}

// Source names where the limits come from.
const Source = "B.C. Reg. 296/97 Table 19-1A (read); two lengths and the limit: a company procedure in British Columbia (read)"

// Limits returns the table. The slice is the caller's.
func Limits() []Limit { return append([]Limit(nil), limits...) }

// LimitOf is the limit of approach of a voltage in volts, in metres. Below the table the least of it holds, since a house service kills
// as well (company choice); above the table, and where the voltage is not known, the largest.
func LimitOf(volts float64, known bool) float64 {
	for _, l := range limits {
		if known && volts <= l.UpTo {
			return l.Metres
		}
	}
	return limits[len(limits)-1].Metres
}

// lengths of the stem that fit between it and the wire.
const lengths = 2

// Needed is how far from a wire a stem of so many metres has to stand, in metres.
func Needed(tallest, limit float64) float64 { return lengths*tallest + limit }
