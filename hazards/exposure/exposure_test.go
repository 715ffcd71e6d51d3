package exposure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/published"
)

func noise(t require.TestingT, texts ...string) []Exposure {
	var list []Exposure
	for _, s := range texts {
		e, err := ParseNoise(s)
		require.NoError(t, err)
		list = append(list, e)
	}
	return list
}

func vibration(t require.TestingT, texts ...string) []Exposure {
	var list []Exposure
	for _, s := range texts {
		e, err := ParseVibration(s)
		require.NoError(t, err)
		list = append(list, e)
	}
	return list
}

func rounded(v float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Round(v*scale) / scale
}

// 29 CFR 1910.95 Table G-16 and Appendix A Table G-16a: every printed figure is the formula, rounded as printed.
func TestOSHAReferenceDurations(t *testing.T) {
	for _, row := range published.Table(t, "osha_g16.csv") {
		h, err := OSHA.ReferenceHours(row.Float("level_dBA"))
		require.NoError(t, err, row)
		require.InDelta(t, row.Float("formula_h"), h, 5.01e-5, row)
		require.InDelta(t, row.Float("printed_h"), rounded(h, row.Decimals("printed_h")), 1e-9, row)
	}
}

// 29 CFR 1910.95 Appendix A, section II, Table A-1: dose to eight-hour mean.
func TestOSHADoseToTWA(t *testing.T) {
	for _, row := range published.Table(t, "osha_a1_dose_twa.csv") {
		twa, ok := OSHA.TWA(row.Float("dose_pct"))
		require.True(t, ok, row)
		require.InDelta(t, row.Float("formula_twa_dB"), twa, 5.01e-5, row)
		require.InDelta(t, row.Float("printed_twa_dB"), twa, 0.0501, row)
	}
}

// NIOSH 98-126, Table 1-1, gated at one printed unit. Rounded to the printed unit, every row is reached but 124 dBA,
// which is cut off, not rounded: that row, and only that row, differs.
func TestNIOSHDurations(t *testing.T) {
	var differ []float64
	for _, row := range published.Table(t, "niosh_durations.csv") {
		h, err := NIOSH.ReferenceHours(row.Float("level_dBA"))
		require.NoError(t, err, row)
		unit := row.Float("tolerance_s")
		require.InDelta(t, row.Float("formula_s"), 3600*h, 0.001, row)
		require.InDelta(t, row.Float("printed_total_s"), 3600*h, unit, row)
		require.InDelta(t, row.Float("printed_total_s"), 3600*row.Float("hours")+60*row.Float("minutes")+row.Float("seconds"), 0, row)
		if math.Round(3600*h/unit)*unit != row.Float("printed_total_s") {
			differ = append(differ, row.Float("level_dBA"))
		}
	}
	require.Equal(t, []float64{124}, differ)
}

// Regulations: 100 dBA may last 2 h under OSHA and 15 min under NIOSH; OSHA's action level, 85 dBA, is half a dose.
func TestCriteriaAreEightTimesApart(t *testing.T) {
	osha, err := OSHA.ReferenceHours(100)
	require.NoError(t, err)
	niosh, err := NIOSH.ReferenceHours(100)
	require.NoError(t, err)
	require.InDelta(t, 8, osha/niosh, 1e-9)
	dose, err := OSHA.Dose(noise(t, "85dBA:8h"))
	require.NoError(t, err)
	require.InDelta(t, 50, dose, 1e-9)
}

func TestDoseAddsAndStartsAtEighty(t *testing.T) {
	dose, err := OSHA.Dose(noise(t, "95dBA:2h", "90dBA:240min", "79.9dBA:8h"))
	require.NoError(t, err)
	require.InDelta(t, 100, dose, 1e-9)
	dose, err = NIOSH.Dose(noise(t, "79dBA:8h"))
	require.NoError(t, err)
	require.Zero(t, dose)
	_, ok := NIOSH.TWA(dose)
	require.False(t, ok)
	twa, ok := NIOSH.TWA(200)
	require.True(t, ok)
	require.InDelta(t, 88.01, twa, 0.005)
}

func TestNoiseAboveTheTablesIsRefused(t *testing.T) {
	_, err := OSHA.Dose(noise(t, "131dBA:1s"))
	require.ErrorContains(t, err, "131 dBA lies outside the published table, 80 to 130 dBA")
	_, err = NIOSH.ReferenceHours(135)
	require.NoError(t, err)
	_, err = NIOSH.ReferenceHours(141)
	require.Error(t, err)
	_, err = NIOSH.ReferenceHours(79)
	require.Error(t, err)
}

// UK HSE exposure points, ready-reckoner. Points and A(8) are computed cells; printed_memory is remembered, and the
// HSE rounds it, so it is compared with a tolerance.
func TestHSEPoints(t *testing.T) {
	for _, row := range published.Table(t, "hse_hav_points.csv") {
		list := vibration(t, row.Text("a_hv_ms2")+"m/s2:"+row.Text("hours")+"h")
		points := Points(list)
		require.InDelta(t, row.Float("points_exact"), points, 0.00501, row)
		require.InDelta(t, row.Float("A8_ms2"), A8(list), 5.01e-4, row)
		require.Equal(t, row.Text("zone"), Zone(points), row)
		if row.Has("printed_memory") {
			require.InDelta(t, row.Float("printed_memory"), points, 2.5, row)
		}
		require.True(t, WithinTable(list[0]), row)
	}
	require.False(t, WithinTable(vibration(t, "40.1m/s2:1h")[0]))
	require.False(t, WithinTable(vibration(t, "4m/s2:11h")[0]))
}

// Times to the two values, worked in the regulations: 4 m/s² 3.125 and 12.5 h, 5 m/s² 2 and 8 h, 3.5 m/s² 4.08 h.
func TestHoursToActionAndLimit(t *testing.T) {
	require.InDelta(t, 3.125, HoursTo(Action, 4), 1e-12)
	require.InDelta(t, 12.5, HoursTo(Limit, 4), 1e-12)
	require.InDelta(t, 2, HoursTo(Action, 5), 1e-12)
	require.InDelta(t, 8, HoursTo(Limit, 5), 1e-12)
	require.InDelta(t, 4.08, HoursTo(Action, 3.5), 0.005)
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0.1, 40).Draw(t, "a")
		for daily, points := range map[float64]float64{Action: ActionPoints, Limit: LimitPoints} {
			require.InDelta(t, points, 2*a*a*HoursTo(daily, a), 1e-6)
		}
	})
}

func TestVibrationAddsByPoints(t *testing.T) {
	list := vibration(t, "5m/s2:3h", "4m/s2:60min")
	require.InDelta(t, 182, Points(list), 1e-9)
	require.InDelta(t, 2.5*math.Sqrt(1.82), A8(list), 1e-9) // A(8) = 2.5 √(points/100), HSE
}

func number(r published.Row, column string) float64 {
	if !r.Has(column) {
		return 0
	}
	return r.Float(column)
}

// Level at the ear: EN ISO 4869-2, 29 CFR 1910.95 Appendix B, field practice, CSA Z94.2-14, NIOSH 98-126.
func TestHearingProtectorTable(t *testing.T) {
	byName := map[string]Method{}
	for _, m := range Methods() {
		byName[m.Name] = m
	}
	for _, row := range published.Table(t, "hearing_protector.csv") {
		m, ok := byName[row.Text("method")]
		require.True(t, ok, row)
		got := m.AtEar(Protector{
			LevelA: number(row, "level_a"), LevelC: number(row, "level_c"), Rating: number(row, "rating"),
			High: number(row, "h"), Medium: number(row, "m"), Low: number(row, "l")})
		require.InDelta(t, row.Float("level_at_ear"), got, 1e-9, row)
		require.Equal(t, row.Has("level_at_ear_plus4"), m.AddsRealWorld(), row)
		if m.AddsRealWorld() {
			require.InDelta(t, row.Float("level_at_ear_plus4"), rounded(got+RealWorld, 1), 1e-9, row)
		}
	}
}

// The two branches of HML meet where C and A differ by 2 dB, at M; with little low frequency the protector does better.
func TestHMLBranchesMeetAtM(t *testing.T) {
	p := Protector{LevelA: 96, LevelC: 98, High: 30, Medium: 24, Low: 22}
	require.InDelta(t, 72, hml(p), 1e-9)
	p.LevelC = 94 // C below A by 2: four dB less, one full step towards H
	require.InDelta(t, 96-30, hml(p), 1e-9)
}

func TestParseRefusals(t *testing.T) {
	for text, says := range map[string]string{
		"95dBA":       "has no time",
		"95:2h":       `"95" has no unit`,
		"95dBC:2h":    "is not A-weighted",
		"95dB:2h":     "is not A-weighted",
		"-95dBA:2h":   "is negative",
		"95dBA:-2h":   "is negative",
		"95dBA:2":     `"2" has no unit`,
		"NaNdBA:2h":   "is not a number",
		"95dBA:2h:3h": "is not a unit of time",
		"5m/s2:2h":    "is not a unit of sound level",
	} {
		_, err := ParseNoise(text)
		require.ErrorContains(t, err, says, text)
	}
	_, err := ParseVibration("5:3")
	require.ErrorContains(t, err, `"5" has no unit`)
	require.ErrorContains(t, err, `"3" has no unit`)
}

// Whatever is read can be written and read again, and is a finite number of hours.
func FuzzParseExposure(f *testing.F) {
	for _, s := range []string{"95dBA:2h", "5m/s2:3h", "95 dBA : 20 min", "1e3dBA:2h", ":", "95dBA:", "-1m/s2:0s", "+0m/s2:-0h"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, parse := range []func(string) (Exposure, error){ParseNoise, ParseVibration} {
			e, err := parse(s)
			if err != nil {
				continue
			}
			again, err := parse(e.String())
			require.NoError(t, err)
			require.Equal(t, e, again)
			require.False(t, e.Hours() < 0 || math.IsNaN(e.Hours()) || math.IsInf(e.Hours(), 0))
		}
	})
}

func BenchmarkDose(b *testing.B) {
	list := noise(b, "95dBA:2h", "100dBA:3h", "82dBA:3h")
	for b.Loop() {
		if _, err := OSHA.Dose(list); err != nil {
			b.Fatal(err)
		}
	}
}

// Feet per second squared are told apart from metres: 16.404199475 ft/s² are 5 m/s² (1 ft = 0.3048 m).
func TestVibrationInFeet(t *testing.T) {
	feet, err := ParseVibration("16.404199475ft/s2:3h")
	require.NoError(t, err)
	metres, err := ParseVibration("5m/s2:3h")
	require.NoError(t, err)
	require.InDelta(t, A8([]Exposure{metres}), A8([]Exposure{feet}), 1e-8)
	require.InDelta(t, Points([]Exposure{metres}), Points([]Exposure{feet}), 1e-6)
	beyond, err := ParseVibration("132ft/s2:1h") // 40.2 m/s²
	require.NoError(t, err)
	require.False(t, WithinTable(beyond))
	require.True(t, WithinTable(feet))
}

// EN ISO 4869-2 names the ratings after high, medium and low frequency.
func TestRatingsFallFromHToL(t *testing.T) {
	require.NoError(t, Protector{High: 30, Medium: 24, Low: 22}.Falling())
	require.NoError(t, Protector{High: 20, Medium: 20, Low: 20}.Falling())
	require.ErrorContains(t, Protector{High: 20, Medium: 24, Low: 30}.Falling(), "do not fall from H to L")
	require.Error(t, Protector{High: 30, Medium: 20, Low: 24}.Falling())
}
