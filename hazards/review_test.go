package hazards

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/kickback"
	"example.org/ringtrue/hazards/slope"
	"example.org/ringtrue/training"
)

// What a trainer and examiner found in the questions of the morning; the numbers are those of their list.

// after is the answer of a clean morning on which something differs.
func after(t *testing.T, differs func(*Input)) Assessment {
	t.Helper()
	in := cleanMorning(t)
	differs(&in)
	require.NoError(t, Check(in))
	return Assess(in)
}

// OAR 437-007-0810(4)-(5), read: nobody cuts the tree that holds another one up, or fells one onto it.
func TestReview05HungUpNamesTheKiller(t *testing.T) {
	f := oneFinding(t, after(t, saying(HungUp, "yes")), HungUp)
	require.Equal(t, StopSite, f.Effect)
	for _, says := range []string{"Never cut the tree it hangs in", "never fell another onto it", "never slice its butt", "by hand, saw stopped and unhooked", "at least two of its lengths off"} {
		require.Contains(t, f.What, says)
	}
}

func TestReview06BentStemsAgainstReleases(t *testing.T) {
	many := after(t, saying(kickback.BentStems, "yes"))
	require.Equal(t, []string{string(Hold), NotYet}, []string{string(many.Answer), many.Means})
	require.Contains(t, oneFinding(t, many, bentRelease).What, "Leave them standing: {p1}, {p2}, {p3}, {p4}, {p5}.")

	some := after(t, func(in *Input) {
		saying(kickback.BentStems, "yes")(in)
		in.People = append([]Worker(nil), in.People...)
		perms := map[string]training.Permission{Tension: {Group: Tension, Level: training.InHearing}}
		for g, p := range in.People[2].Permissions {
			perms[g] = p
		}
		in.People[2].Permissions = perms
	})
	require.Equal(t, GoWithControls, some.Answer)
	require.Equal(t, "bent stems: only {p1}", oneFinding(t, some, bentRelease).Line)
	require.Equal(t, []string{"", "bent stems stay standing"}, []string{some.May[2].Only, some.May[3].Only})

	unknown := after(t, saying(kickback.BentStems, "don't know yet - boss by 07:30"))
	require.Equal(t, Hold, unknown.Answer, "not known counts as many")
	thick := after(t, func(in *Input) { thickStems(in); threeTwoCut(in); saying(kickback.BentStems, "few")(in) })
	require.Equal(t, "stems up to 6cm; bent stems stay standing", thick.May[5].Only)
}

// Two lengths of 4 m and the limit of approach of B.C. Reg. 296/97 Table 19-1A: 11 m beside 25 kV, 12.5 m beside 138 kV, 14 m where nobody
// has asked.
func TestReview07WiresByDistance(t *testing.T) {
	for _, c := range []struct {
		wires, volts string
		holds        bool
	}{
		{"no", "", false}, {"yes", "", true}, {"yes", "25kV", true}, {"don't know yet - boss by 07:30", "", true},
		{"13.9m", "", true}, {"14m", "", false}, {"10.9m", "25kV", true}, {"11m", "25kV", false}, {"12.4m", "138kV", true}, {"12.5m", "138kV", false},
		{"13.9m", "500kV", true}, {"13.9m", "don't know yet - boss by 07:30", true},
	} {
		a := after(t, func(in *Input) {
			saying(Wires, c.wires)(in)
			if c.volts != "" {
				saying(WireVoltage, c.volts)(in)
			}
		})
		require.Equal(t, c.holds, a.Answer == Hold, "%v", c)
		if c.holds {
			f := a.Findings[0]
			require.Equal(t, []string{Wires, string(StopSite)}, []string{f.ID, string(f.Effect)})
			require.Contains(t, f.What, "keep 10 m off and call")
		}
	}
	by, err := ParseAnswer(Wires, "no - rosa at 06:30")
	require.NoError(t, err)
	require.Equal(t, []string{No, "rosa", "06:30"}, []string{by.Is, by.Who, by.At}, "none seen, by whom")
	f := oneFinding(t, after(t, saying(Wires, "13m")), Wires)
	require.Contains(t, f.What, "14m is needed: two lengths of the tallest stem and 6m for an unknown voltage")
}

// Agency letters of 9 Feb 1994 and 23 Mar 2007, read: 3 to 4 minutes. BC calls more than 30 minutes remote; beyond 120 harm counts worse.
func TestReview09FourMinutesAndTwoSteps(t *testing.T) {
	h := starter(t)
	require.InDelta(t, 4*60, h.SI(house.FirstAidWithin), 0)
	require.InDelta(t, 30*60, h.SI(house.HelpRemote), 0)
	require.InDelta(t, 120*60, h.SI(house.HelpWithin), 0)
	for ambulance, says := range map[string]bool{"20min": false, "21min": true, "110min": true} {
		f := oneFinding(t, after(t, func(in *Input) { in.Block.Ambulance = ambulance }), WalkOut)
		require.Equal(t, says, strings.Contains(f.What, "kit and stretcher stand beside the work"), "%s and a walk of 10 min", ambulance)
		require.Equal(t, says, strings.Contains(f.House, house.HelpRemote))
	}
	require.Equal(t, 2, scoreOf(t, after(t, func(in *Input) { in.Block.Ambulance = "110min" }), TopicKickback, "").Severity)
	require.Equal(t, 1, scoreOf(t, after(t, func(in *Input) { in.Block.Ambulance = "111min" }), TopicKickback, "").Severity)
}

func TestReview11HandToolWaterAndSparkScreen(t *testing.T) {
	for class, want := range map[string]Verdict{"low": Hold, "moderate": Hold} {
		a := after(t, saying(FireTools, "no", FireClass, class))
		require.Equal(t, want, a.Answer)
		require.Equal(t, NotYet, a.Means)
	}
	require.Equal(t, GoWithControls, after(t, both(saying(FireTools, "no"), ctl(FireTools))).Answer, "class low: brought by somebody who is named")
	require.Equal(t, Hold, after(t, both(saying(FireTools, "no", FireClass, "moderate"), ctl(FireTools))).Answer, "from moderate on they are there first")
	require.Contains(t, after(t, func(*Input) {}).NotLookedAt, "hand tool and water for fire")

	torn := func(in *Input) { in.KnownSaws[1].Screen = "spark screen torn" }
	require.True(t, after(t, torn).Saws[1].Use, "class low")
	a := after(t, both(torn, saying(FireClass, "moderate")))
	require.False(t, a.Saws[1].Use)
	require.Contains(t, a.Saws[1].WhyNot[0], "its spark screen is not whole")
	winter := after(t, func(in *Input) { torn(in); in.winter("-8C", "8km/h") })
	require.True(t, winter.Saws[1].Use)
}

// What is true of every thinning weighs 1 each and never holds; the old words, which mean nearly everywhere and many, still do.
func TestReview13HowMuchNotWhether(t *testing.T) {
	a := after(t, saying(kickback.HiddenBase, "patches", kickback.BentStems, "few"))
	require.Equal(t, 2, scoreOf(t, a, TopicKickback, "").PointsBefore)
	require.Equal(t, GoWithControls, a.Answer)
	a = after(t, both(saying(kickback.HiddenBase, "yes", kickback.BentStems, "yes"), (*Input).mayTakeBent))
	require.Equal(t, 5, scoreOf(t, a, TopicKickback, "").PointsBefore)
	a = after(t, saying(slope.WetOrIcy, "wet", slope.RoughGround, "some", slope.Steepest, "10%"))
	require.Equal(t, 2, scoreOf(t, a, TopicFooting, "").PointsBefore)
	_, asked := questionByID(kickback.CloseRight)
	require.False(t, asked, "a crop tree on the right is true of every thinning")
	for _, typed := range []string{"some", "patches "} {
		_, err := ParseAnswer(kickback.BentStems, typed)
		require.ErrorContains(t, err, "write yes, no, few")
	}
}

// Steps 15, 25 and 35 %, from which; dew never outweighs a steep slope.
func TestReview14SlopeWeighsMoreThanDew(t *testing.T) {
	h := starter(t)
	for percent, weight := range map[float64]int{14.9: 0, 15: 1, 24.9: 1, 25: 2, 34.9: 2, 35: 3, 44: 3, 45: 3} {
		require.Equal(t, weight, slope.Step(percent, h), "%v %%", percent)
	}
	steep, dew := after(t, saying(slope.Steepest, "44%")), after(t, saying(slope.Steepest, "10%", slope.WetOrIcy, "wet"))
	require.Greater(t, scoreOf(t, steep, TopicFooting, "").PointsBefore, scoreOf(t, dew, TopicFooting, "").PointsBefore)
	require.Equal(t, "released without a slope; the ground is 44%", strings.TrimPrefix(oneFinding(t, steep, "slope-release").Line, "{p1}, {p2}, {p3}, {p4}, {p5}: "))
	require.Empty(t, findings(after(t, saying(slope.Steepest, "35%")), "slope-release"))
	limited := after(t, func(in *Input) {
		saying(slope.Steepest, "44%")(in)
		in.People = append([]Worker(nil), in.People...)
		for i, p := range in.People {
			if p.Permissions != nil {
				in.People[i].Permissions = map[string]training.Permission{"thinning": {Group: "thinning", Level: training.InHearing, Slope: "25%"}}
			}
		}
	})
	require.Equal(t, Hold, limited.Answer, "a release that names 25 % ends there")
}

// The design keeps 3 on ground within the slope limit, 2 above it, and outranks the list here.
func TestReview15SeverityOfAFallIsTheDesigns(t *testing.T) {
	h := starter(t)
	require.Equal(t, 3, slope.Severity(45, h))
	require.Equal(t, 2, slope.Severity(46, h))
}

func TestReview16ThrottleAndHandlesStopASaw(t *testing.T) {
	for _, check := range []string{SawThrottle, SawHandles} {
		a := after(t, func(in *Input) { in.Sheet.Saws[0] = withCheckOn("S1", check, No) })
		require.False(t, a.Saws[0].Use, check)
		require.Equal(t, StopSaw, oneFinding(t, a, check).Effect)
	}
	// A sheet recorded before they were asked stops no saw, and says what nobody looked at.
	old := after(t, func(in *Input) {
		for i := range in.Sheet.Saws {
			in.Sheet.Saws[i].Checks = in.Sheet.Saws[i].Checks[:4]
			in.Sheet.Saws[i].Checks = append(in.Sheet.Saws[i].Checks, Answer{SawStop, Said{Is: Yes}}, Answer{SawNut, Said{Is: Yes}}, Answer{SawRelease, Said{Is: Yes}}, Answer{SawNoLeak, Said{Is: Yes}}, Answer{SawFiled, Said{Is: Yes}})
		}
	})
	require.Equal(t, Go, old.Answer)
	require.Contains(t, old.NotLookedAt, "throttle, lock-out, handles and hook of the saws")
}

func TestReview17LookThenRing(t *testing.T) {
	for _, q := range SawChecks() {
		if q.ID == SawRing {
			require.Less(t, strings.Index(q.Text, "whole to the eye"), strings.Index(q.Text, "tapped hanging free"))
			return
		}
	}
	require.Fail(t, "no such check")
}

// NIOSH 98-111 and the wildland-fire pages, read: 20 ft from any heat. No minutes of cooling are published.
func TestReview19FuellingByTheHousePause(t *testing.T) {
	h := starter(t)
	require.InDelta(t, 20*0.3048, h.SI(house.FuelIgnition), 1e-9)
	require.InDelta(t, 10*60, h.SI(house.FuelPause), 0)
	f := scoreOf(t, after(t, saying("fuel-hot", "yes")), TopicFuel, "")
	require.Equal(t, []string{"a saw opened sooner than the house pause after it ran (house rule 10min)"}, f.Reasons)
}

func TestReview22WhoHelpsWhenTheHelperIsHurt(t *testing.T) {
	for said, line := range map[string]string{
		"no": "nobody is named to help if the first aider is hurt", "don't know yet - boss by 07:30": "nobody is named to help if the first aider is hurt",
		"aid": "{p6} is the first aider; name a second one", "somebody": "somebody is to help but is not here",
	} {
		a := after(t, saying(AiderHurt, said))
		require.Equal(t, []string{string(Hold), NotYet}, []string{string(a.Answer), a.Means}, said)
		require.Equal(t, line, oneFinding(t, a, AiderHurt).Line)
	}
	a := after(t, saying(WhoCalls, "boss"))
	require.Equal(t, Hold, a.Answer, "the only one who may watch others")
	a = after(t, func(in *Input) {
		in.People = append([]Worker(nil), in.People...)
		in.People[1].Appointed = true
		saying(WhoCalls, "boss")(in)
	})
	require.Contains(t, a.NotLookedAt, "who calls if {p0}, who decides here, is hurt")

	far := func(in *Input) {
		in.People = append([]Worker(nil), in.People...)
		in.People[6].FirstAid = true // hand5
		in.Sheet.Crew[6].Level = training.PeriodicCheck
		in.People[6].Permissions = map[string]training.Permission{"thinning": {Group: "thinning", Level: training.Unsupervised}}
		saying(FirstAider, "hand5")(in)
	}
	require.Empty(t, findings(after(t, far), FirstAider), "aid has a ticket too")
	a = after(t, func(in *Input) { far(in); in.People[1].FirstAid = false })
	require.Equal(t, "{p5}, the only first aider, saws out of hearing", oneFinding(t, a, FirstAider).Line)
	require.Equal(t, Hold, a.Answer)
}

func TestReview29StopSignal(t *testing.T) {
	a := after(t, saying(StopSignal, "no"))
	require.Equal(t, GoWithControls, a.Answer)
	require.Contains(t, oneFinding(t, a, StopSignal).What, "on a slope it comes from the side or above")
	require.Empty(t, findings(after(t, saying(StopSignal, "both arms up")), StopSignal))
}

// 29 CFR 1910.266(h)(1), read: two tree lengths between occupied areas.
func TestReview30WhoElseIsHere(t *testing.T) {
	require.Equal(t, Hold, after(t, saying(WhoElse, "hunters at the road")).Answer, "nobody has told them")
	a := after(t, both(saying(WhoElse, "hunters at the road"), ctl(WhoElse)))
	require.Equal(t, GoWithControls, a.Answer)
	require.Contains(t, oneFinding(t, a, WhoElse).What, "Also here today: hunters at the road.")
}

func TestReview31SnowCountsAsHiddenAndLeafOffTakesItAway(t *testing.T) {
	q, _ := questionByID(kickback.HiddenBase)
	require.Contains(t, q.Text, "snow")
	require.Contains(t, everyFactor()[kickback.HiddenBase].Away, "when the leaves are off and the snow is gone")
	q, _ = questionByID(kickback.BentStems)
	require.Contains(t, q.Text, "bent by storm, snow or ice")
}

// A can carried over slash is a load in the hand of somebody who may fall, not what makes fuel burn.
func TestReview39LoadInHandCountsForTheFall(t *testing.T) {
	a := after(t, saying(slope.LoadInHand, "yes", slope.Steepest, "5%"))
	require.Equal(t, 0, scoreOf(t, a, TopicFuel, "").PointsBefore)
	require.Equal(t, 1, scoreOf(t, a, TopicFooting, "").PointsBefore)
}

// Questions added since must cost less than a screen: a check of eight people may not grow by more than eight lines.
func TestTheSheetStaysShort(t *testing.T) {
	const before = 40 // questions of format 2
	require.LessOrEqual(t, len(questions), before+2)
	require.LessOrEqual(t, len(sawChecks), 9+2)
}

// What a shaken caller needs and the card had no place for; what is told can be taken back.
func TestReview43LandingGateAndHospitalAreReadAloud(t *testing.T) {
	b := upperLarch()
	before := len(b.ReadAloud())
	b.Landing, b.Gate, b.Hospital, b.Nesting = "the gravel pit at km 40", "blue gate at km 12, key in truck 2", "the district hospital", "1 April to 15 August, the regional biologist"
	lines := b.ReadAloud()
	require.Len(t, lines, before+3)
	text := strings.Join(lines, "\n")
	for _, says := range []string{"Gate and key: blue gate at km 12, key in truck 2.", "Hospital: the district hospital.", "A helicopter lands at: the gravel pit at km 40.", "nobody moves before its crew signals"} {
		require.Contains(t, text, says)
	}
	for _, told := range b.Optional() {
		*told = ""
	}
	require.Len(t, b.ReadAloud(), before-1)
}

func TestReview44NestingWindowStandsOnTheSheet(t *testing.T) {
	b := upperLarch()
	b.Nesting = "1 April to 15 August, the regional biologist"
	require.Contains(t, string(WriteSheet(Sheet{Block: "B7"}, Hints{Block: b})), "# Nests are left alone: 1 April to 15 August, the regional biologist.")
}

// One fact a line: the fire class has its own line, and lengths are lengths of trees.
func TestReview38OneFactALine(t *testing.T) {
	for id, text := range map[string]string{"dry-litter": "Is the litter dry?", "hot-day": "Do cans or saws stand in hot sun?", slope.LoadInHand: "Is the only can far from where you cut?"} {
		q, _ := questionByID(id)
		require.Equal(t, text, q.Text)
	}
	q, _ := questionByID(DeadTrees)
	require.Contains(t, q.Text, "two tree lengths")
}

// A sheet recorded before these were asked can still change: what it was not asked stays blank, on its saws as well.
func TestASheetOfFormatTwoCanStillChange(t *testing.T) {
	in := easyMorning(t)
	in.Sheet = in.Sheet.formatOne()
	in.Sheet.Readings = []Answer{{HeavyRain, Said{Is: No}}, {WindForce, told("2")}, {DeadTrees, Said{Is: No}}}
	for i := range in.Sheet.Saws {
		var asked []Answer
		for _, a := range in.Sheet.Saws[i].Checks {
			if !contains(laterChecks, a.Question) {
				asked = append(asked, a)
			}
		}
		in.Sheet.Saws[i].Checks = asked
	}
	require.Equal(t, []string{AiderHurt, StopSignal, WhoElse, SawThrottle, SawHandles}, in.Sheet.Blanks())
	require.Equal(t, Go, Assess(in).Answer)
	changed, err := in.Sheet.After(Change{At: "11:00", By: "luis", Answers: []Answer{{Thunder, Said{Is: Yes}}}})
	require.NoError(t, err)
	again, err := ParseSheetFor("changed", WriteSheet(changed, Hints{}), Known{Blank: changed.Blanks()})
	require.NoError(t, err)
	require.Equal(t, changed.Blanks(), again.Blanks())
	in.Sheet = again
	require.Equal(t, Hold, Assess(in).Answer)
}
