package daylight

import (
	"math"
	"time"
)

// Sun is where the sun stands at a moment.
type Sun struct {
	Declination    float64 // degrees, north positive
	EquationOfTime float64 // minutes, sundial ahead of the clock positive
}

func sin(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
func cos(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }
func tan(deg float64) float64 { return math.Tan(deg * math.Pi / 180) }

// SunAt follows the NOAA spreadsheet, which carries the series of Meeus, Astronomical Algorithms, ch. 25 and 28. All
// constants are its own (read in a restatement); angles are degrees. Universal time stands for dynamical time: the
// minute between them moves the sun by a hundred-thousandth of a degree.
func SunAt(t time.Time) Sun {
	c := centuries(t)
	node := 125.04 - 1934.136*c // longitude of the moon's ascending node
	long := math.Mod(280.46646+c*(36000.76983+c*0.0003032), 360)
	anomaly := 357.52911 + c*(35999.05029-0.0001537*c)
	centre := sin(anomaly)*(1.914602-c*(0.004817+0.000014*c)) + sin(2*anomaly)*(0.019993-0.000101*c) + sin(3*anomaly)*0.000289
	apparent := long + centre - 0.00569 - 0.00478*sin(node)
	seconds := 21.448 - c*(46.815+c*(0.00059-c*0.001813))
	tilt := 23 + (26+seconds/60)/60 + 0.00256*cos(node)
	eccentricity := 0.016708634 - c*(0.000042037+0.0000001267*c)
	return Sun{
		Declination:    math.Asin(sin(tilt)*sin(apparent)) * 180 / math.Pi,
		EquationOfTime: equationOfTime(long, anomaly, eccentricity, tilt),
	}
}

// centuries counts Julian centuries since 2000-01-01 12:00.
func centuries(t time.Time) float64 {
	days := float64(t.UnixMilli())/86400000 + 2440587.5 - 2451545
	return days / 36525
}

// equationOfTime is Smart's series, Meeus eq. 28.3, in minutes.
func equationOfTime(long, anomaly, e, tilt float64) float64 {
	y := tan(tilt/2) * tan(tilt/2)
	rad := y*sin(2*long) - 2*e*sin(anomaly) + 4*e*y*sin(anomaly)*cos(2*long) - 0.5*y*y*sin(4*long) - 1.25*e*e*sin(2*anomaly)
	return 4 * rad * 180 / math.Pi
}
