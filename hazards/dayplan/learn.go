package dayplan

import (
	"slices"

	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/training/civil"
)

// SawDay is one saw on one day as the log has it. A figure that is 0 was not told.
type SawDay struct {
	Saw    string
	Day    civil.Day
	Hours  float64 // engine hours
	Litres float64 // mixture filled in
	Area   float64 // m²
	Tank   float64 // L, of that saw
}

// Learned is a figure with what it rests on. From is "log" or "house"; Days the different days behind it, Values the
// saws' days. Low and High hold the middle half of the values.
type Learned struct {
	Value  float64
	Low    float64
	High   float64
	From   string
	Days   int
	Values int
}

// Where a figure comes from.
const (
	FromLog   = "log"
	FromHouse = "house"
)

// BurnRate learns litres an engine hour from the log; the house figure counts until enough days are there.
func BurnRate(log []SawDay, h house.House) Learned {
	return learn(log, h, h.SI(house.PlanBurn), func(s SawDay) (float64, bool) {
		return s.Litres / s.Hours, s.Litres > 0 && s.Hours > 0
	})
}

// AreaPerTank learns square metres a tank from the log; the house figure counts until enough days are there.
func AreaPerTank(log []SawDay, h house.House) Learned {
	return learn(log, h, h.SI(house.PlanArea), func(s SawDay) (float64, bool) {
		return s.Area * s.Tank / s.Litres, s.Area > 0 && s.Litres > 0 && s.Tank > 0
	})
}

func learn(log []SawDay, h house.House, otherwise float64, of func(SawDay) (float64, bool)) Learned {
	var values []float64
	days := map[civil.Day]bool{}
	for _, s := range log {
		if v, ok := of(s); ok {
			values = append(values, v)
			days[s.Day] = true
		}
	}
	l := Learned{Value: otherwise, From: FromHouse, Days: len(days), Values: len(values)}
	if len(values) == 0 {
		return l
	}
	slices.Sort(values)
	l.Low, l.High = quantile(values, 0.25), quantile(values, 0.75)
	if l.Days >= h.Int(house.LearnLeast) {
		l.Value, l.From = quantile(values, 0.5), FromLog
	}
	return l
}

// quantile reads a share out of sorted values, straight between neighbours (the commonest of several definitions, from
// memory): at 0.5 it is the median.
func quantile(sorted []float64, share float64) float64 {
	at := share * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
