package training_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// course has two gate skills and two task groups; thinning names a gate skill once more.
var course = training.Curriculum{
	Modules: []training.Module{
		{ID: "M3", Skills: []training.Skill{{ID: "3.3", Critical: true, Gate: true}, {ID: "4.2", Critical: true, Gate: true}, {ID: "4.9", Gate: true, Withdrawn: true}}},
		{ID: "M6", Skills: []training.Skill{{ID: "6.1"}, {ID: "7.1", Critical: true}}},
	},
	Groups: []training.Group{
		{ID: "light-brush", Saw: true, Skills: []string{"6.1"}},
		{ID: "thinning", Saw: true, Skills: []string{"3.3", "6.1", "7.1"}},
		{ID: "marking", Skills: []string{"6.1"}},
		{ID: "fuel", Skills: []string{"4.2", "6.1"}},
	},
}

func held() training.Standing {
	return training.Standing{Word: training.SignedOff, Looked: true, LastMet: true}
}
func seenOnce() training.Standing {
	return training.Standing{Word: training.UnderTraining, Looked: true, LastMet: true}
}
func missedOnce() training.Standing {
	return training.Standing{Word: training.UnderTraining, Looked: true}
}
func neverSeen() training.Standing { return training.Standing{Word: training.UnderTraining} }

// all gives every skill the same standing, with some otherwise.
func all(st training.Standing, but map[string]training.Standing) map[string]training.Standing {
	m := map[string]training.Standing{"3.3": st, "4.2": st, "6.1": st, "7.1": st}
	for id, s := range but {
		m[id] = s
	}
	return m
}

func release(entry int, at string, l training.Level, until string) training.Released {
	f := fact(entry, at, training.FactRelease, uint8(l))
	f.Until, _ = civil.Parse(until)
	return training.Released{Fact: f}
}

func ownWord(r training.Released) training.Released {
	r.Opening, r.OwnWord = true, true
	return r
}

func opening(r training.Released) training.Released {
	r.Opening = true
	return r
}

func TestPermissionFor(t *testing.T) {
	type standings = map[string]training.Standing
	free := release(50, "2026-06-01", training.Unsupervised, "2027-06-01")
	restricted := training.Standing{Word: training.Restricted, LastMet: true, Reasons: []training.Reason{{Text: "restricted on 2026-07-01", Entry: 77}}}
	alone := training.Standing{Word: training.SignedOff, LastMet: true, Alone: true}
	for _, c := range []struct {
		name      string
		group     string
		standings standings
		releases  []training.Released
		want      training.Level
		reasons   []string
	}{
		{"nothing known", "light-brush", nil, nil, training.NoSaw, []string{
			"gate skill 3.3: the latest look is not met, or there is none", "gate skill 4.2: the latest look is not met, or there is none",
			"skill 6.1 is unknown, so not held", "no release for light-brush is in force"}},
		{"nothing known, and a release", "light-brush", nil, []training.Released{free}, training.NoSaw, nil},
		{"gate skills met in the latest look: first cutting", "light-brush", all(seenOnce(), nil), nil, training.InSight, []string{
			"skill 3.3 is under training", "skill 4.2 is under training", "skill 6.1 is under training", "no release for light-brush is in force"}},
		{"one gate skill not met in the latest look", "light-brush", all(seenOnce(), standings{"4.2": neverSeen()}), nil, training.NoSaw, nil},
		{"another skill never looked at", "light-brush", all(seenOnce(), standings{"6.1": {}}), nil, training.InSight, nil},
		{"all held, no release", "light-brush", all(held(), nil), nil, training.InSight, []string{"no release for light-brush is in force"}},
		{"all held and released", "light-brush", all(held(), nil), []training.Released{free}, training.Unsupervised, []string{"released for light-brush, unsupervised, until 2027-06-01"}},
		{"due is held", "light-brush", all(training.Standing{Word: training.Due, LastMet: true}, nil), []training.Released{free}, training.Unsupervised, nil},
		{"periodic check", "light-brush", all(held(), nil), []training.Released{release(50, "2026-06-01", training.PeriodicCheck, "")}, training.PeriodicCheck, []string{"released for light-brush, periodic check"}},
		{"in hearing", "light-brush", all(held(), nil), []training.Released{release(50, "2026-06-01", training.InHearing, "2027-06-01")}, training.InHearing, nil},
		{"a skill the group does not need does not matter", "light-brush", all(held(), standings{"7.1": restricted}), []training.Released{free}, training.Unsupervised, nil},
		{"to decide works as under training", "thinning", all(held(), standings{"7.1": {Word: training.ToDecide, LastMet: true}}), []training.Released{free}, training.InSight, []string{
			"skill 7.1 is to decide", "released for thinning, unsupervised, until 2027-06-01"}},
		{"lapsed by the gap works in sight until the return look", "thinning", all(held(), standings{"3.3": {Word: training.Lapsed, LastMet: true, ByGap: true}}), []training.Released{free}, training.InSight, []string{
			"skill 3.3 is lapsed", "released for thinning, unsupervised, until 2027-06-01"}},
		{"a held gate skill is not asked for its latest look again", "light-brush", all(held(), standings{"3.3": {Word: training.SignedOff}}), []training.Released{free}, training.Unsupervised, nil},

		{"restricted gate skill", "light-brush", all(held(), standings{"3.3": restricted}), []training.Released{free}, training.NoSaw, []string{
			"skill 3.3 is restricted; only as instruction, in sight of one appointed person who is not sawing", "released for light-brush, unsupervised, until 2027-06-01"}},
		{"restricted skill of the group", "thinning", all(held(), standings{"7.1": restricted}), []training.Released{free}, training.NoSaw, nil},
		{"restricted under an opening release", "light-brush", all(seenOnce(), standings{"6.1": restricted}), []training.Released{opening(release(50, "2026-06-01", training.InHearing, "2026-07-20"))}, training.NoSaw, nil},

		{"alone: one person observed and signed", "light-brush", all(held(), standings{"6.1": alone}), []training.Released{free}, training.InSight, []string{
			"skill 6.1 was seen and signed off by one person alone", "released for light-brush, unsupervised, until 2027-06-01"}},

		{"opening release: gate skills met once", "light-brush", all(seenOnce(), standings{"6.1": neverSeen()}), []training.Released{opening(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.InHearing, []string{
			"skill 3.3: credited, met in the latest look, not yet signed off here", "skill 4.2: credited, met in the latest look, not yet signed off here",
			"skill 6.1: credited, not yet seen here", "released for light-brush, in hearing, until 2026-07-20"}},
		{"opening release: never more than in hearing", "light-brush", all(seenOnce(), nil), []training.Released{opening(release(50, "2026-06-10", training.Unsupervised, "2026-07-20"))}, training.InHearing, nil},
		{"opening release: a gate skill not looked at", "light-brush", all(seenOnce(), standings{"4.2": neverSeen()}), []training.Released{opening(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.NoSaw, nil},
		{"opening release: does not cover what has lapsed", "light-brush", all(seenOnce(), standings{"6.1": {Word: training.Lapsed, LastMet: true}}), []training.Released{opening(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.InSight, nil},
		{"opening release: a skill that was seen and not met stays in sight", "light-brush", all(seenOnce(), standings{"6.1": missedOnce()}), []training.Released{opening(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.InSight, []string{
			"skill 3.3: credited, met in the latest look, not yet signed off here", "skill 4.2: credited, met in the latest look, not yet signed off here", "skill 6.1 is under training",
			"released for light-brush, in hearing, until 2026-07-20"}},
		{"own word: a boss whom nobody has looked at", "light-brush", nil, []training.Released{ownWord(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.InHearing, []string{
			"skill 3.3: own word, not yet seen here", "skill 4.2: own word, not yet seen here", "skill 6.1: own word, not yet seen here",
			"released for light-brush, in hearing, until 2026-07-20, own word; somebody else has to look"}},
		{"own word: somebody looked, and it was not met", "light-brush", all(neverSeen(), standings{"4.2": missedOnce()}), []training.Released{ownWord(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.NoSaw, nil},
		{"own word: restricted", "light-brush", all(neverSeen(), standings{"4.2": restricted}), []training.Released{ownWord(release(50, "2026-06-10", training.InHearing, "2026-07-20"))}, training.NoSaw, nil},
		{"own word: never more than in hearing", "light-brush", nil, []training.Released{ownWord(release(50, "2026-06-10", training.Unsupervised, "2026-07-20"))}, training.InHearing, nil},
		{"own word: when it has ended nothing is left", "light-brush", nil, []training.Released{ownWord(release(50, "2026-05-20", training.InHearing, "2026-07-01"))}, training.NoSaw, nil},
		{"opening release: ended", "light-brush", all(seenOnce(), nil), []training.Released{opening(release(50, "2026-05-20", training.InHearing, "2026-07-01"))}, training.InSight, nil},

		{"release on its last day", "light-brush", all(held(), nil), []training.Released{release(50, "2026-06-01", training.InHearing, "2026-07-02")}, training.InHearing, nil},
		{"release ended that morning", "light-brush", all(held(), nil), []training.Released{release(50, "2026-06-01", training.InHearing, "2026-07-01")}, training.InSight, []string{"no release for light-brush is in force"}},
		{"release of tomorrow", "light-brush", all(held(), nil), []training.Released{release(50, "2026-07-02", training.InHearing, "")}, training.InSight, nil},
		{"replaced release", "light-brush", all(held(), nil), []training.Released{free, release(51, "2026-06-20", training.InHearing, "2027-06-01")}, training.InHearing, []string{"released for light-brush, in hearing, until 2027-06-01"}},
		{"a replacing release that has ended leaves none", "light-brush", all(held(), nil), []training.Released{free, release(51, "2026-06-20", training.InHearing, "2026-06-30")}, training.InSight, nil},
		{"a struck replacement never was", "light-brush", all(held(), nil), []training.Released{free, {Fact: struck(release(51, "2026-06-20", training.InHearing, "").Fact)}}, training.Unsupervised, nil},
		{"a void release does not count", "light-brush", all(held(), nil), []training.Released{{Fact: void(free.Fact)}}, training.InSight, nil},
		{"a release recorded later was not known", "light-brush", all(held(), nil), []training.Released{{Fact: recorded(free.Fact, "2031-01-01")}}, training.InSight, nil},

		{"work without a saw asks no gate skills", "marking", standings{"6.1": held()}, []training.Released{release(50, "2026-06-01", training.Unsupervised, "")}, training.Unsupervised, []string{"released for marking, unsupervised"}},
		{"work without a saw, skill not held", "marking", nil, []training.Released{free}, training.InSight, nil},
		{"work without a saw that needs a gate skill: a recruit hands out no fuel", "fuel", nil, nil, training.NoSaw, []string{
			"gate skill 4.2: the latest look is not met, or there is none", "skill 6.1 is unknown, so not held", "no release for fuel is in force"}},
		{"and does in sight once that was met", "fuel", standings{"4.2": seenOnce()}, nil, training.InSight, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			g, ok := course.Group(c.group)
			require.True(t, ok)
			p := training.PermissionFor(g, course, c.standings, c.releases, endOfDay(day(t, "2026-07-01"), day(t, "2030-01-01")))
			require.Equal(t, c.want.String(), p.Level.String())
			require.Equal(t, c.group, p.Group)
			if c.reasons != nil {
				require.Equal(t, c.reasons, texts(p.Reasons))
			}
		})
	}
}

func TestPermissionNamesEntriesAndSlope(t *testing.T) {
	g, _ := course.Group("light-brush")
	rel := release(50, "2026-06-01", training.InHearing, "")
	rel.Slope = "30%"
	restricted := training.Standing{Word: training.Restricted, Reasons: []training.Reason{{Text: "met again"}, {Text: "restricted", Entry: 77}}}
	p := training.PermissionFor(g, course, all(held(), map[string]training.Standing{"6.1": restricted}), []training.Released{rel}, on(t, "2026-07-01"))
	require.Equal(t, "30%", p.Slope)
	require.Equal(t, training.Ref(77), p.Reasons[0].Entry)
	require.Equal(t, training.Ref(50), p.Reasons[1].Entry)
}

// Of two releases at the same second the lower level has the last word.
func TestReleasesOfTheSameSecond(t *testing.T) {
	g, _ := course.Group("light-brush")
	for _, pair := range [][2]training.Level{{training.Unsupervised, training.InHearing}, {training.InHearing, training.Unsupervised}} {
		list := []training.Fact{release(50, "2026-06-01", pair[0], "").Fact, release(51, "2026-06-01", pair[1], "").Fact}
		training.Sort(list)
		p := training.PermissionFor(g, course, all(held(), nil), []training.Released{{Fact: list[0]}, {Fact: list[1]}}, on(t, "2026-07-01"))
		require.Equal(t, training.InHearing.String(), p.Level.String())
	}
}

// The levels as design tells them, for any standings and release.
func TestPermissionProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := rapid.SampledFrom(course.Groups).Draw(t, "group")
		st := map[string]training.Standing{}
		for _, id := range []string{"3.3", "4.2", "6.1", "7.1"} {
			if rapid.IntRange(0, 5).Draw(t, id) > 0 {
				st[id] = training.Standing{
					Word:    rapid.SampledFrom([]training.Word{training.UnderTraining, training.ToDecide, training.SignedOff, training.SignedOff, training.Due, training.Lapsed, training.Restricted}).Draw(t, "word"),
					LastMet: rapid.IntRange(0, 3).Draw(t, "met") > 0, Alone: rapid.IntRange(0, 5).Draw(t, "alone") == 0,
				}
				one := st[id]
				one.Looked = one.LastMet || rapid.Bool().Draw(t, "looked at")
				st[id] = one
			}
		}
		needs := map[string]bool{}
		for _, id := range g.Skills {
			needs[id] = true
		}
		if g.Saw {
			needs["3.3"], needs["4.2"] = true, true
		}
		rel := training.Released{Fact: training.Fact{Kind: training.FactRelease, Until: civil.None}, Opening: rapid.Bool().Draw(t, "opening")}
		rel.OwnWord = rel.Opening && rapid.Bool().Draw(t, "own word")
		rel.Fact.Code = uint8(rapid.SampledFrom([]training.Level{training.InHearing, training.PeriodicCheck, training.Unsupervised}).Draw(t, "level"))
		p := training.PermissionFor(g, course, st, []training.Released{rel}, training.Asked{Day: 1, On: 86400, Known: 86400})
		for id := range needs {
			s := st[id]
			vouched := rel.OwnWord && !s.Looked
			if s.Word == training.Restricted || ((id == "3.3" || id == "4.2") && !s.Held() && !s.LastMet && !vouched) {
				require.Equal(t, training.NoSaw, p.Level, "%s: %+v", id, s)
			}
			if !s.Held() && !rel.Opening || s.Held() && s.Alone || s.Word == training.Lapsed {
				require.LessOrEqual(t, p.Level, training.InSight, "%s: %+v", id, s)
			}
		}
		require.LessOrEqual(t, p.Level, training.Level(rel.Fact.Code))
		if rel.Opening {
			require.LessOrEqual(t, p.Level, training.InHearing)
		}
		require.GreaterOrEqual(t, p.Level, training.NoSaw)
		require.NotEmpty(t, p.Reasons)
	})
}
