package hazards

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"example.org/ringtrue/hazards/daylight"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

// light is computed from the block's coordinates, never asked: no saw before sunrise, and none so late that the walk-out is in the
// dark.
func (d *day) light() {
	today, err := civil.Parse(d.in.Sheet.Day)
	if err != nil || !d.ruled("daylight", house.LightMargin) {
		return
	}
	lat, errLat := strconv.ParseFloat(d.in.Block.Lat, 64)
	lon, errLon := strconv.ParseFloat(d.in.Block.Lon, 64)
	zone, away := d.zoneAt(today, lon)
	sun, err := daylight.Of(today, lat, lon, zone)
	if errLat != nil || errLon != nil || err != nil {
		d.unseen("daylight (the block card names no place on earth)")
		return
	}
	f := limited{topic: TopicWeather, id: "daylight", effect: Watch, rules: []string{house.LightMargin}, other: daylight.Source}
	if away {
		f.what = " The book's clock is not that of this place; the place's own is taken, sunrise as on summer time."
		sun.Sunrise = sun.Sunrise.Add(time.Hour)
	}
	switch sun.Horizon {
	case daylight.StaysBelow:
		f.effect, f.what, f.ends = StopSite, "The sun does not rise here today. It is too dark for saws.", "the sun rises again"
		f.line, f.do = "the sun does not rise here today", "no saws today"
		d.limit(f)
	case daylight.Crosses:
		d.untilDusk(sun, f)
	}
}

// mostAway is how far the book's clock may be from the sun's before it cannot be that of the place: summer time and wide zones come to
// three hours (company choice).
const mostAway = 4 * time.Hour

// zoneAt is the zone in which the clock times of a place are told: the book's, or where that is far from the place - a book kept in UTC,
// say - the one that follows from its longitude.
func (d *day) zoneAt(today civil.Day, lon float64) (zone *time.Location, away bool) {
	zone = d.in.Now.Location()
	_, book := today.Start(zone).Add(12 * time.Hour).Zone()
	place := int(math.Round(lon/15)) * 3600
	off := time.Duration(book-place) * time.Second
	if off.Abs() <= mostAway || off.Abs() >= 24*time.Hour-mostAway {
		return zone, false
	}
	return time.FixedZone("", place), true
}

// untilDusk says when the last saw stops. Sheet times are clock times of the day, so events of the next day are late enough.
func (d *day) untilDusk(sun daylight.Day, f limited) {
	out := d.walkOutMinutes()
	margin := time.Duration(d.in.House.SI(house.LightMargin)) * time.Second
	last, _ := sun.LastSaw(margin, time.Duration(out)*time.Minute)
	clock, sunrise := d.clockOfDay(last), sun.Sunrise.Add(time.Minute-1).Truncate(time.Minute) // seconds are rounded to the safe side
	rise := d.clockOfDay(sunrise)
	f.what = fmt.Sprintf("Sunrise %s, sunset %s%s. The last saw stops at %s: %s before sunset for trees and cloud, %s to walk out.",
		sunrise.Format("15:04"), sun.Sunset.Format("15:04"), twilight(sun), clock, span(margin.Minutes()), span(out)) + f.what
	by, seen := d.in.Sheet.groundSeen()
	switch at := d.in.Sheet.At; {
	case at >= clock:
		f.effect, f.ends = StopSite, "the next sunrise"
		f.line, f.do = "the last saw stops at "+clock, "no saws before the next sunrise"
	case at < rise:
		f.effect, f.until, f.line, f.do = StopSite, rise, "not before "+rise+", sunrise", "then somebody named answers the ground questions again in daylight"
		f.what += " No saw before " + rise + ". Then somebody named answers the ground questions again, in daylight; nothing else ends this."
		f.ends = "the ground questions are answered again in daylight, not before " + rise
	case seen < rise:
		f.effect, f.means, f.line, f.do = StopSite, NotYet, "the ground was answered in the dark, at "+seen, "somebody named answers the ground questions again in daylight"
		f.what += fmt.Sprintf(" %s answered for the ground at %s, before sunrise. Somebody named answers the ground questions again, in daylight.", upperFirst(d.name(by)), seen)
		f.ends = "the ground questions are answered again in daylight"
	default:
		f.line = "the last saw stops at " + clock
		f.what += fmt.Sprintf(" %s of working light are left.", span(float64(minuteOf(clock)-minuteOf(at))))
		f.ends = "the next sunrise"
		d.endBy(clock)
		d.watchFor("the light goes, at the latest at %s (%s)", clock, d.short(house.LightMargin))
	}
	d.limit(f)
}

// twilight says when civil twilight begins and ends, where it does.
func twilight(sun daylight.Day) string {
	if sun.Twilight != daylight.Crosses {
		return ""
	}
	return fmt.Sprintf(", civil twilight from %s to %s", sun.Dawn.Add(time.Minute-1).Format("15:04"), sun.Dusk.Format("15:04"))
}

// clockOfDay writes a moment as a clock time of the sheet's day; what lies on another day is its beginning or end.
func (d *day) clockOfDay(t time.Time) string {
	switch day := t.Format(time.DateOnly); {
	case day < d.in.Sheet.Day:
		return "00:00"
	case day > d.in.Sheet.Day:
		return "23:59"
	}
	return t.Format("15:04")
}

// walkOutMinutes is the longer of the walking time on the card and that of the way told today.
func (d *day) walkOutMinutes() float64 {
	minutes := 0.0
	if v, err := units.Parse(d.in.Block.Walk, units.Time); err == nil {
		minutes = v.SI() / 60
	}
	metres, told := d.value(WalkOut)
	if !told {
		return minutes
	}
	climb, _ := d.value(WalkClimb)
	return math.Max(minutes, math.Ceil(slope.WalkMinutes(metres, climb)))
}
