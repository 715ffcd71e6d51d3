package dayplan

import (
	"fmt"
	"maps"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func needs(t *testing.T, o Out) map[string]int {
	need := map[string]int{}
	for _, l := range CompareKit(o, nil, starter(t)) {
		need[l.ID] = l.Wanted
		require.NotEmpty(t, l.Source, l.ID)
	}
	return need
}

// always is what is carried whatever the walk: bleeding, calling, fire, water and shelter first, and what each saw is carried and tried with.
func always(saws, people int) map[string]int {
	out := map[string]int{}
	for _, part := range []string{"tourniquet", "gauze", "aid-gloves", "transport-guard", "wrench", "pin"} {
		out[part] = saws
	}
	for _, part := range []string{"dressing", "card", "whistle", "light", "shelter", "water"} {
		out[part] = people
	}
	for _, part := range []string{"first-aid-kit", "stretcher", "eye-wash", "extinguisher", "fire-tool", "fire-water", "spill-mat", "ribbon", "satellite"} {
		out[part] = 1
	}
	return out
}

func with(a, b map[string]int) map[string]int {
	maps.Copy(a, b)
	return a
}

// Personal kits: everybody with a saw can stop a bleeding leg before anybody comes (UK forestry accord note of March 2022, restated).
func TestReview08BleedingKitForEachWithASaw(t *testing.T) {
	near := needs(t, Out{Minutes: 1, Saws: 5, People: 7})
	for _, part := range []string{"tourniquet", "gauze", "aid-gloves"} {
		require.Equal(t, 5, near[part], part)
	}
	require.Equal(t, 7, near["dressing"])
}

func TestReview10WrittenCardForEach(t *testing.T) {
	require.Equal(t, 7, needs(t, Out{Minutes: 1, Saws: 5, People: 7})["card"])
}

// Device, water, shelter, whistle and light do not hang on minutes of walking.
func TestReview23CarriedFromTheFirstMinuteOn(t *testing.T) {
	for _, minutes := range []float64{0, 9, 30, 61} {
		need := needs(t, Out{Minutes: minutes, Saws: 2, People: 3})
		for _, part := range []string{"water", "shelter", "whistle", "light"} {
			require.Equal(t, 3, need[part], part)
		}
		for _, part := range []string{"satellite", "ribbon", "eye-wash", "spill-mat", "extinguisher", "first-aid-kit", "stretcher"} {
			require.Equal(t, 1, need[part], part)
		}
	}
}

func TestReview24WrenchPinAndGuardPerSaw(t *testing.T) {
	for _, minutes := range []float64{0, 9, 30, 61} {
		need := needs(t, Out{Minutes: minutes, Saws: 4, People: 6})
		for _, part := range []string{"wrench", "pin", "transport-guard"} {
			require.Equal(t, 4, need[part], part)
		}
	}
}

// Trade notes §7: tiers by minutes of walking out; a part that stops work is carried one tier earlier.
func TestKitByWalkOut(t *testing.T) {
	two := Out{Saws: 2, People: 3}
	at := func(minutes float64) map[string]int { two.Minutes = minutes; return needs(t, two) }

	near := at(9)
	require.Equal(t, with(always(2, 3), map[string]int{"blade": 2, "file": 2, "plug": 1, "nut": 1, "guard-screw": 1}), near)

	base := at(10)
	require.Equal(t, 4, base["blade"])
	for _, part := range []string{"nut", "cord", "can", "filter", "spring", "tools", "set-tool", "grease", "cap", "plug", "hook"} {
		require.Equal(t, 1, base[part], part)
	}
	require.NotContains(t, base, "throttle-cable")

	long := at(30)
	for _, part := range []string{"spring", "filter", "can"} {
		require.Equal(t, 2, long[part], part)
	}
	require.Equal(t, 1, long["throttle-cable"])
	require.Equal(t, long, at(60))

	far := at(61)
	require.Equal(t, 1, far["spare-saw"])
	require.NotContains(t, long, "spare-saw")
	require.Equal(t, 3, far["food-water"])
	require.Equal(t, far, needs(t, Out{Minutes: 5, NoRoad: true, Saws: 2, People: 3}))
	require.Equal(t, 2, needs(t, Out{NoRoad: true, Saws: 5})["spare-saw"], "a spare saw for four saws or fewer")
}

func TestKitShowsShortAndLowEarly(t *testing.T) {
	stock := map[string]Stock{}
	for part, n := range always(2, 1) {
		stock[part] = Stock{Have: n}
	}
	maps.Copy(stock, map[string]Stock{"blade": {Have: 2, Used: 1}, "file": {Have: 1}, "dressing": {Have: 1}, "plug": {Have: 5, Used: 2}, "nut": {}, "spring": {Have: 1}})
	lines := CompareKit(Out{Minutes: 5, Saws: 2, People: 1}, stock, starter(t))
	var got []string
	for _, l := range lines {
		if always(2, 1)[l.ID] > 0 && l.ID != "dressing" {
			require.Equal(t, Enough, l.State)
			continue
		}
		got = append(got, fmt.Sprintf("%s %d/%d %s", l.ID, l.Have, l.Wanted, l.State))
	}
	require.Equal(t, []string{"nut 0/1 short", "guard-screw 0/1 short", "file 1/2 short", "blade 2/2 low", "dressing 1/1 enough", "plug 5/1 enough", "spring 1/0 enough"}, got)
}

func TestStockAddsUp(t *testing.T) {
	events := []KitEvent{
		{10, KitRecord{Change: Issued, Parts: []KitAmount{{"file", 3}, {"plug", 2}}}},
		{11, KitRecord{Change: Used, Parts: []KitAmount{{"file", 1}}}},
		{40, KitRecord{Change: Used, Parts: []KitAmount{{"file", 1}, {"plug", 3}}}},
		{41, KitRecord{Change: Restocked, Parts: []KitAmount{{"file", 2}}}},
		{42, KitRecord{Change: Counted, Parts: []KitAmount{{"plug", 1}}}},
	}
	require.Equal(t, map[string]Stock{"file": {Have: 3, Used: 1}, "plug": {Have: 1, Used: 3}}, StockOf(events, 30))
	require.Equal(t, -1, StockOf(events[:3], 30)["plug"].Have, "more was used than was known to be there")
}

func TestParseAmounts(t *testing.T) {
	list, err := ParseAmounts("file=2, plug = 1", false)
	require.NoError(t, err)
	require.Equal(t, []KitAmount{{"file", 2}, {"plug", 1}}, list)
	list, err = ParseAmounts("file=0", true)
	require.NoError(t, err)
	require.Equal(t, []KitAmount{{"file", 0}}, list)
	_, err = ParseAmounts("file=2,flie=1,plug=-1,plug,nut=0,file=3,nut=x", false)
	for _, want := range []string{`"flie" is no part of the kit (nearest: file)`, `plug: "-1" is no number`, `"plug" is not PART=NUMBER`, `nut: "0" is no number`, "file is named twice", `nut: "x"`} {
		require.ErrorContains(t, err, want)
	}
}

// Whatever is read can be written and read again.
func FuzzParseAmounts(f *testing.F) {
	for _, s := range []string{"file=2,plug=1", "file = 2", "=", ",", "file=1e3", "file=+2", "file=00", "food-water=999"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		list, err := ParseAmounts(s, true)
		if err != nil {
			return
		}
		var words []string
		for _, a := range list {
			words = append(words, fmt.Sprintf("%s=%d", a.Part, a.Count))
		}
		again, err := ParseAmounts(strings.Join(words, ","), true)
		require.NoError(t, err)
		require.Equal(t, list, again)
	})
}

// A longer walk, more saws or more people never need fewer parts; what stops work is there from the first tier on or from the one
// before its kind.
func TestKitProperties(t *testing.T) {
	h := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		o := Out{Minutes: rapid.Float64Range(0, 120).Draw(t, "minutes"), Saws: rapid.IntRange(1, 12).Draw(t, "saws"), People: rapid.IntRange(1, 14).Draw(t, "people")}
		more := o
		more.Minutes += rapid.Float64Range(0, 60).Draw(t, "longer")
		more.Saws += rapid.IntRange(0, 4).Draw(t, "more saws")
		more.People += rapid.IntRange(0, 4).Draw(t, "more people")
		want := map[string]int{}
		for _, l := range CompareKit(more, nil, h) {
			want[l.ID] = l.Wanted
		}
		require.NotEmpty(t, CompareKit(o, nil, h))
		for _, l := range CompareKit(o, nil, h) {
			require.LessOrEqual(t, l.Wanted, want[l.ID], l.ID)
			require.Equal(t, Short, l.State)
		}
	})
}
