package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	sheetwords "example.org/ringtrue/store/page/words"
	"example.org/ringtrue/training"
)

func newSkillCmd(a *app) *cobra.Command {
	c := &cobra.Command{Use: "skill", Short: "Skills: what was seen of them, and what was decided"}
	c.AddCommand(newSkillListCmd(a), newSkillShowCmd(a), newSkillSheetCmd(a), newObserveCmd(a), newSignCmd(a), newRestrictCmd(a), newLiftCmd(a),
		newWithdrawCmd(a), newReleaseCmd(a), newCreditCmd(a), newToldCmd(a), newAgreementCmd(a))
	return c
}

func newSkillListCmd(a *app) *cobra.Command {
	var q questionTimes
	var groups bool
	c := &cobra.Command{
		Use:     "list",
		Short:   "List the skills, or the task groups, of the curriculum in force",
		Example: "  ringtrue skill list\n  ringtrue skill list --groups",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			std, _, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			if groups {
				return a.groupList(std)
			}
			return a.skillList(std)
		},
	}
	c.Flags().BoolVar(&groups, "groups", false, "list the task groups people are released for")
	questionFlags(c, &q)
	return c
}

func (a *app) skillList(std standards) error {
	if a.json {
		return a.printJSON(map[string]any{"format": "ringtrue/skills/1", "edition": std.Curriculum.Edition, "modules": std.Modules})
	}
	a.mark()
	var rows [][]string
	for _, m := range std.Modules {
		for _, s := range m.Skills {
			rows = append(rows, []string{s.ID, m.ID, s.Title, traits(s), fmt.Sprint(len(s.Criteria))})
		}
	}
	a.table([]string{"SKILL", "MODULE", "TITLE", "KIND", "CRITERIA"}, rows)
	return nil
}

func (a *app) groupList(std standards) error {
	header := []string{"GROUP", "TITLE", "SKILLS BEYOND THE GATE SKILLS", "EQUIPMENT"}
	return listing(a, map[string]any{"format": "ringtrue/groups/1", "edition": std.Curriculum.Edition, "groups": std.Groups}, header, std.Groups, func(g training.Group) []string {
		return []string{g.ID, g.Title, strings.Join(g.Skills, ", "), strings.Join(g.PPE, ", ")}
	})
}

// traits says in words what a skill is.
func traits(s training.Skill) string { return strings.Join(traitsOf(s), ", ") }

func traitsOf(s training.Skill) []string {
	var t []string
	for word, is := range map[string]bool{"critical": s.Critical, "gate": s.Gate, "emergency": s.Emergency, "withdrawn": s.Withdrawn} {
		if is {
			t = append(t, word)
		}
	}
	return sorted(t)
}

func newSkillShowCmd(a *app) *cobra.Command {
	var q questionTimes
	var lang string
	c := &cobra.Command{
		Use:   "show SKILL",
		Short: "Show a skill with its criteria",
		Long: `Show a skill with its criteria, for reading aloud. With --lang the texts of the starter curriculum are said in that
language; what a company wrote itself stands as it wrote it.`,
		Example: "  ringtrue skill show 3.3\n  ringtrue skill show 3.3 --lang es",
		Args:    exactly(1, "SKILL"),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := a.speak(lang); err != nil {
				return err
			}
			std, _, err := a.standardsAsked(q)
			if err != nil {
				return err
			}
			s, m, err := std.skill(args[0])
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"format": "ringtrue/skill/1", "edition": std.Curriculum.Edition, "module": m.ID, "skill": s})
			}
			a.mark()
			a.skillText(s)
			if place := observerPlace(s, std.House); place != "" {
				a.say("%s", a.said("page.observer-place", place, std.House.Edition))
			}
			need := std.Rules.For(s)
			a.say("%s", a.said("show.sign-off-rests", fmt.Sprint(need.Looks), fmt.Sprint(need.Days), fmt.Sprint(need.Unannounced), std.House.Edition))
			if std.Rules.Coverage {
				a.say("%s", a.said("show.every-criterion"))
			}
			return nil
		},
	}
	langFlag(c, &lang)
	questionFlags(c, &q)
	return c
}

// skillText prints a skill and its criteria for reading aloud.
func (a *app) skillText(s training.Skill) {
	title, _ := a.voice().Translated(sheetwords.SkillID(s.ID), s.Title)
	words := eachOf(traitsOf(s), func(trait string) string { return a.word("trait", trait) })
	a.say("%s %s%s", s.ID, title, inBrackets(strings.Join(words, ", ")))
	if s.Look != "" {
		look, _ := a.voice().Render(s.Look)
		a.say("  %s", a.said("show.look", look))
	}
	for _, c := range s.Criteria {
		kind := ""
		if c.Critical {
			kind = a.said("page.critical")
		}
		if c.Measured() {
			kind += " " + a.said("page.measured", a.wanted(c))
		}
		text, _ := a.voice().Translated(sheetwords.CriterionID(s.ID, c.ID), c.Text)
		a.say("  %-18s %s%s", c.ID, text, inBrackets(strings.TrimSpace(kind)))
		a.say("  %-18s %s", "", a.said("show.source", a.word("source", c.Source)))
	}
}

// wanted says the range of a measured criterion.
func (a *app) wanted(c training.Criterion) string {
	switch {
	case c.Min != "" && c.Max != "" && c.Min != c.Max:
		return a.said("page.wanted-between", c.Min, c.Max)
	case c.Min == "":
		return a.said("page.wanted-most", c.Max)
	case c.Max == "":
		return a.said("page.wanted-least", c.Min)
	}
	return c.Min
}

func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " [" + s + "]"
}
