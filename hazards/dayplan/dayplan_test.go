package dayplan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/published"
	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
)

func starter(t require.TestingT) house.House {
	h, err := house.Starter()
	require.NoError(t, err)
	return h
}

// worked is the day of the trade notes: 9 h on site, 3 h of walk, talk, breaks, plots and two filings of ten minutes.
func worked() Day {
	return Day{Hours: 9, WalkIn: 0.5, Talk: 1.0 / 3, Breaks: 1, Plots: 1.0 / 3, Saws: 1, Tank: 0.9, Burn: 0.9, Ratio: 50, Reserve: 20, Can: 5, Area: 300, Strip: 3, FilingOf: 1.0 / 6}
}

// Trade notes, worked check: 6 h, 6 tanks, 5 refuels, 5.4 L (+20 % = 6.5 L), oil 0.13 L at 1:50, 2 planned filings.
func TestTheWorkedDay(t *testing.T) {
	p, err := worked().Work(starter(t))
	require.NoError(t, err)
	require.InDelta(t, 6, p.EngineHours, 1e-9)
	require.InDelta(t, 6, p.PerSaw.Tanks, 1e-9)
	require.Equal(t, [3]int{5, 2, 2}, [3]int{p.PerSaw.Refuels, p.Filings, p.Blades})
	require.InDelta(t, 6.48, p.Fuel, 1e-9)
	require.InDelta(t, 0.13, p.Oil, 0.005)
	require.Equal(t, 2, p.Cans)
}

func TestNotesOfAPlan(t *testing.T) {
	h, d := starter(t), worked()
	p, err := d.Work(h)
	require.NoError(t, err)
	require.Len(t, p.Notes, 2)
	d.Steepest, d.Can = 46, 20
	p, err = d.Work(h)
	require.NoError(t, err)
	require.Len(t, p.Notes, 4)
	require.Contains(t, p.Notes[0], "steeper than the house limit: no saw there; house rule slope-limit 45%")
	require.Contains(t, p.Notes[1], "larger than may be carried by hand: house rule fuel-container 5gal")
}

func TestCrewRockAndBlades(t *testing.T) {
	d := worked()
	d.Saws, d.Rock = 4, 3
	p, err := d.Work(starter(t))
	require.NoError(t, err)
	require.Equal(t, 2+3, p.Filings, "one at every second refuel, and one for each hit")
	require.InDelta(t, 5.5, p.EngineHours, 1e-9, "five filings of ten minutes and 2 h 40 of the rest")
	require.Equal(t, 3, p.Blades, "one more for three hits")
	require.InDelta(t, 4*5.5*0.9*1.2, p.Fuel, 1e-9)
	require.InDelta(t, 4*5.5*300, p.Area, 1e-6)
	require.Equal(t, 5, p.Cans, "23.76 L in cans of 5 L")
}

func TestDaysThatCannotBeMeant(t *testing.T) {
	d := Day{Hours: 25, WalkIn: -1, Talk: math.NaN(), Saws: 0, Rock: -1, Tank: 9, Burn: 0, Ratio: 2, Reserve: -5, Can: 0, Area: 0, Strip: 0, Face: -1, Slope: 300, Steepest: -1, FilingOf: 3}
	_, err := d.Work(starter(t))
	for _, want := range []string{"hours on site: 25", "walk in, hours: -1", "talk, hours: NaN", "saws: 0", "hits on rock: -1", "tank, L: 9", "burn rate, L/h: 0",
		"mix ratio: 2", "reserve, percent: -5", "can, L: 0", "area on one tank", "strip, m: 0", "face, m: -1", "slope along the way, percent: 300", "steepest slope, percent: -1", "time of one filing"} {
		require.ErrorContains(t, err, want)
	}
	d = worked()
	d.WalkIn = 4
	_, err = d.Work(starter(t))
	require.ErrorContains(t, err, "nothing is left for the saws: 9.0 h on site, 9.7 h of walking")
}

// Filings agree with the refuels of the time they leave, fuel is what is burnt with the reserve, and more time on site never needs less fuel
// but for the filings it brings.
func TestPlanProperties(t *testing.T) {
	h := starter(t)
	rapid.Check(t, func(t *rapid.T) {
		d := worked()
		d.Hours = rapid.Float64Range(4, 14).Draw(t, "hours")
		d.Burn = rapid.Float64Range(0.3, 2).Draw(t, "burn")
		d.Tank = rapid.Float64Range(0.4, 1.5).Draw(t, "tank")
		d.Rock = rapid.IntRange(0, 5).Draw(t, "rock")
		d.Saws = rapid.IntRange(1, 12).Draw(t, "saws")
		d.Face = rapid.Float64Range(0, 900).Draw(t, "face")
		d.Slope = rapid.Float64Range(0, 60).Draw(t, "slope")
		p, err := d.Work(h)
		require.NoError(t, err)
		require.GreaterOrEqual(t, p.Filings, p.PerSaw.Refuels/2+d.Rock)
		require.InDelta(t, d.engine(p.Filings), p.EngineHours, 1e-9)
		require.InDelta(t, float64(d.Saws)*p.EngineHours*d.Burn*1.2, p.Fuel, 1e-6)
		require.InDelta(t, p.Fuel/51, p.Oil, 1e-9)
		require.GreaterOrEqual(t, float64(p.Cans)*d.Can, p.Fuel-1e-6)
		require.LessOrEqual(t, p.Reach, h.SI(house.FuelReach)+1e-9)
		far := 0.0
		for x := 0.0; x <= d.Face; x += 5 {
			near := math.Inf(1)
			for _, s := range p.Spots {
				near = math.Min(near, math.Abs(s-x))
			}
			far = math.Max(far, near)
		}
		require.True(t, d.Face == 0 || far <= p.Reach+1e-6, "nobody walks further than the reach")
	})
}

// Tobler 1993: the walk to fuel shrinks as the printed speed does.
func TestReachFollowsTobler(t *testing.T) {
	speed := map[float64]float64{}
	for _, row := range published.Table(t, "tobler.csv") {
		speed[row.Float("slope_deg")] = row.Float("speed_kmh")
	}
	n := 0
	for degrees, kmh := range speed {
		if degrees >= 0 {
			require.InDelta(t, 50*kmh/speed[0], Reach(50, units.PercentOfDegrees(degrees)), 0.1, degrees)
			n++
		}
	}
	require.Greater(t, n, 3)
}

func TestFuelSpots(t *testing.T) {
	require.Equal(t, []float64{50}, Spots(100, 50))
	require.Equal(t, []float64{50.5, 151.5}, Spots(202, 51))
	require.Equal(t, []float64{25, 75}, Spots(100, 49))
	require.Empty(t, Spots(0, 50))
	require.Len(t, Spots(1e6, 0.1), mostSpots)
	require.InDelta(t, 100, StripPerTank(300, 3), 1e-9, "a strip of 50 m is half a tank")
}

func log(t *testing.T, values ...float64) []SawDay {
	var days []SawDay
	for i, burn := range values {
		days = append(days, SawDay{Saw: "S11", Day: civil.Day(20000 + i), Hours: 5, Litres: 5 * burn, Area: 0.1 * 10000 * float64(i+1), Tank: 0.9})
	}
	return days
}

func TestBurnRateIsLearnedFromTheLog(t *testing.T) {
	h := starter(t)
	require.Equal(t, Learned{Value: 0.9, From: FromHouse}, BurnRate(nil, h))
	few := BurnRate(log(t, 0.7, 0.8, 0.75, 0.72), h)
	require.Equal(t, FromHouse, few.From)
	require.Equal(t, 4, few.Days)
	require.InDelta(t, 0.9, few.Value, 1e-12)
	// by hand: sorted 0.70 0.72 0.75 0.80 0.95; median 0.75, quarters 0.72 and 0.80
	five := BurnRate(log(t, 0.70, 0.80, 0.75, 0.95, 0.72), h)
	require.Equal(t, FromLog, five.From)
	require.InDelta(t, 0.75, five.Value, 1e-12)
	require.InDelta(t, 0.72, five.Low, 1e-12)
	require.InDelta(t, 0.80, five.High, 1e-12)
	// six values: median between the third and the fourth
	six := BurnRate(log(t, 0.70, 0.80, 0.75, 0.95, 0.72, 0.77), h)
	require.InDelta(t, 0.76, six.Value, 1e-12)
	require.Equal(t, [2]int{6, 6}, [2]int{six.Days, six.Values})
}

func TestTwoSawsOnOneDayAreOneDay(t *testing.T) {
	days := log(t, 0.7, 0.8, 0.75, 0.95, 0.72)
	for i := range days {
		days[i].Day, days[i].Saw = 20000, string(rune('A'+i))
	}
	l := BurnRate(days, starter(t))
	require.Equal(t, [2]int{1, 5}, [2]int{l.Days, l.Values})
	require.Equal(t, FromHouse, l.From)
}

func TestAreaPerTankNeedsAreaAndFuel(t *testing.T) {
	h := starter(t)
	// 0.1 ha on 4.5 L from a 0.9 L tank are five tanks: 200 m² a tank
	days := log(t, 0.9, 0.9, 0.9, 0.9, 0.9)
	for i := range days {
		days[i].Area = 1000
	}
	l := AreaPerTank(days, h)
	require.Equal(t, FromLog, l.From)
	require.InDelta(t, 200, l.Value, 1e-9)
	days[0].Litres, days[1].Area, days[2].Tank = 0, 0, 0
	require.Equal(t, 2, AreaPerTank(days, h).Days)
}

// Small loads of petrol by road: 49 CFR 173.6, TDG Regulations SOR/2001-286, ADR 1.1.3.6 and 3.4. A load at the limit is within it, a
// hair more is over; rows that are no limit for petrol in cans are named.
func TestTransportLimits(t *testing.T) {
	var left []string
	n := 0
	for _, row := range published.Table(t, "fuel_transport.csv") {
		item := row.Text("item")
		if _, about := figures[item]; !about {
			left = append(left, item)
			continue
		}
		n++
		for _, more := range []float64{0, 0.01} {
			got := compared(t, row.Text("regime"), item, loadOf(item, row.Float("value")+more))
			require.InDelta(t, row.Float("value")+more, got.Value, 1e-6, row)
			require.Equal(t, more > 0, got.Over, row)
			require.Equal(t, row.Text("citation"), got.Citation, row)
			require.Equal(t, row.Text("status"), got.Status, row)
		}
	}
	require.Equal(t, 7, n)
	require.Equal(t, []string{"max per container (PG I material)", "s.1.33 covers petrol?", "s.1.35 total UN1203 capacity per vehicle",
		"points factor category 2", "limited quantity inner packaging UN1203"}, left)
}

// loadOf is a load that comes to so much of what a limit is about.
func loadOf(item string, v float64) Load {
	switch item {
	case "max per container (PG II)", "per packaging ceiling for work-ancillary carriage":
		return Load{CanSize: v}
	case "max gross mass per container":
		return Load{CanMass: v}
	case "aggregate gross weight per vehicle", "max gross mass of all dangerous goods per road vehicle":
		return Load{Cans: 1, CanMass: v}
	case "points ceiling":
		return Load{Litres: v / 3}
	}
	return Load{Litres: v}
}

func compared(t *testing.T, regime, item string, l Load) Compared {
	t.Helper()
	for _, c := range Vehicle(regime, l) {
		if c.Item == item {
			return c
		}
	}
	t.Fatalf("%s of %s is not compared", item, regime)
	return Compared{}
}

func TestRegimeOfAPlace(t *testing.T) {
	for _, c := range []struct{ line, want string }{{"bc ca", "CA"}, {"us-wa us", "US"}, {"us", "US"}, {"se eu", "ADR"}, {"uk", "ADR"}, {"nz", ""}, {"nl ca", "CA"}, {"", ""}} {
		require.Equal(t, c.want, Regime(words(c.line)), c.line)
	}
	require.Empty(t, Vehicle("", Load{Litres: 1e6}))
}

func words(s string) (list []string) {
	word := ""
	for _, r := range s + " " {
		if r != ' ' {
			word += string(r)
		} else if word != "" {
			list, word = append(list, word), ""
		}
	}
	return list
}

// A full 20 L steel can is about 17 kg.
func TestMassOfAFullCan(t *testing.T) {
	require.InDelta(t, 17, Load{CanSize: 20, CanMass: 2.2}.full(), 0.5)
}

// Regulations: 5 m/s² 120 min to action and 480 to the limit; 4 m/s² 187 and 750; 100 dBA 120 min (OSHA) and 15 min (NIOSH).
func TestTriggerTime(t *testing.T) {
	got := triggerAt(5, 100, 6)
	require.Equal(t, [5]int{360, 120, 480, 120, 15}, [5]int{got.Planned, got.Action, got.Limit, got.OSHA, got.NIOSH})
	require.Equal(t, "action", got.Beyond())
	require.Equal(t, "limit", triggerAt(10, 0, 6).Beyond())
	require.Empty(t, triggerAt(2, 0, 6).Beyond())
	require.Empty(t, triggerAt(5, 0, 2).Beyond(), "at the action value, not beyond it")
	got = triggerAt(4, 79, 5.99)
	require.Equal(t, [5]int{360, 187, 750, Endless, Endless}, [5]int{got.Planned, got.Action, got.Limit, got.OSHA, got.NIOSH})
	got = triggerAt(1, 141, 6)
	require.Equal(t, [2]int{Endless, 0}, [2]int{got.Action, got.OSHA})
	require.Equal(t, Endless, triggerAt(0, 0, 6).Action)
}

// triggerAt takes the times from the formula of vibration, 8 h (daily/a)².
func triggerAt(vibration, noise, hours float64) Trigger {
	t := Times{Action: 8 * (2.5 / vibration) * (2.5 / vibration), Limit: 8 * (5 / vibration) * (5 / vibration)}
	return TriggerTime(Person{Worker: "ana", Vibration: vibration, Noise: noise}, t, hours)
}
