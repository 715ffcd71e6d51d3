package hazards

import (
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// drawMorning is the easy morning with other answers, controls and experience.
func drawMorning(t *rapid.T, base Input) Input {
	in := base
	in.People = append([]Worker(nil), base.People...)
	in.Sheet.Answers = append([]Answer(nil), base.Sheet.Answers...)
	in.Sheet.Crew = append([]CrewLine(nil), base.Sheet.Crew...)
	for i, q := range questions {
		if rapid.Bool().Draw(t, "other") {
			in.Sheet.Answers[i].Said = drawAnswer(t, q)
		}
	}
	for i := range in.People {
		in.People[i].SawDays = rapid.IntRange(0, 300).Draw(t, "days")
		in.People[i].Seasons = rapid.IntRange(0, 6).Draw(t, "seasons")
		in.People[i].MissedLook = rapid.Bool().Draw(t, "missed")
	}
	for range rapid.IntRange(0, 6).Draw(t, "controls") {
		in.Sheet.Controls = append(in.Sheet.Controls, drawControl(t))
	}
	in.Sheet.AcceptedBy = rapid.SampledFrom([]string{"", "okafor"}).Draw(t, "accepted by")
	in.Block.Ambulance = rapid.SampledFrom([]string{"10min", "75min"}).Draw(t, "ambulance")
	in.Sheet.Readings = drawReadings(t, in.Sheet.At)
	return in
}

func drawControl(t *rapid.T) Control {
	return Control{rapid.SampledFrom(controllable()).Draw(t, "for"), risk.Kind(rapid.IntRange(1, 5).Draw(t, "kind")), "as agreed", "luis"}
}

// drawAnswer draws an answer that a parsed sheet could hold, values over their whole plausible range.
func drawAnswer(t *rapid.T, q Question) Said {
	if q.Kind == Value && rapid.Bool().Draw(t, "value") {
		return told(drawValue(t, q))
	}
	if q.Kind == Person && rapid.Bool().Draw(t, "person") {
		return told(rapid.SampledFrom([]string{"okafor", "luis", "ben"}).Draw(t, "who"))
	}
	return drawSaid(t, q)
}

func drawValue(t *rapid.T, q Question) string {
	n := itoa(rapid.IntRange(1, 60).Draw(t, "n"))
	return n + map[string]string{"slope": "%", "length": "m", "time": "min", "volume": "L"}[string(q.Of)]
}

// stopsOf names what an answer stops: the site by its findings but for acceptance and controls that nobody sees to, people and saws.
func stopsOf(a Assessment) []string {
	var out []string
	for _, f := range a.Findings {
		if f.Effect == StopSite && f.Topic != TopicAcceptance && !(f.Means == NotYet && f.LevelAfter != "") {
			out = append(out, f.Topic+"/"+f.ID)
		}
	}
	for _, m := range a.May {
		if len(m.Stopped) > 0 {
			out = append(out, "person "+m.Worker)
		}
	}
	for _, s := range a.Saws {
		if !s.Use {
			out = append(out, "saw "+s.ID)
		}
	}
	return out
}

// Looking at more never takes a stop away: every stop of a morning without readings is there with them, and each reading that stops alone
// stops beside all others. The voltage of a wire is left out: it is asked so that the largest distance, which a blank takes, need not be kept.
func TestMoreInformationNeverRemovesAStop(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		all := slices.DeleteFunc(in.Sheet.Readings, func(a Answer) bool { return a.Question == WireVoltage })
		in.Sheet.Readings = nil
		before := Assess(in)
		in.Sheet.Readings = all
		in.Sheet.Crew[1].Trigger, in.FireDays = "3h", []FireDay{{Station: in.Sheet.FireStation(), Day: "2026-05-03", Class: "extreme"}}
		after := Assess(in)
		require.Subset(t, stopsOf(after), stopsOf(before))
		require.GreaterOrEqual(t, verdictRank[after.Answer], verdictRank[before.Answer])
		require.LessOrEqual(t, after.Ends, before.Ends)
	})
}

// readingStops are readings that stop the site whatever else is told.
var readingStops = map[string]Said{
	WindForce: told("8"), WindSpeed: told("60km/h"), Gusts: told("70km/h"), HeavyRain: {Is: Yes}, Temperature: told("-58C"), WBGT: told("30C"),
}

func TestReadingsThatStopHoldWhateverElseIsAnswered(t *testing.T) {
	base := easyMorning(t)
	ids := []string{WindForce, WindSpeed, Gusts, HeavyRain, Temperature, WBGT, ThunderLast}
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		id := rapid.SampledFrom(ids).Draw(t, "stop")
		said, fixed := readingStops[id]
		if !fixed || (id != Temperature && id != WBGT && rapid.Bool().Draw(t, "not known")) {
			said = dontKnow
		}
		in.Sheet.answer(Answer{id, said})
		if id == Temperature {
			in.Sheet.answer(Answer{WindSpeed, told("20km/h")})
		}
		a := Assess(in)
		require.Equal(t, Hold, a.Answer, id)
		require.Len(t, a.May, len(in.Sheet.Crew))
		for _, m := range a.May {
			require.Equal(t, training.NoSaw, m.Level)
		}
	})
}

// The same for what the day brings, and for the last day of a run of extreme danger.
func TestWhatTheDayBringsHoldsWhateverElseIsAnswered(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		switch rapid.IntRange(0, 3).Draw(t, "what") {
		case 0:
			in.During.Incident = "10:40"
		case 1:
			in.During.MovedTo = "B8"
		case 2:
			in.During.Missed = []Missed{{"luis", "11:00"}}
		default:
			station := in.Sheet.FireStation()
			in.Sheet.answer(Answer{FireClass, told("extreme")})
			in.FireDays = []FireDay{{Station: station, Day: "2026-05-02", Class: "extreme"}, {Station: station, Day: "2026-05-03", Class: "extreme"}}
		}
		require.Equal(t, Hold, Assess(in).Answer)
	})
}

func TestPlainStopsHoldWhateverElseIsAnswered(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		var ids []string
		for _, q := range questions {
			if _, ok := plainStops[q.ID]; ok {
				ids = append(ids, q.ID)
			}
		}
		id := rapid.SampledFrom(ids).Draw(t, "stop")
		in.answer(id, rapid.SampledFrom([]Said{{Is: plainStops[id].when}, dontKnow}).Draw(t, "how"))
		a := Assess(in)
		require.Equal(t, Hold, a.Answer)
		require.Len(t, findings(a, id), 1)
		for _, m := range a.May {
			require.Equal(t, training.NoSaw, m.Level)
		}
	})
}

func TestSameInputSameAnswer(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		require.Equal(t, Assess(in), Assess(in))
	})
}

// scored returns the points and levels by topic and subject.
func scored(a Assessment) map[string]Finding {
	out := map[string]Finding{}
	for _, f := range a.Findings {
		if f.ID == "score" {
			out[f.Topic+"/"+f.Of+"/"+f.Subject] = f
		}
	}
	return out
}

var verdictRank = map[Verdict]int{Go: 0, GoWithControls: 1, Hold: 2}

func TestDontKnowYetCountsAsTheWorst(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		i := rapid.IntRange(0, len(questions)-1).Draw(t, "question")
		known := in
		known.Sheet.Answers = append([]Answer(nil), in.Sheet.Answers...)
		known.Sheet.Answers[i].Said = drawAnswer(t, questions[i])
		in.Sheet.Answers[i].Said = dontKnow
		was, is := Assess(known), Assess(in)
		require.GreaterOrEqual(t, verdictRank[is.Answer], verdictRank[was.Answer], questions[i].ID)
		worst := scored(is)
		for key, f := range scored(was) {
			if w, ok := worst[key]; ok && questions[i].ID != "steepest-slope" {
				require.GreaterOrEqual(t, w.PointsAfter, f.PointsAfter, key)
			}
		}
	})
}

func TestNoCertificateOrReleaseLowersAScore(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		more := in
		more.People = append([]Worker(nil), in.People...)
		more.People[1].FirstAid, more.People[1].Appointed = true, true
		more.People[1].Permissions = map[string]training.Permission{"light-brush": {Group: "light-brush", Level: training.Unsupervised,
			Reasons: []training.Reason{{Text: "signed off in every skill"}, {Text: "certificate 4471"}}}}
		less, same := scored(Assess(in)), scored(Assess(more))
		require.NotEmpty(t, less)
		require.Len(t, same, len(less))
		for key, f := range same {
			require.Equal(t, less[key].PointsAfter, f.PointsAfter, key)
		}
	})
}

func TestAControlNeverRaisesALevelAndTellingOrWearingNeverLowersOne(t *testing.T) {
	base, compared := easyMorning(t), 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		c := drawControl(t)
		more := in
		more.Sheet.Controls = append(append([]Control(nil), in.Sheet.Controls...), c)
		was, is := scored(Assess(in)), scored(Assess(more))
		for key, f := range was {
			w, ok := is[key]
			if !ok {
				continue
			}
			compared++
			require.LessOrEqual(t, levelRank[f.LevelAfter], levelRank[w.LevelAfter], "1 is High: %s", key)
			if c.Kind == risk.Training || c.Kind == risk.PPE {
				require.Equal(t, f.PointsAfter, w.PointsAfter, key)
			}
		}
	})
	require.Positive(t, compared)
}

func oneFindingIn(a Assessment, id string) Finding {
	for _, f := range findings(a, id) {
		return f
	}
	return Finding{}
}

// BenchmarkAssess is one morning with 12 people, 8 saws, controls, readings and a season of noon readings behind it.
func BenchmarkAssess(b *testing.B) {
	in := easyMorning(b)
	for i := len(in.Sheet.Crew); i < 12; i++ {
		p := in.People[1]
		p.ID, p.Handle, p.Seasons = "p"+itoa(i+1), "w"+itoa(i+1), i%5
		in.People = append(in.People, p)
		c := CrewLine{Worker: p.Handle, Level: training.NoSaw, Fit: Said{Is: Yes}}
		if len(in.Sheet.Saws) < 8 {
			c.Saw, c.Group, c.Level = "S"+itoa(i+20), "light-brush", training.InHearing
			in.Sheet.Saws = append(in.Sheet.Saws, soundSaw(c.Saw))
		}
		in.Sheet.Crew = append(in.Sheet.Crew, c)
	}
	in.answer("hidden-base", Said{Is: Yes})
	in.answer("dry-litter", Said{Is: Yes})
	in.answer("steepest-slope", told("38%"))
	in.Sheet.AcceptedBy = "okafor"
	in.Sheet.Controls = []Control{{"hidden-base", risk.Organised, "look first", "luis"}, {"dry-litter", risk.Technical, "extinguisher", "luis"}}
	in.reading(map[string]string{WindForce: "5", WindSpeed: "30km/h", Temperature: "30C", Humidity: "55%", WBGT: "25C", NewToHeat: "no", FireClass: "high", FireClassAt: "06:10",
		FireClassBy: "agency page", FireWatch: "luis", KitDistance: "300m", WalkOut: "800m", WalkClimb: "60m", DeadTrees: "no", VehicleFuel: "20L", ThunderLast: "no"})
	for i := range in.Sheet.Crew {
		in.Sheet.Crew[i].Trigger, in.Sheet.Crew[i].Ears = "4h", "csa_muff 25"
	}
	for i := range in.Sheet.Saws {
		in.Sheet.Saws[i].Vibration, in.Sheet.Saws[i].Noise = "4m/s2", "101dBA"
	}
	in.Places = []string{"bc", "ca"}
	for i := range 180 { // a whole season of noon readings up to yesterday
		day := civil.Date(2026, 5, 3) - civil.Day(179-i)
		in.FireDays = append(in.FireDays, FireDay{Station: "B7", Day: day.String(), Temp: "18C", RH: itoa(30+i%40) + "%", Wind: "12km/h", Rain: strconv.Itoa(i%7) + "mm", Start: i == 0})
	}
	require.Contains(b, oneFindingIn(Assess(in), FireClass).What, "computed from the noon readings of 2026-05-03")
	require.Len(b, in.Sheet.Crew, 12)
	require.Len(b, in.Sheet.Saws, 8)
	b.ReportAllocs()
	for b.Loop() {
		Assess(in)
	}
}
