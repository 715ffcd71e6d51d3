package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/store"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

func newPlanCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "plan", Short: "Plan training, a day of saws, the spare kit"}
	c.AddCommand(newPlanTrainingCmd(a), newPlanDayCmd(a), newPlanKitCmd(a))
	return c
}

// planLine is one thing that is missing or falls due by the day planned for.
type planLine struct {
	Worker string   `json:"worker"`
	What   string   `json:"what"` // skill, release, ticket, appointment, equipment, orientation
	Of     string   `json:"of"`
	When   string   `json:"when"` // day on which it runs out, "" = it is missing already
	Why    []string `json:"why"`
	May    []string `json:"may"` // who may make the looks still needed
}

func newPlanTrainingCmd(a *app) *cobra.Command {
	var weeks int
	var forDay, worker, back string
	var all bool
	c := &cobra.Command{
		Use:   "training",
		Short: "The looks to make by a day, who makes them, and all that is missing or runs out",
		Long: `List the looks to make by a day: at whom, by whom, at which skills, and how long it takes; people who saw come first. With --all list
for each worker everything that is missing, or runs out: skills with the looks still needed and who may make them, tickets, appointments,
releases, equipment, orientation. After a winter --return DAY makes one day of return looks for everybody who was away too long.`,
		Example: "  ringtrue plan training --weeks 8\n  ringtrue plan training --all --for 2027-05-03 --worker ana\n  ringtrue plan training --return 2027-05-03",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if c.Flags().Changed("weeks") && c.Flags().Changed("for") {
				return usage("give one of them", "--weeks and --for both say how far to look")
			}
			if err := a.read(); err != nil {
				return err
			}
			if back != "" && (all || c.Flags().Changed("weeks") || forDay != "") {
				return usage("leave out the others", "--return names the day itself and lists only return looks")
			}
			day, err := a.planDay(weeks, forDay+back)
			if err != nil {
				return err
			}
			return a.planTraining(day, worker, all, back != "")
		},
	}
	c.Flags().IntVar(&weeks, "weeks", 8, "look so many weeks ahead")
	c.Flags().StringVar(&forDay, "for", "", "look to this day instead")
	c.Flags().StringVar(&worker, "worker", "", "only this worker")
	c.Flags().BoolVar(&all, "all", false, "everything that is missing or runs out, line by line")
	c.Flags().StringVar(&back, "return", "", "one day of return looks for those who were away too long, on this day")
	return c
}

func (a *app) planDay(weeks int, forDay string) (civil.Day, error) {
	if forDay != "" {
		return parseDay("for", forDay)
	}
	if weeks < 0 || weeks > 520 {
		return civil.None, usage("--weeks 0 to 520", "--weeks %d cannot be planned", weeks)
	}
	return civil.Of(a.now(), a.book.Zone()) + civil.Day(7*weeks), nil
}

func (a *app) planTraining(day civil.Day, worker string, all, back bool) error {
	asked := a.knownNow(day)
	std, err := a.standards(asked)
	if err != nil {
		return err
	}
	list, err := a.crewList(asked)
	if err != nil {
		return err
	}
	if worker != "" {
		who, err := a.person(worker)
		if err != nil {
			return err
		}
		list = slices.DeleteFunc(list, func(w onList) bool { return w.Worker != who.ID })
	}
	list = slices.DeleteFunc(list, func(w onList) bool { return w.Left != "" })
	if back {
		return a.planReturn(day, list, std, asked)
	}
	lines := []planLine{}
	for _, w := range list {
		more, err := a.planFor(w, std, asked)
		if err != nil {
			return err
		}
		lines = append(lines, more...)
	}
	needs, err := a.lookNeeds(list, std, asked, false)
	if err != nil {
		return err
	}
	looks := lookLines(training.PlanLooks(needs, training.MostInLook))
	if !a.json && !all {
		return a.printLooks("looks to make by "+day.String()+":", looks, looksTail(lines))
	}
	return a.printPlan(day, lines, looks)
}

func (a *app) printPlan(day civil.Day, lines []planLine, looks []lookLine) error {
	people, err := a.crew()
	if err != nil {
		return err
	}
	header := []string{"WORKER", "WHAT", "OF", "RUNS OUT", "STILL NEEDED", "WHO MAY LOOK"}
	return listing(a, map[string]any{"format": "ringtrue/plan-training/1", "for": day.String(), "rows": lines, "looks": looks}, header, lines, func(l planLine) []string {
		return []string{people.handle(l.Worker), l.What, l.Of, l.When, strings.Join(l.Why, "; "), strings.Join(l.May, ", ")}
	})
}

// planFor lists what one worker needs by the day asked.
func (a *app) planFor(w onList, std standards, asked training.Asked) ([]planLine, error) {
	topics, err := a.book.Facts(a.ctx, asked, w.Worker)
	if err != nil {
		return nil, err
	}
	var lines []planLine
	due, err := a.orientationDue(topics, "", std.House, asked)
	if err != nil {
		return nil, err
	}
	if due != nil {
		lines = append(lines, planLine{Worker: w.Worker, What: "orientation", Why: due, May: []string{}})
	}
	skills, err := a.planSkills(w.Worker, topics, std, asked)
	if err != nil {
		return nil, err
	}
	releases, err := a.planReleases(w.Worker, topics, std, asked)
	if err != nil {
		return nil, err
	}
	papers, err := a.planPapers(w.Worker, topics, asked)
	if err != nil {
		return nil, err
	}
	missing, err := a.lacksReleased(w.Worker, topics, std, asked)
	for _, item := range missing {
		papers = append(papers, planLine{Worker: w.Worker, What: "equipment", Of: item, Why: []string{"missing"}, May: []string{}})
	}
	return append(append(append(lines, skills...), releases...), papers...), err
}

// planReleases lists the releases that have run out by the day asked.
func (a *app) planReleases(worker string, topics store.Topics, std standards, asked training.Asked) ([]planLine, error) {
	var lines []planLine
	for _, g := range std.Groups {
		last, ok := lastRelease(topics[store.ReleaseTopic(g.ID)], asked)
		if ok && last.Until != civil.None && last.Until <= asked.Day {
			lines = append(lines, planLine{Worker: worker, What: "release", Of: g.ID, When: last.Until.String(), Why: []string{"ends"}, May: []string{}})
		}
	}
	return lines, nil
}

// planSkills lists the skills that are not held on the day, in the order of the modules' prerequisites.
func (a *app) planSkills(worker string, topics store.Topics, std standards, asked training.Asked) ([]planLine, error) {
	appointments, err := a.appointments(asked)
	if err != nil {
		return nil, err
	}
	people, err := a.crew()
	if err != nil {
		return nil, err
	}
	var lines []planLine
	for _, m := range std.Curriculum.InOrder() {
		for _, s := range m.Skills {
			c := std.of(topics, s.ID)
			st := training.StandingOf(c, asked)
			if s.Withdrawn || st.Word == training.SignedOff {
				continue
			}
			l := planLine{Worker: worker, What: "skill", Of: s.ID + " " + s.Title, Why: training.Missing(c, asked)}
			switch {
			case st.Word == training.Due:
				l.When = st.Until.String()
			case st.ByGap:
				l.Why = []string{st.Reasons[0].Text, "one met return look renews it"}
			case st.Word == training.Lapsed:
				l.Why = append([]string{st.Reasons[0].Text}, l.Why...)
			case l.Why == nil:
				l.Why = []string{"the evidence is complete; nobody has decided"}
			}
			l.May = observers(appointments, people, worker, s.ID, asked.Day)
			lines = append(lines, l)
		}
	}
	return lines, nil
}

// observers lists who may look at a skill of a worker on a day.
func observers(appointments []appointed, people *people, worker, skill string, day civil.Day) []string {
	list := []string{}
	for _, p := range appointments {
		h := people.handle(p.worker)
		if p.worker != worker && may([]appointed{p}, p.worker, training.DutyObserve, skill, day) && !slices.Contains(list, h) {
			list = append(list, h)
		}
	}
	return list
}

// planPapers lists tickets, appointments and equipment that run out by the day asked.
func (a *app) planPapers(worker string, topics store.Topics, asked training.Asked) ([]planLine, error) {
	var lines []planLine
	tickets, err := a.tickets(topics, asked)
	if err != nil {
		return nil, err
	}
	for _, t := range tickets {
		if !t.Valid {
			lines = append(lines, planLine{Worker: worker, What: "ticket", Of: t.What, When: t.Until, Why: []string{"runs out (" + t.Document + ")"}, May: []string{}})
		}
	}
	appointments, err := a.appointmentsOf(worker, asked)
	if err != nil {
		return nil, err
	}
	for _, p := range appointments {
		if p.until != civil.None && p.until <= asked.Day && !renewed(appointments, p, asked.Day) {
			lines = append(lines, planLine{Worker: worker, What: "appointment", Of: strings.Join(p.Duties, ", "), When: p.Until, Why: []string{"ends"}, May: []string{}})
		}
	}
	pieces, err := a.pieceLines(worker, asked)
	if err != nil {
		return nil, err
	}
	for _, p := range pieces {
		if p.State == "replace" || p.State == "look due" || p.State == "condemned" {
			lines = append(lines, planLine{Worker: worker, What: "equipment", Of: p.Item, When: p.ReplaceBy, Why: []string{fmt.Sprintf("%s (entry %s)", p.State, p.Entry)}, May: []string{}})
		}
	}
	slices.SortStableFunc(lines, func(a, b planLine) int { return cmp.Compare(a.When, b.When) })
	return lines, nil
}

// renewed reports whether later appointments still name the person for the same duties on a day.
func renewed(list []appointed, old appointed, day civil.Day) bool {
	for _, d := range old.Duties {
		if !may(list, old.worker, d, "", day) {
			return false
		}
	}
	return true
}
