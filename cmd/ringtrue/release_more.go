package main

import (
	"bufio"
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// releaseLevels are the levels that a release may name, the lowest first.
var releaseLevels = []training.Level{training.NoSaw, training.InSight, training.InHearing, training.PeriodicCheck, training.Unsupervised}

// releaseLevel reads the level of a release.
func releaseLevel(text string) (level training.Level, err error) {
	if level.UnmarshalText([]byte(strings.ReplaceAll(plain(text), "-", " "))) != nil {
		var names []string
		for _, l := range releaseLevels {
			names = append(names, fmt.Sprintf("%q", l.String()))
		}
		return 0, usage("levels of a release: "+strings.Join(names, ", "), "--level %q is not a level of a release", text)
	}
	return level, nil
}

// releaseText says a release in a line, with all its limits.
func releaseText(rec training.Release) string {
	return fmt.Sprintf("%s, %s%s%s%s", rec.Group, rec.Level, note(", until ", rec.Until), training.Within(rec.Slope, rec.Limits), note(", own word: ", rec.Basis))
}

// replaced finds the release that a new one takes the place of, and what differs; nil where none is in force.
func (a *app) replaced(topics store.Topics, rec training.Release, std standards, asked training.Asked) ([]training.ReleaseChange, error) {
	g, err := std.group(rec.Group)
	if err != nil {
		return nil, err
	}
	perm, err := a.permission(topics, g, nil, std, asked)
	if err != nil || perm.Release == 0 {
		return nil, err
	}
	var old training.Release
	if _, err := a.book.Entry(a.ctx, perm.Release, &old); err != nil {
		return nil, err
	}
	return training.ReleaseChanges(old, rec, std.House.Value(house.SlopeLimit)), nil
}

// changeNotes says what a new release changes.
func changeNotes(changes []training.ReleaseChange) (notes []string) {
	for _, c := range changes {
		looser := ""
		if c.Loosens {
			looser = " LOOSER"
		}
		notes = append(notes, fmt.Sprintf("%s: %s becomes %s%s", c.What, c.Before, c.After, looser))
	}
	return notes
}

// mayLoosen asks, where somebody sits there, whether a release that is looser than the one in force is meant; in a pipe the flag says so.
func (a *app) mayLoosen(who store.Person, rec training.Release, changes []training.ReleaseChange, said bool) error {
	looser := false
	for _, c := range changes {
		looser = looser || c.Loosens
	}
	if !looser || said {
		return nil
	}
	notes := changeNotes(changes)
	if !a.attended() {
		return refuse("if that is meant, add --loosen", "the release of %s for %s would be looser than the one in force:\n%s", who.Name, rec.Group, strings.Join(notes, "\n"))
	}
	fmt.Fprintf(a.err, "%s has a release for %s already; the new one is looser:\n  %s\nloosen it? yes or no > ", who.Name, rec.Group, strings.Join(notes, "\n  "))
	line, _ := bufio.NewReader(a.in).ReadString('\n') // no answer is a no
	if yes, err := yesNo("loosen", line); err != nil || !yes {
		return refuse("leave the release as it is, or answer yes", "the release was not loosened, as you said")
	}
	return nil
}

// isGroup reports whether an id that is no skill is a task group, in the curriculum of today.
func (a *app) isGroup(id string) bool {
	std, err := a.standards(a.knownNow(civil.Of(a.now(), a.book.Zone())))
	if err != nil {
		return false
	}
	_, group := std.Group(id)
	_, _, skill := std.Skill(id)
	return group && !skill
}

// endRelease ends a release. Anybody may: it is a stop.
func (a *app) endRelease(o stopOptions) (d deed, notes []string, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, a.todayAt(o.at))
	if err = p.err(); err != nil {
		return
	}
	asked := training.Asked{Day: d.day, On: d.happened.Unix(), Known: a.knownNow(d.day).Known}
	std, err := a.standards(asked)
	if err != nil {
		return
	}
	perms, err := a.permissions(d.who.ID, std, asked)
	if err != nil {
		return
	}
	if perms[o.skill].Release == 0 {
		notes = append(notes, "no release for "+o.skill+" was in force")
	}
	o.reason, notes = reasonSaid(o.reason, notes)
	d, err = a.keep(d, training.KindReleaseEnd, training.ReleaseEnd{Group: o.skill, Reason: o.reason, Told: o.told})
	return
}

// reasonSaid is the reason of a stop. A stop without one is recorded all the same, and says so.
func reasonSaid(reason string, notes []string) (string, []string) {
	if strings.TrimSpace(reason) != "" {
		return reason, notes
	}
	return "no reason was said", append(notes, "no reason was said; ask who said it")
}
