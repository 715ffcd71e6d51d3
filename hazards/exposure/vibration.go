package exposure

import "math"

// VibrationSource names where the vibration rules were read, for printing beside a result.
const VibrationSource = "Directive 2002/44/EC Art. 3(1) (quotation read) and the UK HSE exposure-points page (read)"

// Daily exposure values, Directive 2002/44/EC Art. 3(1), and the same in points, HSE.
const (
	Action       = 2.5 // m/s² A(8)
	Limit        = 5.0 // m/s² A(8)
	ActionPoints = 100 // HSE
	LimitPoints  = 400 // HSE
)

// The HSE table ends at these (page read).
const (
	MostVibration = 40.0 // m/s²
	MostHours     = 10.0 // in one exposure
)

// Points returns the HSE exposure points of several exposures: 2 a² t each, a in m/s² and t in hours.
func Points(list []Exposure) float64 {
	sum := 0.0
	for _, e := range list {
		sum += 2 * e.Of.SI() * e.Of.SI() * e.Hours()
	}
	return sum
}

// A8 returns the daily exposure in m/s² of several exposures: the root of the sum of a² t / 8 h (ISO 5349-1, from
// memory; it agrees with the points).
func A8(list []Exposure) float64 { return math.Sqrt(Points(list) / 16) }

// HoursTo returns how long a vibration in m/s², above 0, may last from zero until a daily exposure, Action or Limit,
// is reached.
func HoursTo(daily, a float64) float64 { return 8 * (daily / a) * (daily / a) }

// Zone says where points stand against the two values, as the ready-reckoner shades them.
func Zone(points float64) string {
	switch {
	case points < ActionPoints:
		return "below-action"
	case points == ActionPoints:
		return "at-action"
	case points < LimitPoints:
		return "action-to-limit"
	case points == LimitPoints:
		return "at-limit"
	}
	return "above-limit"
}

// WithinTable reports whether an exposure stands inside the published table.
func WithinTable(e Exposure) bool { return e.Of.SI() <= MostVibration && e.Hours() <= MostHours }
