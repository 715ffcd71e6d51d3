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
)

var required = []string{
	LooksCritical, LookDaysCritical, UnannouncedCritical, LooksOther, LookDaysOther, UnannouncedOther, MissesAllowed,
	SignOffMonths, EvidenceMonths, WarningDays, CurrencyDays, YearlyEnd, OpeningDays, InSightWorkers, BookAgeDays,
	StandOff, TreeLengths, SlopeLimit, SlopeStep1, SlopeStep2, SlopeStep3, OneCut, FuelIgnition, FuelStart, FuelSmoking,
	FuelContainer, HelpWithin, FirstMonthDays, AwayDays, InspectionDays, AgreementDays, AnswerEnds,
}
