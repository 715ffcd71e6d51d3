package fire

import (
	"fmt"
	"slices"

	"example.org/ringtrue/training/civil"
)

// Class names of agencies and of the schemes above, from mild to severe. Equal ranks are words for the same place in
// the order (company choice: "very high" stands between high and extreme, "reduced" beside low, "maximum" beside
// extreme).
var ranks = map[string]int{
	"very low": 0, "low": 1, "reduced": 1, "moderate": 2, "high": 3, "very high": 4, "extreme": 5, "maximum": 5,
}

// ClassNames lists the class names known, the mildest first.
func ClassNames() []string {
	return []string{"very low", "reduced", "low", "moderate", "high", "very high", "maximum", "extreme"}
}

// Rank gives the place of a class in the order from mild to severe; ok is false for a name that is not known.
func Rank(class string) (rank int, ok bool) {
	rank, ok = ranks[class]
	return rank, ok
}

// Ranks from which a class counts as moderate and as high.
const (
	Moderate = 2
	High     = 3
)

// Worse returns the more severe of two classes; a name that is not known counts as none.
func Worse(a, b string) string {
	x, known := ranks[a]
	y, also := ranks[b]
	if !known || (also && y > x) {
		return b
	}
	return a
}

// AllDay is the Stop of a rung on which no saw starts.
const AllDay = "all day"

// Rung is one restriction: from which class on, after how many days running (today counted), when saws stop ("" = they
// do not), and for how many minutes somebody watches for fire after the last one.
type Rung struct {
	Class string
	Days  int
	Stop  string // HH:MM, or AllDay
	Watch int    // minutes
}

// Ladder holds the restrictions of a region.
type Ladder struct {
	Region string
	Source string
	Rungs  []Rung
}

// ladders holds what was read. Schedules 2 and 3 of the regulation were not opened; "mechanical brushing" and "a power saw in a
// cutblock" are on its list of high-risk activities, and whether a hand-held clearing saw counts is for its text.
var ladders = []Ladder{
	{
		Region: "bc", Source: "British Columbia Wildfire Regulation, B.C. Reg. 38/2005 (read in restatements; Schedules 2 and 3 not opened)",
		Rungs: []Rung{
			{Class: "moderate", Days: 3, Watch: 60},
			{Class: "high", Days: 1, Watch: 120},
			{Class: "high", Days: 3, Stop: "13:00", Watch: 120},
			{Class: "extreme", Days: 1, Stop: "13:00", Watch: 120},
			{Class: "extreme", Days: 3, Stop: AllDay, Watch: 120},
		},
	},
}

// LadderOf finds the ladder of a region; ok is false where none was read.
func LadderOf(region string) (l Ladder, ok bool) {
	for _, one := range ladders {
		if one.Region == region {
			return one, true
		}
	}
	return Ladder{}, false
}

// Regions lists the regions of which a ladder was read, by their code. For every other one the agency's own class has to be asked
// for and its own restrictions followed.
func Regions() []string {
	out := make([]string, len(ladders))
	for i, l := range ladders {
		out[i] = l.Region
	}
	return out
}

// ClassDay is the class of one day; "" where none is known.
type ClassDay struct {
	Day   civil.Day
	Class string
}

// Restriction is what a ladder asks for today, and on what grounds.
type Restriction struct {
	Stop    string      // HH:MM, AllDay or ""
	Watch   int         // minutes
	Rungs   []Rung      // that apply
	Assumed []civil.Day // days of which no class is known and that were counted as no milder
}

// Today walks up the ladder with the classes of the days up to today, in any order. A day of which nothing is known counts as
// no milder than asked when an earlier day was in class: a gap never ends a run.
func (l Ladder) Today(today civil.Day, days []ClassDay) Restriction {
	classes := make(map[civil.Day]string, longestRun)
	for _, d := range days {
		if d.Day <= today && d.Day > today-longestRun {
			classes[d.Day] = Worse(classes[d.Day], d.Class)
		}
	}
	var r Restriction
	for _, rung := range l.Rungs {
		n, assumed := run(classes, today, rung.Class)
		if n < rung.Days {
			continue
		}
		r.Stop, r.Watch = earlier(r.Stop, rung.Stop), max(r.Watch, rung.Watch)
		r.Rungs = append(r.Rungs, rung)
		if rung.Days > 1 {
			r.Assumed = assumed
		}
	}
	return r
}

// And is the stricter of two restrictions in every respect, on the grounds of both.
func (r Restriction) And(o Restriction) Restriction {
	r.Stop, r.Watch = earlier(r.Stop, o.Stop), max(r.Watch, o.Watch)
	for _, rung := range o.Rungs {
		if !slices.Contains(r.Rungs, rung) {
			r.Rungs = append(r.Rungs, rung)
		}
	}
	for _, day := range o.Assumed {
		if !slices.Contains(r.Assumed, day) {
			r.Assumed = append(r.Assumed, day)
		}
	}
	return r
}

// Why says which of the rungs decide: those that stop as early as any, or, where none stops, watch as long.
func (r Restriction) Why() []string {
	var out []string
	for _, rung := range r.Rungs {
		if rung.Stop == r.Stop && (r.Stop != "" || rung.Watch == r.Watch) {
			out = append(out, rung.words())
		}
	}
	return out
}

// earlier is the stricter of two stops.
func earlier(a, b string) string {
	switch {
	case a == "" || b == AllDay:
		return b
	case b == "" || a == AllDay:
		return a
	}
	return min(a, b)
}

func (r Rung) words() string {
	on := "from class " + r.Class + " on"
	if r.Days > 1 {
		on = fmt.Sprintf("%d days running in class %s or above", r.Days, r.Class)
	}
	does := fmt.Sprintf("fire watch of %d min after the last saw", r.Watch)
	switch r.Stop {
	case "":
		return on + ": " + does
	case AllDay:
		return on + ": no saw all day"
	}
	return on + ": saws stop at " + r.Stop + ", " + does
}

// longestRun is how far back a run is followed; no rung asks for more (company choice).
const longestRun = 14

// run counts the days up to today that are in a class or above, running. Days without a class count when a day in
// class lies before them; they are named.
func run(classes map[civil.Day]string, today civil.Day, class string) (n int, assumed []civil.Day) {
	want := ranks[class]
	var open []civil.Day
	for day := today; day > today-longestRun; day-- {
		rank, known := ranks[classes[day]]
		switch {
		case !known && day == today:
			return 0, nil
		case !known:
			open = append(open, day)
		case rank < want:
			return n, assumed
		default:
			n += len(open) + 1
			assumed, open = append(assumed, open...), nil
		}
	}
	return n, assumed
}
