package hazards

import (
	"fmt"

	"example.org/ringtrue/hazards/kickback"
)

// Tension is the task group whose release lets somebody cut bent stems under tension. Where a curriculum has no group of that name, its
// group for clumps stands for both, and the caller hands it in under this name.
const Tension = "tension"

// bentStems compares bent stems with each one's release, as stemSize does with thick ones: who has none leaves them standing. Where there
// are many, or storm, snow or ice bent them, they are flagged out before the start, by somebody who is named.
func (d *day) bentStems() {
	a := d.answers[kickback.BentStems]
	few := a.Is == Told
	if !d.sawWork() || !(few || d.bad(kickback.BentStems)) {
		return
	}
	var may, others []string
	for _, c := range d.in.Sheet.Crew {
		switch {
		case !c.Saws() || len(d.stopped[c.Worker]) > 0 || len(d.downs[c.Saw]) > 0:
		case d.takesBent(c):
			may = append(may, c.Worker)
		default:
			others = append(others, c.Worker)
		}
	}
	if len(others) == 0 {
		return
	}
	for _, w := range others {
		d.keepTo[w] = joinedBy(d.keepTo[w], "bent stems stay standing")
	}
	d.bentFinding(few, may, others)
}

func (d *day) bentFinding(few bool, may, others []string) {
	f := Finding{Topic: TopicKickback, ID: bentRelease, Effect: NeedsControl, Of: OfPerson, Ends: "bent stems are left standing, or somebody here is released for them",
		Line: "bent stems: nobody here is released; leave and flag them", Do: "leave them standing; flag them before the start"}
	f.What = fmt.Sprintf("Bent stems need a release of their own. Leave them standing: %s.", d.names(others))
	if len(may) > 0 {
		f.Line = "bent stems: only " + d.names(may)
		f.What = fmt.Sprintf("Bent stems need a release of their own. They are for %s. Leave them standing: %s.", d.names(may), d.names(others))
	}
	i := d.findAbout(f, about{people: append(may, others...)})
	if !few && len(may) == 0 {
		d.pending = append(d.pending, pending{i, "the bent stems", []string{kickback.BentStems}})
	}
}

const bentRelease = "bent-release"

// takesBent reports whether somebody may cut bent stems at the level planned, as takesTwoCuts does for thick ones.
func (d *day) takesBent(c CrewLine) bool { return d.takes(c, Tension) }

func joinedBy(before, more string) string {
	if before == "" {
		return more
	}
	return before + "; " + more
}
