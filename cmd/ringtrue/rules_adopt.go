package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
)

type adoptRulesOptions struct {
	from, write, place, edition, reason, at string
}

func newRulesAdoptCmd(a *app) *cobra.Command {
	var o adoptRulesOptions
	c := &cobra.Command{
		Use:   "adopt",
		Short: "Adopt the rules of a place as the company has read and corrected them",
		Long: `Take the rules of one place from a file of the company's and record them as a new edition of the local rules. Write the
place as the book has it into a file with --write, correct it there, and adopt it. Rows that you changed or added are
shown as the company's own, with who put them in place and since when. Ids are never dropped or reused: what is no
longer in force stays, with "ended: DAY". A number that binds less than before needs a reason; house rules keep to the
old one until they are adopted anew. Everything wrong with the file is said at once.

EXIT STATUS
  0 adopted, or written   1 refused   2 command line not understood`,
		Example: `  ringtrue rules adopt --write bc.yaml --place bc
  ringtrue rules adopt --from bc.yaml`,
		Args: exactly(0, "no arguments"),
		RunE: func(*cobra.Command, []string) error {
			switch {
			case (o.from == "") == (o.write == ""):
				return usage("see: ringtrue rules adopt --help", "rules adopt wants --from FILE, or --write FILE")
			case o.write != "":
				return a.writePlace(o)
			}
			if err := a.write(); err != nil {
				return err
			}
			d, now, notes, err := a.adoptRules(o)
			if err != nil {
				return err
			}
			return a.recorded(d, "adopted local rules "+now.Edition, notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.from, "from", "", "file with the rules of one place")
	f.StringVar(&o.write, "write", "", "write the place as the book has it into this new file, to correct it")
	f.StringVar(&o.place, "place", "", "the place (default: the one that the file names, or the book's)")
	f.StringVar(&o.edition, "edition", "", "name of the new edition (default: from the old name, the place and the day)")
	f.StringVar(&o.reason, "reason", "", "why; needed where something binds or asks less than before")
	f.StringVar(&o.at, "at", "", "since when it holds")
	return c
}

// writePlace writes a place of the edition in force into a new file.
func (a *app) writePlace(o adoptRulesOptions) error {
	if err := a.read(); err != nil {
		return err
	}
	asked, err := a.asked(questionTimes{})
	if err != nil {
		return err
	}
	e, err := a.localRules(asked)
	if err != nil {
		return err
	}
	place := o.place
	if place == "" {
		place = a.opening.Jurisdiction
	}
	j, ok := e.Find(place)
	if !ok {
		return unknownPlace(e, place, "write the rules of a place", "rules adopt --write "+o.write+" --place")
	}
	if _, err := os.Lstat(o.write); err == nil {
		return refuse("name a file that is not there yet", "%s is there already", o.write)
	}
	text, err := rules.Write(j)
	if err != nil {
		return err
	}
	if err := os.WriteFile(o.write, text, 0o600); err != nil {
		return fmt.Errorf("write the rules of %s: %w", j.Code, err)
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/rules-file/1", "edition": e.Edition, "jurisdiction": j.Code, "file": o.write})
	}
	a.say("wrote the rules of %s, edition %s, into %s; correct it there, then: ringtrue rules adopt --from %s", j.Code, e.Edition, o.write, o.write)
	return nil
}

// adoptRules records a new edition of the local rules in which one place has the rows of a file, after every check, all findings at once.
func (a *app) adoptRules(o adoptRulesOptions) (d deed, now rules.Edition, notes []string, err error) {
	var p problems
	d = a.deed(&p, o.at)
	p.add(a.mayAdopt(d.by, d.day))
	old, err := a.localRules(a.knownNow(d.day))
	if err != nil {
		return d, now, nil, err
	}
	j, err := placeFrom(o.from)
	if err != nil {
		p.add(err)
		return d, now, nil, p.err()
	}
	p.add(placeNamed(old, j, o))
	if o.edition == "" {
		o.edition = a.nextRules(old.Edition, j.Code, d.day.String())
	}
	p.add(a.newEdition(store.KindRules, o.edition))
	now, changes := old.With(j, o.edition, rules.Adoption{By: d.by.ID, On: d.day.String()})
	now.Reason = o.reason
	if _, known := old.Find(j.Code); known {
		p.add(soundPlace(now, j.Code, changes, d.day.String(), o.from))
		p.add(bindsLess(o.reason, rules.Loosened(old, now, j.Code)))
	}
	if err := p.err(); err != nil {
		return d, now, nil, err
	}
	d, err = a.keepAll(d, []ledger.Entry{{Kind: store.KindRules, Happened: d.happened, By: d.by.ID, Data: now, Catalogue: true}})
	return d, now, ruleChanges(changes, rules.Loosened(old, now, j.Code)), err
}

// placeFrom reads the rules of one place from a company's file.
func placeFrom(path string) (rules.Jurisdiction, error) {
	text, err := readGiven(path, ledger.MaxCatalogue)
	if err != nil {
		return rules.Jurisdiction{}, err
	}
	j, err := rules.ParsePlace(path, text)
	if err != nil {
		return j, refuse("mend the file; begin from one that is sound: ringtrue rules adopt --write FILE", "%v", err)
	}
	return j, nil
}

// placeNamed asks that the file is about a place of the edition, and about the one named.
func placeNamed(e rules.Edition, j rules.Jurisdiction, o adoptRulesOptions) error {
	var p problems
	if found, ok := e.Find(j.Code); !ok || found.Code != j.Code {
		p.addf("nearest: "+e.NearestCode(j.Code), "%s: %q is not a place in edition %s of the local rules", o.from, j.Code, e.Edition)
	}
	if named, ok := e.Find(o.place); o.place != "" && (!ok || named.Code != j.Code) {
		p.addf("leave --place out, or name the right file", "--place %q, and %s is about %q", o.place, o.from, j.Code)
	}
	return p.err()
}

// soundPlace lints the place, and refuses rows left out and rows read on a day that has not come.
func soundPlace(e rules.Edition, code string, changes []rules.Change, today, file string) error {
	var p problems
	for _, c := range changes {
		if c.What == rules.Dropped && !strings.HasPrefix(c.ID, "floor of ") {
			p.addf("an id is never dropped or reused: leave the row in, with ended: DAY", "%s: rule %q is left out", file, c.ID)
		}
	}
	for _, f := range rules.LintPlace(e, code) {
		p.addf("mend the file", "%s: %v", file, f)
	}
	j, _ := e.Find(code)
	for _, r := range j.Rules {
		if r.Adopted != nil && r.Adopted.On == today && r.ReadOn > today {
			p.addf("mend the file", "%s: rule %q was read on %s, a day that has not come", file, r.ID, r.ReadOn)
		}
	}
	if len(changes) == 0 {
		p.addf("name what changes in the file", "%s: nothing differs from the edition in force", file)
	}
	return p.err()
}

// bindsLess asks for a reason, in one line, where numbers of the place bind less than before.
func bindsLess(reason string, looser []string) error {
	if strings.ContainsFunc(reason, unicode.IsControl) {
		return usage("write the reason in one line", "--reason holds a line break, a tab or another character that is not text")
	}
	if len(looser) == 0 || strings.TrimSpace(reason) != "" {
		return nil
	}
	return refuse("add --reason; it stands in the record of the edition", "the rules bind less without a reason: %s", strings.Join(looser, "; "))
}

// nextRules names the new edition after the old one, the place and the day; a second one of that day gets a number.
func (a *app) nextRules(old, place, day string) string {
	base, _, _ := strings.Cut(old, " with ")
	name := base + " with " + place + " of " + day
	for n := 2; a.newEdition(store.KindRules, name) != nil && n < 100; n++ {
		name = fmt.Sprintf("%s with %s of %s, no. %d", base, place, day, n)
	}
	return name
}

// ruleChanges says what differs now.
func ruleChanges(changes []rules.Change, looser []string) []string {
	var notes []string
	for _, what := range []string{rules.Came, rules.Changed, rules.Dropped} {
		var ids []string
		for _, c := range changes {
			if c.What == what && !slices.Contains(ids, c.ID) {
				ids = append(ids, c.ID)
			}
		}
		if len(ids) > 0 {
			notes = append(notes, what+": "+strings.Join(ids, ", "))
		}
	}
	if len(looser) > 0 {
		notes = append(notes, "binds less: "+strings.Join(looser, "; ")+"; house rules keep to old floors until they are adopted anew")
	}
	return notes
}
