package risk

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawFactors(t *rapid.T) []Factor {
	var out []Factor
	for i := range rapid.IntRange(0, 8).Draw(t, "factors") {
		out = append(out, drawFactor(t, i))
	}
	return out
}

func drawFactor(t *rapid.T, i int) Factor {
	return Factor{ID: "f" + strconv.Itoa(i), Weight: rapid.IntRange(1, 3).Draw(t, "weight"), Experience: rapid.Bool().Draw(t, "experience"),
		Away: "away", Technical: "technical", Organised: "organised"}
}

func drawControls(t *rapid.T) []Control {
	var out []Control
	for range rapid.IntRange(0, 8).Draw(t, "controls") {
		out = append(out, drawControl(t))
	}
	return out
}

func drawControl(t *rapid.T) Control {
	return Control{Factor: "f" + strconv.Itoa(rapid.IntRange(0, 9).Draw(t, "on")), Kind: Kind(rapid.IntRange(0, 6).Draw(t, "kind"))}
}

func drawSeverity(t *rapid.T) int { return rapid.IntRange(1, 4).Draw(t, "severity") }

func TestAFactorNeverLowersALevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		severity, fs, cs := drawSeverity(t), drawFactors(t), drawControls(t)
		was, err := Rate(severity, fs, cs)
		require.NoError(t, err)
		is, err := Rate(severity, append(fs, drawFactor(t, 8)), cs)
		require.NoError(t, err)
		require.GreaterOrEqual(t, is.Before.Level, was.Before.Level)
		require.GreaterOrEqual(t, is.After.Level, was.After.Level)
		require.GreaterOrEqual(t, is.After.Points, was.After.Points)
	})
}

func TestAControlNeverRaisesALevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		severity, fs, cs, c := drawSeverity(t), drawFactors(t), drawControls(t), drawControl(t)
		was, err := Rate(severity, fs, cs)
		require.NoError(t, err)
		is, err := Rate(severity, fs, append(cs, c))
		require.NoError(t, err)
		require.LessOrEqual(t, is.After.Level, was.After.Level)
		require.Equal(t, was.Before, is.Before)
		if c.Kind >= Training {
			require.Equal(t, was.After, is.After, "telling and wearing lower no chance")
		}
	})
}

func TestAfterIsNeverWorseThanBeforeAndNeverEliminated(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, err := Rate(drawSeverity(t), drawFactors(t), drawControls(t))
		require.NoError(t, err)
		require.LessOrEqual(t, s.After.Level, s.Before.Level)
		require.Greater(t, s.After.Level, Eliminated)
		require.Contains(t, "ABCD", string(s.After.Probability))
		require.LessOrEqual(t, len(s.Strongest()), 3)
	})
}

func TestNoControlLowersExperienceAndOnlyTheLargestCounts(t *testing.T) {
	s, err := Rate(2, []Factor{
		{ID: "second", Weight: 1, Experience: true}, {ID: "month", Weight: 3, Experience: true}, {ID: "first", Weight: 2, Experience: true},
	}, []Control{{"month", TakenAway}})
	require.NoError(t, err)
	require.Equal(t, 3, s.Before.Points)
	require.Equal(t, 3, s.After.Points)
	require.Equal(t, "no control lowers this: change the ground or the task", s.Lines[0].Lower())
}

// What is left of a factor, by weight 1, 2, 3 (company choice).
func TestWhatEachKindLeaves(t *testing.T) {
	for kind, want := range map[Kind][3]int{
		TakenAway: {0, 0, 0}, Technical: {1, 1, 1}, Organised: {1, 1, 2}, Training: {1, 2, 3}, PPE: {1, 2, 3}, 0: {1, 2, 3},
	} {
		require.Equal(t, want, [3]int{kind.Leaves(1), kind.Leaves(2), kind.Leaves(3)}, kind)
	}
}

func TestOnlyTheBestControlCounts(t *testing.T) {
	s, err := Rate(2, []Factor{{ID: "rock", Weight: 3}}, []Control{{"rock", Organised}, {"rock", Technical}, {"rock", PPE}, {"wire", TakenAway}})
	require.NoError(t, err)
	require.Equal(t, 1, s.After.Points)
	require.Equal(t, Technical, s.Lines[0].By)
}

// Points to probability, company choice: 0-2 D, 3-5 C, 6-8 B, 9 and more A.
func TestProbabilityBands(t *testing.T) {
	want := "DDDCCCBBBAAAA"
	for points := range want {
		require.Equal(t, want[points], Probability(points), points)
	}
	require.Equal(t, byte('A'), Probability(40))
}

func TestStrongestAndWhatWouldLowerThem(t *testing.T) {
	s, err := Rate(2, []Factor{
		{ID: "a", Weight: 1, Away: "go elsewhere"}, {ID: "b", Weight: 3, Away: "mark out", Organised: "look"}, {ID: "c", Weight: 2},
		{ID: "d", Weight: 3, Technical: "bare soil"}, {ID: "e", Weight: 2, Away: "leave"},
	}, []Control{{"e", TakenAway}, {"d", Technical}, {"b", Organised}})
	require.NoError(t, err)
	var ids, lower []string
	for _, l := range s.Strongest() {
		ids, lower = append(ids, l.Factor.ID), append(lower, l.Lower())
	}
	require.Equal(t, []string{"b", "c", "d"}, ids)
	require.Equal(t, []string{"mark out", "", ""}, lower)
}

func TestRateNamesEveryProblem(t *testing.T) {
	_, err := Rate(2, []Factor{{ID: "a", Weight: 4}, {ID: "b", Weight: 1}, {ID: "b", Weight: 1}, {ID: "c"}}, nil)
	require.ErrorContains(t, err, "factor a weighs 4")
	require.ErrorContains(t, err, "factor b stands twice")
	require.ErrorContains(t, err, "factor c weighs 0")
	_, err = Rate(0, nil, nil)
	require.ErrorContains(t, err, "severity 0 is not in the matrix")
}

func TestKindsAreReadAndWrittenAsWords(t *testing.T) {
	require.Len(t, KindWords(), 5)
	for _, w := range KindWords() {
		k, err := ParseKind(w)
		require.NoError(t, err)
		text, err := k.MarshalText()
		require.NoError(t, err)
		require.Equal(t, w, string(text))
		var back Kind
		require.NoError(t, back.UnmarshalText(text))
		require.Equal(t, k, back)
	}
	_, err := ParseKind("")
	require.ErrorContains(t, err, `"" is not a kind of control; use taken away,`)
}
