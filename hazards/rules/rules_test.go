package rules

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training/spelling"
)

// starter loads the embedded edition for a test.
func starter(t testing.TB) Edition {
	t.Helper()
	e, err := Starter()
	require.NoError(t, err)
	return e
}

func ids(rs []Rule) []string {
	var out []string
	for _, r := range rs {
		out = append(out, r.ID)
	}
	return out
}

// invented is a small edition of three places in a line, so that tests do not hang on what a real rule says.
func invented() Edition {
	rule := func(id, topic string, also ...string) Rule {
		if also == nil {
			also = []string{}
		}
		return Rule{ID: id, Instrument: "Act", Clause: "1", Topic: topic, Also: also, Duty: "Do it.", Reference: "Act s. 1",
			Read: Verified, ReadOn: "2026-01-30"}
	}
	place := func(code, parent string, rules ...Rule) Jurisdiction {
		return Jurisdiction{Code: code, Aliases: []string{}, Title: code, Parent: parent, Authority: "the authority", Rules: rules,
			Thinning: Covered, ThinningWhy: "It says so.", Sought: []string{"slope"}, SoughtOn: "2026-01-30"}
	}
	low := place("low", "mid", rule("low-1", "fuel"), rule("low-2", "spacing", "crew"))
	low.Aliases = []string{"lowland", "low-land"}
	return Edition{Edition: "t-1", Compiled: "2026-01-31", Jurisdictions: []Jurisdiction{
		place("high", "", rule("high-1", "crew")), low, place("mid", "high", rule("mid-1", "fuel", "fire")),
	}}
}

func TestFindTakesCodesAndAliases(t *testing.T) {
	e := starter(t)
	for typed, code := range map[string]string{
		"bc": "bc", "ca-bc": "bc", "BC": "bc", "British Columbia": "bc", "us": "us", "us-wa": "us-wa", "wa": "us-wa",
		"us_fs": "us-fs", "gb": "uk", " ilo ": "ilo", "on": "on", "ca": "ca",
	} {
		j, ok := e.Find(typed)
		require.True(t, ok, typed)
		require.Equal(t, code, j.Code, typed)
	}
	for _, typed := range []string{"", " ", "xx", "bcc", "-"} {
		_, ok := e.Find(typed)
		require.False(t, ok, typed)
	}
}

func TestStarterHasEveryPlace(t *testing.T) {
	for _, code := range []string{
		"us", "us-wa", "us-or", "us-mt", "us-fs", "bc", "ab", "on", "qc", "nb", "yt", "pe", "nl", "ns", "ca", "uk", "eu",
		"se", "nz", "au", "fi", "ilo",
	} {
		j, ok := starter(t).Find(code)
		require.True(t, ok, code)
		require.Equal(t, code, j.Code)
		require.NotEmpty(t, j.Rules, code)
	}
}

func TestForGivesOwnRulesFirstThenTheParents(t *testing.T) {
	e := invented()
	require.Equal(t, []string{"low-1", "low-2", "mid-1", "high-1"}, ids(e.For("lowland", "")))
	require.Equal(t, []string{"low-1", "mid-1"}, ids(e.For("low", "fuel")))
	require.Equal(t, []string{"low-2", "high-1"}, ids(e.For("low", "crew")), "also counts as a topic")
	require.Equal(t, []string{"mid-1"}, ids(e.For("mid", "fire")))
	require.Empty(t, e.For("high", "fuel"))
	require.Nil(t, e.For("nowhere", ""))
}

func TestLineWalksACircleOnce(t *testing.T) {
	e := invented()
	e.Jurisdictions[0].Parent = "low"
	require.Len(t, e.Line("low"), 3)
	require.Len(t, e.For("mid", ""), 4)
}

func TestWashingtonFollowsTheFederalRules(t *testing.T) {
	got := ids(starter(t).For("us-wa", "spacing"))
	require.Equal(t, "us-wa-296-54-513-1-2", got[0])
	require.Contains(t, got, "us-1910.266-d-6-ii")
}

// A tailgate asks these topics every morning; the places with rules read in their text must answer.
func TestStarterAnswersWhatATailgateAsks(t *testing.T) {
	e := starter(t)
	require.Contains(t, ids(e.For("us", "weather")), "us-1910.266-d-5")
	require.Contains(t, ids(e.For("us", "spacing")), "us-1910.266-d-6-ii")
	require.Contains(t, ids(e.For("us", "crew")), "us-1910.266-d-6-iv")
	require.Contains(t, ids(e.For("bc", "crew")), "bc-ohsr-4.20.1-4.21")
	require.Contains(t, ids(e.For("bc", "crew")), "bc-ohsr-4.23")
	require.Contains(t, ids(e.For("bc", "spacing")), "bc-ohsr-26.11")
	require.Contains(t, ids(e.For("bc", "fuel")), "ca-tdg-1.15", "the federal transport rules reach the provinces")
	require.Empty(t, e.For("us", "vibration"), "no federal limit is known")
	for _, topic := range Topics {
		require.True(t, slices.ContainsFunc(e.Jurisdictions, func(j Jurisdiction) bool { return len(j.About(topic)) > 0 }), topic)
	}
}

func TestRuleIsFoundWithItsPlace(t *testing.T) {
	r, j, ok := starter(t).Rule("us-wa-296-54-519-5")
	require.True(t, ok)
	require.Equal(t, "us-wa", j.Code)
	require.Equal(t, "fire", r.Topic)
	_, _, ok = starter(t).Rule("us-wa-296-54-519-6")
	require.False(t, ok)
}

func TestHowNeverCallsUnreadTextRead(t *testing.T) {
	for _, c := range []struct {
		read    string
		heading bool
		words   string
	}{
		{Verified, false, "read in the source, or on an official page that quotes or explains it"},
		{Verified, true, "not read in its text: only its title or heading was seen"},
		{Secondary, false, "not read in its text: read only in a restatement"},
		{Secondary, true, "not read in its text: only its title or heading was seen, in a restatement"},
		{Memory, false, "not read in its text: from memory"},
		{"", false, "not read in its text: from memory"},
	} {
		r := Rule{Read: c.read, HeadingOnly: c.heading}
		require.Equal(t, c.words, r.How())
		require.Equal(t, c.read == Verified && !c.heading, r.TextRead())
	}
}

// What says in its own words that the wording was not read must not count as read.
func TestRulesThatWereNotReadAreMarkedSo(t *testing.T) {
	for _, id := range []string{
		"us-or-437-007-subdivision-i", "bc-ohsr-7.11-7.16", "bc-ohsr-g26.16", "nb-first-aid-working-alone",
		"on-851-103-119", "ab-ohs-code-2", "ns-forest-professional", "uk-clearing-saw-leaflet", "uk-clearing-saw-15m",
		"nz-acop-4.3", "au-forest-guide", "fi-749-2001", "se-2023-11", "se-2012-1-15m",
	} {
		r, _, ok := starter(t).Rule(id)
		require.True(t, ok, id)
		require.False(t, r.TextRead(), id)
	}
}

// The edition is recorded as one JSON object of at most 1 MiB that knows no null and no fraction.
func TestEditionSurvivesTheLedger(t *testing.T) {
	e := starter(t)
	text, err := json.Marshal(e)
	require.NoError(t, err)
	require.Less(t, len(text), 1<<20)
	require.NotContains(t, string(text), ":null")
	var back Edition
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, e, back)
}

func TestClosingSaysWhoDecides(t *testing.T) {
	require.Contains(t, Closing, "authority")
	require.Contains(t, Closing, "competent person")
	require.Contains(t, Closing, "may have changed")
	require.Contains(t, Closing, "Nothing here says that anybody complies")
}

func TestNearest(t *testing.T) {
	e := starter(t)
	require.Equal(t, "bc", e.NearestCode("bcc"))
	require.Equal(t, "us-wa", e.NearestCode("us-w"))
	require.Equal(t, "quebec", e.NearestCode("Quebeck"))
	require.Equal(t, "us-1910.266-d-5", e.NearestID("US 1910.266-d5"))
	require.Equal(t, "spacing", spelling.Closest("spaceing", Topics))
	require.Empty(t, spelling.Closest("x", nil))
	require.Empty(t, Edition{}.NearestCode("x"))
	require.Empty(t, Edition{}.NearestID("x"))
}

func BenchmarkStarter(b *testing.B) {
	for b.Loop() {
		_, err := Starter()
		require.NoError(b, err)
	}
}
