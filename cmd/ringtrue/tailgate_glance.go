package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"example.org/ringtrue/cmd/ringtrue/internal/glance"
	"example.org/ringtrue/hazards"
	"example.org/ringtrue/training"
)

// depth is how much of a check is shown: one screen, the reasons of all or of one person or finding, or everything.
type depth struct {
	full bool
	why  string // "" = not asked
}

// everyReason is the value of --why without one.
const everyReason = "all"

func depthFlags(c *cobra.Command, o *depth) {
	f := c.Flags()
	f.BoolVar(&o.full, "full", false, "all of it: every finding with reasons, rules and clauses, in place of one screen")
	f.StringVar(&o.why, "why", "", "only the reasons, clauses and entries: of everything, or of one NAME or FINDING")
	f.Lookup("why").NoOptDefVal = everyReason
}

// subject takes the name or finding behind --why, which a flag with an optional value leaves among the arguments.
func (o *depth) subject(args []string, mostOthers int) ([]string, error) {
	if o.full && o.why != "" {
		return nil, usage("ask for one of them", "--full and --why do not go together")
	}
	if o.why == everyReason && len(args) > 0 && (mostOthers == 0 || len(args) > mostOthers || !isEntry(args[0])) {
		o.why, args = args[len(args)-1], args[:len(args)-1]
	}
	if len(args) > mostOthers {
		return nil, usage("see --help", "too much is named: %s", strings.Join(args, " "))
	}
	return args, nil
}

// isEntry reports whether a text is written as an entry is: a number, or a number behind the ledger's name.
func isEntry(text string) bool {
	number := text[strings.LastIndex(text, "#")+1:]
	return number != "" && strings.Trim(number, "0123456789") == ""
}

// lookSize is the size of the terminal, and that of a pipe where there is none.
func (a *app) lookSize() glance.Size {
	f, ok := screenOf(a.out)
	if !ok {
		return glance.Plain
	}
	wide, high, err := term.GetSize(int(f.Fd()))
	if err != nil || wide < narrowest || high == 0 {
		return glance.Plain
	}
	return glance.Size{Wide: min(wide, widestGlance), High: max(high, glance.Plain.High)}
}

// widestGlance keeps lines readable on a wide screen (company choice).
const widestGlance = 100

// short is how somebody is called: the short id, written as the name is.
func (p *people) short(id string) string {
	one, ok := p.byID[id]
	if !ok {
		return id
	}
	for _, word := range append(strings.Fields(one.Name), one.Name) {
		if slug(plain(word)) == one.Handle {
			return word
		}
	}
	return one.Handle
}

// glance prints one screen of a day: with a change, as it stands since then.
func (a *app) glance(day course, ans hazards.Assessment, one *changeEntry, m glance.Morning, show string) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	m.Changed = day.Changed
	card, _, err := a.card(ans.Block, a.knownNow(1<<20))
	if err != nil {
		return err
	}
	m.Name, m.BlockName, m.Card, m.Controls = people.short, card.Name, card, day.sheet().Controls
	m.When, m.Unsigned = day.happened.In(a.book.Zone()), a.unsigned(day.ref)
	if one != nil {
		m.When, m.Decided, m.Unsigned = one.happened.In(a.book.Zone()), a.decision(day, *one), a.unsigned(one.ref)
		m.Changed = one.Changed
		if m.Decided.Word == glance.Stopped {
			ans = nobodySaws(ans)
		}
	}
	m.Changed = eachOf(m.Changed, func(s string) string { return inShort(people, s) })
	m.Rest = glance.Rest{Why: show + " --why", Full: "--full", Print: "ringtrue tailgate print --block " + day.Block + " -o crew.html"}
	above := 0
	if a.opening.Demo {
		above = 1
	}
	a.mark()
	for _, line := range glance.Of(ans, m).Lines(a.voice(), a.lookSize(), above) {
		fmt.Fprintln(a.out, line)
	}
	if one != nil {
		a.recordLine(one.ref, one.by, one.happened, one.recorded, people)
	} else {
		a.recordLine(day.ref, day.by, day.happened, day.recorded, people)
	}
	return nil
}

// recordLine names the entry behind a screen in a pipe, where scripts go on from it. At a terminal --why names it.
func (a *app) recordLine(ref training.Ref, by string, happened, recorded time.Time, people *people) {
	if !terminal(a.out) {
		a.say("%s%s", a.said("show.entry", a.book.Short(ref), a.inWords(a.signedText(ref, people.handle(by)))), a.apart(happened, recorded))
	}
}

// decision is what was decided on the ground: the decision that stands, of an earlier change where that one still holds. It leads with
// its own word where it is stricter than what was computed.
func (a *app) decision(day course, one changeEntry) *glance.Decision {
	w := a.wordOf(day)
	for _, c := range day.changes {
		if c.Decision == w.Decided.Words && c.DecidedBy == w.Decided.By {
			one = c
		}
	}
	d := a.decided(day, one)
	if w.ByDecision() {
		d.Word = glance.Stopped
	}
	return d
}

func (a *app) decided(day course, one changeEntry) *glance.Decision {
	return &glance.Decision{At: one.happened.In(a.book.Zone()), By: one.DecidedBy, What: one.What + note(" to ", one.MovedTo) + note(": ", one.Words), Text: one.Decision,
		Told: one.Told, NotTold: day.notTold(one.Told, one.DecidedBy)}
}

// unsigned reports whether nobody's signature stands under an entry. A signature that cannot be trusted is none.
func (a *app) unsigned(ref training.Ref) bool {
	h, err := a.book.Entry(a.ctx, ref, nil)
	if err != nil || h.Key == "" {
		return true
	}
	keys, err := a.keyring()
	return err != nil || a.book.CheckSignature(a.ctx, keys, ref) != nil
}

// inShort writes everybody named in a recorded text as they are called.
func inShort(p *people, s string) string {
	return namedPerson.ReplaceAllStringFunc(s, func(m string) string { return p.short(m[1 : len(m)-1]) })
}

// showCommand shows a check again: by its block where it is the newest of it, else by its entry.
func (a *app) showCommand(t tailgate) string {
	last, ok, err := a.lastTailgate(t.Block)
	if err == nil && ok && last.ref == t.ref {
		return "ringtrue tailgate show --block " + t.Block
	}
	return "ringtrue tailgate show " + a.book.Short(t.ref)
}

// presentNotes are who joined besides the crew of the sheet.
func (a *app) presentNotes(day course, people *people) []string {
	var out []string
	for _, v := range day.Sheet.Visitors {
		out = append(out, a.said("glance.visitor", v.Name, orWord(people.short(v.With), "-")))
	}
	for _, j := range day.joined {
		switch clock := strings.TrimSpace(j.Happened); {
		case j.Visitor != "":
			out = append(out, a.said("glance.visitor", j.Visitor, people.short(j.BriefedBy)))
		case j.Late:
			out = append(out, a.said("glance.late", people.short(j.Worker), a.clockOf(clock), people.short(j.BriefedBy)))
		}
	}
	return out
}

// clockOf is the clock time of a moment in the book's zone.
func (a *app) clockOf(moment string) string {
	_, clock, _ := strings.Cut(a.clock(moment), " ")
	return orWord(clock, moment)
}

// notJoined lists who stands on the sheet and has not acknowledged the check.
func (c course) notJoined() []string {
	have := map[string]bool{}
	for _, j := range c.joined {
		have[j.Worker] = true
	}
	var out []string
	for _, l := range c.sheet().Crew {
		if !have[l.Worker] {
			out = append(out, l.Worker)
		}
	}
	return out
}

// nobodySaws is an answer on a day on which saws were taken off: who may saw by the answers alone may not.
func nobodySaws(ans hazards.Assessment) hazards.Assessment {
	ans.May = slices.Clone(ans.May)
	for i := range ans.May {
		ans.May[i].Level = training.NoSaw
	}
	return ans
}
