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

type keyEndOptions struct {
	key, reason, from string
	company           bool
}

func newKeyEndCmd(a *app) *cobra.Command {
	var o keyEndOptions
	c := &cobra.Command{
		Use:   "end KEY|WORKER|company",
		Short: "End a key: nothing more is signed with it; what it signed before stays signed",
		Long: `End a key, because its passphrase is forgotten or known to somebody else, or because its owner left. Anybody may do this, and it
counts at once. What was signed before stays signed; --from says from which day on it is not to be believed, where that lies
back, and every reader of ` + "`ringtrue key list`" + ` sees it.`,
		Example: `  ringtrue key end okafor --reason "passphrase forgotten"
  ringtrue key end ben --reason "left the company" --company`,
		Args: exactly(1, "KEY|WORKER|company"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.key = args[0]
			by, key, happened, refs, err := a.endKey(o)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, "ended the key "+key.Name+" of "+a.ownerOf(key), "what it signed before stays signed")
		},
	}
	f := c.Flags()
	f.StringVar(&o.reason, "reason", "", "why (required)")
	f.StringVar(&o.from, "from", "", "first day on which it is not to be believed (default: today)")
	f.BoolVar(&o.company, "company", false, "sign the end with the company's key")
	return c
}

// endKey records the end of a key.
func (a *app) endKey(o keyEndOptions) (by store.Person, key ledger.KnownKey, happened time.Time, refs []training.Ref, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	happened, err = a.happened("")
	p.add(err)
	today := civil.Of(happened, a.book.Zone())
	from, err := parseDay("from", o.from)
	p.add(err)
	if from == civil.None {
		from = today
	}
	if from > today {
		p.addf("end it on that day", "a key ends at once; --from %s lies ahead", from)
	}
	if strings.TrimSpace(o.reason) == "" {
		p.add(usage("add --reason", "say why the key ends: --reason is empty"))
	}
	key, err = a.keyNamed(o.key)
	p.add(err)
	p.add(a.notEnded(key))
	if err = p.err(); err != nil {
		return
	}
	e := keyEntry(ledger.KindKeyEnd, by, key, ledger.KeyEnd{Key: key.Name, From: from.String(), Reason: o.reason})
	e.Happened = happened
	if o.company {
		if e.Signer, err = a.companySigner(&e); err != nil {
			return
		}
	}
	refs, err = a.append([]ledger.Entry{e})
	return
}

func (a *app) notEnded(key ledger.KnownKey) error {
	keys, err := a.keyring()
	if err != nil {
		return err
	}
	if at, over := keys.Ended(key.Name); over {
		return refuse("see: ringtrue key list", "the key %s was ended on %s", key.Name, a.local(at.Recorded))
	}
	return nil
}

// companySigner opens the company's key for an entry.
func (a *app) companySigner(e *ledger.Entry) (ledger.Signer, error) {
	key, has, err := a.keyInForce("")
	if err != nil {
		return nil, err
	}
	if !has {
		return nil, refuse("make one: ringtrue key make --company", "the company has no key in this book")
	}
	return a.openKey(key, []*ledger.Entry{e})
}
