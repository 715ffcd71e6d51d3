package hazards

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

// crew goes through everybody who is here: who they are, whether they are fit and equipped, and whether what is planned
// for them is what they are released for.
func (d *day) crew() {
	for _, c := range d.in.Sheet.Crew {
		d.person(c)
	}
	d.watchers()
}

func (d *day) person(c CrewLine) {
	p, known := d.people[c.Worker]
	if !known {
		d.stopPerson(c.Worker, Finding{Topic: TopicCrew, ID: "not-on-list", Means: NotYet, Do: "put them on the crew list first", Line: theirs + ": not on the crew list"},
			"not on the crew list; unknown counts as not held")
	}
	unfit := Finding{Topic: TopicCrew, ID: "unfit", Means: Stopped, Do: "no work on the block today"}
	switch c.Fit.Is {
	case Yes:
	case No:
		d.stopPerson(c.Worker, unfit, "not fit today")
	default:
		unfit.Means, unfit.Do = NotYet, d.name(c.Fit.Who)+" finds out by "+c.Fit.By
		unfit.Line = theirs + ": not known yet whether fit"
		d.stopPerson(c.Worker, unfit, fmt.Sprintf("fit is not known yet; %s finds out by %s", d.name(c.Fit.Who), c.Fit.By))
	}
	if len(p.Lacks) > 0 {
		d.stopPerson(c.Worker, Finding{Topic: TopicPPE, ID: "ppe", Means: NotYet, Do: "issue it and look at it, or no saw"}, "protective equipment missing or overdue: "+strings.Join(p.Lacks, ", "))
	}
	if len(p.Orient) > 0 {
		d.stopPerson(c.Worker, Finding{Topic: TopicCrew, ID: "orientation", Means: NotYet, Do: "orient them first", Line: theirs + ": orientation is due", Reasons: d.asksFor(p)},
			"orientation is due before work here: "+strings.Join(p.Orient, "; "))
	} else {
		d.unheard(c, p)
	}
	if known && c.Saws() {
		d.release(c, p)
	}
}

// release compares what is planned with what the person is released for.
func (d *day) release(c CrewLine, p Worker) {
	if len(p.Restricted) > 0 {
		d.stopPerson(c.Worker, Finding{Topic: TopicCrew, ID: "restricted", Means: Stopped, Do: "only as instruction, watched, nobody else in the zone", Line: theirs + ": restricted"},
			"a skill needed for this is restricted: "+strings.Join(p.Restricted, ", "))
	}
	perm, ok := p.Permissions[c.Group]
	switch {
	case !ok:
		d.stopPerson(c.Worker, Finding{Topic: TopicCrew, ID: "no-release", Means: NotYet, Do: "no saw without a release"}, fmt.Sprintf("no release for %s is known", c.Group))
	case c.Level > perm.Level:
		d.stopPerson(c.Worker, Finding{Topic: TopicCrew, ID: "level", Means: NotYet, Do: "plan what they are released for"},
			fmt.Sprintf("planned %s for %s, may work %s", c.Level, c.Group, perm.Level))
	}
	if why := d.tooSteep(perm); ok && why != "" {
		d.stopPerson(c.Worker, Finding{Topic: TopicFooting, ID: "slope-release", Means: Stopped, Do: "other ground for them"}, why)
	}
}

func (d *day) tooSteep(perm training.Permission) string {
	if perm.Slope == "" {
		return ""
	}
	limit, err := units.Parse(perm.Slope, units.Slope)
	percent, told := d.value(slope.Steepest)
	switch {
	case err != nil:
		return fmt.Sprintf("the slope of the release, %q, cannot be read", perm.Slope)
	case !told:
		return "released up to " + perm.Slope + ", and nobody can say how steep the ground is"
	case percent > limit.SI():
		return fmt.Sprintf("released up to %s, the ground is %s", perm.Slope, d.answers[slope.Steepest].Value)
	}
	return ""
}

// watchers asks for a named appointed person, who is here, fit and not sawing, for everybody who works in sight.
func (d *day) watchers() {
	most := d.in.House.Int(house.InSightWorkers)
	watched := map[string]int{}
	for _, c := range d.in.Sheet.Crew {
		if c.Level != training.InSight {
			continue
		}
		f := Finding{Topic: TopicCrew, ID: "not-watched", Means: NotYet, Do: "name an appointed person who is not sawing"}
		if c.WatchedBy == "" {
			d.stopPerson(c.Worker, f, "works in sight, but nobody is named who watches")
			continue
		}
		if why := d.cannotWatch(c.WatchedBy); why != "" {
			d.stopPerson(c.Worker, f, d.name(c.WatchedBy)+" cannot watch: "+why)
			continue
		}
		watcher := d.id(c.WatchedBy)
		if watched[watcher]++; watched[watcher] > most {
			f.ID, f.Line = "too-many-watched", theirs+": "+d.name(c.WatchedBy)+" already watches "+fmt.Sprint(most)
			d.stopPerson(c.Worker, f, fmt.Sprintf("%s already watches %d (%s)", d.name(c.WatchedBy), most, d.in.House.Cite(house.InSightWorkers)))
		}
	}
}

// cannotWatch says why somebody cannot watch others today, or "".
func (d *day) cannotWatch(worker string) string {
	line, here := d.lineOf(worker)
	switch p := d.people[worker]; {
	case !here:
		return "not here"
	case !p.Appointed:
		return "not appointed to watch"
	case line.Saws():
		return "sawing"
	case len(d.stopped[line.Worker]) > 0:
		return "stopped today"
	}
	return ""
}

// free names somebody who could watch one more worker today, or "".
func (d *day) free() string {
	watched := map[string]int{}
	for _, c := range d.in.Sheet.Crew {
		if c.Level == training.InSight {
			watched[d.id(c.WatchedBy)]++
		}
	}
	for _, c := range d.in.Sheet.Crew {
		if d.cannotWatch(c.Worker) == "" && watched[d.id(c.Worker)] < d.in.House.Int(house.InSightWorkers) {
			return c.Worker
		}
	}
	return ""
}

// may says for everybody here what they may do today, in the order of the sheet.
func (d *day) may() []May {
	hold := len(d.siteStops()) > 0
	out := []May{}
	for _, c := range d.in.Sheet.Crew {
		m := May{Worker: d.id(c.Worker), Saw: c.Saw, Group: c.Group, Level: c.Level, With: d.id(c.WatchedBy)}
		if c.Saws() {
			for _, why := range d.downs[c.Saw] {
				m.Stopped = append(m.Stopped, "saw "+c.Saw+": "+why)
			}
			for _, r := range d.people[c.Worker].Permissions[c.Group].Reasons {
				m.RestsOn = append(m.RestsOn, r.Text)
			}
		}
		m.Stopped = append(m.Stopped, d.stopped[c.Worker]...)
		if len(m.Stopped) > 0 {
			m.Instead = d.instead(c)
		}
		if c.Saws() && len(m.Stopped) == 0 {
			m.Only = keepingTo(d.keepTo[c.Worker], d.people[c.Worker].Permissions[c.Group])
		}
		if hold {
			m.Stopped = append(m.Stopped, "the site is on hold")
		}
		if len(m.Stopped) > 0 {
			m.Level = training.NoSaw
		}
		out = append(out, m)
	}
	return out
}

// keepingTo writes what somebody keeps to: by the stems, and by the limits of the release.
func keepingTo(stems string, p training.Permission) string {
	return strings.TrimPrefix(stems+training.Within(p.Slope, p.Limits), "; ")
}

// instead says what somebody who is stopped may do.
func (d *day) instead(c CrewLine) string {
	p, known := d.people[c.Worker]
	perm, released := p.Permissions[c.Group]
	switch {
	case !known:
		return "stays out of the zone until the book knows them"
	case c.Fit.Is != Yes:
		return "no work on the block today"
	case len(p.Lacks) > 0:
		return "stays out of the zone until the equipment is here"
	case len(p.Orient) > 0:
		return "no work here before the orientation"
	case len(p.Restricted) > 0:
		return "that skill only as instruction, in sight of one appointed person who is not sawing, nobody else in the zone"
	case d.otherwise[c.Worker] != "":
		return d.otherwise[c.Worker]
	case !released || perm.Level == training.NoSaw:
		return "no saw today"
	case d.tooSteep(perm) != "":
		return "ground up to " + perm.Slope
	case len(d.downs[c.Saw]) > 0 && c.Level <= perm.Level:
		return "another saw that has passed its checks"
	case perm.Level == training.InSight:
		return d.inSightOf()
	case c.Level > perm.Level:
		return "may work " + perm.Level.String()
	}
	return d.inSightOf()
}

func (d *day) inSightOf() string {
	if w := d.free(); w != "" {
		return "in sight of " + d.name(w) + ", who does not saw"
	}
	return "in sight of a named appointed person who is not sawing; nobody here is free for it"
}
