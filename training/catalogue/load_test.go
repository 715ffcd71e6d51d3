package catalogue

import (
	"encoding/json"
	"io/fs"
	"maps"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
)

// sound is a small invented curriculum with nothing wrong in it.
var sound = map[string]string{
	"edition.yaml": "edition: invented-1\n",
	"modules/A.yaml": `id: A
title: Standing
covers: ["1910.266(i)(3)(i)"]
skills:
  - id: "1.1"
    title: Stands firm
    critical: true
    gate: true
    criteria:
      - id: feet
        text: Has both feet on the ground
        critical: true
        source: invented
      - id: knee
        text: Bends the knee
        of: angle
        min: 10deg
        max: 20deg
        source: invented
  - id: "1.2"
    title: Stands as in former years
    withdrawn: true
    criteria:
      - {id: hat, text: Wears a hat, source: invented}
`,
	"modules/B.yaml": `id: B
title: Walking
needs: [A]
skills:
  - id: "2.1"
    title: Walks on
    replaces: "1.2"
    criteria:
      - {id: pace, text: Keeps the pace, of: speed, max: 4km/h, source: invented}
`,
	"groups.yaml": `groups:
  - {id: going-about, title: Going about, saw: true, skills: ["2.1"], ppe: [boots]}
`,
	"ppe.yaml": `ppe:
  - {id: boots, title: Boots, body: feet, standards: ["EN 1"], note: "EN 1: invented."}
`,
	"not-covered.yaml": `not-covered:
  - {clause: "1910.266(i)(8)", reason: A rule on who teaches.}
`,
}

// folder lays files out as a file system.
func folder(files map[string]string) fstest.MapFS {
	out := fstest.MapFS{}
	for name, text := range files {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

// damaged is the sound curriculum with one text of one file replaced.
func damaged(t *testing.T, file, old, now string) fs.FS {
	t.Helper()
	files := maps.Clone(sound)
	require.Equal(t, 1, strings.Count(files[file], old), "%q in %s", old, file)
	files[file] = strings.Replace(files[file], old, now, 1)
	return folder(files)
}

func TestParseReadsACurriculum(t *testing.T) {
	c, err := Parse(folder(sound))
	require.NoError(t, err)
	require.Equal(t, "invented-1", c.Edition)
	require.Equal(t, []training.Module{
		{ID: "A", Title: "Standing", Needs: []string{}, Covers: []string{"1910.266(i)(3)(i)"}, Skills: []training.Skill{
			{ID: "1.1", Title: "Stands firm", Critical: true, Gate: true, Criteria: []training.Criterion{
				{ID: "feet", Text: "Has both feet on the ground", Critical: true, Source: "invented"},
				{ID: "knee", Text: "Bends the knee", Of: "angle", Min: "10deg", Max: "20deg", Source: "invented"},
			}},
			{ID: "1.2", Title: "Stands as in former years", Withdrawn: true, Criteria: []training.Criterion{
				{ID: "hat", Text: "Wears a hat", Source: "invented"},
			}},
		}},
		{ID: "B", Title: "Walking", Needs: []string{"A"}, Covers: []string{}, Skills: []training.Skill{
			{ID: "2.1", Title: "Walks on", Replaces: "1.2", Criteria: []training.Criterion{
				{ID: "pace", Text: "Keeps the pace", Of: "speed", Max: "4km/h", Source: "invented"},
			}},
		}},
	}, c.Modules)
	require.Equal(t, []training.Group{{ID: "going-about", Title: "Going about", Saw: true, Skills: []string{"2.1"}, PPE: []string{"boots"}}}, c.Groups)
	require.Equal(t, []training.Item{{ID: "boots", Title: "Boots", Body: "feet", Standards: []string{"EN 1"}, Note: "EN 1: invented."}}, c.PPE)
	left, err := NotCovered(folder(sound))
	require.NoError(t, err)
	require.Equal(t, []Uncovered{{"1910.266(i)(8)", "A rule on who teaches."}}, left)
}

func TestModulesComeInTheOrderOfTheirNumbers(t *testing.T) {
	files := maps.Clone(sound)
	for _, id := range []string{"M10", "M2", "M9"} {
		files["modules/"+id+".yaml"] = "id: " + id + "\n"
	}
	c, err := Parse(folder(files))
	require.NoError(t, err)
	require.Equal(t, []string{"A", "B", "M2", "M9", "M10"}, names(c.Modules, func(m training.Module) string { return m.ID }))
}

func TestNotCoveredMayBeLeftOut(t *testing.T) {
	files := maps.Clone(sound)
	delete(files, notCoveredFile)
	_, err := Parse(folder(files))
	require.NoError(t, err)
	left, err := NotCovered(folder(files))
	require.NoError(t, err)
	require.Empty(t, left)
}

func TestParseRefusesWithFileAndLine(t *testing.T) {
	for name, c := range map[string]struct{ file, old, now, want string }{
		"unknown key of a criterion": {"modules/A.yaml", "        of: angle", "        off: angle", "modules/A.yaml: line 16: unknown key off"},
		"unknown key of a skill":     {"modules/A.yaml", "    gate: true", "    gated: true", "modules/A.yaml: line 8: unknown key gated"},
		"unknown key of a module":    {"modules/B.yaml", "needs:", "neds:", "modules/B.yaml: line 3: unknown key neds"},
		"unknown key of a group":     {"groups.yaml", "saw: true", "sow: true", "groups.yaml: line 2: unknown key sow"},
		"unknown key of an item":     {"ppe.yaml", "note:", "nota:", "ppe.yaml: line 2: unknown key nota"},
		"unknown key not covered":    {"not-covered.yaml", "reason:", "why:", "not-covered.yaml: line 2: unknown key why"},
		"unknown key at the top":     {"edition.yaml", "edition:", "edtion:", "edition.yaml: line 1: unknown key edtion"},
		"key twice":                  {"modules/B.yaml", "title: Walking", "title: Walking\ntitle: Running", "modules/B.yaml: line 3: "},
		"word for yes or no":         {"modules/A.yaml", "    gate: true", "    gate: perhaps", "modules/A.yaml: line 8: cannot unmarshal"},
		"list for a word":            {"modules/B.yaml", "title: Walking", "title: [Walking]", "modules/B.yaml: line 2: cannot unmarshal"},
		"broken YAML":                {"groups.yaml", "groups:", "groups: [", "groups.yaml: "},
		"two documents":              {"edition.yaml", "invented-1", "invented-1\n---\nedition: x", "edition.yaml: more than one document"},
		"empty file":                 {"edition.yaml", "edition: invented-1\n", "", "edition.yaml: the file is empty"},
		"file not named as its id":   {"modules/B.yaml", "id: B", "id: C", `modules/B.yaml: the id inside is "C"`},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := Parse(damaged(t, c.file, c.old, c.now))
			require.ErrorContains(t, err, "read curriculum: "+c.want)
			require.Empty(t, got)
		})
	}
}

func TestParseRefusesFilesMissingOrPassedOver(t *testing.T) {
	for _, name := range []string{editionFile, groupsFile, ppeFile} {
		files := maps.Clone(sound)
		delete(files, name)
		_, err := Parse(folder(files))
		require.ErrorContains(t, err, name+": the file is missing")
	}
	for _, name := range []string{"groups.yml", "M3.yaml", "modules/C.yml"} {
		files := maps.Clone(sound)
		files[name] = "id: C\n"
		_, err := Parse(folder(files))
		require.ErrorContains(t, err, name+": not a file of a curriculum")
	}
	_, err := Parse(fstest.MapFS{})
	require.ErrorContains(t, err, "no modules found")
}

func TestParsePassesOverWhatIsNoYAML(t *testing.T) {
	files := maps.Clone(sound)
	files["README.txt"], files["modules/drawing.png"] = "x", "x"
	_, err := Parse(folder(files))
	require.NoError(t, err)
}

func TestParseReportsAllProblemsAtOnce(t *testing.T) {
	files := maps.Clone(sound)
	files["modules/A.yaml"] = "id: A\ntitel: x\nnedes: [B]\n"
	files["modules/B.yaml"] = "id: C\n"
	files["ppe.yaml"] = "pppe: []\n"
	files["not-covered.yaml"] = "- x\n"
	delete(files, "groups.yaml")
	_, err := Parse(folder(files))
	for _, want := range []string{
		"modules/A.yaml: line 2: unknown key titel", "modules/A.yaml: line 3: unknown key nedes", "modules/B.yaml: the id inside",
		"ppe.yaml: line 1: unknown key pppe", "not-covered.yaml: line 1: ", "groups.yaml: the file is missing",
	} {
		require.ErrorContains(t, err, want)
	}
}

func TestNotCoveredTellsFileAndLine(t *testing.T) {
	_, err := NotCovered(damaged(t, "not-covered.yaml", "reason:", "why:"))
	require.ErrorContains(t, err, "not-covered.yaml: line 2: unknown key why")
}

// FuzzParse: whatever a file holds, reading it neither panics nor hides the file's name; every finding says where,
// what and what next; a curriculum without findings comes back unchanged from the JSON in which a book records it.
func FuzzParse(f *testing.F) {
	for _, name := range []string{"modules/A.yaml", "modules/B.yaml", "groups.yaml", "ppe.yaml", "edition.yaml", "not-covered.yaml"} {
		f.Add(name, sound[name])
	}
	f.Add("modules/A.yaml", "id: A\n---\n")
	f.Add("modules/A.yaml", "id: A\nneeds: [A]\nskills: [~, {criteria: [~]}]\n")
	f.Add("groups.yaml", "groups: &a [*a]\n")
	f.Add("ppe.yaml", "ppe: [{id: !!binary /w==}]\n")
	f.Fuzz(func(t *testing.T, name, text string) {
		if _, known := sound[name]; !known {
			return
		}
		files := maps.Clone(sound)
		files[name] = text
		c, err := Parse(folder(files))
		if err != nil {
			require.ErrorContains(t, err, name)
			return
		}
		found := Lint(c)
		for _, one := range found {
			require.NotEmpty(t, one.Where)
			require.NotEmpty(t, one.What)
			require.NotEmpty(t, one.Next)
		}
		if len(found) == 0 {
			requireSameFromJSON(t, c)
		}
	})
}

func requireSameFromJSON(t *testing.T, c training.Curriculum) {
	t.Helper()
	body, err := json.Marshal(c)
	require.NoError(t, err)
	require.NotContains(t, string(body), ":null")
	var back training.Curriculum
	require.NoError(t, json.Unmarshal(body, &back))
	require.Equal(t, c, back)
}

func TestParseReadsNoPipeAndNothingEndless(t *testing.T) {
	files := folder(sound)
	files["ppe.yaml"] = &fstest.MapFile{Mode: fs.ModeNamedPipe | 0o600}
	files["groups.yaml"] = &fstest.MapFile{Data: make([]byte, maxFile+1)}
	_, err := Parse(files)
	require.ErrorContains(t, err, "ppe.yaml: it is not a file")
	require.ErrorContains(t, err, "groups.yaml: it has 1048577 bytes, more than the 1048576 allowed")
}
