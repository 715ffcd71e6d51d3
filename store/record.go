package store

// Kinds of entries about the book itself and about the morning check; those about people are in package training.
const (
	KindBook       = "book"
	KindCurriculum = "curriculum"
	KindHouse      = "house"
	KindRules      = "rules"
	KindBlock      = "block"
	KindTailgate   = "tailgate"
	KindJoin       = "join"
	KindChange     = "change"   // of a tailgate check during its day
	KindCheckIn    = "checkin"  // a call of somebody out of sight, or one that did not come
	KindClose      = "close"    // head count and what the day came to
	KindExposure   = "exposure" // one person's time at the trigger on one day
	KindFireDay    = "fire-day" // noon readings or the agency's class of one day and station
	KindStrike     = "strike"
)

// BookRecord opens a ledger of a book: whose it is, where, and on whose word it starts.
type BookRecord struct {
	Company      string `json:"company"`
	Jurisdiction string `json:"jurisdiction"`
	Zone         string `json:"zone"` // IANA name
	Owner        string `json:"owner"`
	Basis        string `json:"basis"`
	Demo         bool   `json:"demo"` // invented; takes no real entries
	Tool         string `json:"tool"`
	From         string `json:"from,omitempty"`      // ledger that this one goes on from or was started with
	FromSize     int64  `json:"from_size,omitempty"` // its head then
	FromRoot     string `json:"from_root,omitempty"` // hex
	Restored     bool   `json:"restored,omitempty"`  // it goes on in the place of that ledger, from a backup
}

// Strike removes an entry from every answer known from now on, and says why.
type Strike struct {
	Entry   string         `json:"entry"` // "origin#seq"
	Reason  string         `json:"reason"`
	Second  string         `json:"second,omitempty"`  // second person: a person id, or the name of somebody outside the book
	Reached string         `json:"reached,omitempty"` // how somebody outside the book was reached
	Changes []StrikeChange `json:"changes,omitempty"` // what it changed on its day, as far as the book knew
}

// StrikeChange is one answer that a strike changed. Before and After are the words of that answer, "" = none.
type StrikeChange struct {
	What   string `json:"what"`             // one of the Change constants
	Worker string `json:"worker,omitempty"` // person id
	Of     string `json:"of"`               // skill, task group, duty, saw or block
	Before string `json:"before"`
	After  string `json:"after"`
}

// What a strike can change.
const (
	ChangeSkill = "skill" // where the worker stands with a skill
	ChangeTask  = "task"  // at which level the worker may do a task group
	ChangeDuty  = "duty"  // whether the worker is named for a duty
	ChangeHere  = "here"  // whether the worker is with the company
	ChangeSaw   = "saw"   // whether a saw is in use
	ChangeCard  = "card"  // which edition of a block's card is in force
)

// Join acknowledges a tailgate check for one person. Saw and Group are empty for those who do not work with a saw.
type Join struct {
	Tailgate  string `json:"tailgate"` // "origin#seq"
	Block     string `json:"block"`
	Saw       string `json:"saw"`
	Group     string `json:"group"`
	Level     string `json:"level"`
	Late      bool   `json:"late"`       // came after the check
	BriefedBy string `json:"briefed_by"` // person id, for the late
	Visitor   string `json:"visitor"`    // visitors stand here by what they are, not by name
	How       string `json:"how"`        // how it was acknowledged, as the recorder states it
}

// CheckIn is a call of somebody who works out of sight, or one that was waited for in vain.
type CheckIn struct {
	Tailgate string `json:"tailgate"` // "origin#seq"
	Block    string `json:"block"`
	Missed   bool   `json:"missed"`
	How      string `json:"how"`    // by radio, in sight, ...
	Action   string `json:"action"` // what was done about a missed one
}
