package main

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/cmd/ringtrue/internal/glance"
	"example.org/ringtrue/hazards"
	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/hazards/slope"
	sheetwords "example.org/ringtrue/store/page/words"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/catalogue"
)

func catalogueOfWords(t *testing.T) map[string]sheetwords.Message {
	t.Helper()
	all, err := sheetwords.Messages()
	require.NoError(t, err)
	return all
}

// A question that changes in package hazards has to be translated anew.
func TestWordsOfQuestions(t *testing.T) {
	all, want := catalogueOfWords(t), map[string]string{"check.fit": "fit for work today?"}
	for _, q := range append(hazards.Questions(), hazards.Readings()...) {
		want["question."+q.ID] = q.Text
	}
	for _, q := range hazards.SawChecks() {
		want["check."+q.ID] = q.Text
	}
	require.Greater(t, len(want), 60)
	for id, text := range want {
		require.Equal(t, text, all[id].En, id)
	}
	for id := range all {
		if strings.HasPrefix(id, "question.") || strings.HasPrefix(id, "check.") {
			require.NotEmpty(t, want[id], id)
		}
	}
}

// wordFamilies are the words that the program writes, by family.
func wordFamilies(t *testing.T) map[string][]string {
	t.Helper()
	starter, err := catalogue.Starter()
	require.NoError(t, err)
	f := map[string][]string{
		"answer":  {hazards.Yes, hazards.No},
		"verdict": {string(hazards.Go), string(hazards.GoWithControls), string(hazards.Hold), string(glance.NotYet), string(glance.Stopped)},
		"effect":  {string(hazards.StopSite), string(hazards.StopPerson), string(hazards.StopSaw), string(hazards.NeedsControl), string(hazards.Watch)},
		"topic": {hazards.TopicKickback, hazards.TopicFooting, hazards.TopicFuel, hazards.TopicSpacing, hazards.TopicEmergency, hazards.TopicFirstAid, hazards.TopicCrew, hazards.TopicPPE,
			hazards.TopicSaws, hazards.TopicAcceptance, hazards.TopicBook, hazards.TopicWeather, hazards.TopicFire, hazards.TopicNoise, hazards.TopicVibration, hazards.TopicEvent},
		"rank":     {risk.High.String(), risk.Serious.String(), risk.Medium.String(), risk.Low.String()},
		"kind":     risk.KindWords(),
		"trait":    {"critical", "gate", "emergency", "withdrawn"}, // traitsOf
		"section":  {hazards.OnSheet, hazards.WhoIsHere, hazards.SawsHere, hazards.BecauseOf, hazards.AtNoon, hazards.DoneAbout},
		"source":   {"common practice, no source"},
		"seen":     {training.Met, training.Missed, training.NotSeen},
		"piece":    {"held", "look due", "replace", "returned", condemned},
		"class":    fire.ClassNames(),
		"standing": {string(training.UnderTraining), string(training.ToDecide), string(training.SignedOff), string(training.Due), string(training.Lapsed), string(training.Restricted)},
	}
	for l := training.NoSaw; l <= training.Unsupervised; l++ {
		f["level"] = append(f["level"], l.String())
	}
	for _, g := range starter.Groups {
		f["group"] = append(f["group"], g.ID)
	}
	for _, i := range starter.PPE {
		f["gear"] = append(f["gear"], i.ID)
	}
	for _, q := range append(hazards.Questions(), hazards.Readings()...) {
		if !slices.Contains(f["section"], q.Section) {
			f["section"] = append(f["section"], q.Section)
		}
	}
	return f
}

// Each word of a family has its message, and each message of a family its word.
func TestWordsOfFamilies(t *testing.T) {
	all, used := catalogueOfWords(t), map[string]bool{}
	for family, list := range wordFamilies(t) {
		require.NotEmpty(t, list, family)
		for _, w := range list {
			id := sheetwords.WordID(family, w)
			_, there := all[id]
			require.True(t, there, "no message %s", id)
			used[id] = true
		}
	}
	for id := range all {
		if family, _, _ := strings.Cut(id, "."); wordFamilies(t)[family] != nil {
			require.True(t, used[id], "%s is said nowhere", id)
		}
	}
}

// The curriculum that a new book is offered is said in each language. A text that changes there has to be translated anew.
func TestWordsOfCurriculum(t *testing.T) {
	starter, err := catalogue.Starter()
	require.NoError(t, err)
	all, want := catalogueOfWords(t), map[string]string{}
	for _, m := range starter.Modules {
		want["module."+m.ID] = m.Title
		for _, s := range m.Skills {
			want[sheetwords.SkillID(s.ID)] = s.Title
			for _, c := range s.Criteria {
				want[sheetwords.CriterionID(s.ID, c.ID)] = c.Text
			}
		}
	}
	for _, i := range starter.PPE {
		want[sheetwords.ItemID(i.ID)] = i.Title
	}
	require.Greater(t, len(want), 240)
	for id, text := range want {
		require.Equal(t, text, all[id].En, id)
	}
	for id := range all {
		if family, _, _ := strings.Cut(id, "."); slices.Contains([]string{"module", "skill", "criterion", "item"}, family) {
			require.NotEmpty(t, want[id], id)
		}
	}
}

// Words of a company's own are never taken for those of the starter curriculum.
func TestWordsOfACompanyStand(t *testing.T) {
	s, err := sheetwords.In("fr")
	require.NoError(t, err)
	said, ok := s.Translated(sheetwords.SkillID("3.3"), "Handles the saw our way")
	require.False(t, ok)
	require.Equal(t, "Handles the saw our way", said)
}

// sources is the text of all Go files, tests left out, of some folders, string literals put together over lines.
func sources(t *testing.T, folders ...string) string {
	t.Helper()
	var all strings.Builder
	for _, folder := range folders {
		paths, err := filepath.Glob(filepath.Join("../..", folder))
		require.NoError(t, err)
		require.NotEmpty(t, paths, folder)
		for _, path := range paths {
			text, err := os.ReadFile(path)
			require.NoError(t, err)
			if !strings.HasSuffix(path, "_test.go") {
				all.Write(text)
			}
		}
	}
	return regexp.MustCompile(`"\s*\+\s*"`).ReplaceAllString(all.String(), "")
}

// The parts of sentences that the program puts together from words.
var composed = map[string][]string{
	"Kickback on this ground": {`"Kickback"`, `" on this ground"`}, "A fall on this ground": {`"A fall"`, `" on this ground"`},
	"Kickback for": {`"Kickback"`, `" for "`}, "A fall for": {`"A fall"`, `" for "`}, "A fuel burn or spill at the fuel spot": {`"A fuel burn or spill"`, `" at the fuel spot"`},
	"kickback is High after controls": {`"Kickback"`, `" is High after controls"`}, "a fall is High after controls": {`"A fall"`, `" is High after controls"`},
	"It needs water, shade and pauses, and each one watches the other":                           {`"It needs "`, "water, shade and pauses, and each one watches the other"},
	"It needs covered skin, dry clothes and warm breaks, and each one looks at the other's face": {`"It needs "`, "covered skin, dry clothes and warm breaks, and each one looks at the other's face"},
	"This was entered after the fact, not an assessment before work":                             {`"This was "`, "entered after the fact, not an assessment before work"},
	"met observations since": {"met observations", `" since %s on %s"`}, "none unannounced": {`"none "`}, "From class": {`"from class "`}, "The fire restrictions of": {"the fire restrictions of"},
}

var partEnd = regexp.MustCompile(`%s|["()]|: |; |\. |\.$|:$`)

// A recorded sentence is recognised by its English text; each part of it stands in the source that writes it. A sentence
// that was changed there has to be changed, and translated, here.
func TestWordsOfSentences(t *testing.T) {
	text := sources(t, "hazards/*.go", "hazards/house/*.go", "hazards/kickback/*.go", "hazards/slope/*.go", "hazards/fuel/*.go", "hazards/rules/*.go", "hazards/risk/*.go", "hazards/weather/*.go",
		"hazards/fire/*.go", "training/*.go", "cmd/ringtrue/key*.go", "cmd/ringtrue/evidence.go", "cmd/ringtrue/evidence_summary.go", "cmd/ringtrue/decide.go", "cmd/ringtrue/knows.go", "cmd/ringtrue/tailgate_print.go")
	checked := 0
	for id, m := range catalogueOfWords(t) {
		if !strings.HasPrefix(id, "text.") && !strings.HasPrefix(id, "sheet.") && !strings.HasPrefix(id, "entry.") {
			continue
		}
		for _, part := range partEnd.Split(m.En, -1) {
			part = strings.Trim(part, " ,;")
			if len(part) < 4 {
				continue
			}
			checked++
			for _, piece := range append(slices.Clone(composed[part]), part)[:max(1, len(composed[part]))] {
				if !strings.Contains(text, piece) {
					t.Errorf("%s: %q is written nowhere", id, piece)
				}
			}
		}
	}
	require.Greater(t, checked, 500)
}

// Every message of sheets and answers is said by a template or a command.
func TestWordsAreUsed(t *testing.T) {
	text := sources(t, "cmd/ringtrue/*.go", "store/page/*.go", "store/page/templates/*.html")
	checked := 0
	for id := range catalogueOfWords(t) {
		if family, _, _ := strings.Cut(id, "."); family == "page" || family == "show" || family == "hurt" {
			checked++
			if !strings.Contains(text, `"`+id+`"`) {
				t.Errorf("%s is said nowhere", id)
			}
		}
	}
	require.Greater(t, checked, 100)
	all := catalogueOfWords(t)
	for _, m := range regexp.MustCompile(`"((?:page|show|sheet|answer|hurt)\.[a-z-]+)"`).FindAllStringSubmatch(text, -1) {
		_, there := all[m[1]]
		require.True(t, there, "no message %s", m[1])
	}
}

// The emergency text and what every answer says are said in full in each language.
func TestWordsOfEveryAnswer(t *testing.T) {
	card := hazards.Block{ID: "B7", Name: "St. Larch", Lat: "54.71", Lon: "-124.92", Call: "the number. Then the office", Channel: "radio 5", Road: "km 42.5, red gate", Meeting: "landing", PlanB: "carry. Wait", Ambulance: "75min", Walk: "35min"}
	for _, lang := range sheetwords.Languages()[1:] {
		s, err := sheetwords.In(lang)
		require.NoError(t, err)
		for _, line := range append(card.ReadAloud(), hazards.Caution, rules.Closing) {
			said, ok := s.Render(line)
			require.True(t, ok, "%s: %s", lang, line)
			require.NotEqual(t, line, said)
		}
		said, _ := s.Render(card.ReadAloud()[0])
		require.Contains(t, said, "the number. Then the office")
	}
}

// Why something counts is said in each language: the words of every scored factor.
func TestWordsOfFactors(t *testing.T) {
	var all []string
	for _, f := range kickback.Factors() {
		all = append(all, f.Words)
	}
	for _, f := range slope.Factors() {
		all = append(all, f.Words)
	}
	for _, f := range fuel.Factors() {
		all = append(all, f.Words)
	}
	require.Greater(t, len(all), 20)
	for _, lang := range sheetwords.Languages()[1:] {
		s, err := sheetwords.In(lang)
		require.NoError(t, err)
		for _, w := range all {
			_, ok := s.Render(w + ", lowered (technical)")
			require.True(t, ok, "%s: %s", lang, w)
		}
	}
}

// A blank paper marks what stops: as many answers as the sheet to fill in on a machine.
func TestBlankMarksWhatStops(t *testing.T) {
	marks := strings.Count(string(hazards.WriteSheet(hazards.Sheet{}, hazards.Hints{})), "[STOP if ")
	stops := 0
	for _, q := range append(hazards.Questions(), hazards.Readings()...) {
		if q.StopsIf() != "" {
			stops++
		}
	}
	require.Equal(t, marks, stops)
	require.GreaterOrEqual(t, stops, 11)
}
