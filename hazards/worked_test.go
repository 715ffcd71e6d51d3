package hazards

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/fuel"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
)

// everyFactor finds the factors of the three topics and experience by id, as they are shipped.
func everyFactor() map[string]risk.Factor {
	out := map[string]risk.Factor{}
	for _, f := range slices.Concat(kickback.Factors(), slope.Factors(), experiences) {
		out[f.ID] = f
	}
	for _, f := range fuel.Factors() {
		out[f.ID] = f.Factor
	}
	return out
}

// The eighteen lines of the worked mornings, company choice: which factors are there, what is done about them, and the
// points, probability and level before and after.
var workedMornings = []struct {
	name          string
	severity      int
	factors       []string
	controls      []risk.Control
	before, after string
	pb, pa        int
}{
	{"1a kickback, old hands, light brush", 2, []string{"close-right"}, nil, "D Medium", "D Medium", 1, 1},
	{"1b fall, same", 3, []string{"rough-ground"}, nil, "D Medium", "D Medium", 2, 2},
	{"1c fuel, same, cool", 2, []string{"fuel-far"}, nil, "D Medium", "D Medium", 1, 1},
	{"2 kickback, recruit day 4, light brush, in sight", 2, []string{"first-month"}, taught("first-month"), "C Serious", "C Serious", 3, 3},
	{"3a kickback, old slash and rock, 9 cm stems, talk only", 2, []string{"hidden-base", "largest-stem", "bent-stems"},
		organised("hidden-base", "largest-stem", "bent-stems"), "B High", "C Serious", 7, 4},
	{"3b same, rock and tension patches marked out", 2, []string{"hidden-base", "largest-stem", "bent-stems"},
		append(away("hidden-base", "bent-stems"), organised("largest-stem")...), "B High", "D Medium", 7, 1},
	{"4a fall, 46 % and wet rock, inside the slope limit", 3, []string{"steep 46", "wet-icy", "rough-ground"},
		organised("steepest-slope", "wet-icy"), "B Serious", "B Serious", 8, 6},
	{"4b same, above the house slope limit", 2, []string{"steep 46", "wet-icy", "rough-ground"},
		organised("steepest-slope", "wet-icy"), "B High", "B High", 8, 6},
	{"4c kickback on that slope", 2, []string{"close-right"}, nil, "D Medium", "D Medium", 1, 1},
	{"5a fuel, hot noon, high class, dry litter", 2, []string{"fuel-hot", "dry-litter", "hot-day", "fuel-far"},
		append(organised("fuel-hot", "hot-day"), technical("dry-litter")...), "A High", "C Serious", 9, 5},
	{"5b same, stalled saw, cap opened to look", 2, []string{"fuel-hot", "dry-litter", "hot-day", "fuel-far", "fuel-stalled"},
		append(organised("fuel-hot", "hot-day"), technical("dry-litter")...), "A High", "B High", 12, 8},
	{"6a kickback, recruit week 2, rock, tension, dull, hurry; talk only", 2,
		[]string{"first-month", "hidden-base", "bent-stems", "dull-blade", "tired-hurried"},
		organised("hidden-base", "bent-stems", "tired-hurried"), "A High", "A High", 12, 9},
	{"6b same, blades filed, tension stems out", 2,
		[]string{"first-month", "hidden-base", "bent-stems", "dull-blade", "tired-hurried"},
		append(away("dull-blade", "bent-stems"), organised("hidden-base", "tired-hurried")...), "A High", "B High", 12, 6},
	{"6c moved to light brush, filed, unhurried", 2,
		[]string{"first-month", "hidden-base", "bent-stems", "dull-blade", "tired-hurried"},
		away("hidden-base", "bent-stems", "dull-blade", "tired-hurried"), "A High", "C Serious", 12, 3},
	{"7a kickback, rock, carry-out 70 min, fog, no air", 1, []string{"hidden-base"}, organised("hidden-base"), "C High", "D Serious", 3, 2},
	{"7b same, no rock", 1, []string{"close-right"}, nil, "D Serious", "D Serious", 1, 1},
	{"8a kickback, second-season hand, tired, last day", 2, []string{"second-third-season", "tired-hurried"},
		organised("tired-hurried"), "C Serious", "D Medium", 3, 2},
	{"8b same if less than 3 years = 3 and piece pay = 2 every day", 2, []string{"what-if-3-years", "what-if-piece-pay"}, nil,
		"C Serious", "C Serious", 5, 5},
}

func controls(kind risk.Kind, ids ...string) (out []risk.Control) {
	for _, id := range ids {
		out = append(out, risk.Control{Factor: id, Kind: kind})
	}
	return out
}

func away(ids ...string) []risk.Control      { return controls(risk.TakenAway, ids...) }
func technical(ids ...string) []risk.Control { return controls(risk.Technical, ids...) }
func organised(ids ...string) []risk.Control { return controls(risk.Organised, ids...) }
func taught(ids ...string) []risk.Control    { return controls(risk.Training, ids...) }

func TestWorkedMorningsCompanyChoice(t *testing.T) {
	require.Len(t, workedMornings, 18)
	all := everyFactor()
	steep, counts := slope.SteepFactor(46, starter(t))
	require.True(t, counts)
	all["steep 46"] = steep
	all["what-if-3-years"] = risk.Factor{ID: "what-if-3-years", Weight: 3, Experience: true}
	all["what-if-piece-pay"] = risk.Factor{ID: "what-if-piece-pay", Weight: 2}
	for _, m := range workedMornings {
		var fs []risk.Factor
		for _, id := range m.factors {
			require.Contains(t, all, id, m.name)
			fs = append(fs, all[id])
		}
		s, err := risk.Rate(m.severity, fs, m.controls)
		require.NoError(t, err, m.name)
		require.Equal(t, m.before, string(s.Before.Probability)+" "+s.Before.Level.String(), m.name)
		require.Equal(t, m.after, string(s.After.Probability)+" "+s.After.Level.String(), m.name)
		require.Equal(t, [2]int{m.pb, m.pa}, [2]int{s.Before.Points, s.After.Points}, m.name)
	}
}

func TestWorkedSeveritiesCompanyChoice(t *testing.T) {
	require.Equal(t, 2, risk.Severity(kickback.StartSeverity, false))
	require.Equal(t, 1, risk.Severity(kickback.StartSeverity, true), "carry-out 70 min")
	require.Equal(t, 1, risk.Severity(1, true), "never below 1")
	h := starter(t)
	require.Equal(t, 3, slope.Severity(45, h))
	require.Equal(t, 2, slope.Severity(46, h))
	require.Equal(t, 2, fuel.StartSeverity)
	require.InDelta(t, 45, h.SI(house.SlopeLimit), 0)
}

func TestEveryAskedFactorIsAQuestion(t *testing.T) {
	notAsked := map[string]bool{kickback.DullBlade: true, kickback.FixedThrottle: true, kickback.MissedLook: true, kickback.CloseRight: true}
	n := 0
	for id, f := range everyFactor() {
		_, asked := questionByID(id)
		require.Equal(t, !notAsked[id] && !f.Experience, asked, id)
		require.NotEmpty(t, f.Source, id)
		require.NotEmpty(t, f.Words, id)
		n++
	}
	require.Equal(t, 8+4+11+3, n)
}
