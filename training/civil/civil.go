// Package civil deals in calendar days as a crew means them: days in the book's time zone, without clock times.
//
// Months are calendar months clamped to the month's end (31 January + 1 month = 28 or 29 February), the
// day-clamping method of W3C XML Schema Part 2 appendix E. Spans are half-open: a thing that ends on 1 March is
// no longer in force on 1 March.
package civil

import (
	"fmt"
	"time"
)

// Day counts days since 1970-01-01; the zero Day is that day. None stands for "no day".
type Day int32

// None is the absent day: open-ended, or never.
const None Day = -1 << 31

// Layout is how days are written and read.
const Layout = "2006-01-02"

// Of returns the day on which t falls in the zone loc.
func Of(t time.Time, loc *time.Location) Day {
	y, m, d := t.In(loc).Date()
	return Date(y, m, d)
}

// Date returns the day y-m-d; days and months out of range run over as in time.Date.
func Date(y int, m time.Month, d int) Day {
	return Day(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

// Parse reads YYYY-MM-DD. It refuses days that do not exist, such as 2026-02-30.
func Parse(s string) (Day, error) {
	t, err := time.Parse(Layout, s)
	if err != nil {
		return None, fmt.Errorf("%q is not a day that exists", s)
	}
	return Of(t, time.UTC), nil
}

func (d Day) utc() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// String writes the day as YYYY-MM-DD, and None as the empty string.
func (d Day) String() string {
	if d == None {
		return ""
	}
	return d.utc().Format(Layout)
}

// Words writes the day for a reader, as "4 Jun 2026".
func (d Day) Words() string { return d.utc().Format("2 Jan 2006") }

// Year is the calendar year of the day.
func (d Day) Year() int { return d.utc().Year() }

// Start is the first instant of the day in loc; End is the first instant of the next one.
func (d Day) Start(loc *time.Location) time.Time {
	y, m, day := d.utc().Date()
	return time.Date(y, m, day, 0, 0, 0, 0, loc)
}

// End is the first instant after the day in loc.
func (d Day) End(loc *time.Location) time.Time { return (d + 1).Start(loc) }

// Noon is 12:00 of the day in loc: the clock time of a day told without one.
func (d Day) Noon(loc *time.Location) time.Time {
	y, m, day := d.utc().Date()
	return time.Date(y, m, day, 12, 0, 0, 0, loc)
}

// AddMonths moves by n calendar months, clamped to the end of the month reached.
func (d Day) AddMonths(n int) Day {
	y, m, day := d.utc().Date()
	last := time.Date(y, m+time.Month(n)+1, 0, 0, 0, 0, 0, time.UTC).Day()
	return Date(y, m+time.Month(n), min(day, last))
}

// NextYearly returns the first day strictly after d that has the given month and day; 29 February falls on 28
// February in common years.
func (d Day) NextYearly(m time.Month, day int) Day {
	for y := d.utc().Year(); ; y++ {
		last := time.Date(y, m+1, 0, 0, 0, 0, 0, time.UTC).Day()
		if c := Date(y, m, min(day, last)); c > d {
			return c
		}
	}
}

// Min returns the earlier of two days, taking None as "never".
func Min(a, b Day) Day {
	if a == None || (b != None && b < a) {
		return b
	}
	return a
}
