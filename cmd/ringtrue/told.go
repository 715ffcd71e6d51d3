package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

type toldOptions struct{ decision, worker, of, decider, note, at string }

func newToldCmd(a *app) *cobra.Command {
	var o toldOptions
	c := &cobra.Command{
		Use:   "told WORKER SKILL-OR-GROUP",
		Short: "Keep a decision told by phone; it changes nothing until the decider enters it",
		Long: `Keep what a decider said by phone: a sign-off, a lift or a release. It stands as "awaiting signature" and changes
nothing; the decider enters the decision. Restrictions and withdrawals need no such wait: enter them at once.`,
		Example: `  ringtrue skill told ana 3.3 --decision sign-off --decider okafor --note "heard the three looks read out"`,
		Args:    exactly(2, "WORKER SKILL-OR-GROUP"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.worker, o.of = args[0], args[1]
			d, err := a.told(o)
			if err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("kept: %s of %s for %s, told by phone", o.decision, d.who.Name, o.of), "awaiting signature: it changes nothing until the decider enters it")
		},
	}
	f := c.Flags()
	f.StringVar(&o.decision, "decision", "", "sign-off, lift or release (required)")
	f.StringVar(&o.decider, "decider", "", "who said it (required)")
	f.StringVar(&o.note, "note", "", "what was said")
	f.StringVar(&o.at, "at", "", "when it was said")
	return c
}

// told records a decision that awaits its decider.
func (a *app) told(o toldOptions) (d deed, err error) {
	var p problems
	d = a.deedAbout(&p, o.worker, o.at)
	decider, err := a.decider(o.decider)
	p.add(err)
	std, err := a.standards(a.knownNow(1 << 20))
	p.add(err)
	skill := o.of
	switch o.decision {
	case training.KindSignOff, training.KindLift:
		_, _, err = std.skill(o.of)
		p.add(err)
	case training.KindRelease:
		skill = ""
		_, err = std.group(o.of)
		p.add(err)
	default:
		p.add(usage("say --decision sign-off, lift or release", "--decision %q cannot be told by phone", o.decision))
	}
	if err = p.err(); err != nil {
		return d, err
	}
	return a.keepAll(d, []ledger.Entry{entry(training.KindTold, d.happened, d.by.ID, d.who.ID, skill, training.Told{Decision: o.decision, Of: o.of, Decider: decider.ID, Note: o.note})})
}

// decider is who is said to have decided.
func (a *app) decider(name string) (store.Person, error) {
	if name == "" {
		return store.Person{}, usage("add --decider WORKER", "who decided is not said")
	}
	return a.person(name)
}
