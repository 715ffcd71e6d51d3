package main

import (
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// historyOf gathers the history of one skill from a worker's facts.
func historyOf(topics store.Topics, s training.Skill, m training.Module, c training.Curriculum) training.History {
	facts := topics[s.ID]
	if s.Replaces != "" { // the record of the skill it replaces counts for it
		facts = slices.Concat(topics[s.Replaces], facts)
		training.Sort(facts)
	}
	return training.History{Facts: facts, Uses: usesOf(topics, c, s), Teaching: topics[m.ID]}
}

// usesOf gives the joins with a saw under the task groups that need a skill, in order. Most workers have used one
// group only, whose list serves as it is.
func usesOf(topics store.Topics, c training.Curriculum, s training.Skill) []training.Fact {
	var lists [][]training.Fact
	for _, g := range c.Groups {
		if list := topics[store.UseTopic(g.ID)]; len(list) > 0 && g.Uses(s) {
			lists = append(lists, list)
		}
	}
	switch len(lists) {
	case 0:
		return nil
	case 1:
		return lists[0]
	}
	uses := slices.Concat(lists...)
	training.Sort(uses)
	return uses
}

// standingsOf answers for the skills a task group uses, or for all skills where g is nil.
func standingsOf(topics store.Topics, std standards, asked training.Asked, g *training.Group) map[string]training.Standing {
	out := map[string]training.Standing{}
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			if g == nil || g.Uses(s) {
				out[s.ID] = training.StandingOf(std.of(topics, s.ID), asked)
			}
		}
	}
	return out
}

// standingRow is one answer: a worker and a skill.
type standingRow struct {
	Worker   string       `json:"worker"`
	Skill    string       `json:"skill"`
	Standing string       `json:"standing"`
	Until    *string      `json:"until"`
	Reasons  []string     `json:"reasons"`
	Changes  []changeLine `json:"changes,omitempty"`
}

// changeLine is a change of standing within the day asked, with its clock time.
type changeLine struct {
	At       string `json:"at"`
	Standing string `json:"standing"`
}

type standingAnswer struct {
	Format string        `json:"format"`
	On     string        `json:"on"`
	Known  string        `json:"known"`
	Knows  string        `json:"knows"` // how far this book knows
	Rows   []standingRow `json:"rows"`
	Orient []string      `json:"orientation_due,omitempty"` // of the one worker asked about

	Looser []house.Loosening `json:"looser,omitempty"` // house rules behind it that the company has made looser
}

type standingOptions struct {
	questionTimes
	module      string
	crew        string
	gaps        bool
	check       bool
	changes     bool
	from, until string
}

func newStandingCmd(a *app) *cobra.Command {
	var o standingOptions
	c := &cobra.Command{
		Use:   "standing [WORKER]",
		Short: "Where workers stand with each skill, and why",
		Long: `Show where the crew stands, as a matrix, or where one worker stands, with reasons. Held means signed off or due;
everything else, and unknown, is not held. The answer is as far as this book knows.

` + standingWords + `
Exit status: 0; with --check 3 if a skill shown is not held.`,
		Example: `  ringtrue standing
  ringtrue standing ana --on 2026-07-14 --known 2026-07-14
  ringtrue standing --on 2027-05-03 --gaps
  ringtrue standing --changes --from 2026-07-01 --until 2026-07-31`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.read(); err != nil {
				return err
			}
			return a.runStanding(o, args)
		},
	}
	questionFlags(c, &o.questionTimes)
	f := c.Flags()
	f.StringVar(&o.module, "module", "", "only the skills of this module")
	f.StringVar(&o.crew, "crew", "", "only the workers of this crew")
	f.BoolVar(&o.changes, "changes", false, "list what changed between --from and --until, why, and by which entry")
	f.StringVar(&o.from, "from", "", "first day, with --changes")
	f.StringVar(&o.until, "until", "", "last day, with --changes")
	f.BoolVar(&o.gaps, "gaps", false, "only what is not held, or due")
	f.BoolVar(&o.check, "check", false, "exit 3 if anything shown is not held")
	return c
}

func (a *app) runStanding(o standingOptions, args []string) error {
	defer hurry()()
	var ids []string
	if len(args) == 1 {
		who, err := a.person(args[0])
		if err != nil {
			return err
		}
		ids = []string{who.ID}
	}
	if o.changes {
		return a.runChanges(o, ids)
	}
	asked, err := a.asked(o.questionTimes)
	if err != nil {
		return err
	}
	std, err := a.standards(asked)
	if err != nil {
		return err
	}
	if _, err := a.filterStanding(o, std, asked, ids); err != nil {
		return err
	}
	ans, err := a.standingAnswer(o, std, asked, ids)
	if err != nil {
		return err
	}
	if err := a.printStanding(ans, std, o, len(ids) == 1); err != nil {
		return err
	}
	if o.check && !allHeld(ans.Rows) {
		return answerNo()
	}
	return nil
}

func allHeld(rows []standingRow) bool {
	for _, r := range rows {
		if r.Standing != string(training.SignedOff) && r.Standing != string(training.Due) {
			return false
		}
	}
	return true
}

// standingAnswer computes the rows: for the named workers, or for everybody on the crew list.
func (a *app) standingAnswer(o standingOptions, std standards, asked training.Asked, ids []string) (standingAnswer, error) {
	ans := standingAnswer{Format: "ringtrue/standing/1", On: a.askedText(asked.On), Known: a.askedText(asked.Known), Rows: []standingRow{}, Looser: std.Rules.Looser}
	knows, err := a.knows()
	if err != nil {
		return ans, err
	}
	later, err := a.reachedLater(asked)
	if err != nil {
		return ans, err
	}
	ans.Knows = knows + later
	if len(ids) == 1 {
		topics, err := a.book.Facts(a.ctx, asked, ids[0])
		if err != nil {
			return ans, err
		}
		ans.Rows = a.rowsOf(ids[0], topics, std, o, asked)
		ans.Orient, err = a.orientationDue(topics, "", std.House, asked)
		return ans, err
	}
	ans.Rows, err = a.matrix(std, o, asked)
	return ans, err
}

// matrix answers for everybody who was on the crew list by the moment asked and has not left.
func (a *app) matrix(std standards, o standingOptions, asked training.Asked) ([]standingRow, error) {
	list, err := a.crewList(asked)
	if err != nil {
		return nil, err
	}
	if list, err = ofCrew(list, o.crew, false); err != nil {
		return nil, err
	}
	return sideBySide(a, list, func(b *store.Book, w onList, rows []standingRow) ([]standingRow, error) {
		topics, err := b.Facts(a.ctx, asked, w.Worker)
		return append(rows, a.rowsOf(w.Worker, topics, std.readBy(a, b), o, asked)...), err
	})
}

// sideBySide reads what belongs to a list on two connections, half of it each, and returns it in the order of the list.
func sideBySide[T, R any](a *app, list []T, read func(b *store.Book, one T, into []R) ([]R, error)) ([]R, error) {
	other, err := a.book.Further(a.ctx)
	if err != nil {
		return nil, err
	}
	all := func(b *store.Book, part []T) (into []R, err error) {
		for i := 0; i < len(part) && err == nil; i++ {
			into, err = read(b, part[i], into)
		}
		return into, err
	}
	half := len(list) / 2
	var second []R
	done := make(chan error)
	go func() {
		var err error
		second, err = all(other, list[half:])
		done <- err
	}()
	first, err := all(a.book, list[:half])
	err = firstError(err, <-done)
	return append(append([]R{}, first...), second...), err
}

func firstError(errs ...error) error {
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return nil
}

// rowsOf answers for one worker, skill after skill.
func (a *app) rowsOf(id string, topics store.Topics, std standards, o standingOptions, asked training.Asked) []standingRow {
	var rows []standingRow
	for _, m := range std.Modules {
		if o.module != "" && o.module != m.ID {
			continue
		}
		for _, s := range m.Skills {
			if s.Withdrawn {
				continue
			}
			row, st := a.row(id, s.ID, std.of(topics, s.ID), asked)
			if o.gaps && st.Word == training.SignedOff {
				continue
			}
			rows = append(rows, row)
		}
	}
	return rows
}

// row answers for a worker and a skill, with the changes of the day asked.
func (a *app) row(id, skill string, c training.Case, asked training.Asked) (standingRow, training.Standing) {
	st, changes := training.DayOf(c, asked)
	row := standingRow{Worker: id, Skill: skill, Standing: string(st.Word), Reasons: a.reasons(st.Reasons)}
	if st.Until != civil.None {
		until := st.Until.String()
		row.Until = &until
	}
	for _, c := range changes {
		row.Changes = append(row.Changes, changeLine{a.moment(c.At), string(c.Word)})
	}
	return row, st
}

// reasons writes reasons with the entries that say so.
func (a *app) reasons(list []training.Reason) []string {
	out := make([]string, len(list))
	for i, r := range list {
		out[i] = r.Text
		switch {
		case r.Late != 0: // both times are shown where they differ by more than a day
			out[i] += fmt.Sprintf(" (entry %s, recorded only on %s)", a.book.Short(r.Entry), a.local(time.Unix(r.Late, 0)))
		case r.Entry != 0:
			out[i] += " (entry " + a.book.Short(r.Entry) + ")"
		}
	}
	return out
}

// moment writes Unix seconds as RFC 3339 in the book's zone.
func (a *app) moment(unix int64) string {
	return time.Unix(unix, 0).In(a.book.Zone()).Format(time.RFC3339)
}

// askedText writes a moment asked: the day where it is the end of one, else RFC 3339.
func (a *app) askedText(unix int64) string {
	day := civil.Of(time.Unix(unix, 0), a.book.Zone())
	if unix == day.End(a.book.Zone()).Unix()-1 {
		return day.String()
	}
	return a.moment(unix)
}
