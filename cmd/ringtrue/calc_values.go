package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.org/ringtrue/hazards/units"
	"example.org/ringtrue/training/civil"
	"example.org/ringtrue/training/spelling"
)

// quantity declares a number that must carry its unit.
func (in *calcInputs) quantity(name string, d units.Dimension, write, help string, rule calcRule) *units.Quantity {
	return calcFlag(in, name, write, help, func(text string) (units.Quantity, string, error) {
		q, err := units.Parse(text, d)
		if err != nil {
			return q, "", err
		}
		if err := rule(q.SI(), q); err != nil {
			return q, "", fmt.Errorf("%q %w; write for example %s", text, err, write)
		}
		return q, q.String(), nil
	})
}

func (in *calcInputs) temperature(name, write, help string) *units.Quantity {
	return in.quantity(name, units.Temperature, write, help, calcAboveZeroKelvin)
}

// number declares a number whose unit the name of the flag says; the unit may be written behind it, no other one.
func (in *calcInputs) number(name, unit, write, help string, rule calcRule) *float64 {
	return calcFlag(in, name, write, help, func(text string) (float64, string, error) {
		q, err := units.Parse(strings.TrimSuffix(strings.TrimSpace(text), unit), units.Count)
		if err != nil {
			return 0, "", fmt.Errorf("%q is not a number%s; write for example %s", text, calcIn(unit), write)
		}
		if err := rule(q.Value, units.Quantity{Unit: unit}); err != nil {
			return 0, "", fmt.Errorf("%q %w; write for example %s", text, err, write)
		}
		return q.Value, q.String() + unit, nil
	})
}

// density declares stems per hectare; another unit of density may be written behind the number.
func (in *calcInputs) density(name, write, help string, rule calcRule) *float64 {
	return calcFlag(in, name, write, help, func(text string) (float64, string, error) {
		q, err := units.Parse(text, units.Density)
		if n, plain := units.Parse(text, units.Count); plain == nil {
			q, err = units.Quantity{Value: n.Value, Unit: "stems/ha", Dim: units.Density}, nil
		}
		if err != nil {
			return 0, "", err
		}
		if err := rule(q.SI(), q); err != nil {
			return 0, "", fmt.Errorf("%q %w; write for example %s", text, err, write)
		}
		return q.SI(), q.String(), nil
	})
}

func calcIn(unit string) string {
	if unit == "" {
		return ""
	}
	return " in " + unit
}

// whole declares a whole number.
func (in *calcInputs) whole(name, write, help string, rule calcRule) *int {
	return calcFlag(in, name, write, help, func(text string) (int, string, error) {
		n, err := calcWhole(text, rule)
		if err != nil {
			return 0, "", fmt.Errorf("%w; write for example %s", err, write)
		}
		return n, strconv.Itoa(n), nil
	})
}

// calcMostCount is more than anybody counts on a block, and small enough to add up without loss (company choice).
const calcMostCount = 1_000_000_000

func calcWhole(text string, rule calcRule) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n > calcMostCount {
		return 0, fmt.Errorf("%q is not a whole number that can be counted", text)
	}
	if err := rule(float64(n), units.Quantity{}); err != nil {
		return 0, fmt.Errorf("%q %w", text, err)
	}
	return n, nil
}

// counts declares whole numbers from 0 with commas between; want is how many, 0 for any number of them.
func (in *calcInputs) counts(name string, want int, write, help string, rule calcRule) *[]int {
	return calcFlag(in, name, write, help, func(text string) ([]int, string, error) {
		var list []int
		var bad []error
		for _, one := range strings.Split(text, ",") {
			n, err := calcWhole(one, rule)
			if err != nil {
				bad = append(bad, fmt.Errorf("%w; write for example %s", err, write))
			}
			list = append(list, n)
		}
		if len(bad) > 0 {
			return nil, "", errors.Join(bad...)
		}
		if want > 0 && len(list) != want {
			return nil, "", fmt.Errorf("%q holds %d numbers, not %d; write for example %s", text, len(list), want, write)
		}
		return list, strings.ReplaceAll(text, " ", ""), nil
	})
}

// word declares one word out of a list; capitals do not matter.
func (in *calcInputs) word(name string, known []string, help string) *string {
	return calcFlag(in, name, known[0], help, func(text string) (string, string, error) {
		for _, k := range known {
			if strings.EqualFold(text, k) {
				return k, k, nil
			}
		}
		near := ""
		if n := spelling.Nearest(text, known); n != "" {
			near = "nearest: " + n + "; "
		}
		return "", "", fmt.Errorf("%q is not known; %swrite one of %s", text, near, strings.Join(known, ", "))
	})
}

// day declares a calendar day.
func (in *calcInputs) day(name, write, help string) *civil.Day {
	return calcFlag(in, name, write, help, func(text string) (civil.Day, string, error) {
		d, err := civil.Parse(text)
		return d, d.String(), err
	})
}

// Clocks on earth run from 12 hours behind UTC to 14 hours ahead.
const (
	calcWest = -12 * 3600 // seconds
	calcEast = 14 * 3600
)

// zone declares an offset from UTC.
func (in *calcInputs) zone(name, write, help string) **time.Location {
	return calcFlag(in, name, write, help, func(text string) (*time.Location, string, error) {
		t, err := time.Parse("Z07:00", text)
		_, offset := t.Zone()
		if err != nil || offset < calcWest || offset > calcEast {
			return nil, "", fmt.Errorf("%q is not an offset from UTC; write for example %s", text, write)
		}
		return time.FixedZone("", offset), text, nil
	})
}

// calcGrain keeps a threshold where it is after a change of unit: 0.28 cm of rain is 2.8 mm and not a hair more.
const calcGrain = 1e9

// calcAs gives a quantity in a unit of its dimension, untouched where it was given in that unit.
func calcAs(q units.Quantity, unit string) float64 {
	if q.Unit == unit {
		return q.Value
	}
	one := units.Quantity{Value: 1, Unit: unit, Dim: q.Dim}
	return math.Round(q.SI()/one.SI()*calcGrain) / calcGrain
}

func celsius(q units.Quantity) float64 {
	if q.Unit == "C" {
		return q.Value
	}
	return math.Round(q.SI()*calcGrain) / calcGrain
}

func fahrenheit(q units.Quantity) float64 {
	if q.Unit == "F" {
		return q.Value
	}
	return math.Round((q.SI()*1.8+32)*calcGrain) / calcGrain
}

// likeInput gives a temperature in °F in the unit of the input it was computed from.
func likeInput(f float64, input units.Quantity) float64 {
	if input.Unit == "F" {
		return f
	}
	return (f - 32) / 1.8
}
