package main

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/weather"
)

var calcWindChill = calculation{
	name:  "windchill",
	short: "Wind chill, and how soon bare skin can freeze",
	long: `The unit of --temp picks the formula: C the Canadian, F that of the USA (both 2001), and the unit of the result.
Published for -50 to 10C with 5 to 80km/h, and for -45 to 50F with 3 to 60mph. Wind is that at 10 m in the open.`,
	example: "ringtrue calc windchill --temp -20C --wind 30km/h\nringtrue calc windchill --temp 0F --wind 15mph",
	define: func(in *calcInputs) calcFunc {
		temp := in.temperature("temp", "-20C", "air temperature")
		wind := in.quantity("wind", units.Speed, "30km/h", "wind at 10 m in the open", calcNotNegative)
		return func() (calcAnswer, error) { return windChill(*temp, *wind) }
	},
}

func windChill(temp, wind units.Quantity) (calcAnswer, error) {
	a := calcAnswer{source: []string{weather.WindChillCanadaSource}}
	formula := func() (float64, error) { return weather.WindChillCanada(temp.Value, calcAs(wind, "km/h")) }
	if temp.Unit == "F" {
		a.source[0] = weather.WindChillUSSource
		formula = func() (float64, error) { return weather.WindChillUS(temp.Value, calcAs(wind, "mph")) }
	}
	chill, err := formula()
	if err != nil {
		return a, err
	}
	a.add("wind_chill", chill, temp.Unit, 0)
	band, ok := weather.Frostbite(units.Quantity{Value: chill, Unit: temp.Unit, Dim: units.Temperature}.SI())
	if ok && band.Timed {
		a.note("frostbite risk %s: bare skin can freeze in %d to %d minutes, faster in steady wind over 50 km/h", band.Risk, band.Least, band.Most)
		a.source = append(a.source, weather.FrostbiteSource)
	}
	return a, nil
}

var calcHumidex = calculation{
	name:  "humidex",
	short: "Humidex, the Canadian measure of humid heat in shade",
	long: `Give relative humidity or dew point; each uses its own published form. Published for air of 20 to 43C. Never
below the air temperature. Never compare a humidex with a WBGT limit.`,
	example: "ringtrue calc humidex --temp 30C --rh 70\nringtrue calc humidex --temp 30C --dewpoint 15C",
	define: func(in *calcInputs) calcFunc {
		temp := in.temperature("temp", "30C", "air temperature")
		rh := in.number("rh", "%", "70", "relative humidity in percent", calcBetween(0, 100))
		dew := in.quantity("dewpoint", units.Temperature, "15C", "dew point, instead of --rh", meantDewPoint)
		in.oneOf("rh", "dewpoint")
		in.check(func() error {
			if in.understood("temp", "dewpoint") && celsius(*dew) > celsius(*temp) {
				return fmt.Errorf("--dewpoint: %s is above the air temperature, %s; write at most that", dew, temp)
			}
			return nil
		})
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{weather.HumidexRHSource}}
			a.note("for shade; humidex is not a WBGT and has no unit of its own")
			formula := func() (float64, error) { return weather.HumidexFromRH(celsius(*temp), *rh) }
			if in.given("dewpoint") {
				a.source[0] = weather.HumidexDewPointSource
				formula = func() (float64, error) { return weather.HumidexFromDewPoint(celsius(*temp), celsius(*dew)) }
			}
			h, err := formula()
			a.add("humidex", h, "C", 1)
			return a, err
		}
	},
}

var calcHeatIndex = calculation{
	name:  "heatindex",
	short: "Heat index of the US weather service, for shade",
	long: `heat_index is the plain regression that the printed chart shows, none below 80F; heat_index_adjusted follows the
whole set of rules. The results are in the unit of --temp. Answers for air of 40 to 112F. Full sun adds up to
15F. Never compare a heat index with a WBGT limit.`,
	example: "ringtrue calc heatindex --temp 90F --rh 70",
	define: func(in *calcInputs) calcFunc {
		temp := in.temperature("temp", "90F", "air temperature")
		rh := in.number("rh", "%", "70", "relative humidity in percent", calcBetween(0, 100))
		return func() (calcAnswer, error) { return heatIndex(*temp, *rh) }
	},
}

func heatIndex(temp units.Quantity, rh float64) (calcAnswer, error) {
	a := calcAnswer{source: []string{weather.HeatIndexSource}}
	h, err := weather.HeatIndexOf(fahrenheit(temp), rh)
	if err != nil {
		return a, err
	}
	if h.InChart {
		a.add("heat_index", likeInput(h.Chart, temp), temp.Unit, 0)
	} else {
		a.add("heat_index", nil, temp.Unit, 0)
		a.note("the chart starts at 80 F")
	}
	a.add("heat_index_adjusted", likeInput(h.Adjusted, temp), temp.Unit, 0)
	if h.Rule != weather.RuleNone {
		a.note("heat_index_adjusted follows the rule: %s", h.Rule)
	}
	a.note("for shade; full sun adds up to 15 F; not a WBGT")
	return a, nil
}

var calcWBGT = calculation{
	name:  "wbgt",
	short: "WBGT limits for a metabolic rate (NIOSH)",
	long: `rel is for people used to the heat, ral for those who are not, as means over one hour. Published for 115 to 580W
of the whole person, not per square metre.`,
	example: "ringtrue calc wbgt --metabolic 300W",
	define: func(in *calcInputs) calcFunc {
		watts := in.quantity("metabolic", units.Power, "300W", "metabolic rate of the whole person", calcNotNegative)
		return func() (calcAnswer, error) {
			a := calcAnswer{source: []string{weather.WBGTSource}}
			rel, ral, err := weather.WBGTLimits(calcAs(*watts, "W"))
			a.add("rel", rel, "C", 1)
			a.add("ral", ral, "C", 1)
			a.note("metabolic rates are known to 30 %% at best, about 1.5 C on the limit; clothing adjustments are added to what is measured")
			return a, err
		}
	},
}

var calcFWI = calculation{
	name:  "fwi",
	short: "One day of the Canadian fire weather index",
	long: `Weather is that of noon local standard time, with wind at 10 m in the open and the rain of the past 24 hours; the
three codes are yesterday's, 85, 6 and 15 at the start of a season. Carry the codes on unrounded (--json), and
fill missing days: never start again in a season.`,
	example: "ringtrue calc fwi --temp 17C --rh 42 --wind 25km/h --rain 0mm --month 4 --ffmc 85 --dmc 6 --dc 15",
	define: func(in *calcInputs) calcFunc {
		temp := in.quantity("temp", units.Temperature, "17C", "air temperature at noon", meantNoonAir)
		rh := in.number("rh", "%", "42", "relative humidity at noon in percent", calcBetween(0, 100))
		wind := in.quantity("wind", units.Speed, "25km/h", "wind at noon, 10 m in the open", meantWind)
		rain := in.quantity("rain", units.Length, "0mm", "rain of the past 24 hours", meantDayRain)
		month := in.whole("month", "4", "month of the year", calcBetween(1, 12))
		ffmc := in.number("ffmc", "", "85", "yesterday's fine fuel moisture code", calcBetween(0, 101))
		dmc := in.number("dmc", "", "6", "yesterday's duff moisture code", meantDuff)
		dc := in.number("dc", "", "15", "yesterday's drought code", meantDrought)
		latitude := in.number("latitude", "deg", "46", "latitude in degrees, north positive; 46 where not given", calcBetween(-90, 90))
		in.optional("latitude")
		return func() (calcAnswer, error) {
			day := fire.Weather{Month: time.Month(*month), Temp: celsius(*temp), RH: *rh, Wind: calcAs(*wind, "km/h"), Rain: calcAs(*rain, "mm")}
			where := *latitude
			if !in.given("latitude") {
				where = fire.DefaultLatitude
			}
			return fireDay(day, fire.Codes{FFMC: *ffmc, DMC: *dmc, DC: *dc}, where)
		}
	},
}

func fireDay(day fire.Weather, yesterday fire.Codes, latitude float64) (calcAnswer, error) {
	a := calcAnswer{source: []string{fire.Source, fire.ClassesSource}}
	today, err := fire.Step(day, yesterday, latitude)
	if err != nil {
		return a, err
	}
	a.add("ffmc", today.FFMC, "", 1)
	a.add("dmc", today.DMC, "", 1)
	a.add("dc", today.DC, "", 1)
	a.add("isi", today.ISI, "", 1)
	a.add("bui", today.BUI, "", 1)
	a.add("fwi", today.FWI, "", 1)
	var classes []string
	for _, s := range fire.Schemes() {
		classes = append(classes, s.Name+" "+s.Of(today.FWI).Name)
	}
	a.note("day lengths for latitude %g", latitude)
	a.note("FWI classes by scheme: %s; the fire agency's own class wins when it is stricter", strings.Join(classes, ", "))
	return a, nil
}
