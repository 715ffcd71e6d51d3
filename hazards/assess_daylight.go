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
	sun, err := daylight.Of(today, lat, lon, d.in.Now.Location())
	if errLat != nil || errLon != nil || err != nil {
		d.unseen("daylight (the block card names no place on earth)")
		return
	}
	f := limited{topic: TopicWeather, id: "daylight", effect: Watch, rules: []string{house.LightMargin}, other: daylight.Source}
	switch sun.Horizon {
	case daylight.StaysBelow:
		f.effect, f.what, f.ends = StopSite, "The sun does not rise here today. It is too dark for saws.", "the sun rises again"
		d.limit(f)
	case daylight.Crosses:
		d.untilDusk(sun, f)
	}
}

// untilDusk says when the last saw stops. Sheet times are clock times of the day, so events of the next day are late enough.
func (d *day) untilDusk(sun daylight.Day, f limited) {
	out := d.walkOutMinutes()
	margin := time.Duration(d.in.House.SI(house.LightMargin)) * time.Second
	last, _ := sun.LastSaw(margin, time.Duration(out)*time.Minute)
	clock, rise := d.clockOfDay(last), sun.Sunrise.Add(time.Minute-1).Truncate(time.Minute) // seconds are rounded to the safe side
	f.what = fmt.Sprintf("Sunrise %s, sunset %s%s. The last saw stops at %s: %s before sunset for trees and cloud, %s to walk out.",
		rise.Format("15:04"), sun.Sunset.Format("15:04"), twilight(sun), clock, span(margin.Minutes()), span(out))
	f.ends = "the next sunrise"
	switch {
	case d.in.Sheet.At >= clock:
		f.effect = StopSite
	case d.in.Sheet.At < d.clockOfDay(rise):
		f.what += " No saw before sunrise."
		f.ends = "sunrise at " + rise.Format("15:04")
	}
	if f.effect == Watch {
		f.what += fmt.Sprintf(" %s of working light are left.", span(float64(minuteOf(clock)-max(minuteOf(d.in.Sheet.At), minuteOf(d.clockOfDay(rise))))))
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
