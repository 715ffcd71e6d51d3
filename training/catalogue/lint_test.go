package catalogue

import (
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
)

func TestTheSoundCurriculumHasNoFindings(t *testing.T) {
	c, err := Parse(folder(sound))
	require.NoError(t, err)
	require.Empty(t, Lint(c))
}

// One damaged place gives exactly one finding, which says where it stands.
func TestLintFindsEachKindOfFault(t *testing.T) {
	const a, b, groups, ppe = "modules/A.yaml", "modules/B.yaml", "groups.yaml", "ppe.yaml"
	for name, c := range map[string]struct{ file, old, now, where, what string }{
		"no edition":               {"edition.yaml", "invented-1", `""`, "curriculum", "edition is missing"},
		"module title":             {a, "title: Standing", "title: ", "module A", "title is missing"},
		"needs an unknown module":  {b, "needs: [A]", "needs: [AA]", "module B", `needs module "AA", which is not known`},
		"needs itself":             {b, "needs: [A]", "needs: [A, B]", "module B", "it needs itself, by way of B"},
		"needs one twice":          {b, "needs: [A]", "needs: [A, A]", "module B", `module "A" is named twice`},
		"unknown clause":           {a, "(i)(3)(i)", "(i)(3)(vii)", "module A", `clause "1910.266(i)(3)(vii)" is not known`},
		"clause twice":             {a, `["1910.266(i)(3)(i)"]`, `["1910.266(i)(3)(i)", "1910.266(i)(3)(i)"]`, "module A", "is named twice"},
		"skill id form":            {a, `"1.1"`, `"1,1"`, "module A, skill 1,1", `"1,1" is not an id`},
		"skill id of another":      {a, `"1.1"`, `"2.1"`, "module B, skill 2.1", "the id stands twice, also in module A"},
		"skill title":              {a, "title: Stands firm", "title: ' '", "module A, skill 1.1", "title is missing"},
		"skill without criteria":   {a, "    criteria:\n      - {id: hat, text: Wears a hat, source: invented}\n", "", "module A, skill 1.2", "it has no criteria"},
		"critical skill alone":     {a, "        critical: true\n", "", "module A, skill 1.1", "it is critical but none of its criteria is"},
		"critical criterion alone": {a, "    critical: true\n    gate: true", "    gate: true", "module A, skill 1.1", "it has a critical criterion but is not critical itself"},
		"replaces nothing known":   {b, `replaces: "1.2"`, `replaces: "1.9"`, "module B, skill 2.1", `it replaces skill "1.9", which is not known`},
		"replaces a live skill":    {b, `replaces: "1.2"`, `replaces: "1.1"`, "module B, skill 2.1", `it replaces skill "1.1", which is not withdrawn`},
		"criterion id form":        {a, "id: feet", "id: Both Feet", "module A, skill 1.1, criterion Both Feet", `"Both Feet" is not an id`},
		"criterion id twice":       {a, "id: knee", "id: feet", "module A, skill 1.1", `criterion "feet" is named twice`},
		"criterion text":           {a, "text: Bends the knee", "text: ''", "module A, skill 1.1, criterion knee", "text is missing"},
		"two lines of text":        {a, "text: Bends the knee", `text: "Bends\nthe knee"`, "module A, skill 1.1, criterion knee", "text holds a line break"},
		"source missing":           {b, ", source: invented", "", "module B, skill 2.1, criterion pace", "source is missing"},
		"unknown quantity":         {a, "of: angle", "of: angel", "module A, skill 1.1, criterion knee", `quantity "angel" is not known`},
		"no range":                 {b, "max: 4km/h, ", "", "module B, skill 2.1, criterion pace", "it is measured but has no range"},
		"range of nothing":         {a, "        of: angle\n", "", "module A, skill 1.1, criterion knee", "it has a range but does not say what is measured"},
		"unknown unit":             {a, "min: 10deg", "min: 10grad", "module A, skill 1.1, criterion knee", `"grad" is not a unit of angle`},
		"unit of another quantity": {a, "max: 20deg", "max: 20cm", "module A, skill 1.1, criterion knee", `"cm" is not a unit of angle`},
		"no unit":                  {b, "max: 4km/h", "max: 4", "module B, skill 2.1, criterion pace", `"4" has no unit`},
		"min above max":            {a, "min: 10deg", "min: 30deg", "module A, skill 1.1, criterion knee", "min 30deg is above max 20deg"},
		"group id form":            {groups, "id: going-about", "id: going about", "task group going about", `"going about" is not an id`},
		"group title":              {groups, "title: Going about", "title: ''", "task group going-about", "title is missing"},
		"group unknown skill":      {groups, `"2.1"`, `"2.2"`, "task group going-about", `skill "2.2" is not known`},
		"group withdrawn skill":    {groups, `"2.1"`, `"1.2"`, "task group going-about", `skill "1.2" is withdrawn`},
		"group skill twice":        {groups, `["2.1"]`, `["2.1", "2.1"]`, "task group going-about", `skill "2.1" is named twice`},
		"group unknown item":       {groups, "[boots]", "[boot]", "task group going-about", `item "boot" is not known`},
		"group item twice":         {groups, "[boots]", "[boots, boots]", "task group going-about", `item "boots" is named twice`},
		"item title":               {ppe, "title: Boots", "title: ''", "protective equipment boots", "title is missing"},
		"item body":                {ppe, "body: feet", "body: ''", "protective equipment boots", "body is missing"},
		"item note":                {ppe, `note: "EN 1: invented."`, `note: ""`, "protective equipment boots", "note is missing"},
		"item standard empty":      {ppe, `["EN 1"]`, `["EN 1", ""]`, "protective equipment boots", "standard is missing"},
		"item standard twice":      {ppe, `["EN 1"]`, `["EN 1", "EN 1"]`, "protective equipment boots", `standard "EN 1" is named twice`},
	} {
		t.Run(name, func(t *testing.T) {
			curriculum, err := Parse(damaged(t, c.file, c.old, c.now))
			require.NoError(t, err)
			found := Lint(curriculum)
			require.Len(t, found, 1)
			require.Equal(t, c.where, found[0].Where)
			require.Contains(t, found[0].What, c.what)
			require.NotEmpty(t, found[0].Next)
			require.ErrorContains(t, found[0], c.where+": ")
		})
	}
}

// Faults that need more than one text replaced: each spoils the sound curriculum once it is read.
func TestLintFindsFaultsOfTheWhole(t *testing.T) {
	for want, spoil := range map[string]func(*training.Curriculum){
		`module A: module "A" is named twice`:                                                              func(c *training.Curriculum) { c.Modules[1].ID = "A"; c.Modules[1].Needs = nil },
		`module C: it has no skills`:                                                                       func(c *training.Curriculum) { c.Modules = append(c.Modules, training.Module{ID: "C", Title: "Empty"}) },
		`module b c: "b c" is not an id`:                                                                   func(c *training.Curriculum) { c.Modules[1].ID = "b c" },
		`module B, skill 1.2: the id of a withdrawn skill is reused`:                                       func(c *training.Curriculum) { reuse(c, c.Modules[0].Skills[1].Criteria) },
		`task group going-about: task group "going-about" is named twice`:                                  func(c *training.Curriculum) { c.Groups = append(c.Groups, c.Groups[0]) },
		`protective equipment boots: item "boots" is named twice`:                                          func(c *training.Curriculum) { c.PPE = append(c.PPE, c.PPE[0]) },
		`protective equipment Boot: "Boot" is not an id`:                                                   func(c *training.Curriculum) { c.PPE = append(c.PPE, c.PPE[0]); c.PPE[1].ID = "Boot" },
		`protective equipment boots: note holds a line break, a tab or another character that is not text`: func(c *training.Curriculum) { c.PPE[0].Note = "\xff" },
	} {
		c, err := Parse(folder(sound))
		require.NoError(t, err)
		spoil(&c)
		require.Equal(t, []string{want}, names(Lint(c), Finding.Error))
	}
}

// reuse gives the id of the withdrawn skill 1.2 to a new one.
func reuse(c *training.Curriculum, criteria []training.Criterion) {
	c.Modules[1].Skills = append(c.Modules[1].Skills, training.Skill{ID: "1.2", Title: "Sits", Criteria: criteria})
}

func TestLintFindsNothingToOffer(t *testing.T) {
	found := Lint(training.Curriculum{})
	require.Equal(t, []string{"edition is missing", "there are no modules"}, names(found, func(f Finding) string { return f.What }))
}

// Every module of a circle is named, with its way round; one that only leads into the circle is not.
func TestLintFollowsLongCircles(t *testing.T) {
	files := maps.Clone(sound)
	files["modules/A.yaml"] = strings.Replace(files["modules/A.yaml"], "title: Standing", "title: Standing\nneeds: [C]", 1)
	files["modules/C.yaml"] = strings.NewReplacer("id: B", "id: C", "needs: [A]", "needs: [B]", `"2.1"`, `"3.1"`, "    replaces: \"1.2\"\n", "").Replace(sound["modules/B.yaml"])
	files["modules/D.yaml"] = strings.NewReplacer("id: B", "id: D", `"2.1"`, `"4.1"`, "    replaces: \"1.2\"\n", "").Replace(sound["modules/B.yaml"])
	c, err := Parse(folder(files))
	require.NoError(t, err)
	require.Equal(t, []Finding{
		{"module A", "it needs itself, by way of C, B, A", "take one of these out of needs"},
		{"module B", "it needs itself, by way of A, C, B", "take one of these out of needs"},
		{"module C", "it needs itself, by way of B, A, C", "take one of these out of needs"},
	}, Lint(c))
}

func TestLintCoverFindsEachKindOfFault(t *testing.T) {
	c, err := Parse(folder(sound))
	require.NoError(t, err)
	var all []Uncovered
	for _, clause := range Clauses {
		if clause != "1910.266(i)(3)(i)" {
			all = append(all, Uncovered{clause, "invented"})
		}
	}
	require.Empty(t, LintCover(c, all))
	for name, spoilt := range map[string]struct {
		left []Uncovered
		want Finding
	}{
		"forgotten": {all[1:], Finding{"clause " + Clauses[0], "neither covered by a module nor listed as not covered", ""}},
		"both":      {append(all[:len(all):len(all)], Uncovered{"1910.266(i)(3)(i)", "invented"}), Finding{"clause 1910.266(i)(3)(i)", "covered by A and listed as not covered", ""}},
		"twice":     {append(all[:len(all):len(all)], all[0]), Finding{"not covered, clause " + Clauses[0], "the clause stands twice", ""}},
		"unknown":   {append(all[:len(all):len(all)], Uncovered{"1910.266(j)", "invented"}), Finding{"not covered, clause 1910.266(j)", `clause "1910.266(j)" is not known`, ""}},
		"no reason": {append(all[1:len(all):len(all)], Uncovered{all[0].Clause, ""}), Finding{"not covered, clause " + Clauses[0], "reason is missing", ""}},
	} {
		found := LintCover(c, spoilt.left)
		require.Len(t, found, 1, name)
		require.Equal(t, spoilt.want.Error(), found[0].Error(), name)
		require.NotEmpty(t, found[0].Next, name)
	}
}

// All findings at once: taking the source from n criteria gives n findings.
func TestLintReportsAllFindings(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c, err := Starter()
		require.NoError(rt, err)
		want := 0
		for _, m := range c.Modules {
			for _, s := range m.Skills {
				for i := range s.Criteria {
					if rapid.IntRange(0, 19).Draw(rt, "spoil") == 0 {
						s.Criteria[i].Source = ""
						want++
					}
				}
			}
		}
		require.Len(rt, Lint(c), want)
	})
}
