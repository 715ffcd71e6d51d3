package weather

import "math"

// Sources of the two forms of the humidex, for printing beside a result.
const (
	HumidexDewPointSource = "Masterton and Richardson 1979, Environment Canada, dew-point form (read in restatements)"
	HumidexRHSource       = "Environment Canada humidex, relative-humidity form (read in restatements)"
)

// The humidex is quoted from 20 °C up; its chart ends at 43 °C (Government of Canada page and chart, restatements).
const (
	humidexLow  = 20.0 // °C
	humidexHigh = 43.0 // °C
)

// HumidexFromDewPoint returns the humidex for air temperature and dew point in °C, never below the air temperature.
// It refuses air temperatures outside 20 to 43 °C.
func HumidexFromDewPoint(tempC, dewC float64) (float64, error) {
	if err := within("air temperature", tempC, humidexLow, humidexHigh, "C"); err != nil {
		return 0, err
	}
	e := 6.11 * math.Exp(5417.7530*(1/273.16-1/(dewC+273.16))) // hPa, Masterton and Richardson 1979
	return math.Max(tempC, tempC+0.5555*(e-10)), nil
}

// HumidexFromRH returns the humidex for air temperature in °C and relative humidity in percent, 0 to 100, never
// below the air temperature. It refuses air temperatures outside 20 to 43 °C.
func HumidexFromRH(tempC, rh float64) (float64, error) {
	if err := within("air temperature", tempC, humidexLow, humidexHigh, "C"); err != nil {
		return 0, err
	}
	e := 6.112 * math.Pow(10, 7.5*tempC/(237.7+tempC)) * rh / 100 // hPa
	return math.Max(tempC, tempC+5.0/9*(e-10)), nil
}
