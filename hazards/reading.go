package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/units"
)

// Readings are questions that may stay blank: what nobody looked at, the answer lists under "Not looked at". Once answered they
// count like every other question, "don't know yet" as the worst, except for numbers that only an instrument gives: those are told by
// a coarse word, or by who finds out until when, and the answer ends then. The fire class may not stay blank in the months that
// FireClassAsked names.

// Sections of the readings.
const (
	Measured  = "Weather, by eye or measured"
	FireRisk  = "Fire danger"
	WayOut    = "The way out, and help"
	OnOnesOwn = "Only where one person is alone on the block"
)

// Ids of the readings.
const (
	WindSpeed     = "wind-speed"
	Gusts         = "gusts"
	ThunderLast   = "thunder-last"
	ThunderGap    = "thunder-gap"
	Temperature   = "temperature"
	Humidity      = "humidity"
	WBGT          = "wbgt"
	NewToHeat     = "new-to-heat"
	FireClass     = "fire-class"
	FireClassAt   = "fire-class-at"
	FireClassBy   = "fire-class-source"
	FireStation   = "fire-station"
	FireWatch     = "fire-watch"
	WalkOut       = "walk-out"
	WalkClimb     = "walk-climb"
	KitDistance   = "kit-distance"
	VehicleFuel   = "vehicle-fuel"
	Outside       = "outside-contact"
	OutsideTested = "outside-tested"
	MissedPlan    = "missed-call-plan"
	WireVoltage   = "wire-voltage"
	FireTools     = "fire-tools"
)

// Bounds of what can be meant; beyond them a slip of the pen is more likely (company choice).
const (
	mostWind    = 90  // m/s
	coldestAir  = -60 // °C
	hottestAir  = 55  // °C
	longestGap  = 120 // s; thunder is not heard so far
	hottestWBGT = 50  // °C
	mostWalk    = 20e3
	mostClimb   = 2000
	mostFuel    = 2000 // litres
	mostVolts   = 1.2e6
)

var readings = []Question{
	{ID: WindSpeed, Section: Measured, Kind: Value, Of: units.Speed, Such: "25km/h", Max: mostWind, Text: "How strong is the steady wind, at 10 m in the open?"},
	{ID: Gusts, Section: Measured, Kind: Value, Of: units.Speed, Such: "40km/h", Max: mostWind, Text: "How strong are the gusts?"},
	{ID: ThunderLast, Section: Measured, Kind: Clock, None: true, Text: "When was thunder last heard today?"},
	{ID: ThunderGap, Section: Measured, Kind: Value, Of: units.Time, Such: "20s", Max: longestGap, Text: "How long was it from flash to thunder?"},
	{ID: Temperature, Section: Measured, Kind: Value, Of: units.Temperature, Such: "17C or 63F, or a word: " + inWords(airWords), Coarse: airWords, Min: coldestAir, Max: hottestAir, Text: "What is the temperature, the worst of the day, cold or hot?"},
	{ID: Humidity, Section: Measured, Kind: Value, Of: units.Share, Such: "55%, or a word: " + inWords(dampWords), Coarse: dampWords, Max: 100, Text: "What is the relative humidity then?"},
	{ID: WBGT, Section: Measured, Kind: Value, Of: units.Temperature, Such: "24C", Min: coldestAir, Max: hottestWBGT, Text: "What is the WBGT, if it is measured?"},
	{ID: NewToHeat, Section: Measured, Kind: YesNo, Bad: Yes, Text: "Is anybody not used to the heat yet?"},
	{ID: WireVoltage, Section: Measured, Kind: Value, Of: units.Voltage, Such: "25kV", Max: mostVolts, Text: "What voltage does the owner of the nearest wire name? Blank counts as the highest."},

	{ID: FireClass, Section: FireRisk, Kind: Words, NA: true, Such: "one of " + strings.Join(fire.ClassNames(), ", "), Text: "What is the fire agency's danger class today?"},
	{ID: FireClassAt, Section: FireRisk, Kind: Clock, Text: "At what time was that class read?"},
	{ID: FireClassBy, Section: FireRisk, Kind: Words, Text: "Where was it read?", Carried: true},
	{ID: FireStation, Section: FireRisk, Kind: Words, Text: "Whose noon readings count here? (the same words every day; else the block)", Carried: true},
	{ID: FireTools, Section: FireRisk, Kind: YesNo, Bad: No, Text: "Are a hand tool and water for fire with the crew?"},
	{ID: FireWatch, Section: FireRisk, Kind: Person, None: true, Text: "Who watches for fire after the last saw?"},

	{ID: KitDistance, Section: WayOut, Kind: Value, Of: units.Length, Such: "300m", Max: mostWalk, Text: "How far from the first-aid kit does the farthest one work?"},
	{ID: WalkOut, Section: WayOut, Kind: Value, Of: units.Length, Such: "800m", Max: mostWalk, Text: "How far is it on foot from the ground to the road?", Carried: true},
	{ID: WalkClimb, Section: WayOut, Kind: Value, Of: units.Length, Such: "60m", Max: mostClimb, Text: "How much up or down is that?", Carried: true},
	{ID: VehicleFuel, Section: WayOut, Kind: Value, Of: units.Volume, Such: "20L", Max: mostFuel, NA: true, Text: "How much fuel rides in one vehicle?", Carried: true},

	{ID: Outside, Section: OnOnesOwn, Kind: Words, None: true, Text: "Who outside the block takes the calls of the one who is alone, and by what device?"},
	{ID: OutsideTested, Section: OnOnesOwn, Kind: Clock, None: true, Text: "At what time today did they answer a test call from this block?"},
	{ID: MissedPlan, Section: OnOnesOwn, Kind: Words, None: true, Text: "What do they do when a call does not come?"},
}

// Readings returns the questions that may stay blank, in the order of the sheet. The slice is the caller's.
func Readings() []Question { return append([]Question(nil), readings...) }

// asked finds every question of the sheet by its id.
var asked = func() map[string]Question {
	all := make(map[string]Question, len(questions)+len(readings))
	for _, q := range questions {
		all[q.ID] = q
	}
	for _, q := range readings {
		all[q.ID] = q
	}
	return all
}()

// answered reports whether a reading stands on the sheet at all.
func (d *day) answered(id string) bool { return d.answers[id].Is != "" }

// unseen names something that nobody looked at.
func (d *day) unseen(format string, args ...any) {
	d.notLooked = append(d.notLooked, fmt.Sprintf(format, args...))
}

// ruled reports whether the house edition has the rules that a topic needs; where it has not, the topic is not looked at.
func (d *day) ruled(topic string, keys ...string) bool {
	for _, k := range keys {
		if !d.in.House.Has(k) {
			d.unseen("%s (house rules %s have no %s)", topic, d.in.House.Edition, k)
			return false
		}
	}
	return true
}
