package house_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/units"
)

func starter(t require.TestingT) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// with is an edition with some numbers set, each "key=value".
func with(t require.TestingT, h house.House, name string, sets ...string) house.House {
	h.Edition, h.Numbers = name, slices.Clone(h.Numbers)
	for _, s := range sets {
		key, value, _ := strings.Cut(s, "=")
		i := slices.IndexFunc(h.Numbers, func(n house.Number) bool { return n.Key == key })
		require.GreaterOrEqual(t, i, 0, key)
		h.Numbers[i].Value = value
	}
	h, err := h.Ready()
	require.NoError(t, err)
	return h
}

func bound(key, value string) house.Floor {
	return house.Floor{Key: key, Value: value, Place: "bc", Clause: "Act s. 9", Status: "read in the text", Read: "the Act", Kind: house.Binding}
}

// Mornings, row 30: no house rule is looser than a floor named for the place, or 10 m where none is. The Swedish leaflet's 10 m, the
// 10 ft of 29 CFR 1910.266(e)(2)(iv)-(v) and the 30 min of the 30-30 rule were read.
func TestTheStarterMarksItsFloors(t *testing.T) {
	want := map[string]float64{house.StandOff: 10, house.FuelIgnition: 3.048, house.FuelStart: 3.048, house.ThunderWait: 1800}
	h := starter(t)
	require.Len(t, h.Floors, len(want))
	for _, f := range h.Floors {
		si, ok := f.SI()
		require.True(t, ok, f)
		require.InDelta(t, want[f.Key], si, 1e-9, f)
		require.Equal(t, house.Binding, f.Kind)
		require.NotEmpty(t, f.Read)
	}
	require.Empty(t, h.Below(h.Floors), "the starter keeps to its own")
	require.Empty(t, h.Under(h.Floors).Raised())
}

func TestTheStricterOfFigureAndFloorJudges(t *testing.T) {
	h := with(t, starter(t), "e2", house.StandOff+"=3m", house.FuelContainer+"=40L", house.TreeLengths+"=3")
	under := h.Under([]house.Floor{bound(house.StandOff, "10m"), bound(house.FuelContainer, "5gal"), bound(house.TreeLengths, "2"), bound(house.StandOff, "12m")})
	require.InDelta(t, 12, under.SI(house.StandOff), 1e-9)
	require.InDelta(t, 5*3.785411784, under.SI(house.FuelContainer), 1e-9)
	require.InDelta(t, 3, under.SI(house.TreeLengths), 0)
	require.Equal(t, "12m", under.Value(house.StandOff))
	require.Equal(t, "3m", under.Company(house.StandOff))
	require.Equal(t, "3", under.Company(house.TreeLengths))
	require.Equal(t, "floor of stand-off, at least 12m (Act s. 9, read in the text), before the 3m of edition e2", under.Cite(house.StandOff))
	require.Equal(t, []house.Raised{{Key: house.StandOff, Company: "3m", Floor: bound(house.StandOff, "12m")},
		{Key: house.FuelContainer, Company: "40L", Floor: bound(house.FuelContainer, "5gal")}}, under.Raised())
	require.InDelta(t, 3, h.SI(house.StandOff), 0, "the edition itself stays as adopted")
	require.Equal(t, under, under.Under([]house.Floor{bound(house.StandOff, "12m")}), "once under, nothing more is raised")
}

func TestAnEditionThatLacksARuleTakesItFromTheFloor(t *testing.T) {
	h := starter(t)
	h.Numbers = slices.DeleteFunc(slices.Clone(h.Numbers), func(n house.Number) bool { return n.Key == house.CheckInWithin })
	old, err := h.Ready()
	require.NoError(t, err)
	require.False(t, old.Has(house.CheckInWithin))
	under := old.Under([]house.Floor{bound(house.CheckInWithin, "30min")})
	require.InDelta(t, 1800, under.SI(house.CheckInWithin), 0)
	require.Contains(t, under.Cite(house.CheckInWithin), "which edition starter-3 lacks")
}

// What is stricter is the program's word: an edition that calls less the stricter side, or a length a text, loosens nothing.
func TestAnEditionCannotSayWhatIsStricter(t *testing.T) {
	for _, spoil := range []func(*house.Number){
		func(n *house.Number) { n.Strict = "lower" }, func(n *house.Number) { n.Strict = "" }, func(n *house.Number) { n.Of = house.Text },
		func(n *house.Number) { n.Of, n.Value = units.Count, "500" },
	} {
		h := with(t, starter(t), "e2", house.StandOff+"=3m")
		for i := range h.Numbers {
			if h.Numbers[i].Key == house.StandOff {
				spoil(&h.Numbers[i])
			}
		}
		h, err := h.Ready()
		require.NoError(t, err)
		require.Error(t, h.AsDefined())
		require.InDelta(t, 10, h.Under(h.Floors).SI(house.StandOff), 1e-9)
	}
	require.NoError(t, starter(t).AsDefined())
}

func TestAdviceBindsNothing(t *testing.T) {
	f := bound(house.StandOff, "45m")
	f.Kind = house.Advice
	h := starter(t)
	require.InDelta(t, 20, h.Under([]house.Floor{f}).SI(house.StandOff), 0)
	require.Empty(t, h.Below([]house.Floor{f}))
	_, ok := house.Binds([]house.Floor{f}, house.StandOff)
	require.False(t, ok)
}

func TestWhatIsBelowAFloorIsAllNamed(t *testing.T) {
	h := with(t, starter(t), "e2", house.StandOff+"=3m", house.FuelStart+"=2m", house.ThunderWait+"=29min")
	require.Equal(t, `house rule stand-off: 3m is looser than its floor, at least 10m (Swedish forest-safety leaflet on clearing saws, read in the text); read it: the leaflet on safe work with clearing saws
house rule fuel-start: 2m is looser than its floor, at least 10ft (29 CFR 1910.266(e)(2)(v), read in the text); read it: 29 CFR 1910.266
house rule thunder-wait: 29min is looser than its floor, at least 30min (30-30 rule, read in the text); read it: a university weather page`,
		errors.Join(h.Below(h.Floors)...).Error())
}

func TestFloorsOfAFileAreReadStrictly(t *testing.T) {
	_, err := house.Parse([]byte(`edition: x
floors:
  - {key: stand-of, value: "10m", clause: c, status: s, read: r}
  - {key: yearly-end, value: "none", clause: c, status: s, read: r}
  - {key: stand-off, value: "10L", clause: c, status: s, read: ""}
numbers:
  - {key: stand-off, of: length, value: "20m", source: s, what: w, strict: higher}
  - {key: yearly-end, of: text, value: "none", source: s, what: w, strict: ""}
`))
	require.ErrorContains(t, err, "floor of stand-of: no house rule of that name")
	require.ErrorContains(t, err, "floor of yearly-end: no house rule of that name has a stricter side")
	require.ErrorContains(t, err, "floor of stand-off needs clause, status and read")
	require.ErrorContains(t, err, `floor of stand-off: "L" is not a unit of length`)
}

// directed are the rules of which one way is stricter.
func directed(t require.TestingT) []house.Number {
	return slices.DeleteFunc(slices.Clone(starter(t).Numbers), func(n house.Number) bool { return n.Strict == "" })
}

// drawValue is some value of a rule, in the unit of its starter value.
func drawValue(t *rapid.T, n house.Number, label string) string {
	unit := strings.TrimLeft(n.Value, "-+.0123456789")
	return fmt.Sprintf("%d%s", rapid.IntRange(-60, 600).Draw(t, label), unit)
}

// Over random editions, older ones that lack rules among them, and random floors: under the floors no number with a stricter side is
// looser than any floor that binds it, nor than the company's own.
func TestNoEditionJudgesLooserThanAFloor(t *testing.T) {
	rules := directed(t)
	require.Greater(t, len(rules), 60)
	rapid.Check(t, func(t *rapid.T) {
		var h house.House
		var floors []house.Floor
		for _, n := range rules {
			if rapid.IntRange(0, 4).Draw(t, "lacks") > 0 {
				n.Value = drawValue(t, n, n.Key)
				h.Numbers = append(h.Numbers, n)
			}
			for range rapid.IntRange(0, 2).Draw(t, "floors") {
				f := bound(n.Key, drawValue(t, n, "floor"))
				f.Kind = rapid.SampledFrom([]string{house.Binding, house.Advice}).Draw(t, "kind")
				floors = append(floors, f)
			}
		}
		h, _ = h.Ready() // it may lack what an edition needs; here its numbers matter
		under := h.Under(floors)
		for _, f := range floors {
			si, ok := f.SI()
			require.True(t, ok, f)
			if f.Kind == house.Binding {
				require.True(t, under.Has(f.Key))
				require.False(t, house.Looser(f.Key, under.SI(f.Key), si), "%s under %v", under.Value(f.Key), f)
			}
		}
		for _, n := range h.Numbers {
			require.False(t, house.Looser(n.Key, under.SI(n.Key), h.SI(n.Key)), n.Key)
			q, err := units.Parse(under.Value(n.Key), n.Of)
			require.NoError(t, err)
			require.InDelta(t, q.SI(), under.SI(n.Key), 1e-9, "the figure printed is the one that judges")
		}
		refused := len(h.Below(floors)) > 0
		raised := slices.ContainsFunc(under.Raised(), func(r house.Raised) bool { return r.Company != "" })
		require.Equal(t, refused, raised, "what adopting refuses is what judging raises")
	})
}
