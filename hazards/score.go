package hazards

import (
	"fmt"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
)

// topic is one scored hazard, on one piece of ground, for one person or for the site.
type topic struct {
	topic, words string
	of, worker   string
	start        int
	factors      []risk.Factor
	drives       map[string]string
}

// score rates kickback and footing for the ground and for each person who brings factors of their own, and fuel for
// the site. People who are stopped already are not scored.
func (d *day) score() {
	d.scoreFuel()
	if !d.sawWork() {
		return
	}
	stems, footing := d.stems(), d.footing()
	d.rate(topic{topic: TopicKickback, words: "Kickback", of: OfGround, start: kickback.StartSeverity, factors: stems})
	d.rate(topic{topic: TopicFooting, words: "A fall", of: OfGround, start: d.fallSeverity(), factors: footing})
	for _, c := range d.in.Sheet.Crew {
		if !c.Saws() || len(d.stopped[c.Worker]) > 0 || len(d.downs[c.Saw]) > 0 {
			continue
		}
		experience := d.experience(c.Worker)
		if own := append(d.ownFactors(c), experience...); len(own) > 0 {
			d.rate(topic{topic: TopicKickback, words: "Kickback", of: OfPerson, worker: c.Worker, start: kickback.StartSeverity,
				factors: append(own, stems...)})
		}
		if len(experience) > 0 {
			d.rate(topic{topic: TopicFooting, words: "A fall", of: OfPerson, worker: c.Worker, start: d.fallSeverity(),
				factors: append(experience, footing...)})
		}
	}
}

func (d *day) sawWork() bool {
	for _, c := range d.in.Sheet.Crew {
		if c.Saws() {
			return true
		}
	}
	return false
}

// scoreFuel rates fuel for the site, unless nobody fuels on the block today.
func (d *day) scoreFuel() {
	any := false
	for _, q := range questions {
		if q.fuelQuestion() && d.answers[q.ID].Is != NotApplicable {
			any = true
		}
	}
	if !any {
		return
	}
	t := topic{topic: TopicFuel, words: "A fuel burn or spill", of: OfSite, start: fuel.StartSeverity, drives: map[string]string{}}
	for _, f := range fuel.Factors() {
		if rest, here := d.fuelFactor(f); here {
			t.factors = append(t.factors, rest)
			t.drives[f.ID] = f.Drives
		}
	}
	d.rate(t)
}

// rate scores one topic and adds its finding.
func (d *day) rate(t topic) {
	s, err := risk.Rate(risk.Severity(t.start, d.late), t.factors, d.acting())
	if err != nil {
		d.limit(limited{topic: t.topic, id: "score", effect: StopSite, means: NotYet, line: lowerFirst(t.words) + " could not be scored",
			what: fmt.Sprintf("%s could not be scored: %v.", t.words, err)})
		return
	}
	f := Finding{
		Topic: t.topic, ID: "score", Of: t.of, Severity: s.Severity,
		LevelBefore: s.Before.Level.String(), LevelAfter: s.After.Level.String(),
		ProbabilityBefore: string(s.Before.Probability), ProbabilityAfter: string(s.After.Probability),
		PointsBefore: s.Before.Points, PointsAfter: s.After.Points, Drives: drivenBy(s, t.drives),
	}
	for _, l := range s.Strongest() {
		f.Reasons = append(f.Reasons, l.Factor.Words+lowered(l))
		if how := l.Lower(); how != "" {
			f.Lower = append(f.Lower, l.Factor.ID+": "+how)
		}
	}
	d.place(t, s, f)
}

func lowered(l risk.Line) string {
	if l.By == 0 {
		return ""
	}
	return ", lowered (" + l.By.String() + ")"
}

// drivenBy is what most of the points left drive, the first of equals.
func drivenBy(s risk.Score, drives map[string]string) string {
	sum := map[string]int{}
	best := ""
	for _, l := range s.Lines {
		by := drives[l.Factor.ID]
		sum[by] += l.Left
		if best == "" || sum[by] > sum[best] {
			best = by
		}
	}
	return best
}

// place turns a level into an effect: High holds the person, the ground or the site, Serious needs a control, where one can
// act, and acceptance, and a level that only the named controls brought down needs those. Who would be Serious or worse with a blade
// that is not filed waits for the file, whatever else is done. The rest are standing controls; a person's is left out, because the
// ground's says the same.
func (d *day) place(t topic, s risk.Score, f Finding) {
	about := map[string]string{OfGround: " on this ground", OfSite: " at the fuel spot", OfPerson: " for " + theirs}[t.of]
	what := t.words + about
	says := what + ": " + f.LevelAfter + " after controls."
	if d.late {
		says += " Help is further than " + d.in.House.Value(house.HelpWithin) + ", so harm counts one step worse."
	}
	var named []string
	for _, l := range s.Lines {
		named = append(named, l.Factor.ID)
	}
	f.Controls, f.Line = d.controlWords(named), lowerFirst(what)+": "+lowerFirst(f.LevelAfter)
	switch {
	case t.of == OfPerson && s.After.Level >= risk.Serious && withDullBlade(s):
		d.fileOrStop(t, s, f)
	case s.After.Level == risk.High && t.of == OfPerson:
		d.highPerson(t, f, says)
	case s.After.Level == risk.High:
		f.Effect, f.Means, f.Do, f.What = StopSite, Stopped, "take something away or go to other ground", says+" Take something away or go to other ground."
		d.find(f)
	case s.After.Level == risk.Serious:
		d.serious(t, s, f, what, says)
	case s.After.Level < s.Before.Level:
		f.Effect, f.What = NeedsControl, says+" The controls named make it so; nobody starts before they are in place."
		f.Do = "nobody starts before the controls are in place"
		d.findAbout(f, t.about())
	case t.of != OfPerson:
		f.Effect, f.What = Watch, says+" Standing controls. Check again when ground or weather changes."
		d.find(f)
	}
}

func (t topic) about() about {
	if t.worker == "" {
		return about{}
	}
	return about{people: []string{t.worker}}
}

// highPerson stops a person because of a level.
func (d *day) highPerson(t topic, f Finding, says string) {
	d.stopped[t.worker] = append(d.stopped[t.worker], lowerFirst(t.words)+" is High after controls")
	d.otherwise[t.worker] = "other ground or another task"
	f.Effect, f.Means, f.Do, f.What = StopPerson, Stopped, "other ground or another task", says+" They do not start here: other ground or another task."
	d.findAbout(f, t.about())
}

// serious asks for a control where one could act, and for acceptance by name. Where no control can act on anything that is
// there - the first month, say - acceptance suffices, for nothing else can be asked (company choice).
func (d *day) serious(t topic, s risk.Score, f Finding, what, says string) {
	factors := reachable(s)
	f.Effect, f.Do = NeedsControl, "accept it by name, or change the ground or the task"
	f.What = says + " No control acts on what is left; it needs acceptance by name."
	if len(factors) > 0 {
		f.Do, f.What = firstOf(s.Strongest()[0].Lower(), "the controls named are in place before anybody starts"), says+" It needs a control with an owner, and acceptance by name."
	}
	d.pending = append(d.pending, pending{d.findAbout(f, t.about()), lowerFirst(what), factors})
}

func withDullBlade(s risk.Score) bool {
	for _, l := range s.Lines {
		if l.Factor.ID == kickback.DullBlade {
			return true
		}
	}
	return false
}

// reachable lists the factors that a control on the sheet could act on.
func reachable(s risk.Score) []string {
	var out []string
	for _, l := range s.Lines {
		if contains(mayAct, l.Factor.ID) {
			out = append(out, l.Factor.ID)
		}
	}
	return out
}
