package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/published"
)

// runCalc runs one command line of calc, without a book, and returns its exit code, results and errors.
func runCalc(args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	at := time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)
	code = run(context.Background(), env{in: strings.NewReader(""), out: &o, err: &e,
		getenv: func(string) string { return "" }, now: func() time.Time { return at }}, append([]string{"calc"}, args...))
	return code, o.String(), e.String()
}

// calcRead is the published JSON form as a script reads it.
type calcRead struct {
	Format  string            `json:"format"`
	Name    string            `json:"name"`
	Inputs  map[string]any    `json:"inputs"`
	Results map[string]any    `json:"results"`
	Units   map[string]string `json:"units"`
	Source  []string          `json:"source"`
	Notes   []string          `json:"notes"`
}

// calcJSON runs a calculation written as one line, demands the exit code, and reads its object strictly.
func calcJSON(t *testing.T, want int, line string) calcRead {
	t.Helper()
	code, out, errs := runCalc(append(strings.Fields(line), "--json")...)
	require.Equal(t, want, code, "%s: %s", line, errs)
	require.Empty(t, errs, line)
	dec := json.NewDecoder(strings.NewReader(out))
	dec.DisallowUnknownFields()
	var got calcRead
	require.NoError(t, dec.Decode(&got), out)
	require.Equal(t, "ringtrue/calc/1", got.Format)
	require.Equal(t, strings.Fields(line)[0], got.Name)
	require.NotNil(t, got.Source, out)
	require.NotNil(t, got.Notes, out)
	return got
}

// calcContract is the table of calculations that others script against: a line that works, and the results it gives.
var calcContract = []struct{ line, results string }{
	{"slope --percent 38", "percent degrees"},
	{"slope --degrees 21", "percent degrees"},
	{"windchill --temp -20C --wind 30km/h", "wind_chill"},
	{"windchill --temp 0F --wind 15mph", "wind_chill"},
	{"humidex --temp 30C --rh 70", "humidex"},
	{"humidex --temp 30C --dewpoint 15C", "humidex"},
	{"heatindex --temp 90F --rh 70", "heat_index heat_index_adjusted"},
	{"wbgt --metabolic 300W", "rel ral"},
	{"fwi --temp 17C --rh 42 --wind 25km/h --rain 0mm --month 4 --ffmc 85 --dmc 6 --dc 15", "ffmc dmc dc isi bui fwi"},
	{"fwi --temp 17C --rh 42 --wind 25km/h --rain 0mm --month 4 --ffmc 85 --dmc 6 --dc 15 --latitude -20", "ffmc dmc dc isi bui fwi"},
	{"noise --criterion osha --exposure 95dBA:2h", "dose_percent twa_dba reference_hours"},
	{"noise --criterion niosh --exposure 95dBA:2h --exposure 90dBA:30min", "dose_percent twa_dba reference_hours"},
	{"protector --method snr --level-c 97 --rating 28", "level_at_ear"},
	{"vibration --exposure 5m/s2:3h", "a8 points hours_to_action hours_to_limit"},
	{"walk --slope -5deg --distance 800m --climb 120m", "speed_kmh pace_s_per_m minutes naismith_minutes"},
	{"light --lat 51.5 --lon -0.1333 --date 2026-06-21 --tz +01:00", "sunrise sunset noon dawn dusk"},
	{"blade --diameter 225mm --speed 9000rpm --mass 350g", "edge_speed_ms energy_j"},
	{"matrix --severity 2 --probability C", "level"},
	{"fuel --engine-hours 6h --burn 0.9L/h --tank 0.9L --ratio 50 --reserve 20", "tanks refuels fuel_l oil_l filings"},
	{"transport --jurisdiction bc --fuel 40L", "regime cans container_kg container_kg_limit gross_kg gross_kg_limit over"},
	{"transport --jurisdiction us-wa --fuel 40L --can 20L --can-mass 3kg", "regime cans container_l container_l_limit gross_kg gross_kg_limit over"},
	{"transport --jurisdiction Sweden --fuel 40L", "regime cans fuel_l fuel_l_limit points points_limit container_l container_l_limit over"},
	{"plot --stems 12,9,14 --area 50m2", "stems_per_ha low high"},
	{"plot --stems 12,9,14 --area 50m2 --slope 30%", "stems_per_ha low high radius_m slope_radius_m"},
	{"spacing --spacing 2m", "spacing_m stems_per_ha triangular_m"},
	{"spacing --density 1300", "spacing_m stems_per_ha triangular_m"},
	{"harness --hook 12cm --height 35cm --tilt 2deg --tank full", "hook height tilt outside"},
	{"harness --hook 12cm --height 35cm --tilt 2deg --elbow 125deg --wrist 5deg --tank full", "hook height elbow tilt wrist outside"},
	{"agreement --table 20,5,10,15", "observed expected kappa"},
	{"proportion --successes 81 --trials 263", "low high"},
}

func TestCalcKeepsItsContract(t *testing.T) {
	tried := map[string]bool{}
	for _, c := range calcContract {
		got := calcJSON(t, exitDone, c.line)
		names := strings.Fields(c.results)
		require.Len(t, got.Results, len(names), c.line)
		require.Len(t, got.Units, len(names), c.line)
		for _, n := range names {
			require.NotNil(t, got.Results[n], "%s: %s", c.line, n)
			require.Contains(t, got.Units, n, c.line)
		}
		require.NotEmpty(t, got.Source, c.line)
		require.NotEmpty(t, got.Inputs, c.line)
		tried[got.Name] = true
	}
	require.Len(t, tried, len(calculations), "every calculation is in the table")
}

// The object is pinned byte by byte, in the order of the table.
func TestCalcObjectIsPinned(t *testing.T) {
	_, out, _ := runCalc("agreement", "--table", "20, 0,0,0", "--json")
	require.Equal(t, `{"format":"ringtrue/calc/1","name":"agreement","inputs":{"table":"20,0,0,0"},"results":{"observed":1,"expected":1,"kappa":null},`+
		`"units":{"observed":"","expected":"","kappa":""},"source":["Cohen 1960, a coefficient of agreement for nominal scales (formula read in restatements)"],`+
		`"notes":["kappa is not defined where chance alone would make them agree every time"]}`+"\n", out)
	_, out, _ = runCalc("walk", "--climb", "9m", "--json")
	require.Equal(t, `{"format":"ringtrue/calc/1","name":"walk","inputs":{"climb":"9m"},"results":{},"units":{},"source":[],"notes":["nothing to compute: give --slope, or --distance with --climb"]}`+"\n", out)
}

func TestCalcEchoesInputsWithTheirUnit(t *testing.T) {
	got := calcJSON(t, exitDone, "fwi --temp 62.6F --rh 42% --wind 25km/h --rain 0.28cm --month 4 --ffmc 85 --dmc 6 --dc 15 --latitude 46deg")
	require.Equal(t, map[string]any{"temp": "62.6F", "rh": "42%", "wind": "25km/h", "rain": "0.28cm", "month": "4",
		"ffmc": "85", "dmc": "6", "dc": "15", "latitude": "46deg"}, got.Inputs)
	got = calcJSON(t, exitDone, "noise --criterion osha --exposure 95dBA:2h --exposure 90dBA:30min")
	require.Equal(t, map[string]any{"criterion": "osha", "exposure": []any{"95dBA:2h", "90dBA:30min"}}, got.Inputs)
	got = calcJSON(t, exitDone, "protector --method hml --level-a 96dBA --level-c 99 --high 30 --medium 24 --low 22dB")
	require.Equal(t, map[string]any{"method": "hml", "level-a": "96dBA", "level-c": "99dBC", "high": "30dB", "medium": "24dB", "low": "22dB"}, got.Inputs)
}

func TestCalcHelpExamplesRun(t *testing.T) {
	for _, one := range calculations {
		for _, line := range strings.Split(one.example, "\n") {
			code, _, errs := runCalc(strings.Fields(strings.TrimPrefix(line, "ringtrue calc "))...)
			require.Equal(t, exitDone, code, "%s: %s", line, errs)
		}
		code, out, _ := runCalc(one.name, "--help")
		require.Equal(t, exitDone, code)
		require.Contains(t, out, one.example[:strings.IndexByte(one.example+"\n", '\n')])
	}
}

// calcValue runs a calculation and gives one number of its results.
func calcValue(t *testing.T, line, result string) float64 {
	t.Helper()
	v, ok := calcJSON(t, exitDone, line).Results[result].(float64)
	require.True(t, ok, "%s: %s is no number", line, result)
	return v
}

// Values worked by hand or printed in the sources; each calculation once, at the command line.
func TestCalcValues(t *testing.T) {
	for _, c := range []struct {
		line, result string
		want, within float64
	}{
		{"slope --degrees 15", "percent", 26.8, 0.05},
		{"slope --percent -100", "degrees", -45, 1e-9},
		{"windchill --temp -20C --wind 30km/h", "wind_chill", -33, 0.5},
		{"windchill --temp -4F --wind 18.641mph", "wind_chill", -32.6*1.8 + 32, 0.5},
		{"humidex --temp 30C --dewpoint 15C", "humidex", 34, 0.5},
		{"humidex --temp 25C --rh 5", "humidex", 25, 0},
		{"humidex --temp 86F --rh 70", "humidex", 41, 0.5},
		{"heatindex --temp 90F --rh 70", "heat_index", 106, 0.5},
		{"heatindex --temp 80F --rh 100", "heat_index_adjusted", 89.288, 0.0005},
		{"heatindex --temp 35C --rh 10", "heat_index_adjusted", (89.45 - 32) / 1.8, 0.0005},
		{"wbgt --metabolic 0.3kW", "rel", 28.21, 0.005},
		{"noise --criterion osha --exposure 95dBA:2h", "dose_percent", 50, 1e-9},
		{"noise --criterion niosh --exposure 100dBA:15min", "dose_percent", 100, 1e-9},
		{"noise --criterion niosh --exposure 100dBA:15min", "reference_hours", 0.25, 1e-9},
		{"protector --method osha_field --level-a 100 --rating 25", "level_at_ear", 91, 1e-9},
		{"protector --method niosh_plug --level-a 100 --rating 25", "level_at_ear", 99.5, 1e-9},
		{"vibration --exposure 4m/s2:180min", "hours_to_action", 3.125, 1e-9},
		{"walk --slope -5%", "speed_kmh", 6, 1e-9},
		{"walk --slope 0% --distance 5.04km", "minutes", 60, 0.1},
		{"walk --distance 5km --climb 600m", "naismith_minutes", 120, 1e-9},
		{"blade --diameter 225mm --speed 9000rpm --mass 350g", "energy_j", 984, 0.5},
		{"fuel --engine-hours 6h --burn 0.9L/h --tank 0.9L --ratio 50:1 --reserve 20%", "oil_l", 6.48 / 51, 1e-9},
		{"fuel --engine-hours 3h --burn 0.1L/h --tank 0.3L --ratio 50 --reserve 0", "refuels", 0, 0},
		{"fuel --engine-hours 5.5h --burn 0.9L/h --tank 0.9L --ratio 50 --reserve 0", "refuels", 5, 0},
		{"fuel --engine-hours 6h --burn 0.9L/h --tank 0.9L --ratio 50 --reserve 20", "filings", 2, 0},
		{"transport --jurisdiction bc --fuel 40L --can 20L --can-mass 3kg", "gross_kg", 40*0.76 + 2*3, 1e-9}, // petrol of 0.76 kg/L
		{"transport --jurisdiction bc --fuel 40L --can 20L --can-mass 3kg", "container_kg", 20*0.76 + 3, 1e-9},
		{"transport --jurisdiction bc --fuel 40L --can 20L --can-mass 3kg", "over", 0, 0},
		{"transport --jurisdiction ca --fuel 100L --can 40L --can-mass 5kg", "cans", 3, 0},
		{"transport --jurisdiction us --fuel 62L --can 31L --can-mass 3kg", "over", 1, 0}, // more than 30 L in one
		{"transport --jurisdiction se --fuel 334L --can 20L", "points", 1002, 1e-9},       // 3 a litre
		{"transport --jurisdiction se --fuel 334L --can 20L", "over", 2, 0},
		{"plot --stems 12,9,14 --area 0.005ha", "stems_per_ha", 7000.0 / 3, 1e-9},
		{"agreement --table 45,15,25,15", "kappa", 0.1304, 0.00005},
		{"proportion --successes 29 --trials 29", "high", 1, 0},
	} {
		require.InDelta(t, c.want, calcValue(t, c.line, c.result), c.within, "%s: %s", c.line, c.result)
	}
	lower := calcJSON(t, exitDone, "matrix --severity 2 --probability c")
	require.Equal(t, "Serious", lower.Results["level"])
	require.Equal(t, "C", lower.Inputs["probability"])
}

// FTR 33, sample run, carried on from day to day through the command line as a script would.
func TestCalcCarriesTheFireSeason(t *testing.T) {
	ffmc, dmc, dc := 85.0, 6.0, 15.0
	for _, row := range published.Table(t, "fwi_sample.csv") {
		got := calcJSON(t, exitDone, fmt.Sprintf("fwi --temp %sC --rh %s --wind %skm/h --rain %smm --month %s --ffmc %s --dmc %s --dc %s",
			row.Text("temp_c"), row.Text("rh_pct"), row.Text("wind_kmh"), row.Text("rain_mm"), row.Text("month"), exact(ffmc), exact(dmc), exact(dc)))
		require.Len(t, got.Results, 6, row)
		for name, v := range got.Results {
			require.InDelta(t, row.Float(name), v, 0.0501, "%s of %s", name, row)
		}
		ffmc, dmc, dc = got.Results["ffmc"].(float64), got.Results["dmc"].(float64), got.Results["dc"].(float64)
	}
}

func exact(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// A rain threshold stays one when rain is told in another unit: 0.28 cm is 2.8 mm, which does not wet the deep layer.
func TestCalcThresholdsSurviveUnits(t *testing.T) {
	rest := " --temp 17C --rh 42 --wind 25km/h --month 5 --ffmc 85 --dmc 30 --dc 200"
	for _, rain := range []string{"2.8mm", "0.28cm", "0.0028m"} {
		require.InDelta(t, calcValue(t, "fwi --rain 0mm"+rest, "dc"), calcValue(t, "fwi --rain "+rain+rest, "dc"), 0, rain)
	}
	calcJSON(t, exitDone, "windchill --temp 10C --wind 5km/h")
	calcJSON(t, exitDone, "windchill --temp 50F --wind 3mph")
	calcJSON(t, exitDone, "heatindex --temp 26.6666666666667C --rh 50")
}

func TestCalcSeveralExposures(t *testing.T) {
	got := calcJSON(t, exitDone, "noise --criterion osha --exposure 95dBA:2h --exposure 79dBA:6h")
	require.InDelta(t, 50, got.Results["dose_percent"], 1e-9)
	require.Equal(t, []any{4.0, nil}, got.Results["reference_hours"])
	got = calcJSON(t, exitDone, "noise --criterion niosh --exposure 79.9dBA:8h")
	require.Equal(t, map[string]any{"dose_percent": 0.0, "twa_dba": nil, "reference_hours": nil}, got.Results)
	require.Len(t, got.Notes, 2)

	got = calcJSON(t, exitDone, "vibration --exposure 5m/s2:3h --exposure 4m/s2:1h")
	require.Nil(t, got.Results["hours_to_action"])
	require.Nil(t, got.Results["hours_to_limit"])
	require.InDelta(t, 182, got.Results["points"], 1e-9)
	got = calcJSON(t, exitDone, "vibration --exposure 0m/s2:3h")
	require.Nil(t, got.Results["hours_to_action"])
}

func TestCalcNullsAndWhatIsLeftOut(t *testing.T) {
	got := calcJSON(t, exitDone, "heatindex --temp 70F --rh 50")
	require.Nil(t, got.Results["heat_index"])
	require.InDelta(t, 69.525, got.Results["heat_index_adjusted"], 1e-9)
	got = calcJSON(t, exitDone, "plot --stems 12 --area 50m2")
	require.Equal(t, map[string]any{"stems_per_ha": 2400.0, "low": nil, "high": nil}, got.Results)
	for line, names := range map[string][]string{
		"walk --distance 1km": {}, "walk --climb 100m": {}, "walk --slope 60%": {"pace_s_per_m", "speed_kmh"},
		"walk --slope 5% --climb 100m": {"pace_s_per_m", "speed_kmh"},
	} {
		got := calcJSON(t, exitDone, line)
		require.Len(t, got.Results, len(names), line)
		for _, n := range names {
			require.Contains(t, got.Results, n, line)
		}
		require.NotEmpty(t, got.Notes, line)
	}
}

func TestCalcLight(t *testing.T) {
	got := calcJSON(t, exitDone, "light --lat 51.5 --lon -0.1333333 --date 2015-01-01 --tz +00:00")
	for name, clock := range map[string]string{"sunrise": "08:06", "sunset": "16:01"} { // a public almanac site, to the minute
		at, err := time.Parse(time.RFC3339, got.Results[name].(string))
		require.NoError(t, err)
		want, err := time.Parse("2006-01-02 15:04 -07:00", "2015-01-01 "+clock+" +00:00")
		require.NoError(t, err)
		require.WithinDuration(t, want, at, time.Minute, name)
	}
	require.Regexp(t, `^2026-06-21T\d\d:\d\d:\d\d\+01:00$`, calcJSON(t, exitDone, calcContract[15].line).Results["noon"])

	polar := calcJSON(t, exitDone, "light --lat 69.65 --lon 18.96 --date 2026-06-21 --tz +02:00")
	require.Nil(t, polar.Results["sunrise"])
	require.Nil(t, polar.Results["dusk"])
	require.NotNil(t, polar.Results["noon"])
	require.Contains(t, strings.Join(polar.Notes, "\n"), "polar day")
	night := calcJSON(t, exitDone, "light --lat 69.65 --lon 18.96 --date 2026-12-21 --tz +01:00")
	require.Nil(t, night.Results["sunset"])
	require.NotNil(t, night.Results["dawn"])
	require.Contains(t, strings.Join(night.Notes, "\n"), "polar night")
	far := calcJSON(t, exitDone, "light --lat 45 --lon -105 --date 2026-06-21 --tz Z")
	require.Contains(t, strings.Join(far.Notes, "\n"), "sunset falls on another day")
}

// Outside the published range: an object without results and exit 1; in text, words on the error stream.
func TestCalcOutsideThePublishedRange(t *testing.T) {
	for _, line := range []string{
		"windchill --temp 10.1C --wind 30km/h", "windchill --temp 0C --wind 4.9km/h", "windchill --temp 51F --wind 10mph",
		"windchill --temp 20F --wind 2mph", "windchill --temp -51C --wind 10km/h", "humidex --temp 15C --rh 50", "heatindex --temp 113F --rh 20",
		"wbgt --metabolic 100W", "wbgt --metabolic 600W", "noise --criterion osha --exposure 131dBA:1s",
		"noise --criterion niosh --exposure 141dBA:1s", "vibration --exposure 41m/s2:1h", "vibration --exposure 4m/s2:11h",
		"light --lat 45 --lon 5 --date 1850-05-01 --tz +01:00", "transport --jurisdiction nz --fuel 40L", "transport --jurisdiction ilo --fuel 40L",
	} {
		got := calcJSON(t, exitRefused, line)
		require.Empty(t, got.Results, line)
		require.NotNil(t, got.Results, line)
		require.NotNil(t, got.Units, line)
		require.NotEmpty(t, got.Notes, line)
		require.NotEmpty(t, got.Inputs, line)

		code, out, errs := runCalc(strings.Fields(line)...)
		require.Equal(t, exitRefused, code, line)
		require.Empty(t, out, line)
		require.Contains(t, errs, "outside the published", line)
	}
}

// What cannot be understood names its flag and what to write, all of it at once, with exit 2 and nothing printed.
func TestCalcRefusals(t *testing.T) {
	for line, says := range map[string][]string{
		"windchill --temp 20 --wind 30":                  {`--temp: "20" has no unit; write for example`, `--wind: "30" has no unit`},
		"windchill --temp -20C --wind 30m":               {`--wind: "m" is not a unit of speed`},
		"windchill --temp -300C --wind -3km/h":           {`--temp: "-300C" is not above absolute zero`, `--wind: "-3km/h" is negative; write for example 30km/h`},
		"windchill":                                      {"--temp is missing; write for example --temp -20C", "--wind is missing"},
		"windchill --temp NaNC --wind 3km/h":             {`--temp: "NaNC" is not a number`},
		"windchill --temp -20C --temp -25C --wind 9km/h": {"--temp is given 2 times"},
		"slope":                             {"--percent or --degrees: give one of them"},
		"slope --percent 3 --degrees 2":     {"--percent or --degrees: give one of them"},
		"slope --percent 21deg":             {`--percent: "21deg" is not a number in %; write for example 38`},
		"slope --percent inf":               {"--percent"},
		"slope --degrees 90":                {"--degrees"},
		"humidex --temp 30C --rh 101":       {`--rh: "101" is out of range: 0 to 100 %; write for example 70`},
		"humidex --temp 30C":                {"--rh or --dewpoint"},
		"humidex --temp 30C --dewpoint 31C": {"--dewpoint: 31C is above the air temperature, 30C"},
		"wbgt --metabolic 300":              {`--metabolic: "300" has no unit; write for example 300W`},
		"fwi --temp 17C --rh 42 --wind 25km/h --rain 0 --month 13": {"--rain", `--month: "13" is out of range: 1 to 12`, "--ffmc is missing", "--dmc is missing", "--dc is missing"},
		"fwi --ffmc 102 --latitude 91":                             {"--ffmc", "--latitude"},
		"noise --criterion oshe --exposure 95:2h":                  {`--criterion: "oshe" is not known; nearest: osha`, `--exposure: "95" has no unit`},
		"noise --criterion osha --exposure 95dBC:2h":               {"not A-weighted"},
		"noise --criterion osha --exposure 95dBA:-2h":              {"negative"},
		"vibration --exposure 5m/s2":                               {`--exposure: "5m/s2" has no time; write for example 5m/s2:3h`},
		"protector --method full":                                  {`--method: "full" is not known`, "write one of snr, hml"},
		"protector --method hml --level-a 96":                      {"--level-c is missing", "--high is missing", "--medium is missing", "--low is missing"},
		"protector --method osha_a --level-a 96dBC --rating -3":    {"--level-a", "--rating"},
		"walk":                          {"nothing is given; write for example --slope -5deg, or --distance 800m with --climb 120m"},
		"walk --slope 5 --distance -1m": {`--slope: "5" has no unit`, "--distance"},
		"light --lat 91 --lon 181 --date 2026-02-30 --tz +1":          {"--lat", "--lon", `--date: "2026-02-30" is not a day that exists`, `--tz: "+1" is not an offset`},
		"light --lat 45 --lon 5 --date 2026-05-01 --tz +15:00":        {"--tz"},
		"blade --diameter 0mm --speed 9000 --mass 350g":               {"--diameter", `--speed: "9000" has no unit`},
		"matrix --severity 5 --probability G":                         {"--severity", "--probability"},
		"fuel --engine-hours 6h --burn 0.9L/h --tank 0L --ratio 1:50": {"--tank", "--ratio", "--reserve is missing"},
		"transport --jurisdiction bcc --fuel 40":                      {`--jurisdiction: "bcc" is not a place in the list; nearest: bc`, `--fuel: "40" has no unit`},
		"transport --fuel -1L --can 0L --can-mass -1kg":               {"--jurisdiction is missing", "--fuel", "--can:", "--can-mass"},
		"plot --stems 12,,9 --area 50":                                {"--stems", "--area"},
		"agreement --table 1,2,3":                                     {`--table: "1,2,3" holds 3 numbers, not 4`},
		"agreement --table 0,0,0,0":                                   {"--table: holds no case"},
		"proportion --successes 5 --trials 4":                         {"--successes: 5 is more than the 4 trials"},
		"proportion --successes 0 --trials 0":                         {"--trials"},
		"slope 38":                                                    {"wants no arguments"},
		"slop":                                                        {`unknown command "slop"`, "nearest: ringtrue calc slope"},
	} {
		code, out, errs := runCalc(strings.Fields(line)...)
		require.Equal(t, exitUsage, code, "%s: %s", line, errs)
		require.Empty(t, out, line)
		for _, s := range says {
			require.Contains(t, errs, s, line)
		}
		code, out, errs = runCalc(append(strings.Fields(line), "--json")...)
		require.Equal(t, exitUsage, code, line)
		require.Empty(t, out, line)
		require.True(t, json.Valid([]byte(errs)), errs)
	}
}

func TestCalcTextIsATableWithNotesAndSourcesAfter(t *testing.T) {
	code, out, errs := runCalc("protector", "--method", "hml", "--level-a", "96", "--level-c", "99", "--high", "30", "--medium", "24", "--low", "22", "--rating", "3")
	require.Equal(t, exitDone, code, errs)
	require.Equal(t, `RESULT	VALUE	UNIT
level_at_ear	72.3	dBA
# note: the UK HSE adds 4 dB for how protectors are worn: 76.3 dBA
# note: --rating is not used by hml
# source: EN ISO 4869-2 (worked example read in a restatement)
`, out)
	_, out, _ = runCalc("noise", "--criterion", "osha", "--exposure", "95dBA:2h", "--exposure", "70dBA:2h")
	require.Contains(t, out, "reference_hours\t4.00, none\th\n")
	_, out, _ = runCalc("slope", "--percent", "-0.01")
	require.Contains(t, out, "percent\t0.0\t%\n")
}

// Numbers so large that a result overflows are refused, not printed.
func TestCalcRefusesOverflow(t *testing.T) {
	var a calcAnswer
	a.add("edge_speed_ms", math.Inf(1), "m/s", 1)
	require.ErrorContains(t, a.finite(), "edge_speed_ms cannot be computed for numbers of that size")
	for _, line := range []string{"blade --diameter 225mm --mass 350g --speed 1" + strings.Repeat("0", 200) + "rpm",
		"fuel --engine-hours 1000000000h --burn 0.9L/h --tank 0.1L --ratio 50 --reserve 0"} {
		code, out, errs := runCalc(strings.Fields(line)...)
		require.Equal(t, exitUsage, code)
		require.Empty(t, out)
		require.Contains(t, errs, "is out of range: 0 to")
	}
}

// Whatever stands behind a flag, the command ends with 0, 1 or 2, and prints one JSON object where it ends with 0 or 1.
func FuzzCalcFlags(f *testing.F) {
	for _, s := range []string{"38", "-5deg", "95dBA:2h", "20,5,10,15", "2026-02-29", "+01:00", "osha", "", "1e9", "NaN", ":", ",", "0x1p-2C"} {
		f.Add(s)
	}
	lines := [][]string{
		{"slope", "--percent="}, {"walk", "--slope="}, {"wbgt", "--metabolic="}, {"noise", "--criterion=osha", "--exposure="},
		{"vibration", "--exposure="}, {"agreement", "--table="}, {"plot", "--area=50m2", "--stems="},
		{"light", "--lat=45", "--lon=5", "--tz=+01:00", "--date="}, {"light", "--lat=45", "--lon=5", "--date=2026-05-01", "--tz="},
		{"matrix", "--severity=2", "--probability="}, {"proportion", "--trials=5", "--successes="},
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, line := range lines {
			args := append(slices.Clone(line), "--json")
			args[len(line)-1] += s
			code, out, _ := runCalc(args...)
			require.Contains(t, []int{exitDone, exitRefused, exitUsage}, code, args)
			require.Equal(t, code != exitUsage, json.Valid([]byte(out)), "%q: %s", args, out)
		}
	})
}

// Small loads of petrol by road: 49 CFR 173.6, TDG Regulations SOR/2001-286, ADR 1.1.3.6: the limit of every row that is about petrol
// in cans stands in the results, with its clause and how far it was read among the sources.
func TestCalcTransportLimitsAreThoseOfTheTable(t *testing.T) {
	places, n := map[string]string{"US": "us", "CA": "ca", "ADR": "eu"}, 0
	for _, row := range published.Table(t, "fuel_transport.csv") {
		got := calcJSON(t, exitDone, "transport --jurisdiction "+places[row.Text("regime")]+" --fuel 40L")
		for _, source := range got.Source {
			figure, about, _ := strings.Cut(source, ": ")
			if about == fmt.Sprintf("%s, %s (%s)", row.Text("item"), row.Text("citation"), row.Text("status")) {
				n++
				require.Equal(t, row.Float("value"), got.Results[figure], row)
				require.Equal(t, row.Text("unit"), got.Units[figure], row)
			}
		}
	}
	require.Equal(t, 7, n, "rows about petrol in cans")
}
