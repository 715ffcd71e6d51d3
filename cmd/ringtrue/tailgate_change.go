package main

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training/civil"
)

// Changes that mean more than other answers.
const (
	changeMoved     = "moved"
	changeIncident  = "incident"
	changeResumed   = "resumed"
	changeCloseCall = "close-call"
	changeDaylight  = "daylight"
)

// changeWords are what can happen, with the answers that it changes by itself.
var changeWords = map[string]map[string]string{
	"rain": {slope.WetOrIcy: hazards.Yes}, "snow": {slope.WetOrIcy: hazards.Yes}, "frost": {slope.WetOrIcy: hazards.Yes},
	"thunder": {hazards.Thunder: hazards.Yes}, "fog": {hazards.Hidden: hazards.Yes}, "dusk": {hazards.Hidden: hazards.Yes},
	"no-contact": {hazards.CallAnswered: hazards.No}, "public": {hazards.Public: hazards.Yes}, "tired": {kickback.TiredHurried: hazards.Yes},
	"wind": nil, "heat": nil, "cold": nil, "fire-class": nil, "arrived": nil, "left": nil, "unwell": nil, "saw": nil, "ground": nil,
	changeMoved: nil, changeIncident: nil, changeResumed: nil, changeDaylight: nil, changeCloseCall: nil, "other": nil,
}

// changeRecord is a change as it stands in the ledger. The decision was made on the ground; the assessment was computed when the
// change was entered, which may be much later. They are two things.
type changeRecord struct {
	Tailgate   string             `json:"tailgate"` // "origin#seq"
	Block      string             `json:"block"`
	What       string             `json:"what"`
	Words      string             `json:"words"`
	Decision   string             `json:"decision"`
	DecidedBy  string             `json:"decided_by"`
	Told       []string           `json:"told"`
	MovedTo    string             `json:"moved_to"`
	Delta      hazards.Change     `json:"delta"`
	Changed    []string           `json:"changed"`
	Assessment hazards.Assessment `json:"assessment"`
	Knows      string             `json:"knows"`
	Saws       string             `json:"saws,omitempty"` // what the decision says of the saws: on, off, or "" = read its words
}

// changeEntry is a recorded change.
type changeEntry struct {
	event
	changeRecord
}

type changeOptions struct {
	dayOptions
	what, words, decision, decider, to, ground, saws, accepted string
	answers, checks, controls, arrived, left, unwell, told     []string
	lang                                                       string
	depth
}

func newChangeCmd(a *app) *cobra.Command {
	var o changeOptions
	c := &cobra.Command{
		Use:   "change WHAT --decision TEXT",
		Short: "Record what changed during the day, who decided what, who was told; assess again",
		Long: `Record a change during the day: what happened and when, what was decided on the ground, by whom, and who was told. The
sheet is assessed again with the answers that changed; that answer is computed now and stands apart from the decision.
WHAT is one of: ` + strings.Join(changeNames(), ", ") + `.
Some change an answer by themselves: rain makes the ground wet, thunder stops. Others go with --answer, --control, --arrived,
--left, --unwell, --saw or --to. A check made in the dark ends its hold by daylight: --ground NAME has walked the ground since
sunrise and answers its questions again, what has changed with --answer, the rest as before. Write roles, not names, in free words.

What was decided leads every screen, sheet and copy from then on, and the stricter of it and of what is computed is the word of the
day: saws that were taken off stay off until a later decision says that they run. --saws says so; without it the words are read.
A control is written as on the day sheet; who decides accepts by name what is left, unless --accepted-by names somebody else.

After an incident the emergency text of the block where the crew is comes first. --decision may wait: it is "all saws off" until
somebody says otherwise.

Exit status: 0 go or go with controls, 3 hold, 1 refused (nothing recorded).`,
		Example: `  ringtrue tailgate change rain --at 11:00 --decision "saws off until the rock has dried" --decided-by okafor --told ana,ben
  ringtrue tailgate change wind --answer wind-force=6 --decision "only the low stems, everybody on the lee side" --told all
  ringtrue tailgate change daylight --ground okafor --answer wet-icy=yes --decision "frost on the upper strip, the lower one first"
  ringtrue tailgate change resumed --decision "saws on, along the strip" --control "for=wet-icy kind=organised what=along the strip, dry side first owner=ana"
  ringtrue tailgate change incident --unwell elio --words "leg cut below the knee"
  ringtrue tailgate change moved --to B8 --at 13:10 --decision "the rest of B8 while it is dry" --told all`,
		Args: exactly(1, "WHAT"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.what = meantWord(args[0], changeNames())
			day, one, err := a.changed(o)
			if err != nil {
				return hurtHint(o.what == changeIncident, err)
			}
			if one.What == changeIncident && !a.json {
				err = a.printIncident(day, one)
			} else {
				err = a.paged(func() error { return a.printChange(day, one, o.depth) })
			}
			if err != nil {
				return err
			}
			if a.wordOf(day).Answer == hazards.Hold {
				return answerNo()
			}
			return nil
		},
	}
	f := c.Flags()
	depthFlags(c, &o.depth)
	dayFlags(c, &o.dayOptions, "when it happened; a clock time alone is today's")
	f.StringVar(&o.words, "words", "", "what happened, in a few words")
	f.StringVar(&o.decision, "decision", "", "what was decided then, on the ground (required but for an incident)")
	f.StringVar(&o.saws, "saws", "", "what the decision says of the saws: off or on (default: as its words say)")
	f.StringVar(&o.decider, "decided-by", "", "who decided it (default: who acts)")
	f.StringSliceVar(&o.told, "told", nil, "who was told; all means everybody here")
	f.StringArrayVar(&o.answers, "answer", nil, "QUESTION=ANSWER that is now another one; repeatable")
	f.StringArrayVar(&o.checks, "saw", nil, "SAW:CHECK=ANSWER that is now another one; repeatable")
	f.StringSliceVar(&o.arrived, "arrived", nil, "who came; without a saw until on a sheet")
	f.StringSliceVar(&o.left, "left", nil, "who left")
	f.StringSliceVar(&o.unwell, "unwell", nil, "who is no longer fit")
	f.StringVar(&o.ground, "ground", "", "who has walked the ground in daylight and answers its questions again")
	f.StringVar(&o.to, "to", "", "block to which the crew moved")
	f.StringArrayVar(&o.controls, "control", nil, "what is done from now on: for=FACTOR kind=KIND what=TEXT owner=WORKER; repeatable")
	f.StringVar(&o.accepted, "accepted-by", "", "who accepts by name what is left after controls (default with --control: who decided)")
	langFlag(c, &o.lang)
	return c
}

// changed opens the book and records a change.
func (a *app) changed(o changeOptions) (course, changeEntry, error) {
	if err := firstError(a.speak(o.lang), a.write()); err != nil {
		return course{}, changeEntry{}, err
	}
	return a.change(o)
}

// hurtHint adds to a refusal, where somebody is hurt or missing, the command that says at once what to do.
func hurtHint(hurt bool, err error) error {
	f := classify(context.Background(), err)
	if !hurt || f.code == exitInterrupted {
		return err
	}
	f.next = strings.TrimPrefix(f.next+"\nthe emergency text does not wait: ringtrue hurt", "\n")
	return f
}

// dayFlags adds the flags that name a check and a moment of its day.
func dayFlags(c *cobra.Command, o *dayOptions, at string) {
	f := c.Flags()
	f.StringVar(&o.block, "block", "", "block of the check (default: the only one with a check that day)")
	f.StringVar(&o.entry, "check", "", "entry of the check (default: the last one of that day)")
	f.StringVar(&o.at, "at", "", at)
}

func changeNames() []string {
	var names []string
	for n := range changeWords {
		names = append(names, n)
	}
	return sorted(names)
}

// change records a change and assesses the day again.
func (a *app) change(o changeOptions) (course, changeEntry, error) {
	var p problems
	by, err := a.actor()
	p.add(err)
	happened, err := a.happened(a.todayAt(o.at))
	p.add(err)
	if o.what == changeIncident && o.decision == "" {
		o.decision, o.saws = "all saws off", orWord(o.saws, hazards.SawsOff)
	}
	rec := changeRecord{What: o.what, Words: o.words, Decision: o.decision, DecidedBy: by.ID, MovedTo: o.to, Told: []string{}, Saws: o.saws}
	p.add(a.sayWhat(o))
	if o.decider != "" {
		who, err := a.person(o.decider)
		p.add(err)
		rec.DecidedBy = who.ID
	}
	rec.Delta = a.delta(o, &p)
	rec.Delta.Controls, rec.Delta.AcceptedBy = a.changedControls(o, rec.DecidedBy, &p)
	p.add(a.knownBlock(o.to))
	if err := p.err(); err != nil {
		return course{}, changeEntry{}, err
	}
	day, err := a.dayFor(o.dayOptions, happened)
	if err != nil {
		return day, changeEntry{}, err
	}
	rec.Told = a.toldPeople(o.told, day, &p)
	if err := p.err(); err != nil {
		return day, changeEntry{}, err
	}
	return a.recordChange(day, rec, by, happened)
}

// sayWhat refuses a change that says too little.
func (a *app) sayWhat(o changeOptions) error {
	var p problems
	if _, known := changeWords[o.what]; !known {
		next := "one of: " + strings.Join(changeNames(), ", ")
		if near := nearestID(o.what, changeNames()); near != "" {
			next = "nearest: " + near
		}
		p.add(usage(next, "%q is no change that this program knows", o.what))
	}
	if strings.TrimSpace(o.decision) == "" {
		p.add(usage("add --decision, in a few words", "what was decided then is missing"))
	}
	for what, given := range map[string]bool{"arrived": len(o.arrived) > 0, "left": len(o.left) > 0, "unwell": len(o.unwell) > 0, "saw": len(o.checks) > 0} {
		if o.what == what && !given {
			p.add(usage("add --"+what, "a change of kind %s says who or which", what))
		}
	}
	if (o.what == changeDaylight) != (o.ground != "") {
		p.add(usage("write: tailgate change daylight --ground NAME", "daylight and --ground go together"))
	}
	if o.saws != "" && o.saws != hazards.SawsOff && o.saws != hazards.SawsOn {
		p.add(usage("write --saws off or --saws on", "--saws: %q says neither", o.saws))
	}
	if o.what == changeIncident && o.saws == hazards.SawsOn {
		p.add(usage("let work resume once it is decided: ringtrue tailgate change resumed", "an incident and --saws on do not go together"))
	}
	if (o.what == changeMoved) != (o.to != "") {
		p.add(usage("write: tailgate change moved --to BLOCK", "moving and --to go together"))
	}
	return p.err()
}

// delta turns flags into a change of the sheet, people as ids. At and By are set when it is recorded.
func (a *app) delta(o changeOptions, p *problems) hazards.Change {
	d := hazards.Change{Answers: []hazards.Answer{}, Checks: []hazards.SawCheck{}, Arrived: a.ids(o.arrived, p), Left: a.ids(o.left, p), Unwell: a.ids(o.unwell, p)}
	if o.ground != "" {
		d.Ground = a.ids([]string{o.ground}, p)[0]
	}
	for _, text := range o.answers {
		question, answer, ok := strings.Cut(text, "=")
		if !ok {
			p.add(usage("write --answer thunder=yes", "--answer %q is not QUESTION=ANSWER", text))
			continue
		}
		one, err := hazards.ParseAnswer(a.eventQuestion(question), answer)
		if err != nil {
			p.add(usage("write it as on the day sheet", "--answer %s: %v", text, err))
			continue
		}
		d.Answers = append(d.Answers, one)
	}
	for _, text := range o.checks {
		saw, rest, _ := strings.Cut(text, ":")
		check, answer, ok := strings.Cut(rest, "=")
		one, err := hazards.ParseSawCheck(saw, check, answer)
		if !ok || err != nil {
			p.add(usage("write --saw S11:guard=no", "--saw %q is not SAW:CHECK=ANSWER%s", text, note(": ", errorText(err))))
			continue
		}
		d.Checks = append(d.Checks, one)
	}
	for _, question := range sortedKeys(changeWords[o.what]) {
		if !slices.ContainsFunc(d.Answers, func(x hazards.Answer) bool { return x.Question == question }) {
			d.Answers = append(d.Answers, hazards.Answer{Question: question, Said: hazards.Said{Is: changeWords[o.what][question]}})
		}
	}
	return d.WithPeople(func(name string) string {
		if isID(a, name) {
			return name
		}
		who, err := a.person(name)
		p.add(err)
		return who.ID
	})
}

// changedControls reads --control and who accepts what is left: who decided, unless somebody else is named.
func (a *app) changedControls(o changeOptions, decider string, p *problems) (list []hazards.Control, accepts string) {
	for _, text := range o.controls {
		c, err := hazards.ParseControl(text)
		if err != nil {
			p.add(usage(`write --control "for=wet-icy kind=organised what=along the strip owner=ana", keys as on the day sheet`, "--control %q: %v", text, err))
			continue
		}
		owner, err := a.person(c.Owner)
		p.add(err)
		c.For, c.Owner = a.eventQuestion(c.For), owner.ID
		list = append(list, c)
	}
	switch {
	case o.accepted != "":
		who, err := a.person(o.accepted)
		p.add(err)
		return list, who.ID
	case len(list) > 0:
		return list, decider
	}
	return list, ""
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func sortedKeys(m map[string]string) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	return sorted(keys)
}

// ids finds people by what was typed.
func (a *app) ids(names []string, p *problems) []string {
	list := []string{}
	for _, n := range names {
		who, err := a.person(n)
		p.add(err)
		list = append(list, who.ID)
	}
	return list
}

// isID reports whether a text is the id of a person of this book already.
func isID(a *app, text string) bool {
	people, err := a.crew()
	if err != nil {
		return false
	}
	_, known := people.byID[text]
	return known
}

// dayFor reads the day of the check in force at a moment, with all that is known of it, and refuses a moment before the check.
func (a *app) dayFor(o dayOptions, happened time.Time) (course, error) {
	asked := a.knownNow(civil.Of(happened, a.book.Zone()))
	t, err := a.checkInForce(o, happened, asked)
	if err != nil {
		return course{}, err
	}
	if happened.Before(t.happened) {
		return course{}, refuse("say when with --at", "the check was at %s, after %s", a.local(t.happened), a.local(happened))
	}
	day, err := a.course(t, asked)
	if err != nil {
		return day, err
	}
	if done, closed := day.closed(); closed && happened.After(done.happened) {
		return day, refuse("check a new sheet if work goes on; an incident: ringtrue event add", "the day of block %s was closed at %s (entry %s)", t.Block, a.local(done.happened), a.book.Short(done.ref))
	}
	return day, nil
}

// toldPeople finds who was told; all means everybody who is here.
func (a *app) toldPeople(names []string, day course, p *problems) []string {
	if slices.Equal(names, []string{"all"}) {
		return day.crew()
	}
	return a.ids(names, p)
}

// recordChange assesses the day with the change in it, and records both.
func (a *app) recordChange(day course, rec changeRecord, by store.Person, happened time.Time) (course, changeEntry, error) {
	rec.Tailgate, rec.Block = a.book.Name(day.ref), day.Block
	rec.Delta.At, rec.Delta.By = happened.In(a.book.Zone()).Format("15:04"), by.ID
	before := day.sheet()
	if _, err := before.After(rec.Delta); err != nil {
		return day, changeEntry{}, refuse("see who is here: ringtrue tailgate show --block "+day.Block, "%s", a.inNames(err.Error()))
	}
	was := day.changes
	day.changes = insert(was, changeEntry{event{happened: happened, by: by.ID}, rec})
	in, err := a.changedInput(day)
	if err != nil {
		return day, changeEntry{}, err
	}
	fresh, err := freshFireDays(in)
	if err != nil {
		return day, changeEntry{}, err
	}
	in.FireDays = append(in.FireDays, fresh...)
	rec.Assessment = hazards.Assess(in)
	marked := func(id string) string { return "{" + id + "}" } // as in the texts of an assessment
	rec.Changed = append([]string{}, hazards.Changed(before.WithPeople(marked), in.Sheet.WithPeople(marked))...)
	if rec.Knows, err = a.knows(); err != nil {
		return day, changeEntry{}, err
	}
	es := append(a.fireEntries(fresh, by.ID, happened), entry(store.KindChange, happened, by.ID, "", "", rec))
	refs, err := a.append(es)
	if err != nil {
		return day, changeEntry{}, err
	}
	ref := refs[len(refs)-1]
	h, err := a.book.Entry(a.ctx, ref, nil)
	one := changeEntry{event{ref, by.ID, "", happened, h.Recorded}, rec}
	day.changes = insert(was, one)
	return day, one, err
}

// insert puts a change in its place by when it happened.
func insert(list []changeEntry, one changeEntry) []changeEntry {
	i := len(list)
	for i > 0 && list[i-1].happened.After(one.happened) {
		i--
	}
	return slices.Insert(slices.Clone(list), i, one)
}

// changedInput is the input of an assessment of the day as it is now. The changed sheet is written and read once more, so that
// it is held to all that a sheet is held to.
func (a *app) changedInput(day course) (hazards.Input, error) {
	s := day.sheet()
	if s.Block != day.Block {
		card, err := a.emergencyCard(day)
		if err != nil {
			return hazards.Input{}, err
		}
		s.BlockEdition = card.Edition
	}
	read, err := hazards.ParseSheetFor("the changed sheet", hazards.WriteSheet(s, hazards.Hints{}), hazards.Known{Blank: s.Blanks()})
	if err != nil {
		return hazards.Input{}, refuse("name what belongs together with --answer", "%s", a.inNames(err.Error()))
	}
	at, err := a.sheetTime(read)
	if err != nil {
		return hazards.Input{}, err
	}
	in, _, err := a.assessmentInput(read, at)
	in.During = day.during(a.book.Zone())
	return in, err
}

// inNames writes the ids of people in an error as their short names.
func (a *app) inNames(text string) string {
	people, err := a.crew()
	if err != nil {
		return text
	}
	for _, one := range people.list {
		text = strings.ReplaceAll(text, one.ID, one.Handle)
	}
	return text
}
