package main

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// evidenceLine is one entry of the book about a worker.
type evidenceLine struct {
	Entry    string          `json:"entry"`
	Kind     string          `json:"kind"`
	Skill    string          `json:"skill,omitempty"`
	Happened string          `json:"happened"`
	Recorded string          `json:"recorded"`
	By       string          `json:"by"`
	What     string          `json:"what"`
	Data     json.RawMessage `json:"data"`
	Struck   *struckLine     `json:"struck"`

	Key       string `json:"key"`       // it was signed with, "" = not signed
	Signature string `json:"signature"` // "good", or why it cannot be trusted

	Against string `json:"against,omitempty"` // of the use of a saw: what the book said against it

	Says []statement `json:"says,omitempty"` // what the worker says about it

	ref training.Ref
}

// struckLine says who struck an entry, when and why.
type struckLine struct {
	Entry    string `json:"entry"`
	By       string `json:"by"`
	Recorded string `json:"recorded"`
	Reason   string `json:"reason"`
}

type evidenceAnswer struct {
	Format    string         `json:"format"`
	Worker    string         `json:"worker"`
	On        string         `json:"on"`
	Known     string         `json:"known"`
	Knows     string         `json:"knows"`
	Standings []standingRow  `json:"standings"`
	Entries   []evidenceLine `json:"entries"`
	PPE       []pieceLine    `json:"ppe"`
}

func newEvidenceCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "evidence", Short: "Everything the book holds behind a worker's standing, and saws used against what it said"}
	c.AddCommand(newEvidenceShowCmd(a), newEvidenceAgainstCmd(a), newEvidencePrintCmd(a), newEvidenceCopyCmd(a), newEvidenceCheckCmd(a))
	return c
}

func newEvidenceShowCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:   "show WORKER",
		Short: "Show all entries behind a worker's standing on a day, as known then",
		Long: `Show everything the book held about a worker on a day, as known then: training, observations with their criteria,
decisions, restrictions, equipment, tailgates joined; struck entries shown as struck, with who, when and why; and
where the worker stood with each skill.`,
		Example: `  ringtrue evidence show ben --on 2026-07-14 --known 2026-07-14
  ringtrue evidence show ben --on 2026-07-14T10:40 --known 2026-07-14T10:40`,
		Args: exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			defer hurry()()
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			who, err := a.person(args[0])
			if err != nil {
				return err
			}
			ans, err := a.evidence(who.ID, std, asked)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(ans)
			}
			return a.evidenceText(ans, std)
		},
	}
	questionFlags(c, &q)
	return c
}

// evidence gathers the answer for one worker.
func (a *app) evidence(worker string, std standards, asked training.Asked) (evidenceAnswer, error) {
	var ans evidenceAnswer
	topics, err := a.book.Facts(a.ctx, asked, worker)
	if err != nil {
		return ans, err
	}
	people, err := a.crew()
	if err != nil {
		return ans, err
	}
	head, err := a.standingAnswer(standingOptions{}, std, asked, []string{worker})
	if err != nil {
		return ans, err
	}
	ans = evidenceAnswer{Format: "ringtrue/evidence/1", Worker: worker, On: head.On, Known: head.Known, Knows: head.Knows, Standings: head.Rows, Entries: []evidenceLine{}}
	var all []training.Fact
	for _, facts := range topics {
		all = append(all, facts...)
	}
	all = slices.DeleteFunc(all, func(f training.Fact) bool { return f.At > asked.On })
	training.Sort(all)
	if _, err := a.keyring(); err != nil { // read once, for both sides
		return ans, err
	}
	ans.Entries, err = sideBySide(a, all, func(b *store.Book, f training.Fact, into []evidenceLine) ([]evidenceLine, error) {
		line, err := a.evidenceLine(b, f, people, asked)
		return append(into, line), err
	})
	if err != nil {
		return ans, err
	}
	if err := a.markAgainst(ans.Entries, worker, asked); err != nil {
		return ans, err
	}
	if err := a.addStatements(ans.Entries, worker, asked); err != nil {
		return ans, err
	}
	ans.PPE, err = a.pieceLines(worker, asked)
	return ans, err
}

// evidenceLine reads one entry, and what struck it, from b.
func (a *app) evidenceLine(b *store.Book, f training.Fact, people *people, asked training.Asked) (evidenceLine, error) {
	h, err := b.Entry(a.ctx, f.Entry, nil)
	if err != nil {
		return evidenceLine{}, err
	}
	line := evidenceLine{Entry: a.book.Short(f.Entry), Kind: h.Kind, Skill: h.Skill, Happened: a.moment(f.At), Recorded: h.Recorded.Format(time.RFC3339),
		By: h.By, Data: slices.Clone(h.Data), ref: f.Entry}
	line.What = summary(h, people)
	line.Key, line.Signature = h.Key, a.signature(b, f.Entry, h)
	if !f.Struck {
		return line, nil
	}
	by, _, err := b.StruckBy(a.ctx, f.Entry, asked.Known)
	if err != nil {
		return line, err
	}
	sh, err := b.Entry(a.ctx, by, nil)
	if err != nil {
		return line, err
	}
	line.Struck = &struckLine{a.book.Short(by), sh.By, sh.Recorded.Format(time.RFC3339), ledger.Text(ledger.Lookup(sh.Data, "reason"))}
	return line, nil
}

func (a *app) evidenceText(ans evidenceAnswer, std standards) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	a.oneStanding(standingAnswer{On: ans.On, Known: ans.Known, Rows: ans.Standings}, std, people)
	a.looserText(std.Rules.Looser)
	a.say("")
	a.say("what it rests on:")
	for _, e := range ans.Entries {
		a.evidenceEntry(e, people)
	}
	a.say("")
	a.say("equipment:")
	for _, p := range ans.PPE {
		a.say("  %-10s %s%s%s", p.State, p.Item, note(", ", p.Standard), note(", entry ", p.Entry))
	}
	a.say("%s", ans.Knows)
	return nil
}

func (a *app) evidenceEntry(e evidenceLine, people *people) {
	skill := note(" ", e.Skill)
	happened := e.Happened[:len("2006-01-02T15:04")]
	if terminal(a.out) {
		happened = strings.Replace(happened, "T", " ", 1)
	}
	a.say("  %s  entry %s%s: %s; by %s%s%s", happened, e.Entry, skill, e.What, people.handle(e.By), a.signedBy(e.Key, e.Signature), a.late(e))
	if e.Against != "" {
		a.say("      AGAINST: %s", e.Against)
	}
	for _, l := range saysLines(e.Says, people) {
		a.say("      %s", l)
	}
	if e.Struck != nil {
		a.say("      STRUCK by entry %s of %s (%s): %s", e.Struck.Entry, people.handle(e.Struck.By), e.Struck.Recorded, e.Struck.Reason)
	}
}

// late says when an entry was recorded, where that is more than a day after it happened.
func (a *app) late(e evidenceLine) string {
	happened, err1 := time.Parse(time.RFC3339, e.Happened)
	recorded, err2 := time.Parse(time.RFC3339, e.Recorded)
	if err1 != nil || err2 != nil || recorded.Sub(happened) <= 24*time.Hour {
		return ""
	}
	return ", recorded only on " + a.local(recorded)
}
