package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training/civil"
)

func newKeyCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "key", Short: "Personal keys: what somebody who decides signs with",
		Long: `A personal key signs what its owner decides: sign-offs, lifts, releases, attendances, earlier training accepted,
orientations, appointments, tailgate checks, and strikes of signed entries. Whoever has a key is asked for its passphrase when they
record one of these; whoever has none records as before, and no print says that they signed. What stops somebody (restrict,
withdraw, tag, a check that holds) never waits for a key.

A signature shows that somebody who knew the passphrase stood behind exactly this entry. It does not show that the entry is
true, that its time is right, or who looked over a shoulder. Where two people were together and one has no key, write how the
other acknowledged it ("acknowledged to the supervisor, in person"): that is the statement of the one who records.`}
	c.AddCommand(newKeyMakeCmd(a), newKeyListCmd(a), newKeyEndCmd(a), newKeyVouchCmd(a))
	return c
}

// companyName stands for the company as the owner of a key.
const companyName = "company"

// keyLine is one key for a reader and for --json.
type keyLine struct {
	Key         string   `json:"key"`
	Person      string   `json:"person"` // person id; "" = the company
	Fingerprint string   `json:"fingerprint"`
	Verifier    string   `json:"verifier"`
	Made        string   `json:"made"`
	Ended       string   `json:"ended"`    // "" = in force
	NotFrom     string   `json:"not_from"` // of an ended key: first day on which it is not to be believed
	Reason      string   `json:"reason"`
	Here        bool     `json:"here"` // its sealed private half is in this book
	KnownBy     string   `json:"known_by"`
	Duties      []string `json:"duties"`
	From        string   `json:"from"`
	Until       string   `json:"until"`
	whose       string
	made, ended string // days in the book's zone
}

func newKeyListCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:     "list",
		Short:   "List all keys: whose, fingerprint, in force or ended, and on whose word",
		Example: "  ringtrue key list",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			lines, err := a.keyLines()
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/keys/1", "keys": lines})
			}
			a.mark()
			if len(lines) == 0 {
				a.say("nobody has a key; make one: ringtrue key make")
				return nil
			}
			var rows [][]string
			for _, l := range lines {
				rows = append(rows, []string{l.Key, l.whose, l.Fingerprint, l.made, l.state(), l.KnownBy, hereOrNot(l.Here)})
			}
			a.table([]string{"KEY", "WHOSE", "FINGERPRINT", "MADE", "STATE", "KNOWN BY", "IN THIS BOOK"}, rows)
			return nil
		},
	}
}

func hereOrNot(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func (l keyLine) state() string {
	if l.Ended == "" {
		return "in force"
	}
	not := ""
	if l.NotFrom < l.ended {
		not = ", not to be believed from " + l.NotFrom
	}
	return "ended " + l.ended + note(": ", l.Reason) + not
}

// keyLines lists the keys in the order in which they were made.
func (a *app) keyLines() ([]keyLine, error) {
	keys, err := a.keyring()
	if err != nil {
		return nil, err
	}
	roster, err := a.book.Roster(a.ctx)
	if err != nil {
		return nil, err
	}
	lines := []keyLine{}
	for _, k := range keys.All() {
		l, err := a.keyLine(keys, k)
		if err != nil {
			return nil, err
		}
		lines = append(lines, l.known(roster, companyHas(keys)))
	}
	return lines, nil
}

// companyHas reports whether the company has a key in force.
func companyHas(keys *ledger.Keys) bool {
	return slices.ContainsFunc(keys.All(), func(k ledger.KnownKey) bool {
		_, over := keys.Ended(k.Name)
		return k.Person == "" && !over
	})
}

func (a *app) keyLine(keys *ledger.Keys, k ledger.KnownKey) (keyLine, error) {
	l := keyLine{Key: k.Name, Person: k.Person, Fingerprint: ledger.Fingerprint(k.Verifier), Verifier: k.Verifier, Duties: []string{}, whose: a.ownerOf(k)}
	l.Made, l.made = k.Made.Recorded.Format(time.RFC3339), a.day(k.Made.Recorded)
	var err error
	if _, l.Here, err = a.book.Sealed(a.ctx, k.Name); err != nil {
		return l, err
	}
	at, over := keys.Ended(k.Name)
	if !over {
		return l, nil
	}
	l.Ended, l.ended = at.Recorded.Format(time.RFC3339), a.day(at.Recorded)
	ref, err := a.book.Ref(ledger.Ref(at.Origin, at.Seq))
	if err != nil {
		return l, err
	}
	var end ledger.KeyEnd
	_, err = a.book.Entry(a.ctx, ref, &end)
	l.Reason, l.NotFrom = end.Reason, end.From
	return l, err
}

// day is the day of a moment in the book's zone.
func (a *app) day(t time.Time) string { return civil.Of(t, a.book.Zone()).String() }

// known says on whose word a key is its owner's. Without a key of the company it is the book owner's.
func (l keyLine) known(roster []store.Rostered, company bool) keyLine {
	switch {
	case l.Person == "":
		l.KnownBy = "itself: compare the fingerprint on paper or by phone"
	case company:
		l.KnownBy = "nobody's word yet: ringtrue key vouch"
	default:
		l.KnownBy = "the book owner's word"
	}
	for _, r := range roster { // the last one counts
		if r.Key == l.Key {
			l.Duties, l.From, l.Until = r.Duties, r.From, r.Until
			l.KnownBy = fmt.Sprintf("the company, for %s from %s%s", strings.Join(r.Duties, ","), r.From, note(" until ", r.Until))
		}
	}
	return l
}

// keyNamed finds a key by its name, or the only one in force of a worker or of the company.
func (a *app) keyNamed(text string) (ledger.KnownKey, error) {
	keys, err := a.keyring()
	if err != nil {
		return ledger.KnownKey{}, err
	}
	if k, ok := keys.Key(text); ok {
		return k, nil
	}
	person := ""
	if text != companyName {
		who, err := a.person(text)
		if err != nil {
			return ledger.KnownKey{}, refuse("see: ringtrue key list", "there is no key and no worker %q", text)
		}
		person = who.ID
	}
	var found []ledger.KnownKey
	for _, k := range keys.All() {
		if _, over := keys.Ended(k.Name); !over && k.Person == person {
			found = append(found, k)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return ledger.KnownKey{}, refuse("see: ringtrue key list", "%s has no key in force", text)
	}
	return ledger.KnownKey{}, refuse("name one; see: ringtrue key list", "%s has %d keys in force", text, len(found))
}

// mustLead refuses whoever is not the owner of the book: the company's word is theirs.
func (a *app) mustLead(by store.Person, doing string) error {
	if by.ID != a.opening.Owner {
		return refuse("let the owner of the book do it: --as NAME", "%s may not %s: not the owner of the book", by.Name, doing)
	}
	return nil
}

// keyEntry builds an entry about a key, which is about its owner.
func keyEntry(kind string, by store.Person, key ledger.KnownKey, data any) ledger.Entry {
	return ledger.Entry{Kind: kind, By: by.ID, Worker: key.Person, Data: data}
}
