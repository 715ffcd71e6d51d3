package hazards

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringtrue/hazards/dayplan"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/units"
)

// reach looks at help: how soon first aid is with the farthest worker, how long a carry-out takes, how often people call.
func (d *day) reach() {
	d.firstAidReach()
	d.carryOut()
	d.callsOften()
	d.deadTrees()
	d.vehicleFuel()
}

// firstAidReach compares the distance to the kit, and the time on foot on the path to it.
func (d *day) firstAidReach() {
	if !d.answered(KitDistance) {
		d.unseen("first-aid reach")
		return
	}
	if !d.ruled("first-aid reach", house.KitReach, house.FirstAidWithin) {
		return
	}
	f := limited{topic: TopicFirstAid, id: KitDistance, effect: NeedsControl, rules: []string{house.KitReach, house.FirstAidWithin}, other: slope.ToblerSource,
		do: "bring the kit nearer, or a second one", ends: "the kit, or a second one, and the first aider are nearer"}
	metres, told := d.value(KitDistance)
	if !told {
		f.line = "not known yet: how far the first-aid kit is"
		f.what = "Nobody can say how far the farthest one works from the first-aid kit." + d.remark(KitDistance)
		d.limit(f)
		return
	}
	minutes := slope.PathMinutes(metres)
	if metres > d.in.House.SI(house.KitReach)+rounding || minutes*60 > d.in.House.SI(house.FirstAidWithin) {
		f.line = "the first-aid kit is " + d.answers[KitDistance].Value + " from the farthest one"
		f.what = fmt.Sprintf("The farthest one works %s from the first-aid kit, about %s on foot on the path.", d.answers[KitDistance].Value, span(math.Ceil(minutes)))
		d.limit(f)
	}
}

// carryOut says how long it takes to carry somebody to the road, and who carries. The way that nobody tells is the walk of the card.
func (d *day) carryOut() {
	if !d.ruled("carry-out", house.CarrySpeed, house.Carriers, house.CarryWithin) {
		return
	}
	metres, told := d.value(WalkOut)
	from := "the way told"
	if !told {
		walk, err := units.Parse(d.in.Block.Walk, units.Time)
		if err != nil {
			d.unseen("carry-out")
			return
		}
		metres, from = slope.MetresOf(walk.SI()/60), "an estimate from the walk of "+d.in.Block.Walk+" on the card"
	}
	d.carried(slope.CarryMinutes(metres, d.in.House.SI(house.CarrySpeed)*kmh), from)
}

// carried compares the minutes of a carry-out with the house figure, and the people beside the one who is hurt with the carriers it
// takes. Too few are a control, or only to watch where the card names who comes to carry; too long a way, or one that nobody knows,
// waits for somebody who is named.
func (d *day) carried(minutes float64, from string) {
	need, beside, comes := d.in.House.Int(house.Carriers), len(d.in.Sheet.Crew)-1, strings.TrimSpace(d.in.Block.Carry)
	f := limited{topic: TopicFirstAid, id: WalkOut, effect: Watch, rules: []string{house.CarrySpeed, house.Carriers, house.CarryWithin}, other: slope.CarrySource,
		ends: "the ground is nearer to the road, or help comes to it", line: fmt.Sprintf("a carry-out takes %s and %d people; %d are beside the hurt one", span(math.Ceil(minutes)), need, beside),
		what: fmt.Sprintf("A carry-out to the road takes about %s (%s) and %d carriers beside the one who is hurt; %d are here.", span(math.Ceil(minutes)), from, need, beside)}
	if beside < need {
		f.what += " Plan B, to read aloud: " + d.in.Block.PlanB + "."
	}
	if far := d.remote(); far != "" {
		f.rules, f.do = append(f.rules, house.HelpRemote), "kit and stretcher stand beside the work"
		f.line += "; help: " + far
		f.what += " Help takes " + far + ": kit and stretcher stand beside the work."
	}
	switch {
	case beside < need && comes != "":
		f.what += " To carry comes: " + comes + "."
	case beside < need:
		f.effect, f.alone, f.do = NeedsControl, true, "say who comes to carry; the block card can name them"
		f.what += " Say who comes to carry."
	}
	if minutes*60 > d.in.House.SI(house.CarryWithin) {
		f.effect, f.alone, f.do = NeedsControl, false, "say how help comes to the ground, and who sees to it"
		f.what += " That is longer than " + d.in.House.Value(house.CarryWithin) + "."
	}
	if d.answers[WalkOut].Is == DontKnow {
		f.effect, f.alone = NeedsControl, false
		f.what += d.remark(WalkOut)
	}
	d.limit(f)
}

// callsOften compares the check-in interval of people out of sight with the house rule.
func (d *day) callsOften() {
	every, told := d.value(CheckIn)
	if !told || !d.outOfSight() || !d.ruled("check-in interval", house.CheckInWithin) {
		return
	}
	most := d.in.House.SI(house.CheckInWithin)
	if every <= most+rounding {
		return
	}
	d.limit(limited{topic: TopicEmergency, id: CheckIn, effect: NeedsControl, rules: []string{house.CheckInWithin},
		line: "those out of sight call too seldom: every " + d.answers[CheckIn].Value, do: "call at least every " + span(most/60),
		what: fmt.Sprintf("Those out of sight call every %s; %s is the longest.", d.answers[CheckIn].Value, span(most/60)), ends: "they call at least every " + span(most/60)})
}

// outOfSight reports whether somebody saws out of sight.
func (d *day) outOfSight() bool {
	for _, c := range d.in.Sheet.Crew {
		if c.OutOfSight() {
			return true
		}
	}
	return false
}

func (d *day) deadTrees() {
	if !d.answered(DeadTrees) {
		d.unseen("standing dead and leaning trees")
		return
	}
	if d.bad(DeadTrees) {
		d.limit(limited{topic: TopicSpacing, id: DeadTrees, effect: NeedsControl, ends: "that ground is marked out, or somebody qualified has judged the trees",
			line: "standing dead or leaning trees within two tree lengths", do: "mark that ground out before anybody saws",
			what:  "Standing dead or leaning trees within two tree lengths. Mark that ground out and stay at least two tree lengths off, until somebody qualified has judged them." + d.remark(DeadTrees),
			other: "two tree lengths of zone (US Forest Service job hazard analysis, read); B.C. Reg. 296/97 26.11, assessment before exposure, read"})
	}
}

// vehicleFuel compares what rides in one vehicle with the transport limits of the place.
func (d *day) vehicleFuel() {
	a := d.answers[VehicleFuel]
	regime := dayplan.Regime(d.in.Places)
	if a.Is == "" || a.Is == NotApplicable {
		return
	}
	if regime == "" || !d.in.House.Has(house.CanMass) {
		d.unseen("fuel transport (no limits were read for this place)")
		return
	}
	f := limited{topic: TopicFuel, id: VehicleFuel, effect: NeedsControl, ends: "less fuel rides in one vehicle", line: "fuel in one vehicle: " + orUnknown(a), do: "carry less in one vehicle", rules: []string{house.CanMass}}
	litres, told := d.value(VehicleFuel)
	if !told {
		f.what = "Nobody can say how much fuel rides in one vehicle." + d.remark(VehicleFuel)
		d.limit(f)
		return
	}
	can, known := d.value(FuelCan)
	if !known || can <= 0 {
		can = litres
	}
	load := dayplan.Load{Litres: litres, Cans: int(math.Ceil(litres/can - rounding)), CanSize: can, CanMass: d.in.House.SI(house.CanMass)}
	for _, c := range dayplan.Vehicle(regime, load) {
		if c.Over {
			f.what = fmt.Sprintf("Fuel in one vehicle: %s, with cans of %s. %s: %s %s, at most %s %s.", a.Value, orUnknown(d.answers[FuelCan]), upperFirst(c.Item), number(c.Value, 0), c.Unit, number(c.TransportLimit.Value, 0), c.Unit)
			f.other = c.Citation + ", " + c.Status
			d.limit(f)
		}
	}
}
