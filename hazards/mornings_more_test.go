package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
)

// ordinary are mornings of our own on which a careful boss starts (company choice).
var ordinary = []morning{
	{"ordinary: 24 °C, no humidity told", func(in *Input) { in.unsay(Humidity); in.say(map[string]string{Temperature: "24C"}) }, Go, "", "", nil},
	{"ordinary: mild and gentle by the word", saying(Temperature, "mild", WindForce, "gentle"), Go, "", "", nil},
	{"ordinary: wet ground at 20 %", saying(slope.WetOrIcy, "yes", slope.Steepest, "20%"), Go, "", "", nil},
	{"ordinary: slash underfoot", saying(slope.RoughGround, "yes"), Go, "", "", nil},
	{"ordinary: stems of 6 cm", saying(kickback.LargestStem, "6cm"), Go, "", "", nil},
	{"ordinary: stems of 9 cm, everybody for two-cut", both(saying(kickback.LargestStem, "9cm"), func(in *Input) { in.plan("two-cut", nil) }), Go, "", "", nil},
	{"ordinary: fire class moderate", saying(FireClass, "moderate"), Go, "", "", nil},
	{"ordinary: force 4", saying(WindForce, "4"), Go, "", "", nil},
	{"ordinary: kit 300 m away on a slope of 40 %", saying(KitDistance, "300m", slope.Steepest, "40%"), Go, "", "", nil},
	{"ordinary: walk of 14 min", func(in *Input) { in.Block.Walk = "14min" }, Go, "", "", nil},
	{"ordinary: a hand in the second season", func(in *Input) { in.People[3].Seasons = 2 }, Go, "", "", nil},
	{"ordinary: January at 09:00, -8 °C, light wind", func(in *Input) { in.at(january("09:00")); in.winter("-8C", "8km/h") }, Go, "", "", nil},
	{"ordinary: fire class high, a fire watch named", saying(FireClass, "high", FireWatch, "aid"), Go, "", "", nil},
	{"ordinary: bent stems, stood out of", both(saying(kickback.BentStems, "yes"), (*Input).mayTakeBent), Go, "", "", nil},
	{"ordinary: dew on the grass at 30 %", saying(slope.WetOrIcy, slope.Wet), Go, "", "", nil},
	{"ordinary: slash and stumps as usual, dew", saying(slope.RoughGround, slope.Some, slope.WetOrIcy, slope.Wet), Go, "", "", nil},
	{"ordinary: the base hidden in flagged patches", saying(kickback.HiddenBase, kickback.Patches), Go, "", "", nil},
	{"ordinary: a line across the valley, 60 m off, nobody asked the voltage", saying(Wires, "60m"), Go, "", "", nil},
	{"ordinary: a line 12 m off, its owner says 25 kV", saying(Wires, "12m", WireVoltage, "25kV"), Go, "", "", nil},
	{"ordinary: a few bent stems, nobody released for them", saying(kickback.BentStems, kickback.Few), GoWithControls, "", bentRelease + " kickback", nil},
	{"ordinary: a few bent stems, everybody released for them", both(saying(kickback.BentStems, kickback.Few), (*Input).mayTakeBent), Go, "", "", nil},
	{"ordinary: a grader on the road, told where the crew cuts", both(saying(WhoElse, "a grader on the road"), ctl(WhoElse)), GoWithControls, "", WhoElse + " spacing", nil},
	{"ordinary: everything that thinning brings at once", saying(kickback.HiddenBase, kickback.Patches, kickback.BentStems, kickback.Few, slope.RoughGround, slope.Some, slope.WetOrIcy, slope.Wet, FireTools, "yes"),
		GoWithControls, "", bentRelease + " kickback", nil},
	{"ordinary: fire class moderate, hand tool and water there", saying(FireClass, "moderate", FireTools, "yes"), Go, "", "", nil},
	{"ordinary: one can at the road, carried over the slash", saying(slope.LoadInHand, "yes", slope.RoughGround, slope.Some), Go, "", "", nil},
	{"ordinary: two saws to file", func(in *Input) { in.dullBlades(2) }, GoWithControls, "", dullBlade + " kickback", func(t *testing.T, a Assessment) {
		require.Equal(t, []string{"S1", "S2"}, a.Findings[0].Subjects)
	}},
	{"ordinary: a hand is ill", func(in *Input) { in.Sheet.Crew[3].Fit = Said{Is: No} }, Go, "", "unfit training", stoppedBy(1)},
	{"ordinary: cold by the word, warm breaks named", both(func(in *Input) { in.winter("bitter", "8km/h") }, ctl("cold")), GoWithControls, "", "cold weather", nil},
	{"ordinary: temperature found out by 07:30", saying(Temperature, "don't know yet - boss by 07:30"), GoWithControls, "", Temperature + " weather", func(t *testing.T, a Assessment) {
		require.Equal(t, "07:30", a.Ends)
	}},
}

// dangerous are mornings of our own, neighbours of the rows and two things at once, on which a careful boss does not simply start.
var dangerous = []morning{
	{"dangerous: bent stems and unfiled blades", both(both(saying(kickback.BentStems, "yes"), (*Input).mayTakeBent), func(in *Input) { in.dullBlades(5) }), Hold, NotYet, dullBlade + " kickback", stoppedBy(5)},
	{"dangerous: dark and thunder", both(func(in *Input) { in.at(january("06:40")) }, saying(Thunder, "yes")), Hold, Stopped, Thunder + " emergency", nil},
	{"dangerous: dark, wet and steep", both(wetSteep, func(in *Input) { in.at(january("06:40")) }), Hold, Stopped, "daylight weather", func(t *testing.T, a Assessment) {
		require.Contains(t, a.NotYet, "nobody is named for a fall on this ground: say what is done and who sees to it", "then still missing")
	}},
	{"dangerous: one minute before sunrise in July", func(in *Input) { in.at(july("04:30")) }, Hold, Stopped, "daylight weather", nil},
	{"dangerous: stems not known", saying(kickback.LargestStem, "don't know yet - boss by 07:30"), Hold, NotYet, kickback.LargestStem + " kickback", nil},
	{"dangerous: a stem of 13.5 cm, all for two-cut", both(saying(kickback.LargestStem, "13.5cm"), func(in *Input) { in.plan("two-cut", nil) }), Hold, Stopped, kickback.LargestStem + " kickback", nil},
	{"dangerous: thick stems, the only one for two-cut is ill", both(both(thickStems, func(in *Input) { in.mayTakeTwoCuts("hand1") }), func(in *Input) { in.Sheet.Crew[2].Fit = Said{Is: No} }),
		Hold, NotYet, "stem-release kickback", nil},
	{"dangerous: thick stems, two-cut in sight only", both(thickStems, func(in *Input) { in.withRecruit(); in.plan("light-brush", nil) }), Hold, NotYet, "stem-release kickback", nil},
	{"dangerous: one above another, not known", both(saying(slope.OneAbove, "don't know yet - boss by 07:30"), saying(slope.Steepest, "40%")), Hold, NotYet, slope.OneAbove + " slope", nil},
	{"dangerous: one above another, slope not known", both(allOneAbove, saying(slope.Steepest, "don't know yet - boss by 07:30")), Hold, Stopped, slope.OneAbove + " slope", nil},
	{"dangerous: dead trees, only told about", both(saying(DeadTrees, "yes"), func(in *Input) { in.control(DeadTrees, risk.Training, "talked about it", "boss") }), Hold, NotYet, DeadTrees + " spacing",
		func(t *testing.T, a Assessment) { require.NotContains(t, a.Findings[0].What, "Nobody is named") }},
	{"dangerous: cold, only clothes", both(func(in *Input) { in.winter("-25C", "20km/h") }, func(in *Input) { in.control("cold", risk.PPE, "warm gloves", "boss") }), Hold, NotYet, "cold weather", nil},
	{"dangerous: wind 6, who watches is not here", both(saying(WindForce, "6"), func(in *Input) { in.control(WindForce, risk.Organised, "watches", "driver") }), Hold, NotYet, WindForce + " weather", nil},
	{"dangerous: strong wind by the word", saying(WindForce, "storm"), Hold, Stopped, WindForce + " weather", nil},
	{"dangerous: calm by the trees, gusts of 55 km/h", saying(WindForce, "calm", Gusts, "55km/h"), Hold, Stopped, Gusts + " weather", nil},
	{"dangerous: wind not known", saying(WindForce, "don't know yet - boss by 07:30"), Hold, NotYet, WindForce + " weather", nil},
	{"dangerous: leak and a hot saw, the leak only wiped", both(both(leaks, saying(fuel.HotEngine, "yes")), ctl(fuel.Leak)), Hold, Stopped, fuel.Leak + " fuel", nil},
	{"dangerous: leak not known", saying(fuel.Leak, "don't know yet - boss by 07:30"), Hold, NotYet, fuel.Leak + " fuel", nil},
	{"dangerous: four people and a far walk", both(farWalk, func(in *Input) { in.crewOf("boss", "aid", "hand1", "hand2") }), Hold, NotYet, WalkOut + " first-aid", nil},
	{"dangerous: far walk, and who comes to carry is on the card", both(farWalk, func(in *Input) { in.Block.Carry = "the road crew" }), Hold, NotYet, WalkOut + " first-aid", nil},
	{"dangerous: walk-out not known, short on the card", saying(WalkOut, "don't know yet - boss by 07:30"), Hold, NotYet, WalkOut + " first-aid", nil},
	{"dangerous: alone, the contact was never tested", both(both((*Input).alone, (*Input).callsOutside), saying(OutsideTested, "no")), Hold, NotYet, "alone emergency", nil},
	{"dangerous: alone where the authority's guide names the clearing saw", both(both((*Input).alone, (*Input).callsOutside), func(in *Input) { in.Places = []string{"nb", "ca"} }), Hold, Stopped, "alone emergency", nil},
	{"dangerous: alone, no interval", both(both((*Input).alone, (*Input).callsOutside), saying(CheckIn, "no")), Hold, NotYet, "alone emergency", nil},
	{"dangerous: alone, nobody knows what happens at a missed call", both(both((*Input).alone, (*Input).callsOutside), saying(MissedPlan, "don't know yet - hand1 by 07:30")), Hold, NotYet, "alone emergency", nil},
	{"dangerous: extreme at 13:30", both(extreme, func(in *Input) { in.at(july("13:30")) }), Hold, Stopped, FireClass + " fire", nil},
	{"dangerous: bitter by the word, nobody named", func(in *Input) { in.winter("bitter", "8km/h") }, Hold, NotYet, "cold weather", nil},
	{"dangerous: hot by the word, no humidity told", func(in *Input) { in.unsay(Humidity); in.say(map[string]string{Temperature: "hot"}) }, Hold, NotYet, "heat weather", nil},
	{"dangerous: recruit among hidden stems", both(stemsHidden, (*Input).withRecruit), GoWithControls, "", "score kickback", func(t *testing.T, a Assessment) {
		require.Equal(t, []string{"Serious", "p8"}, []string{a.Findings[0].LevelAfter, a.Findings[0].Subject}, "3 for the month and 2 left of the stems: a control and acceptance by name")
	}},
	{"dangerous: heavy rain and thunder that has passed", saying(HeavyRain, "yes", ThunderLast, "06:20"), Hold, Stopped, ThunderLast + " weather", nil},
	{"dangerous: nobody accepts a recruit", func(in *Input) { in.withRecruit(); in.Sheet.AcceptedBy = "" }, Hold, NotYet, "not-accepted acceptance", nil},
}

// Before sunrise a hold ends by one thing: somebody named has seen the ground in daylight and answers for it again.
func TestDarkEndsByAnAnswerInDaylight(t *testing.T) {
	in := cleanMorning(t)
	in.at(january("06:40"))
	in.unsay(FireClass)
	dark := Assess(in)
	require.Equal(t, Hold, dark.Answer)

	later := in
	var err error
	later.Sheet, err = in.Sheet.After(Change{At: "09:00", By: "boss", Answers: []Answer{{WindForce, told("3")}}})
	require.NoError(t, err)
	later.Now = january("09:00")
	a := Assess(later)
	require.Equal(t, []string{string(Hold), NotYet, "daylight"}, []string{string(a.Answer), a.Means, a.Findings[0].ID}, "the sun is up, but the ground was answered in the dark")
	require.Contains(t, a.Findings[0].What, "{p0} answered for the ground at 06:40, before sunrise.")

	seen := in
	seen.Sheet, err = in.Sheet.After(Change{At: "09:00", By: "boss", Ground: "hand1", Answers: []Answer{{slope.WetOrIcy, Said{Is: Yes}}}})
	require.NoError(t, err)
	seen.Now = january("09:00")
	require.Equal(t, Go, Assess(seen).Answer)
	require.Contains(t, Changed(in.Sheet, seen.Sheet), "ground answered again: hand1 at 09:00")

	early := in
	early.Sheet, err = in.Sheet.After(Change{At: "08:00", By: "boss", Ground: "hand1"})
	require.NoError(t, err)
	early.Now = january("08:00")
	require.Equal(t, Stopped, Assess(early).Means, "walked before sunrise, it does not count")

	again, err := ParseSheet("later.yaml", WriteSheet(seen.Sheet, Hints{}))
	require.NoError(t, err)
	require.Equal(t, []string{"hand1", "09:00"}, []string{again.GroundBy, again.GroundAt}, "it stands on the sheet")

	whole := in
	whole.at(january("09:00"))
	require.Equal(t, Go, Assess(whole).Answer, "a sheet answered anew in daylight")
}

// What is equal for several people or saws is one finding that names them all.
func TestOneFindingNamesEverybodyItReaches(t *testing.T) {
	in := cleanMorning(t)
	for i := range in.Sheet.Crew {
		in.Sheet.Crew[i].Trigger = "4h"
	}
	in.Sheet.Crew[2].Fit, in.Sheet.Crew[3].Fit = Said{Is: No}, Said{Is: No}
	in.KnownSaws[3].Tagged, in.KnownSaws[4].Tagged = "guard loose", "guard loose"
	a := Assess(in)
	f := oneFinding(t, a, "unfit")
	require.Equal(t, []string{"p1", "p2"}, f.Subjects)
	require.Equal(t, "{p1}, {p2}: not fit today.", f.What)
	f = oneFinding(t, a, "tagged-in-book")
	require.Equal(t, "Saws S4, S5 stay down: it is tagged out in the book: guard loose.", f.What)
	require.Len(t, oneFinding(t, a, "noise").Subjects, 5)
	require.Len(t, oneFinding(t, a, "vibration").Subjects, 5)
	named := a.Named(func(id string) string { return "N" + id })
	require.Equal(t, []string{"Np1", "Np2"}, oneFinding(t, named, "unfit").Subjects)
	require.Equal(t, "Np1, Np2: not fit today", oneFinding(t, named, "unfit").Line)
}
