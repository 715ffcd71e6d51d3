package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/fire"
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/published"
	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/training/civil"
)

// classed tells the agency's class of today, and puts classes of the days before into the book, the last one yesterday's; "" is a day without one.
func classed(in *Input, today string, before ...string) {
	in.reading(map[string]string{FireClass: today, FireClassAt: "06:10", FireClassBy: "agency page"})
	day, _ := civil.Parse(in.Sheet.Day)
	for i, c := range before {
		if c != "" {
			in.FireDays = append(in.FireDays, FireDay{Station: in.Sheet.FireStation(), Day: (day - civil.Day(len(before)-i)).String(), Class: c, ClassAt: "06:00", ClassBy: "agency page"})
		}
	}
}

// The ladder of British Columbia as read in restatements: from high on a fire watch, three days of high or one of extreme an early stop, three
// days of extreme no saw at all.
func TestFireLadder(t *testing.T) {
	for _, c := range []struct {
		name, today string
		before      []string
		effect      Effect
		ends, says  string
	}{
		{"low", "low", nil, "", "18:00", ""},
		{"moderate, first day", "moderate", nil, "", "18:00", ""},
		{"moderate, third day", "moderate", []string{"moderate", "high"}, Watch, "18:00", "3 days running in class moderate or above: fire watch of 60 min"},
		{"moderate after low", "moderate", []string{"moderate", "low", "moderate"}, "", "18:00", ""},
		{"high", "high", nil, Watch, "18:00", "From class high on: fire watch of 120 min"},
		{"high, third day", "high", []string{"extreme", "high"}, NeedsControl, "13:00", "All saws are off at 13:00."},
		{"very high counts as high", "very high", []string{"high", "high"}, NeedsControl, "13:00", "All saws are off at 13:00."},
		{"extreme", "extreme", nil, NeedsControl, "13:00", "All saws are off at 13:00."},
		{"extreme, third day", "extreme", []string{"extreme", "extreme"}, StopSite, "", "no saw all day"},
		{"extreme, run broken", "extreme", []string{"extreme", "high", "extreme"}, NeedsControl, "13:00", ""},
		{"a day without class does not end a run", "high", []string{"high", ""}, NeedsControl, "13:00", "No class is known for 2026-05-03; it counts as no milder."},
		{"days before the first known one do not count", "high", []string{"", ""}, Watch, "18:00", ""},
	} {
		in := easyMorning(t)
		in.Sheet.AcceptedBy = "okafor"
		in.Sheet.Controls = []Control{{"dry-litter", risk.Technical, "extinguisher on bare soil", "luis"}} // a high class is a factor of fuel
		classed(&in, c.today, c.before...)
		in.reading(map[string]string{FireWatch: "luis"})
		a := Assess(in)
		if c.effect == "" {
			require.Empty(t, findings(a, FireClass), c.name)
		} else {
			f := oneFinding(t, a, FireClass)
			require.Equal(t, c.effect, f.Effect, c.name)
			require.Contains(t, f.What, c.says, c.name)
			require.Contains(t, f.What, "the agency's class is "+c.today+" (06:10, agency page)", c.name)
			require.Contains(t, f.House, "house rule fire-ladder bc", c.name)
		}
		if c.effect == StopSite {
			require.Equal(t, Hold, a.Answer, c.name)
			continue
		}
		require.Equal(t, c.ends, a.Ends, c.name)
		require.Contains(t, a.Sentence, "at "+c.ends+", or on leaving B7", c.name)
	}
}

func TestFireLadderOfThePlaceNeedsNoHouseRule(t *testing.T) {
	in := easyMorning(t)
	in.Places = []string{"bc", "ca"}
	in.House = withRule(t, in.House, house.FireLadder, "none")
	classed(&in, "extreme")
	require.NotContains(t, oneFinding(t, Assess(in), FireClass).House, "fire-ladder")
	in.Places = []string{"nz"}
	require.Contains(t, Assess(in).NotLookedAt, `fire restrictions (no ladder named "none")`)
}

func TestEarlyStopIsAStopWhenItsTimeHasCome(t *testing.T) {
	in := easyMorning(t)
	classed(&in, "extreme")
	in.Sheet.At = "12:59"
	require.Equal(t, NeedsControl, oneFinding(t, Assess(in), FireClass).Effect)
	in.Sheet.At = "13:00"
	require.Equal(t, StopSite, oneFinding(t, Assess(in), FireClass).Effect)
}

func TestFireWatchNeedsSomebodyHere(t *testing.T) {
	for said, effect := range map[string]Effect{"": StopSite, "no": StopSite, "ben": StopSite, "luis": Watch, "don't know yet - luis by 07:30": StopSite} {
		in := easyMorning(t)
		classed(&in, "high")
		if said != "" {
			in.reading(map[string]string{FireWatch: said})
		}
		f := oneFinding(t, Assess(in), FireWatch)
		require.Equal(t, effect, f.Effect, said)
		require.Equal(t, effect == StopSite, f.Means == NotYet, said)
	}
	in := easyMorning(t)
	classed(&in, "high")
	in.Sheet.AcceptedBy = "okafor"
	a := Assess(in)
	require.Equal(t, GoWithControls, a.Answer, "who accepts the answer by name sees to it")
	require.Contains(t, oneFinding(t, a, FireWatch).What, "{p1} names somebody before the last saw.")
}

// A class left blank is no milder than the last one the book has, up to three days back.
func TestABlankClassIsNoMilderThanTheBook(t *testing.T) {
	for before, want := range map[string]struct {
		found int
		ends  string
	}{"2026-05-03": {1, "13:00"}, "2026-05-01": {1, "18:00"}, "2026-04-30": {0, "18:00"}} {
		in := easyMorning(t)
		in.Sheet.AcceptedBy = "okafor"
		in.FireDays = []FireDay{{Station: "B7", Day: before, Class: "extreme", ClassAt: "06:00", ClassBy: "agency page"}}
		a := Assess(in)
		require.Len(t, findings(a, FireClass), want.found, before)
		require.Equal(t, want.ends, a.Ends, before)
		if want.found == 1 {
			require.Contains(t, oneFinding(t, a, FireClass).What, "the last in the book is extreme of "+before)
		}
		if before == "2026-05-01" {
			require.Equal(t, Hold, a.Answer, "days without a class do not end the run of extreme ones")
		}
	}
}

func TestHighClassIsAFactorOfFuel(t *testing.T) {
	in := easyMorning(t)
	classed(&in, "high")
	require.Equal(t, []string{"dry litter, or a high fire class (the fire class is high)"}, scoreOf(t, Assess(in), TopicFuel, "").Reasons)
}

func TestFireClassNotKnownHoldsUntilSomebodyAsked(t *testing.T) {
	in := easyMorning(t)
	in.reading(map[string]string{FireClass: "don't know yet - luis by 07:30"})
	f := oneFinding(t, Assess(in), FireClass)
	require.Equal(t, []string{string(StopSite), NotYet, "{p2} finds out by 07:30"}, []string{string(f.Effect), f.Means, f.Do})
	require.Contains(t, f.What, "not known yet; until then it counts as extreme. (not known yet, so it counts; {p2} finds out by 07:30)")
	in = easyMorning(t)
	in.reading(map[string]string{FireClass: NotApplicable})
	a := Assess(in)
	require.Empty(t, findings(a, FireClass))
	require.NotContains(t, a.NotLookedAt, "fire class", "out of season is a stated choice")
}

// sampleDays is the published season of FTR 33 as a book would keep it.
func sampleDays(t testing.TB, in Input) []FireDay {
	var days []FireDay
	for i, row := range published.Table(t, "fwi_sample.csv") {
		d := FireDay{Station: in.Sheet.FireStation(), Day: civil.Date(1985, 4, 13).String(), Start: i == 0, Source: "published"}
		d.Day = (civil.Date(1985, 4, 13) + civil.Day(i)).String()
		d.Temp, d.RH, d.Wind, d.Rain = row.Text("temp_c")+"C", row.Text("rh_pct")+"%", row.Text("wind_kmh")+"km/h", row.Text("rain_mm")+"mm"
		days = append(days, d)
	}
	return days
}

// FTR 33 sample run, entered day by day: codes are carried unrounded from the book, and each printed FWI is met to one decimal.
func TestCodesAreCarriedThroughTheBook(t *testing.T) {
	in := easyMorning(t)
	rows := published.Table(t, "fwi_sample.csv")
	var book []FireDay
	for i, d := range sampleDays(t, in) {
		s := Sheet{Block: "B7", Day: d.Day, At: "17:00", FireDays: []FireDay{d}}
		fresh, err := NewFireDays(s, book, fire.DefaultLatitude, in.House)
		require.NoError(t, err)
		require.Len(t, fresh, 1)
		require.Equal(t, number(rows[i].Float("fwi"), 1), number(toFloat(t, fresh[0].FWI), 1), d.Day)
		book = append(book, fresh...)
	}
}

func toFloat(t require.TestingT, s string) float64 {
	var c fire.Codes
	c, err := fire.ParseCodes(s + " 0 0")
	require.NoError(t, err)
	return c.FFMC
}

// The published season ends on 31 May 1985 with FWI 14.4 or so: class high of the Canadian-style set read. Yesterday's noon counts this
// morning.
func TestComputedClass(t *testing.T) {
	in := easyMorning(t)
	in.FireDays = sampleDays(t, in)
	last := in.FireDays[len(in.FireDays)-1]
	day, err := civil.Parse(last.Day)
	require.NoError(t, err)
	in.Sheet.Day = (day + 1).String()
	rows := published.Table(t, "fwi_sample.csv")
	fwi := number(rows[len(rows)-1].Float("fwi"), 1)
	scheme, err := fire.SchemeOf("Canada_example")
	require.NoError(t, err)
	class := scheme.Of(rows[len(rows)-1].Float("fwi")).Name
	f := oneFinding(t, Assess(in), FireClass)
	require.Contains(t, f.What, "computed from the noon readings of "+last.Day+": FWI "+fwi+", class "+class+" of Canada_example")

	in.Sheet.Day = (day + 3).String()
	a := Assess(in)
	require.Empty(t, findings(a, FireClass), "an old index is no class")
	require.Contains(t, a.NotLookedAt, "fire class")
	missing := oneFinding(t, a, "fire-days")
	require.Contains(t, missing.What, "are missing for "+(day+1).String()+", "+(day+2).String()+"; the codes cannot be carried and are not guessed")

	in.FireDays = append(in.FireDays[:20:20], in.FireDays[21:]...)
	in.Sheet.Day = (day + 1).String()
	require.Contains(t, oneFinding(t, Assess(in), "fire-days").What, "are missing for 1985-05-03; the codes cannot be carried")
}

func TestAgencyWinsWhenStricterAndComputedNeverLoosens(t *testing.T) {
	base := easyMorning(t)
	base.FireDays = sampleDays(t, base)
	day, err := civil.Parse(base.FireDays[len(base.FireDays)-1].Day)
	require.NoError(t, err)
	base.Sheet.Day = (day + 1).String()
	rapid.Check(t, func(t *rapid.T) {
		in := base
		in.Sheet.Readings = nil
		class := rapid.SampledFrom(fire.ClassNames()).Draw(t, "class")
		classed(&in, class)
		both := Assess(in)
		alone := in
		alone.FireDays = nil
		require.GreaterOrEqual(t, verdictRank[both.Answer], verdictRank[Assess(alone).Answer], "readings never loosen what the agency asks")
		require.LessOrEqual(t, both.Ends, Assess(alone).Ends)
		computed := in
		computed.Sheet.Readings = nil
		require.GreaterOrEqual(t, verdictRank[both.Answer], verdictRank[Assess(computed).Answer])
		require.LessOrEqual(t, both.Ends, Assess(computed).Ends)
	})
}

func TestNewFireDaysRefusesEveryProblemAtOnce(t *testing.T) {
	in := easyMorning(t)
	line := func(day string) FireDay {
		return FireDay{Day: day, Temp: "20C", RH: "40%", Wind: "10km/h", Rain: "0mm", Source: "station"}
	}
	began := line("2026-05-01")
	began.Start = true
	known := []FireDay{began, line("2026-05-02")}
	for i := range known {
		known[i].Station = "B7"
	}
	again, other, codes := line("2026-05-04"), line("2026-05-02"), line("2026-05-03")
	again.Start, other.Temp, codes.Codes = true, "25C", "88 30 200"
	s := Sheet{Block: "B7", Day: "2026-05-04", At: "17:00", FireDays: []FireDay{again, other, codes, line("2026-05-09")}}
	_, err := NewFireDays(s, known, 54, in.House)
	require.ErrorContains(t, err, "2026-05-04 would start the season again in its middle; the last readings are of 2026-05-02 (house rule fire-break 60days")
	require.ErrorContains(t, err, "2026-05-02 stands in the book with other readings (20C, 40%, 10km/h, 0mm); strike that entry first")
	require.ErrorContains(t, err, "2026-05-03 follows 2026-05-02, whose codes are carried")
	require.ErrorContains(t, err, "noon of 2026-05-09 has not come")

	s.FireDays = []FireDay{line("2026-05-04")}
	s.At = "11:30"
	_, err = NewFireDays(s, known, 54, in.House)
	require.ErrorContains(t, err, "noon of 2026-05-04 has not come; the sheet is for 2026-05-04 at 11:30")

	typed := line("2026-05-04")
	typed.Codes = "85 6 15"
	s.At, s.FireDays = "17:00", []FireDay{typed}
	_, err = NewFireDays(s, known, 54, in.House)
	require.ErrorContains(t, err, "would start the season again", "the start-up codes typed in are a restart as well")

	s.FireDays = []FireDay{line("2026-05-02")}
	fresh, err := NewFireDays(s, known, 54, in.House)
	require.NoError(t, err)
	require.Empty(t, fresh, "what the book has already is left out")

	s.FireDays = []FireDay{line("2026-05-04")}
	fresh, err = NewFireDays(s, known, 54, in.House)
	require.NoError(t, err)
	require.Empty(t, fresh[0].FWI, "not computed over a gap")
	fresh, err = NewFireDays(Sheet{Block: "B7", Day: "2026-05-04", At: "17:00", FireDays: []FireDay{line("2026-05-03")}}, append(known, fresh...), 54, in.House)
	require.NoError(t, err)
	require.NotEmpty(t, fresh[0].FWI, "the day filled in heals the run")
}

// The agency's codes take a run up again after a gap, and a season may start anew after the winter.
func TestSeasonTakenUpAgain(t *testing.T) {
	in := easyMorning(t)
	known := []FireDay{{Station: "B7", Day: "2025-09-30", Temp: "20C", RH: "40%", Wind: "10km/h", Rain: "0mm", Start: true}}
	s := Sheet{Block: "B7", Day: "2026-05-04", At: "17:00", FireDays: []FireDay{{Day: "2026-05-04", Temp: "20C", RH: "40%", Wind: "10km/h", Rain: "0mm", Start: true, Source: "x"}}}
	fresh, err := NewFireDays(s, known, 54, in.House)
	require.NoError(t, err)
	require.NotEmpty(t, fresh[0].FWI)
	s.FireDays[0].Start, s.FireDays[0].Codes = false, "88.1 45.2 310"
	fresh, err = NewFireDays(s, known, 54, in.House)
	require.NoError(t, err)
	require.NotEmpty(t, fresh[0].FWI)
}

func TestFireLinesOnTheSheet(t *testing.T) {
	good := filled(t)
	line := "fire-days:\n  - {day: 2026-05-03, temp: 24C, rh: 35%, wind: 12km/h, rain: 0mm, start: yes, source: road station}\n"
	with := func(l string) string { return replaceOnce(t, good, "fire-days:\n", l) }
	s, err := ParseSheet("day.yaml", []byte(with(line)))
	require.NoError(t, err)
	require.Equal(t, []FireDay{{Day: "2026-05-03", Temp: "24C", RH: "35%", Wind: "12km/h", Rain: "0mm", Start: true, Source: "road station"}}, s.FireDays)
	again, err := ParseSheet("day.yaml", WriteSheet(s, Hints{}))
	require.NoError(t, err)
	require.Equal(t, s, again)
	for old, c := range map[string][2]string{
		"24C":                     {"24", `fire-days: temp: "24" has no unit`},
		"35%":                     {"135%", "fire-days: rh: 135% is out of range: 0 to 100 %"},
		"12km/h":                  {"12km", `"km" is not a unit of speed`},
		"rain: 0mm":               {"rain: 0.9m", "fire-days: rain: 0.9m is out of range: 0 to 0.5 m"},
		"temp: 24C":               {"temp: NaN", "fire-days: temp: "},
		"day: 2026-05-03":         {"day: 2026-05-33", "fire-days: day: "},
		"start: yes":              {"start: maybe", `fire-days: start: "maybe" is no answer`},
		"start: yes, source":      {"codes: 88 45, source", `"88 45" is not three codes`},
		"start: yes, ":            {"start: yes, codes: 88.1 45.2 310, ", "not with both"},
		"source: road station}\n": {"source: }\n", "fire-days: source is blank"},
		"source: road station}":   {"source: x}\n  - {day: 2026-05-03, temp: 24C, rh: 35%, wind: 12km/h, rain: 0mm, source: x}", "fire-days: 2026-05-03 stands twice"},
	} {
		_, err := ParseSheet("day.yaml", []byte(with(replaceOnce(t, line, old, c[0]))))
		require.ErrorContains(t, err, c[1], old)
	}
}

// Only the ladder of British Columbia was read; everywhere else the answer says so and asks for the agency's own class.
func TestAPlaceWithoutALadderSaysSo(t *testing.T) {
	const says = "restrictions of se are not in this program, only those of bc: enter the agency's own class under fire-class and follow its own restrictions"
	in := easyMorning(t)
	in.Places = []string{"se", "eu"}
	require.Contains(t, Assess(in).NotLookedAt, "fire class (the fire "+says+")")
	in.reading(map[string]string{FireClass: "high", FireClassAt: "06:10", FireClassBy: "agency page", FireWatch: "luis"})
	f := oneFinding(t, Assess(in), FireClass)
	require.Contains(t, f.What, "The fire "+says+".")
	require.Contains(t, f.House, "house rule fire-ladder bc")
	in.Places = []string{"bc", "ca"}
	require.NotContains(t, oneFinding(t, Assess(in), FireClass).What, "not in this program")
	for _, region := range fire.Regions() {
		l, ok := fire.LadderOf(region)
		require.True(t, ok)
		require.NotEmpty(t, l.Rungs)
		require.NotEmpty(t, l.Source)
	}
	require.Equal(t, []string{"bc"}, fire.Regions())
}
