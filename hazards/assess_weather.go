package hazards

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/weather"
)

// kmh turns metres a second into kilometres an hour.
const kmh = 3.6

// weather compares what was read of the sky with the house limits.
func (d *day) weather() {
	d.wind()
	d.afterThunder()
	d.rain()
	d.air()
	d.globe()
}

// gale is one reading of the wind as a Beaufort force.
type gale struct {
	id    string
	force int
	words string
}

// wind takes the strongest of what the trees show, the steady wind and the gusts; a gust counts like a steady wind (company choice).
func (d *day) wind() {
	if !d.ruled("wind force", house.WindCaution, house.WindStop) {
		return
	}
	if !d.answered(WindForce) && !d.answered(WindSpeed) && !d.answered(Gusts) {
		d.unseen("wind force")
		return
	}
	worst := gale{force: -1}
	for _, id := range []string{WindForce, WindSpeed, Gusts} {
		if d.answers[id].Is == DontKnow {
			d.limit(limited{topic: TopicWeather, id: id, effect: StopSite, what: "The wind is not known." + d.remark(id), line: "not known yet: the wind",
				rules: []string{house.WindStop}, ends: "the wind is known and below force " + d.in.House.Value(house.WindStop)})
			continue
		}
		if g, ok := d.gale(id); ok && g.force > worst.force {
			worst = g
		}
	}
	d.judgeWind(worst)
}

func (d *day) gale(id string) (gale, bool) {
	v, told := d.value(id)
	if !told {
		return gale{}, false
	}
	n := int(math.Ceil(v))
	if id != WindForce {
		n = weather.Beaufort(v * kmh).Force
	}
	f, ok := weather.ForceOf(n)
	return gale{id, f.Force, fmt.Sprintf("force %d, %s", f.Force, f.Trees)}, ok
}

// judgeWind: from the caution on somebody watches; one force below the stop it is named who watches and who says stop (company choice).
func (d *day) judgeWind(g gale) {
	caution, stop := d.in.House.Int(house.WindCaution), d.in.House.Int(house.WindStop)
	d.watchFor("the wind reaches force %d, or you cannot say where a stem falls (%s)", min(caution, stop), d.short(house.WindCaution))
	if g.force < 0 {
		return
	}
	said := fmt.Sprintf("Wind: %s (%s).", g.words, d.asSaid(g.id))
	f := limited{topic: TopicWeather, id: g.id, effect: NeedsControl, rules: []string{house.WindCaution, house.WindStop}, other: weather.BeaufortSource,
		line: "wind " + g.words, ends: fmt.Sprintf("the wind is below force %d", caution)}
	says := fmt.Sprintf(" Saws stop at force %d, and earlier when you cannot say where the stem falls. No official figure exists.", stop)
	switch {
	case g.force >= stop:
		f.effect, f.rules, f.do = StopSite, []string{house.WindStop}, fmt.Sprintf("no saw before it is below force %d", stop)
		f.what, f.ends = said+" No saw starts.", fmt.Sprintf("the wind is below force %d again, and you can say where each stem lands", stop)
	case g.force == stop-1:
		f.what, f.do = said+" Name who watches it and who says stop."+says, "name who watches it and who says stop"
	case g.force >= caution:
		f.alone, f.what, f.do = true, said+" Somebody watches it."+says, "somebody watches it"
	default:
		return
	}
	d.limit(f)
}

// afterThunder says how long to wait. Any thunder stops, whatever the count says.
func (d *day) afterThunder() {
	last := d.answers[ThunderLast]
	if last.Is != Told && last.Is != DontKnow {
		return
	}
	if !d.ruled("thunder wait", house.ThunderWait) {
		return
	}
	heard := minuteOf(last.Value)
	if last.Is == DontKnow {
		heard = minuteOf(d.in.Sheet.At)
	}
	until := heard + int(d.in.House.SI(house.ThunderWait)/60)
	if minuteOf(d.in.Sheet.At) >= until {
		return
	}
	d.limit(limited{topic: TopicWeather, id: ThunderLast, effect: StopSite, until: clockOf(until), line: "thunder at " + clockOf(heard) + "; not before " + clockOf(until),
		do: "stay in shelter; each thunder starts the wait again", rules: []string{house.ThunderWait}, other: weather.ThunderSource,
		what: fmt.Sprintf("Thunder was heard at %s%s. Stay in shelter until %s; each thunder starts the wait again.%s",
			clockOf(heard), d.stormAway(), clockOf(until), d.remark(ThunderLast)),
		ends: "no thunder until " + clockOf(until)})
}

func (d *day) stormAway() string {
	gap, told := d.value(ThunderGap)
	if !told {
		return ""
	}
	return fmt.Sprintf(", about %s km away (%s from flash to thunder)", number(weather.StormKm(gap), 1), d.answers[ThunderGap].Value)
}

func (d *day) rain() {
	if !d.answered(HeavyRain) || !d.bad(HeavyRain) {
		return
	}
	d.limit(limited{topic: TopicWeather, id: HeavyRain, effect: StopSite, line: "heavy rain or snow, or ground that may slide", do: "go where nothing can come down",
		what:  "Heavy rain or snow, or ground that may slide. Go to a place where nothing can come down." + d.remark(HeavyRain),
		other: "29 CFR 1910.266(d)(5), read, lists heavy rain or snow and mudslides; that it stops is company choice",
		ends:  "rain or snow is light again and the ground holds"})
}

// air judges cold and heat by temperature, wind and humidity.
func (d *day) air() {
	if !d.answered(Temperature) {
		d.unseen("heat and cold")
		return
	}
	c, told := d.value(Temperature)
	switch {
	case d.answers[Temperature].Is == DontKnow:
		d.toFindOut(Temperature, "The temperature is not known.", "not known yet: the temperature")
	case !told:
	case c <= coldFrom:
		d.cold(c)
	case c >= hotFrom-tenth:
		d.hot(c)
	}
}

// toFindOut is a reading that somebody finds out: work may start without it, and the answer ends when it should be known. A time that is
// past holds: nobody found out.
func (d *day) toFindOut(id, what, line string) {
	a := d.answers[id]
	f := limited{topic: TopicWeather, id: id, effect: NeedsControl, alone: true, line: line, what: what + " " + upperFirst(d.name(a.Who)) + " finds out by " + a.By + "; the answer ends then.",
		ends: "it is known"}
	if a.By <= d.in.Sheet.At {
		f.effect, f.means, f.what = StopSite, NotYet, what+" "+d.name(a.Who)+" was to find out by "+a.By+"."
	} else {
		d.endBy(a.By)
	}
	d.limit(f)
}

// Cold is looked at from freezing down, where the wind chill is meant to be used (Environment Canada), heat from 20 °C up, where
// the humidex is quoted from. A tenth lets 68 °F pass as 20 °C.
const (
	coldFrom = 0.0  // °C
	hotFrom  = 20.0 // °C
	tenth    = 0.1
)

// level is a computed index beside its two house limits. Outside the published range it counts as the worst.
type level struct {
	value   float64
	outside bool
	words   string
	caution string // key
	stop    string // key
	source  string

	cautions, stops bool // a limit is reached
}

// cold compares the wind chill. Where only a force is told, the top speed of that force counts.
func (d *day) cold(c float64) {
	if !d.ruled("cold", house.ChillCaution, house.ChillStop) {
		return
	}
	wind, told := d.steadyWind()
	if !told { // the air alone still counts
		d.unseen("wind chill (no wind told)")
	}
	l := level{value: c, caution: house.ChillCaution, stop: house.ChillStop, source: weather.WindChillCanadaSource + "; " + weather.FrostbiteSource}
	if wind >= weather.ChillLight {
		w, err := weather.WindChillCanada(c, math.Min(wind, weather.ChillStrong))
		l.value, l.outside = w, err != nil || wind > weather.ChillStrong
	}
	l.words = fmt.Sprintf("Wind chill %s (%s, wind %s km/h).", number(l.value, 0), d.asSaid(Temperature), number(wind, 0))
	if b, ok := weather.Frostbite(l.value); ok && b.Timed {
		l.words += fmt.Sprintf(" Bare skin can freeze in %d to %d minutes.", b.Least, b.Most)
	}
	l.cautions, l.stops = l.value <= d.in.House.SI(l.caution), l.value <= d.in.House.SI(l.stop)
	d.judge("cold", "covered skin, dry clothes and warm breaks, and each one looks at the other's face", l)
}

// steadyWind is the wind in km/h, the strongest told; gusts do not count for wind chill.
func (d *day) steadyWind() (float64, bool) {
	v, told := d.value(WindSpeed)
	v *= kmh
	n, also := d.value(WindForce)
	if f, ok := weather.ForceOf(int(math.Ceil(n))); also && ok {
		top := float64(f.KmhMax)
		if f.KmhMax == 0 { // the last force has no top
			top = float64(f.KmhMin)
		}
		v = math.Max(v, top)
	}
	return v, told || also
}

// hot compares humidex and heat index, each with its own limits; the stricter decides.
func (d *day) hot(c float64) {
	if !d.ruled("heat", house.HumidexCaution, house.HumidexStop, house.HeatIndexCaution, house.HeatIndexStop) {
		return
	}
	rh, told := d.value(Humidity)
	if !told {
		rh = presumed
		d.unseen("heat (no humidity told; it counts as %d%%)", presumed)
	}
	if d.answers[Humidity].Is == DontKnow {
		d.toFindOut(Humidity, "The humidity is not known.", "not known yet: the humidity")
	}
	list := []level{d.humidex(c, rh), d.heatIndex(c, rh)}
	if !told {
		for i, at := range []level{d.humidex(c, dryAir), d.heatIndex(c, dryAir)} {
			list[i].outside, list[i].cautions, list[i].stops = at.outside, list[i].cautions || list[i].stops || list[i].outside, at.stops
		}
	}
	d.judge("heat", "water, shade and pauses, and each one watches the other", list...)
}

// Humidity that nobody tells counts as presumed, and asks for a control at most: only what even dry air would stop is stopped by it
// (company choice).
const (
	presumed = 60 // percent
	dryAir   = 20
)

func (d *day) humidex(c, rh float64) level {
	h, err := weather.HumidexFromRH(c, rh)
	l := level{value: h, outside: err != nil, caution: house.HumidexCaution, stop: house.HumidexStop, source: weather.HumidexRHSource}
	l.words = fmt.Sprintf("Humidex %s (%s, %s%%).%s", number(h, 0), d.asSaid(Temperature), number(rh, 0), d.remark(Humidity))
	return d.hotter(l)
}

func (d *day) heatIndex(c, rh float64) level {
	h, err := weather.HeatIndexOf(c*1.8+32, rh)
	l := level{value: (h.Adjusted - 32) / 1.8, outside: err != nil, caution: house.HeatIndexCaution, stop: house.HeatIndexStop, source: weather.HeatIndexSource}
	l.words = fmt.Sprintf("Heat index %sF in the shade; full sun adds up to 15F (%s, %s%%).%s", number(h.Adjusted, 0), d.asSaid(Temperature), number(rh, 0), d.remark(Humidity))
	return d.hotter(l)
}

func (d *day) hotter(l level) level {
	l.cautions, l.stops = l.value >= d.in.House.SI(l.caution), l.value >= d.in.House.SI(l.stop)
	return l
}

// strength orders indices: 0 below both limits, 3 outside the published range.
func (l level) strength() int {
	switch {
	case l.outside:
		return 3
	case l.stops:
		return 2
	case l.cautions:
		return 1
	}
	return 0
}

// judge adds the finding of the strictest of some indices, if one reaches a limit. Indices that are equally strict stand in it together.
func (d *day) judge(id, does string, list ...level) {
	most := 0
	for _, l := range list {
		most = max(most, l.strength())
	}
	if most == 0 {
		return
	}
	found := limited{topic: TopicWeather, id: id, effect: StopSite, do: "wait until it is milder"}
	var words, ends, sources []string
	for _, l := range list {
		if l.strength() < most {
			continue
		}
		key := l.stop
		if most == 1 {
			key = l.caution
		}
		found.rules = append(found.rules, key)
		words, ends, sources = append(words, l.words), append(ends, key+" "+d.in.House.Value(key)), append(sources, l.source)
	}
	found.other, found.ends = strings.Join(sources, "; "), "it is milder than "+strings.Join(ends, " and ")
	switch most {
	case 3:
		words = []string{d.asSaid(Temperature) + " with this wind or humidity lies outside the published range and counts as the worst. Work stops."}
	case 2:
		words = append(words, "Work stops.")
	default:
		found.effect, found.do, words = NeedsControl, does, append(words, "It needs "+does+".")
	}
	found.line = map[string]string{"cold": "too cold for an ordinary day", "heat": "too hot for an ordinary day"}[id] + ": " + d.asSaid(Temperature)
	found.what = strings.Join(words, " ")
	d.limit(found)
}

// globe compares a measured WBGT with the limits for the work rate of the house rules. Humidex and heat index are never compared
// with these limits.
func (d *day) globe() {
	a := d.answers[WBGT]
	if a.Is == "" || !d.ruled("measured heat", house.WorkRate) {
		return
	}
	if a.Is == DontKnow {
		d.toFindOut(WBGT, "The WBGT is not known.", "not known yet: the WBGT")
		return
	}
	rel, ral, err := weather.WBGTLimits(d.in.House.SI(house.WorkRate))
	if err != nil {
		d.unseen("measured heat (%v)", err)
		return
	}
	found := limited{topic: TopicWeather, id: WBGT, line: "measured heat: " + orUnknown(a), do: "wait until it is milder", rules: []string{house.WorkRate}, other: weather.WBGTSource,
		ends: fmt.Sprintf("the WBGT is at most %sC, for people not used to the heat at most %sC", number(rel, 1), number(ral, 1))}
	c, told := d.value(WBGT)
	said := fmt.Sprintf("WBGT %s; the limit for this work is %sC, for people not used to the heat %sC.%s", orUnknown(a), number(rel, 1), number(ral, 1), d.remark(WBGT))
	switch fresh := d.answers[NewToHeat].Is; {
	case !told, c > rel, c > ral && (fresh == Yes || fresh == DontKnow):
		found.effect, found.what = StopSite, said+" Work stops."+d.remark(NewToHeat)
	case c > ral && fresh == "":
		found.effect, found.do, found.what = NeedsControl, "say who is not used to the heat", said+" Nobody who is not used to the heat may work: say who is."
	case c > ral:
		found.effect, found.what = Watch, said
	default:
		return
	}
	d.limit(found)
}
