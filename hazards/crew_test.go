package hazards

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training"
)

// recruit plans rosa in sight of okafor, on her fourth day.
func recruit(t testing.TB) Input {
	in := easyMorning(t)
	in.Sheet.Crew[2].Level, in.Sheet.Crew[2].WatchedBy = training.InSight, "okafor"
	in.People[2].SawDays, in.People[2].Seasons = 3, 1
	in.People[2].Permissions = map[string]training.Permission{"light-brush": {Group: "light-brush", Level: training.InSight}}
	return in
}

func TestRecruitInLightBrushIsSeriousAndAccepted(t *testing.T) {
	in := recruit(t)
	require.Equal(t, Hold, Assess(in).Answer, "nobody has accepted")
	in.Sheet.AcceptedBy = "okafor"
	a := Assess(in)
	require.Equal(t, GoWithControls, a.Answer)
	f := scoreOf(t, a, TopicKickback, "p3")
	require.Equal(t, "Serious", f.LevelAfter)
	require.Equal(t, []string{"first month with a saw here"}, f.Reasons)
	require.Equal(t, []string{"first-month: no control lowers this: change the ground or the task"}, f.Lower)
	require.Equal(t, training.InSight, a.May[2].Level)
	require.Equal(t, "p1", a.May[2].With)
}

func TestRecruitOnBadGroundIsStoppedOthersAreNot(t *testing.T) {
	in := recruit(t)
	in.Sheet.AcceptedBy = "okafor"
	in.answer("hidden-base", Said{Is: Yes})
	in.answer("tired-hurried", Said{Is: Yes})
	in.Sheet.Controls = []Control{{"hidden-base", risk.Organised, "look first", "luis"}, {"tired-hurried", risk.Organised, "pauses", "luis"}}
	a := Assess(in)
	require.Equal(t, GoWithControls, a.Answer)
	f := scoreOf(t, a, TopicKickback, "p3")
	require.Equal(t, StopPerson, f.Effect)
	require.Equal(t, "B", f.ProbabilityAfter)
	require.Equal(t, training.NoSaw, a.May[2].Level)
	require.Equal(t, "other ground or another task", a.May[2].Instead)
	require.Equal(t, training.Unsupervised, a.May[1].Level)
	require.Contains(t, a.Sentence, "Not for: {p3}.")
}

func TestExperienceByDaysAndSeasons(t *testing.T) {
	for _, c := range []struct{ days, seasons, points int }{
		{0, 10, 3}, {19, 1, 3}, {20, 1, 2}, {20, 0, 2}, {20, 2, 1}, {200, 3, 1}, {20, 4, 0},
	} {
		in := easyMorning(t)
		in.People[1].SawDays, in.People[1].Seasons = c.days, c.seasons
		d := newDay(in)
		sum := 0
		for _, f := range d.experience("luis") {
			sum += f.Weight
		}
		require.Equal(t, c.points, sum, c)
	}
}

func TestPeopleAreStoppedWithWhatTheyMayDoInstead(t *testing.T) {
	for _, c := range []struct {
		name, id, why, instead string
		change                 func(*Input)
	}{
		{"not on the list", "not-on-list", "not on the crew list", "stays out of the zone until the book knows them",
			func(in *Input) { in.People = in.People[:2] }},
		{"said to be unknown", "not-on-list", "not on the crew list", "stays out of the zone until the book knows them",
			func(in *Input) { in.People[2].Unknown = true }},
		{"unfit", "unfit", "not fit today", "no work on the block today",
			func(in *Input) { in.Sheet.Crew[2].Fit = Said{Is: No} }},
		{"fit not known", "unfit", "fit is not known yet; {p2} finds out by 07:30", "no work on the block today",
			func(in *Input) { in.Sheet.Crew[2].Fit = dontKnow }},
		{"equipment", "ppe", "protective equipment missing or overdue: boots condemned", "stays out of the zone until the equipment is here",
			func(in *Input) { in.People[2].Lacks = []string{"boots condemned"} }},
		{"restricted", "restricted", "a skill needed for this is restricted: 7.2", "that skill only as instruction, in sight of one appointed person",
			func(in *Input) { in.People[2].Restricted = []string{"7.2"} }},
		{"no release", "no-release", "no release for two-cut is known", "no saw today",
			func(in *Input) { in.Sheet.Crew[2].Group = "two-cut" }},
		{"above the level", "level", "planned unsupervised for light-brush, may work in sight", "in sight of {p1}, who does not saw",
			func(in *Input) { in.release("rosa", training.InSight, "") }},
		{"above in hearing", "level", "planned unsupervised for light-brush, may work in hearing", "may work in hearing",
			func(in *Input) { in.release("rosa", training.InHearing, "") }},
		{"no saw at all", "level", "planned unsupervised for light-brush, may work no saw", "no saw today",
			func(in *Input) { in.release("rosa", training.NoSaw, "") }},
		{"slope of the release", "slope-release", "released up to 5%, the ground is 8%", "ground up to 5%",
			func(in *Input) { in.release("rosa", training.Unsupervised, "5%") }},
		{"not watched", "not-watched", "works in sight, but nobody is named who watches", "in sight of {p1}, who does not saw",
			func(in *Input) { in.Sheet.Crew[2].Level = training.InSight }},
		{"watched by somebody who saws", "not-watched", "{p2} cannot watch: sawing", "in sight of {p1}, who does not saw",
			func(in *Input) { in.watch("luis"); in.People[1].Appointed = true }},
		{"watched by somebody not named for it", "not-watched", "{p1} cannot watch: not appointed to watch", "nobody here is free for it",
			func(in *Input) { in.watch("okafor"); in.People[0].Appointed = false }},
		{"watched by somebody absent", "not-watched", "ben cannot watch: not here", "in sight of {p1}, who does not saw",
			func(in *Input) { in.watch("ben") }},
	} {
		in := easyMorning(t)
		c.change(&in)
		a := Assess(in)
		require.Equal(t, Go, a.Answer, c.name)
		f := oneFinding(t, a, c.id)
		require.Equal(t, StopPerson, f.Effect, c.name)
		require.Contains(t, f.What, c.why, c.name)
		require.Equal(t, training.NoSaw, a.May[2].Level, c.name)
		require.NotEmpty(t, a.May[2].Stopped, c.name)
		require.Contains(t, a.May[2].Instead, c.instead, c.name)
		require.Contains(t, a.Sentence, "Not for: ", c.name)
	}
}

func (in *Input) release(handle string, l training.Level, slope string) {
	for i := range in.People {
		if in.People[i].Handle == handle {
			in.People[i].Permissions = map[string]training.Permission{"light-brush": {Group: "light-brush", Level: l, Slope: slope}}
		}
	}
}

func (in *Input) watch(by string) {
	in.Sheet.Crew[2].Level, in.Sheet.Crew[2].WatchedBy = training.InSight, by
}

func TestOnePersonWatchesTwoAtMost(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.AcceptedBy = "okafor"
	for _, w := range []string{"a", "b", "c"} {
		p := in.People[1]
		p.ID, p.Handle = "id-"+w, w
		in.People = append(in.People, p)
		in.Sheet.Saws = append(in.Sheet.Saws, soundSaw("S-"+w))
		in.Sheet.Crew = append(in.Sheet.Crew, CrewLine{Worker: w, Saw: "S-" + w, Group: "light-brush", Level: training.InSight, WatchedBy: "okafor", Fit: Said{Is: Yes}})
	}
	a := Assess(in)
	require.Equal(t, []training.Level{training.InSight, training.InSight, training.NoSaw}, []training.Level{a.May[3].Level, a.May[4].Level, a.May[5].Level})
	require.Contains(t, oneFinding(t, a, "too-many-watched").What, "{p1} already watches 2 (house rule in-sight-workers 2")
}

func TestEverybodyStoppedIsHold(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Crew[1].Fit, in.Sheet.Crew[2].Fit = Said{Is: No}, Said{Is: No}
	a := Assess(in)
	require.Equal(t, Hold, a.Answer)
	require.Contains(t, a.Sentence, "Nobody may saw as planned.")
}

func TestEverySawStoppedIsHold(t *testing.T) {
	in := easyMorning(t)
	for i := range in.Sheet.Saws {
		in.Sheet.Saws[i].Checks[0].Said = Said{Is: Yes}
	}
	require.Equal(t, Hold, Assess(in).Answer)
}

func TestOnePersonAndTheOtherSawStoppedIsHold(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Crew[1].Fit = Said{Is: No}
	in.Sheet.Saws[1].Checks[1].Said = Said{Is: No}
	require.Equal(t, Hold, Assess(in).Answer, "nobody is left who may saw with a saw")
}

func TestEverySawCheckButFiledStopsThatSaw(t *testing.T) {
	n := 0
	for i, q := range sawChecks {
		for _, s := range []Said{{Is: q.Bad}, dontKnow} {
			in := easyMorning(t)
			in.Sheet.AcceptedBy = "okafor"
			in.Sheet.Saws[0].Checks[i].Said = s
			a := Assess(in)
			require.Equal(t, q.ID == SawFiled, a.Saws[0].Use, q.ID)
			require.True(t, a.Saws[1].Use)
			if q.ID == SawFiled {
				continue
			}
			n++
			require.Equal(t, StopSaw, oneFinding(t, a, q.ID).Effect)
			require.Equal(t, training.NoSaw, a.May[1].Level)
			require.Equal(t, "another saw that has passed its checks", a.May[1].Instead)
			require.Contains(t, a.Sentence, "Not with saw: S11.")
		}
	}
	require.Equal(t, 16, n)
}

func TestSawsOfTheBook(t *testing.T) {
	in := easyMorning(t)
	in.KnownSaws = []KnownSaw{{ID: "S11", Tagged: "cracked guard, 3 May"}}
	a := Assess(in)
	require.Equal(t, []string{"it is tagged out in the book: cracked guard, 3 May"}, a.Saws[0].WhyNot)
	require.Equal(t, []string{"it is not on the saw list; unknown counts as not fit"}, a.Saws[1].WhyNot)
	require.Equal(t, Hold, a.Answer)

	in.KnownSaws = []KnownSaw{{ID: "S11", Overdue: []string{"grease", "plug"}}, {ID: "S12", Retired: true}}
	a = Assess(in)
	require.Equal(t, []string{"it is retired; it does not run again"}, a.Saws[1].WhyNot)
	require.True(t, a.Saws[0].Use, "overdue upkeep warns; it stops nobody")
	f := oneFinding(t, a, "upkeep-overdue")
	require.Equal(t, Watch, f.Effect)
	require.Equal(t, "S11", f.Subject)
	require.Equal(t, "Saw S11, upkeep overdue: grease; plug.", f.What)
	require.NotContains(t, strings.Join(a.NotLookedAt, ", "), "upkeep of saws")
	in.KnownSaws = nil
	require.Contains(t, Assess(in).NotLookedAt, "upkeep of saws (the book keeps no saws)")

	in.KnownSaws = []KnownSaw{{ID: "S11", FixedThrottle: true}, {ID: "S12"}}
	in.answer("close-right", Said{Is: Yes})
	in.Sheet.AcceptedBy = "okafor"
	require.Equal(t, 3, scoreOf(t, Assess(in), TopicKickback, "p2").PointsAfter)
}

func TestSawWithoutLineIsNotUsed(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Saws = in.Sheet.Saws[:1]
	require.Contains(t, Assess(in).May[2].Stopped[0], "it was not checked today")
}

func TestMissedLookCounts(t *testing.T) {
	in := easyMorning(t)
	in.People[1].MissedLook, in.People[1].Seasons = true, 2
	in.Sheet.AcceptedBy = "okafor"
	in.Sheet.Controls = []Control{{"missed-look", risk.Organised, "watch the first strip", "okafor"}}
	require.Equal(t, GoWithControls, Assess(easySerious(in)).Answer)
}

// easySerious adds one weak factor, so that three points make it Serious.
func easySerious(in Input) Input {
	in.answer("close-right", Said{Is: Yes})
	return in
}

func TestVisitorsNeedSomebodyWithThem(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Visitors = []Visitor{{"a forester", "okafor"}, {"a driver", "ben"}}
	a := Assess(in)
	require.Equal(t, Go, a.Answer)
	require.Equal(t, "Visitor a driver: nobody who is here goes with them. They stay at the truck.", oneFinding(t, a, "visitor").What)
}

func TestOnePersonAloneIsSaid(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Crew = in.Sheet.Crew[1:2]
	in.answer(NeighbourDist, Said{Is: NotApplicable})
	a := Assess(in)
	require.Equal(t, Hold, a.Answer)
	require.Contains(t, oneFinding(t, a, "alone").What, "Unsupervised is not working alone")
}

func TestSheetMayNamePeopleByID(t *testing.T) {
	in := easyMorning(t)
	byID := in
	ids := map[string]string{"okafor": "p1", "luis": "p2", "rosa": "p3"}
	byID.Sheet = in.Sheet.WithPeople(func(h string) string { return ids[h] })
	require.Equal(t, Assess(in), Assess(byID))
}

// design: Serious is go with controls, each with an owner, accepted by name; experience is lowered by no control.
func TestSeriousNeedsAControlWhereOneCanAct(t *testing.T) {
	in := recruit(t)
	in.Sheet.AcceptedBy = "okafor"
	f := scoreOf(t, Assess(in), TopicKickback, "p3")
	require.Equal(t, NeedsControl, f.Effect)
	require.Contains(t, f.What, "Serious after controls. No control acts on what is left; it needs acceptance by name.")
	in.answer(kickback.CloseRight, Said{Is: Yes})
	a := Assess(in)
	require.Equal(t, Hold, a.Answer, "a control could act on it, and none is named")
	require.Contains(t, scoreOf(t, a, TopicKickback, "p3").What, "Nobody is named for kickback for {p3}; say what is done and who sees to it.")
	require.Contains(t, scoreOf(t, a, TopicKickback, "p3").What, "It needs a control with an owner, and acceptance by name.")
	in.Sheet.Controls = []Control{{kickback.CloseRight, risk.TakenAway, "fell it first", "okafor"}}
	require.Equal(t, GoWithControls, Assess(in).Answer)
	in.Sheet.AcceptedBy = ""
	require.Equal(t, Hold, Assess(in).Answer, "nobody has accepted")
}

// A dull blade has its control, the file, which no line under controls names.
func TestSeriousByADullBladeWaitsForTheFile(t *testing.T) {
	in := recruit(t)
	in.Sheet.AcceptedBy = "okafor"
	in.People[2].SawDays, in.People[2].Seasons = 100, 1 // first season, 2 points, and 2 for the blade
	for i := range in.Sheet.Saws {
		in.Sheet.Saws[i] = withCheckOn(in.Sheet.Saws[i].ID, SawFiled, No)
	}
	a := Assess(in)
	f := findings(a, dullBlade)[0]
	require.Equal(t, []string{string(StopPerson), "p3"}, []string{string(f.Effect), f.Subject})
	require.Contains(t, f.What, "File first: saw S12. Kickback for {p3}: Serious after controls. They do not start until it is filed")
	require.Equal(t, []string{"kickback is Serious with a dull blade"}, a.May[2].Stopped)
	require.Equal(t, "the same with a sharp blade, after the answer is given again", a.May[2].Instead)
	require.Equal(t, training.Unsupervised, a.May[1].Level, "old hands: Medium")
	require.Equal(t, "File first: saw S11. File the blade or fit a sharp one, then start.", findings(a, dullBlade)[1].What)
	require.Equal(t, GoWithControls, a.Answer)
}

func withCheckOn(saw, check, is string) SawLine {
	s := soundSaw(saw)
	for i := range s.Checks {
		if s.Checks[i].Question == check {
			s.Checks[i].Is = is
		}
	}
	return s
}

// Nobody asked for the seasons before: cautious, and said so, with who and how to tell; who counts as an old hand anyway is not named.
func TestWhoWasNeverAskedCountsAsNewAndItSaysSo(t *testing.T) {
	in := easyMorning(t)
	in.answer("bent-stems", Said{Is: Yes})
	in.People[1].SawDays, in.People[1].Seasons, in.People[1].NeverAsked = 0, 1, true
	in.People[2].NeverAsked = true // five seasons in this book
	a := Assess(in)
	require.Contains(t, scoreOf(t, a, TopicKickback, "p2").Reasons, "first month with a saw here (counted so because seasons before were never asked)")
	require.Contains(t, a.NotLookedAt, "seasons before this book of {p2} (never asked; tell them with: worker seasons NAME N)")
	in.People[1].NeverAsked = false
	a = Assess(in)
	require.Contains(t, scoreOf(t, a, TopicKickback, "p2").Reasons, "first month with a saw here")
	require.NotContains(t, strings.Join(a.NotLookedAt, "; "), "never asked")
}
