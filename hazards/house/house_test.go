package house

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestStarterIsComplete(t *testing.T) {
	h, err := Starter()
	require.NoError(t, err)
	require.InDelta(t, 6.096, h.SI(FuelIgnition), 1e-12) // 20 ft
	require.Equal(t, 3, h.Int(LooksCritical))
	require.Contains(t, h.Cite(StandOff), "house rule stand-off 20m, edition starter-3 (the widest read")
}

func TestParseReportsAllProblemsAtOnce(t *testing.T) {
	_, err := Parse([]byte(`edition: x
numbers:
  - {key: stand-off, of: length, value: "20", source: s, what: w, strict: higher}
  - {key: one-cut, of: length, value: "6%", source: s, what: w, strict: lower}
`))
	require.ErrorContains(t, err, `house rule stand-off: "20" has no unit`)
	require.ErrorContains(t, err, `"%" is not a unit of length`)
	require.ErrorContains(t, err, "house rule looks-critical is missing")
}

func TestParseRefusesUnknownFields(t *testing.T) {
	_, err := Parse([]byte("edition: x\nnumbres: []\n"))
	require.ErrorContains(t, err, "numbres")
}

// An edition recorded by an earlier version stays readable without the keys that came later; a file that is adopted now needs them all.
func TestLaterKeysMayBeMissingFromARecordedEdition(t *testing.T) {
	h, err := Starter()
	require.NoError(t, err)
	old := House{Edition: "first"}
	for _, n := range h.Numbers {
		if !slices.Contains(later, n.Key) {
			old.Numbers = append(old.Numbers, n)
		}
	}
	require.Len(t, old.Numbers, len(h.Numbers)-len(later))
	old, err = old.Ready()
	require.NoError(t, err)
	require.False(t, old.Has(WindStop))
	require.True(t, h.Has(WindStop))
	require.Zero(t, old.SI(WindStop))
	for i := range old.Numbers { // both faults of one rule are said
		if old.Numbers[i].Key == StandOff {
			old.Numbers[i].Value, old.Numbers[i].Source = "20", ""
		}
	}
	_, err = old.Ready()
	require.ErrorContains(t, err, `house rule "stand-off" needs key, source and what`)
	require.ErrorContains(t, err, `house rule stand-off: "20" has no unit`)
	_, err = Parse([]byte("edition: x\nnumbers: []\n"))
	require.ErrorContains(t, err, "house rule wind-stop is missing")
	require.ErrorContains(t, err, "house rule stand-off is missing")
}
