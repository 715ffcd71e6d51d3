package workbook

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"

	"example.org/ringtrue/store/visible"
	"example.org/ringtrue/training/civil"
)

// Serial numbers of the 1900 date system, which counts a 29 February 1900 that never was: 59 is 28 February, 61 is
// 1 March (ECMA-376 1st edition part 4, "Date Representation", read in a copy of its text).
const (
	serialOf1970 = 25569   // 1970-01-01: 61 and the 25,508 days since 1900-03-01
	firstSerial  = 61      // 1900-03-01; below it programs disagree, so nothing below is written
	lastSerial   = 2958465 // 9999-12-31 (ECMA-376 1st edition part 4, "Date Representation", upper limit)
)

const secondsOfDay = 24 * 60 * 60

// maxWhole is the largest whole number that a double, and so a cell, holds exactly together with all below it.
const maxWhole = 1<<53 - 1

// cell turns a value of column c into what the library stores in a cell: a string, a number, a bool, or nil for a
// blank. zone is that of the book.
func (c Column) cell(v any, zone *time.Location) (any, error) {
	if v == nil {
		return nil, nil
	}
	switch x := v.(type) {
	case string:
		if c.Kind == Text {
			return textCell(v, x)
		}
	case int:
		if c.Kind == Number {
			return v, checkWhole(int64(x))
		}
	case int64:
		if c.Kind == Number {
			return v, checkWhole(x)
		}
	case float64:
		if c.Kind == Number {
			return v, checkFraction(x)
		}
	case bool:
		if c.Kind == Flag {
			return v, nil
		}
	case civil.Day:
		if c.Kind == Day {
			return dayCell(x)
		}
	case time.Time:
		if c.Kind == Moment {
			return momentCell(x, zone)
		}
	}
	return nil, fmt.Errorf("a value of type %T does not belong in a column of %s", v, c.Kind)
}

// miscarried is text that spells an escape of the format, _xHHHH_ (ECMA-376 part 1, the string type ST_Xstring; from
// memory), in a way that would be read as something else. The library escapes such text once more, but not the halves
// of UTF-16 pairs, and wrongly where two share an underscore (excelize v2.11.1, found by the round-trip test).
var miscarried = regexp.MustCompile(`_x[0-9a-fA-F]{4}(_x[0-9a-fA-F]{4})+_|_x[dD][89a-fA-F][0-9a-fA-F]{2}_`)

// textCell returns v, the string s as it came, so that nothing is allocated for it. What is hidden in it shows as in package visible; what would be read as something
// else shows as U+FFFD, as other text does that a cell cannot carry.
func textCell(v any, s string) (any, error) {
	if s == "" {
		return nil, nil
	}
	if err := checkText(s); err != nil {
		return nil, err
	}
	if shown := visible.String(s); shown != s && checkText(shown) == nil {
		s, v = shown, shown
	}
	if strings.Contains(s, "_x") && miscarried.MatchString(s) {
		return miscarried.ReplaceAllString(s, "\uFFFD"), nil
	}
	return v, nil
}

func checkWhole(n int64) error {
	if n < -maxWhole || n > maxWhole {
		return fmt.Errorf("the number %d is beyond ±(2^53-1), where a cell would round it; write it as text", n)
	}
	return nil
}

func checkFraction(x float64) error {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return fmt.Errorf("%v is no number that a cell can hold", x)
	}
	return nil
}

func dayCell(d civil.Day) (any, error) {
	if d == civil.None {
		return nil, nil
	}
	serial := int64(d) + serialOf1970
	if serial < firstSerial || serial > lastSerial {
		return nil, fmt.Errorf("the day %s is not within 1900-03-01 to 9999-12-31", d)
	}
	return serial, nil
}

// momentCell drops fractions of a second, as the format shown has none.
func momentCell(t time.Time, zone *time.Location) (any, error) {
	if t.IsZero() {
		return nil, nil
	}
	local := t.In(zone)
	_, offset := local.Zone()
	seconds := local.Unix() + int64(offset) + serialOf1970*secondsOfDay
	if seconds < firstSerial*secondsOfDay || seconds >= (lastSerial+1)*secondsOfDay {
		return nil, fmt.Errorf("the moment %s is not within 1900-03-01 to 9999-12-31", local.Format(time.RFC3339))
	}
	return serialOf(seconds), nil
}

// serialOf turns seconds since day 0 into the nearest serial number of 15 digits. The library would cut off what is
// beyond them (excelize v2.11.1), and LibreOffice 7.4 then shows the second before (tried).
func serialOf(seconds int64) float64 {
	scale := 1e14 // one digit before the point
	for day := seconds / secondsOfDay; day >= 10; day /= 10 {
		scale /= 10
	}
	return math.Round(float64(seconds)/secondsOfDay*scale) / scale
}

// String names the kind as errors do.
func (k Kind) String() string {
	names := [...]string{"text", "numbers", "days", "moments", "flags"}
	if int(k) >= len(names) {
		return fmt.Sprintf("kind %d", k)
	}
	return names[k]
}
