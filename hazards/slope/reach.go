package slope

import "math"

// CarrySource names what is known of carrying somebody out, for printing beside a result.
const CarrySource = "no published speed was found; 3 miles with a broken ankle took 4 to 8 hours, response included (mountain-rescue column, read)"

// PathMinutes returns the minutes for a distance in metres on a path that keeps to the level (Tobler 1993). People walk to a kit on the
// path to it, not straight up the ground they work.
func PathMinutes(metres float64) float64 { return ToblerMinutes(metres, 0) }

// WalkMinutes returns the minutes for a distance and a climb in metres, by Tobler or by Naismith, whichever takes longer. Climb is
// the difference in height, not negative; the way is walked both ways, so the worse one counts.
func WalkMinutes(metres, climb float64) float64 {
	if metres <= 0 {
		return 0
	}
	p := 100 * climb / metres
	return math.Max(NaismithMinutes(metres, climb), math.Max(ToblerMinutes(metres, p), ToblerMinutes(metres, -p)))
}

// CarryMinutes returns the minutes to carry somebody so many metres at a speed in km/h, above zero.
func CarryMinutes(metres, kmh float64) float64 { return metres * Pace(kmh) / 60 }

// MetresOf is how far somebody walks on the flat, on a path, in so many minutes (Tobler 1993). It turns a walking time on a block
// card into a distance.
func MetresOf(minutes float64) float64 { return minutes * 60 / Pace(Tobler(0)) }
