package training_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
)

// twoEditions are two curricula: the second withdraws 8.3, which 9.4 replaces, and 11.3, which nothing replaces; it makes 7.1 a gate skill,
// and asks for a new skill 4.4 in the same task group.
func twoEditions() (was, is training.Curriculum) {
	group := func(skills ...string) []training.Group {
		return []training.Group{{ID: "light", Saw: true, Skills: skills}}
	}
	was = training.Curriculum{Groups: group("1.1"), Modules: []training.Module{{ID: "M", Skills: []training.Skill{
		{ID: "1.1"}, {ID: "3.3", Gate: true}, {ID: "7.1"}, {ID: "8.3"}, {ID: "11.3"}}}}}
	is = training.Curriculum{Groups: group("1.1", "4.4"), Modules: []training.Module{{ID: "M", Skills: []training.Skill{
		{ID: "1.1"}, {ID: "3.3", Gate: true}, {ID: "4.4"}, {ID: "7.1", Gate: true}, {ID: "8.3", Withdrawn: true}, {ID: "9.4", Replaces: "8.3"}, {ID: "11.3", Withdrawn: true}}}}}
	return was, is
}

func heldNow() training.Standing {
	return training.Standing{Word: training.SignedOff, Looked: true, LastMet: true}
}

func TestLossesOfOneWorker(t *testing.T) {
	old, now := twoEditions()
	under := training.Standing{Word: training.UnderTraining}
	was := training.Answers{Curriculum: old, Standings: map[string]training.Standing{"1.1": {Word: training.ToDecide, Looked: true, LastMet: true}, "3.3": heldNow(), "7.1": under, "8.3": heldNow(), "11.3": heldNow()},
		Levels: map[string]training.Level{"light": training.InHearing}}
	is := training.Answers{Curriculum: now, Standings: map[string]training.Standing{"1.1": {Word: training.UnderTraining, Looked: true, LastMet: true}, "3.3": heldNow(), "4.4": under, "7.1": under,
		"9.4": {Word: training.Lapsed, ByGap: true, Looked: true, LastMet: true}},
		Lacks: map[string][]string{"1.1": {"not met yet in a look that counts: rim"}, "9.4": {"0 of 3 met observations"}}, Levels: map[string]training.Level{"light": training.NoSaw}}
	skills, levels := training.Losses(was, is)
	require.Equal(t, []training.SkillLoss{
		{Skill: "1.1", Was: training.ToDecide, Is: training.UnderTraining, Back: []string{"not met yet in a look that counts: rim"}},
		{Skill: "9.4", Was: training.SignedOff, Is: training.Lapsed, Back: []string{"one met return look"}},
		{Skill: "11.3", Was: training.SignedOff},
	}, skills)
	require.Equal(t, []training.LevelLoss{{Group: "light", Was: training.InHearing, Is: training.NoSaw, Looks: []string{"7.1"}, SignOffs: []string{"1.1", "4.4", "7.1"}}}, levels)

	was.Levels["light"], is.Levels["light"] = training.InSight, training.NoSaw
	_, levels = training.Losses(was, is)
	require.Empty(t, levels[0].SignOffs, "in sight needs no sign-off")
	require.Equal(t, []string{"7.1"}, levels[0].Looks)
}

// Whoever stands the same by both editions loses nothing, and a loss always names something that was there before.
func TestLossesAreOnlyWhatWasThere(t *testing.T) {
	words := []training.Word{training.UnderTraining, training.ToDecide, training.SignedOff, training.Due, training.Lapsed, training.Restricted}
	drawn := func(t *rapid.T, c training.Curriculum, name string) training.Answers {
		a := training.Answers{Curriculum: c, Standings: map[string]training.Standing{}, Levels: map[string]training.Level{}}
		for _, s := range c.Modules[0].Skills {
			a.Standings[s.ID] = training.Standing{Word: rapid.SampledFrom(words).Draw(t, name+s.ID)}
		}
		a.Levels["light"] = training.Level(rapid.IntRange(int(training.NoSaw), int(training.Unsupervised)).Draw(t, name))
		return a
	}
	rapid.Check(t, func(t *rapid.T) {
		old, now := twoEditions()
		was, is := drawn(t, old, "was"), drawn(t, now, "is")
		skills, levels := training.Losses(was, was)
		require.Empty(t, skills)
		require.Empty(t, levels)
		skills, levels = training.Losses(was, is)
		for _, l := range skills {
			require.Contains(t, []training.Word{training.SignedOff, training.Due, training.ToDecide}, l.Was)
		}
		for _, l := range levels {
			require.Less(t, l.Is, l.Was)
		}
		for id, st := range was.Standings { // nobody loses a running sign-off without being told
			if !st.Held() {
				continue
			}
			next := map[string]string{"8.3": "9.4", "11.3": ""}
			to, moved := next[id]
			if !moved {
				to = id
			}
			told := false
			for _, l := range skills {
				told = told || l.Skill == to || to == "" && l.Skill == id
			}
			require.Equal(t, !is.Standings[to].Held(), told, id)
		}
	})
}
