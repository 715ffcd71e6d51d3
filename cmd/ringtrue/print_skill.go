package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/store/page"
	"example.org/ringtrue/training"
)

func newSkillSheetCmd(a *app) *cobra.Command {
	var o printOptions
	var q questionTimes
	c := &cobra.Command{
		Use:   "sheet SKILL",
		Short: "Write the form to look at a skill on paper",
		Long: `Write the form to look at a worker doing a skill, as one HTML file to print: its points with the critical ones marked, the
range of each measured one, and lines to sign on. The text of the points is that of the curriculum in force.`,
		Example: "  ringtrue skill sheet 3.3 -o look.html\n  ringtrue skill sheet 3.3 --lang es --paper a4 -o mirada.html",
		Args:    exactly(1, "SKILL"),
		RunE: func(_ *cobra.Command, args []string) error {
			std, _, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			s, err := a.ready(o)
			if err != nil {
				return err
			}
			sheet, err := a.skillPage(args[0], std, o)
			if err != nil {
				return err
			}
			return a.printSheet(sheet, o, s)
		},
	}
	printFlags(c, &o)
	questionFlags(c, &q)
	return c
}

// skillPage is the form for one skill, by the editions in force.
func (a *app) skillPage(id string, std standards, o printOptions) (page.Skill, error) {
	skill, m, err := std.skill(id)
	if err != nil {
		return page.Skill{}, err
	}
	if skill.Withdrawn {
		return page.Skill{}, refuse("see: ringtrue skill list", "skill %s is withdrawn; nobody looks at it any more", skill.ID)
	}
	sheet := page.Skill{ID: skill.ID, Title: skill.Title, Module: m.ID, Edition: std.Curriculum.Edition, Misses: fmt.Sprint(std.Rules.MissesAllowed), House: std.House.Edition,
		Look: skill.Look, Place: observerPlace(skill, std.House)}
	for _, c := range skill.Criteria {
		sheet.Criteria = append(sheet.Criteria, onForm(c))
	}
	sheet.Common, err = a.common(o)
	return sheet, err
}

// observerPlace is the house figure for where an observer stands, "" for a look that does not name it or an edition without it.
func observerPlace(s training.Skill, h house.House) string {
	if !strings.Contains(s.Look, house.ObserverPlace) || !h.Has(house.ObserverPlace) {
		return ""
	}
	return h.Value(house.ObserverPlace)
}

func onForm(c training.Criterion) page.Criterion {
	return page.Criterion{ID: c.ID, Text: c.Text, Critical: c.Critical, Measured: c.Measured(), Min: c.Min, Max: c.Max}
}
