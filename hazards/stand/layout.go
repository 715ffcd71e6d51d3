package stand

import "math"

// Sources of spacing and plot layout, for printing beside a result.
const (
	SpacingSource = "square spacing 100/√(stems per hectare), geometry; 2 500 and 1 300 stems/ha as in a Swedish stem table (read)"
	RadiusSource  = "radius √(area/π); laid out on the slope it is longer by 1/√cos, so that the plot keeps its area on the map (geometry)"
)

// Density returns the stems per hectare at so many metres apart in squares.
func Density(metres float64) float64 { return hectare / (metres * metres) }

// Spacing returns the side in metres of the square that one of so many stems per hectare has.
func Spacing(perHectare float64) float64 { return math.Sqrt(hectare / perHectare) }

// Triangular returns the metres between neighbours when so many stems per hectare stand in equal triangles: each has
// the area (√3/2)·d².
func Triangular(perHectare float64) float64 {
	return math.Sqrt(2 / math.Sqrt(3) * hectare / perHectare)
}

// Radius returns the radius in metres of a round plot of so many square metres.
func Radius(area float64) float64 { return math.Sqrt(area / math.Pi) }

// SlopeRadius returns the radius in metres to be measured along ground of so many percent of slope, for a plot that holds so
// many square metres on the map: a circle laid out on the slope shrinks on the map by the cosine of the slope.
func SlopeRadius(area, percent float64) float64 {
	return Radius(area) * math.Pow(1+percent*percent/10000, 0.25)
}
