package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/against"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type againstOptions struct {
	questionTimes
	worker, block, from, until string
	all                        bool
}

// againstAnswer is the list of uses for --json.
type againstAnswer struct {
	Format string     `json:"format"`
	On     string     `json:"on"`
	Known  string     `json:"known"`
	Knows  string     `json:"knows"`
	Uses   int        `json:"uses"`    // looked at
	Clash  int        `json:"against"` // of them
	Open   int        `json:"waiting"` // of these, that no event answers for
	Rows   []usedLine `json:"rows"`
}

func newEvidenceAgainstCmd(a *app) *cobra.Command {
	var o againstOptions
	c := &cobra.Command{
		Use:   "against [WORKER]",
		Short: "Uses of saws, with what the book said of each at that moment: first those that it said no to",
		Long: `List the uses of saws that the book was told of: who had which saw, time at the trigger, the lines and fuel of saws. Beside each
stands what the book said at that moment: level, release, restriction, join, answer of the check, tag. First come those to which it said
no: a hold, a tag, a restriction, no release, nobody joined. Where the two differ that is said twice: as known when the use was
recorded, and as known now.

A use of a moment is held to what was said then. Of a day (time at the trigger, the line of a saw) it is against what was said where the
time in which nothing stood against it is shorter than the saw ran. What was told only when the day was closed counts for that day.

Each waits under ringtrue today until an event answers for it: ringtrue event add --answers ENTRY.`,
		Example: `  ringtrue evidence against
  ringtrue evidence against ben --from 2026-07-01 --until 2026-07-31
  ringtrue evidence against --block B7 --all --json`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			defer hurry()()
			if err := a.read(); err != nil {
				return err
			}
			if len(args) == 1 {
				if o.worker != "" {
					return usage("name the worker once", "WORKER and --worker do not go together")
				}
				o.worker = args[0]
			}
			ans, cases, err := a.usedAgainst(o)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(ans)
			}
			return a.paged(func() error { return a.printAgainst(ans, cases, o) })
		},
	}
	questionFlags(c, &o.questionTimes)
	f := c.Flags()
	f.StringVar(&o.worker, "worker", "", "only this worker")
	f.StringVar(&o.block, "block", "", "only this block")
	f.StringVar(&o.from, "from", "", "first day")
	f.StringVar(&o.until, "until", "", "last day, counted too")
	f.BoolVar(&o.all, "all", false, "also on a terminal those that nothing stands against, as in a pipe")
	return c
}

// usedAgainst answers for the uses asked about.
func (a *app) usedAgainst(o againstOptions) (ans againstAnswer, cases []against.Case, err error) {
	var p problems
	asked, err := a.asked(o.questionTimes)
	p.add(err)
	pick := usePick{block: o.block}
	pick.from, err = parseDay("from", o.from)
	p.add(err)
	pick.last, err = parseDay("until", o.until)
	p.add(err)
	if pick.from != civil.None && pick.last != civil.None && pick.last < pick.from {
		p.add(usage("name a later day with --until", "--until %s lies before --from %s", pick.last, pick.from))
	}
	p.add(a.knownBlock(o.block))
	if o.worker != "" {
		who, err := a.person(o.worker)
		p.add(err)
		pick.worker = who.ID
	}
	if err := p.err(); err != nil {
		return ans, nil, err
	}
	if cases, err = a.casesFor(pick, asked); err != nil {
		return ans, nil, err
	}
	w, err := a.useWords(asked)
	if err != nil {
		return ans, nil, err
	}
	ans = againstAnswer{Format: "ringtrue/against/1", On: a.askedText(asked.On), Known: a.askedText(asked.Known), Uses: len(cases), Rows: []usedLine{}}
	for _, c := range cases {
		l := w.line(c)
		ans.Rows = append(ans.Rows, l)
		if l.Against {
			ans.Clash++
		}
		if c.Waits() && len(l.AnsweredBy) == 0 {
			ans.Open++
		}
	}
	ans.Knows, err = a.knows()
	return ans, cases, err
}

// printAgainst prints the list: a table in a pipe, on a terminal two lines for each use that something stands against.
func (a *app) printAgainst(ans againstAnswer, cases []against.Case, o againstOptions) error {
	a.mark()
	people, err := a.crew()
	if err != nil {
		return err
	}
	if !terminal(a.out) || o.all {
		var rows [][]string
		for _, l := range ans.Rows {
			rows = append(rows, l.cells(people))
		}
		if len(rows) > 0 {
			a.table([]string{"ENTRY", "FROM", "UNTIL", "WORKER", "SAW", "BLOCK", "KIND", "MINUTES", "LEVEL", "RELEASE", "RESTRICTED", "JOINED", "WITH", "CHECK", "ANSWER", "TAG", "THEN", "NOW", "ANSWERED"}, rows)
		}
	}
	if !terminal(a.out) {
		return nil
	}
	a.say("%s of a saw, %d against what the book said, %d of them not answered for", howMany(ans.Uses, "use"), ans.Clash, ans.Open)
	if !o.all {
		w, err := a.useWords(a.knownNow(1 << 20))
		if err != nil {
			return err
		}
		for i, l := range ans.Rows {
			if !l.Against {
				break
			}
			a.say("%s  (entry %s%s)", w.subject(cases[i]), l.Entry, note(", answered for by event ", strings.Join(l.AnsweredBy, ", ")))
			a.say("    %s", w.why(cases[i]))
		}
	}
	a.say("%s", ans.Knows)
	return nil
}

// cells are the cells of a use in a pipe.
func (l usedLine) cells(people *people) []string {
	codes := func(list []reasonLine) string {
		var out []string
		for _, r := range list {
			out = append(out, string(r.Code))
		}
		return strings.Join(out, ", ")
	}
	minutes := ""
	if l.Minutes > 0 {
		minutes = strconv.FormatInt(l.Minutes, 10)
	}
	return []string{l.Entry, l.From, l.Until, people.handle(l.Worker), l.Saw, l.Block, string(l.Kind), minutes, l.Level, l.Release, l.Restriction, l.Join, l.JoinedWith, l.Check, string(l.Answer), l.Tag,
		codes(l.Then), codes(l.Now), strings.Join(l.AnsweredBy, ", ")}
}

// markAgainst marks among the entries about a worker the uses of saws that the book said no to.
func (a *app) markAgainst(entries []evidenceLine, worker string, asked training.Asked) error {
	cases, err := a.casesFor(usePick{worker: worker, from: civil.None, last: civil.None}, asked)
	if err != nil || len(cases) == 0 {
		return err
	}
	w, err := a.useWords(asked)
	if err != nil {
		return err
	}
	for _, c := range cases {
		i := slices.IndexFunc(entries, func(e evidenceLine) bool { return e.ref == c.Entry })
		if c.Against() && i >= 0 {
			entries[i].Against = w.why(c) + note("; answered for by event ", strings.Join(w.answered[c.Entry], ", "))
		}
	}
	return nil
}

// againstClose says of the times at the trigger that a close has recorded what stands against them.
func (a *app) againstClose(day course, one closeEntry) ([]string, []usedLine, error) {
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.TailgateSubject(a.book.Name(day.ref)), store.KindExposure)
	if err != nil {
		return nil, nil, err
	}
	var refs []training.Ref
	for _, f := range facts {
		if f.At == one.happened.Unix() && f.Recorded == one.recorded.Unix() {
			refs = append(refs, f.Entry)
		}
	}
	return a.usesRecorded(refs)
}

// againstDay lists what stands against the uses of saws on the block and day of a check, as known now.
func (a *app) againstDay(day course, at time.Time) ([]against.Case, error) {
	on := civil.Of(day.happened, a.book.Zone())
	asked := a.knownNow(on)
	if civil.Of(at, a.book.Zone()) == on {
		asked.On = max(at.Unix(), day.happened.Unix())
	}
	cases, err := a.casesFor(usePick{from: on, last: on}, asked)
	return slices.DeleteFunc(cases, func(c against.Case) bool {
		there := c.Block == day.Block || c.Block == "" && slices.Contains(sheetSaws(day.sheet()), c.Saw)
		return !c.Against() || !there
	}), err
}

// againstLines is againstDay for --json.
func (a *app) againstLines(day course, at time.Time) ([]usedLine, error) {
	lines := []usedLine{}
	cases, err := a.againstDay(day, at)
	if err != nil || len(cases) == 0 {
		return lines, err
	}
	w, err := a.useWords(a.knownNow(1 << 20))
	for _, c := range cases {
		lines = append(lines, w.line(c))
	}
	return lines, err
}

// againstText prints what was used against this check, or against what else the book said that day.
func (a *app) againstText(day course, at time.Time) error {
	cases, err := a.againstDay(day, at)
	if err != nil || len(cases) == 0 {
		return err
	}
	w, err := a.useWords(a.knownNow(1 << 20))
	if err != nil {
		return err
	}
	a.say("")
	a.say("USED AGAINST WHAT THE BOOK SAID:")
	for _, c := range cases {
		answered := ", NOT ANSWERED FOR"
		if by := w.answered[c.Entry]; len(by) > 0 {
			answered = fmt.Sprintf(", answered for by event %s", strings.Join(by, ", "))
		}
		a.say("  %s: %s (entry %s%s)", w.subject(c), w.why(c), a.book.Short(c.Entry), answered)
	}
	return nil
}

// againstDayNotes says in a line each what was used against what the book said.
func (a *app) againstDayNotes(day course, at time.Time) ([]string, error) {
	cases, err := a.againstDay(day, at)
	if err != nil || len(cases) == 0 {
		return nil, err
	}
	w, err := a.useWords(a.knownNow(1 << 20))
	if err != nil {
		return nil, err
	}
	var notes []string
	for _, c := range cases {
		if len(w.answered[c.Entry]) == 0 {
			notes = append(notes, "used against the book: "+w.subject(c)+": "+w.why(c))
		}
	}
	return notes, nil
}
