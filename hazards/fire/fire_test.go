package fire

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
	"example.org/ringtrue/training/civil"
)

func sample(t testing.TB) (days []Noon, rows []published.Row) {
	rows = published.Table(t, "fwi_sample.csv")
	for _, row := range rows {
		day := civil.Date(1985, time.Month(row.Int("month")), row.Int("day"))
		days = append(days, Noon{day, Weather{
			Temp: row.Float("temp_c"), RH: row.Float("rh_pct"), Wind: row.Float("wind_kmh"), Rain: row.Float("rain_mm")}})
	}
	return days, rows
}

// Van Wagner and Pickett 1985, FTR 33, sample run from 13 April: every cell equal after rounding to one decimal.
func TestSampleRun(t *testing.T) {
	days, rows := sample(t)
	season, err := Season(days, StartUp, DefaultLatitude)
	require.NoError(t, err)
	for i, row := range rows {
		s := season[i]
		for column, v := range map[string]float64{
			"ffmc": s.FFMC, "dmc": s.DMC, "dc": s.DC, "isi": s.ISI, "bui": s.BUI, "fwi": s.FWI} {
			require.InDelta(t, row.Float(column), math.Round(v*10)/10, 1e-9, "%s of %s", column, row)
		}
	}
}

// One day at full precision: doc-strings of a port accompanying Wang, Anderson and Suddaby 2015, NOR-X-424.
func TestSingleStep(t *testing.T) {
	got, err := Step(Weather{Month: time.April, Temp: 17, RH: 42, Wind: 25}, StartUp, 45.98)
	require.NoError(t, err)
	values := map[string]float64{
		"ffmc": got.FFMC, "dmc": got.DMC, "dc": got.DC, "isi": got.ISI, "bui": got.BUI, "fwi": got.FWI}
	for _, row := range published.Table(t, "fwi_single_step.csv") {
		require.InDelta(t, row.Float("value"), values[row.Text("quantity")], 1e-12, row)
	}
}

// The same day with the exact constant, as the tests of one implementation have it: 87.65, 10.78 and 10.04.
func TestExactScaleShiftsTheFirstDay(t *testing.T) {
	w := Weather{Month: time.April, Temp: 17, RH: 42, Wind: 25}
	ffmc := FFMC(w, StartUp.FFMC, Exact)
	require.InDelta(t, 87.65, ffmc, 0.005)
	isi := ISI(ffmc, w.Wind, Exact)
	require.InDelta(t, 10.78, isi, 0.005)
	bui := BUI(DMC(w, StartUp.DMC, DefaultLatitude), DC(w, StartUp.DC, DefaultLatitude))
	require.InDelta(t, 10.04, FWI(isi, bui), 0.005)
}

func number(r published.Row, column string) float64 {
	if !r.Has(column) {
		return 0
	}
	return r.Float(column)
}

// Branches the sample run never enters: regression data of an implementation, four significant digits. Its FFMC and
// ISI rows use the exact constant.
func TestBranches(t *testing.T) {
	seen := map[string]bool{}
	for _, row := range published.Table(t, "fwi_branches.csv") {
		w := Weather{Month: time.Month(number(row, "month")),
			Temp: number(row, "temp_c"), RH: number(row, "rh_pct"), Wind: number(row, "wind_kmh"), Rain: number(row, "rain_mm")}
		prev, other := number(row, "prev"), number(row, "col8")
		var got float64
		switch row.Text("component") {
		case "FFMC_K147.277":
			got = FFMC(w, prev, Exact)
		case "ISI_K147.277":
			got = ISI(prev, w.Wind, Exact)
		case "DMC":
			got = DMC(w, prev, other)
		case "DC":
			got = DC(w, prev, other)
		case "BUI":
			got = BUI(prev, other)
		case "FWI":
			got = FWI(prev, other)
		}
		require.InEpsilon(t, row.Float("expected"), got, 5.01e-4, row)
		seen[row.Text("component")] = true
	}
	require.Len(t, seen, 6)
}

// Day-length factors: FTR 35 and Lawson and Armitage 2008; at the edge of a band the band to the south counts.
func TestDayLengthTable(t *testing.T) {
	latitudes := map[string][]float64{
		"dmc_46N": {90, 46, 30.01}, "dmc_20N": {30, 20, 10.01}, "dmc_equator": {10, 0, -9.99}, "dmc_20S": {-10, -20, -29.99},
		"dmc_40S": {-30, -40, -90}, "dc_north": {90, 20.01}, "dc_equator": {20, 0, -19.99}, "dc_south": {-20, -90}}
	months := []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}
	for _, row := range published.Table(t, "fwi_daylength.csv") {
		name := row.Text("factor")
		require.NotEmpty(t, latitudes[name], name)
		for _, lat := range latitudes[name] {
			for m, column := range months {
				got := dcDayLength(lat, time.Month(m+1))
				if name[:3] == "dmc" {
					got = dmcDayLength(lat, time.Month(m+1))
				}
				require.InDelta(t, row.Float(column), got, 0, "%s %s at %g", name, column, lat)
			}
		}
	}
}

// FWI danger classes: EFFIS page, and two sets of an ECMWF text. Lower bound included, upper bound not.
func TestClassTable(t *testing.T) {
	rows := published.Table(t, "fwi_classes.csv")
	known := 0
	for _, s := range Schemes() {
		known += len(s.Classes)
	}
	require.Len(t, rows, known)
	for _, row := range rows {
		s, err := SchemeOf(row.Text("scheme"))
		require.NoError(t, err, row)
		require.Equal(t, Class{row.Text("class"), row.Float("from")}, s.Of(row.Float("from")), row)
		if row.Has("to") {
			require.Equal(t, row.Text("class"), s.Of(math.Nextafter(row.Float("to"), 0)).Name, row)
			require.NotEqual(t, row.Text("class"), s.Of(row.Float("to")).Name, row)
		}
	}
	_, err := SchemeOf("Atlantis")
	require.ErrorContains(t, err, "known are EFFIS, Canada_example, Portugal_thresholds")
}

// Rain steps are strict: 0.5, 1.5 and 2.8 mm exactly change nothing.
func TestRainThresholdsAreStrict(t *testing.T) {
	dry := Weather{Month: time.May, Temp: 15, RH: 50, Wind: 10}
	at := func(rain float64) Weather { w := dry; w.Rain = rain; return w }
	require.InDelta(t, FFMC(dry, 85, Reports), FFMC(at(0.5), 85, Reports), 0)
	require.InDelta(t, DMC(dry, 30, 46), DMC(at(1.5), 30, 46), 0)
	require.InDelta(t, DC(dry, 100, 46), DC(at(2.8), 100, 46), 0)
	require.Less(t, DMC(at(1.6), 30, 46), DMC(dry, 30, 46))
	require.Less(t, DC(at(2.9), 100, 46), DC(dry, 100, 46))
}

func TestSeasonRefusesGapsAndBadWeather(t *testing.T) {
	days, _ := sample(t)
	days[4].Day++
	_, err := Season(days, StartUp, DefaultLatitude)
	require.ErrorContains(t, err, "1985-04-18 does not follow 1985-04-16")

	_, err = Step(Weather{Month: 13, RH: 101, Wind: -1, Rain: math.NaN()}, Codes{FFMC: 102, DMC: -1, DC: -1}, 91)
	for _, what := range []string{"month", "relative humidity is 101; it goes from 0 to 100", "wind is -1; it starts at 0", "rain", "FFMC", "DMC", "DC", "latitude"} {
		require.ErrorContains(t, err, what)
	}
}

func TestIndicesStayInRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Weather{
			Month: time.Month(rapid.IntRange(1, 12).Draw(t, "month")),
			Temp:  rapid.Float64Range(-30, 45).Draw(t, "temp"),
			RH:    rapid.Float64Range(0, 100).Draw(t, "rh"),
			Wind:  rapid.Float64Range(0, 80).Draw(t, "wind"),
			Rain:  rapid.Float64Range(0, 100).Draw(t, "rain"),
		}
		codes := Codes{rapid.Float64Range(0, 101).Draw(t, "ffmc"), rapid.Float64Range(0, 500).Draw(t, "dmc"), rapid.Float64Range(0, 1000).Draw(t, "dc")}
		got, err := Step(w, codes, rapid.Float64Range(-90, 90).Draw(t, "latitude"))
		require.NoError(t, err)
		require.True(t, got.FFMC >= 0 && got.FFMC <= 101)
		for _, v := range []float64{got.DMC, got.DC, got.ISI, got.BUI, got.FWI} {
			require.True(t, v >= 0 && !math.IsInf(v, 0) && !math.IsNaN(v), "%+v", got)
		}
	})
}

func BenchmarkSeason180(b *testing.B) {
	days := make([]Noon, 180)
	for i := range days {
		days[i] = Noon{civil.Date(2026, time.April, 13) + civil.Day(i), Weather{
			Temp: 18 + 8*math.Sin(float64(i)/9), RH: 50 + 30*math.Cos(float64(i)/5), Wind: float64(5 + i%20), Rain: float64(i % 7)}}
	}
	for b.Loop() {
		if _, err := Season(days, StartUp, DefaultLatitude); err != nil {
			b.Fatal(err)
		}
	}
}
