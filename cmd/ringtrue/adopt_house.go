package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type adoptOptions struct {
	edition, from, source, reason, at string
	set                               []string
}

func newHouseAdoptCmd(a *app) *cobra.Command {
	var o adoptOptions
	c := &cobra.Command{
		Use:   "adopt",
		Short: "Adopt a new edition of the house rules",
		Long: `Adopt a new edition of the house rules: the edition in force with some numbers changed, or a whole file. Every number
keeps its source. A change that loosens a limit needs a reason. What was judged by an older edition stays judged.`,
		Example: `  ringtrue house adopt --edition 2027-1 --set stand-off=25m --source "company choice after a close call"
  ringtrue house adopt --from house-2027.yaml --reason "one-cut limit as the authority's guide has it"`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.write(); err != nil {
				return err
			}
			d, changed, err := a.adoptHouse(o)
			if err != nil {
				return err
			}
			return a.recorded(d, "adopted house rules "+o.edition, changed...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.edition, "edition", "", "name of the new edition (required with --set)")
	f.StringArrayVar(&o.set, "set", nil, "RULE=VALUE with its unit; repeatable")
	f.StringVar(&o.source, "source", "", "source of the numbers set")
	f.StringVar(&o.from, "from", "", "take the whole edition from this file")
	f.StringVar(&o.reason, "reason", "", "why; needed where a limit is loosened")
	f.StringVar(&o.at, "at", "", "since when it holds")
	return c
}

// adoptHouse records a new edition of the house rules.
func (a *app) adoptHouse(o adoptOptions) (deed, []string, error) {
	var p problems
	d := a.deed(&p, o.at)
	old, err := a.house(a.knownNow(d.day))
	if err != nil {
		return d, nil, err
	}
	now, err := newHouse(o, old)
	p.add(err)
	if err := upkeep.Rule(now); err != nil {
		p.add(usage("see: ringtrue house show", "%v", err))
	}
	p.add(a.mayAdopt(d.by, d.day))
	if err == nil || o.from == "" { // a file that does not read has no name
		p.add(a.newEdition(store.KindHouse, now.Edition))
	}
	changed, loosened := compareHouse(old, now)
	if len(changed) == 0 && err == nil {
		p.addf("name what changes: --set stand-off=25m", "nothing differs from edition %s", old.Edition)
	}
	if len(loosened) > 0 && strings.TrimSpace(o.reason) == "" {
		p.addf("add --reason", "limits are loosened without a reason: %s", strings.Join(loosened, "; "))
	}
	if err := p.err(); err != nil {
		return d, nil, err
	}
	if o.reason != "" {
		now.Reason = o.reason
	}
	d, err = a.keepAll(d, []ledger.Entry{{Kind: store.KindHouse, Happened: d.happened, By: d.by.ID, Data: now, Catalogue: true}})
	return d, changed, err
}

// mayAdopt: editions are adopted by the owner, or by somebody who may sign.
func (a *app) mayAdopt(by store.Person, day civil.Day) error {
	list, err := a.appointmentsOf(by.ID, a.knownNow(day))
	if err != nil || by.ID == "" || by.ID == a.opening.Owner || may(list, by.ID, training.DutySign, "", day) {
		return err
	}
	return refuse("let the owner or a named signer do it: --as NAME", "%s may not adopt editions: not the owner, and not named to sign on %s", by.Name, day)
}

// newEdition refuses an edition name that is empty or was used before.
func (a *app) newEdition(kind, name string) error {
	if strings.TrimSpace(name) == "" {
		return usage("add --edition NAME", "the new edition has no name")
	}
	facts, err := a.listed(a.knownNow(1<<20), kind)
	if err != nil {
		return err
	}
	for _, f := range facts {
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return err
		}
		if ledger.Text(ledger.Lookup(h.Data, "edition")) == name {
			return refuse("give it a new name", "edition %s of the %s was adopted before, by entry %s", name, kind, a.book.Short(f.Entry))
		}
	}
	return nil
}

// newHouse builds the new edition from a file, or from the old one with some numbers set.
func newHouse(o adoptOptions, old house.House) (house.House, error) {
	if o.from != "" {
		text, err := readGiven(o.from, ledger.MaxCatalogue)
		if err != nil {
			return house.House{}, err
		}
		h, err := house.Parse(text)
		if err != nil {
			return h, refuse("mend the file", "%s: %v", o.from, err)
		}
		_, unread := training.RulesOf(h)
		if err := errors.Join(h.Sound(), unread); err != nil {
			return h, refuse("mend the file", "%s: %v", o.from, err)
		}
		return h, nil
	}
	now := house.House{Edition: o.edition, Numbers: slices.Clone(old.Numbers)}
	var p problems
	for _, s := range o.set {
		key, value, ok := strings.Cut(s, "=")
		i := slices.IndexFunc(now.Numbers, func(n house.Number) bool { return n.Key == key })
		switch {
		case !ok:
			p.add(usage("write --set stand-off=25m", "--set %q gives no value", s))
		case i < 0:
			p.add(refuse(hint(key, houseKeys(old), "house show"), "no house rule %q", key))
		default:
			now.Numbers[i].Value = value
			now.Numbers[i].Source = o.source
		}
	}
	if len(o.set) > 0 && strings.TrimSpace(o.source) == "" {
		p.add(usage(`add --source, as "company choice after a close call"`, "a number needs its source"))
	}
	ready, err := now.Ready()
	if err != nil {
		p.add(usage("write the value with its unit", "%v", err))
	} else {
		if err := ready.Sound(); err != nil {
			p.add(refuse("see what each rule is for: ringtrue house show", "%v", err))
		}
		if _, err = training.RulesOf(ready); err != nil {
			p.add(refuse("see what each rule is for: ringtrue house show", "%v", err))
		}
	}
	return ready, p.err()
}

func houseKeys(h house.House) []string {
	keys := make([]string, len(h.Numbers))
	for i, n := range h.Numbers {
		keys[i] = n.Key
	}
	return keys
}

// compareHouse lists what changed, and of that what was loosened.
func compareHouse(old, now house.House) (changed, loosened []string) {
	for _, n := range now.Numbers {
		before := old.Value(n.Key)
		if before == n.Value {
			continue
		}
		line := fmt.Sprintf("%s: %s, was %s", n.Key, n.Value, before)
		changed = append(changed, line)
		if looser(n, old, now) {
			loosened = append(loosened, line)
		}
	}
	return changed, loosened
}

func looser(n house.Number, old, now house.House) bool {
	if n.Of == house.Text || old.Value(n.Key) == "" || !measurable(n.Of) {
		return false
	}
	was, is := old.SI(n.Key), now.SI(n.Key)
	return (n.Strict == "lower" && is > was) || (n.Strict == "higher" && is < was)
}

func measurable(d units.Dimension) bool { return units.Example(d) != "" }
