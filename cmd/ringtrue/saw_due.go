package main

import (
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/upkeep"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newSawDueCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:   "due [SAW...]",
		Short: "What saws need on a day, what stops work first",
		Long: `List what saws need on a day: saws that are out of use, then what is overdue because a saw was used without it, then what is
due before a saw is used again. Within each, what stops work comes first. A saw in the store is due, never overdue.`,
		Example: "  ringtrue saw due\n  ringtrue saw due S11 --on 2026-07-14 --known 2026-07-14",
		Args:    cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			asked, err := a.question(q)
			if err != nil {
				return err
			}
			lines, err := a.sawDue(args, asked)
			if err != nil {
				return err
			}
			return a.printDue(lines, asked)
		},
	}
	questionFlags(c, &q)
	return c
}

// offList is said of a saw that somebody tagged without its being on the list.
const offList = "not on the list of saws"

// dueLine is one thing a saw needs.
type dueLine struct {
	Saw   string   `json:"saw"`
	State string   `json:"state"` // stopped, overdue, due
	What  []string `json:"what"`
	Since string   `json:"since"`
	Last  string   `json:"last"` // day on which it was last done
	Why   string   `json:"why"`
	Entry string   `json:"entry"` // of the defect, tag or clearing it is about
}

func (a *app) printDue(lines []dueLine, asked training.Asked) error {
	knows, err := a.knows()
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/saw-due/1", "on": a.askedText(asked.On), "rows": lines, "knows": knows})
	}
	a.mark()
	var rows [][]string
	for _, l := range lines {
		rows = append(rows, []string{l.Saw, l.State, strings.Join(l.What, ", "), l.Since, l.Last, l.Why})
	}
	a.table([]string{"SAW", "STATE", "WHAT", "SINCE", "LAST", "WHY"}, rows)
	if terminal(a.out) {
		a.say("%s", knows)
	}
	return nil
}

// sawDue lists what the saws named, or all that are not retired, need on the day asked.
func (a *app) sawDue(ids []string, asked training.Asked) ([]dueLine, error) {
	h, err := a.sawRules(asked)
	if err != nil {
		return nil, err
	}
	facts, err := a.factsFor(ids, asked)
	if err != nil {
		return nil, err
	}
	var due []upkeep.Due
	for _, f := range facts {
		more, err := a.dueOf(f, h, asked)
		if err != nil {
			return nil, err
		}
		due = append(due, more...)
	}
	upkeep.Sort(due)
	return a.dueLines(due), nil
}

// factsFor reads the facts of the saws named, or of all.
func (a *app) factsFor(ids []string, asked training.Asked) ([]factsOfSaw, error) {
	if len(ids) == 0 {
		return a.allSawFacts(asked)
	}
	list, err := a.saws(asked)
	if err != nil {
		return nil, err
	}
	var p problems
	var facts []factsOfSaw
	for _, id := range ids {
		one, err := a.factsOf(list, id, asked)
		p.add(err)
		facts = append(facts, one)
	}
	return facts, p.err()
}

// factsOf reads the facts of a saw on the list, or of one that was tagged without being on it.
func (a *app) factsOf(list []sawCard, id string, asked training.Asked) (factsOfSaw, error) {
	card, unlisted := pickSaw(list, id)
	if unlisted == nil {
		return a.sawFacts(card.ID, asked, fewestMonths)
	}
	life, err := a.book.Facts(a.ctx, asked, store.SawSubject(id))
	if err == nil && !anyBy(life[store.KindTag], asked) {
		err = unlisted
	}
	return factsOfSaw{id: id, life: life}, err
}

func (a *app) dueLines(due []upkeep.Due) []dueLine {
	lines := []dueLine{}
	for _, d := range due {
		l := dueLine{Saw: d.Saw, State: string(d.State), What: d.What, Since: d.Since.String(), Last: d.Last.String(), Why: a.whoChose(d.Why)}
		if d.Entry != 0 {
			l.Entry = a.book.Short(training.Ref(d.Entry))
		}
		lines = append(lines, l)
	}
	return lines
}

// dueOf lists what one saw needs.
func (a *app) dueOf(facts factsOfSaw, h house.House, asked training.Asked) ([]upkeep.Due, error) {
	if anyBy(facts.life[store.KindRetire], asked) {
		return nil, nil
	}
	var due []upkeep.Due
	if facts.listed(asked) {
		history, err := a.sawHistory(facts, h, asked)
		if err != nil {
			return nil, err
		}
		due = upkeep.DueOn(history, h, asked.Day)
	}
	for _, o := range upkeep.Open(sawEvents(facts.life), h, asked.On) {
		d, err := a.openDue(facts.id, o)
		if err != nil {
			return nil, err
		}
		if !facts.listed(asked) {
			d.Why += "; " + offList
		}
		due = append(due, d)
	}
	return due, nil
}

// openDue puts what is open on a saw among what it needs.
func (a *app) openDue(saw string, o upkeep.OpenItem) (upkeep.Due, error) {
	w, err := a.openWords(training.Ref(o.Entry))
	if err != nil {
		return upkeep.Due{}, err
	}
	d := upkeep.Due{Saw: saw, State: upkeep.DueNow, What: []string{w.id}, Since: a.dayOf(o.At), Last: civil.None, Why: a.sayOpen(o, w, a.short), Entry: o.Entry, Rank: 3}
	switch {
	case o.Stops:
		d.State, d.Rank = upkeep.StopsNow, 0
	case o.SeenBy != 0:
		d.What, d.Rank = []string{"look-again"}, 1
	}
	return d, nil
}

func (a *app) dayOf(unix int64) civil.Day { return civil.Of(time.Unix(unix, 0), a.book.Zone()) }
