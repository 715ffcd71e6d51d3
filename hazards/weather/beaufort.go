package weather

import "math"

// BeaufortSource names where the scale was read, for printing beside a force.
const BeaufortSource = "NWS page on the Beaufort wind scale (mph and knots, read) and two web tables that agree (km/h, read)"

// Force is one row of the Beaufort scale on land. Speeds are whole numbers as printed, at 10 m in the open; those of
// force 12 have no upper end, which is written 0.
type Force struct {
	Force              int
	Name               string
	MphMin, MphMax     int
	KnotsMin, KnotsMax int
	KmhMin, KmhMax     int
	Trees              string // what is seen near trees
}

var beaufort = []Force{
	{0, "Calm", 0, 1, 0, 1, 0, 1, "smoke rises vertically"},
	{1, "Light air", 1, 3, 1, 3, 1, 5, "smoke drifts"},
	{2, "Light breeze", 4, 7, 4, 6, 6, 11, "leaves rustle"},
	{3, "Gentle breeze", 8, 12, 7, 10, 12, 19, "leaves and small twigs move constantly"},
	{4, "Moderate breeze", 13, 18, 11, 16, 20, 28, "small branches move"},
	{5, "Fresh breeze", 19, 24, 17, 21, 29, 38, "small trees begin to sway"},
	{6, "Strong breeze", 25, 31, 22, 27, 39, 49, "large branches in motion"},
	{7, "Near gale", 32, 38, 28, 33, 50, 61, "whole trees in motion"},
	{8, "Gale", 39, 46, 34, 40, 62, 74, "twigs break off trees"},
	{9, "Strong gale", 47, 54, 41, 47, 75, 88, "slight structural damage"},
	{10, "Storm", 55, 63, 48, 55, 89, 102, "trees uprooted"},
	{11, "Violent storm", 64, 72, 56, 63, 103, 117, "widespread damage"},
	{12, "Hurricane", 73, 0, 64, 0, 118, 0, "devastation"},
}

// Beaufort returns the force of a wind in km/h, not negative, rounded to whole km/h first; where two rows share a
// speed, the higher force.
func Beaufort(kmh float64) Force {
	found := beaufort[0]
	for _, f := range beaufort {
		if math.Round(kmh) >= float64(f.KmhMin) {
			found = f
		}
	}
	return found
}
