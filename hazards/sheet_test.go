package hazards

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training"
)

// filled writes the easy morning and reads it back.
func filled(t testing.TB) string {
	s := easyMorning(t).Sheet
	s.AcceptedBy, s.Started = "okafor", "07:05"
	s.Visitors = []Visitor{{"the client's forester", "okafor"}}
	s.Controls = []Control{{"hidden-base", risk.Organised, "part the brush, see the base", "luis"}}
	return string(WriteSheet(s, Hints{Block: upperLarch()}))
}

func TestWrittenSheetReadsBack(t *testing.T) {
	s, err := ParseSheet("day.yaml", []byte(filled(t)))
	require.NoError(t, err)
	require.Equal(t, "okafor", s.AcceptedBy)
	require.Equal(t, "8%", s.Said("steepest-slope").Value)
	require.Equal(t, risk.Organised, s.Controls[0].Kind)
	require.Equal(t, training.Unsupervised, s.Crew[1].Level)
	require.Len(t, s.Answers, len(questions))
}

// lineWith is the 1-based line on which a text stands.
func lineWith(t *testing.T, sheet, text string) string {
	t.Helper()
	i := strings.Index(sheet, text)
	require.GreaterOrEqual(t, i, 0, text)
	return "day.yaml:" + itoa(strings.Count(sheet[:i], "\n")+1) + ": "
}

func itoa(n int) string { return editionText(n) }

func TestParseSheetNamesEveryProblem(t *testing.T) {
	cases := []struct{ name, old, new, at, want string }{
		{"unknown key", "\nby: okafor", "\nbye: okafor", "bye:", `sheet: "bye" is not known; did you mean by?`},
		{"misspelt question", "  wires: no", "  wirse: no", "wirse:", `answers: "wirse" is not known; did you mean wires?`},
		{"missing question", "  wires: no\n", "", "  call-by:", "wires is blank: Are there wires within reach of a stem or a saw?"},
		{"blank answer", "  thunder: no", "  thunder:", "  thunder:", "thunder is blank: Is there thunder or lightning?"},
		{"unknown word", "  hung-up: no", "  hung-up: maybe", "hung-up: maybe", `hung-up: "maybe" is no answer; write yes, no, or don't know yet - NAME by 07:30`},
		{"value without unit", "steepest-slope: 8%", "steepest-slope: 8", "steepest-slope: 8", `steepest-slope: "8" has no unit`},
		{"value out of range", "steepest-slope: 8%", "steepest-slope: 800%", "steepest-slope: 800%", "800% is out of range: 0 to 200 %"},
		{"value of another kind", "largest-stem: 5cm", "largest-stem: 5L", "largest-stem: 5L", `"L" is not a unit of length`},
		{"worker twice", "worker: rosa", "worker: luis", "worker: luis, saw: S12", "crew: luis is named twice"},
		{"saw used by two", "worker: rosa, saw: S12", "worker: rosa, saw: S11", "worker: rosa", "crew: saw S11 is used by two people"},
		{"saw without line", "worker: rosa, saw: S12", "worker: rosa, saw: S99", "worker: rosa", "crew: saw S99 has no line under saws"},
		{"unknown level", "level: no saw", "level: in sigt", "level: in sigt", `crew: "in sigt" is not a level; did you mean in sight?`},
		{"saw but no saw level", "worker: okafor, saw: ", "worker: okafor, saw: S12", "worker: okafor", "crew: okafor is planned no saw, but saw S12 is named"},
		{"level but no group", "group: light-brush", "group: ", "worker: luis", "crew: luis is planned unsupervised, but for no task group"},
		{"don't know without who", "  public: no", "  public: don't know yet", "public: don't", "public: don't know yet needs who finds out and by when"},
		{"don't know without time", "  public: no", "  public: don't know yet - luis by noon", "public: don't", `"noon" is not a clock time`},
		{"not applicable to a killer", "  wires: no", "  wires: not applicable", "wires: not", "wires: not applicable is no answer here"},
		{"control on nothing", "  - {for: hidden-base", "  - {for: hiden-base", "for: hiden-base", `controls: "hiden-base" is not a factor; did you mean hidden-base?`},
		{"control on experience", "  - {for: hidden-base", "  - {for: first-month", "for: first-month", "controls: nothing lowers first-month; change the ground or the task"},
		{"control without owner", "owner: luis", "owner: ", "  - {for: hidden-base", "controls: owner is blank: who sees to it?"},
		{"unknown kind", "  - {for: hidden-base, kind: organised", "  - {for: hidden-base, kind: organized", "kind: organized", `"organized" is not a kind of control; use taken away, technical, organised, training, ppe; did you mean organised?`},
		{"unknown format", "format: ringtrue/day-sheet/2", "format: ringtrue/day-sheet/9", "format:", "this version reads ringtrue/day-sheet/2"},
		{"earlier format", "format: ringtrue/day-sheet/2", "format: ringtrue/day-sheet/1", "format:", "the sheet is of an earlier format, ringtrue/day-sheet/1: it could be cut unseen, and leave dead trees, heavy rain, wind and fire class blank; write a new one"},
		{"end counts fewer", SheetEnd(sheetQuestions()), SheetEnd(sheetQuestions() - 1), "end:", "; a whole sheet ends with \"" + SheetEnd(sheetQuestions())},
		{"end blank", "end: " + SheetEnd(sheetQuestions()), "end:", "end:", "the sheet has no end line: part of it is lost"},
		{"end not last", "end: " + SheetEnd(sheetQuestions()), "end: " + SheetEnd(sheetQuestions()) + "\nvisitors:", "end:", "end is not the last line of the sheet"},
		{"reading taken out", "  wbgt:\n", "", "wind-speed:", "readings: 1 of the " + itoa(sheetQuestions()) + " questions that the end line counts are not on the sheet: wbgt; leave blank what nobody looked at"},
		{"killer blank", "  dead-trees: no", "  dead-trees:", "dead-trees:", "dead-trees is blank: Are there standing dead or leaning trees"},
		{"rain blank", "  heavy-rain: no", "  heavy-rain:", "heavy-rain:", "heavy-rain is blank: Is there heavy rain or snow"},
		{"wind blank", "  wind-force: 2", "  wind-force:", "wind-force:", "wind-force is blank: What does the wind do to the trees?"},
		{"no such day", "day: 2026-05-04", "day: 2026-02-30", "day: 2026-02-30", `"2026-02-30" is not a day that exists`},
		{"no such time", "at: 06:52", "at: 26:52", "at: 26:52", `"26:52" is not a clock time`},
		{"edition", "block-edition: 3", "block-edition: three", "block-edition:", `block-edition is "three"`},
		{"saw check blank", "guard: yes", "guard: ", "id: S11", "saw S11, guard is blank: guard fitted and whole?"},
		{"answer twice", "  wires: no", "  wires: no\n  wires: no", "  wires: no\n  # Are there hung-up", "answers: wires stands twice"},
		{"anchor", "\nby: okafor", "\nby: &a okafor", "by: &a", "no anchors and no aliases"},
		{"tag", "\nby: okafor", "\nby: !!str okafor", "by: !!str", "no tags"},
		{"list for an answer", "  wires: no", "  wires: [no]", "wires: [no]", "wires: write one answer, not a list"},
	}
	good := filled(t)
	for _, c := range cases {
		require.Contains(t, good, c.old, c.name)
		bad := strings.Replace(good, c.old, c.new, 1)
		_, err := ParseSheet("day.yaml", []byte(bad))
		require.ErrorContains(t, err, c.want, c.name)
		require.ErrorContains(t, err, lineWith(t, bad, c.at), c.name)
	}
}

func TestParseSheetReportsAllAtOnceInOrder(t *testing.T) {
	bad := strings.NewReplacer("  thunder: no", "  thunder:", "  wires: no", "  wires: perhaps", "level: no saw", "level: none").Replace(filled(t))
	_, err := ParseSheet("day.yaml", []byte(bad))
	require.Error(t, err)
	lines := strings.Split(err.Error(), "\n")
	require.Len(t, lines, 3)
	require.Contains(t, lines[0], "is not a level")
	require.Contains(t, lines[1], "thunder is blank")
	require.Contains(t, lines[2], "perhaps")
}

func TestParseSheetRefusesWhatIsNoSheet(t *testing.T) {
	for text, want := range map[string]string{
		"":                                     "day.yaml:1: the sheet is empty",
		"# nothing\n":                          "day.yaml:1: the sheet is empty",
		"- a\n":                                "day.yaml:1: sheet: write lines of the form key: answer",
		"by: [\n":                              "not a sheet that can be read",
		filled(t) + "---\nby: rosa\n":          "a second document follows",
		strings.Repeat("# no\n", MaxSheet/5+1): "at most 262144 are read",
	} {
		_, err := ParseSheet("day.yaml", []byte(text))
		require.ErrorContains(t, err, want)
	}
}

func TestYesAndNoAsAnyYAMLWritesThem(t *testing.T) {
	good := filled(t)
	for word, want := range map[string]string{"no": No, "No": No, "false": No, "n": No, `"no"`: No, "yes": Yes, "YES": Yes, "true": Yes, "y": Yes} {
		s, err := ParseSheet("day.yaml", []byte(strings.Replace(good, "  wires: no", "  wires: "+word, 1)))
		require.NoError(t, err, word)
		require.Equal(t, want, s.Said(Wires).Is, word)
	}
}

func TestDontKnowYetIsReadInPlainWords(t *testing.T) {
	good := filled(t)
	for _, words := range []string{"don't know yet - luis by 07:30", "dont know, luis by 7:30", "Do not know yet, luis by 07:30", `"don’t know yet luis by 07:30"`} {
		s, err := ParseSheet("day.yaml", []byte(strings.Replace(good, "  wires: no", "  wires: "+words, 1)))
		require.NoError(t, err, words)
		require.Equal(t, dontKnow, s.Said(Wires), words)
	}
}

func TestBlankSheetIsRefusedQuestionByQuestion(t *testing.T) {
	blank := WriteSheet(Sheet{Block: "B7", BlockEdition: 3, Day: "2026-05-04"}, Hints{Block: upperLarch(), Groups: []string{"light-brush"}})
	_, err := ParseSheet("day.yaml", blank)
	for _, q := range questions {
		require.ErrorContains(t, err, q.ID+" is blank: "+q.Text)
	}
	for _, want := range []string{"at is blank", "by is blank", "coordinates is blank", "crew: worker is blank", "saws: id is blank", "fit is blank"} {
		require.ErrorContains(t, err, want)
	}
}

func TestKnownPeopleAreOfferedButNotCarried(t *testing.T) {
	blank := string(WriteSheet(Sheet{Block: "B7", BlockEdition: 3, Day: "2026-05-04"}, Hints{People: []string{"luis"}, Saws: []string{"S11"}}))
	require.Contains(t, blank, "  # - {worker: luis, saw: , group: ,")
	require.Contains(t, blank, "  # - {id: S11, tagged: ,")
	_, err := ParseSheet("day.yaml", []byte(blank))
	require.ErrorContains(t, err, "crew is blank: who stands here now?")
}

// Never carried forward, however often they were answered: the questions that kill.
func TestOnlyStableAnswersAreCarried(t *testing.T) {
	last := easyMorning(t).Sheet
	last.Day = "2026-05-03"
	today := Sheet{Block: "B7", BlockEdition: 3, Day: "2026-05-04"}
	text := string(WriteSheet(today, Hints{Last: &last}))
	require.Contains(t, text, "\n  steepest-slope: 8%  # carried from 2026-05-03\n")
	for _, id := range []string{Wires, HungUp, WindThrown, Public, NeighbourDist, "one-above", CallBy, CallAnswered, FirstAider, WhoCalls,
		Thunder, WindFall, Hidden, "hot-day", "wet-icy", "dry-litter", "tired-hurried"} {
		require.Contains(t, text, "\n  "+id+":\n", id)
	}
	require.NotContains(t, text, "worker: luis")
	last.BlockEdition = 2
	require.NotContains(t, string(WriteSheet(today, Hints{Last: &last})), "# carried from")
	last.BlockEdition, last.Block = 3, "B6"
	require.NotContains(t, string(WriteSheet(today, Hints{Last: &last})), "# carried from")
}

func TestNotKnownThenIsAskedAgain(t *testing.T) {
	in := easyMorning(t)
	in.answer("hidden-base", dontKnow)
	text := string(WriteSheet(Sheet{Block: "B7", BlockEdition: 3}, Hints{Last: &in.Sheet}))
	require.Contains(t, text, "\n  hidden-base:\n")
}

func TestSheetMarksWhatStopsTheSite(t *testing.T) {
	text := string(WriteSheet(Sheet{}, Hints{}))
	require.Contains(t, text, "# Are there wires within reach of a stem or a saw? [STOP if yes]\n")
	require.Contains(t, text, "# Who is first aider today? [STOP if no; name, or no]\n")
	require.Contains(t, text, "does not say that work is safe")
	require.Contains(t, text, "Cut protection made for chain saws is not made for this blade.")
}

func TestChangedListsTheAnswersThatDiffer(t *testing.T) {
	before := easyMorning(t)
	after := easyMorning(t)
	require.Empty(t, Changed(before.Sheet, after.Sheet))
	after.answer(Thunder, Said{Is: Yes})
	after.answer(Wires, dontKnow)
	after.Sheet.Saws[1].Checks[1].Said = Said{Is: No}
	after.Sheet.Crew = after.Sheet.Crew[:2]
	after.Sheet.AcceptedBy = "okafor"
	after.Sheet.Controls = []Control{{"dry-litter", risk.Technical, "extinguisher", "luis"}}
	require.Equal(t, []string{
		"accepted by: nothing, now okafor",
		"saw S12, guard: yes, now no",
		"thunder: no, now yes",
		"wires: no, now don't know yet - luis by 07:30",
		"control for dry-litter (technical, extinguisher): nothing, now luis sees to it",
		"worker rosa: unsupervised, light-brush, S12, fit: yes, now nothing",
	}, Changed(before.Sheet, after.Sheet))
}

func TestWithPeopleThereAndBack(t *testing.T) {
	s, err := ParseSheet("day.yaml", []byte(filled(t)))
	require.NoError(t, err)
	ids := map[string]string{"okafor": "p1", "luis": "p2", "rosa": "p3"}
	handles := map[string]string{"p1": "okafor", "p2": "luis", "p3": "rosa"}
	byID := s.WithPeople(func(h string) string { return ids[h] })
	require.Equal(t, "p1", byID.Said(FirstAider).Value)
	require.Equal(t, "p2", byID.Controls[0].Owner)
	require.Equal(t, "handheld radio", byID.Said(CallBy).Value)
	require.Equal(t, s, byID.WithPeople(func(id string) string { return handles[id] }))
	require.Equal(t, "luis", s.Crew[1].Worker, "the sheet itself is not changed")
}

// words draws one line of text as people write it, with the signs that YAML reads otherwise.
func words() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		s := rapid.StringMatching(`[a-zäé0-9"'#{&*!|>%@`+"`"+`,:\[\]-][a-zäé0-9 "'#{}&*!|>%@,:\[\]-]{0,12}[a-zäé0-9"'#}:,%]`).Draw(t, "words")
		if blankish[strings.ToLower(s)] || dontKnowForm.MatchString(s) || saidByForm().MatchString(s) {
			return "radio"
		}
		return s
	})
}

var blankish = map[string]bool{"n/a": true, "yes": true, "no": true, "true": true, "false": true}

func drawName(t *rapid.T) string { return rapid.StringMatching(`[a-z]{2,8}`).Draw(t, "name") + "x" }

func drawClock(t *rapid.T) string {
	return rapid.StringMatching(`([01][0-9]|2[0-3]):[0-5][0-9]`).Draw(t, "clock")
}

func drawSaid(t *rapid.T, q Question) Said {
	switch pick := rapid.IntRange(0, 5).Draw(t, "pick"); {
	case pick == 0:
		return Said{Is: DontKnow, Who: drawName(t), By: drawClock(t)}
	case pick == 1 && q.NA:
		return Said{Is: NotApplicable}
	case pick == 2 && q.None:
		return Said{Is: No}
	}
	switch q.Kind {
	case Clock:
		return told(drawClock(t))
	case Person:
		return told(drawName(t))
	case Words:
		return told(words().Draw(t, "words"))
	case Value:
		return told(map[units.Dimension]string{units.Time: "45min", units.Slope: "12.5deg", units.Length: "0.5m", units.Volume: "2gal",
			units.Count: "3", units.Speed: "12mph", units.Temperature: "-4.5C", units.Share: "40%"}[q.Of])
	}
	return Said{Is: rapid.SampledFrom([]string{Yes, No}).Draw(t, "yes or no")}
}

func drawSheet(t *rapid.T) Sheet {
	s := Sheet{
		Block: words().Draw(t, "block"), BlockEdition: rapid.IntRange(1, 99).Draw(t, "edition"), Day: "2026-05-04", At: drawClock(t),
		By: drawName(t), Coordinates: words().Draw(t, "coordinates"),
	}
	if rapid.Bool().Draw(t, "late") {
		s.Started, s.AcceptedBy = drawClock(t), words().Draw(t, "accepted by")
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "saws") {
		w := SawLine{ID: "S" + itoa(i+1)}
		for _, q := range sawChecks {
			w.Checks = append(w.Checks, Answer{q.ID, drawSaid(t, q)})
		}
		s.Saws = append(s.Saws, w)
		s.Crew = append(s.Crew, CrewLine{Worker: drawName(t) + itoa(i+1), Saw: w.ID, Group: words().Draw(t, "group"),
			Level: rapid.SampledFrom(levels[1:]).Draw(t, "level"), WatchedBy: words().Draw(t, "watcher"), Fit: drawSaid(t, fitQuestion)})
	}
	s.Crew = append(s.Crew, CrewLine{Worker: "trainer", Level: training.NoSaw, Fit: drawSaid(t, fitQuestion)})
	for range rapid.IntRange(0, 2).Draw(t, "visitors") {
		s.Visitors = append(s.Visitors, Visitor{words().Draw(t, "visitor"), words().Draw(t, "with")})
	}
	for _, q := range questions {
		s.Answers = append(s.Answers, Answer{q.ID, drawSaid(t, q)})
	}
	s.Readings = drawReadings(t, s.At)
	if rapid.Bool().Draw(t, "figures") && len(s.Saws) > 0 {
		s.Saws[0].Vibration, s.Saws[0].NoiseC, s.Crew[0].Trigger, s.Crew[0].Ears = "4.5m/s2", "103dBC", "2.5h", "csa_plug 20"
		s.FireDays = []FireDay{{Day: "2026-05-03", Temp: "20C", RH: "40%", Wind: "10km/h", Rain: "0.2mm", Start: rapid.Bool().Draw(t, "start"), Source: words().Draw(t, "source")}}
	}
	for range rapid.IntRange(0, 3).Draw(t, "controls") {
		s.Controls = append(s.Controls, Control{rapid.SampledFrom(controllable()).Draw(t, "for"),
			rapid.SampledFrom([]risk.Kind{risk.TakenAway, risk.Technical, risk.Organised, risk.Training, risk.PPE}).Draw(t, "kind"),
			words().Draw(t, "what"), words().Draw(t, "owner")})
	}
	return s
}

// drawReadings draws readings that a sheet of that time could hold, with what each needs beside it.
func drawReadings(t *rapid.T, at string) []Answer {
	has := map[string]Said{}
	for _, q := range readings {
		if !rapid.Bool().Draw(t, "looked at") {
			continue
		}
		has[q.ID] = drawSaid(t, q)
		if q.Kind == Clock && has[q.ID].Is == Told {
			has[q.ID] = told(at)
		}
		if q.ID == ThunderGap && has[q.ID].Is == Told {
			has[q.ID] = told("45s")
		}
	}
	if class, ok := has[FireClass]; ok && class.Is == Told {
		has[FireClass] = told(rapid.SampledFrom(fire.ClassNames()).Draw(t, "class"))
		has[FireClassAt], has[FireClassBy] = told(at), told("agency page")
	}
	if _, ok := has[ThunderGap]; ok {
		has[ThunderLast] = told(at)
	}
	if _, ok := has[WalkClimb]; ok {
		has[WalkOut] = told("800m")
	}
	var out []Answer
	for _, q := range readings {
		if said, ok := has[q.ID]; ok {
			if rapid.IntRange(0, 5).Draw(t, "by somebody") == 0 && said.Is != DontKnow {
				said.Who, said.At = drawName(t), drawClock(t)
			}
			out = append(out, Answer{q.ID, said})
		}
	}
	return out
}

func TestWriteThenParseIsIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawSheet(t)
		text := WriteSheet(want, Hints{Block: upperLarch(), People: []string{"a\nb"}, Saws: []string{"S: 1"}, Groups: []string{"g\nh"}})
		got, err := ParseSheet("day.yaml", text)
		require.NoError(t, err, string(text))
		require.Equal(t, want, got)
		require.Equal(t, string(text), string(WriteSheet(got, Hints{Block: upperLarch(), People: []string{"a\nb"}, Saws: []string{"S: 1"}, Groups: []string{"g\nh"}})))
	})
}

func FuzzParseSheet(f *testing.F) {
	f.Add([]byte(filled(f)))
	f.Add(WriteSheet(Sheet{}, Hints{}))
	corpus, err := os.ReadDir("testdata/fuzz/FuzzParseSheet")
	require.NoError(f, err)
	require.NotEmpty(f, corpus)
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := ParseSheet("day.yaml", text)
		if err != nil {
			for _, line := range strings.Split(err.Error(), "\n") {
				require.Regexp(t, `^day\.yaml:\d+: `, line)
			}
			return
		}
		again, err := ParseSheet("day.yaml", WriteSheet(s, Hints{}))
		require.NoError(t, err)
		require.Equal(t, s, again)
	})
}
