package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/store/ledger"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// appointmentOf checks the flags of an appointment.
func (a *app) appointmentOf(o appointOptions, happened time.Time) (training.Appointment, error) {
	var p problems
	day := civil.Of(happened, a.book.Zone())
	rec := training.Appointment{Skills: []string{}, Basis: o.basis}
	var err error
	rec.Duties, err = dutiesOf(o.duties)
	p.add(err)
	if strings.TrimSpace(o.basis) == "" {
		p.add(usage("write --basis \"first-aid ticket 4471\" or the like", "an appointment needs --basis: what it rests on"))
	}
	std, err := a.standards(a.knownNow(day))
	p.add(err)
	for _, id := range words(o.skills) {
		_, _, err := std.skill(id)
		p.add(err)
		rec.Skills = append(rec.Skills, id)
	}
	from, err := parseDay("from", o.from)
	p.add(err)
	if from == civil.None {
		from = day
	}
	until, err := parseDay("until", o.until)
	p.add(err)
	if until != civil.None && until <= from {
		p.add(usage("name a later day", "--until %s does not come after the first day, %s", until, from))
	}
	rec.From, rec.Until = from.String(), until.String()
	return rec, p.err()
}

func newWorkerLeaveCmd(a *app) *cobra.Command {
	var at, from, reason string
	c := &cobra.Command{
		Use:     "leave WORKER",
		Short:   "Record that a person has left",
		Example: `  ringtrue worker leave ana --from 2026-10-30 --reason "season over"`,
		Args:    exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.write(); err != nil {
				return err
			}
			var p problems
			d := a.deedAbout(&p, args[0], at)
			p.add(a.mayKeepBook(d, "say who has left"))
			day, err := parseDay("from", from)
			p.add(err)
			if err := p.err(); err != nil {
				return err
			}
			if day == civil.None {
				day = d.day
			}
			if d, err = a.keep(d, training.KindLeave, training.Leave{From: day.String(), Reason: reason}); err != nil {
				return err
			}
			return a.recorded(d, fmt.Sprintf("%s left on %s", d.who.Name, day))
		},
	}
	c.Flags().StringVar(&from, "from", "", "first day no longer here (default: the day of --at)")
	c.Flags().StringVar(&reason, "reason", "", "why")
	c.Flags().StringVar(&at, "at", "", "when this was told")
	return c
}

// onList is a worker as the crew list shows them.
type onList struct {
	Worker string   `json:"worker"`
	Short  string   `json:"short"`
	Name   string   `json:"name"`
	Crew   string   `json:"crew"`
	From   string   `json:"from"`
	Left   string   `json:"left"`
	Duties []string `json:"named_as"`

	Employer string `json:"employer,omitempty"`
	Document string `json:"document,omitempty"`    // that names somebody else's worker
	Young    string `json:"young_until,omitempty"` // first day no longer young
	Contact  string `json:"contact,omitempty"`

	SeasonsBefore *int `json:"seasons_before"` // null = never asked
}

func newWorkerListCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "list",
		Short:   "List the crew",
		Example: "  ringtrue worker list\n  ringtrue worker list --on 2026-07-14",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			asked, err := a.question(q)
			if err != nil {
				return err
			}
			list, err := a.crewList(asked)
			if err != nil {
				return err
			}
			if err := a.addDuties(list, asked); err != nil {
				return err
			}
			header := []string{"SHORT", "NAME", "CREW", "FROM", "LEFT", "EMPLOYER", "REACHED BY", "SEASONS BEFORE", "NAMED AS"}
			return listing(a, map[string]any{"format": "ringtrue/workers/1", "rows": list}, header, list, func(w onList) []string {
				return []string{w.Short, w.Name, w.Crew, w.From, w.Left, w.employed(asked), w.Contact, seasonsCell(w.SeasonsBefore), strings.Join(w.Duties, ", ")}
			})
		},
	}
	questionFlags(c, &q)
	return c
}

// employed says whose worker somebody is where they are not the company's own, and that they still count as young.
func (w onList) employed(asked training.Asked) string {
	var words []string
	if w.Employer != "own" && w.Employer != "" {
		words = append(words, w.Employer+note(", ", w.Document))
	}
	if isYoung(w.Young, asked) {
		words = append(words, "young until "+w.Young)
	}
	return strings.Join(words, "; ")
}

func questionFlags(c *cobra.Command, q *questionTimes) {
	c.Flags().StringVar(&q.on, "on", "", "what was true then: a day (its end) or a moment; may lie ahead")
	c.Flags().StringVar(&q.known, "known", "", "as far as this book knew then: a day (its end) or a moment")
}

func seasonsCell(before *int) string {
	if before == nil {
		return "never asked"
	}
	return strconv.Itoa(*before)
}

// crewList gives everybody who had been recorded by the moment asked, without what they are named as.
func (a *app) crewList(asked training.Asked) ([]onList, error) {
	added, err := a.listed(asked, training.KindWorker)
	if err != nil {
		return nil, err
	}
	people, err := a.crew()
	if err != nil {
		return nil, err
	}
	left, err := a.left(asked)
	if err != nil {
		return nil, err
	}
	told, err := a.seasonsLater(asked)
	if err != nil {
		return nil, err
	}
	list := make([]onList, 0, len(added))
	for _, f := range added {
		if f.Struck || f.At > asked.On {
			continue
		}
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return nil, err
		}
		field := func(name string) string { return ledger.Text(ledger.Lookup(h.Data, name)) }
		seasons, err := a.seasonsTold(append(told[h.Worker], f), asked)
		if err != nil {
			return nil, err
		}
		list = append(list, onList{SeasonsBefore: seasons, Worker: h.Worker, Short: people.handle(h.Worker), Name: people.byID[h.Worker].Name,
			Crew: field("crew"), From: field("from"), Left: left[h.Worker], Duties: []string{},
			Employer: field("employer"), Document: field("document"), Young: field("young_until"), Contact: people.byID[h.Worker].Contact})
	}
	return list, nil
}

// left gives the day on which each worker left, for those who have by the day asked.
func (a *app) left(asked training.Asked) (map[string]string, error) {
	facts, err := a.listed(asked, training.KindLeave)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, f := range facts {
		if f.Struck || f.At > asked.On {
			continue
		}
		h, err := a.book.Entry(a.ctx, f.Entry, nil)
		if err != nil {
			return nil, err
		}
		from := ledger.Text(ledger.Lookup(h.Data, "from"))
		if day, err := civil.Parse(from); err == nil && day <= asked.Day {
			out[h.Worker] = from
		}
	}
	return out, nil
}

// addDuties says of everybody on the list what they are named as.
func (a *app) addDuties(list []onList, asked training.Asked) error {
	all, err := a.appointments(asked)
	if err != nil {
		return err
	}
	of := map[string][]appointed{}
	for _, p := range all {
		of[p.worker] = append(of[p.worker], p)
	}
	for i, w := range list {
		for _, d := range training.Duties {
			if may(of[w.Worker], w.Worker, d, "", asked.Day) {
				list[i].Duties = append(list[i].Duties, d)
			}
		}
	}
	return nil
}

func newWorkerShowCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:     "show WORKER",
		Short:   "Show what a worker may do, holds and is named as",
		Example: "  ringtrue worker show ana",
		Args:    exactly(1, "WORKER"),
		RunE: func(_ *cobra.Command, args []string) error {
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			who, err := a.person(args[0])
			if err != nil {
				return err
			}
			return a.workerText(who, std, asked)
		},
	}
	questionFlags(c, &q)
	return c
}

// groupLine is what a worker may do of one task group.
type groupLine struct {
	Group   string   `json:"group"`
	Level   string   `json:"level"`
	Reasons []string `json:"reasons"`
}

// workerAnswer is what a worker may do, holds and is named as.
type workerAnswer struct {
	Format  string       `json:"format"`
	May     []groupLine  `json:"may"`
	Due     []string     `json:"orientation_due"`
	LeftOut []string     `json:"orientation_leaves_out,omitempty"` // what the place asks before work and nobody told them
	Tickets []ticketLine `json:"tickets"`
	Worker  onList       `json:"worker"`
	Card    personCard   `json:"card"`
}

func (a *app) workerAnswer(who store.Person, std standards, asked training.Asked) (ans workerAnswer, err error) {
	ans.Format = "ringtrue/worker/1"
	perms, err := a.permissions(who.ID, std, asked)
	if err != nil {
		return ans, err
	}
	for _, g := range std.Groups {
		ans.May = append(ans.May, groupLine{g.ID, perms[g.ID].Level.String(), a.reasons(perms[g.ID].Reasons)})
	}
	topics, err := a.book.Facts(a.ctx, asked, who.ID)
	if err != nil {
		return ans, err
	}
	due, err := a.orientationDue(topics, "", std.House, asked)
	if err != nil {
		return ans, err
	}
	ans.Due = append([]string{}, due...)
	if ans.LeftOut, _, err = a.leavesOut(who.ID, topics, asked); err != nil {
		return ans, err
	}
	if ans.Tickets, err = a.tickets(topics, asked); err != nil {
		return ans, err
	}
	if ans.Card, err = a.personCard(who, topics, asked); err != nil {
		return ans, err
	}
	list, err := a.crewList(asked)
	if err != nil {
		return ans, err
	}
	if i := slices.IndexFunc(list, func(w onList) bool { return w.Worker == who.ID }); i >= 0 {
		err = a.addDuties(list[i:i+1], asked)
		ans.Worker = list[i]
	}
	return ans, err
}

func (a *app) workerText(who store.Person, std standards, asked training.Asked) error {
	ans, err := a.workerAnswer(who, std, asked)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(ans)
	}
	a.mark()
	row := ans.Worker
	a.say("%s (%s), person id %s", who.Name, who.Handle, who.ID)
	a.say("on the crew list from %s%s%s%s", row.From, note(", crew ", row.Crew), note(", left on ", row.Left), note(", named as ", strings.Join(row.Duties, ", ")))
	a.say("%s%s", seasonsWords(row.SeasonsBefore), map[bool]string{true: "; ask, then: ringtrue worker seasons " + who.Handle + " N"}[row.SeasonsBefore == nil])
	if len(ans.Due) > 0 {
		a.say("orientation is due: %s", strings.Join(ans.Due, "; "))
	}
	if len(ans.LeftOut) > 0 {
		a.say("orientation leaves out: %s", strings.Join(ans.LeftOut, "; "))
	}
	for _, t := range ans.Tickets {
		a.say("ticket: %s%s (%s)%s", t.What, note(", until ", t.Until), t.Document, map[bool]string{false: " RAN OUT"}[t.Valid])
	}
	a.personCardText(ans.Card, asked)
	for _, l := range ans.May {
		a.say("%-16s %s", l.Group, l.Level)
		reasons := l.Reasons
		if terminal(a.out) {
			reasons = sameOnce(reasons)
		}
		for _, r := range reasons {
			a.say("      - %s", r)
		}
	}
	a.say(`unsupervised is not working alone; "in sight" means of one appointed person who is not sawing`)
	return nil
}

// permissions answers at which level a worker may do each task group.
func (a *app) permissions(worker string, std standards, asked training.Asked) (map[string]training.Permission, error) {
	topics, err := a.book.Facts(a.ctx, asked, worker)
	if err != nil {
		return nil, err
	}
	standings := standingsOf(topics, std, asked, nil)
	perms := map[string]training.Permission{}
	for _, g := range std.Groups {
		if perms[g.ID], err = a.permission(topics, g, standings, std, asked); err != nil {
			return nil, err
		}
	}
	return perms, nil
}

// permission answers for one task group; standings hold at least the skills it uses.
func (a *app) permission(topics store.Topics, g training.Group, standings map[string]training.Standing, std standards, asked training.Asked) (training.Permission, error) {
	var released []training.Released
	for _, f := range topics[store.ReleaseTopic(g.ID)] {
		var rec training.Release
		if f.Kind == training.FactWithdrawal { // the end of one
			released = append(released, training.Released{Fact: f})
			continue
		}
		if _, err := a.book.Entry(a.ctx, f.Entry, &rec); err != nil {
			return training.Permission{}, err
		}
		released = append(released, training.Released{Fact: f, Slope: rec.Slope, Limits: rec.Limits, Opening: rec.Opening, OwnWord: rec.OwnWord})
	}
	return training.PermissionFor(g, std.Curriculum, standings, released, asked), nil
}
