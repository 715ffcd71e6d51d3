package hazards

import (
	"fmt"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
)

// rounding lets 60 mm pass as 6 cm after conversion; a billionth of a metre is no thickness.
const rounding = 1e-9

// stems are the kickback factors of the ground.
func (d *day) stems() []risk.Factor {
	var out []risk.Factor
	for _, f := range kickback.Factors() {
		q, asked := questionByID(f.ID)
		switch {
		case !asked:
		case q.Kind == YesNo && d.bad(f.ID):
			out = append(out, remarked(f, d.remark(f.ID)))
		case q.Kind == Value:
			thick, told := d.value(f.ID)
			if (told && thick > d.in.House.SI(house.OneCut)+rounding) || d.unknown(f.ID) {
				out = append(out, remarked(f, d.against(f.ID, house.OneCut)))
			}
		}
	}
	return out
}

// against says behind a reason which told value was compared with which house rule.
func (d *day) against(id, key string) string {
	if a := d.answers[id]; a.Is == Told {
		return fmt.Sprintf(" (%s; house rule %s)", a.Value, d.in.House.Value(key))
	}
	return d.remark(id)
}

// footing are the fall factors of the ground. A slope above the house limit and one above another where that
// stops do not score.
func (d *day) footing() []risk.Factor {
	var out []risk.Factor
	percent, told := d.value(slope.Steepest)
	if f, counts := slope.SteepFactor(percent, d.in.House); told && counts && !slope.AboveLimit(percent, d.in.House) {
		out = append(out, remarked(f, " ("+d.answers[slope.Steepest].Value+")"))
	}
	for _, f := range slope.Factors() {
		if d.bad(f.ID) && !(f.ID == slope.OneAbove && d.oneAboveStops()) {
			out = append(out, remarked(f, d.remark(f.ID)))
		}
	}
	return out
}

func (d *day) fallSeverity() int {
	percent, told := d.value(slope.Steepest)
	if !told {
		return slope.SteepSeverity
	}
	return slope.Severity(percent, d.in.House)
}

// ownFactors are the kickback factors that a person brings, apart from experience: their saw and their last look.
func (d *day) ownFactors(c CrewLine) []risk.Factor {
	has := map[string]bool{
		kickback.DullBlade:     d.dull(c.Saw),
		kickback.FixedThrottle: d.known(c.Saw).FixedThrottle,
		kickback.MissedLook:    d.people[c.Worker].MissedLook,
	}
	var out []risk.Factor
	for _, f := range kickback.Factors() {
		if has[f.ID] {
			out = append(out, f)
		}
	}
	return out
}

// Experience factors, the largest weight first.
var experiences = []risk.Factor{
	{ID: "first-month", Words: "first month with a saw here", Weight: risk.Strong, Experience: true,
		Source: "first month in a job, 3 to 4 times the lost-time rate (Breslin and Smith 2006), read; the weight is company choice"},
	{ID: "first-season", Words: "first season with a saw", Weight: risk.Moderate, Experience: true,
		Source: "lost-time study, less than 3 years (J. Japan Forest Engineering Society 25(2), abstract), read; the weight is company choice"},
	{ID: "second-third-season", Words: "second or third season with a saw", Weight: risk.Weak, Experience: true,
		Source: "lost-time study, less than 3 years (J. Japan Forest Engineering Society 25(2), abstract), read; the weight is company choice"},
}

func isExperience(id string) bool {
	for _, f := range experiences {
		if f.ID == id {
			return true
		}
	}
	return false
}

// experience returns the one experience factor of a person, or none.
func (d *day) experience(worker string) []risk.Factor {
	p := d.people[worker]
	f := experiences[0]
	switch {
	case p.SawDays < d.in.House.Int(house.FirstMonthDays):
	case p.Seasons <= 1:
		f = experiences[1]
	case p.Seasons <= 3:
		f = experiences[2]
	default:
		return nil
	}
	if p.NeverAsked {
		f.Words += neverAsked
	}
	return []risk.Factor{f}
}

// neverAsked stands behind an experience of which only what the book holds is known.
const neverAsked = " (counted so because seasons before were never asked)"

func (d *day) fuelFactor(f fuel.Factor) (risk.Factor, bool) {
	if f.House == "" {
		if f.ID == fuel.DryLitter && d.fireHigh {
			return d.inFireClass(f), true
		}
		return remarked(f.Factor, d.remark(f.ID)), d.bad(f.ID)
	}
	metres, told := d.value(f.ID)
	return remarked(f.Factor, d.against(f.ID, f.House)), (told && fuel.Near(metres, d.in.House, f.House)) || d.unknown(f.ID)
}

// inFireClass is the dry litter that a high fire class stands for. Where somebody has looked and found none, the class alone weighs one
// less: what it forbids is compared with the ladder of the place besides (company choice).
func (d *day) inFireClass(f fuel.Factor) risk.Factor {
	out := remarked(f.Factor, " (the fire class is high)")
	if !d.bad(fuel.DryLitter) {
		out.Weight = risk.Moderate
	}
	return out
}

// remarked is a factor with what was told of it behind its words.
func remarked(f risk.Factor, remark string) risk.Factor {
	f.Words += remark
	return f
}

// mayAct is controllable, made once.
var mayAct = controllable()

// Controllable lists what a control on a sheet may name.
func Controllable() []string { return append([]string(nil), mayAct...) }

// controllable lists what a control on the sheet may name: every factor but experience and the dull blade, which is
// answered at the saw, and the questions that ask for a control.
func controllable() []string {
	var out []string
	for _, f := range kickback.Factors() {
		if f.ID != kickback.DullBlade {
			out = append(out, f.ID)
		}
	}
	out = append(out, slope.Steepest)
	for _, f := range slope.Factors() {
		out = append(out, f.ID)
	}
	for _, f := range fuel.Factors() {
		out = append(out, f.ID)
	}
	return append(out, Public, CheckIn, FuelReady, FuelCan, "cold", "heat", WBGT, FireWatch, DeadTrees, KitDistance, WalkOut, VehicleFuel, WindForce, WindSpeed, Gusts)
}
