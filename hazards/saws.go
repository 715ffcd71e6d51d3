package hazards

import "strings"

// sawStops says why a saw stays down when a check is answered the bad way, or not yet, and what ends it. A blade that is not filed is
// no stop by itself; it counts in the kickback score of whoever uses the saw.
var sawStops = map[string]struct{ why, do string }{
	SawTagged:  {"it is tagged out", "another saw, until it is cleared"},
	SawGuard:   {"the guard is not fitted and whole", "fit a whole guard"},
	SawRing:    {"the blade is cracked or does not ring clear; scrap it", "fit another blade"},
	SawIdle:    {"the blade turns at idle", "set the idle, or another saw"},
	SawStop:    {"the stop control does not kill the engine", "repair it, or another saw"},
	SawNut:     {"the blade nut is not tight by wrench", "tighten it by wrench"},
	SawRelease: {"the harness release does not drop the saw", "another harness"},
	SawNoLeak:  {"it leaks", "repair it, or another saw"},

	SawThrottle: {"the throttle does not spring back or its lock-out does not hold", "repair it, or another saw"},
	SawHandles:  {"a handle, mount, hook or hip pad is broken", "repair it, or another saw"},
}

// saws goes through the checks of each saw that is here, and what the book knows about it.
func (d *day) saws() {
	if len(d.in.KnownSaws) == 0 {
		d.unseen("upkeep of saws (the book keeps no saws)")
	}
	for _, s := range d.in.Sheet.Saws {
		for _, q := range sawChecks {
			stop, stops := sawStops[q.ID]
			switch a := s.Said(q.ID); {
			case !stops || (!s.Asked(q.ID) && contains(laterChecks, q.ID)):
			case a.Is == DontKnow:
				d.stopSaw(s.ID, q.ID, NotYet, d.name(a.Who)+" finds out by "+a.By, "not known yet: "+q.Text+" "+d.name(a.Who)+" finds out by "+a.By)
			case a.Is == q.Bad:
				d.stopSaw(s.ID, q.ID, Stopped, stop.do, stop.why)
			}
		}
		d.bookSaw(s.ID)
	}
	for _, c := range d.in.Sheet.Crew {
		if c.Saws() && !hasSaw(d.in.Sheet.Saws, c.Saw) && len(d.downs[c.Saw]) == 0 {
			d.stopSaw(c.Saw, "not-checked", NotYet, "check it first", "it was not checked today")
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
		d.stopSaw(id, "not-on-list", NotYet, "put it on the saw list first", "it is not on the saw list; unknown counts as not fit")
	case known.Tagged != "":
		d.stopSaw(id, "tagged-in-book", Stopped, "another saw, until it is cleared", "it is tagged out in the book: "+known.Tagged)
	case known.Screen != "" && d.fireSeason():
		d.stopSaw(id, "spark-screen", Stopped, "fit a whole screen, or another saw", "its spark screen is not whole, and it is fire season: "+known.Screen)
	case known.Retired:
		d.stopSaw(id, "retired", Stopped, "another saw", "it is retired; it does not run again")
	}
	if len(known.Overdue) > 0 {
		overdue := strings.Join(known.Overdue, "; ")
		d.findAbout(Finding{Topic: TopicSaws, ID: "upkeep-overdue", Effect: Watch, Of: OfSaw, Line: "saw " + thoseSaws + ", upkeep overdue: " + overdue,
			What: "Saw " + thoseSaws + ", upkeep overdue: " + overdue + "."}, about{saws: []string{id}})
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
