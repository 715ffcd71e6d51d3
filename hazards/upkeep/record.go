package upkeep

// The records below stand as "data" of ledger entries. People stand as person ids, references to other entries as
// "origin#seq", quantities as told with their unit. Floats never enter the ledger.

// Saw is the card of a saw. Every change makes a new edition.
type Saw struct {
	ID            string `json:"id"`
	Edition       int    `json:"edition"`   // 1, 2, ...
	Spindle       string `json:"spindle"`   // highest speed of the spindle, "9000rpm"
	BladeMin      string `json:"blade_min"` // smallest blade it takes, "200mm"
	BladeMax      string `json:"blade_max"` // largest
	Bore          string `json:"bore"`      // "" = not said
	Guard         string `json:"guard"`     // which guard, in words
	Harness       string `json:"harness"`   // which harness, in words
	Tank          string `json:"tank"`      // "0.9L"; "" = the house figure
	Service       string `json:"service"`   // maker's hours between weekly services, "25h"; "" = by days only
	Vibration     string `json:"vibration"` // declared or measured, "4.5m/s2"; "" = the house figure
	Noise         string `json:"noise"`     // at the ear, "100dBA"; "" = the house figure
	FixedThrottle bool   `json:"fixed_throttle"`
	Owner         string `json:"owner"` // person id of the worker whose own it is; "" = the company's
}

// BladeFitted puts a blade on a saw. It belongs to that saw until it is scrapped. First names the entry that fitted it
// for the first time, "" in that entry itself.
type BladeFitted struct {
	Saw      string `json:"saw"`
	Blade    string `json:"blade"`
	Diameter string `json:"diameter"`
	Bore     string `json:"bore"`
	Rated    string `json:"rated"` // highest speed marked on it
	Teeth    int    `json:"teeth"` // 0 = not said
	First    string `json:"first"`
	Corrects string `json:"corrects,omitempty"` // why something recorded of this blade before was wrong
}

// BladeScrapped ends a blade. First names the entry that fitted it first.
type BladeScrapped struct {
	Saw    string `json:"saw"`
	Blade  string `json:"blade"`
	First  string `json:"first"`
	Reason string `json:"reason"`
}

// Use says that a worker had a saw on a day.
type Use struct {
	Saw   string `json:"saw"`
	Block string `json:"block"`
	Hours string `json:"hours"`         // engine hours, "5.5h"
	Area  string `json:"area"`          // thinned, "0.2ha"
	Day   bool   `json:"day,omitempty"` // only the day was told: its clock time says nothing
}

// Line is the day of one saw in one line: what was done, and counts. Left names items that the daily or weekly
// upkeep left out. First names the fitting of the blade that was on.
type Line struct {
	Saw     string   `json:"saw"`
	Blade   string   `json:"blade"`
	First   string   `json:"first"`
	Daily   bool     `json:"daily"`
	Weekly  bool     `json:"weekly"`
	Left    []string `json:"left"`
	Refuels int      `json:"refuels"`
	Filings int      `json:"filings"`
	Rock    int      `json:"rock"` // hits on rock
	Nut     int      `json:"nut"`  // wrench checks of the blade nut
	Litres  string   `json:"litres"`
	Hours   string   `json:"hours"`
	Area    string   `json:"area"`
	Note    string   `json:"note"`
}

// Refuel counts refuellings of a saw. Litres is the mixture filled in, all of them together.
type Refuel struct {
	Saw    string `json:"saw"`
	Count  int    `json:"count"`
	Litres string `json:"litres"`
}

// Filing counts filings of a blade.
type Filing struct {
	Saw   string `json:"saw"`
	Blade string `json:"blade"`
	First string `json:"first"`
	Count int    `json:"count"`
	After string `json:"after"` // "refuel", "rock" or "new blade"
}

// Setting says that the teeth of a blade were set. Width is the set as checked with the gauge.
type Setting struct {
	Saw   string `json:"saw"`
	Blade string `json:"blade"`
	First string `json:"first"`
	Width string `json:"width"`
}

// Defect is something found wrong. Stops is fixed when it is written. First names the fitting of the blade that was on.
type Defect struct {
	Saw   string `json:"saw"`
	What  string `json:"what"` // id of a DefectKind
	Stops bool   `json:"stops"`
	By    string `json:"by"` // who found it
	Blade string `json:"blade"`
	First string `json:"first"`
	Note  string `json:"note"`
}

// Tag takes a saw out of use.
type Tag struct {
	Saw    string `json:"saw"`
	Reason string `json:"reason"`
	Told   string `json:"told"` // "in person" or "by phone"
}

// Clear puts a saw back. Again says that Second has to look at it within the house time.
type Clear struct {
	Saw    string   `json:"saw"`
	Clears []string `json:"clears"`
	Done   string   `json:"done"`
	Part   string   `json:"part"`
	Again  bool     `json:"again"`
	Second string   `json:"second"`
}

// LookAgain is a second person's look at a saw that its finder has cleared. Clears names that clearing.
type LookAgain struct {
	Saw    string   `json:"saw"`
	Clears []string `json:"clears"`
	Note   string   `json:"note"`
}

// Retire takes a saw out of use for good. Its id is not given out again.
type Retire struct {
	Saw    string `json:"saw"`
	Reason string `json:"reason"`
}

// Fitting is how a saw and its harness were set for one worker, with a full tank. Observations names the looks that
// it was recorded with.
type Fitting struct {
	Saw    string `json:"saw"`
	Hook   string `json:"hook"`   // hook below the hip bone
	Height string `json:"height"` // blade above the ground at rest
	Tilt   string `json:"tilt"`   // blade from level
	Elbow  string `json:"elbow"`
	Wrist  string `json:"wrist"`
	Block  string `json:"block"`
}
