package rules

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

// floored is the invented edition with a floor that the law of "low" sets.
func floored() Edition {
	e := invented()
	e.Jurisdictions[1].Floors = []Floor{{Key: house.StandOff, Least: "12m", Rule: "low-2", Kind: house.Binding, For: ForClearingSaws}}
	return e
}

// The numbers of the places, as their clauses have them: 29 CFR 1910.266(d)(6)(ii), (d)(9)(i) and CPL 02-01-022 J.3; WAC 296-54-513
// and -519(5); OAR 437-007-0025 and 437-002-0156; Finland's decree 48/2005 s. 4; B.C. Reg. 296/97 26.1; Yukon Part 12; Directive 2002/44/EC Art. 3(1) and the HSE's points.
// The 45 m of Quebec s. 29 stand between two fellers, the 10 ft of 1910.266(e)(2) are written for chain saws, and the 15 m of
// the UK and Sweden are from memory: advice. Quebec's r. 17 was repealed in 2013 and is not there.
func TestWhatBindsWhere(t *testing.T) {
	e := starter(t)
	for place, want := range map[string]map[string]string{
		"us":    {house.TreeLengths: "2", house.FuelContainer: "5gal", house.KitReach: "0.5mi"},
		"us-wa": {house.TreeLengths: "2", house.CheckInWithin: "30min", house.FuelSmoking: "50ft", house.FuelContainer: "5gal", house.KitReach: "0.5mi"},
		"us-or": {house.HeatIndexCaution: "80F", house.TreeLengths: "2", house.FuelContainer: "5gal", house.KitReach: "0.5mi"},
		"bc":    {house.TreeLengths: "2"},
		"fi":    {house.VibrationAction: "2.5m/s2", house.VibrationLimit: "5m/s2"},
		"yt":    {house.TreeLengths: "2"},
		"uk":    {house.VibrationAction: "2.5m/s2", house.VibrationLimit: "5m/s2"},
		"se":    {house.VibrationAction: "2.5m/s2", house.VibrationLimit: "5m/s2"},
	} {
		for key, value := range want {
			f, ok := house.Binds(e.Floors(place), key)
			require.True(t, ok, "%s %s", place, key)
			require.Equal(t, value, f.Value, "%s %s", place, key)
			require.NotEmpty(t, f.Clause)
			require.NotEmpty(t, f.Read)
			require.Contains(t, []string{"read in the text", "read in a restatement"}, f.Status)
		}
	}
	for place, key := range map[string]string{"qc": house.StandOff, "uk": house.StandOff, "se": house.StandOff, "us": house.FuelStart, "us-or": house.FuelStart, "us-wa": house.FuelIgnition, "au": house.StandOff, "fi": house.TreeLengths, "bc": house.HelpWithin} {
		_, ok := house.Binds(e.Floors(place), key)
		require.False(t, ok, "%s %s is advice", place, key)
	}
	for _, f := range e.Floors("qc") {
		require.NotContains(t, f.Clause, "r. 17")
	}
}

// restated are the rules behind binding numbers that were read only in a restatement of the text, by name: a new one must be put here
// by whoever looked.
var restated = []string{"eu-2002-44-3-1"}

// Of every floor of every place: its rule is a row of that place; one that binds names a clause in force whose words were read in the
// text (or is one of those restated), is not a chain-saw rule unless the place applies it, and its number stands in the duty's own words.
func TestEveryFloorRestsOnAClauseThatWasRead(t *testing.T) {
	e := starter(t)
	type row struct {
		place Jurisdiction
		Floor
	}
	var rows []row
	for _, j := range e.Jurisdictions {
		for _, f := range j.Floors {
			rows = append(rows, row{j, f})
		}
	}
	require.Greater(t, len(rows), 25)
	words := map[string][]string{"2": {"two tree lengths", "twice the length"}, "0.5mi": {"half a mile"}, "5gal": {"5 US gal"}, "30min": {"30 minutes"}}
	for _, f := range rows {
		i := slices.IndexFunc(f.place.Rules, func(r Rule) bool { return r.ID == f.Rule })
		require.GreaterOrEqual(t, i, 0, "%s: %s", f.place.Code, f.Rule)
		if f.Kind != house.Binding {
			continue
		}
		r := f.place.Rules[i]
		require.NotEmpty(t, r.Clause, r.ID)
		require.Empty(t, r.Ended, r.ID)
		require.False(t, r.HeadingOnly, r.ID)
		require.True(t, r.TextRead() || slices.Contains(restated, r.ID), r.ID)
		require.True(t, f.For != ForChainSaws || f.Applied != "", r.ID)
		number := strings.TrimRightFunc(strings.TrimSuffix(f.Least+f.Most, "m/s2"), unicode.IsLetter)
		said := append(words[f.Least+f.Most], number+" ")
		require.True(t, slices.ContainsFunc(said, func(w string) bool {
			return strings.Contains(strings.ToLower(r.Duty+" "+r.Note+" "), strings.ToLower(w))
		}) || strings.Contains(f.Note, "directive"),
			"%s: %q does not stand in %q", r.ID, said, r.Duty)
	}
}

func TestFloorsCarryTheirClause(t *testing.T) {
	require.Equal(t, []house.Floor{{Key: house.StandOff, Value: "12m", Place: "low", Clause: "Act 1", Status: "read in the text", Read: "Act s. 1", Kind: house.Binding}},
		floored().Floors("lowland"))
	require.True(t, floored().HasFloors())
	require.False(t, invented().HasFloors())
	require.Empty(t, floored().Floors("high"), "a place is not bound by those below it")
}

// Whatever a row says of itself, text that was repealed, remembered or seen as a heading binds nothing, nor does a chain-saw rule
// that nothing applies to clearing saws.
func TestTextThatWasNotReadBindsNothing(t *testing.T) {
	for name, spoil := range map[string]func(*Rule, *Floor){
		"repealed": func(r *Rule, _ *Floor) { r.Ended = "2013-06-13" }, "memory": func(r *Rule, _ *Floor) { r.Read, r.ReadOn = Memory, "" },
		"heading": func(r *Rule, _ *Floor) { r.HeadingOnly = true }, "no clause": func(r *Rule, _ *Floor) { r.Clause = "" },
		"chain saws": func(_ *Rule, f *Floor) { f.For = ForChainSaws },
	} {
		e := floored()
		spoil(&e.Jurisdictions[1].Rules[1], &e.Jurisdictions[1].Floors[0])
		_, ok := house.Binds(e.Floors("low"), house.StandOff)
		require.False(t, ok, name)
		require.Len(t, Lint(e), 1, name)
		require.ErrorContains(t, Lint(e)[0], "it is no more than advice", name)
	}
	e := floored()
	e.Jurisdictions[1].Floors[0].For, e.Jurisdictions[1].Floors[0].Applied = ForChainSaws, "the guide, p. 3: brush and clearing saws as well"
	require.Empty(t, Lint(e))
	_, ok := house.Binds(e.Floors("low"), house.StandOff)
	require.True(t, ok)
}

// One spoiled row gives exactly one finding, which names place and rule.
func TestLintFindsEachFaultOfAFloor(t *testing.T) {
	require.Empty(t, Lint(floored()))
	for name, c := range map[string]struct {
		spoil func(*Floor)
		want  string
	}{
		"house rule unknown":  {func(f *Floor) { f.Key = "stand-of" }, `local rules of "low", floor of "stand-of": no house rule of that name; nearest: stand-off`},
		"no stricter side":    {func(f *Floor) { f.Key = house.YearlyEnd }, "neither way is stricter"},
		"looser side":         {func(f *Floor) { f.Least, f.Most = "", "12m" }, "at most 12m is the looser side; more is stricter here, so write least"},
		"other looser side":   {func(f *Floor) { f.Key, f.Least = house.FuelContainer, "5gal" }, "at least 5gal is the looser side; less is stricter here, so write most"},
		"both sides":          {func(f *Floor) { f.Most = "12m" }, "write one of least and most"},
		"no number":           {func(f *Floor) { f.Least = "" }, "write one of least and most"},
		"wrong unit":          {func(f *Floor) { f.Least = "12L" }, `"L" is not a unit of length`},
		"nothing":             {func(f *Floor) { f.Least = "0m" }, "0m is not more than nothing"},
		"no clause":           {func(f *Floor) { f.Rule = "" }, `it has no clause: this place has no rule ""`},
		"another place's":     {func(f *Floor) { f.Rule = "mid-1" }, `this place has no rule "mid-1"`},
		"kind unknown":        {func(f *Floor) { f.Kind = "law" }, `kind "law" is not known; floor or advice`},
		"written for unknown": {func(f *Floor) { f.For = "saws" }, `what it is written for, "saws", is not known`},
		"tab":                 {func(f *Floor) { f.Note = "a\tb" }, "note holds a line break, a tab"},
	} {
		t.Run(name, func(t *testing.T) {
			e := floored()
			c.spoil(&e.Jurisdictions[1].Floors[0])
			found := Lint(e)
			require.Len(t, found, 1, "%v", found)
			require.ErrorContains(t, found[0], c.want)
		})
	}
}

func TestLintFindsRowsThatContradict(t *testing.T) {
	e := floored()
	other := Floor{Key: house.StandOff, Least: "15m", Rule: "low-1", Kind: house.Binding, For: ForAllWork}
	e.Jurisdictions[1].Floors = append(e.Jurisdictions[1].Floors, other)
	require.ErrorContains(t, errors.Join(Lint(e)...), `15m by rule "low-1" contradicts 12m by rule "low-2"`)
	other.Kind = house.Advice
	e.Jurisdictions[1].Floors[1] = other
	require.Empty(t, Lint(e), "advice may ask for more than the floor")
	other.Rule = "low-2"
	e.Jurisdictions[1].Floors[1] = other
	require.ErrorContains(t, errors.Join(Lint(e)...), "contradicts", "one clause is not both")
}

func TestLintNamesAllFaultsOfFloorsAtOnce(t *testing.T) {
	e := floored()
	e.Jurisdictions[1].Floors = append(e.Jurisdictions[1].Floors,
		Floor{Key: "stand-of", Least: "1m", Rule: "low-1", Kind: "law", For: ForAllWork}, Floor{Key: house.OneCut, Most: "6%", Rule: "low-9", Kind: house.Advice, For: "x"})
	require.Len(t, Lint(e), 5)
}

func TestParseRefusesUnknownKeysOfAFloor(t *testing.T) {
	_, err := Parse("low.yaml", []byte(small+"floors:\n  - {key: stand-off, leest: 12m}\n"))
	require.ErrorContains(t, err, "low.yaml: line 20: field leest not found")
	j, err := Parse("low.yaml", []byte(small+"floors: []\n"))
	require.NoError(t, err)
	require.Nil(t, j.Floors)
}
