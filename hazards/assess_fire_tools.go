package hazards

import (
	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

// fireTools: in the months in which a fire class is asked, a crew has a hand tool and water. Without them nobody starts from the class
// moderate on, or where the class is not known (alert of a B.C. advocate of 24 Jun 2022, crews found without water and tools, read).
func (d *day) fireTools() {
	if !d.fireMonths() {
		return
	}
	if !d.answered(FireTools) {
		d.unseen("hand tool and water for fire")
		return
	}
	if !d.bad(FireTools) {
		return
	}
	f := limited{topic: TopicFire, id: FireTools, effect: NeedsControl, line: "no hand tool or water for fire", do: "bring them before the first saw starts", ends: "hand tool and water are with the crew",
		other: "BC Wildfire Regulation s. 5, heading read", what: "Hand tool or water for fire is not with the crew. Bring them before the first saw starts." + d.remark(FireTools)}
	if d.fireSeason() {
		f.effect, f.means = StopSite, NotYet
	}
	d.limit(f)
}

// fireMonths reports whether a fire class is asked today.
func (d *day) fireMonths() bool {
	today, err := civil.Parse(d.in.Sheet.Day)
	return err == nil && FireClassAsked(d.in.Places, d.in.Block.Lat, d.in.House, today) != ""
}

// fireSeason reports whether the class told is moderate or above. In fire months a class that is not told counts so.
func (d *day) fireSeason() bool {
	a := d.answers[FireClass]
	if a.Is != Told {
		return a.Is != NotApplicable && d.fireMonths()
	}
	rank, known := fire.Rank(a.Value)
	return !known || rank >= fire.Moderate || d.fireHigh
}

// paused names the house pause beside a saw that is opened too soon, where the edition in force has one.
func (d *day) paused(id string) string {
	if id != fuel.HotEngine || !d.in.House.Has(house.FuelPause) {
		return ""
	}
	return " (house rule " + d.in.House.Value(house.FuelPause) + ")"
}
