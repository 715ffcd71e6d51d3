package training

import (
	"encoding"
	"fmt"
)

// Outcome is how one look ended. It is written to the ledger as its word.
type Outcome uint8

// Outcomes, the worst first.
const (
	CriticalMissed Outcome = iota + 1 // a critical criterion was missed: the skill is restricted
	NotMet                            // more criteria missed than the house rules allow
	Incomplete                        // a critical criterion was not seen: no evidence either way
	OutcomeMet                        // met
)

var outcomeWords = map[Outcome]string{
	CriticalMissed: "critical missed", NotMet: "not met", Incomplete: "incomplete", OutcomeMet: "met",
}

// String gives the word of the outcome.
func (o Outcome) String() string { return outcomeWords[o] }

// MarshalText writes the outcome as its word.
func (o Outcome) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// UnmarshalText reads the word of an outcome.
func (o *Outcome) UnmarshalText(b []byte) error {
	return fromWord(o, outcomeWords, string(b), "outcome")
}

// Level is how closely somebody works under watch, from not at all to on their own judgement.
type Level uint8

// Levels, the lowest first. Unsupervised is not working alone: somebody stays in sight or hearing where the rule
// asks it.
const (
	NoSaw Level = iota + 1
	InSight
	InHearing
	PeriodicCheck
	Unsupervised
)

var levelWords = map[Level]string{
	NoSaw: "no saw", InSight: "in sight", InHearing: "in hearing", PeriodicCheck: "periodic check", Unsupervised: "unsupervised",
}

// String gives the word of the level.
func (l Level) String() string { return levelWords[l] }

// MarshalText writes the level as its word.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads the word of a level.
func (l *Level) UnmarshalText(b []byte) error { return fromWord(l, levelWords, string(b), "level") }

var (
	_ encoding.TextUnmarshaler = (*Outcome)(nil)
	_ encoding.TextUnmarshaler = (*Level)(nil)
)

func fromWord[T comparable](to *T, words map[T]string, s, what string) error {
	for v, w := range words {
		if w == s {
			*to = v
			return nil
		}
	}
	return fmt.Errorf("%q is not a %s", s, what)
}
