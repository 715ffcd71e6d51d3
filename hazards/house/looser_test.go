package house_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

// history: the starter, then a looser stand-off by okafor, then something else by luis.
func history(t require.TestingT) []house.Adopted {
	first := starter(t)
	second := with(t, first, "e2", house.StandOff+"=15m", house.WindStop+"=6")
	second.Reason = "flat ground only"
	third := with(t, second, "e3", house.ThunderWait+"=45min")
	third.Reason = "a close call"
	return []house.Adopted{{House: first, By: "p1", Day: "2026-05-01"}, {House: second, By: "p2", Day: "2026-05-03"}, {House: third, By: "p3", Day: "2026-06-01"}}
}

func TestALooserFigureSaysWhoChoseItAndWhy(t *testing.T) {
	all := history(t)
	h := all[2].House.Since(all)
	want := house.Loosening{Key: house.StandOff, Company: "15m", Starter: "20m", By: "p2", Day: "2026-05-03", Reason: "flat ground only"}
	require.Equal(t, []house.Loosening{want}, h.Looser(), "stricter figures are nobody's loosening, and later editions did not choose it")
	require.Contains(t, h.Cite(house.StandOff), "; company figure 15m, starter 20m, by {p2} on 2026-05-03: flat ground only")
	require.NotContains(t, h.Cite(house.WindStop), "company figure")
	require.Equal(t, []house.Loosening{want}, h.Under(h.Floors).Looser(), "above its floor it goes on saying so")
	require.Empty(t, all[0].House.Since(all[:1]).Looser())
}

// Taken back and loosened again, it is the newest choice that counts; a figure as strict as at the beginning is no loosening.
func TestTheNewestChoiceCounts(t *testing.T) {
	all := history(t)
	back := with(t, all[2].House, "e4", house.StandOff+"=20m")
	all = append(all, house.Adopted{House: back, By: "p4", Day: "2026-07-01"})
	require.Empty(t, back.Since(all).Looser())
	again := with(t, back, "e5", house.StandOff+"=15m")
	again.Reason = ""
	all = append(all, house.Adopted{House: again, By: "p5", Day: "2026-08-01"})
	require.Equal(t, "company figure 15m, starter 20m, by {p5} on 2026-08-01: no reason recorded", again.Since(all).Looser()[0].Words())
}

// A figure that stands below its floor is named by the floor, and its loosening beside it.
func TestBelowTheFloorBothAreSaid(t *testing.T) {
	all := history(t)
	low := with(t, all[0].House, "e2", house.StandOff+"=3m")
	h := low.Since([]house.Adopted{all[0], {House: low, By: "p2", Day: "2026-05-03"}}).Under(low.Floors)
	require.Contains(t, h.Cite(house.StandOff), "floor of stand-off, at least 10m (Swedish forest-safety leaflet on clearing saws, read in the text), before the 3m of edition e2; "+
		"company figure 3m, starter 20m, by {p2} on 2026-05-03: no reason recorded")
}

// A rule that the first edition lacks is compared with the program's starter.
func TestARuleThatCameLaterIsComparedWithTheStarter(t *testing.T) {
	all := history(t)
	old := all[0].House
	old.Numbers = nil
	for _, n := range all[0].House.Numbers {
		if n.Key != house.WindStop {
			old.Numbers = append(old.Numbers, n)
		}
	}
	old, err := old.Ready()
	require.NoError(t, err)
	calm := with(t, all[0].House, "e2", house.WindStop+"=9")
	looser := calm.Since([]house.Adopted{{House: old, By: "p1", Day: "2026-05-01"}, {House: calm, By: "p2", Day: "2026-05-03"}}).Looser()
	require.Len(t, looser, 1)
	require.Equal(t, "7", looser[0].Starter)
}

func TestChangesSayWhichWay(t *testing.T) {
	old := starter(t)
	now := with(t, old, "e2", house.StandOff+"=15m", house.WindStop+"=6", house.YearlyEnd+"=03-31", house.FuelStart+"=3.048m")
	for i := range now.Numbers {
		if now.Numbers[i].Key == house.OneCut {
			now.Numbers[i].Source = "another guide"
		}
	}
	require.Equal(t, []house.Change{
		{Key: house.YearlyEnd, Was: "none", Is: "03-31", Way: house.Other}, {Key: house.StandOff, Was: "20m", Is: "15m", Way: house.Loosened},
		{Key: house.OneCut, Was: "6cm", Is: "6cm", Way: house.SourceOnly}, {Key: house.FuelStart, Was: "10ft", Is: "3.048m", Way: house.Other},
		{Key: house.WindStop, Was: "7", Is: "6", Way: house.Stricter},
	}, house.Changes(old, now))
	less := old
	less.Numbers = old.Numbers[1:]
	less, _ = less.Ready()
	require.Equal(t, []house.Change{{Key: house.LooksCritical, Was: "3", Way: house.Dropped}}, house.Changes(old, less))
	require.Equal(t, []house.Change{{Key: house.LooksCritical, Is: "3", Way: house.Came}}, house.Changes(less, old))
}
