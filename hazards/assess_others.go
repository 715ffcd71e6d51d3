package hazards

import (
	"fmt"
	"math"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

// aiderHurt asks for a second person who helps, and that the only one with a ticket is not where nobody hears them.
func (d *day) aiderHurt() {
	if d.onePerson() {
		return
	}
	d.onlyAider()
	a := d.answers[AiderHurt]
	f := limited{topic: TopicFirstAid, id: AiderHurt, effect: StopSite, means: NotYet, do: "name somebody else who is here"}
	switch who := d.name(a.Value); {
	case a.Is == No || a.Is == DontKnow:
		f.line, f.what = "nobody is named to help if the first aider is hurt", "Nobody is named to give first aid if the first aider is hurt."+d.remark(AiderHurt)
	case a.Is != Told:
		return
	case d.id(a.Value) == d.id(d.answers[FirstAider].Value):
		f.line, f.what = who+" is the first aider; name a second one", who+" is the first aider. Name somebody else who gives first aid if the first aider is hurt."
	default:
		if _, here := d.lineOf(a.Value); here {
			return
		}
		f.line, f.what = who+" is to help but is not here", who+" is named to give first aid if the first aider is hurt, but is not here."
	}
	d.limit(f)
}

// onlyAider: where one person alone has a ticket, they do not saw where nobody hears them.
func (d *day) onlyAider() {
	a := d.answers[FirstAider]
	line, here := d.lineOf(a.Value)
	if a.Is != Told || !here || line.Level <= training.InHearing || !d.onlyTicket(a.Value) {
		return
	}
	d.limit(limited{topic: TopicFirstAid, id: FirstAider, effect: StopSite, means: NotYet, line: d.name(a.Value) + ", the only first aider, saws out of hearing", do: "plan them in hearing of the others",
		what: d.name(a.Value) + " is the only first aider here and would saw out of hearing. Plan them in hearing of the others."})
}

func (d *day) onlyTicket(worker string) bool {
	for _, c := range d.in.Sheet.Crew {
		if d.people[c.Worker].FirstAid && d.id(c.Worker) != d.id(worker) {
			return false
		}
	}
	return true
}

// agreed looks at what is agreed with everybody before the start: the stop signal, and who else is on the ground.
func (d *day) agreed() {
	if is := d.answers[StopSignal].Is; (is == No || is == DontKnow) && !d.onePerson() {
		d.limit(limited{topic: TopicSpacing, id: StopSignal, effect: NeedsControl, alone: true, line: "no stop signal was shown", do: "agree one and show it with ear protection on",
			what: "No stop signal was shown. Agree one and show it with ear protection on; on a slope it comes from the side or above." + d.remark(StopSignal)})
	}
	a := d.answers[WhoElse]
	f := limited{topic: TopicSpacing, id: WhoElse, effect: NeedsControl, do: "tell them where you cut; keep two tree lengths off machines, or the maker's zone",
		other: "29 CFR 1910.266(h)(1), two tree lengths between occupied areas (read); shooting at the road: alert of a B.C. council (read)"}
	switch a.Is {
	case DontKnow:
		f.line, f.what = "not known yet: who else works, drives or shoots here", "Nobody can say who else works, drives or shoots here today."+d.remark(WhoElse)
	case Told:
		f.line = "also here: " + a.Value
		f.what = fmt.Sprintf("Also here today: %s. Tell them where you cut; keep two tree lengths off machines, or the maker's zone, whichever is more.", a.Value)
	default:
		return
	}
	d.limit(f)
}

// remote says how long help takes where it is so far that kit and stretcher stand beside the work, "" where it is nearer. Later still, harm
// counts one step worse; see newDay.
func (d *day) remote() string {
	help, known := d.in.Block.HelpAfter()
	if !d.in.House.Has(house.HelpRemote) || (known && help <= d.in.House.SI(house.HelpRemote)) {
		return ""
	}
	if !known {
		return "not known"
	}
	return span(math.Ceil(help / 60))
}

// steepUnlimited names those whose release says no slope, where the ground is steeper than the third step: the release holds, and who
// gave it is asked (company choice: a release that names none is meant for ground up to the second step).
func (d *day) steepUnlimited() {
	percent, told := d.value(slope.Steepest)
	if !told || math.Abs(percent) <= d.in.House.SI(house.SlopeStep3) || slope.AboveLimit(percent, d.in.House) {
		return
	}
	for _, c := range d.in.Sheet.Crew {
		perm, released := d.people[c.Worker].Permissions[c.Group]
		if !c.Saws() || !released || len(d.stopped[c.Worker]) > 0 {
			continue
		}
		if _, err := units.Parse(perm.Slope, units.Slope); err != nil {
			d.limit(limited{topic: TopicFooting, id: "slope-release", effect: Watch, worker: c.Worker, line: "released without a slope; the ground is " + d.answers[slope.Steepest].Value,
				what: "the release names no slope, and the ground is " + d.answers[slope.Steepest].Value + "; above " + d.in.House.Value(house.SlopeStep2) + " it should name one.", rules: []string{house.SlopeStep2}})
		}
	}
}
