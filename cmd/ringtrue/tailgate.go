package main

import (
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newTailgateCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "tailgate",
		Short: "The daily hazard check before the saws start",
		Long: `The daily hazard check before the saws start. A day goes: check (it asks at a terminal; or sheet, fill in, check --from),
join, then change and checkin as the day brings them, close. show and print read it again.

It ranks what to talk about first; it does not say that work is safe.`,
	}
	c.AddCommand(newSheetCmd(a), newCheckCmd(a), newJoinCmd(a), newChangeCmd(a), newCheckInCmd(a), newCloseCmd(a), newTailgateShowCmd(a), newTailgatePrintCmd(a))
	return c
}

// tailgateRecord is a check as it stands in the ledger: the sheet with people as ids, and the answer.
type tailgateRecord struct {
	Block      string             `json:"block"`
	Sheet      hazards.Sheet      `json:"sheet"`
	Assessment hazards.Assessment `json:"assessment"`
	Knows      string             `json:"knows"`   // how far the book knew
	Changed    []string           `json:"changed"` // answers that differ from the check before it on that day
}

// tailgate is a recorded check.
type tailgate struct {
	ref      training.Ref
	by       string
	happened time.Time
	recorded time.Time
	tailgateRecord
}

func (a *app) tailgate(ref training.Ref) (tailgate, error) {
	t := tailgate{ref: ref}
	h, err := a.book.Entry(a.ctx, ref, &t.tailgateRecord)
	t.by, t.happened, t.recorded = h.By, h.Happened, h.Recorded
	return t, err
}

// lastTailgate reads only the newest check of a block.
func (a *app) lastTailgate(block string) (t tailgate, ok bool, err error) {
	facts, err := a.book.Topic(a.ctx, a.knownNow(1<<20), store.BlockSubject(block), store.KindTailgate)
	if err != nil {
		return t, false, err
	}
	for i := len(facts) - 1; i >= 0; i-- {
		if !facts[i].Struck {
			t, err = a.tailgate(facts[i].Entry)
			return t, err == nil, err
		}
	}
	return t, false, nil
}

func newSheetCmd(a *app) *cobra.Command {
	var block, out, day, lang string
	var blank bool
	c := &cobra.Command{
		Use:   "sheet",
		Short: "Write a day sheet to fill in, blank or carried forward",
		Long: `Write a day sheet for a block: commented YAML to fill in with any editor, or to print. Stable answers are carried
forward from the block's last sheet and marked with their day. Never carried: wires, hung-up and wind-thrown trees,
public, neighbours, call test, first aider, weather, who is here, fit for work, and the questions of events that are not closed.`,
		Example: "  ringtrue tailgate sheet --block B7 -o day.yaml",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := firstError(a.speak(lang), a.read()); err != nil {
				return err
			}
			text, err := a.sheet(block, day, blank)
			if err != nil {
				return err
			}
			text = a.sheetWords(text)
			if out == "" || out == "-" {
				_, err := a.out.Write(text)
				return err
			}
			if err := a.writeFile(out, text); err != nil {
				return err
			}
			a.say("wrote %s; fill it in, then: ringtrue tailgate check --from %s", out, out)
			return nil
		},
	}
	f := c.Flags()
	f.StringVar(&block, "block", "", "block (required)")
	f.StringVarP(&out, "output", "o", "", "file to write (default: standard output)")
	f.StringVar(&day, "day", "", "day of the sheet (default: today)")
	f.BoolVar(&blank, "blank", false, "carry nothing forward")
	langFlag(c, &lang)
	return c
}

// writeFile writes a new file whole; it replaces nothing.
func (a *app) writeFile(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if err != nil {
		return refuse("name another file with -o, or move the old one away", "write %s: %v", path, err)
	}
	_, err = f.Write(text)
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		_ = os.Remove(path)
	}
	return err
}

// sheet makes the text of a day sheet.
func (a *app) sheet(block, dayText string, blank bool) ([]byte, error) {
	if block == "" {
		return nil, usage("see: ringtrue block list", "a sheet is for a block: --block is missing")
	}
	if err := a.knownBlock(block); err != nil {
		return nil, err
	}
	card, _, err := a.card(block, a.knownNow(0))
	if err != nil {
		return nil, err
	}
	day, err := parseDay("day", dayText)
	if err != nil {
		return nil, err
	}
	if day == civil.None {
		day = civil.Of(a.now(), a.book.Zone())
	}
	h, err := a.sheetHints(card, blank, day)
	if err != nil {
		return nil, err
	}
	s := hazards.Sheet{Block: card.ID, BlockEdition: card.Edition, Day: day.String()}
	return hazards.WriteSheet(s, h), nil
}

// sheetHints gathers what helps to fill in the sheet.
func (a *app) sheetHints(card hazards.Block, blank bool, day civil.Day) (hazards.Hints, error) {
	h := hazards.Hints{Block: card}
	asked := a.knownNow(day)
	list, err := a.crewList(asked)
	if err != nil {
		return h, err
	}
	people, err := a.crew()
	if err != nil {
		return h, err
	}
	for _, w := range list {
		if w.Left == "" {
			h.People = append(h.People, people.handle(w.Worker))
		}
	}
	std, err := a.standards(asked)
	if err != nil {
		return h, err
	}
	for _, g := range std.Groups {
		h.Groups = append(h.Groups, g.ID)
	}
	if h.Saws, err = a.sawHints(asked); err != nil {
		return h, err
	}
	if h.Asks, err = a.sheetQuestions(card.ID, day.String()); err != nil {
		return h, err
	}
	if blank {
		return h, nil
	}
	err = a.lastHints(&h, people)
	return h, err
}

// lastHints takes the block's last sheet, and its saws where the book keeps none.
func (a *app) lastHints(h *hazards.Hints, people *people) error {
	last, ok, err := a.lastTailgate(h.Block.ID)
	if err != nil || !ok {
		return err
	}
	shown := last.Sheet.WithPeople(people.handle)
	h.Last = &shown
	if len(h.Saws) > 0 {
		return nil
	}
	for _, s := range shown.Saws {
		h.Saws = append(h.Saws, s.ID)
	}
	return nil
}

func newCheckCmd(a *app) *cobra.Command {
	var from, lang string
	c := &cobra.Command{
		Use:   "check [--from SHEET]",
		Short: "Assess a filled day sheet, record the answer and say who may do what",
		Long: `Assess a filled day sheet: go, go with controls, or hold, with reasons. The answer is recorded with the sheet. It
ranks what to talk about first; it does not say that work is safe.

Without --from, at a terminal, it asks: what was stable on the block's last sheet is shown with its day, everything else
is asked afresh. Control-C keeps the answers for two hours and records nothing.

Exit status: 0 go or go with controls, 3 hold, 1 refused (nothing recorded).`,
		Example: "  ringtrue tailgate check --from day.yaml\n  ringtrue tailgate check --from day.yaml --json",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if from == "" && !a.attended() {
				return usage("write one first: ringtrue tailgate sheet --block B7 -o day.yaml", "--from is missing: which sheet")
			}
			if err := firstError(a.speak(lang), a.write()); err != nil {
				return err
			}
			check := a.askTailgate
			if from != "" {
				check = func() (tailgate, error) { return a.check(from) }
			}
			t, err := check()
			if err != nil {
				return err
			}
			if err := a.printTailgate(t); err != nil {
				return err
			}
			a.readAgain(t)
			if t.Assessment.Answer == hazards.Hold {
				return answerNo()
			}
			return nil
		},
	}
	c.Flags().StringVar(&from, "from", "", "the filled sheet (in a pipe required)")
	langFlag(c, &lang)
	return c
}

// readAgain ends a check at a terminal with its answer, which may have left the screen by then.
func (a *app) readAgain(t tailgate) {
	if terminal(a.out) && !a.json {
		a.say("\n%s; read it again: ringtrue tailgate show %s", strings.ToUpper(string(t.Assessment.Answer)), a.book.Short(t.ref))
	}
}

// check reads, assesses and records a day sheet.
func (a *app) check(path string) (tailgate, error) {
	text, err := readSmall(path, hazards.MaxSheet)
	if err != nil {
		return tailgate{}, err
	}
	return a.checkSheetText(path, text)
}

// checkSheetText assesses and records the text of a filled sheet; name stands before every problem.
func (a *app) checkSheetText(name string, text []byte) (tailgate, error) {
	sheet, err := a.readSheet(name, text)
	if err != nil {
		return tailgate{}, err
	}
	return a.checkSheet(sheet)
}

// readSheet reads the text of a filled sheet with what the book knows; name stands before every problem.
func (a *app) readSheet(name string, text []byte) (sheet hazards.Sheet, err error) {
	asks, err := a.eventQuestions(a.book.Short)
	if err != nil {
		return sheet, err
	}
	known, err := a.sheetKnows()
	if err != nil {
		return sheet, err
	}
	if sheet, err = hazards.ParseSheetFor(name, text, known, asks...); err != nil {
		return sheet, refuse("mend the sheet and check it again; nothing was recorded", "%v", err)
	}
	return sheet, nil
}

func readSmall(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, refuse("name the filled sheet with --from", "read the sheet: %v", err)
	}
	if info.Size() > limit {
		return nil, refuse("a day sheet is a small text file", "read the sheet: %s has %d bytes, more than %d", path, info.Size(), limit)
	}
	return os.ReadFile(path)
}

// checkSheet assesses and records a sheet that has been read.
func (a *app) checkSheet(sheet hazards.Sheet) (tailgate, error) {
	in, happened, fresh, err := a.assessable(sheet)
	if err != nil {
		return tailgate{}, err
	}
	return a.recordTailgate(in, happened, fresh)
}

// assessable gathers what the assessment of a sheet takes, with the fire days that it adds to the book.
func (a *app) assessable(sheet hazards.Sheet) (in hazards.Input, happened time.Time, fresh []hazards.FireDay, err error) {
	var p problems
	sheet = sheet.WithPeople(func(name string) string {
		who, err := a.person(name)
		p.add(err)
		return who.ID
	})
	happened, err = a.sheetTime(sheet)
	p.add(err)
	p.add(a.knownBlock(sheet.Block))
	p.add(a.sawsOnList(sheet))
	if err := p.err(); err != nil {
		return in, happened, nil, err
	}
	in, std, err := a.assessmentInput(sheet, happened)
	if err != nil {
		return in, happened, nil, err
	}
	for _, c := range sheet.Crew {
		if c.Group != "" {
			_, err := std.group(c.Group)
			p.add(err)
		}
	}
	if err := hazards.Check(in); err != nil {
		p.add(refuse("write a new sheet: ringtrue tailgate sheet --block "+sheet.Block, "%v", err))
	}
	fresh, err = freshFireDays(in)
	p.add(err)
	in.FireDays = append(in.FireDays, fresh...)
	return in, happened, fresh, p.err()
}

// sheetTime is the moment the sheet names, which may lie back but not ahead.
func (a *app) sheetTime(s hazards.Sheet) (time.Time, error) {
	at, err := time.ParseInLocation("2006-01-02 15:04", s.Day+" "+s.At, a.book.Zone())
	if err != nil {
		return at, refuse("write day: YYYY-MM-DD and at: HH:MM", "the sheet names no moment that exists: %s %s", s.Day, s.At)
	}
	if now := a.now(); at.After(now) {
		return at, refuse("check it when it is that late", "the sheet is for %s; it is %s now", a.local(at), a.local(now))
	}
	return at, nil
}

func (a *app) recordTailgate(in hazards.Input, happened time.Time, fresh []hazards.FireDay) (tailgate, error) {
	rec := tailgateRecord{Block: in.Sheet.Block, Sheet: in.Sheet, Assessment: hazards.Assess(in), Changed: []string{}}
	rec.Sheet.Visitors = append([]hazards.Visitor{}, rec.Sheet.Visitors...) // an entry holds no nulls
	rec.Sheet.Controls = append([]hazards.Control{}, rec.Sheet.Controls...)
	var err error
	if rec.Knows, err = a.knows(); err != nil {
		return tailgate{}, err
	}
	last, ok, err := a.lastTailgate(in.Sheet.Block)
	if err != nil {
		return tailgate{}, err
	}
	if ok && last.Sheet.Day == in.Sheet.Day {
		marked := func(id string) string { return "{" + id + "}" } // as in the texts of an assessment
		rec.Changed = append(rec.Changed, hazards.Changed(last.Sheet.WithPeople(marked), in.Sheet.WithPeople(marked))...)
	}
	es := append(a.fireEntries(fresh, in.Sheet.By, happened), entry(store.KindTailgate, happened, in.Sheet.By, "", "", rec))
	refs, err := a.append(es)
	if err != nil {
		return tailgate{}, err
	}
	return a.tailgate(refs[len(refs)-1])
}

// assessmentInput gathers what an assessment depends on: the card, the people with what they may do, the rules.
func (a *app) assessmentInput(sheet hazards.Sheet, happened time.Time) (hazards.Input, standards, error) {
	day := civil.Of(happened, a.book.Zone())
	asked := training.Asked{Day: day, On: happened.Unix(), Known: a.knownNow(day).Known}
	if now := a.now(); civil.Of(now, a.book.Zone()) == day {
		asked.On = max(asked.On, now.Unix()) // a stop told after the sheet was filled in counts as well
	}
	in := hazards.Input{Sheet: sheet, Now: a.now().In(a.book.Zone())}
	std, err := a.standards(asked)
	if err != nil {
		return in, std, err
	}
	in.House = std.House
	if in.Block, _, err = a.card(sheet.Block, asked); err != nil {
		return in, std, err
	}
	for _, c := range sheet.Crew {
		w, err := a.worker(c, in.Block, std, asked)
		if err != nil {
			return in, std, err
		}
		in.People = append(in.People, w)
	}
	if in.Sheet.Events, in.Asks, err = a.eventsAnswered(sheet); err != nil {
		return in, std, err
	}
	if in.Absent, err = a.absent(sheet); err != nil {
		return in, std, err
	}
	if in.Devices, err = a.devices(); err != nil {
		return in, std, err
	}
	if err := a.place(&in, asked); err != nil {
		return in, std, err
	}
	if in.KnownSaws, err = a.knownSaws(sheet, asked); err != nil {
		return in, std, err
	}
	in.Rules, err = a.rulesByTopic(asked)
	return in, std, err
}

// rulesByTopic cites the local rules of the book's place.
func (a *app) rulesByTopic(asked training.Asked) (map[string][]string, error) {
	edition, err := a.localRules(asked)
	if err != nil {
		return nil, err
	}
	out := map[string][]string{}
	for _, r := range edition.For(a.opening.Jurisdiction, "") {
		if r.Ended != "" {
			continue
		}
		cite := strings.TrimSpace(r.Instrument+" "+r.Clause) + inRound(unread(r.TextRead()))
		for _, topic := range append([]string{r.Topic}, r.Also...) {
			out[topic] = append(out[topic], cite)
		}
	}
	return out, nil
}

func unread(read bool) string {
	if read {
		return ""
	}
	return "not read in its text"
}

func inRound(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}
