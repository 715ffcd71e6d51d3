package fire

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/training/civil"
)

// Period is the part of every year in which the fire danger class of a place is asked before work. First and Last are the days as
// MM-DD, both included; First after Last runs over New Year.
type Period struct {
	Region      string // code of the place whose rules name it, "" for months of the house rules
	First, Last string
	Source      string
}

// periods holds what was read, by the code of the place.
var periods = []Period{
	{Region: "bc", First: "03-01", Last: "11-01",
		Source: "British Columbia Wildfire Regulation, B.C. Reg. 38/2005: high-risk activities within 300 m of forest or grass land from 1 March to 1 November (read in restatements)"},
}

// PeriodOf finds the period that the rules of a place name; ok is false where none was read.
func PeriodOf(region string) (s Period, ok bool) {
	for _, one := range periods {
		if one.Region == region {
			return one, true
		}
	}
	return Period{}, false
}

// Months is the period of whole months, both included.
func Months(first, last time.Month) Period {
	return Period{First: fmt.Sprintf("%02d-01", first), Last: fmt.Sprintf("%02d-31", last)}
}

// Holds reports whether a day lies in the period.
func (s Period) Holds(day civil.Day) bool {
	_, date, _ := strings.Cut(day.String(), "-")
	if s.First <= s.Last {
		return s.First <= date && date <= s.Last
	}
	return date >= s.First || date <= s.Last
}

// String says the period in words: "1 March to 1 November", or of whole months "April to October".
func (s Period) String() string {
	if strings.HasSuffix(s.First, "-01") && strings.HasSuffix(s.Last, "-31") {
		return month(s.First) + " to " + month(s.Last)
	}
	return date(s.First) + " to " + date(s.Last)
}

func date(monthDay string) string {
	day, _ := strconv.Atoi(monthDay[len("MM-"):])
	return strconv.Itoa(day) + " " + month(monthDay)
}

func month(monthDay string) string {
	n, _ := strconv.Atoi(monthDay[:len("MM")])
	return time.Month(n).String()
}
