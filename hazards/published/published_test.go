package published

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// recorder is a test that remembers whether it failed instead of failing.
type recorder struct {
	testing.TB
	failed bool
}

func (r *recorder) Helper() {}

func (r *recorder) Fatalf(string, ...any) { r.failed = true; runtime.Goexit() }

// fails runs f on a recorder and reports whether it failed the test.
func fails(f func(testing.TB)) bool {
	r := &recorder{}
	done := make(chan struct{})
	go func() {
		defer close(done)
		f(r)
	}()
	<-done
	return r.failed
}

func TestRowsCarryTheirCellsAsPrinted(t *testing.T) {
	first := Table(t, "kappa.csv")[0]
	require.Equal(t, "grants", first.Text("name"))
	require.Equal(t, 20, first.Int("a_yy"))
	require.InDelta(t, 0.70, first.Float("po"), 0)
	require.Equal(t, 2, first.Decimals("po"))
	require.Zero(t, first.Decimals("a_yy"))
	require.Equal(t, "grants,20,5,10,15,0.70,0.50,0.40,2", first.String())
}

func TestCitationsMayQuote(t *testing.T) {
	require.Contains(t, Table(t, "fuel_transport.csv")[0].Text("citation"), `"30 kg (66 lb) or 30 L (8 gal)"`)
}

func TestNothingFoundFails(t *testing.T) {
	require.True(t, fails(func(tb testing.TB) { Table(tb, "no-such-table.csv") }))
	first := Table(t, "kappa.csv")[0]
	require.True(t, fails(func(tb testing.TB) { first.t = tb; first.Text("no such column") }))
	require.True(t, fails(func(tb testing.TB) { first.t = tb; first.Float("name") }))
	require.True(t, fails(func(tb testing.TB) { first.t = tb; first.Int("name") }))
	require.Empty(t, rows(t, [][]string{{"only", "names"}}))
}
