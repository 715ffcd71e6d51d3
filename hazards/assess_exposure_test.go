package hazards

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/published"
)

// planned lets luis plan so long at the trigger with a saw of such figures.
func planned(t testing.TB, trigger, vibration, noise, ears string) Input {
	in := easyMorning(t)
	in.House = withRule(t, in.House, house.VibrationAdds, "0%") // so that the published times can be met
	in.Sheet.Crew[1].Trigger, in.Sheet.Crew[1].Ears = trigger, ears
	in.Sheet.Saws[0].Vibration, in.Sheet.Saws[0].Noise = vibration, noise
	return in
}

// UK HSE: 4 m/s² reach the action value after 3.1 h; 5 m/s² after 2 h and the limit after 8 h; 8 m/s² after 0.8 h and 3.1 h.
func TestVibrationTimes(t *testing.T) {
	for _, c := range []struct {
		trigger, vibration string
		effect             Effect
		says               string
	}{
		{"3h", "4m/s2", "", ""},
		{"3.2h", "4m/s2", Watch, "Time to the action value 3 h 07 min; never beyond 12 h 30 min."},
		{"2h", "5m/s2", "", ""},
		{"121min", "5m/s2", Watch, "Time to the action value 2 h; never beyond 8 h. Planned is 121min, A(8)"},
		{"3h", "8m/s2", Watch, "Time to the action value 46 min; never beyond 3 h 07 min."},
		{"3.2h", "8m/s2", StopPerson, "A(8) 5.1m/s2"},
	} {
		in := planned(t, c.trigger, c.vibration, "", "")
		a := Assess(in)
		if c.effect == "" {
			require.Empty(t, findings(a, "vibration"), c)
			continue
		}
		f := oneFinding(t, a, "vibration")
		require.Equal(t, c.effect, f.Effect, c)
		require.Equal(t, "p2", f.Subject)
		require.Contains(t, f.What, c.says)
		require.Contains(t, f.House, "house rule vibration-action 2.5m/s2, edition starter-2")
		require.Equal(t, c.effect == StopPerson, len(a.May[1].Stopped) > 0)
		require.Equal(t, Go, a.Answer, "the others may saw")
	}
}

func TestVibrationUncertaintyAndPlanningFigure(t *testing.T) {
	in := planned(t, "100min", "4m/s2", "", "")
	require.Empty(t, findings(Assess(in), "vibration"))
	in.House = starter(t)
	require.Contains(t, oneFinding(t, Assess(in), "vibration").What, "4m/s2 told, 5.6m/s2 with 40% for uncertainty")
	in = planned(t, "6h", "", "", "")
	f := oneFinding(t, Assess(in), "vibration")
	require.Equal(t, Watch, f.Effect, "a planning figure stops nobody")
	require.Contains(t, f.What, "10m/s2, the planning figure, because none is told for this saw")
	in.KnownSaws = []KnownSaw{{ID: "S11", Vibration: "5m/s2"}, {ID: "S12"}}
	require.Contains(t, oneFinding(t, Assess(in), "vibration").What, "5m/s2 told", "from the saw's card")
}

// Where Directive 2002/44/EC is law no house figure is looser than 2.5 and 5 m/s².
func TestVibrationLawIsNeverLoosened(t *testing.T) {
	in := planned(t, "6h", "6m/s2", "", "")
	in.House = withRule(t, withRule(t, in.House, house.VibrationAction, "6m/s2"), house.VibrationLimit, "9m/s2")
	require.Empty(t, findings(Assess(in), "vibration"))
	in.House = under(t, in.House, "se")
	require.Equal(t, StopPerson, oneFinding(t, Assess(in), "vibration").Effect)
}

// 29 CFR 1910.95 Table G-16: 95 dBA may last 4 h; the action level is half that dose. NIOSH 98-126: 94 dBA 1 h, 100 dBA 15 min.
func TestNoiseByTheCriterionOfThePlace(t *testing.T) {
	for _, c := range []struct {
		places               []string
		trigger, noise, ears string
		effect               Effect
		says                 string
	}{
		{[]string{"us"}, "2h", "95dBA", "", "", ""},
		{[]string{"us"}, "121min", "95dBA", "", Watch, "Time to the action value, nothing worn, 2 h; without protection never beyond 4 h."},
		{[]string{"nz"}, "59min", "94dBA", "", "", ""},
		{[]string{"nz"}, "61min", "94dBA", "", Watch, "nothing worn, 1 h; without protection never beyond 1 h."},
		{nil, "20min", "100dBA", "", Watch, "nothing worn, 15 min; without protection never beyond 15 min."},
		{[]string{"us-wa", "us"}, "3h", "100dBA", "osha_field 25", Watch, "at the ear 91 dBA by osha_field 25"},
		{[]string{"us-wa", "us"}, "7h", "100dBA", "osha_field 25", StopPerson, "behind the protector never beyond 6 h 57 min"}, // 91 dBA: G-16a 7.0 h
		{[]string{"bc", "ca"}, "3h", "105dBA", "csa_muff 25", StopPerson, "at the ear 90.5 dBA by csa_muff 25"},
		{[]string{"bc", "ca"}, "3h", "105dBA", "snr 30", Watch, "not counted: snr needs the noise in dBC"},
		{[]string{"uk"}, "3h", "84dBA", "", Watch, "Time to the action value, nothing worn, 3 h"}, // 84 dBA: 80 dBA over 8 h after 3.17 h
	} {
		in := planned(t, c.trigger, "1m/s2", c.noise, c.ears)
		in.Places = c.places
		if c.noise == "84dBA" {
			in.Sheet.Crew[1].Trigger = "4h"
		}
		a := Assess(in)
		if c.effect == "" {
			require.Empty(t, findings(a, "noise"), c)
			continue
		}
		f := oneFinding(t, a, "noise")
		require.Equal(t, c.effect, f.Effect, c)
		require.Contains(t, f.What, c.says, c)
	}
}

func TestNoiseChoiceOfTheHouse(t *testing.T) {
	in := planned(t, "1h", "1m/s2", "97dBA", "")
	in.Places = []string{"us"}
	require.Empty(t, findings(Assess(in), "noise"))
	in.House = withRule(t, in.House, house.NoiseCriterion, "niosh")
	require.Contains(t, oneFinding(t, Assess(in), "noise").What, "30 min", "97 dBA: 30 min (NIOSH 98-126)")
}

func TestWhoseTimeIsNotPlannedIsNotLookedAt(t *testing.T) {
	in := planned(t, "1h", "2m/s2", "90dBA", "")
	require.Contains(t, Assess(in).NotLookedAt, "noise and vibration of {p3}")
}

func TestSawAndCrewLinesTellFigures(t *testing.T) {
	good := filled(t)
	text := replaceOnce(t, good, "worker: luis, saw: S11, group: light-brush, level: unsupervised, watched-by: , fit: yes", "worker: luis, saw: S11, group: light-brush, level: unsupervised, watched-by: , fit: yes, trigger: 3.5h, ears: csa_plug 26")
	text = replaceOnce(t, text, "id: S11, ", "id: S11, vibration: 4.4m/s2, noise: 102dBA, noise-c: 104dBC, ")
	s, err := ParseSheet("day.yaml", []byte(text))
	require.NoError(t, err)
	require.Equal(t, []string{"3.5h", "csa_plug 26", "4.4m/s2", "102dBA", "104dBC"}, []string{s.Crew[1].Trigger, s.Crew[1].Ears, s.Saws[0].Vibration, s.Saws[0].Noise, s.Saws[0].NoiseC})
	again, err := ParseSheet("day.yaml", WriteSheet(s, Hints{}))
	require.NoError(t, err)
	require.Equal(t, s, again)
	for old, c := range map[string][2]string{
		"trigger: 3.5h":      {"trigger: 3", `crew: trigger: "3" has no unit`},
		"3.5h, ears":         {"30h, ears", "crew: trigger: 30h is out of range: 0 to"},
		"csa_plug 26":        {"csa_plug", `"csa_plug" is no method with a rating`},
		"ears: csa_plug 26":  {"ears: felt 26", `"felt" is not a method`},
		"plug 26":            {"plug 260", `"260" is not a rating in dB`},
		"4.4m/s2":            {"4.4m/s", `"m/s" is not a unit of vibration`},
		"noise: 102dBA":      {"noise: 102dBC", "saws: noise: write the level in dBA"},
		"noise-c: 104dBC":    {"noise-c: 104dBA", "saws: noise-c: write the level in dBC"},
		"vibration: 4.4m/s2": {"vibration: 400m/s2", "400m/s2 is out of range"},
	} {
		_, err := ParseSheet("day.yaml", []byte(replaceOnce(t, text, old, c[0])))
		require.ErrorContains(t, err, c[1], old)
	}
}

// Public papers on petrol brush cutters: noise at the ear up to 105 dB(A), vibration up to 10 m/s²; action and limit value of Directive
// 2002/44/EC. The planning figures are the tops of those ranges.
func TestFiguresOfTheHouseAreThoseOfThePapers(t *testing.T) {
	h, rows := starter(t), 0
	for _, row := range published.Table(t, "noise_hav_ranges.csv") {
		want := map[string][2]string{
			"noise at operator ear (grass trimmers)":                       {house.PlanNoise, "high"},
			"hand-arm vibration daily exposure professional brush cutters": {house.PlanVibration, "low"},
			"daily exposure action value":                                  {house.VibrationAction, "low"},
			"daily exposure limit value":                                   {house.VibrationLimit, "low"},
		}[row.Text("quantity")]
		if want[0] == "" {
			continue
		}
		rows++
		require.InDelta(t, row.Float(want[1]), h.SI(want[0]), 0, row)
	}
	require.Equal(t, 4, rows)
}
