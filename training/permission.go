package training

import (
	"fmt"
	"slices"

	"example.org/ringtrue/training/civil"
)

// Permission is the level at which a person may do a task group at a moment, with what it rests on.
type Permission struct {
	Group   string
	Level   Level
	Slope   string   // steepest ground of the release, with unit; "" = the house limit
	Limits  string   // other limits of the release, in words
	Release Ref      // in force, 0 = none
	Reasons []Reason // why not more, and what it rests on
	Lacks   []Reason // those of the reasons that stand against more, the release itself aside
}

// Released is a release as decided: its fact and what the entry says beyond it.
type Released struct {
	Fact    Fact
	Slope   string
	Limits  string
	Opening bool
	OwnWord bool // an opening release by whom it is for
}

// PermissionFor answers at which level a person may do the work of a task group. Standings holds the person's
// standing in every skill; a skill that is not in it is not held. Releases are those for this group, in order.
//
// A restriction of a needed skill, or a needed gate skill that is not held and whose latest look is not met, leaves no saw;
// any other gap leaves in sight; more needs a release in force. Sign-offs by one person alone go no higher than in
// sight until a second appointed person has seen one look. An opening release stands in for sign-offs that are not
// there yet; one on own word also for looks that nobody has made yet.
func PermissionFor(g Group, c Curriculum, standings map[string]Standing, releases []Released, a Asked) Permission {
	p := Permission{Group: g.ID, Level: Unsupervised}
	needs := g.Skills
	if g.Saw {
		needs = append(c.GateSkills(), needs...)
	}
	rel := inForce(releases, a)
	for i, id := range needs {
		switch st := standings[id]; {
		case slices.Contains(needs[:i], id):
		case slices.Contains(c.GateSkills(), id) && missed(st) && !rel.vouches(st):
			p.lower(NoSaw, Reason{Text: fmt.Sprintf("gate skill %s: the latest look is not met, or there is none", id), Entry: entryOf(st)})
		default:
			p.need(id, st, rel)
		}
	}
	p.untrusted(releases, a)
	p.release(g, rel)
	return p
}

// lower brings the level down and says why.
func (p *Permission) lower(to Level, why Reason) {
	if to < p.Level {
		p.Level = to
	}
	p.Reasons, p.Lacks = append(p.Reasons, why), append(p.Lacks, why)
}

// missed reports whether a gate skill bars saw time; a restriction, which bars it too, says so itself.
func missed(st Standing) bool { return !st.LastMet && !st.Held() && st.Word != Restricted }

// vouches reports whether a release on own word stands in for looks at a skill that nobody has made yet.
func (r *Released) vouches(st Standing) bool { return r != nil && r.OwnWord && !st.Looked }

func (p *Permission) need(id string, st Standing, rel *Released) {
	switch {
	case st.Word == Restricted:
		p.lower(NoSaw, Reason{Text: "skill " + id + " is restricted; only as instruction, in sight of one appointed person who is not sawing", Entry: entryOf(st)})
	case st.Held() && st.Alone:
		p.lower(InSight, Reason{Text: "skill " + id + " was seen and signed off by one person alone", Entry: entryOf(st)})
	case st.Held():
	case rel != nil && rel.Opening && st.Word != Lapsed && st.LastMet:
		p.Reasons = append(p.Reasons, Reason{Text: "skill " + id + ": " + rel.metOnce()})
	case rel != nil && rel.Opening && st.Word != Lapsed && !st.Looked:
		p.Reasons = append(p.Reasons, Reason{Text: "skill " + id + ": " + rel.unseen()})
	default:
		p.lower(InSight, Reason{Text: fmt.Sprintf("skill %s is %s", id, word(st)), Entry: entryOf(st)})
	}
}

// metOnce says what an opening release stands on for a skill whose latest look is met.
func (r *Released) metOnce() string {
	if r.OwnWord {
		return "own word, met in the latest look, not yet signed off here"
	}
	return "credited, met in the latest look, not yet signed off here"
}

// unseen says what it stands on for a skill that nobody has looked at.
func (r *Released) unseen() string {
	if r.OwnWord {
		return "own word, not yet seen here"
	}
	return "credited, not yet seen here"
}

func (p *Permission) release(g Group, rel *Released) {
	if rel == nil {
		p.lower(InSight, Reason{Text: "no release for " + g.ID + " is in force"})
		return
	}
	level := Level(rel.Fact.Code)
	if rel.Opening {
		level = min(level, InHearing)
	}
	p.Slope, p.Limits, p.Release = rel.Slope, rel.Limits, rel.Fact.Entry
	text := fmt.Sprintf("released for %s, %s", g.ID, level)
	if rel.Fact.Until != civil.None {
		text += ", until " + rel.Fact.Until.String()
	}
	if rel.OwnWord {
		text += ", own word; somebody else has to look"
	}
	p.Level = min(p.Level, level)
	p.Reasons = append(p.Reasons, Reason{Text: text + Within(rel.Slope, rel.Limits), Entry: rel.Fact.Entry})
}

// untrusted names releases that do not count because their signature is not trusted.
func (p *Permission) untrusted(releases []Released, a Asked) {
	for _, r := range releases {
		if f := r.Fact; f.Untrusted && f.At <= a.On && f.Recorded <= a.Known {
			p.Reasons = append(p.Reasons, Reason{Text: "the release of " + f.Day.String() + " does not count: its signature is not trusted", Entry: f.Entry})
		}
	}
}

// inForce is the latest release that counts at the moment asked. A later one replaces an earlier one, even where it
// has ended; facts that end releases are among them.
func inForce(releases []Released, a Asked) *Released {
	var last *Released
	for i, r := range releases {
		if r.Fact.Kind != FactWithdrawal && r.Fact.At <= a.On && r.Fact.Recorded <= a.Known && !r.Fact.Struck && !r.Fact.Void {
			last = &releases[i]
		}
	}
	if last == nil || slices.ContainsFunc(releases, func(r Released) bool { return endsRelease(r.Fact, last.Fact, a) }) || (last.Fact.Until != civil.None && last.Fact.Until <= a.Day) {
		return nil
	}
	return last
}

func word(st Standing) Word {
	if st.Word == "" {
		return "unknown, so not held"
	}
	return st.Word
}

func entryOf(st Standing) Ref {
	for _, r := range st.Reasons {
		if r.Entry != 0 {
			return r.Entry
		}
	}
	return 0
}
