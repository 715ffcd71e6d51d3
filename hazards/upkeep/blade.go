package upkeep

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"example.org/ringtrue/hazards/units"
)

// What a clearing saw, its blades and a fill can be, in base units: company choice, wide on purpose, to catch slips
// of the unit or the decimal point.
var (
	spindleBounds  = bounds{units.Rotation, 1000.0 / 60, 20000.0 / 60}
	ratedBounds    = bounds{units.Rotation, 1000.0 / 60, 50000.0 / 60}
	diameterBounds = bounds{units.Length, 0.1, 0.4}
	boreBounds     = bounds{units.Length, 0.005, 0.05}
	tankBounds     = bounds{units.Volume, 0.2, 3}
	serviceBounds  = bounds{units.Time, 3600, 1000 * 3600}
	vibration      = bounds{units.Acceleration, 0, 40} // the published table of points ends at 40 m/s²
	noise          = bounds{units.Level, 60, 140}
)

type bounds struct {
	of        units.Dimension
	low, high float64
}

// read takes a quantity within bounds; the error names the field.
func (b bounds) read(field, text string) (float64, error) {
	q, err := units.Parse(text, b.of)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", field, err)
	}
	if si := q.SI(); !(si >= b.low-hair && si <= b.high+hair) {
		return 0, fmt.Errorf("%s: %s cannot be meant for a clearing saw", field, q)
	}
	return q.SI(), nil
}

// hair keeps a bound where it is after a change of unit.
const hair = 1e-9

// maybe is read where the field may be left out.
func (b bounds) maybe(field, text string) error {
	if text == "" {
		return nil
	}
	_, err := b.read(field, text)
	return err
}

// ParseSizes reads the blade sizes a saw takes: one diameter, "200mm", or a range, "200mm-225mm".
func ParseSizes(text string) (smallest, largest string, err error) {
	low, high, ranged := strings.Cut(text, "-")
	low, high = strings.TrimSpace(low), strings.TrimSpace(high)
	if !ranged {
		high = low
	}
	a, errLow := diameterBounds.read("smallest blade", low)
	b, errHigh := diameterBounds.read("largest blade", high)
	if err := errors.Join(errLow, errHigh); err != nil {
		return "", "", err
	}
	if a > b {
		return "", "", fmt.Errorf("%q runs from the larger to the smaller blade", text)
	}
	return low, high, nil
}

var idForm = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9.-]{0,19}$`)

// CheckID refuses an id that cannot be painted on a saw or scratched into a blade and typed again.
func CheckID(what, id string) error {
	if idForm.MatchString(id) {
		return nil
	}
	return fmt.Errorf("%s %q is no id; write up to 20 letters, digits, hyphens and points, as S11", what, id)
}

// Validate lists every problem of a saw's card.
func (s Saw) Validate() error {
	_, spindle := spindleBounds.read("spindle speed", s.Spindle)
	_, _, sizes := ParseSizes(s.BladeMin + "-" + s.BladeMax)
	return errors.Join(
		CheckID("saw", s.ID), spindle, sizes,
		boreBounds.maybe("bore", s.Bore), tankBounds.maybe("tank", s.Tank), serviceBounds.maybe("service", s.Service),
		vibration.maybe("vibration", s.Vibration), weighted(s.Noise), noise.maybe("noise", s.Noise),
	)
}

func weighted(level string) error {
	if q, err := units.Parse(level, units.Level); err == nil && q.Unit != "dBA" {
		return fmt.Errorf("noise: %q is not A-weighted; write it in dBA", level)
	}
	return nil
}

// most teeth and fewest a saw blade can have: company choice, wide on purpose.
const (
	fewestTeeth = 3
	mostTeeth   = 120
)

// CheckBlade lists why a blade does not fit a saw: its size, its bore, or that it makes no sense. Whether it may turn
// that fast is for kickback.Rated.
func (s Saw) CheckBlade(b BladeFitted) error {
	_, rated := ratedBounds.read("rated speed", orUnknown(b.Rated))
	if b.Rated == "" {
		rated = errors.New("the highest speed marked on the blade is not known; do not run it")
	}
	return errors.Join(CheckID("blade", b.Blade), rated, s.checkSize(b), s.checkBore(b), checkTeeth(b.Teeth))
}

func orUnknown(text string) string {
	if text == "" {
		return "0rpm"
	}
	return text
}

func (s Saw) checkSize(b BladeFitted) error {
	if b.Diameter == "" {
		return nil // told by nobody; the size is read when the blade is fitted
	}
	d, err := diameterBounds.read("diameter", b.Diameter)
	if err != nil {
		return err
	}
	low, _ := diameterBounds.read("smallest blade", s.BladeMin)
	high, _ := diameterBounds.read("largest blade", s.BladeMax)
	if d < low-hair || d > high+hair {
		return fmt.Errorf("saw %s takes blades of %s to %s; this one is %s", s.ID, s.BladeMin, s.BladeMax, b.Diameter)
	}
	return nil
}

func (s Saw) checkBore(b BladeFitted) error {
	if err := boreBounds.maybe("bore", b.Bore); err != nil || b.Bore == "" || s.Bore == "" {
		return err
	}
	blade, _ := boreBounds.read("bore", b.Bore)
	saw, _ := boreBounds.read("bore", s.Bore)
	if blade < saw-hair || blade > saw+hair {
		return fmt.Errorf("saw %s has a bore of %s; the blade has %s", s.ID, s.Bore, b.Bore)
	}
	return nil
}

func checkTeeth(n int) error {
	if n != 0 && (n < fewestTeeth || n > mostTeeth) {
		return fmt.Errorf("a blade does not have %d teeth", n)
	}
	return nil
}
