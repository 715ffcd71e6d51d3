package hazards

import "strings"

// sawStops says why a saw stays down when a check is answered the bad way, or not yet. A blade that is not filed is
// no stop; it counts in the kickback score of whoever uses the saw.
var sawStops = map[string]string{
	SawTagged:  "it is tagged out",
	SawGuard:   "the guard is not fitted and whole",
	SawRing:    "the blade does not ring clear; scrap it",
	SawIdle:    "the blade turns at idle",
	SawStop:    "the stop control does not kill the engine",
	SawNut:     "the blade nut is not tight by wrench",
	SawRelease: "the harness release does not drop the saw",
	SawNoLeak:  "it leaks",
}

// saws goes through the checks of each saw that is here, and what the book knows about it.
func (d *day) saws() {
	if len(d.in.KnownSaws) == 0 {
		d.unseen("upkeep of saws (the book keeps no saws)")
	}
	for _, s := range d.in.Sheet.Saws {
		for _, q := range sawChecks {
			why, stops := sawStops[q.ID]
			switch a := s.Said(q.ID); {
			case !stops:
			case a.Is == DontKnow:
				d.stopSaw(s.ID, q.ID, "not known yet: "+q.Text+" "+d.name(a.Who)+" finds out by "+a.By)
			case a.Is == q.Bad:
				d.stopSaw(s.ID, q.ID, why)
			}
		}
		d.bookSaw(s.ID)
	}
	for _, c := range d.in.Sheet.Crew {
		if c.Saws() && !hasSaw(d.in.Sheet.Saws, c.Saw) && len(d.downs[c.Saw]) == 0 {
			d.stopSaw(c.Saw, "not-checked", "it was not checked today")
		}
	}
}

func (d *day) bookSaw(id string) {
	if len(d.in.KnownSaws) == 0 {
		return
	}
	known := d.known(id)
	switch {
	case known.ID == "":
		d.stopSaw(id, "not-on-list", "it is not on the saw list; unknown counts as not fit")
	case known.Tagged != "":
		d.stopSaw(id, "tagged-in-book", "it is tagged out in the book: "+known.Tagged)
	case known.Retired:
		d.stopSaw(id, "retired", "it is retired; it does not run again")
	}
	if len(known.Overdue) > 0 {
		d.find(Finding{Topic: TopicSaws, ID: "upkeep-overdue", Effect: Watch, Of: OfSaw, Subject: id,
			What: "Saw " + id + ", upkeep overdue: " + strings.Join(known.Overdue, "; ") + "."})
	}
}

func (d *day) known(id string) KnownSaw {
	for _, k := range d.in.KnownSaws {
		if k.ID == id {
			return k
		}
	}
	return KnownSaw{}
}

// dull reports whether the blade of a saw is not filed, or nobody knows yet.
func (d *day) dull(id string) bool {
	for _, s := range d.in.Sheet.Saws {
		if s.ID == id {
			return s.Said(SawFiled).Is != Yes
		}
	}
	return true
}

func (d *day) sawUse() []SawUse {
	out := []SawUse{}
	for _, s := range d.in.Sheet.Saws {
		out = append(out, SawUse{ID: s.ID, Use: len(d.downs[s.ID]) == 0, WhyNot: d.downs[s.ID]})
	}
	return out
}
