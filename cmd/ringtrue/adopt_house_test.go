package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
)

// A file that a company wrote is the starter with changes. It may bring the list of floors along as it was, and nothing else; it does
// not say which way is stricter; every number below a floor is named, with everything else that is wrong.
func TestAFileOfHouseRulesSetsNoFloors(t *testing.T) {
	starter, err := os.ReadFile("../../hazards/house/starter.yaml")
	require.NoError(t, err)
	from := func(pairs ...string) error {
		path := filepath.Join(t.TempDir(), "rules.yaml")
		require.NoError(t, os.WriteFile(path, []byte(strings.NewReplacer(pairs...).Replace(string(starter))), 0o600))
		_, err := houseFrom(path, starterFloors())
		return err
	}
	require.NoError(t, from())
	require.NoError(t, from(`key: stand-off, of: length, value: "20m"`, `key: stand-off, of: length, value: "15m"`))
	err = from(`{key: stand-off, value: "10m"`, `{key: stand-off, value: "1m"`,
		`key: stand-off, of: length, value: "20m", strict: higher`, `key: stand-off, of: length, value: "3m", strict: lower`,
		`key: fuel-start, of: length, value: "10ft"`, `key: fuel-start, of: length, value: "9ft"`)
	require.ErrorContains(t, err, "floor of stand-off: floors come with the program and the local rules, not with a company's file")
	require.ErrorContains(t, err, `house rule stand-off: strict is "higher", not "lower"`)
	require.ErrorContains(t, err, "house rule stand-off: 3m is looser than its floor, at least 10m")
	require.ErrorContains(t, err, "house rule fuel-start: 9ft is looser than its floor, at least 10ft")
	require.ErrorContains(t, from(`key: slope-limit, of: slope`, `key: slope-limit, of: text`), "house rule slope-limit: it measures slope, not text")
	floor, ok := house.Binds(starterFloors(), house.StandOff)
	require.True(t, ok)
	require.Equal(t, "10m", floor.Value, "the program's own stays what it was")
}
