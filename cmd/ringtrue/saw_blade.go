package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// fittedBlade is a blade that belongs to a saw: first fitted by an entry, on a day.
type fittedBlade struct {
	upkeep.BladeFitted
	first    training.Ref
	fitted   civil.Day
	scrapped bool
}

// rootOf is the entry that fitted a blade first.
func rootOf(f training.Fact) training.Ref {
	if len(f.Cites) > 0 {
		return f.Cites[0]
	}
	return f.Entry
}

// currentFact finds the last fitting that counts, and the fitting of that blade that came first. ok is false where no
// blade is on.
func currentFact(topics store.Topics, on int64) (last, first training.Fact, ok bool) {
	for _, f := range topics[store.KindBladeFitted] {
		if !f.Struck && !f.Void && f.At <= on {
			last, ok = f, true
		}
	}
	if !ok {
		return last, first, false
	}
	for _, f := range topics[store.KindBladeScrapped] {
		if !f.Struck && f.At <= on && f.At >= last.At && rootOf(f) == rootOf(last) {
			return last, first, false
		}
	}
	for _, f := range topics[store.KindBladeFitted] {
		if f.Entry == rootOf(last) {
			first = f
		}
	}
	return last, first, true
}

// currentBlade is the blade on a saw; one without an id where none is.
func (a *app) currentBlade(s sawAt) (fittedBlade, error) {
	last, first, ok := currentFact(s.topics, s.on)
	if !ok {
		return fittedBlade{}, nil
	}
	b := fittedBlade{first: first.Entry, fitted: first.Day}
	_, err := a.book.Entry(a.ctx, last.Entry, &b.BladeFitted)
	return b, err
}

func newSawBladeCmd(a *app) *cobra.Command {
	var o bladeOptions
	c := &cobra.Command{
		Use:   "blade SAW",
		Short: "Fit a blade to a saw, or scrap one; without either, list the saw's blades",
		Long: `Fit a blade, or scrap one. A blade belongs to its saw from the first fitting until it is scrapped; fitting another one
leaves it with the saw as a spare. What was not said at the fitting is told later with the same command (--fit with --diameter,
say); the blade keeps its settings and filings. A blade whose marked speed is below the spindle's, or unknown, is not fitted. A new
blade is sharpened and set before use. A cracked or bent blade is scrapped, marked, and leaves the site.`,
		Example: `  ringtrue saw blade S11 --fit B31 --rated 13000rpm
  ringtrue saw blade S11 --fit B32 --rated 13000rpm --diameter 225mm --bore 20mm --teeth 24
  ringtrue saw blade S11 --fit B32 --diameter 200mm --corrects "misread"
  ringtrue saw blade S11 --scrap B31 --reason "crack at a tooth root"
  ringtrue saw blade S11`,
		Args: exactly(1, "SAW"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.saw = args[0]
			if o.fit == "" && o.scrap == "" {
				return a.runBladeList(o.saw)
			}
			if err := a.write(); err != nil {
				return err
			}
			d, what, notes, refs, err := a.changeBlade(o)
			if err != nil {
				return err
			}
			return a.done(d.by, refs, d.happened, what, notes...)
		},
	}
	f := c.Flags()
	f.StringVar(&o.fit, "fit", "", "blade to fit")
	f.StringVar(&o.Rated, "rated", "", "highest speed marked on the blade, as 13000rpm")
	f.StringVar(&o.Diameter, "diameter", "", "its diameter, as 225mm (default: the saw's, where it takes one size only)")
	f.StringVar(&o.Bore, "bore", "", "its bore, as 20mm")
	f.IntVar(&o.Teeth, "teeth", 0, "its teeth")
	f.StringVar(&o.Corrects, "corrects", "", "why what was recorded of this blade is wrong; what you say now counts from the day of --at")
	f.StringVar(&o.scrap, "scrap", "", "blade to scrap")
	f.StringVar(&o.reason, "reason", "", "why it was scrapped")
	f.StringVar(&o.at, "at", "", "when; a clock time alone is today's")
	return c
}

type bladeOptions struct {
	upkeep.BladeFitted
	saw, fit, scrap, reason, at string
}

// changeBlade fits or scraps a blade.
func (a *app) changeBlade(o bladeOptions) (d sawDoing, what string, notes []string, refs []training.Ref, err error) {
	var p problems
	d = a.doing(o.saw, o.at, &p)
	if o.fit != "" && o.scrap != "" {
		p.add(usage("scrap one, then fit the other", "--fit and --scrap are two entries"))
	}
	if d.saw.retired && o.fit != "" {
		p.addf("see: ringtrue saw list", "saw %s is retired", d.saw.ID)
	}
	if err = p.err(); err != nil {
		return
	}
	if o.scrap != "" {
		return a.scrapBlade(d, o)
	}
	return a.fitBlade(d, o)
}

func (a *app) fitBlade(d sawDoing, o bladeOptions) (sawDoing, string, []string, []training.Ref, error) {
	var p problems
	rec := o.BladeFitted
	rec.Saw, rec.Blade = d.saw.ID, o.fit
	known, err := a.blade(o.fit, d.asked)
	if err != nil {
		return d, "", nil, nil, err
	}
	switch {
	case known.Blade == "" && rec.Diameter == "" && d.saw.BladeMin == d.saw.BladeMax:
		rec.Diameter = d.saw.BladeMin
	case known.Blade != "":
		p.add(bladeElsewhere(known, d.saw.ID))
		rec, err = sameBlade(known, rec)
		p.add(err)
		rec.First = a.book.Name(known.first)
	}
	said := toldNow(known.BladeFitted, rec)
	if rec.Corrects != "" && known.Blade == "" {
		p.add(usage("leave out --corrects", "nothing was recorded of blade %s yet that could be wrong", o.fit))
	}
	if err := d.saw.CheckBlade(rec); err != nil {
		p.add(refuse("see what the saw takes: ringtrue saw show "+d.saw.ID, "blade %s is not fitted to saw %s: %v", o.fit, d.saw.ID, err))
	} else if err := ratedFor(rec.Rated, d.saw.Spindle); err != nil {
		p.add(refuse("take a blade marked for at least "+d.saw.Spindle, "blade %s is not fitted to saw %s: %v", o.fit, d.saw.ID, err))
	}
	on := d.blade.Blade == o.fit
	if on && said == nil {
		p.addf("see: ringtrue saw blade "+d.saw.ID, "blade %s is on saw %s already", o.fit, d.saw.ID)
	}
	if err := p.err(); err != nil {
		return d, "", nil, nil, err
	}
	if on {
		refs, err := a.append([]ledger.Entry{entry(store.KindBladeFitted, d.happened, d.by.ID, "", "", rec)})
		return d, fmt.Sprintf("blade %s of saw %s: %s", rec.Blade, d.saw.ID, strings.Join(said, ", ")), []string{"it stays on; its settings and filings stand"}, refs, err
	}
	refs, err := a.append([]ledger.Entry{entry(store.KindBladeFitted, d.happened, d.by.ID, "", "", rec)})
	return d, fmt.Sprintf("blade %s is on saw %s", rec.Blade, d.saw.ID), fitNotes(d, rec), refs, err
}

func fitNotes(d sawDoing, rec upkeep.BladeFitted) []string {
	var notes []string
	if d.blade.Blade != "" {
		notes = append(notes, "blade "+d.blade.Blade+" stays with the saw as a spare; scrap it if it is done: --scrap "+d.blade.Blade)
	}
	if rec.First == "" {
		notes = append(notes, "new blade: sharpen and set it before use: ringtrue saw file "+d.saw.ID+" --after new-blade; ringtrue saw set "+d.saw.ID)
	}
	if rec.Diameter == "" {
		notes = append(notes, "its size was not said; the saw takes "+sizesOf(d.saw.Saw))
	}
	notes = append(notes, "the nut by wrench at the start and at mid-day, by hand at each refuelling; guard and direction match the blade")
	if edge := edgeNote(rec.Diameter, d.saw.Spindle); edge != "" {
		notes = append(notes, edge)
	}
	return notes
}

// ratedFor compares the marked speed with the spindle's.
func ratedFor(rated, spindle string) error {
	blade, err := units.Parse(rated, units.Rotation)
	if err != nil {
		return err
	}
	saw, err := units.Parse(spindle, units.Rotation)
	if err != nil {
		return err
	}
	return kickback.Rated(blade.SI(), saw.SI())
}

func bladeElsewhere(known fittedBlade, saw string) error {
	switch {
	case known.scrapped:
		return refuse("take another blade; a scrapped one never runs again", "blade %s was scrapped", known.Blade)
	case known.Saw != saw:
		return refuse("scrap it there first, or give the blade its own id", "blade %s belongs to saw %s until it is scrapped", known.Blade, known.Saw)
	}
	return nil
}

// sameBlade takes what is known of a blade that was fitted before; what is said now must agree with it, or say why it was wrong.
func sameBlade(known fittedBlade, now upkeep.BladeFitted) (upkeep.BladeFitted, error) {
	var p problems
	old := known.BladeFitted
	for _, f := range []struct {
		name     string
		was, say *string
	}{{"diameter", &old.Diameter, &now.Diameter}, {"bore", &old.Bore, &now.Bore}, {"rated speed", &old.Rated, &now.Rated}} {
		if *f.say == "" {
			*f.say = *f.was
		} else if *f.was != "" && *f.say != *f.was && now.Corrects == "" {
			p.addf("give the blade its own id; or, if it was recorded wrongly, say so: --corrects WHY", "blade %s was recorded with %s %s, not %s", known.Blade, f.name, *f.was, *f.say)
		}
	}
	if now.Teeth == 0 {
		now.Teeth = old.Teeth
	}
	return now, p.err()
}

// toldNow says what an entry tells of a blade that was not known, or known otherwise.
func toldNow(old, now upkeep.BladeFitted) (said []string) {
	for _, f := range []struct{ name, was, is string }{{"diameter", old.Diameter, now.Diameter}, {"bore", old.Bore, now.Bore}, {"rated", old.Rated, now.Rated},
		{"teeth", fmt.Sprint(old.Teeth), fmt.Sprint(now.Teeth)}} {
		if f.was == f.is {
			continue
		}
		text := f.name + " " + f.is
		if f.was != "" && f.was != "0" {
			text += " in place of " + f.was
		}
		said = append(said, text)
	}
	return said
}

// blade finds a blade by its id wherever it is; one without an id where nobody knows it.
func (a *app) blade(id string, asked training.Asked) (fittedBlade, error) {
	topics, err := a.book.Facts(a.ctx, asked, store.BladeSubject(id))
	if err != nil {
		return fittedBlade{}, err
	}
	var b fittedBlade
	for _, f := range topics[store.KindBladeFitted] {
		if f.Struck || f.Void || (b.first != 0 && b.first != rootOf(f)) {
			continue
		}
		if b.first == 0 {
			b.first, b.fitted = rootOf(f), f.Day
		}
		if _, err := a.book.Entry(a.ctx, f.Entry, &b.BladeFitted); err != nil {
			return b, err
		}
	}
	for _, f := range topics[store.KindBladeScrapped] {
		b.scrapped = b.scrapped || !f.Struck && b.first != 0 && rootOf(f) == b.first
	}
	return b, nil
}

func (a *app) scrapBlade(d sawDoing, o bladeOptions) (sawDoing, string, []string, []training.Ref, error) {
	var p problems
	known, err := a.blade(o.scrap, d.asked)
	if err != nil {
		return d, "", nil, nil, err
	}
	switch {
	case known.Blade == "":
		p.addf("see: ringtrue saw blade "+d.saw.ID, "no blade %q was ever fitted to a saw of this book", o.scrap)
	case known.scrapped:
		p.addf("nothing to do", "blade %s was scrapped already", o.scrap)
	case known.Saw != d.saw.ID:
		p.addf("name its saw: ringtrue saw blade "+known.Saw+" --scrap "+o.scrap, "blade %s belongs to saw %s", o.scrap, known.Saw)
	}
	if strings.TrimSpace(o.reason) == "" {
		p.add(usage("add --reason", "say why: --reason is empty"))
	}
	if err := p.err(); err != nil {
		return d, "", nil, nil, err
	}
	rec := upkeep.BladeScrapped{Saw: d.saw.ID, Blade: known.Blade, First: a.book.Name(known.first), Reason: o.reason}
	refs, err := a.append([]ledger.Entry{entry(store.KindBladeScrapped, d.happened, d.by.ID, "", "", rec)})
	notes := []string{"mark it, and take it off the site"}
	if d.blade.Blade == known.Blade {
		notes = append(notes, "saw "+d.saw.ID+" has no blade now: ringtrue saw blade "+d.saw.ID+" --fit BLADE")
	}
	return d, "scrapped blade " + known.Blade + " of saw " + d.saw.ID, notes, refs, err
}

// bladeLine is a blade as the list shows it.
type bladeLine struct {
	Blade    string `json:"blade"`
	Diameter string `json:"diameter"`
	Bore     string `json:"bore"`
	Rated    string `json:"rated"`
	Teeth    int    `json:"teeth"`
	Fitted   string `json:"fitted"` // day of the first fitting
	Settings int    `json:"settings"`
	Filings  int    `json:"filings"`
	State    string `json:"state"` // on, spare, scrapped
	Entry    string `json:"entry"`
}

func (a *app) runBladeList(saw string) error {
	if err := a.read(); err != nil {
		return err
	}
	asked, err := a.asked(questionTimes{})
	if err != nil {
		return err
	}
	s, err := a.sawOn(saw, asked)
	if err != nil {
		return err
	}
	lines, err := a.bladeLines(s, asked)
	if err != nil {
		return err
	}
	header := []string{"BLADE", "SIZE", "BORE", "RATED", "FITTED", "SET", "FILED", "STATE"}
	return listing(a, map[string]any{"format": "ringtrue/saw-blades/1", "saw": s.ID, "rows": lines}, header, lines, func(l bladeLine) []string {
		return []string{l.Blade, l.Diameter, l.Bore, l.Rated, l.Fitted, fmt.Sprint(l.Settings), fmt.Sprint(l.Filings), l.State}
	})
}

// bladeLines lists the blades of a saw in the order of their first fitting.
func (a *app) bladeLines(s sawAt, asked training.Asked) ([]bladeLine, error) {
	lines := []bladeLine{}
	roots := map[training.Ref]int{}
	for _, f := range s.topics[store.KindBladeFitted] {
		if f.Struck || f.Void || f.At > asked.On {
			continue
		}
		var rec upkeep.BladeFitted
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return nil, err
		}
		if len(f.Cites) > 0 {
			if i, ok := roots[rootOf(f)]; ok { // what was said of it later counts
				l := &lines[i]
				l.Diameter, l.Bore, l.Rated, l.Teeth = rec.Diameter, rec.Bore, rec.Rated, rec.Teeth
			}
			continue
		}
		roots[f.Entry] = len(lines)
		lines = append(lines, bladeLine{Blade: rec.Blade, Diameter: rec.Diameter, Bore: rec.Bore, Rated: rec.Rated, Teeth: rec.Teeth, Fitted: f.Day.String(), State: "spare", Entry: a.book.Short(f.Entry)})
	}
	count := func(facts []training.Fact, each func(*bladeLine, training.Fact)) {
		for _, f := range facts {
			if i, ok := roots[rootOf(f)]; ok && !f.Struck && f.At <= asked.On {
				each(&lines[i], f)
			}
		}
	}
	count(s.topics[store.KindSetting], func(l *bladeLine, _ training.Fact) { l.Settings++ })
	if last, _, ok := currentFact(s.topics, asked.On); ok {
		count([]training.Fact{last}, func(l *bladeLine, _ training.Fact) { l.State = "on" })
	}
	count(s.topics[store.KindBladeScrapped], func(l *bladeLine, _ training.Fact) { l.State = "scrapped" })
	for m := range months(s.firstUse(), asked.Day) {
		facts, err := a.book.Topic(a.ctx, asked, store.SawMonthSubject(m, s.ID), store.KindFiling)
		if err != nil {
			return nil, err
		}
		count(facts, func(l *bladeLine, f training.Fact) { l.Filings += int(f.Code) })
	}
	return lines, nil
}
