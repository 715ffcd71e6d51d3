package training_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

// posture is a skill with each kind of criterion: seen and measured, critical and not, open at either end.
var posture = training.Skill{ID: "3.3", Critical: true, Criteria: []training.Criterion{
	{ID: "release", Critical: true},
	{ID: "elbow", Critical: true, Of: units.Angle, Min: "120deg", Max: "130deg"},
	{ID: "hook", Of: units.Length, Min: "3.5cm"},
	{ID: "undo", Of: units.Time, Max: "3s"},
	{ID: "steers"},
	{ID: "talks"},
}}

func said(marks ...string) []training.Mark {
	var list []training.Mark
	for _, m := range marks {
		id, rest, _ := strings.Cut(m, " ")
		mark := training.Mark{Criterion: id}
		if value, ok := strings.CutPrefix(rest, "= "); ok {
			mark.Value = value
		} else {
			mark.Seen = rest
		}
		list = append(list, mark)
	}
	return list
}

func TestJudge(t *testing.T) {
	whole := []string{"release met", "elbow = 125deg", "hook = 12cm", "undo = 2s", "steers met", "talks met"}
	with := func(marks ...string) []string { // whole, with some said otherwise
		var list []string
		for _, w := range whole {
			id, _, _ := strings.Cut(w, " ")
			for _, m := range marks {
				if strings.HasPrefix(m, id+" ") {
					w = m
				}
			}
			list = append(list, w)
		}
		return list
	}
	for _, c := range []struct {
		name    string
		said    []string
		want    training.Outcome
		reasons []string
	}{
		{"all met", whole, training.OutcomeMet, nil},
		{"only the critical ones said", []string{"release met", "elbow = 125deg"}, training.OutcomeMet, nil},
		{"one miss is allowed", with("talks missed"), training.OutcomeMet, []string{"missed: talks"}},
		{"two misses are too many", with("steers missed", "talks missed"), training.NotMet, []string{"missed: steers", "missed: talks"}},
		{"a seen and a measured miss are two", with("talks missed", "undo = 4s"), training.NotMet, []string{"missed: undo 4s, wanted at most 3s", "missed: talks"}},
		{"critical missed", with("release missed"), training.CriticalMissed, []string{"critical criterion missed: release"}},
		{"critical measured outside", with("elbow = 131deg"), training.CriticalMissed, []string{"critical criterion missed: elbow 131deg, wanted 120deg to 130deg"}},
		{"critical missed beats too many", with("release missed", "steers missed", "talks missed"), training.CriticalMissed,
			[]string{"critical criterion missed: release", "missed: steers", "missed: talks"}},
		{"critical not seen", with("release not seen"), training.Incomplete, []string{"critical criterion not seen: release"}},
		{"critical measured and not said", []string{"release met"}, training.Incomplete, []string{"critical criterion not seen: elbow"}},
		{"missed beats not seen: critical", with("release not seen", "elbow = 90deg"), training.CriticalMissed,
			[]string{"critical criterion not seen: release", "critical criterion missed: elbow 90deg, wanted 120deg to 130deg"}},
		{"missed beats not seen: too many", with("release not seen", "steers missed", "talks missed"), training.NotMet,
			[]string{"critical criterion not seen: release", "missed: steers", "missed: talks"}},
		{"others not seen do not matter", with("steers not seen", "talks not seen", "hook not seen", "undo not seen"), training.OutcomeMet, nil},
		{"at the lower end", with("elbow = 120deg"), training.OutcomeMet, nil},
		{"at the upper end", with("elbow = 130deg"), training.OutcomeMet, nil},
		{"just below", with("elbow = 119.9deg"), training.CriticalMissed, []string{"critical criterion missed: elbow 119.9deg, wanted 120deg to 130deg"}},
		{"at the end in another unit", with("hook = 35mm"), training.OutcomeMet, nil},
		{"below the end in another unit", with("hook = 34mm"), training.OutcomeMet, []string{"missed: hook 34mm, wanted at least 3.5cm"}},
		{"value in range, but said to be missed", append(with("elbow not seen")[:1], "elbow missed"), training.CriticalMissed, []string{"critical criterion missed: elbow"}},
		{"a miss may be told without a value", with("undo missed"), training.OutcomeMet, []string{"missed: undo"}},
		{"nothing said", nil, training.Incomplete, []string{"critical criterion not seen: release", "critical criterion not seen: elbow", "no criterion was seen"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			marks, o, reasons, err := training.Judge(posture, said(c.said...), starterRules())
			require.NoError(t, err)
			require.Equal(t, c.want.String(), o.String())
			require.Equal(t, c.reasons, reasons)
			require.Len(t, marks, len(posture.Criteria))
		})
	}
}

func TestJudgeCompletesTheMarks(t *testing.T) {
	marks, _, _, err := training.Judge(posture, []training.Mark{
		{Criterion: "undo", Value: " 2.50 s"}, {Criterion: "elbow", Seen: training.Missed, Value: "125deg"}, {Criterion: "release", Seen: training.Met},
	}, starterRules())
	require.NoError(t, err)
	require.Equal(t, []training.Mark{
		{Criterion: "release", Seen: training.Met},
		{Criterion: "elbow", Seen: training.Missed, Value: "125deg"}, // the observer's miss stands, whatever was measured
		{Criterion: "hook", Seen: training.NotSeen},
		{Criterion: "undo", Seen: training.Met, Value: "2.50 s"}, // as told
		{Criterion: "steers", Seen: training.NotSeen},
		{Criterion: "talks", Seen: training.NotSeen},
	}, marks)
}

func TestJudgeRefuses(t *testing.T) {
	for _, c := range []struct{ said, want string }{
		{"elbow = 125", `criterion elbow: "125" has no unit; write for example 125deg (deg)`},
		{"elbow = 125cm", `criterion elbow: "cm" is not a unit of angle; use deg`},
		{"elbow = 12%", `criterion elbow: "%" is not a unit of angle; use deg`},
		{"elbow = wide", `criterion elbow: "wide" is not a number with a unit; write for example 125deg`},
		{"elbow = 1250deg", "criterion elbow: 1250deg cannot be: the angle lies between 0deg and 180deg"},
		{"hook = -5cm", "criterion hook: -5cm cannot be: the length lies between 0m and 1000m"},
		{"hook = 12km", "criterion hook: 12km cannot be"},
		{"elbow met", "criterion elbow is measured; give its value with unit, wanted is 120deg to 130deg"},
		{"release = 3s", "criterion release is seen, not measured; it takes no value"},
		{"release seen", `criterion release: "seen" is none of met, missed, not seen`},
		{"quick-release met", `skill 3.3 has no criterion "quick-release"; it has release, elbow, hook, undo, steers, talks`},
	} {
		marks, o, reasons, err := training.Judge(posture, said(c.said), starterRules())
		require.ErrorContains(t, err, c.want)
		require.Nil(t, marks)
		require.Zero(t, o)
		require.Nil(t, reasons)
	}
}

func TestJudgeReportsAllProblemsAtOnce(t *testing.T) {
	_, _, _, err := training.Judge(posture, said("elbow = 125", "hook = 5deg", "undo = 100h", "steers = 1s", "posture met", "talks met", "talks missed", "release yes"), starterRules())
	require.Equal(t, []string{
		`criterion elbow: "125" has no unit; write for example 125deg (deg)`,
		`criterion hook: "deg" is not a unit of length; use cm, ft, in, km, m, mi, mm`,
		"criterion undo: 100h cannot be: the time lies between 0s and 24h",
		"criterion steers is seen, not measured; it takes no value",
		`skill 3.3 has no criterion "posture"; it has release, elbow, hook, undo, steers, talks`,
		"criterion talks is given twice",
		`criterion release: "yes" is none of met, missed, not seen`,
	}, strings.Split(err.Error(), "\n"))
}

func TestJudgeASkillWithoutCriticalCriteria(t *testing.T) {
	s := training.Skill{ID: "3.2", Criteria: []training.Criterion{{ID: "tank"}, {ID: "level"}}}
	_, o, reasons, err := training.Judge(s, nil, starterRules())
	require.NoError(t, err)
	require.Equal(t, training.Incomplete, o, "a look that saw nothing is no evidence")
	require.Equal(t, []string{"no criterion was seen"}, reasons)
	_, o, _, err = training.Judge(s, said("tank met"), starterRules())
	require.NoError(t, err)
	require.Equal(t, training.OutcomeMet, o)
}

func TestJudgeWithoutAllowance(t *testing.T) {
	r := starterRules()
	r.MissesAllowed = 0
	_, o, _, err := training.Judge(posture, said("release met", "elbow = 125deg", "talks missed"), r)
	require.NoError(t, err)
	require.Equal(t, training.NotMet, o)
}

func TestJudgeRefusesADamagedRange(t *testing.T) {
	s := training.Skill{ID: "x", Criteria: []training.Criterion{{ID: "elbow", Of: units.Angle, Min: "120"}}}
	_, _, _, err := training.Judge(s, said("elbow = 125deg"), starterRules())
	require.ErrorContains(t, err, `criterion elbow: range: "120" has no unit`)
}

func TestWanted(t *testing.T) {
	for want, c := range map[string]training.Criterion{
		"120deg to 130deg": {Min: "120deg", Max: "130deg"},
		"at least 10ft":    {Min: "10ft"},
		"at most 3s":       {Max: "3s"},
		"3":                {Min: "3", Max: "3"},
	} {
		require.Equal(t, want, c.Wanted())
	}
}

// A further miss never makes an outcome better, and what was missed decides before what was not seen.
func TestJudgeProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "criteria")
		var s training.Skill
		var marks []training.Mark
		misses, critical, unseen, seen := 0, false, false, false
		for i := range n {
			c := training.Criterion{ID: string(rune('a' + i)), Critical: rapid.Bool().Draw(t, "critical")}
			m := training.Mark{Criterion: c.ID, Seen: rapid.SampledFrom([]string{training.Met, training.Missed, training.NotSeen}).Draw(t, "seen")}
			s.Criteria, marks = append(s.Criteria, c), append(marks, m)
			critical = critical || c.Critical && m.Seen == training.Missed
			unseen = unseen || c.Critical && m.Seen == training.NotSeen
			seen = seen || m.Seen != training.NotSeen
			if !c.Critical && m.Seen == training.Missed {
				misses++
			}
		}
		r := training.Rules{MissesAllowed: rapid.IntRange(0, 2).Draw(t, "allowed")}
		_, o, reasons, err := training.Judge(s, marks, r)
		require.NoError(t, err)
		switch {
		case critical:
			require.Equal(t, training.CriticalMissed, o)
		case misses > r.MissesAllowed:
			require.Equal(t, training.NotMet, o)
		case unseen, !seen:
			require.Equal(t, training.Incomplete, o)
		default:
			require.Equal(t, training.OutcomeMet, o)
		}
		require.Equal(t, o != training.OutcomeMet || misses > 0, len(reasons) > 0)
		i := rapid.IntRange(0, n-1).Draw(t, "missed too")
		if marks[i].Seen != training.NotSeen || o != training.Incomplete { // a miss may end what was incomplete for want of any look
			marks[i].Seen = training.Missed
			_, worse, _, err := training.Judge(s, marks, r)
			require.NoError(t, err)
			require.LessOrEqual(t, worse, o)
		}
	})
}
