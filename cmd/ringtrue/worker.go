package main

import (
	"crypto/rand"
	"encoding/base32"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newWorkerCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "worker", Short: "People on the crew list and what they are named as"}
	c.AddCommand(newWorkerAddCmd(a), newWorkerListCmd(a), newWorkerShowCmd(a), newWorkerAppointCmd(a), newWorkerLeaveCmd(a), newForgetCmd(a),
		newOrientCmd(a), newTicketCmd(a), newWorkerSeasonsCmd(a), newWorkerSaysCmd(a))
	return c
}

type workerOptions struct {
	name, handle, from, crew, contact, contract, young, seasons, at string
}

func newWorkerAddCmd(a *app) *cobra.Command {
	var o workerOptions
	c := &cobra.Command{
		Use:   "add NAME",
		Short: "Put a person on the crew list",
		Example: `  ringtrue worker add "Ana Ruiz" --from 2026-05-04 --crew north --seasons 0
  # somebody else's worker, with the document that names them
  ringtrue worker add "Jon Berg" --from 2026-05-04 --sub-contractor "contract 2026-11"`,
		Args: exactly(1, "NAME"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.name = args[0]
			d, err := a.addWorker(o)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("added %s, short id %s", d.who.Name, d.who.Handle), append(append(a.laterStart(o.from), "person id "+d.who.ID), askSeasons(o.seasons, d.who.Handle)...)...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.from, "from", "", "first day at this company (default: the day of --at)")
	f.StringVar(&o.handle, "short", "", "short id to type (default: from the name)")
	f.StringVar(&o.crew, "crew", "", "crew the person works in")
	f.StringVar(&o.contact, "contact", "", "how to reach the person; kept beside the book, never in an entry")
	f.StringVar(&o.contract, "sub-contractor", "", "document that names somebody else's worker")
	f.StringVar(&o.young, "young-until", "", "first day the person no longer counts as young under the local rules (never a birth date)")
	f.StringVar(&o.seasons, "seasons", "", seasonsHelp)
	f.StringVar(&o.at, "at", "", "when this was decided")
	return c
}

// askSeasons remarks on seasons that nobody asked for.
func askSeasons(told, handle string) []string {
	if told != "" {
		return nil
	}
	return []string{"seasons with a clearing saw before: not told, so counted as new; ask, then: ringtrue worker seasons " + handle + " N"}
}

// laterStart remarks on a first day that lies ahead.
func (a *app) laterStart(from string) []string {
	today := civil.Of(a.now(), a.book.Zone())
	if day, err := civil.Parse(from); err == nil && day > today {
		return []string{"the first day lies ahead: " + from + away(from, today) + "; on the crew list from now on"}
	}
	return nil
}

// addWorker records a person.
func (a *app) addWorker(o workerOptions) (deed, error) {
	var p problems
	d := a.deed(&p, o.at)
	from, err := parseDay("from", o.from)
	p.add(err)
	if from == civil.None {
		from = d.day
	}
	_, err = parseDay("young-until", o.young)
	p.add(err)
	seasons, err := seasonsOf(o.seasons)
	p.add(err)
	crew, err := a.crew()
	if err != nil {
		return d, err
	}
	d.who, err = newPerson(a, o.name, o.handle, crew.list)
	p.add(err)
	if err := p.err(); err != nil {
		return d, err
	}
	d.who.Contact = tidied(o.contact)
	commitment, err := d.who.Commitment()
	if err != nil {
		return d, err
	}
	contact, err := d.who.ContactCommitment()
	if err != nil {
		return d, err
	}
	rec := training.Worker{Commitment: commitment, Contact: contact, From: from.String(), Crew: o.crew, Employer: "own", YoungUntil: o.young, SeasonsBefore: seasons}
	if o.contract != "" {
		rec.Employer, rec.Document = "sub-contractor", o.contract
	}
	return a.keepAll(d, []ledger.Entry{entry(training.KindWorker, d.happened, d.by.ID, d.who.ID, "", rec)}, d.who)
}

// tidied is a line without the control characters and direction marks that are pasted along with a name and nobody sees.
func tidied(line string) string {
	line = strings.Map(func(r rune) rune {
		if unsafeToPrint(r) && !unicode.IsSpace(r) {
			return -1
		}
		return r
	}, line)
	return strings.Join(strings.Fields(line), " ")
}

// newPerson draws the random person id and salt, and finds a short id nobody has yet.
func newPerson(a *app, name, handle string, others []store.Person) (store.Person, error) {
	name = tidied(name)
	if name == "" {
		return store.Person{}, usage("write the name in quotes", "a worker needs a name")
	}
	for _, o := range others {
		if plain(o.Name) == plain(name) {
			return store.Person{}, refuse("give the name in full, or with a word that tells them apart", "%s is on the crew list already, short id %s", o.Name, o.Handle)
		}
	}
	if handle != "" && (slug(handle) != handle || taken(handle, others)) {
		return store.Person{}, refuse("use lower-case letters, digits and hyphens, and one nobody has", "short id %q cannot be used", handle)
	}
	if handle == "" {
		handle = freeHandle(name, others)
	}
	raw := make([]byte, 5+32)
	if _, err := io.ReadFull(a.random(), raw); err != nil {
		return store.Person{}, fmt.Errorf("draw a person id: %w", err)
	}
	id := "p" + strings.ToLower(base32.HexEncoding.EncodeToString(raw[:5]))[:7]
	return store.Person{ID: id, Name: name, Handle: handle, Salt: raw[5:]}, nil
}

// random is the machine's random source; the demo draws from its seed.
func (a *app) random() io.Reader {
	if a.draw != nil {
		return a.draw
	}
	return rand.Reader
}

func taken(handle string, others []store.Person) bool {
	return slices.ContainsFunc(others, func(p store.Person) bool { return p.Handle == handle })
}

// freeHandle makes a short id from a name: the first word, or the last where the first is an initial; the whole
// name, or a number behind it, where that is taken.
func freeHandle(name string, others []store.Person) string {
	words := strings.Fields(plain(name))
	short := slug(words[0])
	if len(short) < 2 || strings.HasSuffix(words[0], ".") {
		short = slug(words[len(words)-1])
	}
	whole := slug(name)
	for _, h := range []string{short, whole} {
		if !taken(h, others) {
			return h
		}
	}
	for n := 2; ; n++ {
		if h := fmt.Sprintf("%s-%d", whole, n); !taken(h, others) {
			return h
		}
	}
}

type appointOptions struct {
	worker, duties, skills, from, until, basis, at string
	noLonger, reason                               string
}

func newWorkerAppointCmd(a *app) *cobra.Command {
	var o appointOptions
	c := &cobra.Command{
		Use:   "appoint WORKER",
		Short: "Name a person as teacher, observer, signer or first aider, or to clear saws; or end it",
		Long: `Name a person for duties, from a day on, until a day or openly; or end that with --no-longer. What was looked at, signed or
cleared before stays as it was. Who may name people: ringtrue help who-may.`,
		Example: `  ringtrue worker appoint luis --may observe,teach --from 2026-05-01 --until 2027-05-01 --basis "trainer course 2025, certificate 118"
  ringtrue worker appoint ana --may first-aid --until 2027-03-01 --basis "first-aid ticket 4471"
  ringtrue worker appoint luis --no-longer observe --from 2026-08-01 --reason "works elsewhere now"`,
		Args: exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker = args[0]
			if o.noLonger != "" {
				return a.runAppointmentEnd(o)
			}
			return a.runAppoint(o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.duties, "may", "", "duties: teach, observe, sign, first-aid, clear (saws), with commas between (required)")
	f.StringVar(&o.skills, "skills", "", "only for these skills, with commas between (default: all)")
	f.StringVar(&o.from, "from", "", "first day (default: the day of --at)")
	f.StringVar(&o.until, "until", "", "first day no longer in force (default: open)")
	f.StringVar(&o.basis, "basis", "", "what it rests on: course, certificate, years of work (required)")
	f.StringVar(&o.at, "at", "", "when it was decided")
	f.StringVar(&o.noLonger, "no-longer", "", "duties for which they are named no longer, from --from on")
	f.StringVar(&o.reason, "reason", "", "why, with --no-longer")
	return c
}

func (a *app) runAppoint(o appointOptions) error {
	d, err := a.appoint(o)
	if err != nil {
		return err
	}
	return a.recorded(d, fmt.Sprintf("named %s for: %s", d.who.Name, o.duties))
}

// appoint records an appointment. Only the owner, or somebody who may sign, names others.
func (a *app) appoint(o appointOptions) (d deed, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	rec, err := a.appointmentOf(o, d.happened)
	p.add(err)
	p.add(a.mayKeepBook(d, "name people"))
	if d.by.ID == d.who.ID && d.by.ID != "" && d.by.ID != a.opening.Owner {
		p.addf("let somebody else do it: --as NAME", "%s may not name themselves", d.by.Name)
	}
	if err := p.err(); err != nil {
		return d, err
	}
	return a.keep(d, training.KindAppointment, rec)
}

// dutiesOf reads a list of duties.
func dutiesOf(text string) ([]string, error) {
	var p problems
	list := words(text)
	for _, d := range list {
		if !slices.Contains(training.Duties, d) {
			p.add(usage("duties are: "+strings.Join(training.Duties, ", "), "%q is not a duty", d))
		}
	}
	if len(list) == 0 {
		p.add(usage("duties are: "+strings.Join(training.Duties, ", "), "an appointment needs --may"))
	}
	return list, p.err()
}

// words splits a list written with commas.
func words(text string) []string {
	var list []string
	for w := range strings.SplitSeq(text, ",") {
		if w = strings.TrimSpace(w); w != "" {
			list = append(list, w)
		}
	}
	return list
}

// exactly demands a number of arguments and names them.
func exactly(n int, names string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > n && n > 0 {
			return usage("an id, a name or a text with spaces goes into quotes; see: "+c.CommandPath()+" --help", "%s wants %s, got %d arguments", nameOf(c), names, len(args))
		}
		if len(args) != n {
			return usage("see: "+c.CommandPath()+" --help", "%s wants %s, got %d arguments", nameOf(c), names, len(args))
		}
		return nil
	}
}

// atMostOne demands at most one argument.
func atMostOne(name string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return usage("see: "+c.CommandPath()+" --help", "%s wants one %s at most, got %d arguments", nameOf(c), name, len(args))
		}
		return nil
	}
}

// atLeast demands at least n arguments.
func atLeast(n int, names string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < n {
			return usage("see: "+c.CommandPath()+" --help", "%s wants %s, got %d arguments", nameOf(c), names, len(args))
		}
		return nil
	}
}
