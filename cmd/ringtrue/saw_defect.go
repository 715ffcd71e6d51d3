package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

type defectOptions struct{ saw, what, finder, note, found, at string }

func newSawDefectCmd(a *app) *cobra.Command {
	var o defectOptions
	c := &cobra.Command{
		Use:   "defect SAW WHAT",
		Short: "Record a defect that was found; some stop the saw at once",
		Long:  "Record a defect. Those that stop the saw take it out of use from the moment it was found, until it is cleared by name.\n\n" + defectHelp(),
		Example: `  ringtrue saw defect S11 guard --found 11:40
  ringtrue saw defect S11 crack --found 11:40 --by ana --note "two teeth from the mark"`,
		Args: exactly(2, "SAW WHAT"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw, o.what = args[0], meantWord(args[1], upkeep.DefectIDs())
			d, rec, refs, err := a.defect(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, "saw "+d.saw.ID+": "+defectWords(rec)+", found by "+a.short(rec.By), defectNotes(d.saw.ID, rec)...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.found, "found", "", "when it was found; a clock time alone is today's")
	f.StringVar(&o.finder, "by", "", "who found it (default: who records it)")
	f.StringVar(&o.note, "note", "", "anything to add")
	f.StringVar(&o.at, "at", "", "the same as --found")
	return c
}

func defectHelp() string {
	var b strings.Builder
	for _, k := range upkeep.DefectKinds() {
		stops := ""
		if k.Stops {
			stops = " [stops the saw]"
		}
		fmt.Fprintf(&b, "  %-14s  %s%s\n", k.ID, k.Words, stops)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func defectNotes(saw string, rec upkeep.Defect) []string {
	k, _ := upkeep.DefectByID(rec.What)
	var notes []string
	if rec.Stops {
		notes = append(notes, "OUT OF USE from now on, until cleared by name: ringtrue saw clear "+saw+` --done "what was done"`)
	}
	if k.Scrap {
		notes = append(notes, "the blade is scrapped, not mended: ringtrue saw blade "+saw+" --scrap "+orWord(rec.Blade, "BLADE")+` --reason "`+k.Words+`"`)
	}
	if !rec.Stops {
		notes = append(notes, `it does not stop the saw by itself; anybody may: ringtrue saw tag `+saw+` --reason "why"`)
	}
	return notes
}

func orWord(text, otherwise string) string {
	if text == "" {
		return otherwise
	}
	return text
}

// defect records what was found wrong. A refusal does not lose the stop: it prints the command that tags the saw.
func (a *app) defect(o defectOptions) (sawDoing, upkeep.Defect, []training.Ref, error) {
	var p problems
	when := o.found
	if when == "" {
		when = o.at
	} else if o.at != "" {
		p.add(usage("give one of them", "--found and --at are the same"))
	}
	d := a.doing(o.saw, when, &p)
	rec := upkeep.Defect{Saw: d.saw.ID, What: o.what, By: d.by.ID, Note: o.note}
	kind, known := upkeep.DefectByID(o.what)
	if !known {
		next := "defects are: " + strings.Join(upkeep.DefectIDs(), ", ")
		if near := nearestID(o.what, upkeep.DefectIDs()); near != "" {
			next = "nearest: " + near + "; all: " + strings.Join(upkeep.DefectIDs(), ", ")
		}
		p.add(usage(next, "no defect %q is known", o.what))
	}
	rec.Stops = kind.Stops
	if o.finder != "" {
		who, err := a.person(o.finder)
		p.add(err)
		rec.By = who.ID
	}
	if o.what == upkeep.Other && strings.TrimSpace(o.note) == "" {
		p.add(usage("add --note", "say what it is: --note is empty"))
	}
	if err := p.err(); err != nil {
		return d, rec, nil, withTag(err, o, kind, known)
	}
	if d.blade.Blade != "" {
		rec.Blade, rec.First = d.blade.Blade, a.book.Name(d.blade.first)
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindDefect, d.happened, d.by.ID, "", "", rec)})
	return d, rec, refs, err
}

// withTag adds to a refusal the command that stops the saw all the same.
func withTag(err error, o defectOptions, kind upkeep.DefectKind, known bool) error {
	f, ok := err.(*failure)
	if !ok || (known && !kind.Stops) {
		return err
	}
	f.next += fmt.Sprintf("\nanybody may stop the saw:\n  ringtrue saw tag %s --reason %q", o.saw, orWord(kind.Words, o.what))
	return f
}

type tagOptions struct{ saw, reason, told, at string }

func newSawTagCmd(a *app) *cobra.Command {
	var o tagOptions
	c := &cobra.Command{
		Use:   "tag SAW",
		Short: "Take a saw out of use, from now on",
		Long: `Take a saw out of use until it is cleared by name. Anybody may do this, in person or by phone: no appointment, evidence or
key is asked, and it counts at once. A saw that is not on the list is tagged by the id given.`,
		Example: `  ringtrue saw tag S11 --reason "smells of fuel" --as ana`,
		Args:    exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			o.saw = args[0]
			d, refs, notes, err := a.tagSaw(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, "saw "+d.saw.ID+" is out of use, until cleared by name", notes...)
		},
	}
	c.Flags().StringVar(&o.reason, "reason", "", "why")
	c.Flags().StringVar(&o.told, "told", "in person", `how it was told: "in person" or "by phone"`)
	c.Flags().StringVar(&o.at, "at", "", clockHelp)
	return c
}

// mostOfAName keeps the id of an unlisted saw from filling an entry (company choice).
const mostOfAName = 60

// tagSaw takes a saw out of use. Nothing but which, and when it was said, can be wrong.
func (a *app) tagSaw(o tagOptions) (d sawDoing, refs []training.Ref, notes []string, err error) {
	var p problems
	d.by, err = a.actor()
	p.add(err)
	d.happened, err = a.happened(a.todayAt(o.at))
	p.add(err)
	p.add(sawName(o.saw))
	list, err := a.saws(a.knownNow(1 << 20))
	p.add(err)
	if err = p.err(); err != nil {
		return
	}
	d.saw.sawCard, err = pickSaw(list, o.saw)
	if err != nil {
		d.saw.ID = o.saw
		if len(list) > 0 {
			notes = append(notes, fmt.Sprintf("no saw %q is on the list (%s); the tag stands for the id given", o.saw, hint(o.saw, sawIDs(list), "saw list")))
		}
	}
	o.reason, notes = reasonSaid(o.reason, notes)
	refs, err = a.append([]ledger.Entry{entry(store.KindTag, d.happened, d.by.ID, "", "", upkeep.Tag{Saw: d.saw.ID, Reason: o.reason, Told: o.told})})
	return
}
