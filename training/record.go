package training

// The records below stand as "data" of ledger entries. References to other entries are written "origin#seq"; days
// are YYYY-MM-DD; measured values keep the text as told, with its unit. Floats never enter the ledger.

// Kinds of entries about people and what they hold.
const (
	KindWorker         = "worker"
	KindLeave          = "leave"
	KindAppointment    = "appointment"
	KindAppointmentEnd = "appointment-end"
	KindAttendance     = "attendance"
	KindCredit         = "credit"
	KindObservation    = "observation"
	KindSignOff        = "sign-off"
	KindWithdrawal     = "withdrawal"
	KindRestriction    = "restriction"
	KindLift           = "lift"
	KindRelease        = "release"
	KindIssue          = "ppe-issue"
	KindReturn         = "ppe-return"
	KindInspection     = "ppe-inspection"
	KindOrientation    = "orientation"
	KindNewAgain       = "new-again"
	KindTicket         = "ticket"
	KindTold           = "awaiting-signature"
	KindSeasons        = "seasons"
)

// Worker opens a person's record. The commitment is HMAC-SHA-256 over name and handle with a salt kept beside the
// name, so that the name can be forgotten without breaking a proof.
type Worker struct {
	Commitment string `json:"commitment"` // 64 hex digits
	From       string `json:"from"`       // first day at this company
	Crew       string `json:"crew"`
	Employer   string `json:"employer"` // "own", or "sub-contractor" with the document that names them
	Document   string `json:"document"`
	Contact    string `json:"contact,omitempty"` // commitment to how the person is reached, 64 hex digits; "" in older entries
	YoungUntil string `json:"young_until"`       // first day on which the worker no longer counts as young; "" = is not

	SeasonsBefore *int `json:"seasons_before,omitempty"` // as Seasons.Before; absent = nobody asked
}

// Leave says that the worker has left, from a day on.
type Leave struct {
	From   string `json:"from"`
	Reason string `json:"reason"`
}

// Duties a person can be appointed to.
const (
	DutyTeach    = "teach"
	DutyObserve  = "observe"
	DutySign     = "sign"
	DutyFirstAid = "first-aid"
	DutyClear    = "clear" // put a saw that was tagged out back into use
)

// Duties lists what an appointment may name.
var Duties = []string{DutyTeach, DutyObserve, DutySign, DutyFirstAid, DutyClear}

// Appointment names a worker as somebody who may teach, observe, sign off or act as first aider. Skills lists skill
// ids, or is empty for all. From is the first day in force, Until the first day no longer in force ("" = open).
type Appointment struct {
	Duties []string `json:"duties"`
	Skills []string `json:"skills"`
	From   string   `json:"from"`
	Until  string   `json:"until"`
	Basis  string   `json:"basis"` // what the appointment rests on
}

// AppointmentEnd says that a worker is named for these duties no longer, from a day on: what was named before the end was recorded
// stops counting on that day. A later appointment names anew.
type AppointmentEnd struct {
	Duties []string `json:"duties"`
	From   string   `json:"from"` // first day no longer in force
	Reason string   `json:"reason"`
}

// Attendance says that the worker was taught a module.
type Attendance struct {
	Module     string `json:"module"`
	Edition    string `json:"edition"`  // of the curriculum, in force on the day
	Language   string `json:"language"` // the language used
	Understood string `json:"understood"`
}

// Credit accepts earlier training in a module. It stands for attendance only.
type Credit struct {
	Module   string `json:"module"`
	Edition  string `json:"edition"`
	Reason   string `json:"reason"`
	Document string `json:"document"`
}

// What was seen of one criterion.
const (
	Met     = "met"
	Missed  = "missed"
	NotSeen = "not seen"
)

// Mark is what one look saw of one criterion. Measured criteria carry the value as told, with unit.
type Mark struct {
	Criterion string `json:"criterion"`
	Seen      string `json:"seen"`
	Value     string `json:"value"`
}

// Observation is one look at one worker doing one skill. Outcome and Edition are fixed when it is written; nothing
// re-judges it.
type Observation struct {
	Marks     []Mark   `json:"marks"`
	Announced bool     `json:"announced"`
	Block     string   `json:"block"`
	Edition   string   `json:"edition"` // of the curriculum that judged it
	House     string   `json:"house"`   // edition of the house rules that judged it
	Outcome   Outcome  `json:"outcome"`
	Reasons   []string `json:"reasons"`
	Note      string   `json:"note"`
}

// SignOff decides that a skill is held, on the named evidence, until a day (the first on which it no longer holds).
type SignOff struct {
	Evidence     []string `json:"evidence"`
	Until        string   `json:"until"`
	Independence string   `json:"independence"` // who the signer is to the evidence
	Edition      string   `json:"edition"`
	House        string   `json:"house"`
}

// Withdrawal ends a sign-off from now on; it was right when made.
type Withdrawal struct {
	Reason string `json:"reason"`
	Told   string `json:"told"` // "in person" or "by phone"
}

// Restriction stops the worker from using the skill from this moment.
type Restriction struct {
	Reason string `json:"reason"`
	Told   string `json:"told"`
}

// Lift lets practice resume after a restriction, on a named later met observation.
type Lift struct {
	Observation string `json:"observation"`
	Reason      string `json:"reason"`
}

// Release permits a task group at a level, within written limits, until a day. An opening release is one of a new
// book: on credit, before sign-offs; one on own word is the owner's statement about themselves, where nobody else can look yet.
type Release struct {
	Group   string `json:"group"`
	Level   Level  `json:"level"`
	Until   string `json:"until"`
	Limits  string `json:"limits"`
	Slope   string `json:"slope"` // steepest ground released for, with unit; "" = the house limit
	Opening bool   `json:"opening"`
	OwnWord bool   `json:"own_word,omitempty"`
	Basis   string `json:"basis,omitempty"` // what own word rests on
}

// Issue hands a piece of protective equipment to a worker, or registers one of the worker's own.
type Issue struct {
	Item      string `json:"item"`
	Size      string `json:"size"`
	Standard  string `json:"standard"`
	Serial    string `json:"serial"`
	Made      string `json:"made"`       // day or month of manufacture, as told
	InUse     string `json:"in_use"`     // first day in use, where it is not the day of issue; "" = not said
	ReplaceBy string `json:"replace_by"` // first day on which it may no longer be used; "" = none stated
	Source    string `json:"source"`     // who states that day
	Own       bool   `json:"own"`
	Rating    string `json:"rating,omitempty"` // of hearing protection, "METHOD RATING"; "" = not told
}

// Return takes a piece back or out of use. Issue names the entry that issued it.
type Return struct {
	Issue     string `json:"issue"`
	Condition string `json:"condition"` // "serviceable" or "condemned"
	Reason    string `json:"reason"`
}

// Inspection is a look at a piece of equipment. Issue names the entry that issued it.
type Inspection struct {
	Issue     string `json:"issue"`
	Condition string `json:"condition"` // "serviceable" or "condemned"
	Reason    string `json:"reason"`
}

// Orientation shows a worker the ground and the people before first work. It holds for blocks of the same kind.
type Orientation struct {
	Block      string   `json:"block"`
	Kind       string   `json:"kind"` // of the block
	Topics     []string `json:"topics"`
	Language   string   `json:"language"`
	Understood string   `json:"understood"` // how understanding was tested
}

// NewAgain says that a worker needs orientation again, because hazards have changed.
type NewAgain struct {
	Reason string `json:"reason"`
}

// Ticket is a certificate with an end: first aid, driving, and so on. Until is the first day no longer valid, or "".
type Ticket struct {
	What     string `json:"what"`
	Until    string `json:"until"`
	Document string `json:"document"`
}

// Told is a decision told by phone. It waits for the decider to enter it and changes nothing.
type Told struct {
	Decision string `json:"decision"` // "sign-off", "lift" or "release"
	Of       string `json:"of"`       // skill or task group
	Decider  string `json:"decider"`  // person id
	Note     string `json:"note"`
}
