package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
)

// What a book holds towards a duty.
const (
	recordHeld   = "record held"
	partHeld     = "part held"
	noneHeld     = "none held"
	cannotJudged = "cannot be judged here"
)

// coverLine is one duty against what the book holds.
type coverLine struct {
	Rule  string   `json:"rule"`
	Duty  string   `json:"duty"`
	Read  string   `json:"read"` // how far the rule was read
	Holds string   `json:"holds"`
	Why   []string `json:"why"`
}

func newRulesCoverCmd(a *app) *cobra.Command {
	var place string
	c := &cobra.Command{
		Use:   "cover",
		Short: "Training and record duties of a place against what this book holds",
		Long: `List each training and record duty of a place against what this book holds about the people on the crew list today:
record held, part held, none held, or cannot be judged here. A record held is not compliance: who decides is the
authority, and the text may have changed.`,
		Example: "  ringtrue rules cover\n  ringtrue rules cover --jurisdiction us",
		Args:    exactly(0, "no arguments"),
		RunE: func(*cobra.Command, []string) error {
			if err := a.read(); err != nil {
				return err
			}
			asked, err := a.asked(questionTimes{})
			if err != nil {
				return err
			}
			edition, err := a.localRules(asked)
			if err != nil {
				return err
			}
			if place == "" {
				place = a.opening.Jurisdiction
			}
			if _, ok := edition.Find(place); !ok {
				return usage("nearest: "+edition.NearestCode(place), "--jurisdiction %q is not a place in the list", place)
			}
			return a.runCover(edition, place, asked)
		},
	}
	c.Flags().StringVar(&place, "jurisdiction", "", "province, state or country (default: the book's)")
	return c
}

func (a *app) runCover(edition rules.Edition, place string, asked training.Asked) error {
	held, workers, err := a.heldRecords(asked)
	if err != nil {
		return err
	}
	lines := []coverLine{}
	seen := map[string]bool{}
	for _, topic := range []string{"training", "records", "first-aid"} {
		for _, r := range edition.For(place, topic) {
			if seen[r.ID] || !r.Asks() || r.HeadingOnly && len(r.Kept) == 0 {
				continue
			}
			seen[r.ID] = true
			lines = append(lines, cover(r, held, workers))
		}
	}
	return a.printCover(place, lines)
}

// cover judges one duty: a record that each worker has is held, one that some have is held in part.
func cover(r rules.Rule, held map[string]int, workers int) coverLine {
	l := coverLine{Rule: r.ID, Duty: r.Duty, Read: r.How(), Holds: cannotJudged, Why: []string{}}
	all, any := true, false
	for _, k := range r.Kept {
		n := held[k]
		all, any = all && n >= max(workers, 1), any || n > 0
		l.Why = append(l.Why, fmt.Sprintf("%s: %d of %d", k, n, workers))
	}
	switch {
	case len(r.Kept) == 0:
	case all:
		l.Holds = recordHeld
	case any:
		l.Holds = partHeld
	default:
		l.Holds = noneHeld
	}
	return l
}

// heldRecords counts, of the people on the crew list, how many have each kind of record. A morning check and an event
// are the whole crew's: one is held by all.
func (a *app) heldRecords(asked training.Asked) (held map[string]int, workers int, err error) {
	held = map[string]int{}
	list, err := a.crewList(asked)
	if err != nil {
		return nil, 0, err
	}
	for _, w := range list {
		if w.Left != "" {
			continue
		}
		workers++
		topics, err := a.book.Facts(a.ctx, asked, w.Worker)
		if err != nil {
			return nil, 0, err
		}
		if err := a.countRecords(held, topics); err != nil {
			return nil, 0, err
		}
	}
	return held, workers, a.sharedRecords(held, workers, asked)
}

func (a *app) countRecords(held map[string]int, topics store.Topics) error {
	has := map[string]bool{}
	for topic, facts := range topics {
		for _, f := range facts {
			if f.Struck {
				continue
			}
			kind := recordKind(topic, f)
			has[kind] = true
			if kind != training.KindAttendance {
				continue
			}
			h, err := a.book.Entry(a.ctx, f.Entry, nil)
			if err != nil {
				return err
			}
			if ledger.Text(ledger.Lookup(h.Data, "language")) != "" && ledger.Text(ledger.Lookup(h.Data, "understood")) != "" {
				has["understood"] = true
			}
		}
	}
	for k := range has {
		held[k]++
	}
	return nil
}

// recordKind names the record a fact stands for, as rules.Records does.
func recordKind(topic string, f training.Fact) string {
	switch f.Kind {
	case training.FactAttendance:
		return training.KindAttendance
	case training.FactCredit:
		return training.KindCredit
	case training.FactObservation:
		return training.KindObservation
	case training.FactSignOff:
		return training.KindSignOff
	case training.FactUse:
		return store.KindJoin
	}
	return topic
}

func (a *app) sharedRecords(held map[string]int, workers int, asked training.Asked) error {
	events, err := a.listed(asked, training.KindEvent)
	if err != nil {
		return err
	}
	if len(events) > 0 {
		held[training.KindEvent] = workers
	}
	cards, err := a.cards(asked)
	if err != nil {
		return err
	}
	for _, c := range cards {
		facts, err := a.book.Topic(a.ctx, asked, store.BlockSubject(c.ID), store.KindTailgate)
		if err != nil {
			return err
		}
		if len(facts) > 0 {
			held[store.KindTailgate] = workers
		}
	}
	return nil
}

func (a *app) printCover(place string, lines []coverLine) error {
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/rules-cover/1", "jurisdiction": place, "rows": lines, "closing": rules.Closing})
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l.Rule, l.Holds, strings.Join(l.Why, ", "), l.Duty})
	}
	a.table([]string{"RULE", "THIS BOOK", "COUNTED", "DUTY"}, rows)
	a.say("# %s", rules.Closing)
	return nil
}
