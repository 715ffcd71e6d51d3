package fuel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

// Small loads of petrol by road: 49 CFR 173.6, TDG Regulations SOR/2001-286, ADR 1.1.3.6 and 3.4.
func TestTransportTable(t *testing.T) {
	var rows []TransportLimit
	for _, row := range published.Table(t, "fuel_transport.csv") {
		rows = append(rows, TransportLimit{row.Text("regime"), row.Text("item"), row.Float("value"), row.Text("unit"), row.Text("citation"), row.Text("status")})
	}
	require.Equal(t, rows, Transport())
}

// ADR: 1000 points at 3 a litre are the 333 L of the table.
func TestADRPointsAgreeWithTheTotal(t *testing.T) {
	at := map[string]float64{}
	for _, l := range Transport() {
		at[l.Item] = l.Value
	}
	require.InDelta(t, at["max total transport category 2 per transport unit"],
		math.Floor(at["points ceiling"]/at["points factor category 2"]), 0)
}

// 50:1 is 20 mL to a litre of petrol, 100 mL to 5 L and 2.56 US fluid ounces to a US gallon; 40:1 25 mL, 25:1 40 mL. The mixture
// is petrol and oil.
func TestOilAsWorkedByHand(t *testing.T) {
	require.InDelta(t, 20, OilIn(1020, 50), 1e-9)
	require.InDelta(t, 100, OilIn(5100, 50), 1e-9)
	require.InDelta(t, 2.56, OilIn(130.56, 50), 1e-9)
	require.InDelta(t, 25, OilIn(1025, 40), 1e-9)
	require.InDelta(t, 40, OilIn(1040, 25), 1e-9)
}

// The worked day of the trade notes: 0.9 L tank, 0.9 L/h, 6 h: 6 tanks, 5 refuels, 5.4 L and 20 % on top is 6.5 L,
// 0.13 L of oil at 50:1, 2 filings.
func TestDayAsWorkedByHand(t *testing.T) {
	n, err := Work{EngineHours: 6, Burn: 0.9, Tank: 0.9, Ratio: 50, Reserve: 20}.Plan()
	require.NoError(t, err)
	require.InDelta(t, 6, n.Tanks, 1e-9)
	require.Equal(t, [2]int{5, 2}, [2]int{n.Refuels, n.Filings})
	require.InDelta(t, 6.48, n.Mixture, 1e-9)
	require.InDelta(t, 6.48/51, n.Oil, 1e-12)

	n, err = Work{EngineHours: 5.5, Burn: 0.9, Tank: 0.9, Ratio: 50}.Plan()
	require.NoError(t, err)
	require.Equal(t, [2]int{5, 2}, [2]int{n.Refuels, n.Filings})
}

func TestPlanProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Work{
			EngineHours: rapid.Float64Range(0, 24).Draw(t, "hours"),
			Burn:        rapid.Float64Range(0, 3).Draw(t, "burn"),
			Tank:        rapid.Float64Range(0.2, 2).Draw(t, "tank"),
			Ratio:       rapid.Float64Range(10, 100).Draw(t, "ratio"),
			Reserve:     rapid.Float64Range(0, 100).Draw(t, "reserve"),
		}
		n, err := w.Plan()
		require.NoError(t, err)
		require.InDelta(t, (n.Mixture-n.Oil)/w.Ratio, n.Oil, 1e-9, "oil is the petrol divided by the ratio")
		require.True(t, float64(n.Refuels) >= n.Tanks-1-1e-6 && float64(n.Refuels) <= math.Max(n.Tanks, 0))
	})
	// three hours at 0.1 L/h from a 0.3 L tank: one tank, though the division gives a hair more
	n, err := Work{EngineHours: 3, Burn: 0.1, Tank: 0.3, Ratio: 50}.Plan()
	require.NoError(t, err)
	require.Zero(t, n.Refuels)
}

func TestPlanRefusesWhatIsNoDay(t *testing.T) {
	_, err := Work{EngineHours: -1, Burn: math.NaN(), Reserve: -5}.Plan()
	for _, what := range []string{"engine hours of -1", "burn rate of NaN", "reserve of -5", "tank of 0", "mix ratio of 0"} {
		require.ErrorContains(t, err, what)
	}
	_, err = Work{EngineHours: 1e9, Burn: 1, Tank: 1e-9, Ratio: 50}.Plan()
	require.ErrorContains(t, err, "no day's work")
}
