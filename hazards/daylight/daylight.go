// Package daylight tells when the sun rises and sets, when it stands highest, and when civil twilight begins and ends.
//
// Sunrise and sunset are the moments at which the centre of the sun stands 90.833° from the zenith, which allows for
// refraction and the sun's radius; civil twilight goes to 96°. The sun's place is computed again at each event until
// it holds, since it moves during the day. North of the polar circle there are days without a sunrise or a sunset:
// that is a state, not a time.
//
// Within 72° of latitude the times are good to about a minute (NOAA), for a flat horizon and a clear sky. Forest,
// cloud and hills take the light of a stand well before sunset, so the time to stop is earlier and is for the
// competent person to set.
package daylight

import (
	"errors"
	"fmt"
	"math"
	"time"

	"example.org/ringtrue/training/civil"
)

// Source names where the series was read, for printing beside a result.
const Source = "NOAA solar calculation spreadsheet after Meeus, Astronomical Algorithms (read in a restatement)"

const (
	zenithSunrise = 90.833 // degrees, NOAA: 90° 50′
	zenithCivil   = 96.0   // degrees, civil twilight

	// AccurateTo is the latitude, north or south, up to which times are good to a minute (NOAA).
	AccurateTo = 72.0

	firstYear = 1901 // the NOAA spreadsheet is for 1901 to 2099 (from memory)
	lastYear  = 2099
	rounds    = 5 // of iteration; the third moves an event by less than a second
)

// State says whether the sun crosses an altitude on a day.
type State uint8

// States of a day, for the horizon or for civil twilight.
const (
	Crosses    State = iota
	StaysAbove       // polar day, or twilight all night
	StaysBelow       // polar night
)

// Day is one day of light. Sunrise and Sunset are zero where the sun does not cross the horizon, Dawn and Dusk where
// it does not cross 6° below it.
type Day struct {
	Noon                        time.Time
	Sunrise, Sunset, Dawn, Dusk time.Time
	Horizon, Twilight           State
}

// place is a spot on earth on one day; start is the first instant of the day.
type place struct {
	lat, lon float64
	start    time.Time
	shift    float64 // minutes that bring the sun's noon into the day
}

// Of returns the light around the sun's noon that falls into the day as the zone counts it. Latitude is in degrees
// north, longitude in degrees east. It refuses places off the globe and years outside 1901 to 2099; every problem is
// named.
func Of(day civil.Day, lat, lon float64, zone *time.Location) (Day, error) {
	p := place{lat: lat, lon: lon, start: day.Start(zone)}
	if err := p.check(); err != nil {
		return Day{}, err
	}
	var d Day
	d.Noon = p.noon()
	d.Sunrise, d.Sunset, d.Horizon = p.pair(d.Noon, zenithSunrise)
	d.Dawn, d.Dusk, d.Twilight = p.pair(d.Noon, zenithCivil)
	return d, nil
}

func (p place) check() error {
	var problems []error
	if !(math.Abs(p.lat) <= 90) {
		problems = append(problems, fmt.Errorf("latitude %g is not between -90 and 90", p.lat))
	}
	if !(math.Abs(p.lon) <= 180) {
		problems = append(problems, fmt.Errorf("longitude %g is not between -180 and 180", p.lon))
	}
	if y := p.start.Year(); y < firstYear || y > lastYear {
		problems = append(problems, fmt.Errorf("the year %d lies outside the published range, %d to %d", y, firstYear, lastYear))
	}
	return errors.Join(problems...)
}

// at is a moment so many minutes after the day starts.
func (p place) at(minutes float64) time.Time {
	return p.start.Add(time.Duration(math.Round(minutes * float64(time.Minute))))
}

// transit gives the minute of the sun's noon, with the equation of time as it is at t.
func (p place) transit(t time.Time) float64 {
	_, offset := p.start.Zone()
	return 720 - 4*p.lon - SunAt(t).EquationOfTime + float64(offset)/60 + p.shift
}

// noon brings the sun's noon into the day and refines it.
func (p *place) noon() time.Time {
	m := p.transit(p.at(720))
	p.shift = -1440 * math.Floor(m/1440)
	m += p.shift
	for range rounds {
		m = p.transit(p.at(m))
	}
	return p.at(m)
}

// pair gives the crossings of a zenith distance before and after noon.
func (p place) pair(noon time.Time, zenith float64) (before, after time.Time, s State) {
	before, s = p.crossing(noon, zenith, -4)
	after, later := p.crossing(noon, zenith, +4)
	return before, after, max(s, later)
}

// crossing refines the moment at which the sun stands at a zenith distance; perDegree is minutes for each degree the
// earth turns, negative for the morning.
func (p place) crossing(noon time.Time, zenith, perDegree float64) (time.Time, State) {
	t := noon
	for range rounds {
		sun := SunAt(t)
		c := cos(zenith)/(cos(p.lat)*cos(sun.Declination)) - tan(p.lat)*tan(sun.Declination)
		switch {
		case c > 1:
			return time.Time{}, StaysBelow
		case c < -1:
			return time.Time{}, StaysAbove
		}
		t = p.at(p.transit(t) + perDegree*math.Acos(c)*180/math.Pi)
	}
	return t, Crosses
}
