package weather

import (
	"errors"
	"math"
)

// Sources of wind chill and frostbite, for printing beside a result.
const (
	WindChillCanadaSource = "Meteorological Service of Canada, wind chill calculation chart, 2001 formula (archived government page, read)"
	WindChillUSSource     = "US National Weather Service, wind chill chart, 2001 formula (formula read in restatements)"
	FrostbiteSource       = "Environment Canada, wind chill hazard bands (read in two reproductions)"
)

// Ends of the range of the Canadian wind chill chart, beyond which nothing is answered.
const (
	chillColdest = -50.0 // °C
	chillWarmest = 10.0  // °C, the end of the formula
	ChillLight   = 5.0   // km/h; below it the air temperature counts
	ChillStrong  = 80.0  // km/h
)

// WindChillCanada returns the wind chill index for air temperature in °C and wind in km/h at 10 m in the open. It
// refuses temperatures outside -50 to 10 °C and winds outside 5 to 80 km/h.
func WindChillCanada(tempC, windKmh float64) (float64, error) {
	err := errors.Join(
		within("air temperature", tempC, chillColdest, chillWarmest, "C"),
		within("wind", windKmh, ChillLight, ChillStrong, "km/h"),
	)
	if err != nil {
		return 0, err
	}
	v := math.Pow(windKmh, 0.16)
	return 13.12 + 0.6215*tempC - 11.37*v + 0.3965*tempC*v, nil // chart, 2001 formula
}

// WindChillUS returns the wind chill in °F for air temperature in °F and wind in miles per hour at 33 ft. It refuses
// temperatures outside -45 to 50 °F and winds outside 3 to 60 mph.
func WindChillUS(tempF, windMph float64) (float64, error) {
	err := errors.Join(
		within("air temperature", tempF, -45, 50, "F"), // chart from -45 °F (from memory), formula to 50 °F (from memory)
		within("wind", windMph, 3, 60, "mph"),          // formula from 3 mph (read), chart to 60 mph (from memory)
	)
	if err != nil {
		return 0, err
	}
	v := math.Pow(windMph, 0.16)
	return 35.74 + 0.6215*tempF - 35.75*v + 0.4275*tempF*v, nil // NWS 2001 formula
}

// Band says how soon bare skin can freeze at a wind chill. From and To are whole wind chill values, the milder one
// first; Timed is false where the table gives no minutes.
type Band struct {
	From, To int
	Risk     string
	Timed    bool
	Least    int // minutes
	Most     int // minutes
}

// coldest stands for the open end of the last band.
const coldest = math.MinInt32

// bands is the wind chill hazard table of Environment Canada. Sustained wind over 50 km/h: faster than shown.
var bands = []Band{
	{From: 0, To: -9, Risk: "low"},
	{From: -10, To: -27, Risk: "low (hypothermia if long without protection)"},
	{From: -28, To: -39, Risk: "increasing", Timed: true, Least: 10, Most: 30},
	{From: -40, To: -47, Risk: "high", Timed: true, Least: 5, Most: 10},
	{From: -48, To: -54, Risk: "high", Timed: true, Least: 2, Most: 5},
	{From: -55, To: coldest, Risk: "high", Timed: true, Least: 0, Most: 2},
}

// Frostbite returns the band of a Canadian wind chill index, rounded to a whole number as printed, halves to the
// colder one. There is none above 0.
func Frostbite(windChill float64) (Band, bool) {
	whole := math.Round(windChill)
	for _, b := range bands {
		if whole <= float64(b.From) && whole >= float64(b.To) {
			return b, true
		}
	}
	return Band{}, false
}
