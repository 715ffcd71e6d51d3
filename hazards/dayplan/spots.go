package dayplan

import (
	"math"

	"example.org/ringtrue/hazards/slope"
)

// Reach is the longest walk to fuel in metres on a slope of so many percent: as far as takes the time of the longest walk on level
// ground (Tobler 1993, up the slope; the choice of rule is company choice).
func Reach(level, percent float64) float64 {
	return level * slope.Tobler(math.Abs(percent)) / slope.Tobler(0)
}

// mostSpots keeps a face that was mistyped from filling the page (company choice).
const mostSpots = 200

// Spots places fuel along a face of so many metres so that nobody walks further to it than reach: metres from its
// beginning, evenly. A face of 0 has none.
func Spots(face, reach float64) []float64 {
	if !(face > 0) || !(reach > 0) {
		return nil
	}
	n := min(mostSpots, max(1, up(face/(2*reach))))
	spots := make([]float64, n)
	for i := range spots {
		spots[i] = face * (float64(i) + 0.5) / float64(n)
	}
	return spots
}

// StripPerTank is the length of strip in metres that one tank thins.
func StripPerTank(area, width float64) float64 { return area / width }
