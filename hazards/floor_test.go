package hazards

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/rules"
)

// Mornings, row 30: a house stand-off of 3 m, people 3 m apart, stems of 1 m. An edition adopted before floors came is judged with
// them: it holds, at a hair below 10 m too.
func TestAnOldStandOffOfThreeMetresHolds(t *testing.T) {
	in := easyMorning(t)
	in.House = withRule(t, in.House, house.StandOff, "3m")
	in.answer(TallestStem, told("1m"))
	in.answer(NeighbourDist, told("3m"))
	require.Equal(t, Go, Assess(in).Answer, "without floors the figure judges alone")
	in.House = under(t, in.House, "nz")
	for kept, want := range map[string]Verdict{"3m": Hold, "9.99m": Hold, "10m": Go, "32ft": Hold, "33ft": Go} {
		in.answer(NeighbourDist, told(kept))
		a := Assess(in)
		require.Equal(t, want, a.Answer, kept)
		if want == Hold {
			require.Contains(t, oneFinding(t, a, NeighbourDist).What,
				"10m is needed (stand-off, floor of stand-off, at least 10m (Swedish forest-safety leaflet on clearing saws, read in the text), before the 3m of edition starter-3")
		}
	}
}

// Whatever edition a company adopted and wherever it works, people nearer than a floor of the place or of the starter, or nearer than
// the company's own figure, hold.
func TestNoEditionLetsAnybodyNearerThanAFloor(t *testing.T) {
	base := easyMorning(t)
	local, err := rules.Starter()
	require.NoError(t, err)
	var places []string
	for _, j := range local.Jurisdictions {
		places = append(places, j.Code)
	}
	rapid.Check(t, func(rt *rapid.T) {
		place := rapid.SampledFrom(places).Draw(rt, "place")
		standOff, lengths := rapid.IntRange(1, 40).Draw(rt, "stand-off"), rapid.IntRange(0, 4).Draw(rt, "tree lengths")
		tallest := rapid.IntRange(1, 20).Draw(rt, "tallest")
		floors := append(starter(t).Floors, local.Floors(place)...)
		metres, _ := house.Binds(floors, house.StandOff)
		least, _ := metres.SI()
		if f, ok := house.Binds(floors, house.TreeLengths); ok {
			n, _ := f.SI()
			least = max(least, n*float64(tallest))
		}
		least = max(least, float64(standOff), float64(lengths*tallest))
		in := base
		in.Sheet.Answers = append([]Answer(nil), base.Sheet.Answers...)
		in.House = withRule(t, withRule(t, base.House, house.StandOff, fmt.Sprintf("%dm", standOff)), house.TreeLengths, fmt.Sprint(lengths)).Under(floors)
		in.answer(TallestStem, told(fmt.Sprintf("%dm", tallest)))
		in.answer(NeighbourDist, told(fmt.Sprintf("%gm", least-0.001)))
		require.Equal(rt, Hold, Assess(in).Answer)
		in.answer(NeighbourDist, told(fmt.Sprintf("%gm", least)))
		require.Empty(rt, findings(Assess(in), NeighbourDist))
	})
}

// A figure that is looser than the starter's and above its floor lets 16 m pass; the answer says whose figure that is, in a finding that
// carries it and beside the rule itself, and holds nobody's name.
func TestWhatTheCompanyLoosenedStandsOnTheAnswer(t *testing.T) {
	in := easyMorning(t)
	first := in.House
	loose := withRule(t, withRule(t, first, house.StandOff, "15m"), house.PlanFiling, "5min")
	loose.Reason = "flat ground only"
	in.House = loose.Since([]house.Adopted{{House: first, By: "p2", Day: "2026-05-01"}, {House: loose, By: "p1", Day: "2026-05-03"}}).Under(first.Floors)
	in.answer(NeighbourDist, told("16m"))
	a := Assess(in)
	require.Equal(t, Go, a.Answer)
	f := oneFinding(t, a, LooserRules)
	require.Equal(t, Watch, f.Effect)
	require.Equal(t, []house.Loosening{{Key: house.StandOff, Company: "15m", Starter: "20m", By: "p1", Day: "2026-05-03", Reason: "flat ground only"}}, f.Looser,
		"the plan of the day is no part of a morning")
	require.Equal(t, "House rules that the company has made looser: stand-off: company figure 15m, starter 20m, by {p1} on 2026-05-03: flat ground only.", f.What)
	named := a.Named(func(id string) string { return map[string]string{"p1": "okafor"}[id] })
	require.Contains(t, oneFinding(t, named, LooserRules).What, "by okafor on 2026-05-03")
	require.Equal(t, "okafor", oneFinding(t, named, LooserRules).Looser[0].By)
	require.Equal(t, "p1", f.Looser[0].By, "the recorded answer stays as it is")

	in.answer(NeighbourDist, told("14m"))
	require.Contains(t, oneFinding(t, Assess(in), NeighbourDist).What, "company figure 15m, starter 20m, by {p1} on 2026-05-03: flat ground only")
	require.Empty(t, findings(Assess(easyMorning(t)), LooserRules), "a quiet morning stays quiet")
}
