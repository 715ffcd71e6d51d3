package catalogue

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// trial is one worker who has shown everything that a task group needs, but for one criterion of one skill.
type trial struct {
	rules   training.Rules
	c       training.Curriculum
	g       training.Group
	lacking string          // skill
	marks   []training.Mark // of every look at it
	seen    map[training.Ref][]training.Mark
	entry   training.Ref
}

const (
	lookedFrom = civil.Day(20600)
	decidedOn  = lookedFrom + 10
)

func (tr *trial) fact(kind training.FactKind, code uint8, day civil.Day, cites ...training.Ref) training.Fact {
	tr.entry++
	at := int64(day)*86400 + 36000
	return training.Fact{Entry: tr.entry, Kind: kind, Code: code, By: uint32(tr.entry%2) + 1, Day: day, Until: civil.None, At: at, Recorded: at, Cites: cites}
}

// asked is the moment of the decision.
func asked() training.Asked {
	return training.Asked{Day: decidedOn, On: int64(decidedOn)*86400 + 70000, Known: math.MaxInt64}
}

// standing looks three times at a skill, on three days, twice unannounced, and signs off what may be signed off.
func (tr *trial) standing(t *rapid.T, id string) training.Standing {
	s, _, ok := tr.c.Skill(id)
	require.True(t, ok, id)
	said := marksBut(s, "", "")
	if id == tr.lacking {
		said = tr.marks
	}
	marks, outcome, _, err := training.Judge(s, said, tr.rules)
	require.NoError(t, err)
	h := training.History{Teaching: []training.Fact{tr.fact(training.FactAttendance, 0, lookedFrom-1)}}
	for n := range civil.Day(3) {
		code := uint8(outcome)
		if n == 0 {
			code |= training.Announced
		}
		f := tr.fact(training.FactObservation, code, lookedFrom+n)
		tr.seen[f.Entry] = marks
		h.Facts = append(h.Facts, f)
	}
	kase := training.Judged(s, h, tr.rules)
	kase.Marks = func(look training.Ref) []training.Mark { return tr.seen[look] }
	if training.Missing(kase, asked()) != nil {
		return training.StandingOf(kase, asked())
	}
	sign := tr.fact(training.FactSignOff, 0, decidedOn, h.Facts[0].Entry, h.Facts[1].Entry, h.Facts[2].Entry)
	sign.Until = decidedOn + 365
	kase.Readings[0].History.Facts = append(slices.Clone(h.Facts), sign)
	return training.StandingOf(kase, asked())
}

// level is what a release for the group comes to.
func (tr *trial) level(t *rapid.T, opening bool) training.Level {
	standings := map[string]training.Standing{}
	for _, id := range append(tr.c.GateSkills(), tr.g.Skills...) {
		standings[id] = tr.standing(t, id)
	}
	rel := tr.fact(training.FactRelease, uint8(training.Unsupervised), decidedOn)
	return training.PermissionFor(tr.g, tr.c, standings, []training.Released{{Fact: rel, Opening: opening}}, asked()).Level
}

func drawTrial(t *rapid.T, criterion func(training.Criterion) bool, skill func(training.Skill) bool) (*trial, training.Criterion) {
	c, err := Starter()
	require.NoError(t, err)
	h, err := house.Starter()
	require.NoError(t, err)
	rules, err := training.RulesOf(h)
	require.NoError(t, err)
	tr := &trial{rules: rules, c: c, seen: map[training.Ref][]training.Mark{}}
	tr.g = rapid.SampledFrom(c.Groups).Draw(t, "group")
	needs := tr.g.Skills
	if tr.g.Saw {
		needs = append(c.GateSkills(), needs...)
	}
	type point struct {
		s training.Skill
		c training.Criterion
	}
	var points []point
	for _, id := range needs {
		s, _, _ := c.Skill(id)
		for _, cr := range s.Criteria {
			if skill(s) && criterion(cr) {
				points = append(points, point{s, cr})
			}
		}
	}
	require.NotEmpty(t, points, tr.g.ID)
	p := rapid.SampledFrom(points).Draw(t, "criterion")
	tr.lacking = p.s.ID
	tr.marks = marksBut(p.s, p.c.ID, rapid.SampledFrom([]string{training.Missed, training.NotSeen}).Draw(t, "said"))
	return tr, p.c
}

func anySkill(training.Skill) bool { return true }

// Who has not shown one critical criterion, of whatever skill a task group needs, is not released for that group.
func TestNobodyIsReleasedWhoLacksOneCriticalCriterion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr, c := drawTrial(t, func(c training.Criterion) bool { return c.Critical }, anySkill)
		require.LessOrEqual(t, tr.level(t, false), training.InSight, "%s %s", tr.lacking, c.ID)
	})
}

// Under coverage the same is true of every criterion that nobody saw, critical or not.
func TestNobodyIsReleasedWhoLacksAnyCriterion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr, c := drawTrial(t, func(c training.Criterion) bool { return !c.Critical }, anySkill)
		require.LessOrEqual(t, tr.level(t, false), training.InSight, "%s %s", tr.lacking, c.ID)
	})
}

// Not even an opening release, which stands in for sign-offs, lets somebody cut who lacks a critical criterion of the gate.
func TestNoOpeningReleaseWithoutTheGate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr, c := drawTrial(t, func(c training.Criterion) bool { return c.Critical }, func(s training.Skill) bool { return s.Gate })
		require.Equal(t, training.NoSaw, tr.level(t, true), "%s %s", tr.lacking, c.ID)
	})
}

// And who lacks nothing is: the three properties above could not hold by refusing everybody.
func TestWhoLacksNothingIsReleased(t *testing.T) {
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		tr, _ := drawTrial(t, func(training.Criterion) bool { return true }, anySkill)
		tr.lacking = ""
		require.Equal(t, training.Unsupervised, tr.level(t, false), tr.g.ID)
		tried++
	})
	require.NotZero(t, tried)
}
