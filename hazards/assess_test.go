package hazards

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/risk"
)

func TestEasyMorningIsGo(t *testing.T) {
	a := Assess(easyMorning(t))
	require.Equal(t, Go, a.Answer)
	require.Equal(t, "No stop found at 06:52 on the answers given. {p1} decides. Ends when an answer changes, at 18:00, or on leaving B7.", a.Sentence)
	require.Equal(t, "The level ranks what to talk about first; it does not say that work is safe.", a.Caution)
	require.Contains(t, a.NotLookedAt, "heat and cold")
	require.NotContains(t, a.NotLookedAt, "daylight", "computed from the block's coordinates")
	require.Contains(t, a.Emergency, "Coordinates: 54.7102, -124.9210.")
	require.Empty(t, a.Late)
	require.Equal(t, []string{"released for light-brush, unsupervised"}, a.May[1].RestsOn)
	require.NotEmpty(t, a.Findings)
	for _, f := range a.Findings {
		require.Equal(t, Watch, f.Effect, f.What)
	}
}

func TestNamesStandOnlyInWhatIsRead(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.Crew[1].Fit = Said{Is: No}
	a := Assess(in)
	stored, err := json.Marshal(a)
	require.NoError(t, err)
	for _, handle := range []string{"okafor", "luis", "rosa"} {
		require.NotContains(t, string(stored), handle)
	}
	names := map[string]string{"p1": "M. Okafor", "p2": "Luis Prado"}
	named := a.Named(func(id string) string { return names[id] })
	require.Equal(t, "No stop for the site found at 06:52 on the answers given. Not for: Luis Prado. M. Okafor decides. "+
		"Ends when an answer changes, at 18:00, or on leaving B7.", named.Sentence)
	require.Equal(t, "Luis Prado: not fit today.", named.Findings[0].What)
	require.Equal(t, "p3", named.May[2].Worker, "nobody knows a name for this id")
	require.Equal(t, "p2", a.May[1].Worker, "the stored answer is not changed")
}

// A saw that somebody tagged says so by name wherever it is read, and a program still gets ids where it looks for them.
func TestNamesStandInEveryText(t *testing.T) {
	in := easyMorning(t)
	in.KnownSaws = []KnownSaw{{ID: "S11", Tagged: "tagged out: smells of fuel, 2026-05-03 11:43 by {p3} (entry 142)"}, {ID: "S12"}}
	in.Sheet.Crew[2].Fit = Said{Is: DontKnow, Who: "luis", By: "07:30"}
	name := func(id string) string { return map[string]string{"p1": "okafor", "p2": "luis", "p3": "rosa"}[id] }
	a := Assess(in)
	require.Contains(t, a.Saws[0].WhyNot[0], "by {p3} (entry 142)")
	for _, named := range []Assessment{a.Named(name), a.TextsNamed(name)} {
		text, err := json.Marshal(named)
		require.NoError(t, err)
		require.NotRegexp(t, `\{p\d`, string(text))
		require.Contains(t, named.Saws[0].WhyNot[0], "by rosa (entry 142)")
	}
	forPrograms := a.TextsNamed(name)
	require.Equal(t, []string{"p1", "p2", "p3"}, []string{forPrograms.May[0].Worker, forPrograms.May[1].Worker, forPrograms.May[2].Worker})
	require.Equal(t, "p1", forPrograms.By)
	require.Contains(t, a.Saws[0].WhyNot[0], "by {p3}", "the stored answer is not changed")
}

func TestAnswerHoldsNoFloats(t *testing.T) {
	in := easyMorning(t)
	in.answer("hidden-base", Said{Is: Yes})
	stored, err := json.Marshal(Assess(in))
	require.NoError(t, err)
	dec := json.NewDecoder(strings.NewReader(string(stored)))
	dec.UseNumber()
	var any map[string]any
	require.NoError(t, dec.Decode(&any))
	noFraction(t, any)
}

func noFraction(t *testing.T, v any) {
	switch v := v.(type) {
	case json.Number:
		require.NotContains(t, v.String(), ".")
	case map[string]any:
		for _, e := range v {
			noFraction(t, e)
		}
	case []any:
		for _, e := range v {
			noFraction(t, e)
		}
	}
}

// Every plain stop of the first version, by its bad answer, by "don't know yet", and by "not applicable" where a
// sheet was made without the parser.
func TestPlainStopsHold(t *testing.T) {
	want := []string{CallBy, CallAnswered, FirstAider, WhoCalls, Thunder, WindFall, Hidden, Wires, HungUp, WindThrown}
	require.Len(t, plainStops, len(want))
	for _, id := range want {
		bad := Said{Is: plainStops[id].when}
		for _, s := range []Said{bad, dontKnow, {Is: NotApplicable}} {
			in := easyMorning(t)
			in.answer(id, s)
			a := Assess(in)
			require.Equal(t, Hold, a.Answer, id)
			f := oneFinding(t, a, id)
			require.Equal(t, StopSite, f.Effect, id)
			require.Empty(t, f.LevelAfter, "a stop never scores: %s", id)
			require.Contains(t, a.Sentence, f.What)
		}
	}
}

func TestDontKnowYetIsListedWithFinder(t *testing.T) {
	in := easyMorning(t)
	in.answer(Wires, dontKnow)
	a := Assess(in)
	require.Equal(t, []Open{{Wires, "p2", "07:30"}}, a.Open)
	require.Contains(t, oneFinding(t, a, Wires).What, "not known yet, so it counts; {p2} finds out by 07:30")
}

func TestFirstAiderMustBeHereWithTicketAndFit(t *testing.T) {
	for what, change := range map[string]func(*Input){
		"is not here":                 func(in *Input) { in.answer(FirstAider, told("nobody-here")) },
		"no first-aid ticket":         func(in *Input) { in.answer(FirstAider, told("luis")) },
		"is not fit today":            func(in *Input) { in.Sheet.Crew[0].Fit = dontKnow },
		"no first-aid ticket in forc": func(in *Input) { in.People[0].FirstAid = false },
	} {
		in := easyMorning(t)
		change(&in)
		a := Assess(in)
		require.Equal(t, Hold, a.Answer, what)
		require.Contains(t, oneFinding(t, a, FirstAider).What, what)
	}
}

func TestSomebodyElseCallsIfTheTrainerIsHurt(t *testing.T) {
	in := easyMorning(t)
	in.answer(WhoCalls, told("okafor"))
	require.Contains(t, oneFinding(t, Assess(in), WhoCalls).What, "{p1} is the only trainer here.")
	in.People[1].Appointed = true
	require.Empty(t, findings(Assess(in), WhoCalls), "two could be the trainer")
	in.answer(WhoCalls, told("ben"))
	require.Contains(t, oneFinding(t, Assess(in), WhoCalls).What, "ben is named to call but is not here.")
}

func TestCallAnsweredAfterTheSheetIsNoTest(t *testing.T) {
	in := easyMorning(t)
	in.answer(CallAnswered, told("07:10"))
	require.Equal(t, Hold, Assess(in).Answer)
}

func TestCoordinatesAreReadBack(t *testing.T) {
	for said, want := range map[string]Verdict{
		"54.7102, -124.9210": Go, "54.71020 -124.921": Go, "54.7102,-124.9210": Go,
		"54.7102, 124.9210": Hold, "54.7120, -124.9210": Hold, "-124.9210, 54.7102": Hold, "54.7102": Hold, "": Hold, "gravel pit": Hold, "NaN NaN": Hold,
	} {
		in := easyMorning(t)
		in.Sheet.Coordinates = said
		require.Equal(t, want, Assess(in).Answer, said)
	}
}

func TestEmergencyTextMustBeThere(t *testing.T) {
	in := easyMorning(t)
	in.Block.Call, in.Block.PlanB = "", " "
	require.Contains(t, oneFinding(t, Assess(in), "emergency-text").What, "call, plan without helicopter")
}

func TestSpacingTakesTheLargestThatApplies(t *testing.T) {
	for _, c := range []struct {
		kept, tallest string
		hold          bool
		why           string
	}{
		{"20m", "4m", false, ""}, {"65ft", "4m", true, "20m is needed (stand-off, house rule stand-off 20m"},
		{"66ft", "4m", false, ""}, {"20m", "11m", true, "22m is needed (2 lengths of a 11 m stem"}, {"22m", "11m", false, ""},
	} {
		in := easyMorning(t)
		in.answer(NeighbourDist, told(c.kept))
		in.answer(TallestStem, told(c.tallest))
		a := Assess(in)
		require.Equal(t, c.hold, a.Answer == Hold, c)
		if c.hold {
			require.Contains(t, oneFinding(t, a, NeighbourDist).What, c.why)
		}
	}
}

func TestNeighbourDistanceNotApplicableOnlyAlone(t *testing.T) {
	in := easyMorning(t)
	in.answer(NeighbourDist, Said{Is: NotApplicable})
	require.Contains(t, oneFinding(t, Assess(in), NeighbourDist).What, "3 people are here")
	in.answer(NeighbourDist, dontKnow)
	require.Equal(t, Hold, Assess(in).Answer)
}

func TestTreeLengthNotMeasuredToday(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.AcceptedBy = "okafor"
	in.answer(TallestStem, dontKnow)
	a := Assess(in)
	require.Equal(t, GoWithControls, a.Answer)
	require.Contains(t, oneFinding(t, a, TallestStem).What, "Tree length not measured today; the block card says 4m.")
	in.Block.TreeHeight = "15m"
	require.Contains(t, oneFinding(t, Assess(in), NeighbourDist).What, "30m is needed")
}

func TestSlopeAboveTheHouseLimitHoldsTheGround(t *testing.T) {
	for said, hold := range map[string]bool{"45%": false, "46%": true, "24deg": false, "25deg": true} {
		in := easyMorning(t)
		in.Sheet.AcceptedBy = "okafor"
		in.answer("steepest-slope", told(said))
		a := Assess(in)
		require.Equal(t, hold, a.Answer == Hold, said)
		fall := scoreOf(t, a, TopicFooting, "")
		if hold {
			require.Contains(t, oneFinding(t, a, "steepest-slope").What, "above the house rule slope-limit 45%")
			require.Equal(t, 0, fall.PointsBefore, "a stop never also scores")
			require.Equal(t, 2, fall.Severity)
		} else {
			require.Equal(t, 2, fall.PointsBefore)
			require.Equal(t, 3, fall.Severity)
		}
	}
	in := easyMorning(t)
	in.answer("steepest-slope", dontKnow)
	require.Equal(t, Hold, Assess(in).Answer, "not known counts as the worst")
}

func TestStemsAboveOneCutCount(t *testing.T) {
	for said, points := range map[Said]int{told("6cm"): 0, told("60mm"): 0, told("6.1cm"): 2, told("3in"): 2, dontKnow: 2, {Is: NotApplicable}: 0} {
		in := easyMorning(t)
		in.answer("largest-stem", said)
		require.Equal(t, points, scoreOf(t, Assess(in), TopicKickback, "").PointsAfter, said)
	}
	in := easyMorning(t)
	in.House = withRule(t, in.House, "one-cut", "3in")
	in.answer("largest-stem", told("7.62cm"))
	require.Equal(t, 0, scoreOf(t, Assess(in), TopicKickback, "").PointsAfter, "the same length, though the two conversions differ by a hair")
}

func TestSlopeStaysOffKickback(t *testing.T) {
	in := easyMorning(t)
	in.answer("steepest-slope", told("45%"))
	require.Equal(t, 0, scoreOf(t, Assess(in), TopicKickback, "").PointsBefore)
}

func TestHighHoldsTheGround(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.AcceptedBy = "okafor"
	in.answer("hidden-base", Said{Is: Yes})
	in.answer("largest-stem", told("9cm"))
	in.answer("bent-stems", Said{Is: Yes})
	a := Assess(in)
	require.Equal(t, Hold, a.Answer)
	f := scoreOf(t, a, TopicKickback, "")
	require.Equal(t, StopSite, f.Effect)
	require.Equal(t, "High", f.LevelAfter)
	require.Len(t, f.Reasons, 3)
	require.Equal(t, "hidden stumps, rock or wire; the base of the stem is not seen", f.Reasons[0])
	require.Contains(t, f.Reasons, "stems too thick for one cut (9cm; house rule 6cm)")
	require.Contains(t, f.Lower, "hidden-base: flag out the patches with hidden rock, stumps and wire")

	in.Sheet.Controls = []Control{{"hidden-base", risk.TakenAway, "flagged out", "luis"}, {"bent-stems", risk.TakenAway, "flagged out", "luis"}}
	in.mayTakeTwoCuts("luis", "rosa")
	a = Assess(in)
	require.Equal(t, GoWithControls, a.Answer, "only the marking out takes it down to Medium")
	f = scoreOf(t, a, TopicKickback, "")
	require.Equal(t, "Medium", f.LevelAfter)
	require.Equal(t, []string{"hidden-base: flagged out (taken away), {p2} sees to it", "bent-stems: flagged out (taken away), {p2} sees to it"}, f.Controls)
}

func TestSeriousNeedsControlOwnerAndAcceptance(t *testing.T) {
	in := easyMorning(t)
	in.answer("hidden-base", Said{Is: Yes})
	in.answer("bent-stems", Said{Is: Yes})
	a := Assess(in)
	require.Equal(t, Hold, a.Answer)
	f := scoreOf(t, a, TopicKickback, "")
	require.Equal(t, []string{string(StopSite), NotYet, "nobody is named for kickback on this ground", "say what is done and who sees to it"}, []string{string(f.Effect), f.Means, f.Line, f.Do})
	require.Contains(t, f.What, "Nobody is named for kickback on this ground; say what is done and who sees to it.")
	require.Equal(t, NotYet, a.Means)
	require.Contains(t, a.NotYet, "nobody is named for kickback on this ground: say what is done and who sees to it")
	require.Contains(t, oneFinding(t, a, "not-accepted").What, "Nobody has accepted by name")

	in.Sheet.Controls = []Control{{"bent-stems", risk.Training, "told everybody", "luis"}}
	in.Sheet.AcceptedBy = "okafor"
	a = Assess(in)
	require.Equal(t, Hold, a.Answer, "telling turns no hold")
	require.Equal(t, 5, scoreOf(t, a, TopicKickback, "").PointsAfter, "telling takes nothing")
	require.Contains(t, scoreOf(t, a, TopicKickback, "").What, "Telling and wearing control nothing;")
	require.NotContains(t, scoreOf(t, a, TopicKickback, "").What, "Nobody is named", "it never stands above a name")
	in.Sheet.Controls[0].Kind = risk.Organised
	a = Assess(in)
	require.Equal(t, GoWithControls, a.Answer)

	in.Sheet.AcceptedBy = "somebody"
	require.Contains(t, oneFinding(t, Assess(in), "not-accepted").What, "somebody is not on the crew list and cannot accept.")

	in.Sheet.AcceptedBy = "okafor"
	in.Sheet.Controls[0].Owner = "ben"
	a = Assess(in)
	require.Equal(t, Hold, a.Answer)
	require.Contains(t, oneFinding(t, a, "owner-absent").What, "ben is to see to bent-stems but is not here.")
	require.Contains(t, scoreOf(t, a, TopicKickback, "").What, "Who is to see to it is not here; name somebody who is.")
}

func TestLateHelpMakesHarmOneWorse(t *testing.T) {
	in := easyMorning(t)
	in.Block.Walk = "101min" // with the ambulance 121 min, later than the house figure of 120 min
	a := Assess(in)
	require.Equal(t, Hold, a.Answer)
	require.Equal(t, "Serious", scoreOf(t, a, TopicKickback, "").LevelAfter)
	require.Equal(t, 1, scoreOf(t, a, TopicKickback, "").Severity)
	in.Sheet.AcceptedBy = "okafor"
	in.Sheet.Controls = []Control{{WalkOut, risk.Organised, "the helicopter lands on the block", "luis"}} // the walk itself is long too
	require.Equal(t, GoWithControls, Assess(in).Answer, "remote alone is Serious")
	in.Block.Walk = "100min"
	require.Equal(t, 2, scoreOf(t, Assess(in), TopicKickback, "").Severity, "exactly the house figure is not later")
	in.Block.Ambulance = ""
	require.Equal(t, 1, scoreOf(t, Assess(in), TopicKickback, "").Severity, "not known counts as late")
}

func TestFuelSaysWhatDrivesIt(t *testing.T) {
	for answer, want := range map[string]string{"fuel-hot": "vapour", "dry-litter": "fire spread", "fuel-leak": "spill"} {
		in := easyMorning(t)
		in.answer(answer, Said{Is: Yes})
		require.Equal(t, want, scoreOf(t, Assess(in), TopicFuel, "").Drives, answer)
	}
	in := easyMorning(t)
	in.answer("fuel-ignition", told("3m"))
	f := scoreOf(t, Assess(in), TopicFuel, "")
	require.Equal(t, "ignition", f.Drives)
	require.Equal(t, []string{"the fuel spot is too near to flame, spark or a hot engine (3m; house rule 10ft)"}, f.Reasons)
	in.answer("fuel-ignition", told("10ft"))
	require.Equal(t, Go, Assess(in).Answer)
}

func TestFuelDistanceNotKnownCountsAsTooNear(t *testing.T) {
	in := easyMorning(t)
	in.answer("fuel-start", dontKnow)
	require.Contains(t, scoreOf(t, Assess(in), TopicFuel, "").Reasons[0], "not known yet, so it counts")
}

func TestNoFuelOnTheBlockNoFuelScore(t *testing.T) {
	in := easyMorning(t)
	for _, q := range questions {
		if q.Section == FuelSpot {
			in.answer(q.ID, Said{Is: NotApplicable})
		}
	}
	a := Assess(in)
	require.Equal(t, Go, a.Answer)
	require.NotEmpty(t, a.Findings)
	for _, f := range a.Findings {
		require.NotEqual(t, TopicFuel, f.Topic)
	}
}

func TestQuestionsThatAskForAControl(t *testing.T) {
	for id, s := range map[string]Said{Public: {Is: Yes}, CheckIn: {Is: No}, FuelReady: {Is: No}, FuelCan: told("20L")} {
		for _, said := range []Said{s, dontKnow} {
			in := easyMorning(t)
			in.answer(id, said)
			a := Assess(in)
			require.Equal(t, Hold, a.Answer, id)
			require.Equal(t, NotYet, oneFinding(t, a, id).Means, id)
			in.Sheet.Controls = []Control{{id, risk.Organised, "seen to", "luis"}}
			in.Sheet.AcceptedBy = "okafor"
			require.Equal(t, GoWithControls, Assess(in).Answer, id)
			require.Equal(t, NeedsControl, oneFinding(t, Assess(in), id).Effect, id)
		}
	}
}

func TestFindingsAreOrderedByEffectThenLevel(t *testing.T) {
	in := easyMorning(t)
	in.answer("hidden-base", Said{Is: Yes})
	in.answer("bent-stems", Said{Is: Yes})
	in.answer(Thunder, Said{Is: Yes})
	in.Sheet.Crew[1].Fit = Said{Is: No}
	last := 0
	for _, f := range Assess(in).Findings {
		require.GreaterOrEqual(t, places(f)[0], last)
		last = places(f)[0]
	}
}

func TestRulesStandBesideTheFinding(t *testing.T) {
	in := easyMorning(t)
	in.Rules = map[string][]string{TopicEmergency: {"1910.266(d)(5)"}}
	in.answer(Thunder, Said{Is: Yes})
	require.Equal(t, []string{"1910.266(d)(5)"}, oneFinding(t, Assess(in), Thunder).Rules)
}

func TestOldNewsFromAnotherDeviceIsAFinding(t *testing.T) {
	in := easyMorning(t)
	in.Devices = []Device{{"truck-1", "2026-05-03"}, {"truck-2", "2026-05-01"}, {"truck-3", "never"}}
	fs := findings(Assess(in), "book-age")
	require.Len(t, fs, 2)
	require.Contains(t, fs[0].What, "As far as this book knows; last met truck-2 on 2026-05-01.")
}

func TestLateEntryIsNoAssessmentBeforeWork(t *testing.T) {
	for name, c := range map[string]struct {
		started string
		now     time.Time
		late    bool
	}{
		"before work":           {"", time.Date(2026, 5, 4, 6, 55, 0, 0, time.UTC), false},
		"typed in the evening":  {"07:05", time.Date(2026, 5, 4, 17, 30, 0, 0, time.UTC), true},
		"typed before the saws": {"07:05", time.Date(2026, 5, 4, 7, 4, 0, 0, time.UTC), false},
		"next day":              {"", time.Date(2026, 5, 5, 5, 0, 0, 0, time.UTC), true},
		"after the answer ends": {"", time.Date(2026, 5, 4, 18, 1, 0, 0, time.UTC), true},
		"sheet after the start": {"06:30", time.Date(2026, 5, 4, 6, 55, 0, 0, time.UTC), true},
	} {
		in := easyMorning(t)
		in.Sheet.Started, in.Now = c.started, c.now
		a := Assess(in)
		if !c.late {
			require.Empty(t, a.Late, name)
			continue
		}
		require.Equal(t, "entered after the fact, not an assessment before work", a.Late, name)
		require.True(t, strings.HasPrefix(a.Sentence, "This was entered after the fact, not an assessment before work."), name)
	}
}

func TestCheckRefusesTheWrongSheet(t *testing.T) {
	in := easyMorning(t)
	require.NoError(t, Check(in))
	in.Sheet.Block, in.Sheet.BlockEdition, in.Sheet.Day = "B6", 2, "2026-05-05"
	err := Check(in)
	require.ErrorContains(t, err, "the sheet is for block B6, not for B7")
	require.ErrorContains(t, err, "written from edition 2 of the block card; edition 3 is in force: write a new sheet")
	require.ErrorContains(t, err, "the sheet is for 2026-05-05; today is 2026-05-04")
	in.Sheet.BlockEdition = 4
	require.ErrorContains(t, Check(in), "names edition 4 of the block card; this book knows edition 3")
}

func TestBlockValidateNamesEveryProblem(t *testing.T) {
	require.NoError(t, upperLarch().Validate())
	err := Block{ID: "B9", Lat: "91", Lon: "x", SlopeMax: "45", Walk: "35km", Ambulance: "75min", Access: "1km", TreeHeight: "400m"}.Validate()
	for _, want := range []string{
		"block B9: edition is 0", "block B9: name is blank", "block B9: call is blank", "block B9: meeting point is blank",
		"block B9: plan without helicopter is blank", `block B9: lat is "91"; write decimal degrees between -90 and 90`, `lon is "x"`,
		`slope-max: "45" has no unit`, `walk: "km" is not a unit of time`, "tree-height: 400m is out of range: 0.1 to",
	} {
		require.ErrorContains(t, err, want)
	}
}

func TestBlockCardHoldsNoFloats(t *testing.T) {
	b, err := json.Marshal(upperLarch())
	require.NoError(t, err)
	var any map[string]any
	dec := json.NewDecoder(strings.NewReader(string(b)))
	dec.UseNumber()
	require.NoError(t, dec.Decode(&any))
	noFraction(t, any)
	require.Len(t, any, 17)
}

func TestDullBladeCountsForWhoUsesIt(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.AcceptedBy = "okafor"
	in.answer("hidden-base", Said{Is: Yes})
	in.Sheet.Controls = []Control{{"hidden-base", risk.Organised, "look first", "luis"}}
	in.Sheet.Saws[0].Checks[8].Said = Said{Is: No}
	a := Assess(in)
	require.Equal(t, "Medium", scoreOf(t, a, TopicKickback, "").LevelAfter)
	f := oneFinding(t, a, dullBlade)
	require.Equal(t, []string{"Serious", string(StopPerson), "p2"}, []string{f.LevelAfter, string(f.Effect), f.Subject})
	require.Equal(t, f, a.Findings[0], "file first")
	require.True(t, a.Saws[0].Use, "it is the user who waits, not the saw")
}
