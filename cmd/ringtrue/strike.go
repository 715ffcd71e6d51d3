package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

type strikeOptions struct {
	entry, reason, with, reached, at string
	try                              bool
}

func newStrikeCmd(a *app) *cobra.Command {
	var o strikeOptions
	c := &cobra.Command{
		Use:   "strike ENTRY",
		Short: "Cross out an entry: it says that it never was, and stays readable",
		Long: `Strike an entry. From now on it counts in no answer; answers asked as known before stay as they were. A strike cannot
be struck: enter the fact anew. Striking an observation does not lift what it restricted.

What stops somebody or something, or lets somebody work, is struck by the owner or by somebody named for that decision,
never by a person whom it concerns. What stops needs a second person too: --with WORKER, or --with NAME and --reached
for somebody outside the book. What the strike changes is said and recorded with it; --try only says it.
Who may do what: ringtrue help who-may.`,
		Example: `  ringtrue book strike 412 --reason "wrong worker, it was Ben"
  ringtrue book strike 412 --try
  ringtrue book strike 430 --reason "wrong saw" --with luis
  ringtrue book strike 430 --reason "wrong saw" --with "the client's forester" --reached "radio 4"`,
		Args: exactly(1, "ENTRY"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.entry = args[0]
			return a.runStrike(o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.reason, "reason", "", "why it never was so (required)")
	f.StringVar(&o.with, "with", "", "a second person who agrees; required for what stops")
	f.StringVar(&o.reached, "reached", "", "how a second person outside the book was reached")
	f.StringVar(&o.at, "at", "", "when it was decided")
	f.BoolVar(&o.try, "try", false, "only say what it would change; nothing is recorded")
	return c
}

// strikeAnswer is what a strike would change, for --try --json.
type strikeAnswer struct {
	Format  string               `json:"format"` // ringtrue/strike/1
	Entry   string               `json:"entry"`
	Changes []store.StrikeChange `json:"changes"`
}

func (a *app) runStrike(o strikeOptions) error {
	s, err := a.crossing(o)
	if err != nil {
		return err
	}
	notes, err := a.strikeNotes(s)
	if err != nil {
		return err
	}
	if o.try {
		if a.json {
			return a.printJSON(strikeAnswer{"ringtrue/strike/1", a.book.Name(s.ref), append([]store.StrikeChange{}, s.rec.Changes...)})
		}
		a.mark()
		a.say("striking entry %s would change this; nothing is recorded:", o.entry)
		for _, n := range notes {
			a.say("  %s", n)
		}
		return nil
	}
	refs, err := a.keepStrike(s)
	if err != nil {
		return err
	}
	return a.done(s.by, refs, s.happened, "struck entry "+o.entry, notes...)
}

func (a *app) keepStrike(s strikeAsked) ([]training.Ref, error) {
	return a.append([]ledger.Entry{entry(store.KindStrike, s.happened, s.by.ID, "", "", s.rec)})
}

// strikeNow strikes without a word.
func (a *app) strikeNow(o strikeOptions) error {
	s, err := a.crossing(o)
	if err == nil {
		_, err = a.keepStrike(s)
	}
	return err
}

// strikeAsked is a strike that may be made, with what it changes.
type strikeAsked struct {
	by       store.Person
	ref      training.Ref
	struck   ledger.Header // the entry to be struck
	happened time.Time
	rec      store.Strike
}

// crossing checks a strike with everything wrong said at once, and finds what it changes.
func (a *app) crossing(o strikeOptions) (s strikeAsked, err error) {
	var p problems
	s.by, err = a.actor()
	p.add(err)
	s.happened, err = a.happened(o.at)
	p.add(err)
	if err = a.toStrike(o.entry, &s); err != nil {
		p.add(err)
		return s, p.err()
	}
	s.rec = store.Strike{Entry: a.book.Name(s.ref), Reason: o.reason}
	s.rec.Second, s.rec.Reached, err = a.second(o)
	p.add(err)
	refusals, err := a.strikeRefusals(s)
	p.add(err)
	for _, r := range refusals {
		if !o.try {
			p.add(a.strikeRefused(r, s))
		}
	}
	if err = p.err(); err != nil {
		return s, err
	}
	s.rec.Changes, err = a.strikeChanges(s)
	return s, err
}

// toStrike finds the entry, and refuses what is never struck or is struck already.
func (a *app) toStrike(text string, s *strikeAsked) error {
	ref, ok, err := a.book.Find(a.ctx, text)
	if err != nil {
		return err
	}
	if !ok {
		return refuse("see the entries: ringtrue book dump", "there is no entry %s", text)
	}
	s.ref = ref
	if s.struck, err = a.book.Entry(a.ctx, ref, nil); err != nil {
		return err
	}
	if why, never := neverStruck[s.struck.Kind]; never {
		return refuse("record what is right in an entry of its own", "entry %s is not struck: %s", text, why)
	}
	prior, struck, err := a.book.StruckBy(a.ctx, ref, 1<<62-1)
	if err == nil && struck {
		err = refuse("if it was right after all, enter the fact anew; a strike stands", "entry %s is struck already, by entry %s", text, a.book.Short(prior))
	}
	return err
}

// second finds the second person: a worker by id, somebody outside the book by name with how they were reached.
func (a *app) second(o strikeOptions) (second, reached string, err error) {
	name := strings.TrimSpace(o.with)
	switch {
	case name == "" && o.reached != "":
		return "", "", usage("add --with NAME", "--reached says how a second person was reached, but nobody is named")
	case name == "":
		return "", "", nil
	case strings.TrimSpace(o.reached) != "":
		return name, o.reached, nil
	}
	p, err := a.person(name)
	if err != nil {
		return "", "", refuse("name a worker, or say how somebody outside the book was reached: --reached \"radio 4\"", "--with %s: no worker of this book", name)
	}
	return p.ID, "", nil
}

// strikeNotes says what a strike changes.
func (a *app) strikeNotes(s strikeAsked) ([]string, error) {
	people, err := a.crew()
	if err != nil {
		return nil, err
	}
	var notes []string
	for _, c := range s.rec.Changes {
		notes = append(notes, strikeWords(c, people))
	}
	if criticalMiss(s.struck) {
		notes = append(notes, "what it restricted stays restricted: only a lift on a later met look lets practice resume")
	}
	if len(notes) == 0 {
		notes = append(notes, "no standing, release, saw or card changes by it")
	}
	return notes, nil
}

// strikeRefused words a refusal with what to do next.
func (a *app) strikeRefused(r training.Refusal, s strikeAsked) error {
	what := s.struck.Kind + " of entry " + a.book.Short(s.ref)
	duty := strikeRules[s.struck.Kind].duty
	switch r {
	case training.NoReason:
		return usage("add --reason", "a strike needs its reason")
	case training.NotNamed:
		return refuse(fmt.Sprintf("let the owner, or somebody named to %s, do it: --as NAME; who may do what: ringtrue help who-may", duty),
			"%s may not strike the %s: not the owner, and not named to %s that day", s.by.Name, what, duty)
	case training.OwnEntry:
		return refuse("let somebody else decide: --as NAME", "%s may not strike the %s: it is about them", s.by.Name, what)
	case training.NoSecond:
		return refuse("name a second person who agrees: --with WORKER, or --with NAME --reached HOW", "the %s stops somebody or something: a second person has to agree", what)
	case training.SecondSame:
		return refuse("name somebody else: --with WORKER", "%s cannot be the second person too", s.by.Name)
	}
	return refuse("name somebody else: --with WORKER", "the %s is about the person named with --with", what)
}
