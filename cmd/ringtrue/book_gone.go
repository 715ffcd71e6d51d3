package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

func newGoneCmd(a *app) *cobra.Command {
	var reason, at string
	c := &cobra.Command{
		Use:   "gone LEDGER",
		Short: "Say that a device is lost or given up: no answer waits for it any more",
		Long: `Say that another device will not be met again: it fell into a creek, was stolen, or was given away. Answers and tailgate checks
no longer name it as one that has not been met lately. What it recorded, as far as it reached this book, stays and counts. If a
file of it turns up later it is taken all the same, and the device is expected again.

Whoever holds a lost laptop could seal for it: look through what turns up of it. People's keys on it are closed with their
passphrases; where somebody may know one, end the key too: ringtrue key end. A book restored from a backup of the lost device says the same
by itself. The owner of the book decides.`,
		Example: `  ringtrue book gone truck-1 --reason "fell into the creek"`,
		Args:    exactly(1, "LEDGER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			by, refs, happened, what, err := a.gone(args[0], reason, at)
			if err != nil {
				return err
			}
			return a.done(by, refs, happened, what, "what it recorded and nobody took is not in this book; enter it anew",
				"tell the other devices: ringtrue book carry")
		},
	}
	c.Flags().StringVar(&reason, "reason", "", "what happened to it (required)")
	c.Flags().StringVar(&at, "at", "", "when it was decided")
	return c
}

// gone records that nothing more is expected of another device.
func (a *app) gone(name, reason, at string) (by store.Person, refs []training.Ref, happened time.Time, what string, err error) {
	var p problems
	by, err = a.actor()
	p.add(err)
	if err == nil {
		p.add(a.mustLead(by, "give up a device"))
	}
	happened, err = a.happened(at)
	p.add(err)
	if strings.TrimSpace(reason) == "" {
		p.add(usage(`add --reason "fell into the creek" or the like`, "say what happened: --reason is empty"))
	}
	origin, err := a.waitedFor(name)
	p.add(err)
	if err = p.err(); err != nil {
		return
	}
	size, err := a.book.Size(a.ctx, origin)
	if err != nil {
		return
	}
	refs, err = a.append([]ledger.Entry{entry(store.KindGone, happened, by.ID, "", "", store.GoneRecord{Origin: origin, Reason: reason})})
	return by, refs, happened, fmt.Sprintf("%s is gone, at %d entries; no answer waits for it any more", origin, size), err
}

// waitedFor finds the ledger of a device that is expected to be met again, by its whole name or the part behind the slash.
func (a *app) waitedFor(name string) (string, error) {
	states, err := a.book.States(a.ctx)
	if err != nil {
		return "", err
	}
	const next = "see: ringtrue book head"
	for _, o := range slices.Sorted(maps.Keys(states)) {
		if o != name && o[strings.LastIndex(o, "/")+1:] != name {
			continue
		}
		switch s := states[o]; {
		case s.Own:
			return "", refuse("name the other device", "%s is this device's own ledger", o)
		case !s.Waits():
			return "", refuse(next, "no answer waits for %s: %s", o, knownHead{GoesOn: s.GoesOn, Gone: moment(s.Gone), Reason: s.Reason}.state())
		}
		return o, nil
	}
	return "", refuse(next, "the book holds no ledger %q", name)
}
