package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// callEntry is a recorded call.
type callEntry struct {
	event
	store.CheckIn
}

type checkInOptions struct {
	dayOptions
	workers     []string
	missed      bool
	how, action string
	lang        string
}

func newCheckInCmd(a *app) *cobra.Command {
	var o checkInOptions
	c := &cobra.Command{
		Use:   "checkin WORKER...",
		Short: "Keep the calls of those who work out of sight, and those that did not come",
		Long: `Keep the calls of people who work out of sight. --missed records that a call did not come: saws off, call again, then go
and look: the emergency text of the block where the crew is comes first. A later call makes it good.

Exit status: 0 recorded, 3 a call was missed.`,
		Example: "  ringtrue tailgate checkin luis ben --at 10:30\n  ringtrue tailgate checkin luis --missed --at 11:40 --action \"okafor walks up to him\"",
		Args:    atLeast(1, "WORKER..."),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := firstError(a.speak(o.lang), a.write()); err != nil {
				return hurtHint(o.missed, err)
			}
			o.workers = args
			by, day, refs, happened, err := a.checkIn(o)
			if err != nil {
				return hurtHint(o.missed, err)
			}
			return a.printCheckIn(o, by, day, refs, happened)
		},
	}
	f := c.Flags()
	dayFlags(c, &o.dayOptions, "when they called, or when the call was due; a clock time alone is today's")
	f.BoolVar(&o.missed, "missed", false, "the call did not come")
	f.StringVar(&o.how, "how", "", "how they called")
	f.StringVar(&o.action, "action", "", "what is done about a missed call")
	langFlag(c, &o.lang)
	return c
}

// checkIn records calls, or missed ones, of people who are on the check.
func (a *app) checkIn(o checkInOptions) (by store.Person, day course, refs []training.Ref, happened time.Time, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(a.todayAt(o.at))
	p.add(err)
	who := a.ids(o.workers, &p)
	if o.action != "" && !o.missed {
		p.add(usage("add --missed, or leave --action out", "--action is for a call that did not come"))
	}
	if err = p.err(); err != nil {
		return
	}
	if day, err = a.dayFor(o.dayOptions, happened); err != nil {
		return
	}
	var es []ledger.Entry
	for i, w := range who {
		switch {
		case !slices.Contains(day.crew(), w):
			p.addf("see who is here: ringtrue tailgate show --block "+day.Block, "%s is not here today, as far as the book knows", o.workers[i])
		case slices.Contains(who[:i], w):
			p.addf("name each one once", "%s is named twice", o.workers[i])
		}
		rec := store.CheckIn{Tailgate: a.book.Name(day.ref), Block: day.Block, Missed: o.missed, How: o.how, Action: o.action}
		es = append(es, entry(store.KindCheckIn, happened, by.ID, w, "", rec))
	}
	if err = p.err(); err != nil {
		return
	}
	refs, err = a.append(es)
	for i, r := range refs {
		day.calls = append(day.calls, callEntry{event{r, by.ID, who[i], happened, happened}, store.CheckIn{Missed: o.missed, How: o.how, Action: o.action}})
	}
	return
}

// overdue lists the calls that have not come by a moment of the check's own day. After a close nobody is waited for.
func (a *app) overdue(day course, at time.Time) ([]hazards.Missed, error) {
	at = at.In(a.book.Zone())
	std, err := a.standards(a.knownBy(at))
	if err != nil {
		return nil, err
	}
	if _, closed := day.closed(); closed || at.Format("2006-01-02") != day.Sheet.Day {
		return a.missedCalls(day), nil
	}
	return hazards.Overdue(day.sheet(), day.contacts(a.book.Zone()), day.Sheet.At, at.Format("15:04"), std.House), nil
}

// missedCalls lists the calls of a day that somebody recorded as missed and no later call made good.
func (a *app) missedCalls(day course) []hazards.Missed {
	return hazards.MissedCalls(day.sheet(), day.contacts(a.book.Zone()), day.Sheet.At, "23:59")
}

// overdueWords says whose call has not come.
func overdueWords(missed []hazards.Missed, people *people) []string {
	var out []string
	for _, m := range missed {
		out = append(out, fmt.Sprintf("NO CALL from %s, due at %s: saws off; call, then go and look", people.handle(m.Worker), m.Due))
	}
	return out
}

func (a *app) printCheckIn(o checkInOptions, by store.Person, day course, refs []training.Ref, happened time.Time) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	missed, err := a.overdue(day, happened)
	if err != nil {
		return err
	}
	what := strings.Join(o.workers, ", ") + " called" + note(", ", o.how)
	if o.missed {
		what = "no call from " + strings.Join(o.workers, ", ") + note("; done about it: ", o.action)
	}
	if o.missed && !a.json {
		return firstError(a.printMissed(day, missed, people, a.book.Short(refs[0]), what), answerNo())
	}
	notes := overdueWords(missed, people)
	if o.missed {
		card, err := a.emergencyCard(day)
		if err != nil {
			return err
		}
		notes = append(append(notes, "read aloud:"), card.ReadAloud()...)
	}
	if err := a.done(by, refs, happened, what, notes...); err != nil {
		return err
	}
	if o.missed {
		return answerNo()
	}
	return nil
}

// printMissed prints the emergency text of where the crew is, whose calls did not come, who is there, and one line of what was recorded.
func (a *app) printMissed(day course, missed []hazards.Missed, people *people, entry, what string) error {
	if err := a.alarmText(day, alarm{missed: missed}, people); err != nil {
		return err
	}
	a.recordedLine(entry, what)
	return nil
}
