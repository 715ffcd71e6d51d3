package dayplan

import (
	"math"

	"example.org/ringtrue/hazards/fuel"
)

// Regimes of the road by which small loads of petrol are carried.
const (
	RegimeUS  = "US"
	RegimeCA  = "CA"
	RegimeADR = "ADR"
)

// Regime says whose transport limits hold for a place, given as the codes of its line of jurisdictions, its own first
// ("bc", "ca"); "" where no limits were read.
func Regime(line []string) string {
	for _, code := range line {
		switch code {
		case "us":
			return RegimeUS
		case "ca":
			return RegimeCA
		case "eu", "uk": // ADR; for the UK by an authority's petrol page, read
			return RegimeADR
		}
	}
	return ""
}

// petrolDensity is kg a litre: the heaviest of the range in the NIOSH pocket guide, 0.72 to 0.76 (from memory).
const petrolDensity = 0.76

// Load is the fuel one vehicle carries.
type Load struct {
	Litres  float64
	Cans    int
	CanSize float64 // L
	CanMass float64 // kg, empty
}

// full is the gross mass of one full can in kilograms.
func (l Load) full() float64 { return l.CanSize*petrolDensity + l.CanMass }

// gross is the gross mass of all cans in kilograms.
func (l Load) gross() float64 { return l.Litres*petrolDensity + float64(l.Cans)*l.CanMass }

// Compared is one limit beside what the load comes to, in the unit of the limit.
type Compared struct {
	fuel.TransportLimit
	Figure string // what of the load it is about: container_l, container_kg, gross_kg, fuel_l, points
	Value  float64
	Over   bool
}

// figures say what of a load each limit is about. The rows left out are no limits for petrol in cans: packing group I is
// another material, section 1.33 is no exemption for petrol, section 1.35 and limited quantities are other regimes
// with conditions of their own, and the points factor is within the ceiling.
var figures = map[string]figure{
	"max per container (PG II)":                              {"container_l", func(l Load) float64 { return l.CanSize }},
	"aggregate gross weight per vehicle":                     {"gross_kg", Load.gross},
	"max gross mass per container":                           {"container_kg", Load.full},
	"max gross mass of all dangerous goods per road vehicle": {"gross_kg", Load.gross},
	"max total transport category 2 per transport unit":      {"fuel_l", func(l Load) float64 { return l.Litres }},
	"points ceiling":                                         {"points", func(l Load) float64 { return pointsPerLitre * l.Litres }},
	"per packaging ceiling for work-ancillary carriage":      {"container_l", func(l Load) float64 { return l.CanSize }},
}

// figure is one number of a load, with its name.
type figure struct {
	name string
	of   func(Load) float64
}

// CansFor is how many cans of a size hold so much fuel.
func CansFor(litres, canSize float64) int { return up(litres / canSize) }

// pointsPerLitre is the factor of transport category 2 (ADR 1.1.3.6.4, read).
const pointsPerLitre = 3.0

// Vehicle compares a load with every limit of a regime that is about petrol in cans. Nothing is over where it is empty:
// it only says what was compared. Other dangerous goods on the vehicle count towards the same limits and are not
// known here.
func Vehicle(regime string, l Load) []Compared {
	var out []Compared
	for _, limit := range fuel.Transport() {
		f, about := figures[limit.Item]
		if limit.Regime != regime || !about {
			continue
		}
		v := math.Round(f.of(l)*rounding) / rounding
		out = append(out, Compared{limit, f.name, v, v > limit.Value})
	}
	return out
}
