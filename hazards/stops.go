package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/spacing"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

// plainStop is a question whose bad answer stops the site, whatever else was answered. When says which answer.
type plainStop struct {
	topic, when, what string
}

// plainStops holds the plain stops by question (company choice; 29 CFR 1910.266(d)(5), read, lists electrical storms,
// strong winds, dense fog and darkness; two tree lengths of zone: a US Forest Service job hazard analysis, read).
var plainStops = map[string]plainStop{
	Thunder:      {TopicEmergency, "yes", "Thunder or lightning. Go to shelter. Check again 30 minutes after the last thunder."},
	WindFall:     {TopicEmergency, "yes", "The wind takes the fall. Wait until you can say where each stem lands."},
	Hidden:       {TopicEmergency, "yes", "Fog, smoke or dusk hides the neighbours. Wait until each one sees the next."},
	Wires:        {TopicEmergency, "yes", "Wires within reach. Keep off that ground, then answer again."},
	HungUp:       {TopicSpacing, "yes", "Hung-up trees where you work. Mark them and stay two tree lengths off, then answer again."},
	WindThrown:   {TopicSpacing, "yes", "Wind-thrown trees where you work. Mark them and stay two tree lengths off, then answer again."},
	CallBy:       {TopicEmergency, "no", "No way to call for help."},
	CallAnswered: {TopicEmergency, "no", "No test call was answered today. Get an answer from this block first."},
	FirstAider:   {TopicFirstAid, "no", "No first aider today."},
	WhoCalls:     {TopicEmergency, "no", "Nobody is named to call if the trainer is hurt."},
}

// stops goes through the plain stops, and then through those that name a person or a time.
func (d *day) stops() {
	for _, q := range questions {
		stop, ok := plainStops[q.ID]
		if !ok {
			continue
		}
		if is := d.answers[q.ID].Is; is == DontKnow || is == stop.when || is == NotApplicable {
			d.hold(stop.topic, q.ID, "%s%s", stop.what, d.remark(q.ID))
		}
	}
	d.callTime()
	d.firstAider()
	d.whoCalls()
}

func (d *day) callTime() {
	a := d.answers[CallAnswered]
	if a.Is == Told && a.Value > d.in.Sheet.At {
		d.hold(TopicEmergency, CallAnswered, "The test call is told for %s, after the sheet itself at %s. Get an answer first.", a.Value, d.in.Sheet.At)
	}
}

func (d *day) firstAider() {
	a := d.answers[FirstAider]
	if a.Is != Told {
		return
	}
	who := d.name(a.Value)
	line, here := d.lineOf(a.Value)
	switch p := d.people[a.Value]; {
	case !here:
		d.hold(TopicFirstAid, FirstAider, "%s is named first aider but is not here.", who)
	case !p.FirstAid:
		d.hold(TopicFirstAid, FirstAider, "%s is named first aider, but the book knows no first-aid ticket in force.", who)
	case line.Fit.Is != Yes:
		d.hold(TopicFirstAid, FirstAider, "%s is named first aider but is not fit today.", who)
	}
}

// whoCalls asks for somebody who is here and who is not the only person who could be the trainer.
func (d *day) whoCalls() {
	a := d.answers[WhoCalls]
	if a.Is != Told {
		return
	}
	who := d.name(a.Value)
	if _, here := d.lineOf(a.Value); !here {
		d.hold(TopicEmergency, WhoCalls, "%s is named to call but is not here.", who)
		return
	}
	if trainers := d.appointed(); len(trainers) == 1 && trainers[0] == d.id(a.Value) {
		d.hold(TopicEmergency, WhoCalls, "%s is the only trainer here. Name somebody else who calls if the trainer is hurt.", who)
	}
}

// appointed lists the ids of those here who may watch others.
func (d *day) appointed() []string {
	var out []string
	for _, c := range d.in.Sheet.Crew {
		if p, ok := d.people[c.Worker]; ok && p.Appointed {
			out = append(out, p.ID)
		}
	}
	return out
}

// lineOf finds the crew line of a worker, by handle or by id.
func (d *day) lineOf(worker string) (CrewLine, bool) {
	for _, c := range d.in.Sheet.Crew {
		if c.Worker == worker || d.id(c.Worker) == d.id(worker) {
			return c, true
		}
	}
	return CrewLine{}, false
}

// emergency compares the coordinates read back with the card, and asks for an emergency text to read aloud.
func (d *day) emergency() {
	s, b := d.in.Sheet, d.in.Block
	if !b.SamePlace(s.Coordinates) {
		d.hold(TopicEmergency, "coordinates", "The coordinates read back are %q; the block card says %s, %s. Read them again until they agree.",
			s.Coordinates, b.Lat, b.Lon)
	}
	var missing []string
	for _, t := range b.texts() {
		if strings.TrimSpace(t.said) == "" {
			missing = append(missing, t.name)
		}
	}
	if len(missing) > 0 {
		d.hold(TopicEmergency, "emergency-text", "The emergency text of the block card lacks: %s.", strings.Join(missing, ", "))
	}
}

// spacing compares the distance kept with the largest that applies.
func (d *day) spacing() {
	tallest := d.tallest()
	need := spacing.Needed(tallest, d.in.House)
	kept, told := d.value(NeighbourDist)
	switch {
	case told && need.Short(kept):
		d.hold(TopicSpacing, NeighbourDist, "You keep %s apart; %s is needed (%s). Spread out, then answer again.",
			d.answers[NeighbourDist].Value, metres(need.Metres), need.Why)
	case d.answers[NeighbourDist].Is == NotApplicable && len(d.in.Sheet.Crew) > 1:
		d.hold(TopicSpacing, NeighbourDist, "%d people are here: say how far apart they keep; %s is needed (%s).",
			len(d.in.Sheet.Crew), metres(need.Metres), need.Why)
	case d.unknown(NeighbourDist):
		d.hold(TopicSpacing, NeighbourDist, "Nobody can say how far apart you keep; %s is needed (%s).%s",
			metres(need.Metres), need.Why, d.remark(NeighbourDist))
	}
	if d.unknown(TallestStem) {
		what := "Tree length not measured today; the block card says " + d.in.Block.TreeHeight + "."
		i := d.find(Finding{Topic: TopicSpacing, ID: TallestStem, Effect: NeedsControl, Of: OfGround, What: what + d.remark(TallestStem)})
		d.pending = append(d.pending, pending{i, TallestStem, nil})
	}
}

// tallest is the height told today, or the card's where it was not measured; 0 where no stem is cut or none is known.
func (d *day) tallest() float64 {
	if v, ok := d.value(TallestStem); ok || d.answers[TallestStem].Is == NotApplicable {
		return v
	}
	v, err := units.Parse(d.in.Block.TreeHeight, units.Length)
	if err != nil {
		return 0
	}
	return v.SI()
}

func metres(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".") + "m"
}

// steepness stops the ground above the house slope limit.
func (d *day) steepness() {
	percent, told := d.value(slope.Steepest)
	limit := d.in.House.Cite(house.SlopeLimit)
	switch {
	case !told:
		d.hold(TopicFooting, slope.Steepest, "Nobody can say how steep the ground is (%s).%s", limit, d.remark(slope.Steepest))
	case slope.AboveLimit(percent, d.in.House):
		d.hold(TopicFooting, slope.Steepest, "The steepest ground is %s, above the %s. Mark that ground out, then answer for the rest.",
			d.answers[slope.Steepest].Value, limit)
	}
}

// limits are the questions that ask for a control and are not scored.
func (d *day) limits() {
	if d.bad(Public) {
		d.control(TopicSpacing, Public, "The public or another crew can walk in. Close the way in, or post somebody.%s", d.remark(Public))
	}
	if is := d.answers[CheckIn].Is; is == No || is == DontKnow {
		d.control(TopicEmergency, CheckIn, "No check-in interval is set.%s", d.remark(CheckIn))
	}
	if d.bad(FuelReady) {
		d.control(TopicFuel, FuelReady, "Extinguisher or spill mat is not at the fuel spot.%s", d.remark(FuelReady))
	}
	litres, told := d.value(FuelCan)
	if (told && fuel.TooBig(litres, d.in.House)) || d.unknown(FuelCan) {
		d.control(TopicFuel, FuelCan, "The biggest can carried by hand is %s (%s).%s",
			orUnknown(d.answers[FuelCan]), d.in.House.Cite(house.FuelContainer), d.remark(FuelCan))
	}
	for _, v := range d.in.Sheet.Visitors {
		if _, here := d.lineOf(v.With); !here {
			d.find(Finding{Topic: TopicSpacing, ID: "visitor", Effect: StopPerson, Of: OfPerson, Subject: v.Name,
				What: "Visitor " + v.Name + ": nobody who is here goes with them. They stay at the truck."})
		}
	}
}

func orUnknown(a Said) string {
	if a.Is == Told {
		return a.Value
	}
	return "not known"
}

// books warns where another device's news are old.
func (d *day) books() {
	today, err := civil.Parse(d.in.Sheet.Day)
	if err != nil {
		return
	}
	for _, other := range d.in.Devices {
		met, err := civil.Parse(other.Met)
		if err != nil || int(today-met) > d.in.House.Int(house.BookAgeDays) {
			d.find(Finding{Topic: TopicBook, ID: "book-age", Effect: Watch, Of: OfSite,
				What: fmt.Sprintf("As far as this book knows; last met %s on %s. Ask each one: were you stopped from anything elsewhere?",
					other.Name, other.Met)})
		}
	}
}
