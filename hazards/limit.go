package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/kickback"
)

// limited is a finding about something compared with a limit or answered the bad way, never scored: what was found, by which house
// rules, and what would end it.
type limited struct {
	topic  string
	id     string
	effect Effect
	means  string   // of a stop; "" = Stopped, or NotYet where the answer to the question of that id is not known yet
	worker string   // for StopPerson, and for what is told one person
	what   string   // a sentence
	line   string   // the same in a few words
	do     string   // what to do about it; who finds out where the answer is not known yet
	until  string   // HH:MM before which a stop cannot end
	rules  []string // keys of the house rules that decide
	other  string   // a source beside or instead of a house rule
	ends   string   // what would end it
	alone  bool     // a control that needs nobody named
}

// limit adds such a finding. One that needs a control waits for a control on the question it comes from, unless it stands alone.
func (d *day) limit(l limited) {
	f := Finding{Topic: l.topic, ID: l.id, Effect: l.effect, Of: OfSite, What: l.what, Line: l.line, Do: d.findsOut(l.id, l.do), Until: l.until,
		House: d.cites(l.rules, l.other), Ends: l.ends}
	if l.effect == StopSite || l.effect == StopPerson {
		f.Means = d.means(l.id, firstOf(l.means, Stopped))
	}
	if strings.HasSuffix(f.What, ")") && d.answers[l.id].Is == DontKnow {
		f.What += "." // what is not known yet is a sentence of its own
	}
	a := about{}
	if l.worker != "" {
		f.Of, a.people = OfPerson, []string{l.worker}
		f.What, f.Line = theirs+": "+l.what, theirs+": "+l.line
	}
	i := d.findAbout(f, a)
	switch {
	case l.effect == NeedsControl && !l.alone:
		d.pending = append(d.pending, pending{i, plainly(l.id), waysOf(l.id)})
	case l.effect == StopPerson:
		d.stopped[l.worker] = append(d.stopped[l.worker], lowerFirst(strings.TrimSuffix(l.what, ".")))
	}
}

// inPlainWords are what people call the things that a control is named for and that are no factors.
var inPlainWords = map[string]string{
	Public: "the public or another crew", WhoElse: "who else is here", FireTools: "hand tool and water", kickback.BentStems: "the bent stems", CheckIn: "the calls", FuelReady: "extinguisher and spill mat", FuelCan: "the big can", fuel.Leak: "the leaking can",
	"cold": "the cold", "heat": "the heat", WBGT: "the heat", FireWatch: "the fire watch", DeadTrees: "the dead trees", KitDistance: "the way to the first-aid kit",
	WalkOut: "the carry-out", VehicleFuel: "the fuel in the vehicle", WindForce: "the wind", WindSpeed: "the wind", Gusts: "the wind",
}

func plainly(id string) string { return firstOf(inPlainWords[id], id) }

// waysOf lists the ids by which a control on something may be named: the wind is one thing however it was told.
func waysOf(id string) []string {
	if id == WindSpeed || id == Gusts {
		return []string{id, WindForce}
	}
	return []string{id}
}

func (d *day) cites(keys []string, other string) string {
	words := make([]string, 0, len(keys)+1)
	for _, k := range keys {
		words = append(words, d.in.House.Cite(k))
	}
	if other != "" {
		words = append(words, other)
	}
	return strings.Join(words, "; ")
}

// short names a house rule with its edition, without its source.
func (d *day) short(key string) string {
	return fmt.Sprintf("house rule %s %s, edition %s", key, d.in.House.Value(key), d.in.House.Edition)
}

// watchFor names something that is to be answered again when it comes.
func (d *day) watchFor(format string, args ...any) {
	d.out.WatchFor = append(d.out.WatchFor, fmt.Sprintf(format, args...))
}

// endBy brings the end of the answer forward to a clock time, HH:MM.
func (d *day) endBy(clock string) {
	if d.ends == "" || clock < d.ends {
		d.ends = clock
	}
}
