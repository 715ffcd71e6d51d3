package catalogue

import (
	"encoding/csv"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

func starterOf(t testing.TB) training.Curriculum {
	t.Helper()
	c, err := Starter()
	require.NoError(t, err)
	return c
}

// each calls f for every criterion of the starter and fails if there are none.
func each(t *testing.T, f func(at string, s training.Skill, c training.Criterion)) {
	t.Helper()
	n := 0
	for _, m := range starterOf(t).Modules {
		for _, s := range m.Skills {
			for _, c := range s.Criteria {
				f(s.ID+" "+c.ID, s, c)
				n++
			}
		}
	}
	require.Greater(t, n, 43)
}

func skillsWhere(t *testing.T, is func(training.Skill) bool) []string {
	t.Helper()
	ids := []string{}
	for _, m := range starterOf(t).Modules {
		for _, s := range m.Skills {
			if is(s) {
				ids = append(ids, s.ID)
			}
		}
	}
	return ids
}

func TestStarterPassesLint(t *testing.T) {
	c := starterOf(t)
	require.Empty(t, Lint(c))
	left, err := StarterNotCovered()
	require.NoError(t, err)
	require.Empty(t, LintCover(c, left))
	require.Equal(t, "starter-2", c.Edition)
	requireSameFromJSON(t, c)
}

// The trade's catalogue has 12 modules and 52 skills, two of them withdrawn, in this spread.
func TestStarterHasTheModulesAndSkillsOfTheTrade(t *testing.T) {
	want := []int{4, 4, 3, 4, 5, 4, 3, 3, 5, 4, 6, 7}
	c := starterOf(t)
	require.Len(t, c.Modules, len(want))
	total := 0
	for i, m := range c.Modules {
		require.Equal(t, "M"+strconv.Itoa(i+1), m.ID)
		require.Len(t, m.Skills, want[i], m.ID)
		for j, s := range m.Skills {
			require.Equal(t, strconv.Itoa(i+1)+"."+strconv.Itoa(j+1), s.ID)
			total++
		}
	}
	require.Equal(t, 52, total)
}

func TestStarterMarksSkillsAsTheTradeDoes(t *testing.T) {
	require.Equal(t, []string{"1.3", "2.1", "3.1", "3.3", "4.2", "5.1", "5.3", "5.4", "7.1", "9.2", "9.4", "11.1", "12.1", "12.2"}, starterOf(t).GateSkills())
	require.Equal(t, []string{"4.4", "8.3", "12.1", "12.2", "12.4"}, skillsWhere(t, func(s training.Skill) bool { return s.Emergency }))
	other := []string{"1.4", "2.3", "2.4", "3.2", "4.1", "5.5", "6.4", "10.1", "10.2", "10.3", "11.3", "11.6", "12.4", "12.7"}
	require.Equal(t, other, skillsWhere(t, func(s training.Skill) bool { return !s.Critical }))
	require.Equal(t, []string{"8.3", "11.3"}, skillsWhere(t, func(s training.Skill) bool { return s.Withdrawn }))
	require.Equal(t, []string{"9.4"}, skillsWhere(t, func(s training.Skill) bool { return s.Replaces != "" }))
}

func TestStarterSkillsHaveThreeToEightCriteria(t *testing.T) {
	require.Empty(t, skillsWhere(t, func(s training.Skill) bool { return len(s.Criteria) < 3 || len(s.Criteria) > 8 }))
}

// Every skill that is looked at says where the observer stands, or how the look is staged.
func TestEverySkillSaysHowItIsLookedAt(t *testing.T) {
	require.Empty(t, skillsWhere(t, func(s training.Skill) bool { return s.Look == "" && !s.Withdrawn }))
}

// The lines supervisors type in the season's story work as they stand.
func TestTheSeasonsLineIsUnderstood(t *testing.T) {
	s, _, ok := starterOf(t).Skill("3.3")
	require.True(t, ok)
	_, outcome, _, err := training.Judge(s, []training.Mark{
		{Criterion: "elbows", Seen: training.Met}, {Criterion: "steers", Seen: training.Met},
		{Criterion: "elbow", Value: "125deg"}, {Criterion: "quick-release", Seen: training.Missed},
	}, training.Rules{MissesAllowed: 1})
	require.NoError(t, err)
	require.Equal(t, training.CriticalMissed, outcome)
}

// Both ends of every range can be typed, lie in what a hand measurement can be, and count as met.
func TestBothEndsOfEveryRangeAreMet(t *testing.T) {
	each(t, func(at string, s training.Skill, c training.Criterion) {
		for _, end := range []string{c.Min, c.Max} {
			if end == "" {
				continue
			}
			marks, _, _, err := training.Judge(s, []training.Mark{{Criterion: c.ID, Value: end}}, training.Rules{})
			require.NoError(t, err, at)
			i := slices.IndexFunc(marks, func(m training.Mark) bool { return m.Criterion == c.ID })
			require.Equal(t, training.Met, marks[i].Seen, at)
		}
	})
}

var (
	sentence = regexp.MustCompile(`^[A-Z].*[^.!?;:, ]$`)                                                                   // capital, no full stop
	marked   = regexp.MustCompile(`\((both |all )?read( in a restatement)?\)|no source|from memory`)                       // how far it was read
	pronoun  = regexp.MustCompile(`\b(he|him|his|she|her|hers)\b`)                                                         // crews are both
	promise  = regexp.MustCompile(`\b(is|are|was|makes?) safe\b|\bsafely\b|\bcompl(y|ies|iant|iance)\b|\bcertif(y|ied)\b`) // what no list can say
	figure   = regexp.MustCompile(`\d`)
)

func TestCriteriaReadAloudAsOnePlainSentence(t *testing.T) {
	each(t, func(at string, _ training.Skill, c training.Criterion) {
		require.Regexp(t, sentence, c.Text, at)
		require.LessOrEqual(t, len(c.Text), 120, at)
		require.NotRegexp(t, pronoun, c.Text, at)
		require.NotRegexp(t, promise, c.Text, at)
		require.NotContains(t, c.Text, ". ", at)
		if c.Measured() {
			require.NotRegexp(t, figure, c.Text, "%s: the figure belongs to the range", at)
		}
	})
}

func TestEverySourceSaysHowFarItWasRead(t *testing.T) {
	each(t, func(at string, _ training.Skill, c training.Criterion) {
		require.Regexp(t, marked, c.Source, at)
		require.False(t, strings.HasSuffix(c.Source, "."), at)
	})
}

func TestTitlesAreShortAndWithoutFullStop(t *testing.T) {
	c := starterOf(t)
	titles := names(c.Groups, func(g training.Group) string { return g.Title })
	titles = append(titles, names(c.PPE, func(i training.Item) string { return i.Title })...)
	for _, m := range c.Modules {
		titles = append(append(titles, m.Title), names(m.Skills, func(s training.Skill) string { return s.Title })...)
	}
	for _, title := range titles {
		require.Regexp(t, sentence, title)
		require.LessOrEqual(t, len(title), 70, title)
	}
}

// Ranges that the house rules know as well are the same in both.
func TestRangesAgreeWithTheHouseRules(t *testing.T) {
	h, err := house.Starter()
	require.NoError(t, err)
	c := starterOf(t)
	for _, same := range []struct{ skill, criterion, key string }{
		{"4.2", "ignition", house.FuelIgnition}, {"4.2", "start", house.FuelStart},
		{"4.3", "can", house.FuelContainer}, {"5.4", "signal", house.StandOff}, {"6.1", "one-cut", house.OneCut}, {"6.1", "two-cuts", house.LargestStemSaw}, {"9.5", "nearest", house.ObserverPlace}, {"8.1", "thick", house.BentStem},
		{"9.1", "slope", house.SlopeLimit}, {"9.2", "distance", house.StandOff}, {"9.2", "tall", house.TreeLengths},
	} {
		s, _, _ := c.Skill(same.skill)
		crit, ok := s.Criterion(same.criterion)
		require.True(t, ok, same)
		q, err := units.Parse(crit.Min+crit.Max, crit.Of)
		require.NoError(t, err, same)
		require.Equal(t, h.SI(same.key), q.SI(), same)
	}
}

// Ranges as the trade's reference gives them, the most cautious where sources disagree.
func TestRangesAreThoseOfTheTrade(t *testing.T) {
	want := map[string]string{
		"1.2 planted": "at least 100%", "1.3 idle": "at most 0rpm", "2.3 angle": "15deg to 20deg", "3.2 hook": "10cm to 15cm", "3.2 height": "30cm to 40cm",
		"3.3 elbow": "120deg to 130deg", "3.3 quick-release": "at most 3s", "4.1 oil": "1.8% to 2.2%", "4.2 ignition": "at least 20ft", "4.2 heat": "at least 20ft",
		"4.2 start": "at least 10ft", "4.3 can": "at most 5gal", "5.2 carry": "at most 50ft",
		"5.4 signal": "at least 20m", "6.1 one-cut": "at most 6cm", "6.1 two-cuts": "at most 13cm", "6.2 landed": "at least 9",
		"6.4 strip": "2m to 4m", "8.1 thick": "at most 6cm", "8.3 zone": "at least 2", "9.1 slope": "at most 45%", "9.2 distance": "at least 20m",
		"9.2 tall": "at least 2", "9.3 unknown-wire": "at least 6m", "9.3 wire-down": "at least 10m", "9.4 recognises": "at least 10", "9.4 zone": "at least 2",
		"9.5 nearest": "at least 5m", "10.1 test": "at least 90%", "10.1 damaged": "at most 5", "10.2 off-target": "at most 10%", "10.3 radius-off": "at most 2cm",
		"10.3 plots": "at least 3", "10.4 stump": "at most 15cm", "11.2 pause": "at most 30min", "12.1 press": "at most 60s", "12.1 tourniquet": "at most 60s",
		"12.2 call": "at most 2min", "12.2 card": "at most 10s",
	}
	got := map[string]string{}
	each(t, func(at string, _ training.Skill, c training.Criterion) {
		if c.Measured() {
			got[at] = c.Wanted()
		}
	})
	require.Equal(t, want, got)
}

func TestStarterGroups(t *testing.T) {
	c := starterOf(t)
	ids := names(c.Groups, func(g training.Group) string { return g.ID })
	require.Equal(t, []string{"light-brush", "thinning", "two-cut", "clumps", "tension", "slope", "out-of-sight", "fuel", "driving", "training-others"}, ids)
	light, thinning := groupSkills(t, "light-brush"), groupSkills(t, "thinning")
	require.Subset(t, thinning, light)
	require.Contains(t, thinning, "9.1", "a release for thinning reaches ground that is not flat")
	for id, more := range map[string][]string{"two-cut": {"8.1"}, "clumps": {"6.3"}, "tension": {"8.1"}} {
		require.ElementsMatch(t, append(slices.Clone(thinning), more...), groupSkills(t, id), id)
	}
	require.Subset(t, groupSkills(t, "slope"), append(light, "9.1"))
	require.Equal(t, []string{"4.1", "4.2", "4.3", "4.4", "12.2", "12.6"}, groupSkills(t, "fuel"))
	require.Subset(t, groupSkills(t, "training-others"), append(c.GateSkills(), "9.5"), "nobody teaches what they do not hold, nor without knowing where to stand")
	for _, g := range c.Groups {
		require.Equal(t, !slices.Contains([]string{"fuel", "driving", "training-others"}, g.ID), g.Saw, g.ID)
		if g.Saw {
			require.Subset(t, g.PPE, []string{"helmet", "ears", "eyes", "boots", "trousers", "first-dressing", "tourniquet", "gauze"}, "11.1 and 12.1 make them critical")
			require.Subset(t, g.Skills, []string{"10.4", "11.4", "11.5", "11.6", "12.6"}, g.ID)
			require.Empty(t, common(g.Skills, c.GateSkills()), g.ID)
		}
	}
}

func groupSkills(t *testing.T, id string) []string {
	t.Helper()
	g, ok := starterOf(t).Group(id)
	require.True(t, ok, id)
	return slices.Clone(g.Skills)
}

func common(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(a), func(id string) bool { return !slices.Contains(b, id) })
}

// Before work out of sight: all critical skills of M1 to M9 but watching others and clumps, and the check-ins. The gate skills are needed anyway.
func TestOutOfSightNeedsEveryCriticalSkill(t *testing.T) {
	c := starterOf(t)
	require.Subset(t, groupSkills(t, "out-of-sight"), skillsWhere(t, func(s training.Skill) bool {
		_, m, _ := c.Skill(s.ID)
		return s.Critical && !s.Gate && !s.Withdrawn && m.ID != "M10" && !slices.Contains([]string{"6.3", "9.5"}, s.ID)
	}))
}

const chainSawCaution = "Cut protection made for chain saws is not made for this blade"

func TestEquipmentSaysHowFarItsStandardsWereRead(t *testing.T) {
	ids := []string{"helmet", "visor", "eyes", "ears", "gloves", "trousers", "shins", "boots", "high-vis", "first-dressing", "tourniquet", "gauze"}
	require.Equal(t, ids, names(starterOf(t).PPE, func(i training.Item) string { return i.ID }))
	standards := 0
	for _, i := range starterOf(t).PPE {
		for _, standard := range i.Standards {
			standards++
			require.Regexp(t, regexp.QuoteMeta(standard)+`: (number read|title read|from memory)`, i.Note, i.ID)
		}
		require.True(t, strings.HasSuffix(i.Note, "."), i.ID)
		require.NotRegexp(t, `\d years?\b`, i.Note, "no regulator publishes a service life")
		legsOrFeet := strings.HasPrefix(i.Body, "legs") || i.Body == "feet"
		require.True(t, !legsOrFeet || strings.Contains(i.Note, chainSawCaution), i.ID)
	}
	require.Greater(t, standards, len(ids), "one and more for most")
}

// topics reads the published table without its # header and its line of column names.
func topics(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/published/osha_266_training_topics.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.FieldsPerRecord = 4
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1, "the table has no rows")
	return rows[1:]
}

func TestClausesAreThoseOfThePublishedTable(t *testing.T) {
	require.Equal(t, names(topics(t), func(row []string) string { return row[0] }), Clauses)
}

// Every row is covered by a module or left out with a reason, and the six topics of (i)(3) are all covered.
func TestEveryPublishedTopicIsCoveredOrLeftOutWithAReason(t *testing.T) {
	left, err := StarterNotCovered()
	require.NoError(t, err)
	elements := 0
	for _, row := range topics(t) {
		clause, kind := row[0], row[1]
		covered := slices.ContainsFunc(starterOf(t).Modules, func(m training.Module) bool { return slices.Contains(m.Covers, clause) })
		i := slices.IndexFunc(left, func(u Uncovered) bool { return u.Clause == clause })
		require.NotEqual(t, covered, i >= 0, clause)
		if i >= 0 {
			require.True(t, strings.HasSuffix(left[i].Reason, "."), clause)
		}
		if kind == "topic" {
			require.True(t, covered, clause)
			elements++
		}
	}
	require.Equal(t, 6, elements)
}

func BenchmarkStarter(b *testing.B) {
	for b.Loop() {
		if _, err := Starter(); err != nil {
			b.Fatal(err)
		}
	}
}
