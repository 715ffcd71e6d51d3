package rules

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// reachOf gives one cell.
func reachOf(t *testing.T, j Jurisdiction, topic string) Reach {
	t.Helper()
	for _, r := range j.Reach() {
		if r.Topic == topic {
			return r
		}
	}
	t.Fatalf("no cell for %q", topic)
	return Reach{}
}

// The best reading wins, and only rules that ask something today count.
func TestReachTakesTheBestReadingOfRulesThatAsk(t *testing.T) {
	rule := func(id, read, on string, change func(*Rule)) Rule {
		r := Rule{ID: id, Topic: "fuel", Read: read, ReadOn: on}
		change(&r)
		return r
	}
	asIs := func(*Rule) {}
	heading := func(r *Rule) { r.HeadingOnly = true }
	for name, c := range map[string]struct {
		rules []Rule
		want  Reach
	}{
		"nothing looked for": {nil, Reach{Topic: "fuel", How: NotLooked}},
		"memory":             {[]Rule{rule("a", Memory, "", asIs)}, Reach{Topic: "fuel", How: FromMemory, Rules: []string{"a"}}},
		"heading before memory": {[]Rule{rule("a", Memory, "", asIs), rule("b", Verified, "2026-01-02", heading)},
			Reach{Topic: "fuel", How: HeadingSeen, Rules: []string{"b"}, On: "2026-01-02"}},
		"restatement before heading": {[]Rule{rule("b", Verified, "2026-01-03", heading), rule("c", Secondary, "2026-01-02", asIs)},
			Reach{Topic: "fuel", How: InRestatement, Rules: []string{"c"}, On: "2026-01-02"}},
		"text before all, newest day": {[]Rule{rule("c", Secondary, "2026-01-04", asIs), rule("d", Verified, "2026-01-01", asIs), rule("e", Verified, "2026-01-03", asIs)},
			Reach{Topic: "fuel", How: InText, Rules: []string{"d", "e"}, On: "2026-01-03"}},
		"ended":      {[]Rule{rule("d", Verified, "2026-01-01", func(r *Rule) { r.Ended = "2013-06-13" })}, Reach{Topic: "fuel", How: NotLooked}},
		"scope only": {[]Rule{rule("d", Verified, "2026-01-01", func(r *Rule) { r.Scope = true })}, Reach{Topic: "fuel", How: NotLooked}},
	} {
		t.Run(name, func(t *testing.T) {
			require.Equal(t, c.want, reachOf(t, Jurisdiction{Rules: c.rules}, "fuel"))
		})
	}
}

func TestReachTellsASearchThatFoundNothing(t *testing.T) {
	j := Jurisdiction{Sought: []string{"slope"}, SoughtOn: "2026-01-05"}
	require.Equal(t, Reach{Topic: "slope", How: NothingFound, On: "2026-01-05"}, reachOf(t, j, "slope"))
	require.Equal(t, Reach{Topic: "fuel", How: NotLooked}, reachOf(t, j, "fuel"))
	require.Len(t, j.Reach(), len(Topics))
}

func TestFifteenTopics(t *testing.T) {
	require.ElementsMatch(t, []string{"training", "records", "crew", "first-aid", "emergency", "alone", "spacing", "slope",
		"kickback", "fuel", "fire", "ppe", "noise", "vibration", "weather"}, Topics)
}

func TestReadLongAgo(t *testing.T) {
	for _, c := range []struct {
		readOn, today string
		want          bool
	}{
		{"2026-11-30", "2026-11-30", false},
		{"2026-11-30", "2028-11-30", false},
		{"2026-11-30", "2028-12-01", true},
		{"2024-02-29", "2026-03-01", false},
		{"2024-02-29", "2026-03-02", true},
		{"", "2030-01-01", false},
	} {
		require.Equal(t, c.want, Rule{ReadOn: c.readOn}.ReadLongAgo(c.today), c)
	}
}

// Where the texts could be had, at least ten of the fifteen topics were read in them; a change that marks a reading
// down, or drops it, must say so here.
func TestTenTopicsWereReadWhereTheTextsCouldBeHad(t *testing.T) {
	e := starter(t)
	for _, code := range []string{"us", "us-wa", "ab", "qc", "nb", "fi"} {
		j, ok := e.Find(code)
		require.True(t, ok, code)
		read := 0
		for _, c := range j.Reach() {
			if c.How == InText {
				require.NotEmpty(t, c.On, "%s %s", code, c.Topic)
				read++
			}
		}
		require.GreaterOrEqual(t, read, 10, code)
	}
}

// What a repealed text asked, and what a definition says, is never a topic read: Quebec's old fuelling rule does not
// count beside the one in force.
func TestNoCellRestsOnAnEndedOrScopeRule(t *testing.T) {
	e := starter(t)
	seen := 0
	for _, j := range e.Jurisdictions {
		for _, c := range j.Reach() {
			for _, id := range c.Rules {
				r, _, ok := e.Rule(id)
				require.True(t, ok, id)
				require.True(t, r.Asks(), id)
				seen++
			}
		}
	}
	require.Greater(t, seen, 100)
	qc, _ := e.Find("qc")
	require.NotContains(t, reachOf(t, qc, "fuel").Rules, "qc-s-2.1-r-17-11")
}
