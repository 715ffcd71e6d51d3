// Package fuel deals with petrol mix on the block: what raises the chance of a fuel burn or a spill, and how far the
// fuelling place must be from what could light it.
//
// Each factor drives one of four things - ignition, vapour, fire spread, spill - and the score says which of them
// drives it. Distances are values with a unit, compared with the house rules; the starter numbers are chain-saw
// rules used as a floor, since none was found for clearing saws.
package fuel

import (
	"example.org/ringtrue/hazards/house"
	"example.org/ringtrue/hazards/risk"
)

// StartSeverity is the harm a fuel burn starts at, 1 to 4 of MIL-STD-882E Table I (company choice). One worse where
// help is late.
const StartSeverity = 2

// What a factor drives.
const (
	Ignition   = "ignition"
	Vapour     = "vapour"
	FireSpread = "fire spread"
	Spill      = "spill"
)

// Factors that are asked in the morning. Controls name them by these ids.
const (
	NearIgnition = "fuel-ignition"
	NearStart    = "fuel-start"
	NearSmoking  = "fuel-smoking"
	HotEngine    = "fuel-hot"
	HardStarting = "fuel-stalled"
	DryLitter    = "dry-litter"
	HotDay       = "hot-day"
	Leak         = "fuel-leak"
	Unlabelled   = "fuel-unlabelled"
	InCab        = "fuel-cab"
	NearWater    = "fuel-water"
)

// Factor raises the chance of a fuel burn or spill. House is the key of the house rule that a told distance is compared with, ""
// for yes-no factors.
type Factor struct {
	risk.Factor
	Drives string
	House  string
}

var factors = []Factor{
	{Drives: Ignition, House: house.FuelIgnition, Factor: risk.Factor{
		ID: NearIgnition, Words: "the fuel spot is too near to flame, spark or a hot engine", Weight: risk.Strong,
		Source: "29 CFR 1910.266(e)(2)(iv) and its directive, read; a chain-saw rule used as a floor",
		Away:   "move the fuel spot away, then answer again",
	}},
	{Drives: Ignition, House: house.FuelStart, Factor: risk.Factor{
		ID: NearStart, Words: "the saw is started too near to the fuel spot", Weight: risk.Moderate,
		Source: "29 CFR 1910.266(e)(2)(v) and Quebec S-2.1 r. 4 s. 3.10.16(3)(a), read; chain-saw rules used as a floor",
		Away:   "walk further before you start, then answer again",
	}},
	{Drives: Ignition, House: house.FuelSmoking, Factor: risk.Factor{
		ID: NearSmoking, Words: "smoking too near to the fuel spot", Weight: risk.Moderate,
		Source: "WAC 296-54-519(5), read",
		Away:   "no smoking on this block today",
	}},
	{Drives: Vapour, Factor: risk.Factor{
		ID: HotEngine, Words: "a saw opened sooner than the house pause after it ran", Weight: risk.Strong,
		Source:    "fuel-geyser reports of the US fire services (28 releases in 2018), read",
		Away:      "no refill until the engine is cold",
		Organised: "let it cool, rag over the cap, face away, open slowly",
	}},
	{Drives: Vapour, Factor: risk.Factor{
		ID: HardStarting, Words: "a saw that stalls or starts hard, so that its cap gets opened to look", Weight: risk.Strong,
		Source: "fuel-geyser reports of the US fire services, by cases, read",
		Away:   "leave that saw shut and tag it out",
	}},
	{Drives: FireSpread, Factor: risk.Factor{
		ID: DryLitter, Words: "dry litter, or a high fire class", Weight: risk.Strong,
		Source:    "BC Wildfire Regulation, read in restatements",
		Away:      "fuel on the road or on bare rock only",
		Technical: "bare soil under the saw and an extinguisher within reach",
		Organised: "a named fire watch during and after the refill",
	}},
	{Drives: Vapour, Factor: risk.Factor{
		ID: HotDay, Words: "a hot day; cans and saws stand in the sun", Weight: risk.Moderate,
		Source:    "Finnish seedling-stand guidance, read",
		Organised: "cans and saws in the shade, caps opened slowly",
	}},
	{Drives: Spill, Factor: risk.Factor{
		ID: Leak, Words: "a leaking can or cap", Weight: risk.Moderate,
		Source:    "common practice, no source",
		Away:      "take the leaking can away",
		Technical: "spill mat under the can",
	}},
	{Drives: Vapour, Factor: risk.Factor{
		ID: Unlabelled, Words: "mix in a can without a label", Weight: risk.Weak,
		Source: "common practice, no source",
		Away:   "leave unlabelled mix at the truck, unused",
	}},
	{Drives: Vapour, Factor: risk.Factor{
		ID: InCab, Words: "fuel carried in the cab with people", Weight: risk.Moderate,
		Source: "29 CFR 1910.266(d)(9)(ii) and WAC 296-54-519, read",
		Away:   "carry the fuel outside the cab",
	}},
	{Drives: Spill, Factor: risk.Factor{
		ID: NearWater, Words: "fuelling beside water", Weight: risk.Moderate,
		Source:    "US thinning contracts, read",
		Away:      "move the fuel spot out of the strip along the water",
		Technical: "spill mat under the saw",
	}},
}

// Factors returns every factor of this topic, in the order of the day sheet. The slice is the caller's.
func Factors() []Factor { return append([]Factor(nil), factors...) }

// rounding lets 50 ft pass as 50 ft after conversion; a billionth of a metre is no distance.
const rounding = 1e-9

// Near reports whether a distance in metres falls short of the house rule of that key.
func Near(metres float64, h house.House, key string) bool { return metres < h.SI(key)-rounding }

// TooBig reports whether a container of so many litres is larger than the house rule allows to be carried by hand.
func TooBig(litres float64, h house.House) bool { return litres > h.SI(house.FuelContainer)+rounding }
