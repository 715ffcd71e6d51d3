package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type vouchOptions struct{ key, duties, from, until, basis string }

func newKeyVouchCmd(a *app) *cobra.Command {
	var o vouchOptions
	c := &cobra.Command{
		Use:   "vouch KEY|WORKER",
		Short: "Say with the company's key whose key it is, and for what",
		Long: `The company says whose key it is, for what it may sign, from when and until when, and signs that with its own key (auditors call
the list of these the roster). Compare the fingerprint with its owner first, on paper or by phone, and say how under --basis.`,
		Example: `  ringtrue key vouch okafor --for teach,observe,sign --until 2027-05-01 --basis "fingerprint read out by phone"`,
		Args:    exactly(1, "KEY|WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.key = args[0]
			by, key, happened, refs, err := a.vouch(o)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, "the company vouches for the key "+key.Name+" of "+a.ownerOf(key)+", for "+o.duties,
				"fingerprint "+ledger.Fingerprint(key.Verifier))
		},
	}
	f := c.Flags()
	f.StringVar(&o.duties, "for", "", "duties: teach, observe, sign, first-aid, clear, with commas between (required)")
	f.StringVar(&o.from, "from", "", "first day (default: today)")
	f.StringVar(&o.until, "until", "", "first day no longer (default: open)")
	f.StringVar(&o.basis, "basis", "", "how the fingerprint was compared (required)")
	return c
}

// vouch records the company's statement about a key, signed with the company's key.
func (a *app) vouch(o vouchOptions) (by store.Person, key ledger.KnownKey, happened time.Time, refs []training.Ref, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened("")
	p.add(err)
	rec, err := a.rosterOf(o, happened)
	p.add(err)
	key, err = a.keyNamed(o.key)
	p.add(err)
	if err == nil && key.Person == "" {
		p.addf("name a worker", "the company's key vouches for others, not for itself")
	}
	p.add(a.notEnded(key))
	if err = p.err(); err != nil {
		return
	}
	rec.Key, rec.Verifier = key.Name, key.Verifier
	e := keyEntry(ledger.KindRoster, by, key, rec)
	e.Happened = happened
	if e.Signer, err = a.companySigner(&e); err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{e})
	return
}

func (a *app) rosterOf(o vouchOptions, happened time.Time) (rec ledger.Roster, err error) {
	var p problems
	if o.duties == "" {
		p.add(usage("duties are: "+strings.Join(training.Duties, ", "), "say for what: --for is empty"))
	} else {
		rec.Duties, err = dutiesOf(o.duties)
		p.add(err)
	}
	from, err := parseDay("from", o.from)
	p.add(err)
	if from == civil.None {
		from = civil.Of(happened, a.book.Zone())
	}
	until, err := parseDay("until", o.until)
	p.add(err)
	if until != civil.None && until <= from {
		p.add(usage("give a later --until", "--until %s is not after %s", until, from))
	}
	if strings.TrimSpace(o.basis) == "" {
		p.add(usage(`add --basis "fingerprint read out by phone"`, "say how the fingerprint was compared: --basis is empty"))
	}
	rec.From, rec.Until, rec.Basis = from.String(), o.until, o.basis
	return rec, p.err()
}
