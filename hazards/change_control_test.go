package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/risk"
	"example.org/ringtrue/hazards/slope"
)

func TestParseControl(t *testing.T) {
	want := Control{For: slope.WetOrIcy, Kind: risk.Organised, What: "along the strip, dry side first", Owner: "ana"}
	for _, text := range []string{
		"for=wet-icy kind=organised what=along the strip, dry side first owner=ana",
		"owner=ana, what=along the strip, dry side first, kind=organised, for=wet-icy",
		"{for: wet-icy, kind: organised, what: along the strip, dry side first, owner: ana}",
	} {
		got, err := ParseControl(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got)
	}
	away, err := ParseControl("for=event-13 kind=taken away what=the stem is down owner=ben")
	require.NoError(t, err)
	require.Equal(t, Control{"event-13", risk.TakenAway, "the stem is down", "ben"}, away)
	for text, says := range map[string]string{
		"":                                       "write for=... kind=... what=... owner=... each once",
		"wet-icy organised":                      "write for=... kind=... what=... owner=... each once",
		"mud: for=wet-icy":                       "each once",
		"for=wet-icy kind=organised what=x":      "owner is blank: who sees to it?",
		"for=wet-icy kind=nice what=x owner=ana": `"nice" is not a kind of control`,
		"for=moon kind=organised what=x owner=ana":          `"moon" is not a factor`,
		"for=wet-icy for=wet-icy kind=ppe what=x owner=ana": "for stands twice",
		"for=first-month kind=organised what=x owner=ana":   "nothing lowers first-month",
	} {
		_, err := ParseControl(text)
		require.ErrorContains(t, err, says, text)
	}
}

// A control that is named during the day goes through the same assessment as one on the sheet: rain on a steep slope holds until
// somebody sees to it, and nobody says that the ground is dry.
func TestAControlNamedDuringTheDayEndsAHold(t *testing.T) {
	in := easyMorning(t)
	in.Sheet.AcceptedBy = ""
	q, _ := questionByID(slope.WetOrIcy)
	require.Equal(t, slope.WetOrIcy, q.ID)
	rained := []Answer{{slope.WetOrIcy, Said{Is: Yes}}, {Public, Said{Is: Yes}}}
	wet, err := in.Sheet.After(Change{At: "11:00", By: "rosa", Answers: rained})
	require.NoError(t, err)
	after := in
	after.Sheet = wet
	require.Equal(t, Hold, Assess(after).Answer)
	with, err := wet.After(Change{At: "12:00", By: "rosa", AcceptedBy: "rosa", Controls: []Control{
		{slope.WetOrIcy, risk.Organised, "along the strip", "luis"}, {Public, risk.Organised, "tape across the way in", "luis"}}})
	require.NoError(t, err)
	after.Sheet = with
	require.Equal(t, GoWithControls, Assess(after).Answer)
	require.Equal(t, Yes, after.Sheet.Said(slope.WetOrIcy).Is, "the rain is still on the sheet")
	again, err := with.After(Change{At: "13:00", By: "rosa", Controls: []Control{{Public, risk.Organised, "somebody stands there", "luis"}}})
	require.NoError(t, err)
	require.Len(t, again.Controls, 2, "in the place of the one before")
	require.Equal(t, "somebody stands there", again.Controls[1].What)
	require.Equal(t, "tape across the way in", with.Controls[1].What, "the sheet before is not changed")
	named := Change{AcceptedBy: "rosa", Controls: []Control{{Owner: "luis"}}}.WithPeople(func(string) string { return "P" })
	require.Equal(t, []string{"P", "P"}, []string{named.AcceptedBy, named.Controls[0].Owner})
}
