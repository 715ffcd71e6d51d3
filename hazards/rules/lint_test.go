package rules

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestStarterPassesLint(t *testing.T) {
	require.NoError(t, errors.Join(Lint(starter(t))...))
}

func TestInventedEditionPassesLint(t *testing.T) {
	require.NoError(t, errors.Join(Lint(invented())...))
}

// One spoiled place or rule gives exactly one finding, which names it.
func TestLintFindsEachKindOfFault(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Edition)
		want  string
	}{
		"edition without a name": {func(e *Edition) { e.Edition = "" }, "the edition has no name"},
		"no compiled day":        {func(e *Edition) { e.Compiled = "2026-02-30" }, `"2026-02-30" is not the day`},
		"code form":              {func(e *Edition) { e.Jurisdictions[1].Aliases[0] = "Low Land" }, `"Low Land" is not a code`},
		"alias taken":            {func(e *Edition) { e.Jurisdictions[1].Aliases[0] = "high" }, `"high" is taken by "high"`},
		"alias twice":            {func(e *Edition) { e.Jurisdictions[1].Aliases[0] = "low-land" }, `"low-land" is taken by "low"`},
		"title missing":          {func(e *Edition) { e.Jurisdictions[2].Title = " " }, `local rules of "mid": title is missing`},
		"authority missing":      {func(e *Edition) { e.Jurisdictions[2].Authority = "" }, `authority is missing`},
		"parent missing":         {func(e *Edition) { e.Jurisdictions[2].Parent = "hihg" }, `parent "hihg" is not the code of a jurisdiction; nearest: high`},
		"parent by alias":        {func(e *Edition) { e.Jurisdictions[0].Aliases = []string{"up"}; e.Jurisdictions[2].Parent = "up" }, `parent "up" is not the code`},
		"own parent":             {func(e *Edition) { e.Jurisdictions[0].Parent = "high" }, `parent "high" leads back to it`},
		"id of another form":     {func(e *Edition) { e.Jurisdictions[0].Rules[0].ID = "high-A(1)" }, `the id must begin with "high-"`},
		"id of another place":    {func(e *Edition) { e.Jurisdictions[0].Rules[0].ID = "mid-9" }, `the id must begin with "high-"`},
		"id twice":               {func(e *Edition) { e.Jurisdictions[1].Rules[1].ID = "low-1" }, `rule "low-1": the id stands twice`},
		"topic unknown":          {func(e *Edition) { e.Jurisdictions[1].Rules[0].Topic = "fule" }, `topic "fule" is not known; nearest: fuel`},
		"topic empty":            {func(e *Edition) { e.Jurisdictions[1].Rules[0].Topic = "" }, `topic "" is not known`},
		"further topic unknown":  {func(e *Edition) { e.Jurisdictions[1].Rules[1].Also[0] = "crews" }, `topic "crews" is not known; nearest: crew`},
		"topic twice":            {func(e *Edition) { e.Jurisdictions[1].Rules[1].Also[0] = "spacing" }, `topic "spacing" is named twice`},
		"instrument missing":     {func(e *Edition) { e.Jurisdictions[1].Rules[0].Instrument = "" }, `instrument is missing`},
		"duty missing":           {func(e *Edition) { e.Jurisdictions[1].Rules[0].Duty = "" }, `duty is missing`},
		"reference missing":      {func(e *Edition) { e.Jurisdictions[1].Rules[0].Reference = "" }, `rule "low-1": reference is missing`},
		"mark unknown":           {func(e *Edition) { e.Jurisdictions[1].Rules[0].Read = "read" }, `mark "read" is not known; one of verified, secondary, memory`},
		"heading from memory": {func(e *Edition) {
			r := &e.Jurisdictions[1].Rules[0]
			r.Read, r.ReadOn, r.HeadingOnly = Memory, "", true
		},
			`a heading cannot have been seen`},
		"no day of reading":      {func(e *Edition) { e.Jurisdictions[1].Rules[0].ReadOn = "" }, `rule "low-1": "" is not the day on which it was read`},
		"read in the future":     {func(e *Edition) { e.Jurisdictions[1].Rules[0].ReadOn = "2026-02-01" }, `read on 2026-02-01, after the edition was compiled`},
		"memory with a day":      {func(e *Edition) { e.Jurisdictions[1].Rules[0].Read = Memory }, `it is from memory, and yet read on 2026-01-30`},
		"tab in the version":     {func(e *Edition) { e.Jurisdictions[1].Rules[0].Version = "a\tb" }, `version holds a line break, a tab`},
		"scope with a record":    {func(e *Edition) { r := &e.Jurisdictions[1].Rules[0]; r.Scope, r.Kept = true, []string{"ticket"} }, `it asks nothing (scope)`},
		"coverage unknown":       {func(e *Edition) { e.Jurisdictions[1].Thinning = "yes" }, `thinning "yes" is not known; one of covered, harvest`},
		"coverage without why":   {func(e *Edition) { e.Jurisdictions[1].ThinningWhy = "" }, `local rules of "low": thinning_why is missing`},
		"sought and yet there":   {func(e *Edition) { e.Jurisdictions[1].Sought = []string{"crew"} }, `"crew" is said to be not found, and yet there is a rule`},
		"sought, unknown":        {func(e *Edition) { e.Jurisdictions[1].Sought = []string{"slopes"} }, `topic "slopes" is not known; nearest: slope`},
		"sought on no day":       {func(e *Edition) { e.Jurisdictions[1].SoughtOn = "" }, `"" is not the day of the search`},
		"ended on no day":        {func(e *Edition) { e.Jurisdictions[1].Rules[0].Ended = "2013" }, `"2013" is not the day on which it ended`},
		"tab in a text":          {func(e *Edition) { e.Jurisdictions[1].Rules[0].Duty = "a\tb" }, `duty holds a line break, a tab`},
		"bytes that are no text": {func(e *Edition) { e.Jurisdictions[1].Rules[0].Note = "\xff" }, `note holds a line break, a tab`},
	} {
		t.Run(name, func(t *testing.T) {
			e := invented()
			c.spoil(&e)
			found := Lint(e)
			require.Len(t, found, 1)
			require.ErrorContains(t, found[0], c.want)
		})
	}
}

func TestLintFindsAnIDReusedElsewhere(t *testing.T) {
	e := invented()
	e.Jurisdictions[2].Rules[0].ID = "low-1"
	all := errors.Join(Lint(e)...)
	require.ErrorContains(t, all, `the id is reused; it belongs to a rule of "low"`)
	require.ErrorContains(t, all, `the id must begin with "mid-"`)
}

func TestLintNamesEveryPlaceOfACircle(t *testing.T) {
	e := invented()
	e.Jurisdictions[0].Parent = "low"
	all := errors.Join(Lint(e)...)
	for _, code := range []string{"high", "mid", "low"} {
		require.ErrorContains(t, all, `local rules of "`+code+`": parent`)
	}
}

func TestLintFindsNothingToOffer(t *testing.T) {
	require.ErrorContains(t, errors.Join(Lint(Edition{})...), "has no jurisdictions")
}

// Lint returns all findings: spoiling n different rules gives n findings.
func TestLintReportsAllFindings(t *testing.T) {
	whole := starter(t)
	rapid.Check(t, func(rt *rapid.T) {
		e, want := copied(whole), 0
		for _, j := range e.Jurisdictions {
			for i := range j.Rules {
				if rapid.IntRange(0, 9).Draw(rt, "spoil") == 0 {
					j.Rules[i].Reference = ""
					want++
				}
			}
		}
		require.Len(rt, Lint(e), want)
	})
}

// copied gives an edition whose rules can be spoiled without touching the original.
func copied(e Edition) Edition {
	places := make([]Jurisdiction, len(e.Jurisdictions))
	for i, j := range e.Jurisdictions {
		places[i] = j
		places[i].Rules = append([]Rule{}, j.Rules...)
	}
	e.Jurisdictions = places
	return e
}

// No text of the starter edition promises what no list can.
func TestStarterPromisesNothing(t *testing.T) {
	looked := 0
	for _, j := range starter(t).Jurisdictions {
		for _, r := range j.Rules {
			looked++
			text := strings.ToLower(r.Duty + " " + r.Note + " " + j.Note)
			for _, word := range []string{"complian", "complies", "is safe", "certified by"} {
				require.NotContains(t, text, word, r.ID)
			}
		}
	}
	require.Greater(t, looked, 100)
}
