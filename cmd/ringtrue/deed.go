package main

import (
	"fmt"
	"time"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// deed is what a command records: who acts, about which worker if it is about one, and when it happened.
type deed struct {
	by, who  store.Person
	happened time.Time
	day      civil.Day
	refs     []training.Ref // the entries, once they are in the book
}

// deed begins one: who acts is --as, else the owner; at is the flag --at. What is wrong is added to p.
func (a *app) deed(p *problems, at string) (d deed) {
	var err error
	d.by, err = a.actor()
	p.add(err)
	d.happened, err = a.happened(at)
	p.add(err)
	d.day = civil.Of(d.happened, a.book.Zone())
	return d
}

// deedAbout begins one about a worker.
func (a *app) deedAbout(p *problems, worker, at string) deed {
	who, err := a.person(worker)
	p.add(err)
	d := a.deed(p, at)
	d.who = who
	return d
}

// mustBeNamed refuses who acts where they are not named for a duty that day.
func (a *app) mustBeNamed(p *problems, d deed, duty string) {
	list, err := a.appointmentsOf(d.by.ID, a.knownNow(d.day))
	p.add(err)
	if d.by.ID != "" && !may(list, d.by.ID, duty, "", d.day) {
		p.addf(fmt.Sprintf("name with --as who may %s, or appoint one: ringtrue worker appoint WORKER --may %[1]s --basis WHY", duty), "%s was not named to %s on %s", d.by.Name, duty, d.day)
	}
}

// keep records one entry about the deed's worker; with nobody named it is about none.
func (a *app) keep(d deed, kind string, data any) (deed, error) {
	return a.keepAll(d, []ledger.Entry{entry(kind, d.happened, d.by.ID, d.who.ID, "", data)})
}

func (a *app) keepAll(d deed, es []ledger.Entry, persons ...store.Person) (deed, error) {
	var err error
	d.refs, err = a.append(es, persons...)
	return d, err
}

// recorded reports a deed; see done.
func (a *app) recorded(d deed, what string, notes ...string) error {
	return a.done(d.by, d.refs, d.happened, what, notes...)
}
