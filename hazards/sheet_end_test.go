package hazards

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/civil"
)

// fullSheet has something in every list, so that a cut can fall into each of them.
func fullSheet(t testing.TB) string {
	in := easyMorning(t)
	in.reading(map[string]string{Temperature: "14C", FireClass: "low", FireClassAt: "06:10", FireClassBy: "agency page", KitDistance: "50m"})
	s := in.Sheet
	s.AcceptedBy, s.Started = "okafor", "07:05"
	s.Events = []EventAnswer{{Event: "13", Question: "Is the washout flagged?", About: "near miss of 2026-05-03, entry 13", Said: Said{Is: Yes}}}
	s.FireDays = []FireDay{{Day: "2026-05-03", Temp: "20C", RH: "40%", Wind: "10km/h", Rain: "0.2mm", Source: "station 4"}}
	return string(WriteSheet(s, Hints{Block: upperLarch()}))
}

// A sheet of which part is lost is refused, wherever it was cut. Only the line break behind the last line may be missing.
func TestASheetCutAnywhereIsRefused(t *testing.T) {
	whole := fullSheet(t)
	s, err := ParseSheet("day.yaml", []byte(whole))
	require.NoError(t, err)
	require.Len(t, s.Events, 1)
	for n := range len(whole) {
		got, err := ParseSheet("day.yaml", []byte(whole[:n]))
		if whole[n:] == "\n" {
			require.NoError(t, err)
			require.Equal(t, s, got)
			continue
		}
		require.Error(t, err, "cut at %d, before %q", n, whole[n:min(n+40, len(whole))])
	}
}

// A line that was lost is missed like the end: every answer, every reading that may stay blank.
func TestASheetWithoutOneOfItsQuestionsIsRefused(t *testing.T) {
	lines := strings.SplitAfter(fullSheet(t), "\n")
	lost := 0
	for i, line := range lines {
		id, _, isPair := strings.Cut(strings.TrimSpace(line), ":")
		if _, known := questionByID(id); !known || !isPair || !strings.HasPrefix(line, "  ") {
			continue
		}
		lost++
		rest := strings.Join(append(append([]string{}, lines[:i]...), lines[i+1:]...), "")
		_, err := ParseSheet("day.yaml", []byte(rest))
		require.ErrorContains(t, err, id)
	}
	require.Equal(t, sheetQuestions(), lost)
}

func TestAnEarlierFormatIsToBeWrittenAnew(t *testing.T) {
	old := strings.Replace(filled(t), SheetFormat, "ringtrue/day-sheet/1", 1)
	_, err := ParseSheet("day.yaml", []byte(strings.Replace(old, "  wires: no", "  wires: perhaps", 1)))
	require.ErrorIs(t, err, ErrFormat)
	require.NotContains(t, err.Error(), "wires", "nothing else in it can be mended")
}

func TestTheFireClassMayNotStayBlankInItsMonths(t *testing.T) {
	known := Known{FireClass: func(block, day string) string {
		require.Equal(t, "B7", block)
		require.Equal(t, "2026-05-04", day)
		return "from 1 March to 1 November, by the rules of BC"
	}}
	blank := filled(t)
	_, err := ParseSheetFor("day.yaml", []byte(blank), known)
	require.EqualError(t, err, lineWith(t, blank, "  fire-class:\n")+"fire-class is blank: What is the fire agency's danger class today? (asked from 1 March to 1 November, by the rules of BC)")
	for _, answer := range []string{"not applicable", "don't know yet - luis by 07:30"} {
		_, err = ParseSheetFor("day.yaml", []byte(answerLine(t, blank, FireClass, answer)), known)
		require.NoError(t, err, answer)
	}
	cut := blank[:strings.Index(blank, "readings:")] + blank[strings.Index(blank, "fire-days:"):]
	_, err = ParseSheetFor("day.yaml", []byte(cut), known)
	require.ErrorContains(t, err, "fire-class is blank")
	known.FireClass = func(string, string) string { return "" }
	_, err = ParseSheetFor("day.yaml", []byte(blank), known)
	require.NoError(t, err)
}

// The months are those of the place; where it names none, those of the house rules for the hemisphere.
func TestFireClassAsked(t *testing.T) {
	h := starter(t)
	for _, c := range []struct {
		places    []string
		lat, day  string
		want, why string
	}{
		{[]string{"bc", "ca"}, "54.7", "2026-03-01", "from 1 March to 1 November, by the rules of BC", "the first day that the regulation names"},
		{[]string{"bc", "ca"}, "54.7", "2026-11-01", "from 1 March to 1 November, by the rules of BC", "the last one"},
		{[]string{"bc", "ca"}, "54.7", "2026-02-28", "", ""},
		{[]string{"bc", "ca"}, "54.7", "2026-11-02", "", ""},
		{[]string{"fi", "eu"}, "62.1", "2026-03-31", "", "company choice: April to October"},
		{[]string{"fi", "eu"}, "62.1", "2026-04-01", "from April to October, by house rule fire-months-north", ""},
		{[]string{"nz"}, "-38.1", "2026-07-15", "", ""},
		{[]string{"nz"}, "-38.1", "2026-12-31", "from October to April, by house rule fire-months-south", ""},
		{nil, "", "2026-07-15", "from April to October, by house rule fire-months-north", "no latitude counts as north"},
	} {
		day, err := civil.Parse(c.day)
		require.NoError(t, err)
		require.Equal(t, c.want, FireClassAsked(c.places, c.lat, h, day), "%v %s: %s", c.places, c.day, c.why)
	}
	july, err := civil.Parse("2026-07-15")
	require.NoError(t, err)
	require.NotEmpty(t, FireClassAsked(nil, "50", withRule(t, h, "fire-months-north", "soon"), july), "a rule nobody can read asks the whole year")
	require.Empty(t, FireClassAsked(nil, "50", withoutRule(t, h, "fire-months-north"), july), "an edition from before asks in no month")
}

// What stays blank of the fire class is named as not looked at, and so is what a sheet of format 1 left out.
func TestWhatFormatOneLeftOutIsNotLookedAt(t *testing.T) {
	in := easyMorning(t)
	in.Sheet = in.Sheet.formatOne()
	require.Equal(t, []string{HeavyRain, WindForce, DeadTrees}, in.Sheet.Blanks())
	require.Subset(t, Assess(in).NotLookedAt, []string{"wind force", "standing dead and leaning trees", "heavy rain", "fire class"})
	text := WriteSheet(in.Sheet, Hints{})
	_, err := ParseSheet("day.yaml", text)
	require.ErrorContains(t, err, "dead-trees is blank")
	s, err := ParseSheetFor("day.yaml", text, Known{Blank: in.Sheet.Blanks()})
	require.NoError(t, err, "a change of such a day is no time to refuse it")
	require.Equal(t, in.Sheet.Blanks(), s.Blanks())

	in = easyMorning(t)
	in.Sheet = in.Sheet.formatOne()
	in.Sheet.Readings = []Answer{{HeavyRain, Said{Is: Yes}}, {WindForce, told("8")}, {DeadTrees, Said{Is: No}}}
	require.Equal(t, Hold, Assess(in).Answer, "answered as readings they count as ever")
	s, err = ParseSheet("day.yaml", WriteSheet(in.Sheet, Hints{}))
	require.NoError(t, err)
	require.Equal(t, "8", s.Said(WindForce).Value)
}

// Not applicable is an answer, and in the months in which a class is asked it does not pass in silence.
func TestNotApplicableInTheFireMonthsIsNamed(t *testing.T) {
	const named = "fire class (answered not applicable, in months in which it is asked)"
	in := easyMorning(t)
	in.Places = []string{"bc", "ca"}
	in.reading(map[string]string{FireClass: NotApplicable})
	require.Contains(t, Assess(in).NotLookedAt, named)
	in.Sheet.Day = "2026-02-04"
	require.NotContains(t, Assess(in).NotLookedAt, named)
}

// A cut of any text that is a sheet is refused, or loses nothing.
func FuzzCutSheet(f *testing.F) {
	whole := fullSheet(f)
	for _, n := range []int{0, 1, 100, strings.Index(whole, "readings:"), len(whole) - 2} {
		f.Add([]byte(whole), uint16(n))
	}
	f.Fuzz(func(t *testing.T, text []byte, at uint16) {
		s, err := ParseSheet("day.yaml", text)
		if err != nil {
			return
		}
		cut, err := ParseSheet("day.yaml", text[:min(int(at), len(text))])
		if err == nil {
			require.Equal(t, s, cut)
		}
	})
}
