package hazards

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
	"example.org/ringtrue/training"
)

// starter is the house edition the tests use.
func starter(t testing.TB) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// under puts an edition under the floors of the starter edition and of a place.
func under(t testing.TB, h house.House, place string) house.House {
	e, err := rules.Starter()
	require.NoError(t, err)
	return h.Under(append(starter(t).Floors, e.Floors(place)...))
}

// upperLarch is a block whose help is near enough for the starter house rules.
func upperLarch() Block {
	return Block{
		ID: "B7", Name: "Upper Larch", Edition: 3, Lat: "54.7102", Lon: "-124.9210", Access: "42.5km", Walk: "5min",
		SlopeMax: "45%", TreeHeight: "4m", Ambulance: "20min",
		Call: "the valley ambulance", Road: "forest road, km 42.5, left at the gravel pit", Channel: "channel 3",
		Meeting: "the landing at km 42", PlanB: "carry out to the landing, six carriers", Carry: "the road crew of six at km 40",
	}
}

// easy answers every question so that nothing is found.
var easy = map[string]string{
	CallBy: "handheld radio", CallAnswered: "06:20", CheckIn: "1h", FirstAider: "okafor", WhoCalls: "luis",
	NeighbourDist: "25m", WindForce: "2", "steepest-slope": "8%", "largest-stem": "5cm", TallestStem: "4m",
	"fuel-ignition": "15m", "fuel-start": "5m", "fuel-smoking": NotApplicable, FuelCan: "10L",
}

func easyAnswers() []Answer {
	var out []Answer
	for _, q := range questions {
		out = append(out, Answer{q.ID, easySaid(q)})
	}
	return out
}

func easySaid(q Question) Said {
	switch v, told := easy[q.ID]; {
	case v == NotApplicable:
		return Said{Is: NotApplicable}
	case told:
		return Said{Is: Told, Value: v}
	case q.Bad == Yes:
		return Said{Is: No}
	}
	return Said{Is: Yes}
}

func soundSaw(id string) SawLine {
	s := SawLine{ID: id}
	for _, q := range sawChecks {
		s.Checks = append(s.Checks, Answer{q.ID, easySaid(q)})
	}
	return s
}

// pacific is the summer time of the block, so that the sun is up when people start.
var pacific = time.FixedZone("", -7*3600)

// easyMorning is a morning on which nothing is found: a trainer who does not saw, and two old hands who do.
func easyMorning(t testing.TB) Input {
	free := map[string]training.Permission{"light-brush": {Group: "light-brush", Level: training.Unsupervised,
		Reasons: []training.Reason{{Text: "released for light-brush, unsupervised"}}}}
	return Input{
		Block: upperLarch(), House: starter(t), Now: time.Date(2026, 5, 4, 6, 55, 0, 0, pacific),
		People: []Worker{
			{ID: "p1", Handle: "okafor", Permissions: free, FirstAid: true, Appointed: true, SawDays: 900, Seasons: 12},
			{ID: "p2", Handle: "luis", Permissions: free, SawDays: 500, Seasons: 6},
			{ID: "p3", Handle: "rosa", Permissions: free, SawDays: 400, Seasons: 5},
		},
		Sheet: Sheet{
			Block: "B7", BlockEdition: 3, Day: "2026-05-04", At: "06:52", By: "okafor", Coordinates: "54.7102, -124.9210",
			Crew: []CrewLine{
				{Worker: "okafor", Level: training.NoSaw, Fit: Said{Is: Yes}},
				{Worker: "luis", Saw: "S11", Group: "light-brush", Level: training.Unsupervised, Fit: Said{Is: Yes}},
				{Worker: "rosa", Saw: "S12", Group: "light-brush", Level: training.Unsupervised, Fit: Said{Is: Yes}},
			},
			Saws: []SawLine{soundSaw("S11"), soundSaw("S12")}, Answers: easyAnswers(),
		},
	}
}

// answer sets one answer on the sheet.
func (in *Input) answer(id string, s Said) {
	for i := range in.Sheet.Answers {
		if in.Sheet.Answers[i].Question == id {
			in.Sheet.Answers[i].Said = s
		}
	}
}

// formatOne is the sheet as format 1 could leave it: without those questions that were readings then.
func (s Sheet) formatOne() Sheet {
	s.Answers = slices.DeleteFunc(slices.Clone(s.Answers), func(a Answer) bool { return contains(wereReadings, a.Question) })
	return s
}

// answerLine gives a question of a written sheet another answer, "" to leave it blank.
func answerLine(t testing.TB, sheet, id, answer string) string {
	t.Helper()
	line := regexp.MustCompile(`(?m)^  ` + regexp.QuoteMeta(id) + `:.*$`)
	require.Len(t, line.FindAllString(sheet, -1), 1, id)
	return line.ReplaceAllLiteralString(sheet, strings.TrimRight("  "+id+": "+answer, " "))
}

func told(v string) Said { return Said{Is: Told, Value: v} }

var dontKnow = Said{Is: DontKnow, Who: "luis", By: "07:30"}

// findings returns those with this id.
func findings(a Assessment, id string) []Finding {
	var out []Finding
	for _, f := range a.Findings {
		if f.ID == id {
			out = append(out, f)
		}
	}
	return out
}

func oneFinding(t *testing.T, a Assessment, id string) Finding {
	t.Helper()
	fs := findings(a, id)
	require.Len(t, fs, 1, "findings with id %s in %+v", id, a.Findings)
	return fs[0]
}

func scoreOf(t *testing.T, a Assessment, topic, subject string) Finding {
	t.Helper()
	for _, f := range a.Findings {
		if f.Topic == topic && f.ID == "score" && f.Subject == subject {
			return f
		}
	}
	require.Fail(t, "no score", "topic %s, subject %q in %+v", topic, subject, a.Findings)
	return Finding{}
}

func replaceOnce(t *testing.T, text, old, new string) string {
	t.Helper()
	require.Equal(t, 1, strings.Count(text, old), old)
	return strings.Replace(text, old, new, 1)
}

// mayTakeTwoCuts releases people for stems that need two cuts as well.
func (in *Input) mayTakeTwoCuts(handles ...string) {
	in.People = append([]Worker(nil), in.People...)
	for i := range in.People {
		if contains(handles, in.People[i].Handle) {
			all := map[string]training.Permission{TwoCut: {Group: TwoCut, Level: training.Unsupervised}}
			for g, p := range in.People[i].Permissions {
				all[g] = p
			}
			in.People[i].Permissions = all
		}
	}
}
