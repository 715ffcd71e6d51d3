package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/cmd/ringtrue/internal/glance"
	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type showOptions struct {
	dayOptions
	depth
	known   string
	lang    string
	answers bool
}

func newTailgateShowCmd(a *app) *cobra.Command {
	var o showOptions
	c := &cobra.Command{
		Use:   "show [ENTRY] [--why [NAME|FINDING]]",
		Short: "Show a check with its day: who joined, changes, calls, close; as known at any time of it",
		Long: `Show a check and what its day has brought. With --at the day is shown as it stood at that moment and as the book knew it
then; what was entered only later is listed as such. --known asks with what the book knew at another moment.

It is one screen, the answer as it stands now. --why gives its reasons, clauses, house rules and entries: of everything, or of one person
or finding. --full gives the check as it was answered and all that the day has brought.`,
		Example: "  ringtrue tailgate show 412\n  ringtrue tailgate show --block B7\n  ringtrue tailgate show --block B7 --answers\n  ringtrue tailgate show --block B7 --at 2026-07-14T10:40\n" +
			"  ringtrue tailgate show --block B7 --at 2026-07-14T10:40 --known 2026-07-16",
		Args: cobra.MaximumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			args, err := o.subject(args, 1)
			if err != nil {
				return err
			}
			if err := firstError(a.speak(o.lang), a.read()); err != nil {
				return err
			}
			if len(args) > 0 {
				o.entry = args[0]
			}
			day, at, later, err := a.showDay(o)
			if err != nil {
				return err
			}
			if o.answers && !a.json { // with --json they are there anyway
				return a.printAnswers(day)
			}
			return a.printDay(day, at, later, o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.block, "block", "", "the last check of this block")
	f.StringVar(&o.at, "at", "", "as it stood then; a clock time alone is that of the check's day")
	langFlag(c, &o.lang)
	depthFlags(c, &o.depth)
	f.BoolVar(&o.answers, "answers", false, "every question with its answer, by whom and when, and what the day changed about it")
	f.StringVar(&o.known, "known", "", "with what the book knew then (default: at --at)")
	return c
}

// showDay finds a check and its day as they stood at a moment. Without --at it is the last check with all that is known now. Later
// lists what was recorded only after what is known.
func (a *app) showDay(o showOptions) (day course, at time.Time, later []string, err error) {
	if o.at == "" && o.known == "" {
		var args []string
		if o.entry != "" {
			args = []string{o.entry}
		}
		t, err := a.findTailgate(args, o.block)
		if err != nil {
			return day, at, nil, err
		}
		day, err = a.course(t, a.knownNow(1<<20))
		return day, a.now(), nil, err
	}
	if o.entry == "" && o.block == "" {
		return day, at, nil, usage("name an entry or a block: --block B7", "which check is meant")
	}
	asked, err := a.askedDay(o)
	if err != nil {
		return day, at, nil, err
	}
	at = time.Unix(asked.On, 0).In(a.book.Zone())
	t, err := a.checkInForce(dayOptions{block: o.block, entry: o.entry}, at, asked)
	if err != nil {
		return day, at, nil, err
	}
	if t.happened.After(at) || t.recorded.Unix() > asked.Known {
		return day, at, nil, refuse("ask for a later moment", "the check of entry %s happened at %s and was recorded at %s", a.book.Short(t.ref), a.local(t.happened), a.local(t.recorded))
	}
	if day, err = a.course(t, asked); err != nil {
		return day, at, nil, err
	}
	later, err = a.recordedLater(t, asked)
	return day, at, later, err
}

// askedDay reads --at and --known. A clock time alone is that of the check's day, or today.
func (a *app) askedDay(o showOptions) (training.Asked, error) {
	on := civil.Of(a.now(), a.book.Zone())
	if o.entry != "" {
		t, err := a.findTailgate([]string{o.entry}, "")
		if err != nil {
			return training.Asked{}, err
		}
		on = civil.Of(t.happened, a.book.Zone())
	}
	q := questionTimes{on: o.at, known: o.known}
	if clock, ok := meantClock(strings.TrimSpace(o.at)); ok {
		q.on = on.String() + "T" + clock
	}
	if q.on == "" {
		q.on = on.String()
	}
	if q.known == "" {
		q.known = q.on
	}
	return a.asked(q)
}

// recordedLater lists what had happened by the moment asked but was not known by then.
func (a *app) recordedLater(t tailgate, asked training.Asked) ([]string, error) {
	topics, err := a.book.Facts(a.ctx, a.knownNow(1<<20), store.TailgateSubject(a.book.Name(t.ref)))
	if err != nil {
		return nil, err
	}
	later := []string{}
	for _, kind := range []string{store.KindJoin, store.KindChange, store.KindCheckIn, store.KindClose} {
		for _, f := range topics[kind] {
			if f.At <= asked.On && f.Recorded > asked.Known {
				later = append(later, fmt.Sprintf("%s of %s, recorded %s (entry %s)", kind, a.moment(f.At), a.moment(f.Recorded), a.book.Short(f.Entry)))
			}
		}
	}
	return later, nil
}

// dayAnswer is a check with its day for --json.
type dayAnswer struct {
	tailgateAnswer
	At       string             `json:"at"`
	Now      hazards.Verdict    `json:"now"`               // the word of the day at that moment: the stricter of what was decided and computed
	Place    string             `json:"place"`             // block where the crew was
	Decided  *hazards.Decision  `json:"decided,omitempty"` // the decision that stood
	Changes  []changeAnswer     `json:"changes"`
	Calls    []callLine         `json:"calls"`
	Overdue  []hazards.Missed   `json:"overdue"`
	Closes   []closeRecord      `json:"closes"`
	Closed   bool               `json:"closed"`
	NotKnown []string           `json:"recorded_later"`
	Against  []usedLine         `json:"against"` // uses of saws that the book said no to
	Answers  []hazards.Answered `json:"answers"` // every question, people by their short ids
}

// callLine is one call for --json.
type callLine struct {
	Worker   string `json:"worker"`
	Happened string `json:"happened"`
	Missed   bool   `json:"missed"`
	How      string `json:"how"`
	Action   string `json:"action"`
}

// printDay prints one screen of the day as it stands, its reasons, or the check as it was answered and then all of its day.
func (a *app) printDay(day course, at time.Time, later []string, o showOptions) error {
	missed, err := a.overdue(day, at)
	if err != nil {
		return err
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	switch {
	case a.json:
		ans := a.dayAnswer(day, at, missed, later, people)
		if ans.Against, err = a.againstLines(day, at); err != nil {
			return err
		}
		if ans.Answers, err = a.answersOf(day); err != nil {
			return err
		}
		return a.printJSON(ans)
	case o.full:
		return a.dayText(day, at, missed, later, people)
	case o.why != "":
		return a.printWhy(day, day.answer(), o.why)
	}
	if err := a.alarmFirst(day, at, people); err != nil {
		return err
	}
	notes, err := a.againstDayNotes(day, at)
	if err != nil {
		return err
	}
	m := glance.Morning{Missed: missed, NotJoined: day.notJoined(), Notes: append(notes, a.dayNotes(day, later, people)...)}
	return a.glance(day, day.answer(), day.newest(), m, a.showCommand(day.tailgate)+note(" --at ", o.at)+note(" --known ", o.known))
}

// dayNotes say what an answer does not: who came besides, what was entered later, and whether the day is closed.
func (a *app) dayNotes(day course, later []string, people *people) []string {
	notes := a.presentNotes(day, people)
	for _, l := range later {
		notes = append(notes, a.said("glance.later", l))
	}
	switch done, closed := day.closed(); {
	case closed && done.NotCounted != "":
		notes = append(notes, a.said("glance.not-counted", done.happened.In(a.book.Zone()).Format("15:04"), done.NotCounted))
	case closed:
		notes = append(notes, a.said("glance.closed", done.happened.In(a.book.Zone()).Format("15:04")))
	case len(day.closes) > 0:
		notes = append(notes, a.said("glance.head-count"))
	}
	return notes
}

// dayText prints the check as it was answered, then its day.
func (a *app) dayText(day course, at time.Time, missed []hazards.Missed, later []string, people *people) error {
	if err := a.leads(day, at, people); err != nil {
		return err
	}
	if day.place() != day.Block {
		card, err := a.emergencyCard(day)
		if err != nil {
			return err
		}
		day.Assessment.Emergency = card.ReadAloud()
	}
	a.checkText(day.tailgate, day.joined, people)
	a.courseText(day, people)
	if err := a.againstText(day, at); err != nil {
		return err
	}
	for _, l := range overdueWords(missed, people) {
		a.say("%s", l)
	}
	for _, l := range later {
		a.say("not known then: %s", l)
	}
	a.say("at %s: %s%s", a.local(at), strings.ToUpper(string(a.wordOf(day).Answer)), a.openOrClosed(day))
	return nil
}

func (a *app) openOrClosed(day course) string {
	done, closed := day.closed()
	switch {
	case closed && !done.full():
		return ", ended at " + a.local(done.happened) + ", heads NOT COUNTED: " + done.NotCounted
	case closed:
		return ", closed at " + a.local(done.happened)
	case len(day.closes) > 0:
		return ", NOT CLOSED: the head count was short"
	}
	return ", not closed"
}

func (a *app) dayAnswer(day course, at time.Time, missed []hazards.Missed, later []string, people *people) dayAnswer {
	_, closed := day.closed()
	ans := dayAnswer{tailgateAnswer: a.tailgateAnswer(day.tailgate, day.joined, people), At: at.Format(time.RFC3339), Now: a.wordOf(day).Answer, Place: day.place(), Decided: day.decided(a),
		Changes: []changeAnswer{}, Calls: []callLine{}, Overdue: missed, Closes: []closeRecord{}, Closed: closed, NotKnown: append([]string{}, later...)}
	for _, c := range day.changes {
		ans.Changes = append(ans.Changes, a.changeAnswer(day, c, people))
	}
	for _, c := range day.calls {
		ans.Calls = append(ans.Calls, callLine{c.worker, c.happened.Format(time.RFC3339), c.Missed, c.How, c.Action})
	}
	for _, c := range day.closes {
		ans.Closes = append(ans.Closes, c.inWords(people))
	}
	return ans
}

// courseText prints what the day has brought, in the order in which it happened.
func (a *app) courseText(day course, people *people) {
	type line struct {
		at  time.Time
		say func()
	}
	var all []line
	for _, one := range day.changes {
		all = append(all, line{one.happened, func() { a.changeLines(one, people) }})
	}
	for _, one := range day.calls {
		all = append(all, line{one.happened, func() { a.callText(one, people) }})
	}
	for _, one := range day.closes {
		all = append(all, line{one.happened, func() { a.closeLines(day, one, people) }})
	}
	slices.SortStableFunc(all, func(x, y line) int { return x.at.Compare(y.at) })
	if len(all) > 0 {
		a.say("")
		a.say("SINCE THEN:")
	}
	for _, l := range all {
		l.say()
	}
}

// changeLines prints a change with the answer computed when it was entered.
func (a *app) changeLines(one changeEntry, people *people) {
	a.changeText(one, people)
	a.say("  computed at %s, apart from that decision: %s  (entry %s)", a.local(one.recorded), strings.ToUpper(string(one.Assessment.Answer)), a.book.Short(one.ref))
	for _, f := range one.Assessment.Named(people.handle).Findings {
		if f.Effect == hazards.StopSite {
			a.say("    %s", f.What)
		}
	}
}

func (a *app) callText(one callEntry, people *people) {
	word := "called" + note(", ", one.How)
	if one.Missed {
		word = "did NOT call" + note("; done about it: ", one.Action)
	}
	a.say("%s  %s %s", one.happened.In(a.book.Zone()).Format("15:04"), people.handle(one.worker), word)
	a.saidOfCall(one, people)
}

// closeLines prints a close; of one with a short count only who was missing.
func (a *app) closeLines(day course, one closeEntry, people *people) {
	if !one.ends() {
		a.say("%s  head count short: %s", one.happened.In(a.book.Zone()).Format("15:04"), strings.Join(append(eachOf(one.Missing, people.handle), one.VisitorsMissing...), ", "))
		return
	}
	a.closeText(one, day.counted(one), people)
}
