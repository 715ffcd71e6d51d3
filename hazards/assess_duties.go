package hazards

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards/rules"
)

// A place may ask that whoever is new or young there hears certain things before work, as B.C. Reg. 296/97 does in 3.23(1)-(2). Duties
// that are only remembered, or of which no more than a heading was seen, stop nobody; nor do places or editions without such duties.

// unheard stops somebody whose orientations leave out what the place asks for, until they have heard it.
func (d *day) unheard(c CrewLine, p Worker) {
	lacks, duty := d.leftOut(p)
	if len(lacks) == 0 {
		return
	}
	why := "new here, and orientation leaves out: "
	if p.Young {
		why = "a young worker, and orientation leaves out: "
	}
	f := Finding{Topic: TopicCrew, ID: "orientation-topics", Means: NotYet, Do: "tell and show them what is missing, then: ringtrue worker orient",
		Line:    theirs + ": orientation leaves out " + counted(len(lacks), "thing") + " that this place asks for",
		Reasons: []string{duty.Cite + ", " + duty.Status + ": before work begins"}, Ends: "they were oriented in what is missing"}
	d.stopPerson(c.Worker, f, why+strings.Join(eachWords(lacks), "; ")+" ("+duty.Cite+", "+duty.Status+")")
}

// asksFor says what the place asks that an orientation which is due covers, nil where it asks nothing of this person.
func (d *day) asksFor(p Worker) []string {
	lacks, duty := d.leftOut(p)
	if len(lacks) == 0 {
		return nil
	}
	return []string{duty.Cite + ", " + duty.Status + ", asks for: " + strings.Join(eachWords(lacks), "; ")}
}

func (d *day) leavesOut(p Worker) bool {
	lacks, _ := d.leftOut(p)
	return len(lacks) > 0
}

// leftOut lists what the orientations of somebody new or young leave out of what the place asks for, with the first duty that asks.
func (d *day) leftOut(p Worker) (lacks []string, first rules.Duty) {
	for _, duty := range d.in.Duties {
		if !Stops(duty) || !duty.Concerns(p.New, p.Young, false) {
			continue
		}
		missing := duty.Lacks(p.Heard)
		if len(missing) > 0 && first.Rule == "" {
			first = duty
		}
		for _, m := range missing {
			if !slices.Contains(lacks, m) {
				lacks = append(lacks, m)
			}
		}
	}
	return lacks, first
}

// Stops reports whether a duty stops somebody new or young until it is met: one about what orientation covers, read in the text or in a
// restatement of it.
func Stops(d rules.Duty) bool {
	forThem := d.Whom == rules.NewOnes || d.Whom == rules.YoungOnes || d.Whom == rules.NewAndYoung
	return forThem && d.Of == "orientation" && d.Seen
}

// LeftOut is what a person's orientations leave out of what the place asks before work, in words, with the clause that asks first; nil
// where nothing is left out or nothing is asked of them.
func LeftOut(p Worker, duties []rules.Duty) (lacks []string, cite string) {
	d := day{in: Input{Duties: duties}}
	ids, duty := d.leftOut(p)
	return eachWords(ids), duty.Cite
}

// AskedBeforeWork lists, in words, all that the duties of a place ask new and young people to hear before work.
func AskedBeforeWork(duties []rules.Duty) []string {
	lacks, _ := LeftOut(Worker{New: true, Young: true}, duties)
	return lacks
}

func eachWords(ids []string) []string {
	var out []string
	for _, id := range ids {
		out = append(out, rules.CoveringWords(id))
	}
	return out
}

// counted writes a number with its thing, in the plural where there are more.
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// aloneDuties cites what the place asks about somebody who works alone, "" where nothing was read.
func (d *day) aloneDuties() string {
	var cites []string
	for _, duty := range d.in.Duties {
		if cite := duty.Cite + " (" + duty.Status + ")"; duty.Whom == rules.Alone && duty.Of == rules.CallsArranged && !slices.Contains(cites, cite) {
			cites = append(cites, cite)
		}
	}
	return strings.Join(cites, "; ")
}
