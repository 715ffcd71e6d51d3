package training

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/ringtrue/hazards/units"
)

// Judge decides how one look ended, by the criteria of the skill and the house rules in force on its day. It
// returns the marks in the order of the criteria, completed: a measured criterion with a value is met or missed by
// its range, ends included, unless it was said to be missed; a criterion that nobody mentioned was not seen. A look
// that saw nothing at all is incomplete. Reasons name every miss and every critical criterion not seen. All problems
// with the marks (unknown criterion or word, measured criterion met without value, value without unit or of another
// quantity, value out of physical range, said twice) are returned together; then nothing is judged.
func Judge(s Skill, said []Mark, r Rules) (marks []Mark, o Outcome, reasons []string, err error) {
	given, err := readMarks(s, said)
	if err != nil {
		return nil, 0, nil, err
	}
	missed, seen, criticalMissed, criticalUnseen := 0, 0, false, false
	for _, c := range s.Criteria {
		m, why, err := mark(c, given[c.ID])
		if err != nil {
			return nil, 0, nil, err
		}
		marks = append(marks, m)
		if m.Seen != NotSeen {
			seen++
		}
		switch {
		case m.Seen == Missed && c.Critical:
			criticalMissed = true
			reasons = append(reasons, "critical criterion missed: "+why)
		case m.Seen == Missed:
			missed++
			reasons = append(reasons, "missed: "+why)
		case m.Seen == NotSeen && c.Critical:
			criticalUnseen = true
			reasons = append(reasons, "critical criterion not seen: "+c.ID)
		}
	}
	if seen == 0 {
		reasons = append(reasons, "no criterion was seen")
	}
	return marks, outcome(criticalMissed, criticalUnseen || seen == 0, missed > r.MissesAllowed), reasons, nil
}

// outcome ranks what a look showed: a miss beats what was not seen.
func outcome(criticalMissed, unseen, tooMany bool) Outcome {
	switch {
	case criticalMissed:
		return CriticalMissed
	case tooMany:
		return NotMet
	case unseen:
		return Incomplete
	}
	return OutcomeMet
}

func readMarks(s Skill, said []Mark) (map[string]Mark, error) {
	given := map[string]Mark{}
	var problems []error
	for _, m := range said {
		c, known := s.Criterion(m.Criterion)
		_, twice := given[m.Criterion]
		given[m.Criterion] = m
		switch {
		case !known:
			problems = append(problems, fmt.Errorf("skill %s has no criterion %q; it has %s", s.ID, m.Criterion, s.criteria()))
		case twice:
			problems = append(problems, fmt.Errorf("criterion %s is given twice", m.Criterion))
		case m.Seen != "" && m.Seen != Met && m.Seen != Missed && m.Seen != NotSeen:
			problems = append(problems, fmt.Errorf("criterion %s: %q is none of met, missed, not seen", m.Criterion, m.Seen))
		case m.Value != "" && !c.Measured():
			problems = append(problems, fmt.Errorf("criterion %s is seen, not measured; it takes no value", m.Criterion))
		case m.Value == "" && m.Seen == Met && c.Measured():
			problems = append(problems, fmt.Errorf("criterion %s is measured; give its value with unit, wanted is %s", m.Criterion, c.Wanted()))
		default:
			if _, _, err := mark(c, m); err != nil {
				problems = append(problems, err)
			}
		}
	}
	return given, errors.Join(problems...)
}

func (s Skill) criteria() string {
	list := ""
	for i, c := range s.Criteria {
		if i > 0 {
			list += ", "
		}
		list += c.ID
	}
	return list
}

// mark completes one mark and says in words what was missed.
func mark(c Criterion, m Mark) (Mark, string, error) {
	m.Criterion = c.ID
	if m.Value == "" {
		if m.Seen == "" {
			m.Seen = NotSeen
		}
		return m, c.ID, nil
	}
	q, err := units.Parse(m.Value, c.Of)
	if err != nil {
		return m, "", fmt.Errorf("criterion %s: %w", c.ID, err)
	}
	if err := c.physical(q); err != nil {
		return m, "", fmt.Errorf("criterion %s: %w", c.ID, err)
	}
	m.Value = strings.TrimSpace(m.Value)
	said := m.Seen
	m.Seen = Missed
	inside, err := c.inside(q)
	if err != nil {
		return m, "", err
	}
	if inside && said != Missed {
		m.Seen = Met
	}
	return m, fmt.Sprintf("%s %s, wanted %s", c.ID, m.Value, c.Wanted()), nil
}

// hair is the relative error that conversion between units may leave: 35mm is not less than 3.5cm. Far below any hand
// measurement.
const hair = 1e-9

// inside reports whether a value lies in the criterion's range, ends included.
func (c Criterion) inside(q units.Quantity) (bool, error) {
	for _, end := range []struct {
		text string
		low  bool
	}{{c.Min, true}, {c.Max, false}} {
		if end.text == "" {
			continue
		}
		e, err := units.Parse(end.text, c.Of)
		if err != nil {
			return false, fmt.Errorf("criterion %s: range: %w", c.ID, err)
		}
		beyond := q.SI() - e.SI()
		if end.low {
			beyond = -beyond
		}
		if beyond > hair*math.Abs(e.SI()) {
			return false, nil
		}
	}
	return true, nil
}

// Wanted writes the range of a measured criterion: "120deg to 130deg", "at least 10ft", "at most 3s".
func (c Criterion) Wanted() string {
	switch {
	case c.Min != "" && c.Max != "" && c.Min == c.Max:
		return c.Min
	case c.Min != "" && c.Max != "":
		return c.Min + " to " + c.Max
	case c.Min != "":
		return "at least " + c.Min
	}
	return "at most " + c.Max
}

// bounds are what a hand measurement on a crew can physically be: company choice, wide on purpose, to catch slips of
// the unit or the decimal point.
var bounds = map[units.Dimension][2]string{
	units.Angle: {"0deg", "180deg"}, units.Length: {"0m", "1000m"}, units.Time: {"0s", "24h"}, units.Share: {"0%", "100%"},
	units.Slope: {"0%", "300%"}, units.Rotation: {"0rpm", "30000rpm"}, units.Count: {"0", "1000000"}, units.Volume: {"0L", "1000L"},
	units.Mass: {"0kg", "200kg"}, units.Area: {"0m2", "100ha"}, units.Temperature: {"-60C", "60C"}, units.Speed: {"0m/s", "100m/s"},
	units.Level: {"0dB", "140dB"},
}

// farBeyond is how many times the end of a criterion's range a value may be before it is taken for a slip (company
// choice).
const farBeyond = 100

// physical refuses what no measurement of the criterion can be.
func (c Criterion) physical(q units.Quantity) error {
	if err := physical(q); err != nil {
		return err
	}
	end := c.Max
	if end == "" {
		end = c.Min
	}
	e, err := units.Parse(end, c.Of)
	if err != nil {
		return fmt.Errorf("range: %w", err)
	}
	if e.SI() > 0 && q.SI() > farBeyond*e.SI() {
		return fmt.Errorf("%s cannot be meant: wanted is %s", q, c.Wanted())
	}
	return nil
}

func physical(q units.Quantity) error {
	b, ok := bounds[q.Dim]
	if !ok {
		return nil
	}
	low, err := units.Parse(b[0], q.Dim)
	if err != nil {
		return err
	}
	high, err := units.Parse(b[1], q.Dim)
	if err != nil {
		return err
	}
	if q.SI() < low.SI() || q.SI() > high.SI() {
		return fmt.Errorf("%s cannot be: the %s lies between %s and %s", q, q.Dim, low, high)
	}
	return nil
}
