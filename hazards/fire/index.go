package fire

import "math"

// ISI returns the initial spread index from today's FFMC (0 to 101) and the wind in km/h (FTR 33, eq. 24 to 26).
func ISI(ffmc, wind float64, s Scale) float64 {
	m := s.moisture(ffmc)
	litter := 91.9 * math.Exp(-0.1386*m) * (1 + power(m, 5.31)/4.93e7)
	return 0.208 * math.Exp(0.05039*wind) * litter
}

// BUI returns the build-up index from today's DMC and DC, both from 0 (FTR 33, eq. 27).
func BUI(dmc, dc float64) float64 {
	if dmc == 0 {
		return 0
	}
	u := 0.8 * dmc * dc / (dmc + 0.4*dc)
	if dmc > 0.4*dc {
		u = dmc - (1-0.8*dc/(dmc+0.4*dc))*(0.92+power(0.0114*dmc, 1.7))
	}
	return max(u, 0)
}

// FWI returns the fire weather index from today's ISI and BUI, both from 0 (FTR 33, eq. 28 to 30).
func FWI(isi, bui float64) float64 {
	fuel := 0.626*power(bui, 0.809) + 2
	if bui > 80 {
		fuel = 1000 / (25 + 108.64*math.Exp(-0.023*bui))
	}
	b := 0.1 * isi * fuel
	if b <= 1 { // the logarithm below has no power of its own beneath 1
		return b
	}
	return math.Exp(2.72 * power(0.434*math.Log(b), 0.647))
}

// power is x to the y for x not negative and y above 0. It is three times as fast as math.Pow and differs from it by a few
// parts in 10¹⁵, which no carried code shows.
func power(x, y float64) float64 { return math.Exp(y * math.Log(x)) }
