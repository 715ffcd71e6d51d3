package stand

import "math"

// bisections halve a right angle down to the last bit of a float64.
const bisections = 60

// T95 returns the two-sided 95 % quantile of Student's t for so many degrees of freedom, at least 1: 95 % of the
// distribution lies between -t and t.
func T95(freedom int) float64 {
	low, high := 0.0, math.Pi/2
	for range bisections {
		mid := (low + high) / 2
		if inside(mid, freedom) < 0.95 {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(float64(freedom)) * math.Tan(low)
}

// inside is the share of the distribution between -t and t, as a function of the angle arctan(t/√freedom):
// Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 for odd and 26.7.4 for even degrees of freedom
// (from memory; checked against printed quantiles).
func inside(angle float64, freedom int) float64 {
	c2 := math.Cos(angle) * math.Cos(angle)
	if freedom%2 == 0 {
		return math.Sin(angle) * series(1, 1, c2, freedom/2)
	}
	return 2 / math.Pi * (angle + math.Sin(angle)*series(math.Cos(angle), 2, c2, freedom/2))
}

// series sums so many terms, the first given, each the one before times c2·k/(k+1) for k rising by twos.
func series(term, k, c2 float64, terms int) float64 {
	sum := 0.0
	for range terms {
		sum += term
		term *= c2 * k / (k + 1)
		k += 2
	}
	return sum
}
