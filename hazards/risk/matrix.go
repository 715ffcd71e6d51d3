// Package risk ranks what to talk about first: points of the factors present give a probability, the probability
// and a severity give a level by the matrix of MIL-STD-882E.
//
// A level is no probability of harm and does not say that work is safe. The matrix is Table III of MIL-STD-882E (11
// May 2012), severities 1 catastrophic, 2 critical, 3 marginal, 4 negligible, probabilities A frequent to E
// improbable, and F eliminated, which no training, warning or protective equipment can bring about. The cells were
// read in one copy made by others and agree with a second source; the standard itself was not opened.
package risk

import "fmt"

// MatrixSource names where the matrix stands, for printing beside a level.
const MatrixSource = "MIL-STD-882E (11 May 2012), Table III (read in a restatement)"

// Level is a risk level of MIL-STD-882E, ordered: a larger one is worse.
type Level uint8

// Risk levels, MIL-STD-882E Table III.
const (
	Eliminated Level = iota
	Low
	Medium
	Serious
	High
)

var levelWords = [...]string{"Eliminated", "Low", "Medium", "Serious", "High"}

// String gives the level as printed in Table III.
func (l Level) String() string {
	if int(l) >= len(levelWords) {
		return fmt.Sprintf("level %d", uint8(l))
	}
	return levelWords[l]
}

// matrix is MIL-STD-882E Table III: rows A to F, columns severity 1 to 4.
var matrix = [6][4]Level{
	{High, High, Serious, Medium},
	{High, High, Serious, Medium},
	{High, Serious, Medium, Low},
	{Serious, Medium, Medium, Low},
	{Medium, Medium, Medium, Low},
	{Eliminated, Eliminated, Eliminated, Eliminated},
}

// Of returns the level of a severity, 1 (worst) to 4, and a probability, 'A' (frequent) to 'F' (eliminated). It
// refuses anything else.
func Of(severity int, probability byte) (Level, error) {
	if severity < 1 || severity > 4 {
		return 0, fmt.Errorf("severity %d is not in the matrix; it goes from 1 to 4", severity)
	}
	if probability < 'A' || probability > 'F' {
		return 0, fmt.Errorf("probability %q is not in the matrix; it goes from A to F", probability)
	}
	return matrix[probability-'A'][severity-1], nil
}
