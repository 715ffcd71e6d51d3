package upkeep

import (
	"errors"
	"fmt"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

// What one saw can do in a day: company choice, wide on purpose, to catch slips of the finger.
const (
	mostADay      = 40          // refuellings, filings, hits on rock, checks
	mostHours     = 18 * 3600.0 // engine, seconds
	mostArea      = 50000.0     // m², five hectares
	largestTank   = 3.0         // L, where the card does not say
	tankTolerance = 1.1         // a tank holds a little more than it says
)

// Fill is what was told of a day's fuel.
type Fill struct {
	Refuels int
	Started bool   // the saw may have started the day empty, so that one fill more counts
	Litres  string // mixture, all fills together; "" = not told
	Tank    string // of the saw's card; "" = not known
}

// Check lists what cannot be meant: a count or volume below 0, or more than the tank takes.
func (f Fill) Check() error {
	problems := []error{count("refuels", f.Refuels)}
	if f.Litres != "" {
		problems = append(problems, f.litres())
	}
	return errors.Join(problems...)
}

func (f Fill) litres() error {
	q, err := units.Parse(f.Litres, units.Volume)
	if err != nil {
		return fmt.Errorf("litres: %w", err)
	}
	tank, err := units.Parse(f.Tank, units.Volume)
	holds, says := largestTank, "no clearing saw takes more than 3 L"
	if err == nil {
		holds, says = tank.SI()*tankTolerance, "the tank holds "+tank.String()
	}
	fills := f.Refuels
	if f.Started || fills == 0 {
		fills++
	}
	switch litres := q.SI(); {
	case litres <= 0:
		return fmt.Errorf("litres: %s is not more than 0", q)
	case litres > holds*float64(fills):
		return fmt.Errorf("litres: %s cannot go in with %d fills; %s", q, fills, says)
	}
	return nil
}

func count(what string, n int) error {
	if n < 0 || n > mostADay {
		return fmt.Errorf("%s: %d cannot be meant; write 0 to %d", what, n, mostADay)
	}
	return nil
}

// Check lists what cannot be meant in the counts of a day's line.
func (l Line) Check(tank string) error {
	return errors.Join(
		Fill{Refuels: l.Refuels, Started: true, Litres: l.Litres, Tank: tank}.Check(),
		count("filings", l.Filings), count("rock", l.Rock), count("nut", l.Nut), CheckWork(l.Hours, l.Area), l.left(),
	)
}

// CheckWork lists what cannot be meant for the engine hours and the area of one saw on one day; both may be "".
func CheckWork(hours, area string) error {
	return errors.Join(dayOf("hours", hours, units.Time, mostHours), dayOf("area", area, units.Area, mostArea))
}

func dayOf(field, text string, of units.Dimension, most float64) error {
	if text == "" {
		return nil
	}
	q, err := units.Parse(text, of)
	if err != nil {
		return fmt.Errorf("%s: %w", field, err)
	}
	if si := q.SI(); si <= 0 || si > most {
		return fmt.Errorf("%s: %s cannot be one saw's day", field, q)
	}
	return nil
}

func (l Line) left() error {
	var problems []error
	for _, id := range l.Left {
		i, ok := ItemByID(id)
		switch {
		case !ok:
			problems = append(problems, fmt.Errorf("%q is no upkeep item; daily: %s; weekly: %s", id, list(ItemIDs(false)), list(ItemIDs(true))))
		case i.Weekly && !l.Weekly, !i.Weekly && !l.Daily:
			problems = append(problems, fmt.Errorf("%s is left out of an upkeep that this line does not record", id))
		}
	}
	return errors.Join(problems...)
}

// TooManyFilings asks back where more filings were told than refuellings and rock make sense of: one at every
// interval, one for each hit on rock, and one in the morning. It is "" where nothing is odd.
func TooManyFilings(refuels, filings, rock int, h house.House) string {
	expected := refuels/max(1, h.Int(house.FileRefuels)) + rock + 1
	if filings <= expected {
		return ""
	}
	return fmt.Sprintf("%d filings with %d refuels and %d hits on rock: about %d would be usual; is that right? If not, strike the entry", filings, refuels, rock, expected)
}

// setBounds are what the set of a tooth can be, to one side: company choice, wide on purpose.
var setBounds = bounds{units.Length, 0.0001, 0.005}

// CheckSet refuses a set that cannot be meant; "" is not told.
func CheckSet(width string) error { return setBounds.maybe("set", width) }
