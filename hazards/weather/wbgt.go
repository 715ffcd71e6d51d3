package weather

import "math"

// WBGTSource names where the WBGT limits stand, for printing beside a result.
const WBGTSource = "NIOSH 2016-106, section 8.1 (equations read in two quotations; the document was not opened)"

// WBGTLimits returns the NIOSH limits in °C-WBGT for a metabolic rate in watts of the whole person (not per square
// metre), as a mean over one hour: rel for people used to the heat, ral for those who are not. It refuses rates
// outside 115 to 580 W, rest to very heavy work. A metabolic rate is known to 30 % at best (NIOSH), which moves the
// limits by about 1.5 °C; clothing adjustments are added to what was measured, not taken off the limit.
func WBGTLimits(watts float64) (rel, ral float64, err error) {
	if err := within("metabolic rate", watts, 115, 580, "W"); err != nil { // ISO 7243 class 0 to NIOSH Table 5-1 very heavy
		return 0, 0, err
	}
	return 56.7 - 11.5*math.Log10(watts), 59.9 - 14.1*math.Log10(watts), nil // NIOSH 2016-106, 8.1
}
