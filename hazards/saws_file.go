package hazards

import "example.org/ringtrue/hazards/risk"

// file asks for a file before anything else where a saw that somebody is to use is not filed: it is the shortest of all controls and
// needs nobody named but its user. Who stops for it already is not asked twice.
func (d *day) file() {
	var saws []string
	for _, c := range d.in.Sheet.Crew {
		if c.Saws() && d.dull(c.Saw) && hasSaw(d.in.Sheet.Saws, c.Saw) && len(d.downs[c.Saw]) == 0 && !contains(d.filing, c.Saw) {
			saws = append(saws, c.Saw)
		}
	}
	if len(saws) == 0 {
		return
	}
	d.findAbout(Finding{Topic: TopicKickback, ID: dullBlade, Effect: NeedsControl, Of: OfSaw, Line: "file first: saw " + thoseSaws, Do: "file the blade or fit a sharp one, then start",
		What: "File first: saw " + thoseSaws + ". File the blade or fit a sharp one, then start.", Ends: "the blade is filed"}, about{saws: saws})
}

// dullBlade is the id of a finding about blades that are not filed.
const dullBlade = "dull-blade"

// fileOrStop stops somebody whose kickback is Serious or worse while the blade is dull: no control on the ground makes up for a file.
func (d *day) fileOrStop(t topic, s risk.Score, f Finding) {
	saw := d.sawOf(t.worker)
	d.filing = append(d.filing, saw)
	why := "kickback is " + f.LevelAfter + " with a dull blade"
	d.stopped[t.worker] = append(d.stopped[t.worker], why)
	d.otherwise[t.worker] = "the same with a sharp blade, after the answer is given again"
	f.ID, f.Effect, f.Means = dullBlade, StopPerson, NotYet
	f.Line, f.Do = "file first: saw "+thoseSaws+" ("+theirs+")", "file the blade or fit a sharp one, then answer again"
	f.What = "File first: saw " + thoseSaws + ". Kickback for " + theirs + ": " + f.LevelAfter + " after controls. They do not start until it is filed; then answer again."
	d.findAbout(f, about{people: []string{t.worker}, saws: []string{saw}})
}

func (d *day) sawOf(worker string) string {
	line, _ := d.lineOf(worker)
	return line.Saw
}
