package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

type adoptOptions struct {
	adoptFlags
	edition, from, source, reason string
	set                           []string
}

func newHouseAdoptCmd(a *app) *cobra.Command {
	var o adoptOptions
	c := &cobra.Command{
		Use:   "adopt",
		Short: "Adopt a new edition of the house rules: the one this program offers, or your own",
		Long: `Adopt a new edition of the house rules: the edition in force with some numbers changed, a whole file, or with --starter the
edition that this program offers, in which every figure stays that the company has chosen itself. --starter says first what changes and
what each worker would newly lack, and asks; with --at the edition may begin on a day that lies ahead. Every number keeps its source. A change that loosens a limit needs a reason, which stands with your name on every answer it touches. No number
goes below its floor: what was read in the rules of this place, or what the starter rules mark as one. What was judged by an
older edition stays judged.`,
		Example: `  ringtrue house adopt --edition 2027-1 --set stand-off=25m --source "company choice after a close call"
  ringtrue house adopt --starter --try
  ringtrue house adopt --from house-2027.yaml --reason "one-cut limit as the authority's guide has it"`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := a.write(); err != nil {
				return err
			}
			one, err := a.newHouseRules(o)
			if err != nil {
				return err
			}
			return a.adopt(one, o.adoptFlags)
		},
	}
	f := c.Flags()
	f.StringVar(&o.edition, "edition", "", "name of the new edition (required with --set)")
	f.StringArrayVar(&o.set, "set", nil, "RULE=VALUE with its unit; repeatable")
	f.StringVar(&o.source, "source", "", "source of the numbers set")
	f.StringVar(&o.from, "from", "", "take the whole edition from this file")
	f.StringVar(&o.reason, "reason", "", "why; needed where a limit is loosened")
	o.on(c)
	return c
}

// newHouseRules is an edition of the house rules that may be adopted, with the floors that no number of it may be looser than.
func (a *app) newHouseRules(o adoptOptions) (adoption, error) {
	var p problems
	one := adoption{d: a.deedAhead(&p, o.at), kind: store.KindHouse}
	asked := a.knownNow(one.d.day)
	history, err := a.houseHistory(asked)
	if err != nil {
		return one, err
	}
	first, old := history[0].House, history[len(history)-1].House
	floors := a.floorsNow(asked)
	now, err := newHouse(o, first, old, floors)
	p.add(err)
	if err := upkeep.Rule(now); err != nil {
		p.add(usage("see: ringtrue house show", "%v", err))
	}
	p.add(a.mayAdopt(one.d.by, one.d.day))
	if err == nil || o.from == "" { // a file that does not read has no name
		p.add(a.newEdition(store.KindHouse, now.Edition))
	}
	changes := house.Changes(old, now)
	if len(changes) == 0 && err == nil {
		p.addf("name what changes: --set stand-off=25m", "nothing differs from edition %s", old.Edition)
	}
	if o.starter && o.reason == "" {
		o.reason = "the starter rules of the program"
	}
	p.add(whyLooser(o.reason, changes))
	if err := p.err(); err != nil {
		return one, err
	}
	if o.reason != "" {
		now.Reason = o.reason
	}
	now.Floors = floors
	one.edition, one.what, one.house, one.notes = now.Edition, "house rules "+now.Edition, &now, adoptedNotes(changes, now.Reason)
	return one, nil
}

// whyLooser asks for a reason, in one line, where limits are loosened.
func whyLooser(reason string, changes []house.Change) error {
	if strings.ContainsFunc(reason, unicode.IsControl) {
		return usage("write the reason in one line", "--reason holds a line break, a tab or another character that is not text")
	}
	var looser []string
	for _, c := range changes {
		if c.Way == house.Loosened {
			looser = append(looser, ruleChange(c))
		}
	}
	if len(looser) == 0 || strings.TrimSpace(reason) != "" {
		return nil
	}
	return refuse("add --reason; it stands on every answer that the looser figure touches", "limits are loosened without a reason: %s", strings.Join(looser, "; "))
}

// adoptedNotes says what changed, and what is looser now, why, and where it will be seen.
func adoptedNotes(changes []house.Change, reason string) []string {
	var notes []string
	looser := 0
	for _, c := range changes {
		notes = append(notes, ruleChange(c))
		if c.Way == house.Loosened {
			looser++
		}
	}
	if looser > 0 {
		notes = append(notes, fmt.Sprintf("%d of them looser: %s; every answer it touches says so", looser, reason))
	}
	return notes
}

// ruleChange says one change in a line.
func ruleChange(c house.Change) string {
	switch c.Way {
	case house.Came:
		return c.Key + ": " + c.Is + ", new"
	case house.Dropped:
		return c.Key + ": left out, was " + c.Was
	case house.SourceOnly:
		return c.Key + ": " + c.Is + ", another source"
	}
	return fmt.Sprintf("%s: %s, was %s", c.Key, c.Is, c.Was)
}

// mayAdopt: editions are adopted by the owner, or by somebody who may sign.
func (a *app) mayAdopt(by store.Person, day civil.Day) error {
	return a.mayKeepBook(deed{by: by, day: day}, "adopt editions")
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

// newHouse builds the new edition from a file, or from the old one with some numbers set. What the old one had below a floor stands
// at the floor in the new one.
func newHouse(o adoptOptions, first, old house.House, floors []house.Floor) (house.House, error) {
	if o.starter {
		return houseOffered(o, first, old)
	}
	if o.from != "" {
		return houseFrom(o.from, floors)
	}
	now := house.House{Edition: o.edition, Numbers: old.Under(floors).Numbers}
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
		return ready, p.err()
	}
	if err := ready.Sound(); err != nil {
		p.add(refuse("see what each rule is for: ringtrue house show", "%v", err))
	}
	p.add(belowFloors(ready, floors))
	if _, err = training.RulesOf(ready); err != nil {
		p.add(refuse("see what each rule is for: ringtrue house show", "%v", err))
	}
	return ready, p.err()
}

// houseOffered is the program's edition with the figures that the company has chosen itself since its first.
func houseOffered(o adoptOptions, first, old house.House) (house.House, error) {
	if o.from != "" || len(o.set) > 0 {
		return house.House{}, usage("give one of them", "--starter takes what the program offers; --set and --from take something else")
	}
	starter, err := house.Starter()
	if err != nil {
		return starter, err
	}
	now, kept := starter.Keeping(first, old)
	now.Floors = nil
	if o.edition != "" {
		now.Edition = o.edition
	} else if len(kept) > 0 {
		return now, usage("name it: --edition NAME", "the edition keeps figures of your own, so it is not %s any more: %s", now.Edition, strings.Join(kept, ", "))
	}
	return now, nil
}

// houseFrom reads a whole edition from a file.
func houseFrom(path string, floors []house.Floor) (house.House, error) {
	text, err := readGiven(path, ledger.MaxCatalogue)
	if err != nil {
		return house.House{}, err
	}
	h, err := house.Parse(text)
	if err != nil {
		return h, refuse("mend the file", "%s: %v", path, err)
	}
	var p problems
	_, unread := training.RulesOf(h)
	if err := errors.Join(h.AsDefined(), h.Sound(), unread); err != nil {
		p.add(refuse("mend the file", "%s: %v", path, err))
	}
	for _, f := range h.Floors {
		if !slices.Contains(floors, f) {
			p.addf("leave the list of floors out", "%s: floor of %s: floors come with the program and the local rules, not with a company's file", path, f.Key)
		}
	}
	p.add(belowFloors(h, floors))
	return h, p.err()
}

// belowFloors refuses numbers that are looser than a floor, all at once.
func belowFloors(h house.House, floors []house.Floor) error {
	if below := h.Below(floors); len(below) > 0 {
		return refuse("keep to the floor or go beyond it on the stricter side; see: ringtrue house show", "%v", errors.Join(below...))
	}
	return nil
}

func houseKeys(h house.House) []string {
	keys := make([]string, len(h.Numbers))
	for i, n := range h.Numbers {
		keys[i] = n.Key
	}
	return keys
}
