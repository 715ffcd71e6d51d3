package main

import (
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
	"example.org/ringtrue/training/civil"
)

type initOptions struct {
	company, owner, jurisdiction, zone, device, basis, seasons, at string
	appoint                                                        []string
	demo                                                           bool
}

func newInitCmd(a *app) *cobra.Command {
	var o initOptions
	c := &cobra.Command{
		Use:   "init",
		Short: "Start a book: company, owner and first appointments, on the owner's word",
		Long: `Start a book. The owner and the first appointments stand on the owner's own statement; everything later
rests on appointments. The starter curriculum, house rules and local rules are recorded in full: from then on the
book is judged by its own editions, not by what the program carries.`,
		Example: `  # a crew in British Columbia; the owner may teach, observe and sign off
  ringtrue init --company "Birch Creek Thinning" --owner "M. Okafor" --jurisdiction bc --zone America/Vancouver
  # name a second observer at once
  ringtrue init --company "Birch Creek Thinning" --owner "M. Okafor" --jurisdiction bc --appoint "Luis Vega:observe,first-aid"`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			refs, err := a.init(o)
			if err != nil {
				return err
			}
			owner, err := a.actor()
			if err != nil {
				return err
			}
			h, err := a.happened(o.at)
			if err != nil {
				return err
			}
			notes := append(askSeasons(o.seasons, owner.Handle), "ledger "+a.book.Origin()+", days in "+a.book.Zone().String()+", local rules of "+a.opening.Jurisdiction,
				"the owner is "+owner.Name+" ("+owner.Handle+"); next: ringtrue worker add, ringtrue block add")
			return a.done(owner, refs, h, "started the book of "+o.company+" at "+a.book.Path(), notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.company, "company", "", "whose book it is (required)")
	f.StringVar(&o.owner, "owner", "", "the owner's name (required)")
	f.StringVar(&o.jurisdiction, "jurisdiction", "", "province, state or country whose rules to read, as bc (required)")
	f.StringVar(&o.zone, "zone", "", "time zone of the book's days, as America/Vancouver (default: this machine's)")
	f.StringVar(&o.device, "device", "laptop-1", "name of this device's ledger")
	f.StringVar(&o.basis, "basis", "owner's own statement", "what the owner's and the first appointments rest on")
	f.StringVar(&o.seasons, "seasons", "", "the owner's "+seasonsHelp)
	f.StringVar(&o.at, "at", "", "since when the book counts")
	f.StringArrayVar(&o.appoint, "appoint", nil, `first appointment, "NAME:duty,duty" (teach, observe, sign, first-aid); repeatable`)
	return c
}

// init starts a book and leaves it open for writing.
func (a *app) init(o initOptions) ([]training.Ref, error) {
	s, err := a.readyToStart(o)
	if err != nil {
		return nil, err
	}
	b, err := store.Create(a.ctx, s.path, s.origin, s.zone)
	if err != nil {
		return nil, err
	}
	a.use(b, s.record, s.happened, true)
	refs, err := a.append(s.entries, s.persons...)
	if err != nil {
		a.book = nil
		_ = b.Discard()
		return nil, err
	}
	return refs, nil
}

// start is everything a new book begins with, checked before anything is written.
type start struct {
	path, origin string
	zone         *time.Location
	happened     time.Time
	record       store.BookRecord
	entries      []ledger.Entry
	persons      []store.Person
}

func (a *app) readyToStart(o initOptions) (*start, error) {
	var p problems
	s := &start{}
	local, err := rules.Starter()
	p.add(err)
	o.missing(&p, local)
	s.path, err = a.bookPath()
	p.add(err)
	s.zone, err = zoneOf(o.zone, a.getenv)
	p.add(err)
	if s.zone != nil {
		s.happened, err = happenedIn(o.at, s.zone, a.now())
		p.add(err)
	}
	s.origin = slug(o.company) + "/" + slug(o.device)
	j, known := local.Find(o.jurisdiction)
	if !known && strings.TrimSpace(o.jurisdiction) != "" {
		p.add(usage(jurisdictionCodes(local), "--jurisdiction %q is not one this program has references for", o.jurisdiction))
	}
	first := s.firstPeople(a, o, &p)
	if err := p.err(); err != nil {
		return nil, err
	}
	s.record = store.BookRecord{Company: o.company, Jurisdiction: j.Code, Zone: s.zone.String(), Owner: s.persons[0].ID, Basis: o.basis, Demo: o.demo, Tool: toolVersion}
	return s, s.catalogues(local, first)
}

// missing says what a book cannot start without, and shows a line that starts one.
func (o initOptions) missing(p *problems, local rules.Edition) {
	for _, needed := range []struct{ flag, value, what string }{
		{"company", o.company, "whose book it is"}, {"owner", o.owner, "who keeps it and names the others"},
		{"jurisdiction", o.jurisdiction, "the province, state or country whose rules to read"},
	} {
		if strings.TrimSpace(needed.value) != "" {
			continue
		}
		p.add(usage(`as: ringtrue init --company "Birch Creek Thinning" --owner "M. Okafor" --jurisdiction bc`, "init needs --%s: %s", needed.flag, needed.what))
		if needed.flag == "jurisdiction" {
			p.next = append(p.next, jurisdictionCodes(local))
		}
	}
	if p.code != 0 {
		p.next = append(p.next, "more: ringtrue init --help")
	}
}

func jurisdictionCodes(local rules.Edition) string {
	return "codes of --jurisdiction: " + strings.Join(codesOf(local.Jurisdictions), ", ")
}

// catalogues puts the opening entry and the starter editions in front of the first people.
func (s *start) catalogues(local rules.Edition, first []ledger.Entry) error {
	c, err := catalogue.Starter()
	if err != nil {
		return err
	}
	h, err := house.Starter()
	if err != nil {
		return err
	}
	h.Floors = append(h.Floors, local.Floors(s.record.Jurisdiction)...)
	owner := s.record.Owner
	s.entries = append([]ledger.Entry{
		{Kind: store.KindBook, Happened: s.happened, By: owner, Data: s.record},
		{Kind: store.KindCurriculum, Happened: s.happened, By: owner, Data: c, Catalogue: true},
		{Kind: store.KindHouse, Happened: s.happened, By: owner, Data: h, Catalogue: true},
		{Kind: store.KindRules, Happened: s.happened, By: owner, Data: local, Catalogue: true},
	}, first...)
	return nil
}

// firstPeople builds the owner and the first appointments.
func (s *start) firstPeople(a *app, o initOptions, p *problems) []ledger.Entry {
	var all []string
	if strings.TrimSpace(o.owner) != "" { // without one it was refused already
		all = append(all, o.owner+":"+strings.Join([]string{training.DutyTeach, training.DutyObserve, training.DutySign}, ","))
	}
	all = append(all, o.appoint...)
	day := civil.None
	if s.zone != nil {
		day = civil.Of(s.happened, s.zone)
	}
	seasons, err := seasonsOf(o.seasons)
	p.add(err)
	var es []ledger.Entry
	for _, text := range all {
		name, duties, ok := strings.Cut(text, ":")
		if !ok {
			p.add(usage(`write "NAME:teach,observe"`, "--appoint %q names no duty", text))
			continue
		}
		list, err := dutiesOf(duties)
		p.add(err)
		person, err := newPerson(a, name, "", s.persons)
		if err != nil {
			p.add(err)
			continue
		}
		s.persons = append(s.persons, person)
		commitment, err := person.Commitment()
		p.add(err)
		contact, err := person.ContactCommitment()
		p.add(err)
		owner := s.persons[0].ID
		es = append(es,
			entry(training.KindWorker, s.happened, owner, person.ID, "", training.Worker{Commitment: commitment, Contact: contact, From: day.String(), Employer: "own", SeasonsBefore: seasons}),
			entry(training.KindAppointment, s.happened, owner, person.ID, "", training.Appointment{Duties: list, From: day.String(), Skills: []string{}, Basis: o.basis}))
		seasons = nil // they were the owner's
	}
	return es
}

// zoneOf finds the book's time zone by name, or the machine's.
func zoneOf(name string, getenv func(string) string) (*time.Location, error) {
	if name == "" {
		name = getenv("TZ")
	}
	if name == "" {
		name = "UTC"
		if link, err := os.Readlink("/etc/localtime"); err == nil {
			if _, zone, ok := strings.Cut(link, "zoneinfo/"); ok {
				name = zone
			}
		}
	}
	loc, err := time.LoadLocation(name)
	if err != nil || name == "Local" {
		return nil, usage("write it as America/Vancouver or Europe/Stockholm", "--zone %q is not a time zone this machine knows", name)
	}
	return loc, nil
}

// slug makes a word for an origin: lower-case letters, digits and hyphens.
func slug(s string) string {
	var b strings.Builder
	for _, r := range plain(s) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	if out := strings.Trim(b.String(), "-"); out != "" {
		return out
	}
	return "book"
}
