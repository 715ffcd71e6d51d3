package hazards

import (
	"strings"

	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/hazards/units"
)

// aloneClauses holds, by the code of the place, what a clause, or the authority's own guide, that was read says against one person alone. Elsewhere one alone needs a
// contact outside (OHS Regulation of British Columbia 4.20.1-4.21, in a reproduced extract; the same everywhere is company choice).
var aloneClauses = map[string]string{
	"nb":    "working alone topic of the New Brunswick agency's guide, read: nobody alone with a chain saw, a brush saw or a clearing saw",
	"us":    "29 CFR 1910.266(d)(6)(iii), read: every worker within sight or hearing of another",
	"us-wa": "WAC 296-54-513(4)-(5), read: teams of at least two",
}

// alone looks at one person with a saw and nobody else on the block. It holds where a clause of the place wants two; elsewhere until a
// contact outside, an interval and what happens at a missed call are named and the call was tested today.
func (d *day) alone() {
	if !d.onePerson() || !d.in.Sheet.Crew[0].Saws() {
		return
	}
	f := limited{topic: TopicEmergency, id: "alone", effect: StopSite, means: NotYet, line: "one person alone with a saw",
		other: "29 CFR 1910.266(d)(6)(iii); OHS Regulation of British Columbia 4.20.1-4.21, in a reproduced extract", ends: "somebody else is on the block, or the calls are arranged"}
	f.other = firstOf(d.aloneDuties(), f.other)
	for _, p := range d.in.Places {
		if clause, forbids := aloneClauses[p]; forbids {
			f.means, f.other, f.do, f.ends = Stopped, clause, "a second person within sight or hearing", "somebody else is on the block"
			f.what = "One person alone with a saw. The rules of this place want somebody within sight or hearing."
			d.limit(f)
			return
		}
	}
	missing := d.uncalled()
	if len(missing) > 0 {
		f.do = "name and test: " + strings.Join(missing, ", ")
		f.what = "One person alone with a saw. Missing: " + strings.Join(missing, ", ") + ". Unsupervised is not working alone."
		d.limit(f)
		return
	}
	f.effect, f.alone, f.do = NeedsControl, true, "call every "+d.answers[CheckIn].Value
	f.what = "One person alone with a saw. Calls every " + d.answers[CheckIn].Value + " to " + d.answers[Outside].Value + ", tested at " + d.answers[OutsideTested].Value +
		". At a missed call: " + d.answers[MissedPlan].Value + "."
	d.limit(f)
}

// uncalled lists what is missing of the calls of somebody who is alone.
func (d *day) uncalled() []string {
	var out []string
	lacks := func(missing bool, what string) {
		if missing {
			out = append(out, what)
		}
	}
	every, err := units.Parse(d.answers[CheckIn].Value, units.Time)
	tested := d.answers[OutsideTested]
	lacks(d.answers[Outside].Is != Told, "a contact outside the block")
	lacks(err != nil || every.SI() <= 0, "how often the calls are")
	lacks(d.answers[MissedPlan].Is != Told, "what happens at a missed call")
	lacks(tested.Is != Told || tested.Value > d.in.Sheet.At, "a test call that was answered today")
	return out
}

// AloneWithSaw says who is alone on the block with a saw, where one person is.
func (s Sheet) AloneWithSaw() (worker string, alone bool) {
	if len(s.Crew) != 1 || !s.Crew[0].Saws() {
		return "", false
	}
	return s.Crew[0].Worker, true
}

// AloneWords says of somebody alone with a saw how calls were arranged, what of it is missing, and which clauses of the place ask for it.
func AloneWords(s Sheet, duties []rules.Duty) string {
	told := func(id string) string {
		if a := s.Said(id); a.Is == Told {
			return a.Value
		}
		return ""
	}
	every, whom := told(CheckIn), told(Outside)
	words := "alone with a saw, calls every " + every + " to " + whom + " and when work ends"
	if every == "" || whom == "" || told(MissedPlan) == "" {
		words = "alone with a saw, and calls are not arranged: how often, to whom, and what happens at a missed one"
	}
	d := day{in: Input{Duties: duties}}
	if cites := d.aloneDuties(); cites != "" {
		words += " (" + cites + ")"
	}
	return words
}
