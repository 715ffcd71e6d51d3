package hazards

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

// exact writes a code so that it is read back unchanged.
func exact(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// danger is the fire class that counts today and where it is from.
type danger struct {
	class string
	words string
	days  []fire.ClassDay // each with its own class, of the days up to today
	last  civil.Day       // of the readings whose class is in force this morning, 0 = none
}

// fire takes the stricter of the agency's class and the class of the computed index, and walks up the restriction ladder.
func (d *day) fire() {
	today, err := civil.Parse(d.in.Sheet.Day)
	if err != nil || !d.ruled("fire class", house.FireScheme, house.FireLadder) {
		return
	}
	now := danger{}
	d.computed(today, &now)
	d.classBefore(today, &now)
	if a := d.answers[FireClass]; a.Is == DontKnow {
		d.askFireClass(now)
		return
	} else if a.Is == Told {
		now.of(today, a.Value, fmt.Sprintf("the agency's class is %s (%s, %s)", a.Value, d.answers[FireClassAt].Value, d.answers[FireClassBy].Value))
	}
	if now.class == "" {
		switch {
		case d.answers[FireClass].Is != NotApplicable:
			d.unseen("fire class%s", inRound(d.noLadder()))
		case FireClassAsked(d.in.Places, d.in.Block.Lat, d.in.House, today) != "":
			d.unseen("fire class (answered not applicable, in months in which it is asked)")
		}
		return
	}
	rank, _ := fire.Rank(now.class)
	d.fireHigh = rank >= fire.High
	d.watchFor("the agency's fire class changes")
	d.restrict(today, now)
}

// askFireClass holds until somebody has asked: a class that is not known counts as the worst there is.
func (d *day) askFireClass(now danger) {
	says := "The agency's fire class is not known yet; until then it counts as extreme."
	if now.words != "" {
		says += " Known is: " + now.words + "."
	}
	d.fireHigh = true
	d.limit(limited{topic: TopicFire, id: FireClass, effect: StopSite, means: NotYet, rules: []string{house.FireLadder}, line: "the fire class is not known yet",
		what: says + d.remark(FireClass), ends: "the agency has been asked"})
}

// classDays is how many days the last class in the book stands in for one that is left blank (company choice).
const classDays = 3

// classBefore takes, where the sheet leaves the class blank, the last one that the book has as no milder.
func (d *day) classBefore(today civil.Day, now *danger) {
	if d.answered(FireClass) || now.class != "" {
		return
	}
	last := fire.ClassDay{}
	for _, f := range d.in.FireDays {
		if day, err := civil.Parse(f.Day); err == nil && f.Class != "" && day < today && day >= today-classDays && day > last.Day {
			last = fire.ClassDay{Day: day, Class: f.Class}
		}
	}
	if last.Class != "" {
		now.of(today, last.Class, fmt.Sprintf("today's class is not told; the last in the book is %s of %s and counts as no milder", last.Class, last.Day))
	}
}

// of takes a class that a day has of its own.
func (n *danger) of(day civil.Day, class, words string) {
	n.days = append(n.days, fire.ClassDay{Day: day, Class: class})
	n.take(class, words)
}

// take keeps the stricter class and says where it is from.
func (n *danger) take(class, words string) {
	if n.words != "" {
		words = n.words + "; " + words
	}
	n.class, n.words = fire.Worse(n.class, class), words
}

// computed takes the index of the newest noon readings, if they are of today or yesterday, and the classes of the days before. Missing
// days are named, never guessed.
func (d *day) computed(today civil.Day, now *danger) {
	scheme, err := fire.SchemeOf(d.in.House.Value(house.FireScheme))
	if err != nil {
		d.unseen("computed fire class (%v)", err)
		return
	}
	season, err := carried(d.in.FireDays, today, d.latitude())
	if err != nil {
		d.unseen("computed fire class (%v)", err)
		return
	}
	now.days = make([]fire.ClassDay, 0, len(season.Days)+len(d.in.FireDays)+1)
	for _, r := range season.Days {
		if r.Day <= today {
			now.days = append(now.days, fire.ClassDay{Day: r.Day, Class: scheme.Of(r.FWI).Name})
		}
	}
	for _, f := range d.in.FireDays {
		day, err := civil.Parse(f.Day)
		switch {
		case err != nil || f.Class == "" || day > today:
		case day == today && f.Class == d.answers[FireClass].Value: // the sheet says the same
		case day == today:
			now.of(day, f.Class, fmt.Sprintf("the book has the agency's class %s for today (%s, %s)", f.Class, f.ClassAt, f.ClassBy))
		default:
			now.days = append(now.days, fire.ClassDay{Day: day, Class: f.Class})
		}
	}
	last, ok := season.Last()
	switch {
	case ok && last.Day >= today-1:
		class := scheme.Of(last.FWI).Name
		now.last = last.Day
		now.take(class, fmt.Sprintf("computed from the noon readings of %s: FWI %s, class %s of %s", last.Day, number(last.FWI, 1), class, scheme.Name))
	case ok || d.hasReadings():
		d.missingDays(season, today)
	}
}

func (d *day) hasReadings() bool {
	for _, f := range d.in.FireDays {
		if f.HasReadings() {
			return true
		}
	}
	return false
}

// latitude is that of the block, or the standard one where the card does not say.
func (d *day) latitude() float64 {
	lat, err := strconv.ParseFloat(d.in.Block.Lat, 64)
	if err != nil {
		return fire.DefaultLatitude
	}
	return lat
}

// missingDays says which noon readings stand between the book and a computed class. Today's own come at noon.
func (d *day) missingDays(season fire.Carried, today civil.Day) {
	f := limited{topic: TopicFire, id: "fire-days", effect: Watch, rules: []string{house.FireBreak}, other: fire.Source,
		ends: "the readings are entered on the sheet under fire-days, or the agency's codes"}
	var names []string
	for _, day := range season.Missing {
		if day < today {
			names = append(names, day.String())
		}
	}
	switch {
	case !season.Begun:
		f.what = "The book has noon readings of " + d.in.Sheet.FireStation() + " but no start of a season, so no index is computed."
	default:
		f.what = fmt.Sprintf("Noon readings of %s are missing for %s; the codes cannot be carried and are not guessed.", d.in.Sheet.FireStation(), strings.Join(names, ", "))
	}
	d.limit(f)
}

// ladder is the region's own, or that of the house rules; place is "" for the latter.
func (d *day) ladder() (l fire.Ladder, own, ok bool) {
	for _, p := range d.in.Places {
		if l, ok := fire.LadderOf(p); ok {
			return l, true, true
		}
	}
	l, ok = fire.LadderOf(d.in.House.Value(house.FireLadder))
	return l, false, ok
}

// noLadder says, where the place has no ladder of its own, that the agency has to be asked; "" where it has one or no place is told.
func (d *day) noLadder() string {
	if _, own, _ := d.ladder(); own || len(d.in.Places) == 0 {
		return ""
	}
	return fmt.Sprintf("the fire restrictions of %s are not in this program, only those of %s: enter the agency's own class under %s and follow its own restrictions",
		d.in.Places[0], strings.Join(fire.Regions(), ", "), FireClass)
}

func inRound(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

func (d *day) restrict(today civil.Day, now danger) {
	ladder, own, ok := d.ladder()
	if !ok {
		d.unseen("fire restrictions (no ladder named %q)", d.in.House.Value(house.FireLadder))
		if no := d.noLadder(); no != "" {
			d.unseen("%s", no)
		}
		return
	}
	r := ladder.Today(today, now.days)
	if now.last > 0 { // yesterday's noon is in force this morning; it is one day of a run, not two
		r = r.And(ladder.Today(now.last, now.days))
	}
	f := limited{topic: TopicFire, id: FireClass, effect: Watch, line: "fire class " + now.class, rules: []string{house.FireScheme}, other: ladder.Source + "; " + fire.ClassesSource,
		what: "Fire danger " + now.class + ": " + now.words + ".", ends: "the class is milder"}
	if !own {
		f.rules = append(f.rules, house.FireLadder)
	}
	if no := d.noLadder(); no != "" {
		f.what += " " + upperFirst(no) + "."
	}
	if why := r.Why(); len(why) > 0 {
		f.what += " " + upperFirst(strings.Join(why, "; ")) + "."
	}
	if len(r.Assumed) > 0 {
		var names []string
		for _, day := range r.Assumed {
			names = append(names, day.String())
		}
		f.what += " No class is known for " + strings.Join(names, ", ") + "; it counts as no milder."
	}
	d.earlyStop(r, &f)
	if len(r.Rungs) > 0 || d.fireHigh {
		d.limit(f)
	}
	if r.Watch > 0 && r.Stop != fire.AllDay {
		d.fireWatch(r, f)
	}
}

// earlyStop turns the stop of a restriction into the effect, and brings the end of the answer forward.
func (d *day) earlyStop(r fire.Restriction, f *limited) {
	switch {
	case r.Stop == fire.AllDay:
		f.effect, f.do, f.ends = StopSite, "no saw all day", "the run of days is broken, or the agency says so"
	case r.Stop != "" && d.in.Sheet.At >= r.Stop:
		f.effect, f.do, f.ends = StopSite, "no saw after "+r.Stop, "tomorrow, if the class allows"
	case r.Stop != "":
		f.effect, f.alone, f.do = NeedsControl, true, "all saws are off at "+r.Stop
		f.what += " All saws are off at " + r.Stop + "."
		d.endBy(r.Stop)
	}
}

// fireWatch asks who watches after the last saw, and for somebody who is here. Until somebody is named, who accepts the answer by name
// sees to it that one is named before the last saw; where nobody accepts it either, it waits.
func (d *day) fireWatch(r fire.Restriction, from limited) {
	f := limited{topic: TopicFire, id: FireWatch, effect: NeedsControl, rules: from.rules, other: from.other, ends: from.ends,
		line: fmt.Sprintf("fire watch of %d min after the last saw", r.Watch), do: "name somebody who is here",
		what: fmt.Sprintf("Somebody watches for fire for %d min after the last saw, with tools and water.%s", r.Watch, d.remark(FireWatch))}
	a, by := d.answers[FireWatch], d.in.Sheet.AcceptedBy
	_, here := d.lineOf(a.Value)
	switch {
	case a.Is == Told && here:
		f.effect, f.do, f.what = Watch, "", fmt.Sprintf("%s watches for fire for %d min after the last saw, with tools and water.", d.name(a.Value), r.Watch)
	case a.Is == Told:
		f.what = fmt.Sprintf("%s watches for fire for %d min after the last saw, but is not here.", d.name(a.Value), r.Watch)
	case by != "" && d.sees(by):
		f.alone, f.do = true, d.name(by)+" names somebody before the last saw"
		f.what += " " + upperFirst(d.name(by)) + " names somebody before the last saw."
	}
	d.limit(f)
}
