package hazards

import (
	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/units"
)

// Kind says what an answer looks like.
type Kind uint8

// Kinds of answers.
const (
	YesNo  Kind = iota + 1
	Value       // a number with its unit
	Clock       // HH:MM today
	Person      // a worker on today's sheet
	Words       // a few words
)

// Question is one line of the day sheet. A question whose factor is scored has that factor's id. Bad is the yes-no
// answer that counts against starting. Carried questions ask about stable facts and may be filled in from the block's
// last sheet; all others are asked afresh every day. Where NA is false, "not applicable" is no answer, and where
// None is true, "no" says that there is none. Part is the word for less than all of it, between no and yes, "" where there is none; a
// value with a Bad answer takes that word as well. Coarse words stand for values. Min and Max bound what can be meant, in the base unit of Of.
type Question struct {
	ID      string
	Section string
	Text    string
	Kind    Kind
	Bad     string
	Part    string
	Of      units.Dimension
	Such    string // an example of a value
	Min     float64
	Max     float64
	Carried bool
	NA      bool
	None    bool
	Coarse  []Coarse // words that stand for a value
}

// Sections of the sheet, in the order in which people walk through a morning.
const (
	AtTruck   = "At the truck"
	Sky       = "Sky and light"
	Ground    = "Walk the ground"
	Stems     = "The stems"
	SpreadOut = "Spread out"
	FuelSpot  = "The fuel spot"
)

// Ids of questions that are no scored factors.
const (
	CallBy        = "call-by"
	CallAnswered  = "call-answered"
	CheckIn       = "check-in"
	FirstAider    = "first-aider"
	WhoCalls      = "who-calls"
	Thunder       = "thunder"
	WindFall      = "wind-takes-fall"
	Hidden        = "neighbours-hidden"
	HeavyRain     = "heavy-rain"
	WindForce     = "wind-force"
	Wires         = "wires"
	HungUp        = "hung-up"
	WindThrown    = "wind-thrown"
	DeadTrees     = "dead-trees"
	Public        = "public"
	TallestStem   = "tallest-stem"
	NeighbourDist = "neighbour-distance"
	FuelCan       = "fuel-can"
	FuelReady     = "fuel-ready"
	AiderHurt     = "aider-if-hurt"
	StopSignal    = "stop-signal"
	WhoElse       = "who-else"
)

// Bounds of what can be meant; beyond them a slip of the pen is more likely (company choice).
const (
	hour      = 3600.0 // seconds
	maxSlope  = 200    // percent, 63 degrees
	maxStem   = 1      // metre across; a clearing saw takes centimetres
	maxHeight = 60     // metres
	maxApart  = 5000   // metres
	maxCan    = 250    // litres
	mostForce = 12     // Beaufort
)

var questions = []Question{
	{ID: CallBy, Section: AtTruck, Kind: Words, None: true, Text: "What do you call for help with?"},
	{ID: CallAnswered, Section: AtTruck, Kind: Clock, None: true, Text: "At what time today was your test call from this block answered?"},
	{ID: CheckIn, Section: AtTruck, Kind: Value, Of: units.Time, Such: "1h", Min: 60, Max: 12 * hour, None: true, Text: "How often does each one check in?", Carried: true},
	{ID: FirstAider, Section: AtTruck, Kind: Person, None: true, Text: "Who is first aider today?"},
	{ID: WhoCalls, Section: AtTruck, Kind: Person, None: true, Text: "Who calls for help if the boss is the one hurt?"},
	{ID: AiderHurt, Section: AtTruck, Kind: Person, None: true, Text: "Who gives first aid if the first aider is the one hurt?"},
	{ID: StopSignal, Section: AtTruck, Kind: Words, None: true, Text: "Which stop signal does everybody here know?", Carried: true},
	{ID: kickback.TiredHurried, Section: AtTruck, Kind: YesNo, Bad: Yes, Text: "Is anybody tired, or are you behind and hurrying?"},

	{ID: Thunder, Section: Sky, Kind: YesNo, Bad: Yes, Text: "Is there thunder or lightning?"},
	{ID: WindFall, Section: Sky, Kind: YesNo, Bad: Yes, Text: "Does the wind take the fall, so that you cannot say where a stem lands?"},
	{ID: HeavyRain, Section: Sky, Kind: YesNo, Bad: Yes, Text: "Is there heavy rain or snow, or may the ground slide?"},
	{ID: WindForce, Section: Sky, Kind: Value, Of: units.Count, Such: "3, or a word: calm, light, gentle, moderate, fresh, strong, gale, storm", Coarse: windWords, Max: mostForce,
		Text: "What does the wind do to the trees? Beaufort force: 2 leaves rustle, 3 twigs move, 4 small branches, 5 small trees sway, 6 large branches, 7 whole trees, 8 twigs break"},
	{ID: Hidden, Section: Sky, Kind: YesNo, Bad: Yes, Text: "Does fog, smoke or dusk hide your neighbours?"},
	{ID: fuel.HotDay, Section: Sky, Kind: YesNo, Bad: Yes, Text: "Do cans or saws stand in hot sun?"},

	{ID: Wires, Section: Ground, Kind: Value, Of: units.Length, Such: "40m or 130ft", Max: maxApart, Bad: Yes, None: true, Text: "How far from where you cut is the nearest power wire? No: none was seen. Yes: within reach."},
	{ID: HungUp, Section: Ground, Kind: YesNo, Bad: Yes, Text: "Are there hung-up trees where you work?"},
	{ID: WindThrown, Section: Ground, Kind: YesNo, Bad: Yes, Text: "Are there wind-thrown trees where you work?"},
	{ID: DeadTrees, Section: Ground, Kind: YesNo, Bad: Yes, Text: "Are there standing dead or leaning trees within two tree lengths of where you work?"},
	{ID: Public, Section: Ground, Kind: YesNo, Bad: Yes, Text: "Can the public or another crew walk in?"},
	{ID: WhoElse, Section: Ground, Kind: Words, None: true, Text: "Who else works, drives or shoots here today? No: nobody."},
	{ID: slope.Steepest, Section: Ground, Kind: Value, Of: units.Slope, Such: "38% or 21deg", Min: 0, Max: maxSlope, Text: "How steep is the steepest ground you work today?", Carried: true},
	{ID: slope.WetOrIcy, Section: Ground, Kind: YesNo, Bad: Yes, Part: slope.Wet, Text: "How slippery is it underfoot? No; wet: wet ground; yes: ice, snow, wet rock or wet peeled wood."},
	{ID: slope.RoughGround, Section: Ground, Kind: YesNo, Bad: Yes, Part: slope.Some, Text: "How rough is it underfoot? No; some: slash and stumps as usual here; yes: holes, ditches or worse slash.", Carried: true},
	{ID: fuel.DryLitter, Section: Ground, Kind: YesNo, Bad: Yes, Text: "Is the litter dry?"},

	{ID: kickback.HiddenBase, Section: Stems, Kind: YesNo, Bad: Yes, Part: kickback.Patches, Text: "Does brush or snow hide the base of the stems, rock or wire? No; patches: some, flagged; yes: nearly everywhere.", Carried: true},
	{ID: kickback.LargestStem, Section: Stems, Kind: Value, Of: units.Length, Such: "6cm", Min: 0.001, Max: maxStem, NA: true, Text: "How thick is the thickest stem you cut, across the stump?", Carried: true},
	{ID: kickback.BentStems, Section: Stems, Kind: YesNo, Bad: Yes, Part: kickback.Few, Text: "Are there bent stems under tension, or clumps? No; few; yes: many, or bent by storm, snow or ice.", Carried: true},
	{ID: TallestStem, Section: Stems, Kind: Value, Of: units.Length, Such: "4m or 13ft", Min: 0.1, Max: maxHeight, NA: true, Text: "How tall is the tallest stem you cut?", Carried: true},

	{ID: NeighbourDist, Section: SpreadOut, Kind: Value, Of: units.Length, Such: "20m or 65ft", Min: 0, Max: maxApart, NA: true, Text: "How far apart do you keep from a running saw?"},
	{ID: slope.OneAbove, Section: SpreadOut, Kind: YesNo, Bad: Yes, Text: "Will anybody work straight above somebody else?"},

	{ID: fuel.NearIgnition, Section: FuelSpot, Kind: Value, Of: units.Length, Such: "4m or 13ft", Min: 0, Max: maxApart, NA: true, Text: "How far is the fuel spot from flame, spark or anything hot?", Carried: true},
	{ID: fuel.NearStart, Section: FuelSpot, Kind: Value, Of: units.Length, Such: "4m or 13ft", Min: 0, Max: maxApart, NA: true, Text: "How far from the fuel spot do you start the saw?", Carried: true},
	{ID: fuel.NearSmoking, Section: FuelSpot, Kind: Value, Of: units.Length, Such: "20m or 65ft", Min: 0, Max: maxApart, NA: true, Text: "How far from the fuel spot does anybody smoke?", Carried: true},
	{ID: fuel.HotEngine, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Will a saw be opened to fill it sooner than the house pause after it ran?"},
	{ID: fuel.HardStarting, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Does a saw stall or start hard?"},
	{ID: fuel.Leak, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Does a can or a cap leak?"},
	{ID: fuel.Unlabelled, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Is there mix in a can without a label?", Carried: true},
	{ID: fuel.InCab, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Does fuel ride in the cab with people?", Carried: true},
	{ID: fuel.NearWater, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Is the fuel spot beside water?", Carried: true},
	{ID: slope.LoadInHand, Section: FuelSpot, Kind: YesNo, Bad: Yes, NA: true, Text: "Is the only can far from where you cut?", Carried: true},
	{ID: FuelCan, Section: FuelSpot, Kind: Value, Of: units.Volume, Such: "10L or 2.5gal", Min: 0.1, Max: maxCan, NA: true, Text: "How big is the biggest can carried by hand?", Carried: true},
	{ID: FuelReady, Section: FuelSpot, Kind: YesNo, Bad: No, NA: true, Text: "Are extinguisher and spill mat at the fuel spot?"},
}

// Questions returns the questions of the day sheet in order. The slice is the caller's.
func Questions() []Question { return append([]Question(nil), questions...) }

// fuelQuestion reports whether the question is about fuel handling; where all of them are not applicable, nobody
// fuels on the block today.
func (q Question) fuelQuestion() bool { return q.Section == FuelSpot }

// Ids of the checks of one saw before its first use of the day.
const (
	SawTagged  = "tagged"
	SawGuard   = "guard"
	SawRing    = "ring"
	SawIdle    = "idle-still"
	SawStop    = "stop-works"
	SawNut     = "nut-tight"
	SawRelease = "release-works"
	SawNoLeak  = "no-leak"
	SawFiled   = "filed"

	SawThrottle = "throttle"
	SawHandles  = "handles"
)

var sawChecks = []Question{
	{ID: SawTagged, Kind: YesNo, Bad: Yes, Text: "tagged out?"},
	{ID: SawGuard, Kind: YesNo, Bad: No, Text: "guard fitted and whole?"},
	{ID: SawRing, Kind: YesNo, Bad: No, Text: "is the blade clean, whole to the eye, and clear when tapped hanging free?"},
	{ID: SawIdle, Kind: YesNo, Bad: No, Text: "does the blade stand still at idle?"},
	{ID: SawThrottle, Kind: YesNo, Bad: No, Text: "does the throttle spring back and its lock-out hold?"},
	{ID: SawStop, Kind: YesNo, Bad: No, Text: "does the stop control kill the engine?"},
	{ID: SawNut, Kind: YesNo, Bad: No, Text: "is the blade nut tight, by wrench?"},
	{ID: SawRelease, Kind: YesNo, Bad: No, Text: "does the harness release drop the saw?"},
	{ID: SawHandles, Kind: YesNo, Bad: No, Text: "are handles, mounts, hook and hip pad whole?"},
	{ID: SawNoLeak, Kind: YesNo, Bad: No, Text: "is it dry, with no leak?"},
	{ID: SawFiled, Kind: YesNo, Bad: No, Text: "is the blade filed and set?"},
}

// SawChecks returns the checks of one saw in order. The slice is the caller's.
func SawChecks() []Question { return append([]Question(nil), sawChecks...) }

// fitQuestion is asked of each worker in the crew line.
var fitQuestion = Question{ID: "fit", Kind: YesNo, Bad: No, Text: "fit for work today?"}

func questionByID(id string) (Question, bool) {
	q, ok := asked[id]
	return q, ok
}

func ids(qs []Question) []string {
	out := make([]string, len(qs))
	for i, q := range qs {
		out[i] = q.ID
	}
	return out
}
