package hazards

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/units"
)

// Block is the card of one piece of ground: its stable facts and its emergency text. Quantities are strings with
// their unit, as told; the card stands in the ledger, so it holds no floats. Every change makes a new edition, and a
// sheet written from an older one is refused.
type Block struct {
	ID         string `json:"id"`
	Name       string `json:"name"`
	Edition    int    `json:"edition"`     // 1, 2, ...
	Kind       string `json:"kind"`        // kind of ground, in a word or two of the crew's own; orientation holds for a kind
	Lat        string `json:"lat"`         // decimal degrees, north positive
	Lon        string `json:"lon"`         // decimal degrees, east positive
	Access     string `json:"access"`      // length of the access leg by road, "42.5km"
	Walk       string `json:"walk"`        // time on foot from the road to the ground, "35min"
	SlopeMax   string `json:"slope_max"`   // steepest ground, "45%" or "24deg"
	TreeHeight string `json:"tree_height"` // tallest stems, "4m"
	Ambulance  string `json:"ambulance"`   // time from the call until an ambulance can be at the meeting point, "75min"

	Call    string `json:"call"`            // who to call, and how
	Road    string `json:"road"`            // where it is, by road
	Channel string `json:"channel"`         // radio channel or other device
	Meeting string `json:"meeting"`         // meeting point
	PlanB   string `json:"plan_b"`          // the plan without a helicopter
	Carry   string `json:"carry,omitempty"` // who comes to carry somebody out, "" = nobody is named

	// Each of these may be "": not told.
	Landing  string `json:"landing,omitempty"`  // where a helicopter lands
	Gate     string `json:"gate,omitempty"`     // gate on the way, and where its key is
	Hospital string `json:"hospital,omitempty"` // nearest one that takes the injured
	Nesting  string `json:"nesting,omitempty"`  // window in which nests are left alone, and who says so
}

// Validate lists every problem of the card.
func (b Block) Validate() error {
	var problems []error
	say := func(format string, args ...any) {
		problems = append(problems, fmt.Errorf("block %s: "+format, append([]any{b.ID}, args...)...))
	}
	if b.Edition < 1 {
		say("edition is %d; the first one is 1", b.Edition)
	}
	for _, t := range b.texts() {
		if strings.TrimSpace(t.said) == "" {
			say("%s is blank", t.name)
		}
	}
	for _, d := range b.degrees() {
		if !d.sound() {
			say("%s is %q; write decimal degrees between -%g and %g", d.name, d.said, d.max, d.max)
		}
	}
	for _, q := range b.quantities() {
		if _, err := inRange(q.said, q.Question); err != nil {
			say("%s: %w", q.ID, err)
		}
	}
	return errors.Join(problems...)
}

// degree is one coordinate as told, and the largest that there is.
type degree struct {
	name, said string
	max        float64
}

func (b Block) degrees() []degree { return []degree{{"lat", b.Lat, 90}, {"lon", b.Lon, 180}} }

func (d degree) sound() bool {
	v, err := strconv.ParseFloat(d.said, 64)
	return err == nil && v >= -d.max && v <= d.max
}

// OnEarth reports whether the coordinates are those of a place.
func (b Block) OnEarth() bool { return b.degrees()[0].sound() && b.degrees()[1].sound() }

func (b Block) texts() []fact {
	return []fact{
		{"id", b.ID}, {"name", b.Name}, {"call", b.Call}, {"road", b.Road}, {"channel", b.Channel},
		{"meeting point", b.Meeting}, {"plan without helicopter", b.PlanB},
	}
}

type blockQuantity struct {
	Question
	said string
}

func (b Block) quantities() []blockQuantity {
	return []blockQuantity{
		{Question{ID: "access", Of: units.Length, Max: 2000e3}, b.Access},
		{Question{ID: "walk", Of: units.Time, Max: 24 * hour}, b.Walk},
		{Question{ID: "slope-max", Of: units.Slope, Max: maxSlope}, b.SlopeMax},
		{Question{ID: "tree-height", Of: units.Length, Min: 0.1, Max: maxHeight}, b.TreeHeight},
		{Question{ID: "ambulance", Of: units.Time, Max: 48 * hour}, b.Ambulance},
	}
}

// inRange reads a quantity and refuses one that cannot be meant.
func inRange(said string, q Question) (float64, error) {
	v, err := units.Parse(q.plain(said), q.Of)
	if err != nil {
		return 0, err
	}
	if si := v.SI(); si < q.Min || si > q.Max {
		return 0, fmt.Errorf("%s is out of range: %s", v, units.Span(q.Min, q.Max, v))
	}
	return v.SI(), nil
}

// HelpAfter is the time in seconds until professional help can be with somebody hurt on the ground: the ambulance to
// the meeting point, then the walk (company choice). ok is false where the card does not say.
func (b Block) HelpAfter() (seconds float64, ok bool) {
	ambulance, err := units.Parse(b.Ambulance, units.Time)
	if err != nil {
		return 0, false
	}
	walk, err := units.Parse(b.Walk, units.Time)
	if err != nil {
		return 0, false
	}
	return ambulance.SI() + walk.SI(), true
}

// SamePlace reports whether coordinates read back are those of the card. "54.71, -124.92" and "54.710 -124.920" are
// the same; nothing else is near enough.
func (b Block) SamePlace(readBack string) bool {
	words := strings.FieldsFunc(readBack, func(r rune) bool { return r == ' ' || r == ',' || r == ';' })
	return len(words) == 2 && sameNumber(words[0], b.Lat) && sameNumber(words[1], b.Lon)
}

func sameNumber(a, b string) bool {
	x, err := strconv.ParseFloat(a, 64)
	if err != nil {
		return false
	}
	y, err := strconv.ParseFloat(b, 64)
	return err == nil && x == y
}

// ReadAloud is the emergency text, one sentence a line, as it is read to the crew.
func (b Block) ReadAloud() []string {
	lines := []string{
		fmt.Sprintf("If somebody is hurt: call %s on %s.", b.Call, b.Channel),
		fmt.Sprintf("Say who you are, what happened, and where: block %s, %s.", b.ID, b.Name),
		fmt.Sprintf("By road: %s.", b.Road),
		fmt.Sprintf("Coordinates: %s, %s.", b.Lat, b.Lon),
		fmt.Sprintf("Meeting point: %s.", b.Meeting),
		fmt.Sprintf("Without a helicopter: %s.", b.PlanB),
		fmt.Sprintf("An ambulance needs about %s to the meeting point. The walk is %s.", b.Ambulance, b.Walk),
	}
	if b.Carry != "" {
		lines = append(lines, fmt.Sprintf("To carry comes: %s.", b.Carry))
	}
	return append(lines, b.Further()...)
}

// Further is what a card need not tell and what helps those who come, a sentence a line: gate and key, hospital, landing spot.
func (b Block) Further() (lines []string) {
	for _, may := range []fact{{"Gate and key: %s.", b.Gate}, {"Hospital: %s.", b.Hospital},
		{"A helicopter lands at: %s. Tape and helmets are tied down; nobody moves before its crew signals.", b.Landing}} {
		if may.said != "" {
			lines = append(lines, fmt.Sprintf(may.name, may.said))
		}
	}
	return lines
}

// Optional lists what a card may leave untold, so that it can be taken back.
func (b *Block) Optional() []*string {
	return []*string{&b.Carry, &b.Landing, &b.Gate, &b.Hospital, &b.Nesting}
}
