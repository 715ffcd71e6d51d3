package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/training"
)

// TwoCut is the task group whose release lets somebody take stems that need two cuts. Every other release ends at one cut (catalogue of
// task groups, company choice).
const TwoCut = "two-cut"

// stemSize compares the thickest stem of the day with the saw, and with each one's release. Beyond what this saw takes it stays
// standing, whoever holds the saw; beyond one cut it needs the release for two.
func (d *day) stemSize() {
	if d.answers[kickback.LargestStem].Is == NotApplicable || !d.sawWork() {
		return
	}
	thick, told := d.value(kickback.LargestStem)
	most := d.rule(house.LargestStemSaw, kickback.LargestOfSaw)
	f := limited{topic: TopicKickback, id: kickback.LargestStem, effect: StopSite, rules: d.kept(house.LargestStemSaw), do: "leave it standing, flag it, call a faller",
		ends: "the thickest stem that is cut is within what this saw takes"}
	switch said := d.answers[kickback.LargestStem].Value; {
	case !told:
		f.line = "not known yet: how thick the stems are"
		f.what = "Nobody can say how thick the thickest stem is; it counts as thicker than this saw takes." + d.remark(kickback.LargestStem)
		d.limit(f)
	case thick > most+rounding:
		f.line = "a stem of " + said + " is beyond this saw; at most " + centimetres(most)
		f.what = fmt.Sprintf("The thickest stem is %s; this saw takes at most %s, whoever holds it. Leave it standing, flag it, and call a qualified faller.", said, centimetres(most))
		d.limit(f)
	case thick > d.in.House.SI(house.OneCut)+rounding:
		d.twoCuts(said)
	}
}

// twoCuts says who may take the thick stems, and keeps the others to thin ones. Where nobody may, each is stopped by name.
func (d *day) twoCuts(said string) {
	one := d.in.House.Value(house.OneCut)
	var may, others []string
	for _, c := range d.in.Sheet.Crew {
		switch {
		case !c.Saws() || len(d.stopped[c.Worker]) > 0 || len(d.downs[c.Saw]) > 0:
		case d.takesTwoCuts(c):
			may = append(may, c.Worker)
		default:
			others = append(others, c.Worker)
		}
	}
	if len(others) == 0 {
		return
	}
	f := Finding{Topic: TopicKickback, ID: "stem-release", House: d.cites([]string{house.OneCut}, ""), Ends: "thicker stems are left standing, or somebody here is released for two cuts"}
	if len(may) == 0 {
		f.Means, f.Line = NotYet, "stems of "+said+" need a two-cut release: "+theirs
		f.Do = "leave stems above " + one + " standing and flag them, then answer again"
		for _, w := range others {
			d.otherwise[w] = "stems up to " + one + ", once the thicker ones are flagged and the answer is given again"
			d.stopPerson(w, f, fmt.Sprintf("stems of %s need a two-cut release, and theirs ends at %s", said, one))
		}
		return
	}
	for _, w := range others {
		d.keepTo[w] = "stems up to " + one
	}
	f.Effect, f.Of = NeedsControl, OfPerson
	f.Line = "stems of " + said + ": only " + d.names(may) + "; the others up to " + one
	f.Do = "the others leave thicker stems standing"
	f.What = fmt.Sprintf("Stems of %s need a two-cut release. They are for %s. Up to %s only: %s; they leave thicker ones standing.", said, d.names(may), one, d.names(others))
	d.findAbout(f, about{people: append(may, others...)})
}

// takesTwoCuts reports whether somebody may take stems that need two cuts at the level planned. Where it is not the task planned, a
// release is needed, not only the leave to learn it in sight.
func (d *day) takesTwoCuts(c CrewLine) bool {
	perm := d.people[c.Worker].Permissions[TwoCut]
	return c.Level <= perm.Level && (c.Group == TwoCut || perm.Level > training.InSight)
}

// names lists people as their names stand in a text.
func (d *day) names(list []string) string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = d.name(w)
	}
	return strings.Join(out, ", ")
}

// kept are those of the house rules that the edition in force has; what came later is judged by the starter edition's figure.
func (d *day) kept(keys ...string) []string {
	var out []string
	for _, k := range keys {
		if d.in.House.Has(k) {
			out = append(out, k)
		}
	}
	return out
}

func centimetres(si float64) string { return number(100*si, 1) + "cm" }
