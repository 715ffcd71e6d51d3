package house

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestStarterIsComplete(t *testing.T) {
	h, err := Starter()
	require.NoError(t, err)
	require.InDelta(t, 3.048, h.SI(FuelIgnition), 1e-12) // 10 ft
	require.Equal(t, 3, h.Int(LooksCritical))
	require.Contains(t, h.Cite(StandOff), "house rule stand-off 20m, edition starter-1 (the widest read")
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
