package main

import (
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newForgetCmd(a *app) *cobra.Command {
	var reason, at string
	c := &cobra.Command{
		Use:   "forget WORKER",
		Short: "Erase a person's name and contacts; the entries and every proof stay",
		Long: `Erase the name, the short id, the contacts and the salt of a person who has left, from the book and from the files beside it.
Entries hold only a random person id, so all of them, every seal and every proof stay as they are; afterwards nobody can
tell from the book whose they were. No file taken later brings the name back, and the other devices erase it when
they take the next file.

It is refused while a period of the house rules runs (keep-training, keep-exposure, keep-event, keep-other), counted from the
newest entry of its kind, while an event that names the person is open, and for the owner. It cannot be undone.

Not erased: names that somebody wrote into the text of an entry, and what was handed out before: workbooks, printed
sheets, files for other devices, and backups.`,
		Example: `  ringtrue worker forget ana --reason "left in 2022, asked for it"`,
		Args:    exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			if again, err := a.forgetAgain(args[0]); again || err != nil {
				return err
			}
			who, by, refs, happened, err := a.forget(args[0], reason, at)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, "forgot the person behind "+who.ID+"; the entries stay",
				"workbooks, sheets, files for other devices and backups handed out before keep the name; throw away old backups",
				"tell the other devices: ringtrue book carry")
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "why (required); write no name here")
	c.Flags().StringVar(&at, "at", "", "when it was decided")
	return c
}

// forgetAgain erases what is left of a person forgotten before, where another program stood in the way.
func (a *app) forgetAgain(id string) (bool, error) {
	gone, err := a.book.IsForgotten(a.ctx, id)
	if err != nil || !gone {
		return false, err
	}
	if err := a.book.Erase(a.ctx, id); err != nil {
		return true, err
	}
	if a.json {
		return true, a.printJSON(map[string]any{"format": "ringtrue/forgotten/1", "worker": id})
	}
	a.mark()
	a.say("%s was forgotten before; nothing of the name is left in the book or beside it", id)
	return true, nil
}

// forget records that a person is forgotten, and erases the name.
func (a *app) forget(text, reason, at string) (who, by store.Person, refs []training.Ref, happened time.Time, err error) {
	var p problems
	who, err = a.person(text)
	p.add(err)
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened(at)
	p.add(err)
	if strings.TrimSpace(reason) == "" {
		p.add(usage(`write --reason "left in 2022, asked for it" or the like`, "forgetting needs --reason"))
	}
	today := civil.Of(a.now(), a.book.Zone())
	edition := training.Ref(0)
	if who.ID != "" {
		edition, err = a.mayForget(who, by, today, &p)
		p.add(err)
	}
	if err = p.err(); err != nil {
		return
	}
	rec := store.ForgottenRecord{Reason: reason, House: a.book.Name(edition)}
	refs, err = a.book.Forget(a.ctx, a.now(), entry(store.KindForgotten, happened, by.ID, who.ID, "", rec))
	a.people = nil
	return
}

// mayForget gathers what stands against forgetting a person, and gives the house rules that were asked.
func (a *app) mayForget(who, by store.Person, today civil.Day, p *problems) (training.Ref, error) {
	asked := a.knownNow(today)
	p.add(a.mayKeepBook(deed{by: by, day: today}, "have names erased"))
	if who.ID == a.opening.Owner {
		p.addf("the owner's name stays as long as the book is kept", "%s is the owner of the book", who.Name)
		return 0, nil
	}
	edition, err := a.edition(asked, store.KindHouse)
	if err != nil {
		return 0, err
	}
	h, err := a.house(asked)
	if err != nil {
		return edition, err
	}
	if !h.Has(house.KeepTraining) || !h.Has(house.KeepExposure) || !h.Has(house.KeepEvent) || !h.Has(house.KeepOther) {
		p.addf("adopt an edition that has them: ringtrue house adopt", "the house rules in force, edition %s, do not say how long names are kept", h.Edition)
		return edition, nil
	}
	return edition, a.kept(who, h, asked, today, p)
}

// keepRules say by which house rule an entry keeps its person's name; every other kind by KeepOther.
var keepRules = map[string]string{
	training.KindAttendance: house.KeepTraining, training.KindCredit: house.KeepTraining, training.KindObservation: house.KeepTraining,
	training.KindSignOff: house.KeepTraining, training.KindWithdrawal: house.KeepTraining, training.KindRestriction: house.KeepTraining,
	training.KindLift: house.KeepTraining, training.KindRelease: house.KeepTraining, training.KindOrientation: house.KeepTraining,
	training.KindNewAgain: house.KeepTraining, training.KindTicket: house.KeepTraining, training.KindSeasons: house.KeepTraining, training.KindTold: house.KeepTraining,
	training.KindReleaseEnd: house.KeepTraining, training.KindStatement: house.KeepTraining,
	training.KindAppointment: house.KeepTraining, training.KindAppointmentEnd: house.KeepTraining, store.KindExposure: house.KeepExposure,
}

// kept refuses while the person is on the crew list, a period runs or an event is open.
func (a *app) kept(who store.Person, h house.House, asked training.Asked, today civil.Day, p *problems) error {
	topics, err := a.book.Facts(a.ctx, asked, who.ID)
	if err != nil {
		return err
	}
	newest, left := map[string]civil.Day{}, false
	for _, facts := range topics {
		for _, f := range facts {
			e, err := a.book.Entry(a.ctx, f.Entry, nil)
			if err != nil {
				return err
			}
			left = left || e.Kind == training.KindLeave && !f.Struck
			rule := keepRules[e.Kind]
			if rule == "" {
				rule = house.KeepOther
			}
			newest[rule] = max(newest[rule], f.Day)
		}
	}
	if !left {
		p.addf("first: ringtrue worker leave "+who.Handle, "%s is on the crew list", who.Name)
	}
	if err := a.keptByEvents(who, asked, newest, p); err != nil {
		return err
	}
	for _, rule := range []string{house.KeepTraining, house.KeepExposure, house.KeepEvent, house.KeepOther} {
		if day, any := newest[rule]; any && today < day.AddMonths(h.Int(rule)) {
			p.addf("wait until then, or adopt other periods: ringtrue house adopt", "kept until %s: newest entry of %s, %s", day.AddMonths(h.Int(rule)), day, h.Cite(rule))
		}
	}
	return nil
}

// keptByEvents refuses while an event that names the person is open, and counts closed ones.
func (a *app) keptByEvents(who store.Person, asked training.Asked, newest map[string]civil.Day, p *problems) error {
	events, err := a.events(asked)
	if err != nil {
		return err
	}
	for _, e := range events {
		if e.by != who.ID && e.ToldBy != who.ID && !slices.ContainsFunc(e.actions, func(s training.ActionState) bool { return s.Owner == who.ID }) {
			continue
		}
		newest[house.KeepEvent] = max(newest[house.KeepEvent], civil.Of(e.happened, a.book.Zone()))
		if !e.closed {
			p.addf("close it first: ringtrue event close "+a.book.Short(e.ref), "event %s names the person and is open", a.book.Short(e.ref))
		}
	}
	return nil
}
