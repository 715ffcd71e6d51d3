package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/training"
)

// Turning one answer to its bad side, which adds a factor or a stop, never lowers a level and never eases the answer.
func TestABadAnswerNeverLowersALevelNorEasesTheAnswer(t *testing.T) {
	base := easyMorning(t)
	var yesNos []int
	for i, q := range questions {
		if q.Kind == YesNo {
			yesNos = append(yesNos, i)
		}
	}
	require.Greater(t, len(yesNos), 20)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		i := rapid.SampledFrom(yesNos).Draw(t, "question")
		q := questions[i]
		bad := in
		bad.Sheet.Answers = append([]Answer(nil), in.Sheet.Answers...)
		bad.Sheet.Answers[i].Said = Said{Is: q.Bad}
		in.Sheet.Answers[i].Said = Said{Is: map[string]string{Yes: No, No: Yes}[q.Bad]}
		was, is := Assess(in), Assess(bad)
		require.GreaterOrEqual(t, verdictRank[is.Answer], verdictRank[was.Answer], q.ID)
		require.Subset(t, stopsOf(is), stopsOf(was), q.ID)
		worse := scored(is)
		for key, f := range scored(was) {
			if w, ok := worse[key]; ok {
				require.LessOrEqual(t, levelRank[w.LevelBefore], levelRank[f.LevelBefore], "1 is High: %s with %s", key, q.ID)
				require.LessOrEqual(t, levelRank[w.LevelAfter], levelRank[f.LevelAfter], "1 is High: %s with %s", key, q.ID)
			}
		}
	})
}

// Hearing protection changes no chance and no level of what is scored.
func TestWhatIsWornLowersNoScore(t *testing.T) {
	base := easyMorning(t)
	rapid.Check(t, func(t *rapid.T) {
		in := drawMorning(t, base)
		worn := in
		worn.Sheet.Crew = append([]CrewLine(nil), in.Sheet.Crew...)
		for i := range worn.Sheet.Crew {
			worn.Sheet.Crew[i].Ears = rapid.SampledFrom([]string{"csa_muff 25", "csa_plug 20"}).Draw(t, "ears")
		}
		require.Equal(t, scored(Assess(in)), scored(Assess(worn)))
	})
}

// What stops one person or one saw stops them whatever else is answered, and no release makes up for it.
func TestStopsOfAPersonAndASawHoldWhateverElseIsAnswered(t *testing.T) {
	base := easyMorning(t)
	stops := map[string]func(*Input){
		"restricted":     func(in *Input) { in.People[1].Restricted = []string{"5.3"} },
		"not oriented":   func(in *Input) { in.People[1].Orient = []string{"new to this ground"} },
		"not released":   func(in *Input) { in.People[1].Permissions = nil },
		"equipment":      func(in *Input) { in.People[1].Lacks = []string{"helmet"} },
		"not on list":    func(in *Input) { in.People[1].Unknown = true },
		"unfit":          func(in *Input) { in.Sheet.Crew[1].Fit = Said{Is: No} },
		"saw tagged":     func(in *Input) { in.KnownSaws = []KnownSaw{{ID: "S11", Tagged: "cracked guard"}, {ID: "S12"}} },
		"saw retired":    func(in *Input) { in.KnownSaws = []KnownSaw{{ID: "S11", Retired: true}, {ID: "S12"}} },
		"blade is dumb":  func(in *Input) { in.Sheet.Saws = []SawLine{withCheck(SawRing, No), soundSaw("S12")} },
		"guard not told": func(in *Input) { in.Sheet.Saws = []SawLine{withCheck(SawGuard, DontKnow), soundSaw("S12")} },
	}
	for name, stop := range stops {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in := drawMorning(t, base)
				stop(&in)
				found := 0
				for _, m := range Assess(in).May {
					if m.Worker == "p2" || m.Worker == "luis" {
						found++
						require.Equal(t, training.NoSaw, m.Level)
						require.NotEmpty(t, m.Stopped)
					}
				}
				require.Equal(t, 1, found)
			})
		})
	}
}

// withCheck is saw S11 with one check answered otherwise.
func withCheck(check, is string) SawLine {
	s := soundSaw("S11")
	for i := range s.Checks {
		if s.Checks[i].Question == check {
			s.Checks[i].Said = Said{Is: is, Who: "luis", By: "07:30"}
		}
	}
	return s
}
