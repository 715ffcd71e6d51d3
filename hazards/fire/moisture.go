package fire

import "math"

// Scale is the constant that ties the FFMC to the moisture of litter in percent.
type Scale float64

// Two values are in use. The reports print the first and it made the published sample run; the second makes a fuel
// moisture of 250 % exactly FFMC 0. They differ by up to 0.28 FWI on that run.
const (
	Reports Scale = 147.2            // FTR 33
	Exact   Scale = 250 * 59.5 / 101 // as one later implementation has it
)

// moisture turns an FFMC into the moisture of litter in percent (FTR 33, eq. 1).
func (s Scale) moisture(ffmc float64) float64 { return float64(s) * (101 - ffmc) / (59.5 + ffmc) }

// code turns the moisture of litter in percent into an FFMC, 0 to 101 (FTR 33, eq. 10).
func (s Scale) code(moisture float64) float64 {
	return min(max(59.5*(250-moisture)/(float64(s)+moisture), 0), 101)
}

const (
	ffmcRain = 0.5   // mm; rain up to here does not wet litter (FTR 33)
	wettest  = 250.0 // percent moisture, the most litter holds (FTR 33)
	drenched = 150.0 // percent moisture above which rain adds more (FTR 33)
)

// FFMC returns today's fine fuel moisture code from the weather and yesterday's code, 0 to 101.
func FFMC(w Weather, yesterday float64, s Scale) float64 {
	m := wetted(s.moisture(yesterday), w.Rain)
	warm := 0.18 * (21.1 - w.Temp) * (1 - math.Exp(-0.115*w.RH))
	damp := math.Exp((w.RH - 100) / 10)
	air := math.Log(w.RH)
	dry := 0.942*math.Exp(0.679*air) + 11*damp + warm // where drying ends
	wet := 0.618*math.Exp(0.753*air) + 10*damp + warm // where wetting ends
	switch {
	case m > dry:
		m = dry + (m-dry)*math.Exp(-math.Ln10*rate(w, w.RH/100))
	case m < wet:
		m = wet - (wet-m)*math.Exp(-math.Ln10*rate(w, (100-w.RH)/100))
	}
	return s.code(m)
}

// wetted is the moisture of litter after rain in mm (FTR 33, eq. 3).
func wetted(m, rain float64) float64 {
	if rain <= ffmcRain {
		return m
	}
	r := rain - ffmcRain
	after := m + 42.5*r*math.Exp(-100/(251-m))*(1-math.Exp(-6.93/r))
	if m > drenched {
		after += 0.0015 * (m - drenched) * (m - drenched) * math.Sqrt(r)
	}
	return min(after, wettest)
}

// rate is the log drying or wetting rate per day (FTR 33, eq. 6 and 7); share is the humidity as a share of one for
// drying, what it lacks of one for wetting.
func rate(w Weather, share float64) float64 {
	fourth := share * share * share * share
	k := 0.424*(1-power(share, 1.7)) + 0.0694*math.Sqrt(w.Wind)*(1-fourth*fourth)
	return 0.581 * k * math.Exp(0.0365*w.Temp)
}

const (
	dmcRain    = 1.5  // mm; rain up to here does not wet duff (FTR 33)
	dmcColdest = -1.1 // °C; colder counts as this (FTR 33)
	dcRain     = 2.8  // mm; rain up to here does not wet the deep layer (FTR 33)
	dcColdest  = -2.8 // °C; colder counts as this (FTR 33)
)

// DMC returns today's duff moisture code from the weather, yesterday's code and the latitude in degrees.
func DMC(w Weather, yesterday, latitude float64) float64 {
	dried := 1.894 * (max(w.Temp, dmcColdest) + 1.1) * (100 - w.RH) * dmcDayLength(latitude, w.Month) * 1e-4
	return dmcAfterRain(yesterday, w.Rain) + dried
}

// dmcAfterRain follows the listing that made the sample run: 1/43.43 rounded to 0.023. The printed equation (20 +
// e^(5.6348 - P/43.43)) changes the last digit of 17 of its 49 DMC values.
func dmcAfterRain(p, rain float64) float64 {
	if rain <= dmcRain {
		return p
	}
	wet := 20 + 280/math.Exp(0.023*p)
	r := 0.92*rain - 1.27
	wet += 1000 * r / (48.77 + dmcSlope(p)*r)
	return max(43.43*(5.6348-math.Log(wet-20)), 0)
}

// dmcSlope is the slope variable of the rain effect (FTR 33, eq. 13).
func dmcSlope(p float64) float64 {
	switch {
	case p <= 33:
		return 100 / (0.5 + 0.3*p)
	case p <= 65:
		return 14 - 1.3*math.Log(p)
	}
	return 6.2*math.Log(p) - 17.2
}

// DC returns today's drought code from the weather, yesterday's code and the latitude in degrees.
func DC(w Weather, yesterday, latitude float64) float64 {
	dried := max(0.36*(max(w.Temp, dcColdest)+2.8)+dcDayLength(latitude, w.Month), 0)
	return dcAfterRain(yesterday, w.Rain) + dried/2
}

func dcAfterRain(d, rain float64) float64 {
	if rain <= dcRain {
		return d
	}
	held := 800*math.Exp(-d/400) + 3.937*(0.83*rain-1.27) // FTR 33, eq. 18 to 20
	return max(400*math.Log(800/held), 0)
}
