package training_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
	"example.org/ringtrue/training/civil"
)

// A change of a release loosens where it lets more be done; what cannot be compared counts as looser (company choice).
func TestReleaseChanges(t *testing.T) {
	base := training.Release{Level: training.InHearing, Slope: "30%", Until: "2026-06-10", Limits: "dry ground"}
	for name, c := range map[string]struct {
		change func(*training.Release)
		what   []string
		looser bool
	}{
		"nothing":           {func(*training.Release) {}, nil, false},
		"lower level":       {func(r *training.Release) { r.Level = training.InSight }, []string{"level"}, false},
		"no saw":            {func(r *training.Release) { r.Level = training.NoSaw }, []string{"level"}, false},
		"higher level":      {func(r *training.Release) { r.Level = training.Unsupervised }, []string{"level"}, true},
		"flatter":           {func(r *training.Release) { r.Slope = "10deg" }, []string{"ground up to"}, false}, // tan 10 degrees is 17.6 %
		"steeper":           {func(r *training.Release) { r.Slope = "20deg" }, []string{"ground up to"}, true},  // 36.4 %
		"house slope":       {func(r *training.Release) { r.Slope = "" }, []string{"ground up to"}, true},
		"shorter":           {func(r *training.Release) { r.Until = "2026-06-01" }, []string{"until"}, false},
		"longer":            {func(r *training.Release) { r.Until = "2026-07-01" }, []string{"until"}, true},
		"open":              {func(r *training.Release) { r.Until = "" }, []string{"until"}, true},
		"other words":       {func(r *training.Release) { r.Limits = "flat ground" }, []string{"only"}, true},
		"words left out":    {func(r *training.Release) { r.Limits = "" }, []string{"only"}, true},
		"lower and steeper": {func(r *training.Release) { r.Level, r.Slope = training.InSight, "45%" }, []string{"level", "ground up to"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			now := base
			c.change(&now)
			var what []string
			looser := false
			for _, one := range training.ReleaseChanges(base, now, "45%") {
				what, looser = append(what, one.What), looser || one.Loosens
			}
			require.Equal(t, c.what, what)
			require.Equal(t, c.looser, looser)
		})
	}
	first := training.Release{Level: training.InHearing}
	tighter := training.Release{Level: training.InHearing, Limits: "dry ground"}
	require.False(t, training.ReleaseChanges(first, tighter, "45%")[0].Loosens, "words where there were none only narrow")
}

// The end of a release ends what happened or was recorded before it; a release decided and recorded after it stands.
func TestReleaseEnds(t *testing.T) {
	given := func(entry int64, at, recorded int64) training.Released {
		return training.Released{Fact: training.Fact{Entry: training.Ref(entry), Kind: training.FactRelease, Code: uint8(training.InHearing), At: at, Recorded: recorded, Until: civil.None}}
	}
	end := func(entry, at, recorded int64) training.Released {
		return training.Released{Fact: training.Fact{Entry: training.Ref(entry), Kind: training.FactWithdrawal, At: at, Recorded: recorded, Until: civil.None}}
	}
	struck := end(2, 200, 200)
	struck.Fact.Struck = true
	for name, c := range map[string]struct {
		list    []training.Released
		on      int64
		inForce bool
	}{
		"given":                       {[]training.Released{given(1, 100, 100)}, 300, true},
		"ended":                       {[]training.Released{given(1, 100, 100), end(2, 200, 200)}, 300, false},
		"before its end":              {[]training.Released{given(1, 100, 100), end(2, 200, 200)}, 199, true},
		"end struck":                  {[]training.Released{given(1, 100, 100), struck}, 300, true},
		"given anew":                  {[]training.Released{given(1, 100, 100), end(2, 200, 200), given(3, 250, 250)}, 300, true},
		"end told late":               {[]training.Released{end(2, 50, 200), given(1, 100, 100)}, 300, false},
		"given anew after a late end": {[]training.Released{end(2, 50, 200), given(1, 100, 100), given(3, 250, 250)}, 300, true},
		"at one second":               {[]training.Released{given(3, 200, 250), end(2, 200, 200)}, 300, false},
	} {
		t.Run(name, func(t *testing.T) {
			perm := training.PermissionFor(training.Group{ID: "walk"}, training.Curriculum{}, nil, c.list, training.Asked{On: c.on, Known: 1 << 40})
			require.Equal(t, c.inForce, perm.Release != 0)
		})
	}
}

func TestWithin(t *testing.T) {
	require.Empty(t, training.Within("", ""))
	require.Equal(t, "; ground up to 30%; only: dry ground", training.Within("30%", "dry ground"))
	require.Equal(t, "; only: dry ground", training.Within("", "dry ground"))
}
