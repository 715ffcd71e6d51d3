package hazards

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/spacing"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

// plainStop is a question whose bad answer stops the site, whatever else was answered. When says which answer; line and do are the stop
// in a few words and what ends it; asks is said in place of what where the answer is not known yet.
type plainStop struct {
	topic, when, means, what, line, do, asks string
}

// plainStops holds the plain stops by question (company choice; 29 CFR 1910.266(d)(5), read, lists electrical storms,
// strong winds, dense fog and darkness; two tree lengths of zone: a US Forest Service job hazard analysis, read).
var plainStops = map[string]plainStop{
	Thunder: {topic: TopicEmergency, when: "yes", means: Stopped, what: "Thunder or lightning. Go to shelter. Check again 30 minutes after the last thunder.",
		line: "thunder or lightning", do: "go to shelter; 30 minutes after the last thunder check again"},
	WindFall: {topic: TopicEmergency, when: "yes", means: Stopped, what: "The wind takes the fall. Wait until you can say where each stem lands.",
		line: "the wind takes the fall", do: "wait until you can say where each stem lands"},
	Hidden: {topic: TopicEmergency, when: "yes", means: Stopped, what: "Fog, smoke or dusk hides the neighbours. Wait until each one sees the next.",
		line: "fog, smoke or dusk hides the neighbours", do: "wait until each one sees the next"},
	Wires: {topic: TopicEmergency, when: "yes", means: Stopped, what: "Power wires within reach. Keep off that ground, then answer again. A wire that is down or touched: keep 10 m off and call.",
		line: "wires within reach", do: wiresDo},
	HungUp: {topic: TopicSpacing, when: "yes", means: Stopped, what: "Hung-up trees where you work. Never cut the tree it hangs in, never fell another onto it, never slice its butt. What one person cannot pull down by hand, saw stopped and unhooked: ribbon, at least two of its lengths off, report; then answer again.",
		line: "hung-up trees where you work", do: "never cut or fell onto the tree it hangs in; ribbon, two of its lengths off"},
	WindThrown: {topic: TopicSpacing, when: "yes", means: Stopped, what: "Wind-thrown trees where you work. Mark them and stay at least two tree lengths off, then answer again.",
		line: "wind-thrown trees where you work", do: "mark them, stay at least two tree lengths off, then answer again"},
	CallBy: {topic: TopicEmergency, when: "no", means: NotYet, what: "No way to call for help.",
		line: "no way to call for help", do: "bring one that works from here"},
	CallAnswered: {topic: TopicEmergency, when: "no", means: NotYet, what: "No test call was answered today. Get an answer from this block first.",
		line: "no test call was answered today", do: "get an answer from this block first"},
	FirstAider: {topic: TopicFirstAid, when: "no", means: NotYet, what: "No first aider today.",
		line: "no first aider today", do: "name one who is here"},
	WhoCalls: {topic: TopicEmergency, when: "no", means: NotYet, what: "Nobody is named to call if the boss is hurt.",
		line: "nobody is named to call if the boss is hurt", do: "name somebody who is here", asks: "It is not settled who calls if the boss is hurt."},
}

// stops goes through the plain stops, and then through those that name a person or a time. Who is alone has nobody on the block to call;
// alone looks at that.
func (d *day) stops() {
	for _, q := range questions {
		stop, ok := plainStops[q.ID]
		if !ok || (q.ID == WhoCalls && d.onePerson()) {
			continue
		}
		if is := d.answers[q.ID].Is; is == DontKnow || is == stop.when || is == NotApplicable {
			d.plainly(q.ID, stop)
		}
	}
	d.callTime()
	d.firstAider()
	d.whoCalls()
}

func (d *day) plainly(id string, stop plainStop) {
	what, line := stop.what, stop.line
	if d.answers[id].Is == DontKnow {
		what, line = firstOf(stop.asks, what), "not known yet: "+line
	}
	if d.answers[id].Is == DontKnow && stop.asks != "" {
		line = "not settled: who calls if the boss is hurt"
	}
	d.limit(limited{topic: stop.topic, id: id, effect: StopSite, means: stop.means, what: what + d.remark(id), line: line, do: stop.do})
}

func (d *day) callTime() {
	a := d.answers[CallAnswered]
	if a.Is == Told && a.Value > d.in.Sheet.At {
		d.limit(limited{topic: TopicEmergency, id: CallAnswered, effect: StopSite, means: NotYet, line: "the test call has no answer yet", do: "get an answer from this block first",
			what: fmt.Sprintf("The test call is told for %s, after the sheet itself at %s. Get an answer first.", a.Value, d.in.Sheet.At)})
	}
}

func (d *day) firstAider() {
	a := d.answers[FirstAider]
	if a.Is != Told {
		return
	}
	why := func(line, what string) {
		d.limit(limited{topic: TopicFirstAid, id: FirstAider, effect: StopSite, means: NotYet, do: "name a first aider who is here, fit and has the ticket",
			line: d.name(a.Value) + line, what: d.name(a.Value) + what})
	}
	line, here := d.lineOf(a.Value)
	switch p := d.people[a.Value]; {
	case !here:
		why(" is first aider but not here", " is named first aider but is not here.")
	case !p.FirstAid:
		why(" is first aider without a ticket in force", " is named first aider, but the book knows no first-aid ticket in force.")
	case line.Fit.Is != Yes:
		why(" is first aider but not fit today", " is named first aider but is not fit today.")
	}
}

// whoCalls asks for somebody who is here and who is not the only person who could be the trainer.
func (d *day) whoCalls() {
	a := d.answers[WhoCalls]
	if a.Is != Told || d.onePerson() {
		return
	}
	who := d.name(a.Value)
	f := limited{topic: TopicEmergency, id: WhoCalls, effect: StopSite, means: NotYet, do: "name somebody else who is here"}
	if _, here := d.lineOf(a.Value); !here {
		f.line, f.what = who+" is to call but is not here", who+" is named to call but is not here."
		d.limit(f)
		return
	}
	if trainers := d.appointed(); len(trainers) == 1 && trainers[0] == d.id(a.Value) {
		f.line = who + " is to call and is the only trainer"
		f.what = who + " is the only trainer here. Name somebody else who calls if the trainer is hurt."
		d.limit(f)
	}
}

// onePerson reports whether nobody else is on the block.
func (d *day) onePerson() bool { return len(d.in.Sheet.Crew) == 1 }

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
		d.limit(limited{topic: TopicEmergency, id: "coordinates", effect: StopSite, means: NotYet, line: "the coordinates read back are not those of the card", do: "read them again until they agree",
			what: fmt.Sprintf("The coordinates read back are %q; the block card says %s, %s. Read them again until they agree.", s.Coordinates, b.Lat, b.Lon)})
	}
	var missing []string
	for _, t := range b.texts() {
		if strings.TrimSpace(t.said) == "" {
			missing = append(missing, t.name)
		}
	}
	if len(missing) > 0 {
		d.limit(limited{topic: TopicEmergency, id: "emergency-text", effect: StopSite, means: NotYet, line: "the emergency text lacks: " + strings.Join(missing, ", "), do: "complete the block card",
			what: "The emergency text of the block card lacks: " + strings.Join(missing, ", ") + "."})
	}
}

// spacing compares the distance kept with the largest that applies.
func (d *day) spacing() {
	need := spacing.Needed(d.tallest(), d.in.House)
	far := metres(need.Metres)
	f := limited{topic: TopicSpacing, id: NeighbourDist, effect: StopSite, do: "spread out to " + far + ", then answer again"}
	kept, told := d.value(NeighbourDist)
	switch a := d.answers[NeighbourDist]; {
	case told && need.Short(kept):
		f.line = a.Value + " apart is too near; " + far + " is needed"
		f.what = fmt.Sprintf("You keep %s apart; %s is needed (%s). Spread out, then answer again.", a.Value, far, need.Why)
		d.limit(f)
	case a.Is == NotApplicable && !d.onePerson():
		f.line, f.means, f.do = "not told how far apart people keep", NotYet, "say how far apart; "+far+" is needed"
		f.what = fmt.Sprintf("%d people are here: say how far apart they keep; %s is needed (%s).", len(d.in.Sheet.Crew), far, need.Why)
		d.limit(f)
	case d.unknown(NeighbourDist):
		f.line = "not known yet: how far apart people keep"
		f.what = fmt.Sprintf("Nobody can say how far apart you keep; %s is needed (%s).%s", far, need.Why, d.remark(NeighbourDist))
		d.limit(f)
	}
	if d.unknown(TallestStem) {
		i := d.find(Finding{Topic: TopicSpacing, ID: TallestStem, Effect: NeedsControl, Of: OfGround, Line: "tallest stem not measured; the card says " + d.in.Block.TreeHeight,
			Do:   d.findsOut(TallestStem, "measure one"),
			What: "Tree length not measured today; the block card says " + d.in.Block.TreeHeight + "." + d.remark(TallestStem)})
		d.pending = append(d.pending, pending{i, "the length of the trees", nil})
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
	f := limited{topic: TopicFooting, id: slope.Steepest, effect: StopSite, do: "mark that ground out, then answer for the rest"}
	switch said := d.answers[slope.Steepest].Value; {
	case !told:
		f.line, f.means = "not known yet: how steep the ground is", NotYet
		f.what = fmt.Sprintf("Nobody can say how steep the ground is (%s).%s", limit, d.remark(slope.Steepest))
		d.limit(f)
	case slope.AboveLimit(percent, d.in.House):
		f.line = "ground of " + said + " is too steep; at most " + d.in.House.Value(house.SlopeLimit)
		f.what = fmt.Sprintf("The steepest ground is %s, above the %s. Mark that ground out, then answer for the rest.", said, limit)
		d.limit(f)
	}
}

// oneAbove stops where somebody works straight above somebody else and the ground is no longer flat; on flat ground it is a control.
func (d *day) oneAbove() {
	if !d.bad(slope.OneAbove) {
		return
	}
	f := limited{topic: TopicFooting, id: slope.OneAbove, effect: NeedsControl, alone: true, rules: d.kept(house.OneAboveSlope), line: "one works straight above another",
		do: "set people side by side", ends: "they are spread across the slope",
		what: "Somebody works straight above somebody else. Set them side by side." + d.remark(slope.OneAbove)}
	if d.oneAboveStops() {
		f.effect, f.do = StopSite, "spread people across the slope, then answer again"
		f.what = fmt.Sprintf("Somebody works straight above somebody else on %s. Spread them across the slope, then answer again.%s", orUnknown(d.answers[slope.Steepest]), d.remark(slope.OneAbove))
	}
	d.limit(f)
}

// oneAboveStops reports whether the ground is so steep that one above another stops.
func (d *day) oneAboveStops() bool {
	percent, told := d.value(slope.Steepest)
	return d.bad(slope.OneAbove) && (!told || math.Abs(percent) >= d.rule(house.OneAboveSlope, slope.OneAboveFrom)-rounding)
}

// limits are the questions that ask for a control and are not scored by that.
func (d *day) limits() {
	if d.bad(Public) {
		d.limit(limited{topic: TopicSpacing, id: Public, effect: NeedsControl, line: "the public or another crew can walk in", do: "close the way in, or post somebody",
			what: "The public or another crew can walk in. Close the way in, or post somebody." + d.remark(Public)})
	}
	if is := d.answers[CheckIn].Is; is == No || is == DontKnow {
		d.limit(limited{topic: TopicEmergency, id: CheckIn, effect: NeedsControl, line: "no check-in interval is set", do: "say how often each one calls",
			what: "No check-in interval is set." + d.remark(CheckIn)})
	}
	if d.bad(FuelReady) {
		d.limit(limited{topic: TopicFuel, id: FuelReady, effect: NeedsControl, line: "extinguisher or spill mat is not at the fuel spot", do: "bring them before anything is filled",
			what: "Extinguisher or spill mat is not at the fuel spot." + d.remark(FuelReady)})
	}
	litres, told := d.value(FuelCan)
	if (told && fuel.TooBig(litres, d.in.House)) || d.unknown(FuelCan) {
		d.limit(limited{topic: TopicFuel, id: FuelCan, effect: NeedsControl, line: "the biggest can carried by hand: " + orUnknown(d.answers[FuelCan]), do: "carry smaller ones; at most " + d.in.House.Value(house.FuelContainer),
			what: fmt.Sprintf("The biggest can carried by hand is %s (%s).%s", orUnknown(d.answers[FuelCan]), d.in.House.Cite(house.FuelContainer), d.remark(FuelCan))})
	}
	d.leak()
	for _, v := range d.in.Sheet.Visitors {
		if _, here := d.lineOf(v.With); !here {
			d.find(Finding{Topic: TopicSpacing, ID: "visitor", Effect: StopPerson, Of: OfPerson, Subject: v.Name, Subjects: []string{v.Name}, Means: NotYet,
				Line: "visitor " + v.Name + ": nobody who is here goes with them", Do: "they stay at the truck, or somebody goes with them",
				What: "Visitor " + v.Name + ": nobody who is here goes with them. They stay at the truck."})
		}
	}
}

// leak: a leaking can goes out of use before anything is filled. Beside a hot engine or a saw that stalls nothing is filled at all until
// the can is gone.
func (d *day) leak() {
	if !d.bad(fuel.Leak) {
		return
	}
	f := limited{topic: TopicFuel, id: fuel.Leak, effect: NeedsControl, line: "a can or a cap leaks", do: "out of use before anything is filled",
		what: "A can or a cap leaks. It goes out of use before anything is filled." + d.remark(fuel.Leak), ends: "no can and no cap leaks"}
	if (d.bad(fuel.HotEngine) || d.bad(fuel.HardStarting)) && !d.takenAway(fuel.Leak) {
		f.effect, f.line = StopSite, "a can or a cap leaks, and a saw is hot or stalls"
		f.what = "A can or a cap leaks, and a saw is filled hot or stalls. Nothing is filled until the can is out of use and the engine is cold." + d.remark(fuel.Leak)
	}
	d.limit(f)
}

// takenAway reports whether somebody who is here takes the thing away.
func (d *day) takenAway(factor string) bool {
	for _, c := range d.in.Sheet.controlsFor(factor) {
		if c.Kind == risk.TakenAway && d.sees(c.Owner) {
			return true
		}
	}
	return false
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
				Line: "last met " + other.Name + " on " + other.Met, Do: "ask each one: were you stopped from anything elsewhere?",
				What: fmt.Sprintf("As far as this book knows; last met %s on %s. Ask each one: were you stopped from anything elsewhere?",
					other.Name, other.Met)})
		}
	}
}
