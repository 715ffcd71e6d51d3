package main

import (
	"fmt"
	"strings"

	"example.org/ringtrue/hazards/dayplan"
)

// planDayAnswer is a plan for --json. Minutes without an end are null.
type planDayAnswer struct {
	Format     string          `json:"format"`
	On         string          `json:"on"`
	Block      string          `json:"block"`
	Saws       int             `json:"saws"`
	Hours      float64         `json:"hours_on_site"`
	Engine     float64         `json:"engine_hours"`
	Tank       float64         `json:"tank_l"`
	Tanks      float64         `json:"tanks"`
	Refuels    int             `json:"refuels"`
	Filings    int             `json:"filings"`
	Blades     int             `json:"blades"`
	Fuel       float64         `json:"fuel_l"`
	Oil        float64         `json:"oil_l"`
	Cans       int             `json:"cans"`
	CanSize    float64         `json:"can_l"`
	Area       float64         `json:"area_m2"`
	Strip      float64         `json:"strip_per_tank_m"`
	Spots      []float64       `json:"fuel_spots_m"`
	Reach      float64         `json:"fuel_reach_m"`
	Burn       learnedFigure   `json:"burn_l_per_h"`
	AreaTank   learnedFigure   `json:"area_per_tank_m2"`
	Regime     string          `json:"transport_regime"`
	Transport  []transportLine `json:"transport"`
	People     []triggerLine   `json:"people"`
	Notes      []string        `json:"notes"`
	Source     []string        `json:"source"`
	HouseRules string          `json:"house"`
}

// learnedFigure is a figure with what it rests on. Used is the one the plan takes.
type learnedFigure struct {
	Used   float64 `json:"used"`
	From   string  `json:"from"` // log, house, or said
	Median float64 `json:"value"`
	Low    float64 `json:"low"`  // middle half of the log's values
	High   float64 `json:"high"` //
	Days   int     `json:"days"`
	Values int     `json:"saw_days"`
}

// transportLine is one limit of the road beside the load.
type transportLine struct {
	Item     string  `json:"item"`
	Limit    float64 `json:"limit"`
	Value    float64 `json:"value"`
	Unit     string  `json:"unit"`
	Over     bool    `json:"over"`
	Citation string  `json:"citation"`
	Status   string  `json:"status"`
}

// triggerLine is one person's time at the trigger.
type triggerLine struct {
	Worker    string  `json:"worker"`
	Saw       string  `json:"saw"`
	Vibration float64 `json:"vibration_ms2"`
	Noise     float64 `json:"noise_dba"`
	Planned   int     `json:"planned_minutes"`
	Beyond    string  `json:"planned_beyond"` // action, limit or ""
	Action    *int    `json:"minutes_to_action"`
	Limit     *int    `json:"never_beyond_minutes"`
	OSHA      *int    `json:"noise_minutes_osha"`
	NIOSH     *int    `json:"noise_minutes_niosh"`
	NoiseTo   *int    `json:"noise_minutes_to_action"` // of the place, nothing worn
	NoiseMost *int    `json:"noise_never_beyond_minutes"`
	Criterion string  `json:"noise_criterion"`
}

func endless(minutes int) *int {
	if minutes == dayplan.Endless {
		return nil
	}
	return &minutes
}

func figureOf(l dayplan.Learned, used float64) learnedFigure {
	f := learnedFigure{Used: used, From: l.From, Median: l.Value, Low: l.Low, High: l.High, Days: l.Days, Values: l.Values}
	if used != l.Value {
		f.From = "said"
	}
	return f
}

func (d dayPlan) answer() planDayAnswer {
	p := d.plan
	ans := planDayAnswer{
		Format: "ringtrue/plan-day/1", On: d.on.String(), Block: d.block, Saws: d.day.Saws, Hours: d.day.Hours, Engine: p.EngineHours, Tank: d.day.Tank, Tanks: p.PerSaw.Tanks,
		Refuels: p.PerSaw.Refuels, Filings: p.Filings, Blades: p.Blades, Fuel: p.Fuel, Oil: p.Oil, Cans: p.Cans, CanSize: d.day.Can, Area: p.Area,
		Strip: dayplan.StripPerTank(d.day.Area, d.day.Strip), Spots: append([]float64{}, p.Spots...), Reach: p.Reach,
		Burn: figureOf(d.burn, d.day.Burn), AreaTank: figureOf(d.area, d.day.Area), Regime: d.regime, Transport: []transportLine{}, People: []triggerLine{},
		Notes: append(append([]string{}, d.down...), p.Notes...), Source: []string{dayplan.Source}, HouseRules: d.house.Edition,
	}
	for _, c := range d.transport {
		ans.Transport = append(ans.Transport, transportLine{c.Item, c.TransportLimit.Value, c.Value, c.Unit, c.Over, c.Citation, c.Status})
	}
	for _, t := range d.people {
		ans.People = append(ans.People, triggerLine{t.Worker, t.Saw, t.Vibration, t.Noise, t.Planned, t.Beyond(), endless(t.Action), endless(t.Limit), endless(t.OSHA), endless(t.NIOSH),
			endless(t.NoiseAction), endless(t.NoiseLimit), d.criterion})
	}
	ans.Notes = append(ans.Notes, d.roadNote(), "declared vibration of a machine is uncertain by 40 % and more (UK HSE, read); the maker's manual and a competent person come first")
	return ans
}

func (d dayPlan) roadNote() string {
	if d.regime == "" {
		return "no limit for carrying petrol was read for this place: ask the road authority"
	}
	return "other dangerous goods on the vehicle count too; fuel rides outside the cab, in marked cans"
}

func (a *app) printPlanDay(d dayPlan) error {
	ans := d.answer()
	ans.Notes = eachOf(ans.Notes, a.whoChose)
	if a.json {
		return a.printJSON(ans)
	}
	people, err := a.crew()
	if err != nil {
		return err
	}
	a.mark()
	a.say("plan for %s%s: saws %d, %.1f h on site, %.1f h of engine for each", ans.On, note(", block ", ans.Block), ans.Saws, ans.Hours, ans.Engine)
	for _, l := range d.down {
		a.say("  %s", l)
	}
	a.say("  each saw: %.1f tanks of %.2g L, %d refuels, %d filings, %d blades", ans.Tanks, ans.Tank, ans.Refuels, ans.Filings, ans.Blades)
	a.say("  crew: %.1f L of mixture with reserve, of it %.2f L of oil; cans of %.3g L: %d", ans.Fuel, ans.Oil, ans.CanSize, ans.Cans)
	a.say("  burn rate %s", figureText(ans.Burn, "L/h", 2))
	a.say("  area per tank %s: %.0f m of strip, %.2f ha for the crew", figureText(ans.AreaTank, "m2", 0), ans.Strip, ans.Area/10000)
	if len(ans.Spots) > 0 {
		a.say("  fuel at %s along the face; nobody walks further than %.0f m", metres(ans.Spots), ans.Reach)
	}
	for _, t := range ans.Transport {
		a.say("  road (%s): %s: %.1f %s of %.4g%s; %s (%s)", ans.Regime, t.Item, t.Value, t.Unit, t.Limit, overText(t.Over), t.Citation, t.Status)
	}
	for _, t := range ans.People {
		a.say("  %s", triggerText(t, handleOf(people, t.Worker)))
	}
	a.say("  noise counts by: %s", d.criterion)
	for _, n := range ans.Notes[len(d.down):] {
		a.say("  note: %s", n)
	}
	a.say("source: %s; house rules edition %s", strings.Join(ans.Source, "; "), ans.HouseRules)
	return nil
}

func overText(over bool) string {
	if over {
		return ", OVER"
	}
	return ""
}

func figureText(f learnedFigure, unit string, decimals int) string {
	text := fmt.Sprintf("%.*f %s", decimals, f.Used, unit)
	switch {
	case f.From == dayplan.FromLog:
		return fmt.Sprintf("%s, median of the log; the middle half %.*f to %.*f, %d days", text, decimals, f.Low, decimals, f.High, f.Days)
	case f.From == dayplan.FromHouse:
		return fmt.Sprintf("%s, house figure; %d days in the log", text, f.Days)
	}
	return fmt.Sprintf("%s, as said", text)
}

func metres(list []float64) string {
	parts := make([]string, len(list))
	for i, v := range list {
		parts[i] = fmt.Sprintf("%.0f m", v)
	}
	return strings.Join(parts, ", ")
}

func triggerText(t triggerLine, who string) string {
	beyond := ""
	if t.Beyond != "" {
		beyond = " (BEYOND the " + t.Beyond + " value: share the saw, or shorten the day)"
	}
	return fmt.Sprintf("%s%s: %d minutes planned%s; vibration %.3g m/s2: %s to the action value, never beyond %s; noise %.4g dBA without protection: %s to the action value, never beyond %s",
		orWord(who, "each"), note(" with saw ", t.Saw), t.Planned, beyond, t.Vibration, minutesText(t.Action), minutesText(t.Limit), t.Noise, minutesText(t.NoiseTo), minutesText(t.NoiseMost))
}

func minutesText(m *int) string {
	if m == nil {
		return "no end that day"
	}
	return fmt.Sprintf("%d min", *m)
}
