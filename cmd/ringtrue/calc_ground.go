package main

import (
	"errors"
	"math"
	"time"

	"example.org/ringtrue/hazards/daylight"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

var calcSlope = calculation{
	name:    "slope",
	short:   "Slope in percent and in degrees",
	long:    "percent = 100 tan(degrees). Papers have printed one for the other: 15 degrees are 26.8 %.",
	example: "ringtrue calc slope --percent 38\nringtrue calc slope --degrees 21",
	define: func(in *calcInputs) calcFunc {
		percent := in.number("percent", "%", "38", "slope in percent", meantPercent)
		degrees := in.number("degrees", "deg", "21", "slope in degrees", calcSteepness)
		in.oneOf("percent", "degrees")
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{"percent = 100 tan(degrees), identity"}}
			p, d := *percent, *degrees
			if in.given("percent") {
				d = units.DegreesOfPercent(p)
			} else {
				p = units.PercentOfDegrees(d)
			}
			a.add("percent", p, "%", 1)
			a.add("degrees", d, "deg", 1)
			return a, nil
		}
	},
}

func calcSteepness(degrees float64, _ units.Quantity) error {
	if math.Abs(degrees) >= 90 {
		return errors.New("is no slope; degrees lie between -90 and 90")
	}
	return nil
}

var calcWalk = calculation{
	name:  "walk",
	short: "Walking speed on a slope (Tobler) and least time for a walk (Naismith)",
	long: `Any flag may be left out, though not all; what cannot be computed without it is left out too. speed_kmh and pace_s_per_m want
--slope, minutes wants --slope and --distance, naismith_minutes wants --distance and --climb. A slope downhill is
negative. Fit walkers on a path, nobody carrying anything; the slowest person governs.`,
	example: "ringtrue calc walk --slope -5deg --distance 800m --climb 120m",
	define: func(in *calcInputs) calcFunc {
		steep := in.quantity("slope", units.Slope, "-5deg", "slope along the way, downhill negative", meantPercent)
		distance := in.quantity("distance", units.Length, "800m", "distance on the ground", meantWalk)
		climb := in.quantity("climb", units.Length, "120m", "climb in all", meantClimb)
		in.optional("slope", "distance", "climb")
		in.check(func() error {
			if in.given("slope") || in.given("distance") || in.given("climb") {
				return nil
			}
			return errors.New("nothing is given; write for example --slope -5deg, or --distance 800m with --climb 120m")
		})
		return func() (calcAnswer, error) { return walk(in, steep.SI(), distance.SI(), climb.SI()), nil }
	},
}

func walk(in *calcInputs, percent, metres, climb float64) calcAnswer {
	var a calcAnswer
	if in.given("slope") {
		speed := slope.Tobler(percent)
		a.add("speed_kmh", speed, "km/h", 2)
		a.add("pace_s_per_m", slope.Pace(speed), "s/m", 2)
		a.source = append(a.source, slope.ToblerSource)
		a.note("on a path; off a path multiply the speed by %g", slope.OffPath)
		if math.Abs(percent) > slope.Steep {
			a.note("beyond %g %% the function has no support in data", slope.Steep)
		}
	}
	if in.given("slope") && in.given("distance") {
		a.add("minutes", slope.ToblerMinutes(metres, percent), "min", 0)
	}
	if in.given("distance") && in.given("climb") {
		a.add("naismith_minutes", slope.NaismithMinutes(metres, climb), "min", 0)
		a.source = append(a.source, slope.NaismithSource)
		a.note("naismith_minutes is a least time and counts no descent; the slowest person governs")
	}
	if len(a.results) == 0 {
		a.note("nothing to compute: give --slope, or --distance with --climb")
	}
	return a
}

var calcLight = calculation{
	name:  "light",
	short: "Sunrise, sunset, the sun's noon, and civil twilight",
	long: `Times are clock times in the zone given, for a flat horizon; none in polar day or night. Good to about a minute
within 72 degrees of latitude. Published for 1901 to 2099. Forest, cloud and hills take the light away earlier.`,
	example: "ringtrue calc light --lat 51.5 --lon -0.1333 --date 2026-06-21 --tz +01:00",
	define: func(in *calcInputs) calcFunc {
		lat := in.number("lat", "deg", "51.5", "latitude in degrees, north positive", calcBetween(-90, 90))
		lon := in.number("lon", "deg", "-0.1333", "longitude in degrees, east positive", calcBetween(-180, 180))
		date := in.day("date", "2026-06-21", "day as the zone counts it")
		zone := in.zone("tz", "+01:00", "offset of the clock from UTC")
		return func() (calcAnswer, error) { return light(*date, *lat, *lon, *zone) }
	},
}

// lightLayout is RFC 3339 with the offset always as numbers, as it was asked for.
const lightLayout = "2006-01-02T15:04:05-07:00"

func light(day civil.Day, lat, lon float64, zone *time.Location) (calcAnswer, error) {
	a := calcAnswer{source: []string{daylight.Source}}
	d, err := daylight.Of(day, lat, lon, zone)
	if err != nil {
		return a, err
	}
	for _, e := range []struct {
		name string
		at   time.Time
	}{{"sunrise", d.Sunrise}, {"sunset", d.Sunset}, {"noon", d.Noon}, {"dawn", d.Dawn}, {"dusk", d.Dusk}} {
		if e.at.IsZero() {
			a.add(e.name, nil, "RFC 3339", 0)
			continue
		}
		a.add(e.name, e.at.In(zone).Round(time.Second).Format(lightLayout), "RFC 3339", 0)
		if civil.Of(e.at, zone) != day {
			a.note("%s falls on another day of this zone", e.name)
		}
	}
	for _, n := range []string{sunNote[d.Horizon], twilightNote[d.Twilight]} {
		if n != "" {
			a.note("%s", n)
		}
	}
	if math.Abs(lat) > daylight.AccurateTo {
		a.note("beyond %g degrees of latitude times may be off by up to ten minutes", daylight.AccurateTo)
	}
	a.note("flat horizon and clear sky; forest, cloud and hills take the light earlier")
	return a, nil
}

var sunNote = map[daylight.State]string{
	daylight.StaysAbove: "polar day: the sun does not set, so there is no sunrise and no sunset",
	daylight.StaysBelow: "polar night: the sun does not rise, so there is no sunrise and no sunset",
}

var twilightNote = map[daylight.State]string{
	daylight.StaysAbove: "civil twilight lasts all night: no dawn and no dusk",
	daylight.StaysBelow: "no civil twilight on this day: no dawn and no dusk",
}

var calcBlade = calculation{
	name:  "blade",
	short: "Edge speed and stored energy of a blade",
	long: `The blade is taken as a solid disc. For scale: the cutting element of an electric grass trimmer may store 10 J
(ISO 7112).`,
	example: "ringtrue calc blade --diameter 225mm --speed 9000rpm --mass 350g",
	define: func(in *calcInputs) calcFunc {
		diameter := in.quantity("diameter", units.Length, "225mm", "diameter of the blade", meantDiameter)
		speed := in.quantity("speed", units.Rotation, "9000rpm", "speed of the spindle", meantSpindle)
		mass := in.quantity("mass", units.Mass, "350g", "mass of the blade", meantBlade)
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{kickback.BladeSource}}
			edge := kickback.EdgeSpeed(diameter.SI(), speed.SI())
			a.add("edge_speed_ms", edge, "m/s", 1)
			a.add("energy_j", kickback.StoredEnergy(mass.SI(), edge), "J", 0)
			a.note("%.0f km/h at the teeth", 3.6*edge)
			a.note("a blade runs only where its marked speed is at least the highest speed of the spindle")
			return a, nil
		}
	},
}

var calcMatrix = calculation{
	name:  "matrix",
	short: "Risk level of a severity and a probability (MIL-STD-882E)",
	long: `Severity 1 catastrophic, 2 critical, 3 marginal, 4 negligible; probability A frequent, B probable, C occasional,
D remote, E improbable, F eliminated. Ranks what to talk about first; it does not say that work is safe.`,
	example: "ringtrue calc matrix --severity 2 --probability C",
	define: func(in *calcInputs) calcFunc {
		severity := in.whole("severity", "2", "1, the worst, to 4", calcBetween(1, 4))
		probability := in.word("probability", []string{"A", "B", "C", "D", "E", "F"}, "A, the most likely, to F")
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{risk.MatrixSource}}
			level, err := risk.Of(*severity, (*probability)[0])
			a.add("level", level.String(), "", 0)
			a.note("ranks what to talk about first; it does not say that work is safe")
			return a, err
		}
	},
}
