package fire

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/training/civil"
)

// Reading is one day of noon readings as a book keeps them. Start opens a season with the codes of StartUp; Before
// opens or resumes one with the codes of the day before, as the agency gives them.
type Reading struct {
	Noon
	Start  bool
	Before *Codes
}

// Carried is a season as far as the codes can be carried: a result for each day in order, and the days that stand
// between the last of them and the day asked.
type Carried struct {
	Days    []Result
	Missing []civil.Day
	Begun   bool // a season has begun at all
}

// Result is what one day came to.
type Result struct {
	Day civil.Day
	Indices
}

// Last is the newest result; ok is false where there is none.
func (c Carried) Last() (r Result, ok bool) {
	if len(c.Days) == 0 {
		return Result{}, false
	}
	return c.Days[len(c.Days)-1], true
}

// Carry computes the codes from the newest beginning of a season up to a day, not counting later readings. At a missing day the
// codes stop: nothing is guessed, and Missing names each day up to the one asked. Readings may come in any order, one a
// day.
func Carry(readings []Reading, through civil.Day, latitude float64) (Carried, error) {
	list := slices.Clone(readings)
	slices.SortStableFunc(list, func(a, b Reading) int { return int(a.Day - b.Day) })
	first := -1
	for i, r := range list {
		if r.Day <= through && (r.Start || r.Before != nil) {
			first = i
		}
	}
	if first < 0 {
		return Carried{}, nil
	}
	codes := StartUp
	if b := list[first].Before; b != nil {
		codes = *b
	}
	days := running(list[first:], through)
	season, err := Season(days, codes, latitude)
	if err != nil {
		return Carried{}, err
	}
	c := Carried{Begun: true, Days: make([]Result, len(days))}
	for i, d := range days {
		c.Days[i] = Result{d.Day, season[i]}
	}
	c.Missing = missing(list[first:], days[len(days)-1].Day, through)
	return c, nil
}

// running takes the readings that follow each other day by day.
func running(list []Reading, through civil.Day) []Noon {
	days := make([]Noon, 0, len(list))
	for _, r := range list {
		if r.Day > through || (len(days) > 0 && r.Day != days[len(days)-1].Day+1) {
			break
		}
		days = append(days, r.Noon)
	}
	return days
}

// missing lists the days after the last carried one, up to the day asked, that have no reading.
func missing(list []Reading, last, through civil.Day) []civil.Day {
	have := map[civil.Day]bool{}
	for _, r := range list {
		if r.Day > last {
			have[r.Day] = true
		}
	}
	var out []civil.Day
	for day := last + 1; day <= through; day++ {
		if !have[day] {
			out = append(out, day)
		}
	}
	return out
}

// ParseCodes reads three codes, "88.1 45.2 310": FFMC, DMC and DC. The error names what is out of range.
func ParseCodes(text string) (Codes, error) {
	var c Codes
	words := strings.Fields(text)
	n, err := fmt.Sscan(text, &c.FFMC, &c.DMC, &c.DC)
	if err != nil || n != 3 || len(words) != 3 {
		return Codes{}, fmt.Errorf("%q is not three codes; write FFMC DMC DC, for example 88.1 45.2 310", text)
	}
	return c, c.check()
}

// Check lists every reading of a day that is out of range.
func (w Weather) Check() error { return w.check() }
