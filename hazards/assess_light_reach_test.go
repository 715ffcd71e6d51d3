package hazards

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

// london puts the block on the place of the published almanac, on a day of the published table.
func london(t *testing.T, day, at string) Input {
	in := easyMorning(t)
	in.Block.Lat, in.Block.Lon, in.Sheet.Coordinates = "51.5", "-0.1333", "51.5, -0.1333"
	in.Sheet.Day, in.Sheet.At = day, at
	now, err := time.Parse("2006-01-02 15:04", day+" "+at)
	require.NoError(t, err)
	in.Now = now
	return in
}

// A public almanac has sunrise 07:45 and sunset 15:54 in London on 2 December 2015 (within a minute). Half an hour of margin and five
// minutes of walk-out leave 15:19.
func TestDaylight(t *testing.T) {
	a := Assess(london(t, "2015-12-02", "08:10"))
	f := oneFinding(t, a, "daylight")
	require.Equal(t, Watch, f.Effect)
	require.Regexp(t, `Sunrise 07:4[45], sunset 15:5[345], civil twilight from 07:0[56] to 16:3[345]\. The last saw stops at 15:(18|19|20): 30 min before sunset for trees and cloud, 5 min to walk out\. 7 h (08|09|10) min of working light are left\.`, f.What)
	require.Contains(t, f.House, "house rule light-margin 30min, edition starter-3 (company choice")
	require.Regexp(t, `^15:(18|19|20)$`, a.Ends)
	require.Contains(t, a.Sentence, "at "+a.Ends+", or on leaving B7")

	early := oneFinding(t, Assess(london(t, "2015-12-02", "06:40")), "daylight")
	require.Regexp(t, `^07:4[45]$`, early.Until)
	require.Contains(t, early.What, "No saw before "+early.Until+".")
	require.Equal(t, []string{string(StopSite), Stopped}, []string{string(early.Effect), early.Means})

	dark := Assess(london(t, "2015-12-02", "15:30"))
	require.Equal(t, Hold, dark.Answer)
	require.Equal(t, StopSite, oneFinding(t, dark, "daylight").Effect)

	in := london(t, "2015-12-02", "08:10")
	in.reading(map[string]string{WalkOut: "3km", WalkClimb: "300m"}) // Tobler uphill at 10 %: 3.55 km/h, 51 min; Naismith 36 + 30 min
	require.Contains(t, oneFinding(t, Assess(in), "daylight").What, "1 h 06 min to walk out")
}

func TestPolarNightAndDay(t *testing.T) {
	in := london(t, "2026-12-21", "10:00")
	in.Block.Lat, in.Sheet.Coordinates = "69", "69, -0.1333"
	require.Equal(t, StopSite, oneFinding(t, Assess(in), "daylight").Effect)
	in = london(t, "2026-06-21", "10:00")
	in.Block.Lat, in.Sheet.Coordinates = "69", "69, -0.1333"
	require.Empty(t, findings(Assess(in), "daylight"))
	in.Block.Lat = "somewhere"
	require.Contains(t, Assess(in).NotLookedAt, "daylight (the block card names no place on earth)")
}

// OSHA's enforcement yardstick is half a mile, 804.7 m; four minutes on foot on the path are 335 m (Tobler, 5.04 km/h on the flat).
func TestFirstAidReach(t *testing.T) {
	checkLimits(t, []limitCase{
		{"near", map[string]string{KitDistance: "300m"}, KitDistance, "", "", ""},
		{"four minutes", map[string]string{KitDistance: "335m"}, KitDistance, "", "", ""},
		{"more than four minutes", map[string]string{KitDistance: "340m"}, KitDistance, NeedsControl, "340m from the first-aid kit", "are nearer"},
		{"more than half a mile", map[string]string{KitDistance: "810m"}, KitDistance, NeedsControl, "The farthest one works 810m from the first-aid kit, about 10 min on foot on the path.", "are nearer"},
		{"far", map[string]string{KitDistance: "900m"}, KitDistance, NeedsControl, "900m", ""},
		{"not known", map[string]string{KitDistance: "don't know yet - luis by 07:30"}, KitDistance, NeedsControl, "Nobody can say how far", ""},
	})
	in := easyMorning(t)
	in.Sheet.AcceptedBy = "okafor"
	in.answer("steepest-slope", told("45%"))
	in.reading(map[string]string{KitDistance: "300m"})
	require.Empty(t, findings(Assess(in), KitDistance), "people walk on the path to it, not straight up the steepest ground")
}

func TestCarryOut(t *testing.T) {
	in := easyMorning(t)
	f := oneFinding(t, Assess(in), WalkOut)
	require.Equal(t, Watch, f.Effect)
	require.Contains(t, f.What, "about 42 min (an estimate from the walk of 5min on the card) and 6 carriers beside the one who is hurt; 2 are here. "+
		"Plan B, to read aloud: carry out to the landing, six carriers. To carry comes: the road crew of six at km 40.", "5 min at 5.04 km/h are 420 m, at 0.6 km/h 42 min")
	for said, effect := range map[string]Effect{"1200m": Watch, "1300m": StopSite, "don't know yet - luis by 07:30": StopSite} {
		in := easyMorning(t)
		in.reading(map[string]string{WalkOut: said})
		require.Equal(t, effect, oneFinding(t, Assess(in), WalkOut).Effect, said)
	}
	in.Block.Carry = ""
	f = oneFinding(t, Assess(in), WalkOut)
	require.Equal(t, NeedsControl, f.Effect, "two people beside the one who is hurt cannot carry")
	require.Equal(t, GoWithControls, Assess(in).Answer)
}

// House rule 1 h; Washington asks for contact with cutters every 30 minutes (WAC 296-54-513, read).
func TestCallsOftenEnough(t *testing.T) {
	for _, c := range []struct {
		every, place string
		found        bool
	}{{"1h", "nz", false}, {"61min", "nz", true}, {"60min", "us-wa", true}, {"30min", "us-wa", false}} {
		in := easyMorning(t)
		in.House = under(t, in.House, c.place)
		in.answer(CheckIn, told(c.every))
		require.Len(t, findings(Assess(in), CheckIn), map[bool]int{true: 1}[c.found], c)
	}
	in := easyMorning(t)
	in.answer(CheckIn, told("3h"))
	for i := range in.Sheet.Crew {
		in.Sheet.Crew[i].Level, in.Sheet.Crew[i].Saw, in.Sheet.Crew[i].Group = 1, "", "" // nobody saws out of sight
	}
	require.Empty(t, findings(Assess(in), CheckIn))
}

func TestDeadTreesAndVehicleFuel(t *testing.T) {
	checkLimits(t, []limitCase{
		{"none", map[string]string{DeadTrees: "no"}, DeadTrees, "", "", ""},
		{"some", map[string]string{DeadTrees: "yes"}, DeadTrees, NeedsControl, "stay at least two tree lengths off", "judged the trees"},
		{"not known", map[string]string{DeadTrees: "don't know yet - luis by 07:30"}, DeadTrees, NeedsControl, "{p2} finds out", ""},
	})
	in := easyMorning(t)
	in.reading(map[string]string{VehicleFuel: "150L"})
	require.Contains(t, Assess(in).NotLookedAt, "fuel transport (no limits were read for this place)")
	for litres, over := range map[string]bool{"120L": false, "170L": true} { // 15 or 17 cans of 10 L, 7.6 kg each and the can
		in.Sheet.Readings = nil
		in.reading(map[string]string{VehicleFuel: litres})
		in.Places = []string{"bc", "ca"}
		fs := findings(Assess(in), VehicleFuel)
		require.Len(t, fs, map[bool]int{true: 1}[over], litres)
		if over {
			require.Contains(t, fs[0].What, "at most 150 kg")
			require.Contains(t, fs[0].House, "TDG Regulations s.1.15(1)(c)")
		}
	}
}

func TestStandOffOfTheClauseIsNeverLoosened(t *testing.T) {
	in := easyMorning(t)
	loose := withRule(t, withRule(t, in.House, house.TreeLengths, "1"), house.StandOff, "5m")
	in.House = under(t, loose, "nz")
	in.answer(TallestStem, told("10m"))
	in.answer(NeighbourDist, told("12m"))
	require.Empty(t, findings(Assess(in), NeighbourDist))
	in.House = under(t, loose, "bc")
	require.Contains(t, oneFinding(t, Assess(in), NeighbourDist).What,
		"20m is needed (2 lengths of a 10 m stem, floor of tree-lengths, at least 2 (OHS Regulation (B.C. Reg. 296/97) 26.1, read in the text), before the 1 of edition starter-3")
}
