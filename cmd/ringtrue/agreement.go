package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/agree"
)

// agreementLine is how often two observers said the same of one criterion.
type agreementLine struct {
	Skill     string   `json:"skill"`
	Criterion string   `json:"criterion"`
	Cases     int      `json:"cases"`
	Same      int      `json:"same"`
	Observed  float64  `json:"observed"`
	Low       float64  `json:"low"` // Wilson 95 % interval of observed
	High      float64  `json:"high"`
	Kappa     *float64 `json:"kappa"` // null: not defined, everybody said the same throughout
}

func newAgreementCmd(a *app) *cobra.Command {
	var q questionTimes
	c := &cobra.Command{
		Use:   "agreement [SKILL]",
		Short: "How often two observers say the same of a criterion",
		Long: `Where two observers saw the same worker and skill within the days of the house rules, list for each criterion how often
they said the same, with a 95 % interval (Wilson 1927), and Cohen's kappa (Cohen 1960), which takes away agreement by
chance; "not defined" where everybody said the same throughout. It is for calibrating observers, not for ranking them.`,
		Example: "  ringtrue skill agreement\n  ringtrue skill agreement 3.3",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			std, asked, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			only := ""
			if len(args) == 1 {
				s, _, err := std.skill(args[0])
				if err != nil {
					return err
				}
				only = s.ID
			}
			lines, err := a.agreement(only, std, asked)
			if err != nil {
				return err
			}
			return a.printAgreement(lines)
		},
	}
	questionFlags(c, &q)
	return c
}

// agreement compares the looks of different observers, skill by skill.
func (a *app) agreement(only string, std standards, asked training.Asked) ([]agreementLine, error) {
	looks := map[string][]agree.Look{}
	for id, t := range a.book.FactsBetween(a.ctx, asked, firstPerson, lastPerson) {
		if t.Err != nil {
			return nil, t.Err
		}
		for topic, facts := range t.Topics {
			if only != "" && topic != only {
				continue
			}
			if err := a.gatherLooks(looks, id, topic, facts, asked); err != nil {
				return nil, err
			}
		}
	}
	lines := []agreementLine{}
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			pairs := agree.Pairs(looks[s.ID], std.House.Int(house.AgreementDays))
			for _, c := range s.Criteria {
				if t := agree.Count(pairs, c.ID); t.Cases() > 0 {
					l, err := agreementRow(s.ID, c.ID, t)
					if err != nil {
						return nil, err
					}
					lines = append(lines, l)
				}
			}
		}
	}
	return lines, nil
}

func (a *app) gatherLooks(looks map[string][]agree.Look, worker, topic string, facts []training.Fact, asked training.Asked) error {
	for _, f := range facts {
		if f.Kind != training.FactObservation || f.Struck || f.At > asked.On {
			continue
		}
		var o training.Observation
		h, err := a.book.Entry(a.ctx, f.Entry, &o)
		if err != nil {
			return err
		}
		l := agree.Look{Worker: worker, Observer: h.By, Day: f.Day, Met: map[string]bool{}}
		for _, m := range o.Marks {
			if m.Seen != training.NotSeen {
				l.Met[m.Criterion] = m.Seen == training.Met
			}
		}
		looks[topic] = append(looks[topic], l)
	}
	return nil
}

func agreementRow(skill, criterion string, t agree.Table) (agreementLine, error) {
	l := agreementLine{Skill: skill, Criterion: criterion, Cases: t.Cases(), Same: t.Same()}
	got, err := agree.Cohen(t)
	if err != nil {
		return l, err
	}
	l.Observed = got.Observed
	if got.Defined {
		l.Kappa = &got.Kappa
	}
	l.Low, l.High, err = agree.Wilson(l.Same, l.Cases)
	return l, err
}

func (a *app) printAgreement(lines []agreementLine) error {
	header := []string{"SKILL", "CRITERION", "LOOKED AT BY TWO", "SAME", "SHARE", "95 % INTERVAL", "KAPPA"}
	return listing(a, map[string]any{"format": "ringtrue/agreement/1", "rows": lines}, header, lines, func(l agreementLine) []string {
		kappa := "not defined"
		if l.Kappa != nil {
			kappa = fmt.Sprintf("%.2f", *l.Kappa)
		}
		return []string{l.Skill, l.Criterion, fmt.Sprint(l.Cases), fmt.Sprint(l.Same), fmt.Sprintf("%.0f %%", 100*l.Observed),
			fmt.Sprintf("%.0f to %.0f %%", 100*l.Low, 100*l.High), kappa}
	})
}
