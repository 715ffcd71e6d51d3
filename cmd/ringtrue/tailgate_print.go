package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/cmd/ringtrue/internal/glance"
	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/training"
)

// tailgateAnswer is a check for --json: the assessment as recorded, people as ids with names beside; texts name them as on the screen.
type tailgateAnswer struct {
	Format     string             `json:"format"`
	Entry      string             `json:"entry"`
	Happened   string             `json:"happened"`
	Recorded   string             `json:"recorded"`
	Assessment hazards.Assessment `json:"assessment"`
	Changed    []string           `json:"changed"`
	Joined     []joinLine         `json:"joined"`
	Knows      string             `json:"knows"`
	People     map[string]string  `json:"people"`
}

// printTailgate prints the answer on one screen, its reasons, or all of it.
func (a *app) printTailgate(t tailgate, o depth) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	joined, err := a.joins(t.ref)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(a.tailgateAnswer(t, joined, people))
	}
	switch day := (course{tailgate: t, joined: joined}); {
	case o.full:
		a.checkText(t, joined, people)
	case o.why != "":
		return a.printWhy(day, t.Assessment, o.why)
	default:
		return a.glance(day, t.Assessment, nil, glance.Morning{}, a.showCommand(t))
	}
	return nil
}

func (a *app) tailgateAnswer(t tailgate, joined []joinLine, people *people) tailgateAnswer {
	ans := tailgateAnswer{Format: "ringtrue/tailgate/1", Entry: a.book.Name(t.ref), Happened: t.happened.Format(time.RFC3339),
		Recorded: t.recorded.Format(time.RFC3339), Assessment: t.Assessment.TextsNamed(people.handle), Changed: eachOf(t.Changed, people.inText), Joined: joined, Knows: t.Knows, People: map[string]string{}}
	for _, c := range t.Sheet.Crew {
		ans.People[c.Worker] = people.name(c.Worker)
	}
	for _, id := range append(present(t.Assessment.AcceptedBy), t.Assessment.By) {
		ans.People[id] = people.name(id)
	}
	return ans
}

// checkText prints all of a check as it was answered: answer first, stops next, then controls, then the rest.
func (a *app) checkText(t tailgate, joined []joinLine, people *people) {
	named := t.Assessment.Named(people.handle)
	a.mark()
	a.say("%s  (%s, %s)", a.word("verdict", string(named.Answer)), a.said("page.block", named.Block), a.local(t.happened)+a.awayNow(t.happened))
	a.say("%s", a.inWords(named.Sentence))
	a.findings(named)
	a.mayDo(named)
	a.joinedText(t, joined, people)
	a.readAloud(named)
	a.closing(t, named, people)
	a.say("%s%s", a.said("show.entry", a.book.Short(t.ref), a.inWords(a.signedText(t.ref, people.handle(t.by)))), a.apart(t.happened, t.recorded))
}

func (a *app) findings(named hazards.Assessment) {
	for _, f := range named.Findings {
		a.say("")
		a.say("%s: %s%s", a.word("effect", string(f.Effect)), a.inWords(f.What), a.levelText(f))
		lines(a, a.said("page.because"), f.Reasons)
		for _, l := range f.Lower {
			how, _ := a.voice().Behind(l)
			a.say("    %s: %s", a.said("page.lower"), how)
		}
		lines(a, a.said("show.control"), f.Controls)
		lines(a, a.said("page.ends-when"), present(f.Ends))
		lines(a, a.said("page.decided-by"), present(f.House))
		lines(a, a.said("show.read"), firstFew(f.Rules))
	}
	for _, o := range named.Open {
		a.say("%s", a.said("show.not-known", o.Question, o.Who, o.By))
	}
}

// present is a text as a list, empty where there is none.
func present(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}

func (a *app) levelText(f hazards.Finding) string {
	switch {
	case f.LevelAfter == "":
		return ""
	case f.LevelBefore == f.LevelAfter:
		return " [" + a.word("rank", f.LevelAfter) + "]"
	}
	return " [" + a.said("show.level-after", a.word("rank", f.LevelBefore), a.word("rank", f.LevelAfter)) + "]"
}

func lines(a *app, word string, list []string) {
	for _, l := range list {
		a.say("    %s: %s", word, a.inWords(l))
	}
}

// fewRules keeps the printed answer to a screen; rules list shows all.
const fewRules = 3

func firstFew(list []string) []string {
	if len(list) <= fewRules {
		return list
	}
	return append(list[:fewRules:fewRules], fmt.Sprintf("and %d more: ringtrue rules list", len(list)-fewRules))
}

func (a *app) mayDo(named hazards.Assessment) {
	a.say("")
	a.say("%s", a.said("show.who-may"))
	for _, m := range named.May {
		if len(m.Stopped) > 0 {
			a.say("  %s: %s %s%s", m.Worker, a.said("show.stopped"), strings.Join(eachOf(m.Stopped, a.inWords), "; "), note("; "+a.said("show.instead")+" ", a.inWords(m.Instead)))
			continue
		}
		a.say("  %s: %s%s%s%s%s", m.Worker, a.word("level", m.Level.String()), note(", ", m.Group), a.with("show.saw", m.Saw), a.with("page.watched-by", m.With), note("; ", a.inWords(m.Only)))
		lines(a, a.said("show.rests-on"), m.RestsOn)
	}
	for _, s := range named.Saws {
		if !s.Use {
			a.say("  %s", a.said("show.saw-down", s.ID, strings.Join(eachOf(s.WhyNot, a.inWords), "; ")))
		}
	}
}

func (a *app) joinedText(t tailgate, joined []joinLine, people *people) {
	have := map[string]bool{}
	for _, j := range joined {
		have[j.Worker] = true
	}
	var missing []string
	for _, c := range t.Sheet.Crew {
		if !have[c.Worker] {
			missing = append(missing, people.handle(c.Worker))
		}
	}
	a.say("")
	a.say("%s%s", a.said("show.joined", strconv.Itoa(len(t.Sheet.Crew)-len(missing)), strconv.Itoa(len(t.Sheet.Crew))), a.behind("show.not-joined", strings.Join(missing, ", ")))
	for _, v := range t.Sheet.Visitors {
		a.say("  %s", a.said("show.visitor", v.Name, orWord(people.handle(v.With), "-")))
	}
	for _, j := range joined {
		if j.Visitor != "" {
			a.say("  %s", a.said("show.visitor-later", j.Visitor, j.Happened, people.handle(j.BriefedBy)))
			continue
		}
		if j.Late {
			a.say("  %s", a.said("show.late", people.handle(j.Worker), j.Happened, people.handle(j.BriefedBy)))
		}
	}
}

func (a *app) readAloud(named hazards.Assessment) {
	a.say("")
	a.say("%s", a.said("show.read-aloud"))
	for _, l := range named.Emergency {
		a.say("  %s", a.inWords(l))
	}
}

func (a *app) closing(t tailgate, named hazards.Assessment, people *people) {
	a.say("")
	for _, c := range t.Changed {
		a.say("%s", a.said("show.changed", people.inText(c)))
	}
	a.say("%s", a.said("show.again", strings.Join(eachOf(named.WatchFor, a.inWords), "; ")))
	a.say("%s", a.inWords(named.Caution))
	a.say("%s", a.inWords(rules.Closing))
	a.say("%s", a.inWords(t.Knows))
	a.say("%s", a.said("show.not-looked-at", strings.Join(eachOf(named.NotLookedAt, a.inWords), ", ")))
}

// findTailgate finds a check by its entry, or the last one of a block.
func (a *app) findTailgate(args []string, block string) (tailgate, error) {
	if len(args) == 0 {
		if block == "" {
			return tailgate{}, usage("name an entry or a block: --block B7", "which check is meant")
		}
		if err := a.knownBlock(block); err != nil {
			return tailgate{}, err
		}
		t, ok, err := a.lastAt(block)
		if err == nil && !ok {
			err = refuse("make one: ringtrue tailgate sheet --block "+block, "block %s has no check yet", block)
		}
		return t, err
	}
	ref, ok, err := a.book.Find(a.ctx, args[0])
	if err != nil {
		return tailgate{}, err
	}
	if !ok {
		return tailgate{}, refuse("name the last check of a block with --block", "there is no entry %s", args[0])
	}
	return a.checkEntry(ref, args[0])
}

func (a *app) checkEntry(ref training.Ref, text string) (tailgate, error) {
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil {
		return tailgate{}, err
	}
	if h.Kind != "tailgate" {
		return tailgate{}, refuse("name the last check of a block with --block", "entry %s is not a tailgate check but: %s", text, h.Kind)
	}
	return a.tailgate(ref)
}
