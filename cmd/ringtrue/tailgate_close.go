package main

import (
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// closeRecord is the end of a day as it stands in the ledger. With somebody missing the day stays open.
type closeRecord struct {
	Tailgate        string            `json:"tailgate"` // "origin#seq"
	Block           string            `json:"block"`
	Here            []string          `json:"here"`
	Missing         []string          `json:"missing"`
	VisitorsMissing []string          `json:"visitors_missing"` // by what they are
	Minutes         []hazards.Minutes `json:"minutes"`
	CloseCalls      []string          `json:"close_calls"`
	Tomorrow        []string          `json:"tomorrow"`              // as told
	Plan            []string          `json:"plan"`                  // what follows from the day, people as {id}
	NotCounted      string            `json:"not_counted,omitempty"` // why heads were never counted; the day is over all the same
}

// full reports whether everybody was counted out.
func (c closeRecord) full() bool {
	return c.NotCounted == "" && len(c.Missing)+len(c.VisitorsMissing) == 0
}

// ends reports whether a close ends the day: everybody is out, or somebody said why nobody was counted.
func (c closeRecord) ends() bool { return c.full() || c.NotCounted != "" }

type closeEntry struct {
	event
	closeRecord
}

type closeOptions struct {
	dayOptions
	here, gone, trigger, closeCalls, tomorrow []string
	all                                       bool
	notCounted, lang                          string
}

func newCloseCmd(a *app) *cobra.Command {
	var o closeOptions
	c := &cobra.Command{
		Use:   "close",
		Short: "End the day: head count, time at the trigger, close calls, what to plan for tomorrow",
		Long: `End the day of a check. Everybody on the sheet, whoever came late and every visitor is counted: name those who are out with
--here, or --all. With somebody missing the answer is no: their names and the emergency text come first, and the day stays
open until a close with everybody: the emergency text of the block where the crew is comes first, then their names.

A day that is over and on which nobody counted heads is not counted now: --not-counted REASON ends the reminder of it, and the record
says that nobody was counted. What is told with --tomorrow is asked on the next day sheets of the block until somebody answers yes.

Exit status: 0 closed, 3 somebody is missing.`,
		Example: "  ringtrue tailgate close --all --trigger ana=90min --trigger ben=2.5h --close-call \"bent stem sprang back, nobody near\" --tomorrow \"flag the rock on strip 4\"\n" +
			"  ringtrue tailgate close --block B7 --here okafor,ana,ben --at 16:40\n" +
			"  ringtrue tailgate close --block B7 --at 2026-07-10T17:00 --not-counted \"everybody drove home in one truck, nobody wrote it down\"",
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := firstError(a.speak(o.lang), a.write()); err != nil {
				return hurtHint(len(o.here) > 0, err)
			}
			day, one, err := a.closeDay(o)
			if err != nil {
				return hurtHint(len(o.here) > 0, err)
			}
			if err := a.printClose(day, one); err != nil {
				return err
			}
			if !one.ends() {
				return answerNo()
			}
			return nil
		},
	}
	f := c.Flags()
	dayFlags(c, &o.dayOptions, "when heads were counted; a clock time alone is today's")
	f.StringSliceVar(&o.here, "here", nil, "who is out and counted")
	f.BoolVar(&o.all, "all", false, "everybody is out and counted")
	f.StringArrayVar(&o.gone, "visitor", nil, "a visitor who is out, as written on the sheet; repeatable")
	f.StringArrayVar(&o.trigger, "trigger", nil, "WORKER=TIME at the trigger, as ana=2.5h; repeatable")
	f.StringArrayVar(&o.closeCalls, "close-call", nil, "a close call, in a few words; repeatable")
	f.StringArrayVar(&o.tomorrow, "tomorrow", nil, "what to see to tomorrow, asked until it is done; repeatable")
	f.StringVar(&o.notCounted, "not-counted", "", "why nobody counted heads on a day that is over")
	langFlag(c, &o.lang)
	return c
}

// closeDay counts heads and records the end of a day, with one entry for each person's time at the trigger.
func (a *app) closeDay(o closeOptions) (course, closeEntry, error) {
	var p problems
	by, err := a.actor()
	p.add(err)
	happened, err := a.happened(a.todayAt(o.at))
	p.add(err)
	here := a.ids(o.here, &p)
	times := a.triggerTimes(o.trigger, &p)
	p.add(a.countedHow(o, happened))
	if err := p.err(); err != nil {
		return course{}, closeEntry{}, err
	}
	day, err := a.dayFor(o.dayOptions, happened)
	if err != nil {
		return day, closeEntry{}, err
	}
	if done, closed := day.closed(); closed {
		return day, closeEntry{}, refuse("see: ringtrue tailgate show --block "+day.Block, "the day of block %s is closed already, by entry %s", day.Block, a.book.Short(done.ref))
	}
	rec := closeRecord{Tailgate: a.book.Name(day.ref), Block: day.Block, Here: here, CloseCalls: append([]string{}, o.closeCalls...), Tomorrow: append([]string{}, o.tomorrow...),
		NotCounted: strings.TrimSpace(o.notCounted)}
	if err := a.count(&rec, o, day); err != nil {
		return day, closeEntry{}, err
	}
	return a.recordClose(day, rec, times, by, happened)
}

// countedHow refuses a close that does not say who was counted, or says it twice. Heads that can still be counted are counted.
func (a *app) countedHow(o closeOptions, happened time.Time) error {
	var p problems
	counted := o.all || len(o.here)+len(o.gone) > 0
	reason := strings.TrimSpace(o.notCounted)
	switch {
	case o.notCounted != "" && reason == "":
		p.add(usage("write --not-counted and why nobody counted heads", "--not-counted is empty"))
	case reason != "" && counted:
		p.add(usage("take one of them", "--not-counted does not go together with --all, --here or --visitor"))
	case reason != "" && civil.Of(happened, a.book.Zone()) >= civil.Of(a.now(), a.book.Zone()):
		p.addf("count heads now: ringtrue tailgate close --here WORKER,WORKER", "--not-counted is for a day that is over; today heads can still be counted")
	case reason == "" && !o.all && len(o.here) == 0:
		p.add(usage("name them with --here, or all of them with --all", "nobody has been counted"))
	case o.all && len(o.here) > 0:
		p.add(usage("take one of them", "--all and --here do not go together"))
	}
	return p.err()
}

// triggerTime is one person's time at the trigger as told.
type triggerTime struct{ worker, time string }

func (a *app) triggerTimes(texts []string, p *problems) []triggerTime {
	var list []triggerTime
	for _, text := range texts {
		name, told, ok := strings.Cut(text, "=")
		q, err := hazards.ParseMinutes(told)
		if !ok || err != nil {
			p.add(usage("write --trigger ana=2.5h or ana=90min", "--trigger %q is not WORKER=TIME%s", text, note(": ", errorText(err))))
			continue
		}
		who, err := a.person(name)
		p.add(err)
		if slices.ContainsFunc(list, func(t triggerTime) bool { return t.worker == who.ID && who.ID != "" }) {
			p.add(usage("add their times up", "--trigger names %s twice", name))
		}
		list = append(list, triggerTime{who.ID, q.String()})
	}
	return list
}

// count compares who was counted with who was here: the crew as it is now, the late, those joined to an earlier check of the day, and
// visitors.
func (a *app) count(rec *closeRecord, o closeOptions, day course) error {
	crew, err := a.allOfDay(day)
	if err != nil {
		return err
	}
	if o.all {
		rec.Here = crew
	}
	rec.Missing, rec.VisitorsMissing = []string{}, []string{}
	if rec.NotCounted != "" {
		return nil // who was out and who was not is not known
	}
	for _, w := range crew {
		if !slices.Contains(rec.Here, w) {
			rec.Missing = append(rec.Missing, w)
		}
	}
	for _, v := range day.visitors() {
		if !o.all && !slices.Contains(o.gone, v) {
			rec.VisitorsMissing = append(rec.VisitorsMissing, v)
		}
	}
	for _, v := range o.gone {
		if !slices.Contains(day.visitors(), v) {
			return usage("write it as on the sheet: "+orNobody(day.visitors()), "no visitor %q was here today", v)
		}
	}
	return nil
}

// allOfDay adds to the crew those who joined an earlier check of that day and block and have not left.
func (a *app) allOfDay(day course) ([]string, error) {
	crew := day.crew()
	asked := a.knownBy(day.happened)
	facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(day.Block), store.KindTailgate)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		if f.Struck || f.Entry == day.ref || a.moment(f.At)[:10] != day.Sheet.Day || f.At > day.happened.Unix() {
			continue
		}
		t, err := a.tailgate(f.Entry)
		if err != nil {
			return nil, err
		}
		before, err := a.course(t, a.knownNow(1<<20))
		if err != nil {
			return nil, err
		}
		for _, j := range before.joined {
			left := slices.ContainsFunc(append(before.changes, day.changes...), func(e changeEntry) bool { return slices.Contains(e.Delta.Left, j.Worker) })
			if j.Worker != "" && !left && !slices.Contains(crew, j.Worker) {
				crew = append(crew, j.Worker)
			}
		}
	}
	return crew, nil
}

func (a *app) recordClose(day course, rec closeRecord, times []triggerTime, by store.Person, happened time.Time) (course, closeEntry, error) {
	in, err := a.eveningInput(day, happened)
	if err != nil {
		return day, closeEntry{}, err
	}
	var p problems
	var es []ledger.Entry
	rec.Minutes = []hazards.Minutes{}
	for _, t := range times {
		m, err := hazards.ExposureOf(in, t.worker, sawOfDay(day, t.worker), t.time)
		if err == nil && m.Saw == "" {
			err = refuse("record it with the saw: ringtrue saw use", "%s had no saw on the sheet today", a.inNames(t.worker))
		}
		p.add(err)
		rec.Minutes = append(rec.Minutes, m)
		es = append(es, entry(store.KindExposure, happened, by.ID, t.worker, "", exposureRecord{rec.Tailgate, rec.Block, day.Sheet.Day, m}))
	}
	if err := p.err(); err != nil {
		return day, closeEntry{}, err
	}
	missed := hazards.MissedCalls(in.Sheet, day.contacts(a.book.Zone()), day.Sheet.At, "23:59")
	rec.Plan = append([]string{}, hazards.Tomorrow(in, day.answer(), rec.Minutes, missed)...)
	if !rec.ends() {
		es, rec.Minutes = nil, []hazards.Minutes{} // the day is not over; times are told when it is
	}
	refs, err := a.append(append([]ledger.Entry{entry(store.KindClose, happened, by.ID, "", "", rec)}, es...))
	if err != nil {
		return day, closeEntry{}, err
	}
	h, err := a.book.Entry(a.ctx, refs[0], nil)
	return day, closeEntry{event{refs[0], by.ID, "", happened, h.Recorded}, rec}, err
}

// exposureRecord is one person's time at the trigger on one day.
type exposureRecord struct {
	Tailgate string `json:"tailgate"` // "origin#seq"
	Block    string `json:"block"`
	Day      string `json:"day"`
	hazards.Minutes
}

// eveningInput is the input of the day as it ended, with what its figures need.
func (a *app) eveningInput(day course, happened time.Time) (hazards.Input, error) {
	asked := a.knownBy(happened)
	std, err := a.standards(asked)
	if err != nil {
		return hazards.Input{}, err
	}
	in := hazards.Input{Sheet: day.sheet(), House: std.House}
	for _, c := range in.Sheet.Crew {
		wears, err := a.wears(c.Worker, std, asked)
		if err != nil {
			return in, err
		}
		in.People = append(in.People, hazards.Worker{ID: c.Worker, Handle: c.Worker, Wears: wears})
	}
	if in.KnownSaws, err = a.knownSaws(in.Sheet, asked); err != nil {
		return in, err
	}
	return in, a.place(&in, asked)
}

// wears is the hearing protection of somebody that the book holds and that may be used on a day; of several pieces one whose rating is told.
func (a *app) wears(worker string, std standards, asked training.Asked) (w hazards.Worn, err error) {
	list, err := a.pieces(worker, asked)
	if err != nil {
		return w, err
	}
	for _, p := range list {
		item, known := std.Item(p.Item)
		if !known || item.Body != "ears" || !p.usable(asked.Day) || w.Rating != "" {
			continue
		}
		w = hazards.Worn{Piece: p.Item + " of entry " + a.book.Short(p.ref) + note(", ", p.Standard), Rating: p.Rating}
	}
	return w, nil
}

// sawOfDay is the saw planned for somebody, "" without one.
func sawOfDay(day course, worker string) string {
	for _, c := range day.sheet().Crew {
		if c.Worker == worker {
			return c.Saw
		}
	}
	return ""
}

// closeAnswer is a close for --json.
type closeAnswer struct {
	Format   string `json:"format"`
	Entry    string `json:"entry"`
	Happened string `json:"happened"`
	Recorded string `json:"recorded"`
	Closed   bool   `json:"closed"`
	closeRecord
	Visitors  []string          `json:"visitors"` // who were out, by what they are
	Emergency []string          `json:"emergency"`
	People    map[string]string `json:"people"`
	Against   []usedLine        `json:"against"` // time at the trigger that the book said no to
}

// printClose prints who is missing and the emergency text before anything else.
func (a *app) printClose(day course, one closeEntry) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	short := !one.ends()
	against, lines, err := a.againstClose(day, one)
	if err != nil {
		return err
	}
	if a.json {
		card, err := a.emergencyCard(day)
		if err != nil {
			return err
		}
		ans := closeAnswer{Format: "ringtrue/tailgate-close/1", Entry: a.book.Name(one.ref), Happened: one.happened.Format(time.RFC3339), Recorded: one.recorded.Format(time.RFC3339),
			Closed: !short, closeRecord: one.inWords(people), Visitors: append([]string{}, day.counted(one)...), Emergency: card.ReadAloud(), People: map[string]string{}, Against: append([]usedLine{}, lines...)}
		for _, w := range append(slices.Clone(one.Here), one.Missing...) {
			ans.People[w] = people.name(w)
		}
		return a.printJSON(ans)
	}
	if short {
		return a.printShort(day, one, people)
	}
	a.mark()
	for _, l := range a.wordLines(day, people) {
		a.say("%s", l)
	}
	a.closeText(one, day.counted(one), people)
	for _, n := range against {
		a.say("%s", n)
	}
	a.say("entry %s, %s%s", a.book.Short(one.ref), a.signedText(one.ref, people.handle(one.by)), a.apart(one.happened, one.recorded))
	return nil
}

// printShort prints the emergency text of where the crew is, who is missing, who is out, and one line of what was recorded.
func (a *app) printShort(day course, one closeEntry, people *people) error {
	if err := a.emergency(day); err != nil {
		return err
	}
	a.labelled("hurt.missing", strings.Join(append(eachOf(one.Missing, people.called), one.VisitorsMissing...), ", "))
	a.labelled("hurt.out", orWord(strings.Join(append(eachOf(one.Here, people.called), day.counted(one)...), ", "), a.said("hurt.nobody")))
	a.recordedLine(a.book.Short(one.ref), a.said("hurt.open-day"))
	return nil
}

// counted lists the visitors who were out at a head count.
func (c course) counted(one closeEntry) []string {
	var out []string
	for _, v := range c.visitors() {
		if !slices.Contains(one.VisitorsMissing, v) {
			out = append(out, v)
		}
	}
	return out
}

// inWords is a close with people named in its texts.
func (c closeRecord) inWords(people *people) closeRecord {
	c.Plan = eachOf(c.Plan, people.inText)
	return c
}

// closeText says what the day came to.
func (a *app) closeText(one closeEntry, visitors []string, people *people) {
	if one.NotCounted != "" {
		a.say("%s  heads were NOT counted: %s", one.happened.In(a.book.Zone()).Format("15:04"), one.NotCounted)
		lines(a, "tomorrow", one.Tomorrow)
		return
	}
	out := append(eachOf(one.Here, people.handle), eachOf(visitors, func(v string) string { return v + " (visitor)" })...)
	a.say("%s  head count: %s", one.happened.In(a.book.Zone()).Format("15:04"), orNobody(out))
	for _, m := range one.Minutes {
		a.say("  %s, saw %s: %s at the trigger, A(8) %s, %s%s; %s", people.handle(m.Worker), m.Saw, m.Trigger, m.A8, strings.Replace(m.Points, "points", " points", 1), note(", beyond the value for vibration: ", m.Over), m.NoiseWords())
	}
	lines(a, "close call", one.CloseCalls)
	if len(one.CloseCalls) > 0 {
		a.say("    keep each as an event too: ringtrue event add --kind close-call --block %s", one.Block)
	}
	lines(a, "tomorrow", one.Tomorrow)
	lines(a, "follows from today", eachOf(one.Plan, people.inText))
}
