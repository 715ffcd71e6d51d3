package main

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// ended takes duties that were ended since from appointments, those of one person or everybody's.
func (a *app) ended(list []appointed, worker string, asked training.Asked) ([]appointed, error) {
	facts, err := a.book.Topic(a.ctx, asked, worker, training.KindAppointmentEnd)
	if err != nil {
		return nil, err
	}
	for _, f := range facts {
		if f.Struck {
			continue
		}
		var end training.AppointmentEnd
		h, err := a.book.Entry(a.ctx, f.Entry, &end)
		if err != nil {
			return nil, err
		}
		from, err := civil.Parse(end.From)
		if err != nil {
			return nil, err
		}
		list = endDuties(list, h, f.Entry, end.Duties, from)
	}
	return list, nil
}

// endDuties ends duties of what was recorded before the end. An appointment that keeps others goes on for those.
func endDuties(list []appointed, end ledger.Header, ref training.Ref, duties []string, from civil.Day) []appointed {
	var out []appointed
	for _, p := range list {
		gone := func(d string) bool { return slices.Contains(duties, d) }
		if p.worker != end.Worker || !slices.ContainsFunc(p.Duties, gone) || p.recorded.After(end.Recorded) || (p.recorded.Equal(end.Recorded) && p.ref > ref) {
			out = append(out, p)
			continue
		}
		kept, over := p, p
		kept.Duties, over.Duties = nil, nil
		for _, d := range p.Duties {
			if gone(d) {
				over.Duties = append(over.Duties, d)
			} else {
				kept.Duties = append(kept.Duties, d)
			}
		}
		if len(kept.Duties) > 0 {
			out = append(out, kept)
		}
		if over.until == civil.None || from < over.until {
			over.until, over.Until = from, from.String()
		}
		out = append(out, over)
	}
	return out
}

// endAppointment records that a worker is named for duties no longer. Who may name may end it; nobody ends what keeps the book in
// hand for the owner.
func (a *app) endAppointment(o appointOptions) (d deed, rec training.AppointmentEnd, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	p.add(a.mayKeepBook(d, "end what somebody is named for"))
	rec.Reason = o.reason
	rec.Duties, err = dutiesOf(o.noLonger)
	p.add(err)
	if strings.TrimSpace(o.reason) == "" {
		p.add(usage("add --reason", "ending an appointment needs its reason"))
	}
	from, err := parseDay("from", o.from)
	p.add(err)
	if from == civil.None {
		from = d.day
	}
	rec.From = from.String()
	if o.duties+o.skills+o.until+o.basis != "" {
		p.add(usage("give --no-longer, --from and --reason", "--no-longer stands alone: it names nobody for anything"))
	}
	p.add(a.namedNow(d, rec.Duties))
	if err := p.err(); err != nil {
		return d, rec, err
	}
	d, err = a.keep(d, training.KindAppointmentEnd, rec)
	return d, rec, err
}

// namedNow refuses to end duties for which somebody is not named.
func (a *app) namedNow(d deed, duties []string) error {
	if d.who.ID == "" {
		return nil
	}
	list, err := a.appointmentsOf(d.who.ID, a.knownNow(d.day))
	if err != nil {
		return err
	}
	var p problems
	for _, duty := range duties {
		if !slices.ContainsFunc(list, func(one appointed) bool {
			return slices.Contains(one.Duties, duty) && (one.until == civil.None || d.day < one.until)
		}) {
			p.addf("see: ringtrue worker show "+d.who.Handle, "%s is not named for %s on %s or later", d.who.Name, duty, d.day)
		}
	}
	return p.err()
}

// mayKeepBook refuses who is neither the owner nor named to sign: people who come and go, appointments, editions and erased names are
// their matter.
func (a *app) mayKeepBook(d deed, doing string) error {
	if d.by.ID == "" || d.by.ID == a.opening.Owner {
		return nil
	}
	list, err := a.appointmentsOf(d.by.ID, a.knownNow(d.day))
	if err != nil || may(list, d.by.ID, training.DutySign, "", d.day) {
		return err
	}
	return refuse("let the owner or a named signer do it: --as NAME; who may do what: ringtrue help who-may",
		"%s may not %s: not the owner, and not named to sign on %s", d.by.Name, doing, d.day)
}

func (a *app) runAppointmentEnd(o appointOptions) error {
	d, rec, err := a.endAppointment(o)
	if err != nil {
		return err
	}
	return a.recorded(d, fmt.Sprintf("%s is named no longer for: %s, from %s on", d.who.Name, strings.Join(rec.Duties, ", "), rec.From))
}
