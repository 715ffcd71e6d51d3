package training

import (
	"fmt"

	"example.org/ringtrue/training/civil"
)

// Seasons tells anew how many seasons somebody had worked with a clearing saw before this book knew them: before this company, and at it
// before the book was started. It goes before what was told when they were put on the crew list.
type Seasons struct {
	Before int    `json:"before"`
	Basis  string `json:"basis"` // who says so, or what it rests on; may be ""
}

// mostSeasons is beyond a working life; more is a slip of the pen (company choice).
const mostSeasons = 60

// CheckSeasons refuses a number of seasons that cannot be meant.
func CheckSeasons(before int) error {
	if before < 0 || before > mostSeasons {
		return fmt.Errorf("%d seasons cannot be meant; write 0 to %d", before, mostSeasons)
	}
	return nil
}

// Experience is how long somebody has worked with a clearing saw.
type Experience struct {
	SawDays int  // days with a saw that count for the first month
	Seasons int  // seasons with a saw, this one counted
	Asked   bool // somebody told the seasons before; else only what the book holds counts
}

// ExperienceOf counts what somebody has done before a day: their days with a saw in this book, and the seasons told for the time before
// it, nil where nobody was asked. Who had a season before is past the first month, which is firstMonth days long; who was never asked
// counts as new until the book itself knows better. A season is a calendar year (company choice).
func ExperienceOf(days []civil.Day, before *int, today civil.Day, firstMonth int) Experience {
	here, years := map[civil.Day]bool{}, map[int]bool{today.Year(): true}
	for _, d := range days {
		if d < today {
			here[d], years[d.Year()] = true, true
		}
	}
	e := Experience{SawDays: len(here), Seasons: len(years)}
	if before == nil {
		return e
	}
	e.Asked = true
	e.Seasons += *before
	if *before > 0 {
		e.SawDays = max(e.SawDays, firstMonth)
	}
	return e
}
