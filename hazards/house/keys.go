package house

// Keys of the house rules that the program asks for. Their values live in an edition, never here.
const (
	LooksCritical       = "looks-critical"       // met observations before sign-off of a critical skill
	LookDaysCritical    = "look-days-critical"   // on at least so many days
	UnannouncedCritical = "unannounced-critical" // at least so many of them unannounced
	LooksOther          = "looks-other"          // the same three for other skills
	LookDaysOther       = "look-days-other"      //
	UnannouncedOther    = "unannounced-other"    //
	MissesAllowed       = "misses-allowed"       // non-critical criteria that may be missed in a met observation
	SignOffMonths       = "sign-off-months"      // how long a sign-off is valid
	EvidenceMonths      = "evidence-months"      // oldest observation that still counts
	WarningDays         = "warning-days"         // before the end of a sign-off
	CurrencyDays        = "currency-days"        // days away from the saw after which a skill lapses
	YearlyEnd           = "yearly-end"           // fixed yearly end day, MM-DD, or "none"
	OpeningDays         = "opening-days"         // longest opening release
	InSightWorkers      = "in-sight-workers"     // workers one appointed person may watch
	BookAgeDays         = "book-age-days"        // after which another device's news count as old
	StandOff            = "stand-off"            // nearest person to a running saw
	TreeLengths         = "tree-lengths"         // stand-off in lengths of the tallest stem
	SlopeLimit          = "slope-limit"          // steepest ground worked
	SlopeStep1          = "slope-step-1"         // slope steps of the fall score
	SlopeStep2          = "slope-step-2"         //
	SlopeStep3          = "slope-step-3"         //
	OneCut              = "one-cut"              // thickest stem taken with one cut
	FuelIgnition        = "fuel-ignition"        // fuelling place to any ignition source
	FuelStart           = "fuel-start"           // fuelling place to the starting place
	FuelSmoking         = "fuel-smoking"         // fuelling place to smokers
	FuelContainer       = "fuel-container"       // largest fuel container carried by hand
	HelpWithin          = "help-within"          // professional help later than this makes harm one step worse
	FirstMonthDays      = "first-month-days"     // days with a saw that count as the first month
	AwayDays            = "away-days"            // days away after which a worker is new again
	InspectionDays      = "ppe-inspection-days"  // between looks at a piece of equipment
	AgreementDays       = "agreement-days"       // between two looks that count as one occasion for two observers
	AnswerEnds          = "answer-ends"          // clock time at which a tailgate answer ends, HH:MM

	// An edition recorded before this came lacks it and judges as "none" would.
	Coverage = "coverage" // "all": every criterion met at least once among the looks that count; or "none"

	// Upkeep and the plan of the day; these too may be missing from an edition recorded before they came.
	UpkeepDaily   = "upkeep-daily"   // days between daily upkeep of a saw in use
	UpkeepWeekly  = "upkeep-weekly"  // days between weekly upkeep of a saw in use
	FileRefuels   = "file-refuels"   // refuellings between two filings
	SetFilings    = "set-filings"    // filings between two settings of the teeth
	SetsInLife    = "sets-in-life"   // settings in a blade's life, the first at fitting
	NutChecks     = "nut-checks"     // wrench checks of the blade nut a day
	SecondLook    = "second-look"    // time for a second person to look at a saw its finder has cleared
	FinderClears  = "finder-clears"  // may the finder clear: "never", "in a crew of two" or "always"
	KitWalk1      = "kit-walk-1"     // walks out of so long begin the tiers of the spare kit
	KitWalk2      = "kit-walk-2"     //
	KitWalk3      = "kit-walk-3"     //
	KitDays       = "kit-days"       // use of the kit in so many days says what runs low
	PlanBurn      = "plan-burn"      // burn rate until the log knows better
	PlanTank      = "plan-tank"      // tank of a saw whose card does not say
	PlanRatio     = "plan-ratio"     // parts of petrol to one of oil
	PlanReserve   = "plan-reserve"   // fuel on top of what is burnt
	PlanFiling    = "plan-filing"    // time one filing takes
	PlanArea      = "plan-area"      // area per tank until the log knows better
	PlanStrip     = "plan-strip"     // width of a strip
	PlanBlades    = "plan-blades"    // fewest blades a saw goes out with
	RockBlade     = "rock-blade"     // rock hits that cost one more blade
	PlanCan       = "plan-can"       // size of a can
	CanMass       = "can-mass"       // mass of an empty can
	FuelReach     = "fuel-reach"     // longest walk to fuel on level ground
	LearnDays     = "learn-days"     // age up to which the log teaches the plan
	LearnLeast    = "learn-least"    // days in the log before it does
	PlanVibration = "plan-vibration" // vibration of a saw whose card does not say
	PlanNoise     = "plan-noise"     // noise at the ear of a saw whose card does not say
	WristBend     = "wrist-bend"     // furthest bend of the wrist at work
	BladeTilt     = "blade-tilt"     // furthest from level that a hung blade may be

	// Keys that came with the assessment in full. An edition recorded before that lacks them; what they decide is then
	// not looked at until the company adopts an edition that has them.
	WindCaution      = "wind-caution"       // Beaufort force from which everybody watches the wind
	WindStop         = "wind-stop"          // Beaufort force at which saws stop
	ThunderWait      = "thunder-wait"       // after the last thunder
	ChillCaution     = "chill-caution"      // wind chill that needs a control
	ChillStop        = "chill-stop"         // wind chill at which work stops
	HumidexCaution   = "humidex-caution"    // the same two for the humidex
	HumidexStop      = "humidex-stop"       //
	HeatIndexCaution = "heat-index-caution" // and for the heat index
	HeatIndexStop    = "heat-index-stop"    //
	WorkRate         = "work-rate"          // metabolic rate of saw work, for limits of measured heat
	FireScheme       = "fire-scheme"        // danger classes read from a computed index
	FireLadder       = "fire-ladder"        // restriction ladder where the place has none of its own
	FireBreak        = "fire-break"         // days without noon readings after which a season may start anew
	FireMonthsNorth  = "fire-months-north"  // months in which the fire class is asked north of the equator, where the place names none
	FireMonthsSouth  = "fire-months-south"  // the same south of it
	VibrationAction  = "vibration-action"   // daily vibration from which something is done
	VibrationLimit   = "vibration-limit"    // daily vibration never to be gone beyond
	VibrationAdds    = "vibration-adds"     // uncertainty added to the figure told for a saw
	NoiseCriterion   = "noise-criterion"    // "jurisdiction", or "niosh" for the stricter recommendation
	LightMargin      = "light-margin"       // before sunset, for forest, cloud and hills
	CheckInWithin    = "check-in-within"    // longest time between calls of those out of sight
	CheckInGrace     = "check-in-grace"     // after which a call that has not come is missed
	CarrySpeed       = "carry-speed"        // a casualty carried out on foot
	Carriers         = "carriers"           // people needed to carry
	CarryWithin      = "carry-within"       // longest carry-out to the road
	KitReach         = "kit-reach"          // farthest from a first-aid kit
	FirstAidWithin   = "first-aid-within"   // first aider on foot at the farthest worker
	HelpRemote       = "help-remote"        // professional help later than this: kit and stretcher beside the work

	// What one saw may cut, and where nobody works straight above another. An edition recorded before these came is judged by the
	// figures of the starter edition, because without them the answer would be milder.
	LargestStemSaw = "largest-stem-saw" // thickest stem of this saw, whoever holds it
	OneAboveSlope  = "one-above-slope"  // ground from which one above another stops

	ObserverPlace = "observer-place" // nearest that an observer stands to a turning blade
	FuelPause     = "fuel-pause"     // between stopping the engine and opening the cap
	BentStem      = "bent-stem"      // thickest bent stem that is cut
	Sectors       = "sectors"        // of the blade, as on a clock
	ToldDays      = "told-days"      // a decision told by phone waits so long for the decider to enter it

	// How long entries about a person keep the name behind them from being erased; an edition recorded before these came
	// lets nobody be forgotten.
	KeepTraining = "keep-training" // training, looks and decisions
	KeepExposure = "keep-exposure" // time at the trigger, vibration and noise
	KeepEvent    = "keep-event"    // events and what was done about them
	KeepOther    = "keep-other"    // everything else
)

var required = []string{
	LooksCritical, LookDaysCritical, UnannouncedCritical, LooksOther, LookDaysOther, UnannouncedOther, MissesAllowed,
	SignOffMonths, EvidenceMonths, WarningDays, CurrencyDays, YearlyEnd, OpeningDays, InSightWorkers, BookAgeDays,
	StandOff, TreeLengths, SlopeLimit, SlopeStep1, SlopeStep2, SlopeStep3, OneCut, FuelIgnition, FuelStart, FuelSmoking,
	FuelContainer, HelpWithin, FirstMonthDays, AwayDays, InspectionDays, AgreementDays, AnswerEnds,
}

// later are the keys that editions recorded by an earlier version may lack.
var later = []string{
	WindCaution, WindStop, ThunderWait, ChillCaution, ChillStop, HumidexCaution, HumidexStop, HeatIndexCaution, HeatIndexStop,
	WorkRate, FireScheme, FireLadder, FireBreak, FireMonthsNorth, FireMonthsSouth, VibrationAction, VibrationLimit, VibrationAdds,
	NoiseCriterion, LightMargin, CheckInWithin, CheckInGrace, CarrySpeed, Carriers, CarryWithin, KitReach, FirstAidWithin, HelpRemote,
	UpkeepDaily, UpkeepWeekly, FileRefuels, SetFilings, SetsInLife, NutChecks, SecondLook, FinderClears, KitWalk1,
	KitWalk2, KitWalk3, KitDays, PlanBurn, PlanTank, PlanRatio, PlanReserve, PlanFiling, PlanArea, PlanStrip,
	PlanBlades, RockBlade, PlanCan, CanMass, FuelReach, LearnDays, LearnLeast, PlanVibration, PlanNoise, WristBend,
	BladeTilt, LargestStemSaw, OneAboveSlope, ObserverPlace, FuelPause, BentStem, Sectors, ToldDays, KeepTraining, KeepExposure, KeepEvent, KeepOther, Coverage,
}
