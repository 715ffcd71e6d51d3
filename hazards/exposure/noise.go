package exposure

import (
	"fmt"
	"math"
)

// Criterion is a rule for adding up noise: the level that may last eight hours, and how many decibels halve the time.
type Criterion struct {
	Name     string
	Level    float64 // dBA for 8 hours
	Exchange float64 // dB that halve the time
	Top      float64 // dBA, the highest level of the published table
	factor   float64 // dB of the mean level for ten times the dose, as printed
	Source   string
}

// The two criteria read.
var (
	// OSHA is 29 CFR 1910.95 Appendix A.
	OSHA = Criterion{Name: "osha", Level: 90, Exchange: 5, Top: 130, factor: 16.61, // Table G-16a; equation (2) of App. A
		Source: "29 CFR 1910.95 Appendix A (page read)"}
	// NIOSH is a recommendation, not law. Its Table 1-1 prints "less than 1 second" from 130 to 140 dBA.
	NIOSH = Criterion{Name: "niosh", Level: 85, Exchange: 3, Top: 140, factor: 10, // Table 1-1; footnote of Table 1-2
		Source: "NIOSH 98-126 (1998), Table 1-1 (read in two restatements); a recommendation, not law"}
)

// Criteria lists the criteria by name.
func Criteria() []Criterion { return []Criterion{OSHA, NIOSH} }

// Threshold is the level in dBA below which noise adds no dose (29 CFR 1910.95(d)(2)(i) integrates 80 to 130 dBA).
const Threshold = 80.0

// Counts reports whether a level in dBA adds to the dose.
func Counts(dBA float64) bool { return dBA >= Threshold }

// ReferenceHours returns how long a level in dBA may last under the criterion, a full dose. It refuses levels below
// 80 dBA, which may last for ever, and above the published table.
func (c Criterion) ReferenceHours(dBA float64) (float64, error) {
	if !Counts(dBA) || dBA > c.Top {
		return 0, fmt.Errorf("a level of %g dBA lies outside the published table, %g to %g dBA", dBA, Threshold, c.Top)
	}
	return 8 / math.Exp2((dBA-c.Level)/c.Exchange), nil
}

// Dose returns the dose of several exposures in percent of a full one. Levels below 80 dBA add nothing; levels above
// the published table are refused.
func (c Criterion) Dose(list []Exposure) (float64, error) {
	share := 0.0
	for _, e := range list {
		if !Counts(e.Of.Value) {
			continue
		}
		t, err := c.ReferenceHours(e.Of.Value)
		if err != nil {
			return 0, err
		}
		share += e.Hours() / t
	}
	return 100 * share, nil
}

// TWA returns the level in dBA that makes the same dose, in percent, in eight hours. There is none for a dose of 0.
func (c Criterion) TWA(dose float64) (dBA float64, ok bool) {
	if dose <= 0 {
		return 0, false
	}
	return c.factor*math.Log10(dose/100) + c.Level, true
}
