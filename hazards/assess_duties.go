package hazards

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/hazards/rules"
)

// A place may ask that whoever is new or young there hears certain things before work, as B.C. Reg. 296/97 does in 3.23(1)-(2). Duties
// that are only remembered, or of which no more than a heading was seen, ask nothing of anybody; nor do places or editions without such duties.

// unheard asks that somebody whose orientations leave out what the place asks for hears it before they start. It is a control and no stop:
// the book knows topics only by the words that were typed, and one may have been told in others.
func (d *day) unheard(c CrewLine, p Worker) {
	lacks, duty := d.leftOut(p)
	if len(lacks) == 0 {
		return
	}
	why := "new here, and orientation leaves out: "
	if p.Young {
		why = "a young worker, and orientation leaves out: "
	}
	d.limit(limited{topic: TopicCrew, id: "orientation-topics", effect: NeedsControl, alone: true, worker: c.Worker,
		what: why + strings.Join(eachWords(lacks), "; ") + " (" + duty.Cite + ", " + duty.Status + ")",
		line: "orientation leaves out " + counted(len(lacks), "thing") + " that this place asks for",
		do:   "tell and show them what is missing before they start, then: ringtrue worker orient", ends: "they were oriented in what is missing"})
}

// asksFor says what the place asks that an orientation which is due covers, nil where it asks nothing of this person.
func (d *day) asksFor(p Worker) []string {
	lacks, duty := d.leftOut(p)
	if len(lacks) == 0 {
		return nil
	}
	return []string{duty.Cite + ", " + duty.Status + ", asks for: " + strings.Join(eachWords(lacks), "; ")}
}

// leftOut lists what the orientations of somebody new or young leave out of what the place asks for, with the first duty that asks.
func (d *day) leftOut(p Worker) (lacks []string, first rules.Duty) {
	for _, duty := range d.in.Duties {
		if !AsksFirst(duty) || !duty.Concerns(p.New, p.Young, false) {
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

// AsksFirst reports whether a duty asks that somebody new or young hears something before they start: one about what orientation covers, read in the text or in a
// restatement of it.
func AsksFirst(d rules.Duty) bool {
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
