package weather

import (
	"errors"
	"math"
)

// HeatIndexSource names the two texts behind the heat index, for printing beside a result.
const HeatIndexSource = "Rothfusz 1990, NWS Technical Attachment SR 90-23, and the NWS Weather Prediction Center page on the heat index equation (page read)"

// The chart starts at 80 °F; the dry rule, the last to name a temperature, ends at 112 °F. Below 40 °F the weather
// service gives the air temperature instead (from memory), so nothing is answered there.
const (
	heatLow   = 40.0  // °F, from memory
	heatChart = 80.0  // °F, NWS chart
	heatHigh  = 112.0 // °F, NWS page, dry rule
)

// Rules that can make the full heat index differ from the chart.
const (
	RuleNone   = "none"   // the regression as it stands
	RuleSimple = "simple" // mild: half the sum of air temperature and Steadman's simple form
	RuleDry    = "dry"    // lowered below 13 % humidity
	RuleHumid  = "humid"  // raised above 85 % humidity
)

// HeatIndex is the heat index in °F for shade; full sun adds up to 15 °F. Chart is the plain regression that the
// printed chart shows, and InChart is false below 80 °F, where there is none. Adjusted follows the full set of rules,
// and Rule says which one made it.
type HeatIndex struct {
	Chart    float64
	InChart  bool
	Adjusted float64
	Rule     string
}

// HeatIndexOf returns the heat index for air temperature in °F and relative humidity in percent, 0 to 100. It
// refuses temperatures outside 40 to 112 °F.
func HeatIndexOf(tempF, rh float64) (HeatIndex, error) {
	err := errors.Join(
		within("air temperature", tempF, heatLow, heatHigh, "F"),
		within("relative humidity", rh, 0, 100, "%"),
	)
	if err != nil {
		return HeatIndex{}, err
	}
	h := HeatIndex{Chart: rothfusz(tempF, rh), InChart: tempF >= heatChart-rounding}
	h.Adjusted, h.Rule = adjusted(tempF, rh)
	return h, nil
}

// rothfusz is the regression of SR 90-23, ± 1.3 °F.
func rothfusz(t, r float64) float64 {
	return -42.379 + 2.04901523*t + 10.14333127*r - 0.22475541*t*r - 0.00683783*t*t - 0.05481717*r*r +
		0.00122874*t*t*r + 0.00085282*t*r*r - 0.00000199*t*t*r*r
}

// adjusted follows the NWS page: the simple form unless its mean with the air temperature reaches 80 °F, else the
// regression, lowered where it is dry and raised where it is humid.
func adjusted(t, r float64) (float64, string) {
	simple := 0.5 * (t + 61 + 1.2*(t-68) + 0.094*r)
	if mean := (simple + t) / 2; mean < heatChart {
		return mean, RuleSimple
	}
	h := rothfusz(t, r)
	switch {
	case r < 13 && t >= heatChart && t <= heatHigh:
		return h - (13-r)/4*math.Sqrt((17-math.Abs(t-95))/17), RuleDry
	case r > 85 && t >= heatChart && t <= 87:
		return h + (r-85)/10*(87-t)/5, RuleHumid
	}
	return h, RuleNone
}
