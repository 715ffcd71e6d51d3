package upkeep

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

// State says how pressing a line is.
type State string

// States, the most pressing first.
const (
	StopsNow State = "stopped" // out of use until cleared
	Overdue  State = "overdue" // was due, and the saw was used since
	DueNow   State = "due"     // before the saw is used again
)

var pressing = map[State]int{StopsNow: 0, Overdue: 1, DueNow: 2}

// Due is one thing a saw needs. Since is the day on which it fell due or was found, Last the day on which it was last
// done; civil.None where there is none. Why says it in words, with the house rule.
type Due struct {
	Saw   string
	State State
	What  []string // ids of items, "file", "set", "blade", "nut-checks", a defect, or "tag"
	Since civil.Day
	Last  civil.Day
	Why   string
	Entry int64 // of the defect, tag or clearing it is about; 0 = none
	Rank  int
}

// Done is a day's upkeep, daily or weekly, without the items in Left.
type Done struct {
	Day  civil.Day
	Left []string
}

// Fuelling counts refuellings, filings and hits on rock at a moment, or in one day's line.
type Fuelling struct {
	At      int64 // Unix seconds
	Refuels int
	Filings int
	Rock    int
}

// Ran is a day of use, with the engine hours where they are known.
type Ran struct {
	Day   civil.Day
	Hours float64
}

// Blade is the blade that is on. On says that there is one; ID is for the words only, and needed where Wants says so.
type Blade struct {
	On          bool
	ID          string
	Fitted      civil.Day // for the first time
	Filings     int       // in its life here
	Settings    int       // in its life here
	SinceSet    int       // filings since the last setting
	LastSetting civil.Day // civil.None = never
}

// History is what the book holds of one saw by the day asked. Lists are in the order of their days.
type History struct {
	Saw     Saw
	Added   civil.Day
	Used    []Ran
	Daily   []Done
	Weekly  []Done
	Fuel    []Fuelling
	Checks  int       // wrench checks of the nut in the line of LineDay
	LineDay civil.Day // day of the last line; civil.None = none
	Blade   Blade     // zero = no blade is recorded
}

// DueOn lists what a saw needs on a day: upkeep, filing, setting, checks of the nut. What is open on it comes from Open.
func DueOn(s History, h house.House, day civil.Day) []Due {
	var out []Due
	out = append(out, s.upkeep(false, h, day)...)
	out = append(out, s.upkeep(true, h, day)...)
	out = append(out, s.nut(h, day)...)
	out = append(out, s.blade(h, day)...)
	return append(out, s.file(h)...)
}

// Sort orders lines by what stops work first: saws that are stopped, then what is overdue, then what is due; within
// each by rank, the oldest first.
func Sort(lines []Due) {
	slices.SortStableFunc(lines, func(a, b Due) int {
		return cmp.Or(cmp.Compare(pressing[a.State], pressing[b.State]), cmp.Compare(a.Rank, b.Rank), cmp.Compare(a.Since, b.Since), cmp.Compare(a.Saw, b.Saw))
	})
}

// usedBetween reports the first day of use in [from, to).
func (s History) usedBetween(from, to civil.Day) (civil.Day, bool) {
	i, _ := slices.BinarySearchFunc(s.Used, from, func(r Ran, d civil.Day) int { return cmp.Compare(r.Day, d) })
	if i < len(s.Used) && s.Used[i].Day < to {
		return s.Used[i].Day, true
	}
	return civil.None, false
}

// upkeep gathers the daily or the weekly items; items that were last done on the same day stand in one line.
func (s History) upkeep(weekly bool, h house.House, day civil.Day) []Due {
	key, done := house.UpkeepDaily, s.Daily
	if weekly {
		key, done = house.UpkeepWeekly, s.Weekly
	}
	byLast := map[civil.Day][]string{}
	for id, last := range lastDone(ItemIDs(weekly), done) {
		byLast[last] = append(byLast[last], id)
	}
	var out []Due
	for last, ids := range byLast {
		due, why := s.fallsDue(last, h.Int(key), weekly)
		if due > day {
			continue
		}
		slices.SortFunc(ids, func(a, b string) int {
			return cmp.Or(cmp.Compare(rankOf([]string{a}), rankOf([]string{b})), cmp.Compare(a, b))
		})
		out = append(out, s.line(ids, due, last, rankOf(ids), day, why+"; "+h.Cite(key)))
	}
	slices.SortFunc(out, func(a, b Due) int { return cmp.Compare(a.Last, b.Last) })
	return out
}

func (s History) line(what []string, due, last civil.Day, rank int, day civil.Day, why string) Due {
	d := Due{Saw: s.Saw.ID, State: DueNow, What: what, Since: due, Last: last, Rank: rank, Why: why}
	if used, ok := s.usedBetween(due, day); ok {
		d.State, d.Why = Overdue, "used on "+used.String()+" without it; "+why
	}
	return d
}

// lastDone finds for each item the last day on which a line did not leave it out.
func lastDone(ids []string, done []Done) map[string]civil.Day {
	last := make(map[string]civil.Day, len(ids))
	for i := len(done) - 1; i >= 0 && len(last) < len(ids); i-- {
		for _, id := range ids {
			if _, have := last[id]; !have && !slices.Contains(done[i].Left, id) {
				last[id] = done[i].Day
			}
		}
	}
	for _, id := range ids {
		if _, have := last[id]; !have {
			last[id] = civil.None
		}
	}
	return last
}

// fallsDue says when an item falls due that was last done on a day; what was never done is due from the first day.
func (s History) fallsDue(last civil.Day, days int, weekly bool) (civil.Day, string) {
	if last == civil.None {
		if len(s.Used) > 0 {
			return min(s.Added, s.Used[0].Day), "never recorded here"
		}
		return s.Added, "never recorded here"
	}
	due, why := last+civil.Day(days), "last on "+last.String()
	if weekly && s.Saw.Service != "" {
		if day, hours, ok := s.serviceDay(last); ok && day < due {
			return day, fmt.Sprintf("%s, %.1f engine hours since then; the maker's %s", why, hours, s.Saw.Service)
		}
	}
	return due, why
}

// serviceDay is the first day of use by which the maker's hours had run since the last weekly upkeep.
func (s History) serviceDay(last civil.Day) (day civil.Day, hours float64, ok bool) {
	most, err := serviceBounds.read("service", s.Saw.Service)
	if err != nil {
		return civil.None, 0, false
	}
	for _, r := range s.Used {
		if r.Day <= last {
			continue
		}
		if hours += r.Hours; !ok && 3600*hours >= most {
			day, ok = r.Day, true
		}
	}
	return day, hours, ok
}

// nut asks whether the wrench checks of the last recorded day were as many as the house wants.
func (s History) nut(h house.House, day civil.Day) []Due {
	want := h.Int(house.NutChecks)
	if s.LineDay == civil.None || s.LineDay >= day || s.Checks >= want {
		return nil
	}
	if _, used := s.usedBetween(s.LineDay, s.LineDay+1); !used {
		return nil
	}
	return []Due{{Saw: s.Saw.ID, State: Overdue, What: []string{"nut-checks"}, Since: s.LineDay, Last: civil.None, Rank: 1,
		Why: fmt.Sprintf("%d of %d wrench checks of the nut recorded on %s; %s", s.Checks, want, s.LineDay, h.Cite(house.NutChecks))}}
}

// Wants reports whether a blade is to be filed for the first time, or set.
func (b Blade) Wants(h house.House) bool {
	return b.On && (b.Filings == 0 || b.Settings == 0 || b.SinceSet >= h.Int(house.SetFilings))
}

// blade asks for a blade, for a new blade to be sharpened and set, and for the teeth to be set again.
func (s History) blade(h house.House, day civil.Day) []Due {
	b := s.Blade
	if !b.On {
		return []Due{{Saw: s.Saw.ID, State: DueNow, What: []string{"blade-record"}, Since: s.Added, Last: civil.None, Rank: 2,
			Why: "no blade is recorded on it; its rated speed is unknown"}}
	}
	var out []Due
	if b.Filings == 0 {
		out = append(out, s.line([]string{"file"}, b.Fitted, civil.None, 2, day, "blade "+b.ID+" is new: a new blade is sharpened before use (common practice, no source)"))
	}
	every, life := h.Int(house.SetFilings), h.Int(house.SetsInLife)
	switch {
	case b.Settings == 0:
		out = append(out, s.line([]string{"set"}, b.Fitted, civil.None, 2, day, "blade "+b.ID+" was never set; the first setting is at fitting (common practice, no source)"))
	case b.SinceSet >= every:
		why := fmt.Sprintf("blade %s filed %d times since it was set; %s", b.ID, b.SinceSet, h.Cite(house.SetFilings))
		if b.Settings >= life {
			why += fmt.Sprintf("; set %d times already: measure its teeth, and scrap it when one is too short", b.Settings)
		}
		out = append(out, Due{Saw: s.Saw.ID, State: DueNow, What: []string{"set"}, Since: b.LastSetting, Last: b.LastSetting, Rank: 3, Why: why})
	}
	return out
}

// Unfiled adds up refuellings since the blade was last filed; a hit on rock counts as a whole interval. What came before a
// filing no longer matters; a line that holds filings as well leaves what its own refuellings and hits made beyond them.
func Unfiled(list []Fuelling, every int) int {
	open := 0
	for _, f := range list {
		own := f.Refuels + f.Rock*every
		if f.Filings > 0 {
			open, own = 0, max(0, own-f.Filings*every)
		}
		open += own
	}
	return open
}

// file asks for the blade to be filed after refuellings and rock. Twice the interval is overdue. A blade that was never filed is
// asked for already.
func (s History) file(h house.House) []Due {
	if s.Blade.On && s.Blade.Filings == 0 {
		return nil
	}
	every := max(1, h.Int(house.FileRefuels))
	open := Unfiled(s.Fuel, every)
	if open < every {
		return nil
	}
	d := Due{Saw: s.Saw.ID, State: DueNow, What: []string{"file"}, Since: civil.None, Last: civil.None, Rank: 2,
		Why: fmt.Sprintf("%d refuels since the last filing, a hit on rock counting as %d; %s", open, every, h.Cite(house.FileRefuels))}
	if open >= 2*every {
		d.State = Overdue
	}
	return []Due{d}
}
