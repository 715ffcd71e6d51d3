package training

import (
	"fmt"
	"slices"
	"time"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

// Rules are the house numbers that standing needs, taken from one edition of the house rules.
type Rules struct {
	Edition        string
	Critical       Evidence
	Other          Evidence
	MissesAllowed  int
	SignOffMonths  int
	EvidenceMonths int
	WarningDays    int
	CurrencyDays   int
	OpeningDays    int
	Coverage       bool       // every criterion must have been met at least once in the looks that count
	YearlyMonth    time.Month // 0 = no fixed yearly end
	YearlyDay      int
	Looser         []house.Loosening // of these numbers, what the company has made looser
}

// ruleKeys are the house rules that standing rests on.
var ruleKeys = []string{
	house.LooksCritical, house.LookDaysCritical, house.UnannouncedCritical, house.LooksOther, house.LookDaysOther, house.UnannouncedOther,
	house.MissesAllowed, house.SignOffMonths, house.EvidenceMonths, house.WarningDays, house.CurrencyDays, house.OpeningDays,
}

// Evidence is what must have been seen before a skill is signed off: at least Looks met observations since the last one
// not met, on at least Days days, at least Unannounced of them unannounced.
type Evidence struct {
	Looks, Days, Unannounced int
}

// RulesOf reads the numbers out of an edition. It fails if the fixed yearly end is neither MM-DD nor "none", or coverage
// neither "all" nor "none"; an edition from before that rule asks for no coverage.
func RulesOf(h house.House) (Rules, error) {
	r := Rules{
		Edition:        h.Edition,
		Critical:       Evidence{h.Int(house.LooksCritical), h.Int(house.LookDaysCritical), h.Int(house.UnannouncedCritical)},
		Other:          Evidence{h.Int(house.LooksOther), h.Int(house.LookDaysOther), h.Int(house.UnannouncedOther)},
		MissesAllowed:  h.Int(house.MissesAllowed),
		SignOffMonths:  h.Int(house.SignOffMonths),
		EvidenceMonths: h.Int(house.EvidenceMonths),
		WarningDays:    h.Int(house.WarningDays),
		CurrencyDays:   h.Int(house.CurrencyDays),
		OpeningDays:    h.Int(house.OpeningDays),
		Coverage:       h.Value(house.Coverage) == "all",
	}
	if v := h.Value(house.Coverage); h.Has(house.Coverage) && v != "all" && v != "none" {
		return Rules{}, fmt.Errorf("house rule %s: %q is neither all nor none", house.Coverage, v)
	}
	if v := h.Value(house.YearlyEnd); v != "none" {
		t, err := time.Parse("01-02", v)
		if err != nil {
			return Rules{}, fmt.Errorf("house rule %s: %q is neither MM-DD nor none", house.YearlyEnd, v)
		}
		r.YearlyMonth, r.YearlyDay = t.Month(), t.Day()
	}
	for _, l := range h.Looser() {
		if slices.Contains(ruleKeys, l.Key) {
			r.Looser = append(r.Looser, l)
		}
	}
	return r, nil
}

// For gives the evidence a skill needs.
func (r Rules) For(s Skill) Evidence {
	if s.Critical {
		return r.Critical
	}
	return r.Other
}

// SignOffEnd is the first day on which a sign-off made on day no longer holds: some months later, or the fixed
// yearly end if that comes first.
func (r Rules) SignOffEnd(day civil.Day) civil.Day {
	end := day.AddMonths(r.SignOffMonths)
	if r.YearlyMonth == 0 {
		return end
	}
	return civil.Min(end, day.NextYearly(r.YearlyMonth, r.YearlyDay))
}
