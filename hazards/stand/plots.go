// Package stand estimates how many stems stand on a hectare from counts on small plots.
//
// Plots are of one size and laid out without looking for good or bad spots. The interval is that of the mean of a
// sample, Student's t at 95 %: if plots were laid out again and again, nineteen intervals in twenty would hold the
// mean of the ground. It is wide for few plots and may reach below zero, which says that there are too few.
package stand

import (
	"errors"
	"fmt"
	"math"
)

// Source names the interval, for printing beside a result.
const Source = "95 % t interval of the mean; Student's t by the finite series of Abramowitz and Stegun 26.7.3 and 26.7.4 (from memory)"

// hectare is 10 000 m².
const hectare = 10000.0

// Estimate is stems per hectare. Low and High are the ends of the 95 % interval of the mean; with one plot there is
// none and Spread is false.
type Estimate struct {
	PerHectare float64
	Spread     bool
	Low, High  float64
}

// Stems estimates from counts on plots of so many square metres each. It refuses no plots, an area that is not above
// 0 and a count below 0; every problem is named.
func Stems(counts []int, area float64) (Estimate, error) {
	if err := check(counts, area); err != nil {
		return Estimate{}, err
	}
	mean, sd := spread(counts)
	e := Estimate{PerHectare: mean * hectare / area}
	if n := len(counts); n > 1 {
		half := T95(n-1) * sd / math.Sqrt(float64(n)) * hectare / area
		e.Spread, e.Low, e.High = true, e.PerHectare-half, e.PerHectare+half
	}
	return e, nil
}

func check(counts []int, area float64) error {
	var problems []error
	if len(counts) == 0 {
		problems = append(problems, errors.New("no plots were counted"))
	}
	if !(area > 0) {
		problems = append(problems, fmt.Errorf("a plot of %g m² is not more than 0", area))
	}
	for i, c := range counts {
		if c < 0 {
			problems = append(problems, fmt.Errorf("plot %d has %d stems; a count is not less than 0", i+1, c))
		}
	}
	return errors.Join(problems...)
}

// spread returns the mean and the standard deviation of a sample (divisor n - 1; 0 for one count).
func spread(counts []int) (mean, sd float64) {
	n := float64(len(counts))
	for _, c := range counts {
		mean += float64(c) / n
	}
	if n < 2 {
		return mean, 0
	}
	squares := 0.0
	for _, c := range counts {
		squares += (float64(c) - mean) * (float64(c) - mean)
	}
	return mean, math.Sqrt(squares / (n - 1))
}
