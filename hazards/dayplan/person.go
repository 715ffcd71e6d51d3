package dayplan

import (
	"math"

	"example.org/ringtrue/hazards/exposure"
)

// Person is one worker with the figures of the saw they have.
type Person struct {
	Worker    string
	Saw       string
	Vibration float64 // m/s², the total of three axes, as it counts
	Noise     float64 // dBA at the ear, without protection
}

// Times are the hours to the daily values of one saw, as the morning check has them; +Inf where none is reached.
type Times struct {
	Action, Limit           float64 // vibration
	NoiseAction, NoiseLimit float64 // of the place, nothing worn
}

// Trigger is one person's time at the trigger. Minutes without an end are -1. The action value comes first; the limit is
// only ever "never beyond".
type Trigger struct {
	Person
	Planned     int // minutes of the plan, the engine taken to run at work all the time
	Action      int // minutes to the action value for vibration
	Limit       int // minutes never to go beyond
	NoiseAction int // minutes to the action value for noise of the place, without protection
	NoiseLimit  int // minutes to its limit, without protection
	OSHA        int // minutes to a full dose of noise without protection, 90 dBA and 5 dB
	NIOSH       int // the same at 85 dBA and 3 dB, a recommendation
}

// Beyond says which exposure value the planned minutes pass: "limit", "action", or "" for neither.
func (t Trigger) Beyond() string {
	switch {
	case t.Limit != Endless && t.Planned > t.Limit:
		return "limit"
	case t.Action != Endless && t.Planned > t.Action:
		return "action"
	}
	return ""
}

// Endless stands for minutes that never run out.
const Endless = -1

// TriggerTime says how long a person's planned engine hours are beside the exposure values. Minutes to a value are rounded
// down.
func TriggerTime(p Person, t Times, engineHours float64) Trigger {
	return Trigger{
		Person: p, Planned: up(60 * engineHours), Action: minutes(t.Action), Limit: minutes(t.Limit),
		NoiseAction: minutes(t.NoiseAction), NoiseLimit: minutes(t.NoiseLimit),
		OSHA: noiseMinutes(exposure.OSHA, p.Noise), NIOSH: noiseMinutes(exposure.NIOSH, p.Noise),
	}
}

// dayMinutes is 24 hours: what lasts longer does not end that day.
const dayMinutes = 24 * 60

func minutes(hours float64) int {
	if m := 60 * hours; m < dayMinutes {
		return int(math.Floor(m + 1/rounding))
	}
	return Endless
}

// noiseMinutes is 0 above the published table.
func noiseMinutes(c exposure.Criterion, dBA float64) int {
	if !exposure.Counts(dBA) {
		return Endless
	}
	hours, err := c.ReferenceHours(dBA)
	if err != nil {
		return 0
	}
	return minutes(hours)
}
