package weather

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

// Meteorological Service of Canada, wind chill calculation chart (2001 formula), all 192 cells.
func TestWindChillCanadaTable(t *testing.T) {
	rows := published.Table(t, "windchill_ec.csv")
	for _, row := range rows {
		w, err := WindChillCanada(row.Float("temp_c"), row.Float("wind_kmh"))
		require.NoError(t, err, row)
		require.InDelta(t, row.Float("wind_chill"), math.Round(w), 0, row)
	}
	require.Len(t, rows, 192)
}

func TestWindChillRefusesOutsideItsRange(t *testing.T) {
	for _, bad := range [][2]float64{{10.1, 30}, {-50.1, 30}, {-10, 4.9}, {-10, 80.1}, {math.NaN(), 30}} {
		_, err := WindChillCanada(bad[0], bad[1])
		require.Error(t, err, bad)
	}
	for _, bad := range [][2]float64{{50.1, 30}, {-45.1, 30}, {0, 2.9}, {0, 60.1}} {
		_, err := WindChillUS(bad[0], bad[1])
		require.Error(t, err, bad)
	}
	_, err := WindChillCanada(20, 3)
	require.ErrorContains(t, err, "air temperature of 20C lies outside the published range, -50 to 10C\nwind of 3km/h")
	for _, good := range [][2]float64{{10, 5}, {-50, 80}} {
		_, err := WindChillCanada(good[0], good[1])
		require.NoError(t, err, good)
	}
}

// The two national formulas are one model in two units: they agree within a degree wherever both answer.
func TestWindChillFormulasAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(-42, 10).Draw(t, "temp")
		kmh := rapid.Float64Range(5, 80).Draw(t, "wind")
		canada, err := WindChillCanada(c, kmh)
		require.NoError(t, err)
		us, err := WindChillUS(c*1.8+32, kmh/1.609344)
		require.NoError(t, err)
		require.InDelta(t, canada, (us-32)/1.8, 0.3)
	})
}

// Environment Canada, wind chill hazard bands; -18 °F wind chill is "within 30 minutes" on the US chart.
func TestFrostbiteTable(t *testing.T) {
	rows := published.Table(t, "frostbite_bands.csv")
	require.Len(t, bands, len(rows))
	for i, row := range rows {
		b, ok := Frostbite(row.Float("from_wc"))
		require.True(t, ok, row)
		require.Equal(t, bands[i], b)
		require.Equal(t, row.Text("risk"), b.Risk, row)
		require.Equal(t, row.Has("minutes_max"), b.Timed, row)
		if row.Has("to_wc") {
			last, _ := Frostbite(row.Float("to_wc"))
			require.Equal(t, b, last, row)
		}
		if b.Timed {
			require.Equal(t, [2]int{row.Int("minutes_min"), row.Int("minutes_max")}, [2]int{b.Least, b.Most}, row)
		}
	}
	b, _ := Frostbite((-18 - 32) / 1.8)
	require.Equal(t, 30, b.Most)
	_, ok := Frostbite(0.6)
	require.False(t, ok)
	b, _ = Frostbite(-27.5)
	require.Equal(t, "increasing", b.Risk, "halves count as the colder one")
}

// NWS heat index chart (web reproduction), shade. The chart is the plain regression; "alt" is a second reproduction.
// 90 °F/45 % prints 93 where the regression gives 92.49: that row, and only that row, differs.
func TestHeatIndexChart(t *testing.T) {
	var differ []string
	for _, row := range published.Table(t, "heat_index_nws.csv") {
		h, err := HeatIndexOf(row.Float("temp_f"), row.Float("rh_pct"))
		require.NoError(t, err, row)
		require.True(t, h.InChart, row)
		whole := math.Round(h.Chart)
		if whole != row.Float("heat_index_f") && (!row.Has("alt") || whole != row.Float("alt")) {
			differ = append(differ, row.String())
			require.InDelta(t, row.Float("heat_index_f"), h.Chart, 0.9, row)
		}
	}
	require.Equal(t, []string{"90,45,93,"}, differ)
}

// NWS Weather Prediction Center, the heat index equation: values worked out from its rules, not published.
func TestHeatIndexAdjustments(t *testing.T) {
	for _, row := range published.Table(t, "heat_index_adjustments.csv") {
		h, err := HeatIndexOf(row.Float("temp_f"), row.Float("rh_pct"))
		require.NoError(t, err, row)
		require.InDelta(t, row.Float("heat_index_f"), h.Adjusted, 0.0005, row)
		require.Equal(t, row.Text("rule"), h.Rule, row)
		require.Equal(t, row.Float("temp_f") >= 80, h.InChart, row)
	}
}

func TestHeatIndexRefusesOutsideItsRange(t *testing.T) {
	for _, bad := range [][2]float64{{39, 50}, {112.5, 50}, {90, 101}, {90, -1}} {
		_, err := HeatIndexOf(bad[0], bad[1])
		require.Error(t, err, bad)
	}
}

// The chart prints 87 at 80 °F/100 %, without the humid rule; with it the full heat index is 2.3 °F above that.
func TestHumidRuleLiftsTheChart(t *testing.T) {
	h, err := HeatIndexOf(80, 100)
	require.NoError(t, err)
	require.InDelta(t, 87, math.Round(h.Chart), 0)
	require.InDelta(t, 87+2.3, h.Adjusted, 0.05)
}

// Humidex, dew-point and relative-humidity form, checked against charts and examples at their printed decimals.
func TestHumidexTable(t *testing.T) {
	for _, row := range published.Table(t, "humidex.csv") {
		h, err := humidexOf(row)
		require.NoError(t, err, row)
		scale := math.Pow(10, row.Float("decimals"))
		require.InDelta(t, row.Float("humidex"), math.Round(h*scale)/scale, 1e-9, row)
	}
}

func humidexOf(row published.Row) (float64, error) {
	if row.Text("basis") == "td" {
		return HumidexFromDewPoint(row.Float("temp_c"), row.Float("td_c"))
	}
	return HumidexFromRH(row.Float("temp_c"), row.Float("rh_pct"))
}

// An encyclopedia's second example: 30 °C with dew point 25 °C gives 42; chart text: 30 °C at 70 % gives 41.
func TestHumidexExamples(t *testing.T) {
	h, err := HumidexFromDewPoint(30, 25)
	require.NoError(t, err)
	require.InDelta(t, 42.35, h, 0.01)
	h, err = HumidexFromRH(30, 70)
	require.NoError(t, err)
	require.InDelta(t, 41, math.Round(h), 0)
}

func TestHumidexIsNeverBelowTheAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(20, 43).Draw(t, "temp")
		h, err := HumidexFromRH(c, rapid.Float64Range(0, 100).Draw(t, "rh"))
		require.NoError(t, err)
		require.GreaterOrEqual(t, h, c)
	})
	h, err := HumidexFromDewPoint(25, -10)
	require.NoError(t, err)
	require.InDelta(t, 25, h, 0)
	for _, cold := range []float64{19.9, 43.1} {
		_, err = HumidexFromRH(cold, 50)
		require.Error(t, err)
		_, err = HumidexFromDewPoint(cold, 5)
		require.Error(t, err)
	}
}

// WBGT limits. NIOSH 2016-106 section 8.1 as equations, to 0.01 °C. What a right formula does not reach: the worked
// example (read off curves), the rounded Table 5-1, and the unacclimatised column of ISO 7243:2017; its acclimatised
// column is the equation cut to a whole degree. The 1989 set has no metabolic rate to check.
func TestWBGTTable(t *testing.T) {
	checked := map[string]int{}
	for _, row := range published.Table(t, "wbgt_limits.csv") {
		if !row.Has("metabolic_w") {
			continue
		}
		rel, ral, err := WBGTLimits(row.Float("metabolic_w"))
		require.NoError(t, err, row)
		checked[row.Text("kind")]++
		switch row.Text("kind") {
		case "equation":
			require.InDelta(t, row.Float("acclimatised_c"), rel, 0.005, row)
			require.InDelta(t, row.Float("unacclimatised_c"), ral, 0.005, row)
		case "niosh_example":
			require.InDelta(t, 0.34, row.Float("acclimatised_c")-rel, 0.005, row)
			require.InDelta(t, 0.95, row.Float("unacclimatised_c")-ral, 0.005, row)
		case "niosh_t5_1":
			off := math.Abs(row.Float("acclimatised_c") - rel)
			require.True(t, off > 0.005 && off < 0.55, row)
		case "iso7243_2017":
			require.InDelta(t, row.Float("acclimatised_c"), math.Trunc(rel), 0, row)
			require.Greater(t, math.Abs(row.Float("unacclimatised_c")-ral), 0.005, row)
		}
	}
	require.Equal(t, map[string]int{"equation": 5, "niosh_example": 1, "niosh_t5_1": 4, "iso7243_2017": 5}, checked)
	_, _, err := WBGTLimits(114)
	require.Error(t, err)
	_, _, err = WBGTLimits(581)
	require.Error(t, err)
}

// Beaufort scale on land: NWS page (mph, knots) and web tables (km/h).
func TestBeaufortTable(t *testing.T) {
	rows := published.Table(t, "beaufort.csv")
	require.Len(t, beaufort, len(rows))
	for i, row := range rows {
		f := beaufort[i]
		require.Equal(t, row.Int("force"), f.Force)
		require.Equal(t, []string{row.Text("name"), row.Text("sign_near_trees")}, []string{f.Name, f.Trees})
		low := []int{row.Int("mph_min"), row.Int("knots_min"), row.Int("kmh_min")}
		require.Equal(t, low, []int{f.MphMin, f.KnotsMin, f.KmhMin}, row)
		if row.Has("kmh_max") {
			high := []int{row.Int("mph_max"), row.Int("knots_max"), row.Int("kmh_max")}
			require.Equal(t, high, []int{f.MphMax, f.KnotsMax, f.KmhMax}, row)
		}
		require.Equal(t, f, Beaufort(row.Float("kmh_min")), row)
	}
	require.Equal(t, 0, Beaufort(0.4).Force)
	require.Equal(t, 3, Beaufort(19.4).Force)
	require.Equal(t, 4, Beaufort(19.5).Force)
	require.Equal(t, 12, Beaufort(200).Force)
}
