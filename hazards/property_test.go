package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training"
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
		less := scored(Assess(in))
		for key, f := range scored(Assess(more)) {
			require.Equal(t, less[key].PointsAfter, f.PointsAfter, key)
		}
	})
}

func TestAControlNeverRaisesALevelAndTellingOrWearingNeverLowersOne(t *testing.T) {
	base := easyMorning(t)
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
			require.LessOrEqual(t, levelRank[f.LevelAfter], levelRank[w.LevelAfter], "1 is High: %s", key)
			if c.Kind == risk.Training || c.Kind == risk.PPE {
				require.Equal(t, f.PointsAfter, w.PointsAfter, key)
			}
		}
	})
}

// BenchmarkAssess is one morning with 12 people, 8 saws and controls.
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
	require.Len(b, in.Sheet.Crew, 12)
	require.Len(b, in.Sheet.Saws, 8)
	b.ReportAllocs()
	for b.Loop() {
		Assess(in)
	}
}
