package hazards

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
)

func TestDuringTheDay(t *testing.T) {
	for id, d := range map[string]During{"moved": {MovedTo: "B8"}, "incident": {Incident: "10:40"}, "missed-call": {Missed: []Missed{{"luis", "11:00"}}}} {
		in := easyMorning(t)
		in.During = d
		a := Assess(in)
		require.Equal(t, Hold, a.Answer, id)
		f := oneFinding(t, a, id)
		require.Equal(t, StopSite, f.Effect)
		require.NotEmpty(t, f.Ends)
	}
	in := easyMorning(t)
	in.During.Missed = []Missed{{"luis", "11:00"}}
	require.Equal(t, "No call from {p2}, due at 11:00. Saws off; call, then go and look.", oneFinding(t, Assess(in), "missed-call").What)
}

func TestChangeOfASheet(t *testing.T) {
	in := easyMorning(t)
	in.reading(map[string]string{WindForce: "3"})
	wind, err := ParseAnswer(WindForce, "6")
	require.NoError(t, err)
	gusts, err := ParseAnswer(Gusts, "60km/h")
	require.NoError(t, err)
	guard, err := ParseSawCheck("S12", SawGuard, "no")
	require.NoError(t, err)
	before := in.Sheet
	s, err := before.After(Change{At: "11:00", By: "luis", Answers: []Answer{{Wires, Said{Is: Yes}}, wind, gusts}, Arrived: []string{"ben"}, Left: []string{"rosa"}, Unwell: []string{"luis"}, Checks: []SawCheck{guard}})
	require.NoError(t, err)
	require.Equal(t, "11:00", s.At)
	require.Equal(t, "luis", s.By)
	require.Equal(t, Yes, s.Said(Wires).Is)
	require.Equal(t, "6", s.Said(WindForce).Value)
	require.Equal(t, []Answer{{Gusts, told("60km/h")}}, s.Readings)
	require.Equal(t, []string{"okafor", "luis", "ben"}, []string{s.Crew[0].Worker, s.Crew[1].Worker, s.Crew[2].Worker})
	require.Equal(t, No, s.Crew[1].Fit.Is)
	require.Equal(t, training.NoSaw, s.Crew[2].Level, "who arrives is without a saw until on a sheet")
	require.Equal(t, No, s.Saws[1].Said(SawGuard).Is)
	require.Equal(t, No, before.Said(Wires).Is, "the sheet before is not changed")
	require.Equal(t, Yes, before.Saws[1].Said(SawGuard).Is)
	require.Equal(t, "3", before.Said(WindForce).Value)

	_, err = before.After(Change{Arrived: []string{"luis"}, Left: []string{"ben"}, Unwell: []string{"cato"}, Checks: []SawCheck{{Saw: "S99"}}})
	for _, want := range []string{"luis is on the sheet already", "ben is not on the sheet", "cato is not on the sheet", "saw S99 is not on the sheet"} {
		require.ErrorContains(t, err, want)
	}
	_, err = ParseAnswer("wirse", "no")
	require.ErrorContains(t, err, `"wirse" is not a question; did you mean wires?`)
	_, err = ParseAnswer(Wires, "maybe")
	require.ErrorContains(t, err, `wires: "maybe" is no answer`)
	_, err = ParseSawCheck("S11", "gard", "no")
	require.ErrorContains(t, err, `"gard" is not a check of a saw; did you mean guard?`)
}

func TestChangePutsPeopleThrough(t *testing.T) {
	c := Change{By: "luis", Answers: []Answer{{FirstAider, told("rosa")}, {Wires, dontKnow}}, Arrived: []string{"ben"}, Left: []string{"rosa"}, Unwell: []string{"cato"}}
	up := c.WithPeople(strings.ToUpper)
	require.Equal(t, "LUIS", up.By)
	require.Equal(t, "ROSA", up.Answers[0].Value)
	require.Equal(t, "LUIS", up.Answers[1].Who)
	require.Equal(t, []string{"BEN", "ROSA", "CATO"}, []string{up.Arrived[0], up.Left[0], up.Unwell[0]})
	require.Equal(t, "rosa", c.Left[0])
}

// Calls every hour, missed ten minutes later (company choice).
func TestOverdueCalls(t *testing.T) {
	s, h := easyMorning(t).Sheet, starter(t)
	call := func(worker, at string) Contact { return Contact{worker, at, false} }
	missed := func(worker, at string) Contact { return Contact{worker, at, true} }
	for _, c := range []struct {
		name string
		said []Contact
		now  string
		want []Missed
	}{
		{"in time", nil, "08:02", nil},
		{"both late", nil, "08:03", []Missed{{"luis", "07:52"}, {"rosa", "07:52"}}},
		{"one has called", []Contact{call("luis", "07:50")}, "08:10", []Missed{{"rosa", "07:52"}}},
		{"a call of later does not count yet", []Contact{call("luis", "09:50"), call("rosa", "07:50")}, "08:10", []Missed{{"luis", "07:52"}}},
		{"recorded as missed", []Contact{call("luis", "07:50"), call("rosa", "07:50"), missed("luis", "08:00")}, "08:05", []Missed{{"luis", "08:00"}}},
		{"made good", []Contact{call("rosa", "08:00"), missed("luis", "07:55"), call("luis", "08:04")}, "08:05", nil},
		{"the watcher does not call", []Contact{call("luis", "08:00"), call("rosa", "08:00")}, "09:05", nil},
	} {
		require.Equal(t, append([]Missed{}, c.want...), Overdue(s, c.said, "06:52", c.now, h), c.name)
	}
	require.Empty(t, MissedCalls(s, nil, "06:52", "17:00"))
	require.Equal(t, []Missed{{"luis", "08:00"}}, MissedCalls(s, []Contact{missed("luis", "08:00")}, "06:52", "17:00"))
}

// HSE: 5 m/s² for 3 h are 150 points and A(8) 3.06; OSHA: 95 dBA for 2 h are half a dose.
func TestExposureOfADay(t *testing.T) {
	in := planned(t, "", "5m/s2", "95dBA", "")
	in.Places = []string{"us"}
	m, err := ExposureOf(in, "p2", "S11", "3h")
	require.NoError(t, err)
	require.Equal(t, []string{"150points", "3.06m/s2", "action"}, []string{m.Points, m.A8, m.Over})
	m, err = ExposureOf(in, "p2", "S11", "2h")
	require.NoError(t, err)
	require.Equal(t, []string{"100points", "2.5m/s2", "", "50%"}, []string{m.Points, m.A8, m.Over, m.Dose})
	require.False(t, m.Loud, "50 % is the action level, not beyond it")
	m, err = ExposureOf(in, "p2", "S11", "8.5h")
	require.NoError(t, err)
	require.Equal(t, "limit", m.Over)
	require.True(t, m.Loud)
	for bad, want := range map[string]string{"3": "has no unit", "30h": "out of range", "-1h": "out of range", "NaN": "not a number"} {
		_, err = ExposureOf(in, "p2", "S11", bad)
		require.ErrorContains(t, err, want)
	}
}

// OSHA Appendix B with A-weighted noise: 105 dBA behind a rating of 25 is 105 - (25 - 7) = 87 dBA. Appendix A: T = 8 / 2^((L-90)/5) h, so 4 h at
// 105 dBA (T = 1 h) are 400 % and at 87 dBA (T = 12.1 h) 33 %.
func TestWhatWasWornIsWhatSheetOrBookSay(t *testing.T) {
	of := func(ears string, wears Worn) Minutes {
		in := planned(t, "", "5m/s2", "105dBA", ears)
		in.Places = []string{"us"}
		for i := range in.People {
			if in.People[i].ID == "p2" {
				in.People[i].Wears = wears
			}
		}
		m, err := ExposureOf(in, in.Sheet.Crew[1].Worker, "S11", "4h")
		require.NoError(t, err)
		require.Equal(t, "400%", m.Dose)
		return m
	}
	require.Equal(t, "noise dose 400% with nothing worn; nobody said what was worn", of("", Worn{}).NoiseWords())
	require.Equal(t, "noise dose 400% with nothing worn; worn: ears of entry 12; its method and rating are not told", of("", Worn{Piece: "ears of entry 12"}).NoiseWords())
	require.Equal(t, "noise dose 400% with nothing worn; worn: ears of entry 12, osha_a 25: dose 33% behind it", of("", Worn{"ears of entry 12", "osha_a 25"}).NoiseWords())
	told := of("osha_a 25", Worn{"ears of entry 12", "osha_a 10"})
	require.Equal(t, "noise dose 400% with nothing worn; worn: osha_a 25, as told on the sheet: dose 33% behind it", told.NoiseWords(), "the sheet goes before the book")
	require.Contains(t, told.WornBy, "1910.95")
	require.Contains(t, of("snr 25", Worn{}).NoiseWords(), "snr needs the noise in dBC")
}

func TestTomorrow(t *testing.T) {
	in := easyMorning(t)
	in.answer(Wires, dontKnow)
	classed(&in, "high")
	minutes := []Minutes{{Worker: "p2", Over: "action", A8: "3m/s2", Trigger: "3h", Loud: true, Dose: "300%", Criterion: "x"}}
	plan := strings.Join(Tomorrow(in, Assess(in), minutes, []Missed{{"p3", "11:00"}}), "\n")
	for _, want := range []string{
		"still open: wires; {p2} was to find out by 07:30", "the call of {p3} due at 11:00 did not come", "beyond the action value for vibration: {p2} (A(8) 3m/s2, 3h); plan less time at the trigger (house rule vibration-action 2.5m/s2",
		"beyond the action value for noise, nothing worn: {p2} (dose 300%); wear protection whose method and rating are told (x)", "enter the noon readings of 2026-05-04 for B7",
	} {
		require.Contains(t, plan, want)
	}
	require.Empty(t, Tomorrow(easyMorning(t), Assess(easyMorning(t)), nil, nil))
}

func TestReadingsOnTheSheet(t *testing.T) {
	good := filled(t)
	s, err := ParseSheet("day.yaml", []byte(good))
	require.NoError(t, err)
	require.Empty(t, s.Readings, "blank is not on the sheet")
	fill := func(pairs ...string) string {
		text := good
		for i := 0; i < len(pairs); i += 2 {
			text = answerLine(t, text, pairs[i], pairs[i+1])
		}
		return text
	}
	s, err = ParseSheet("day.yaml", []byte(fill(WindForce, "3", Temperature, "-4C", FireClass, "high", FireClassAt, "06:10", FireClassBy, "agency page, road sign", NewToHeat, "no - rosa at 06:30")))
	require.NoError(t, err)
	require.Equal(t, []Answer{{Temperature, told("-4C")}, {NewToHeat, Said{Is: No, Who: "rosa", At: "06:30"}},
		{FireClass, told("high")}, {FireClassAt, told("06:10")}, {FireClassBy, told("agency page, road sign")}}, s.Readings)
	again, err := ParseSheet("day.yaml", WriteSheet(s, Hints{}))
	require.NoError(t, err)
	require.Equal(t, s, again)
	for _, c := range []struct {
		pairs []string
		want  string
	}{
		{[]string{WindForce, "13"}, "wind-force: 13 is out of range: 0 to 12"},
		{[]string{WindForce, "25km/h"}, `"km/h" does not stand behind a plain number`},
		{[]string{WindSpeed, "25"}, `wind-speed: "25" has no unit`},
		{[]string{Temperature, "17"}, `temperature: "17" has no unit`},
		{[]string{Temperature, "NaN"}, "is not a number with a unit"},
		{[]string{Humidity, "101%"}, "humidity: 101% is out of range: 0 to 100 %"},
		{[]string{Humidity, "0.5C"}, `"C" does not stand behind a percentage`},
		{[]string{WBGT, "80C"}, "wbgt: 80C is out of range"},
		{[]string{ThunderLast, "06:53"}, "thunder-last: 06:53 is after the sheet itself at 06:52"},
		{[]string{ThunderGap, "20s"}, "thunder-gap: thunder-last is blank: when was it heard?"},
		{[]string{FireClass, "high"}, "fire-class: fire-class-at is blank: a class needs the time"},
		{[]string{FireClass, "hihg", FireClassAt, "06:10", FireClassBy, "x"}, `fire-class: "hihg" is not a class; did you mean high?`},
		{[]string{FireClassAt, "25:00"}, "fire-class-at: "},
		{[]string{WalkClimb, "60m"}, "walk-climb: walk-out is blank"},
		{[]string{HeavyRain, "some"}, `heavy-rain: "some" is no answer`},
		{[]string{NewToHeat, "not applicable"}, "not applicable is no answer here"},
		{[]string{WindForce, "don't know yet"}, "needs who finds out and by when"},
		{[]string{HeavyRain, "no - rosa at 26:30"}, `"26:30" is not a clock time`},
	} {
		_, err := ParseSheet("day.yaml", []byte(fill(c.pairs...)))
		require.ErrorContains(t, err, c.want, c.pairs)
	}
	_, err = ParseSheet("day.yaml", []byte(fill(WindForce, "13", Humidity, "101%", ThunderGap, "20s")))
	require.Len(t, strings.Split(err.Error(), "\n"), 3, "all at once")
}

// Who said an answer, and when, may stand behind any answer.
func TestAnswersNameWhoSaidThemWhen(t *testing.T) {
	good := filled(t)
	text := replaceOnce(t, replaceOnce(t, good, "  wires: no\n", "  wires: no - rosa at 6:40\n"), "steepest-slope: 8%", "steepest-slope: 8% - luis at 06:20")
	s, err := ParseSheet("day.yaml", []byte(text))
	require.NoError(t, err)
	require.Equal(t, Said{Is: No, Who: "rosa", At: "06:40"}, s.Said(Wires))
	require.Equal(t, Said{Is: Told, Value: "8%", Who: "luis", At: "06:20"}, s.Said("steepest-slope"))
	require.Equal(t, "ROSA", s.WithPeople(strings.ToUpper).Said(Wires).Who)
	require.Contains(t, strings.Join(Changed(easyMorning(t).Sheet, s), "\n"), "wires: no, now no - rosa at 06:40")
}

// What is stable is carried, and planned lines are offered behind a comment mark; weather, fire and fitness never are.
func TestReadingsThatAreCarried(t *testing.T) {
	in := easyMorning(t)
	in.reading(map[string]string{WindForce: "3", Temperature: "20C", FireClass: "high", FireClassAt: "06:10", FireClassBy: "agency page", FireStation: "road station", WalkOut: "800m", KitDistance: "200m", DeadTrees: "no"})
	in.Sheet.Crew[1].Trigger, in.Sheet.Saws[0].Vibration = "3h", "4m/s2"
	text := string(WriteSheet(Sheet{Block: "B7", BlockEdition: 3, Day: "2026-05-05"}, Hints{Last: &in.Sheet, People: []string{"luis", "ben"}, Saws: []string{"S11"}}))
	for _, carried := range []string{"\n  fire-station: road station  # carried from", "\n  walk-out: 800m  # carried from", "\n  fire-class-source: agency page  # carried from"} {
		require.Contains(t, text, carried)
	}
	for _, id := range []string{WindForce, Temperature, FireClass, FireClassAt, KitDistance, DeadTrees, ThunderLast} {
		require.Contains(t, text, "\n  "+id+":\n", id)
	}
	require.Contains(t, text, "  # - {worker: luis, saw: S11, group: light-brush, level: unsupervised, watched-by: , trigger: 3h, fit: }\n")
	require.Contains(t, text, "  # - {worker: ben, saw: , group: , level: , watched-by: , fit: }\n")
	require.Contains(t, text, "filed: , vibration: 4m/s2}\n")
	_, err := ParseSheet("day.yaml", []byte(text))
	require.ErrorContains(t, err, "crew is blank: who stands here now?")
}

// A repeat day takes about sixty key presses for its questions: one for yes or no, as many as it has letters for the rest. Readings may stay
// blank.
func TestKeyPressesOfARepeatDay(t *testing.T) {
	presses := 0
	for _, q := range questions {
		switch {
		case q.Carried:
		case q.Kind == YesNo:
			presses++
		case q.Kind == Clock:
			presses += len("6:20")
		default:
			presses += len(easy[q.ID])
		}
	}
	require.LessOrEqual(t, presses, 65)
	require.Greater(t, presses, 40, "the list is not empty")
}

func TestNotLookedAtListsOnlyWhatIsBlank(t *testing.T) {
	in := easyMorning(t)
	in.Sheet = in.Sheet.formatOne()
	blank := Assess(in).NotLookedAt
	require.Subset(t, blank, []string{"heavy rain", "measured wind and gusts", "when thunder was last heard", "fuel in the vehicle", "wind force", "heat and cold", "fire class", "first-aid reach", "standing dead and leaning trees", "noise and vibration of {p2}, {p3}"})
	in.reading(map[string]string{WindForce: "2", Temperature: "15C", FireClass: "low", KitDistance: "100m", DeadTrees: "no",
		HeavyRain: "no", Gusts: "20km/h", ThunderLast: "no", VehicleFuel: NotApplicable})
	in.Sheet.Crew[1].Trigger, in.Sheet.Crew[2].Trigger = "1h", "1h"
	in.KnownSaws = []KnownSaw{{ID: "S11"}, {ID: "S12"}}
	require.Equal(t, NotLookedAt, Assess(in).NotLookedAt)
}

func TestTheDayEndsAtTheEarliest(t *testing.T) {
	in := easyMorning(t)
	require.Equal(t, "18:00", Assess(in).Ends)
	in.Now = time.Date(2026, 5, 4, 6, 55, 0, 0, time.FixedZone("", -7*3600)) // where the sun sets in the evening of the same day
	in.House = withRule(t, in.House, "light-margin", "4h")
	a := Assess(in)
	require.Less(t, a.Ends, "18:00")
	require.Contains(t, oneFinding(t, a, "daylight").What, "The last saw stops at "+a.Ends)
}

// An answer that is read can be written and read again.
func FuzzParseAnswer(f *testing.F) {
	f.Add(Wires, "no - rosa at 06:30")
	f.Add(WindSpeed, "25 km/h")
	f.Add(FirstAider, "don't know yet - luis by 7:30")
	corpus, err := os.ReadDir("testdata/fuzz/FuzzParseAnswer")
	require.NoError(f, err)
	require.NotEmpty(f, corpus)
	f.Fuzz(func(t *testing.T, question, text string) {
		a, err := ParseAnswer(question, text)
		if err != nil {
			return
		}
		again, err := ParseAnswer(question, a.String())
		require.NoError(t, err)
		require.Equal(t, a, again)
	})
}
