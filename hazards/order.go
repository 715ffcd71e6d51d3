package hazards

import (
	"fmt"
	"sort"
	"strings"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
)

// together makes one finding of those that say the same of several people or saws, and writes their names into its texts.
func (d *day) together() {
	var found []Finding
	var abouts []about
	at := map[string]int{}
	for i, f := range d.out.Findings {
		a := d.abouts[i]
		key := fmt.Sprintf("%+v", f)
		if j, same := at[key]; same && (len(a.people) > 0 || len(a.saws) > 0) {
			abouts[j].people, abouts[j].saws = joined(abouts[j].people, a.people), joined(abouts[j].saws, a.saws)
			continue
		}
		at[key] = len(found)
		found, abouts = append(found, f), append(abouts, about{joined(nil, a.people), joined(nil, a.saws)})
	}
	for i := range found {
		d.naming(&found[i], abouts[i])
	}
	d.out.Findings = found
}

// joined is a list with what another adds to it.
func joined(list, more []string) []string {
	out := append([]string(nil), list...)
	for _, m := range more {
		if !contains(out, m) {
			out = append(out, m)
		}
	}
	return out
}

// naming writes whom and which saws a finding is about.
func (d *day) naming(f *Finding, a about) {
	switch {
	case len(a.people) > 0 && f.Of != OfSaw:
		for _, w := range a.people {
			f.Subjects = append(f.Subjects, d.id(w))
		}
	case len(a.saws) > 0:
		f.Subjects = a.saws
	}
	if len(f.Subjects) > 0 {
		f.Subject = f.Subjects[0]
	}
	text := strings.NewReplacer(theirs, d.names(a.people), thoseSaws, strings.Join(a.saws, ", "))
	if len(a.saws) > 1 {
		text = strings.NewReplacer(theirs, d.names(a.people), "Saw "+thoseSaws+" stays down", "Saws "+strings.Join(a.saws, ", ")+" stay down",
			"aw "+thoseSaws, "aws "+strings.Join(a.saws, ", "), thoseSaws, strings.Join(a.saws, ", "))
	}
	f.What, f.Line, f.Do = text.Replace(f.What), text.Replace(f.Line), text.Replace(f.Do)
}

var effectRank = map[Effect]int{StopSite: 0, StopPerson: 1, StopSaw: 2, NeedsControl: 3, Watch: 4}

// levelRank orders what is said first.
var levelRank = map[string]int{risk.High.String(): 1, risk.Serious.String(): 2, risk.Medium.String(): 3, risk.Low.String(): 4}

// order sorts findings: what stops the site, and of that first what no paper changes; what stops a person or a saw; what needs a
// control, by level; what to watch. Inside one of these kickback, footing and fuel come before light, reach and noise, and what reaches
// more people before what reaches fewer. The level is that before controls, so that nothing goes back because something is done about it;
// points never count, because sums of different topics are not compared.
func order(fs []Finding) {
	sort.SliceStable(fs, func(i, j int) bool {
		a, b := places(fs[i]), places(fs[j])
		for k := range a {
			if a[k] != b[k] {
				return a[k] < b[k]
			}
		}
		return false
	})
}

// places are the keys by which a finding is sorted, the first one first.
func places(f Finding) [5]int {
	means := 0
	if f.Effect == StopSite && f.Means == NotYet {
		means = 1
	}
	effect := effectRank[f.Effect]
	if effect == effectRank[StopSaw] {
		effect = effectRank[StopPerson]
	}
	return [5]int{effect, means, byLevel(f), topicRank(f), -reaches(f)}
}

// byLevel ranks by the level before controls. What is compared with a limit has none and counts as Serious where it is a control, so that
// it is not hidden behind what is Medium; of the others only the topic decides.
func byLevel(f Finding) int {
	switch l, scored := levelRank[f.LevelBefore]; {
	case f.Effect == StopSite || f.Effect == Watch:
		return 0
	case scored:
		return l
	}
	return levelRank[risk.Serious.String()]
}

// reaches is how many a finding is about; the site and the ground are everybody's.
func reaches(f Finding) int {
	const everybody = 1000 // more than a crew
	if len(f.Subjects) == 0 {
		return everybody
	}
	return len(f.Subjects)
}

// killers come first among what stops: what kills at once, whoever saws.
var killers = map[string]bool{Thunder: true, ThunderLast: true, Wires: true, HungUp: true, WindThrown: true, WindFall: true, Hidden: true, HeavyRain: true,
	WindForce: true, WindSpeed: true, Gusts: true, "incident": true, "missed-call": true, "moved": true}

var topicRanks = map[string]int{TopicKickback: 1, TopicFooting: 2, TopicFuel: 3, TopicSaws: 4, TopicSpacing: 4, TopicCrew: 4, TopicPPE: 4, TopicEmergency: 4,
	TopicFire: 4, TopicWeather: 5, TopicFirstAid: 7, TopicNoise: 8, TopicVibration: 8, TopicEvent: 8, TopicBook: 9, TopicAcceptance: 10}

// topicRank orders topics inside one class.
func topicRank(f Finding) int {
	switch {
	case f.Effect == StopSite && killers[f.ID]:
		return 0
	case f.ID == kickback.LargestStem, f.ID == "stem-release", f.ID == dullBlade:
		return 0 // beside kickback, and before its level
	case f.ID == fuel.Leak:
		return topicRanks[TopicFuel]
	case f.ID == FirstAider:
		return topicRanks[TopicEmergency]
	case f.ID == "daylight":
		return 6
	}
	return topicRanks[f.Topic]
}
